//! The order in which to survey, in the crew's words: numbered lines to follow on paper.
//!
//! What a line will read is never told: nobody shall read what they expect to read.

use adjust::{LeftOutReason, OrderStep, StepReason};
use survey::Kind;

use super::words::{capital, half_width, number};
use super::{Headline, Item, Section};
use crate::OrderAnswer;
use crate::adjust::counted;

/// An order as it is told.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderTold {
    /// How much there is to read and what comes of it.
    pub headline: Headline,
    /// How to go about it.
    pub advice: Vec<&'static str>,
    /// What to read, point by point.
    pub groups: Vec<OrderGroup>,
    /// What is left out, stays open or stays unchecked; a section with nothing in it is left out.
    pub sections: Vec<Section>,
    /// That this is a plan.
    pub stamp: &'static str,
}

/// The lines of one point, or of the base.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderGroup {
    /// What the lines have in common.
    pub head: String,
    /// The lines.
    pub lines: Vec<OrderLine>,
}

/// One reading to take.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderLine {
    /// Its number, from 1.
    pub number: usize,
    /// What to read.
    pub text: String,
}

impl OrderTold {
    /// Tells an order.
    pub fn of(answer: &OrderAnswer) -> OrderTold {
        let words = Words { answer };
        let sections = [
            words.left_out(),
            words.open(),
            words.unchecked(),
            words.problems(),
        ];
        OrderTold {
            headline: words.headline(),
            advice: vec![
                "Write each number down as it is read, with its unit, before you look at anything else.",
                "When a point is done, log its readings and look at what comes of them while the tape is still in \
                 your hands.",
                "A line that cannot be taped: log it as blocked, and ask for the order again.",
            ],
            groups: words.groups(),
            sections: sections
                .into_iter()
                .filter(|section| !section.items.is_empty())
                .collect(),
            stamp: "A plan of readings. Nothing in it is measured or approved.",
        }
    }
}

struct Words<'a> {
    answer: &'a OrderAnswer,
}

impl Words<'_> {
    fn label(&self, point: usize) -> &str {
        self.answer.survey.points[point].label.as_str()
    }

    fn headline(&self) -> Headline {
        let order = &self.answer.order;
        let tapes = order.steps.iter().filter(|step| step.kind == Kind::Tape).count();
        let rises = order.steps.iter().filter(|step| step.kind == Kind::Rise).count();
        let slopes = order.steps.len() - tapes - rises;
        let counts: Vec<String> = [(tapes, "tape"), (rises, "rise"), (slopes, "slope")]
            .into_iter()
            .filter(|(count, _)| *count > 0)
            .map(|(count, noun)| counted(count, noun))
            .collect();
        let verdict = match order.steps.len() {
            0 => "Nothing is left to read for this order.".to_owned(),
            all => format!("{}: {}.", counted(all, "reading"), counts.join(", ")),
        };
        let action = match (order.worst_sd_mm, order.worst_point) {
            (Some(sd), Some(point)) => format!(
                "The least certain point will be {}, at about ± {} in its worst direction.",
                self.label(point),
                half_width(self.answer.crew_unit, sd)
            ),
            _ => "How sure the points will be is not known.".to_owned(),
        };
        Headline {
            verdict,
            action,
            doubt: !order.left_out.is_empty() || !order.open.is_empty(),
        }
    }

    fn groups(&self) -> Vec<OrderGroup> {
        let mut groups: Vec<OrderGroup> = Vec::new();
        let mut last: Option<String> = None;
        for (n, step) in self.answer.order.steps.iter().enumerate() {
            let head = self.head(step, groups.is_empty());
            let line = OrderLine {
                number: n + 1,
                text: self.line(step),
            };
            match groups.last_mut().filter(|_| last.as_ref() == Some(&head.1)) {
                Some(group) => group.lines.push(line),
                None => groups.push(OrderGroup {
                    head: head.0,
                    lines: vec![line],
                }),
            }
            last = Some(head.1);
        }
        groups
    }

    /// The heading that a step stands under, and what tells one heading from another.
    fn head(&self, step: &OrderStep, first: bool) -> (String, String) {
        let begin = if first { "First" } else { "Then" };
        match (step.reason, step.point) {
            (StepReason::ReadAgain, _) => (
                format!("{begin} read these again, without looking at the first number."),
                "again".to_owned(),
            ),
            (StepReason::Level, _) => (
                format!(
                    "{begin} the level: how far the second point is above the first, along the plumb line. Below is \
                     minus."
                ),
                "level".to_owned(),
            ),
            (StepReason::Checks, None) => (
                format!("{begin} a few lines that check what stands."),
                "checks".to_owned(),
            ),
            (_, None) => (
                format!("{begin} the base that the others hang on: tape each of these."),
                "base".to_owned(),
            ),
            (_, Some(point)) => {
                let name = self.label(point);
                (format!("Now {name}: tape it from"), format!("point {name}"))
            }
        }
    }

    fn line(&self, step: &OrderStep) -> String {
        let (a, b) = (self.label(step.a), self.label(step.b));
        let of_point = step.point == Some(step.a);
        match (step.kind, step.reason) {
            (Kind::Tape, StepReason::Holds) if of_point => b.to_owned(),
            (Kind::Tape, StepReason::Checks) if of_point => format!("{b}, as a check"),
            (Kind::Tape, StepReason::Base) => format!("{a} to {b}"),
            (Kind::Rise, StepReason::Level) => format!("{a} to {b}"),
            (Kind::Rise, StepReason::TellsAbove) => format!("and its height: rise from {a} to {b}"),
            (kind, StepReason::Checks) if step.point.is_some() => {
                format!("{} from {a} to {b}, as a check", kind.word())
            }
            (kind, _) => format!("{} from {a} to {b}", kind.word()),
        }
    }

    fn left_out(&self) -> Section {
        let items = self.answer.order.left_out.iter().map(|left| {
            let said = match left.reason {
                LeftOutReason::NoPlace => {
                    "It has no rough place. Write its x, y and z in the sheet of points, to a hand's width.".to_owned()
                }
                LeftOutReason::TooFewLines(0) => {
                    "No line that can be taped leads to it from a point that is done.".to_owned()
                }
                LeftOutReason::TooFewLines(lines) => format!(
                    "It needs three lines that can be taped from points that are done, and has {}. Mark a point \
                     nearer to it, or find a way round what is blocked.",
                    number(lines)
                ),
            };
            doubt(self.label(left.point).to_owned(), vec![said])
        });
        Section {
            title: "Left out",
            intro: None,
            items: items.collect(),
        }
    }

    fn open(&self) -> Section {
        let said = "Even so nothing pins it down for certain: look for more lines to it.";
        let items = self.answer.order.open.iter();
        Section {
            title: "Points that stay open",
            intro: None,
            items: items
                .map(|&point| doubt(self.label(point).to_owned(), vec![said.to_owned()]))
                .collect(),
        }
    }

    fn unchecked(&self) -> Section {
        let order = &self.answer.order;
        let planned = order
            .unchecked
            .iter()
            .map(|&n| format!("{}: {}", n + 1, self.between(&order.steps[n])));
        let at_hand = order
            .unchecked_readings
            .iter()
            .map(|&r| self.answer.survey.readings[r].id.clone());
        Section {
            title: "Stays unchecked",
            intro: Some(
                "A slip of an inch would not show in these even then: read each of them twice.".to_owned(),
            ),
            items: planned
                .chain(at_hand)
                .map(|head| doubt(head, Vec::new()))
                .collect(),
        }
    }

    fn between(&self, step: &OrderStep) -> String {
        format!(
            "{} from {} to {}",
            step.kind.word(),
            self.label(step.a),
            self.label(step.b)
        )
    }

    fn problems(&self) -> Section {
        Section {
            title: "Problems",
            intro: None,
            items: self
                .answer
                .problems
                .iter()
                .map(|problem| Item {
                    doubt: false,
                    head: capital(&problem.to_string()),
                    said: Vec::new(),
                })
                .collect(),
        }
    }
}

fn doubt(head: String, said: Vec<String>) -> Item {
    Item {
        doubt: true,
        head,
        said,
    }
}
