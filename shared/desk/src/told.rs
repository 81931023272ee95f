//! The answer in the crew's words and unit. A shell lays these texts out; it works nothing out itself.
//!
//! Each place that says ± means 95 %. Nothing is called clean, safe, ready or approved.

mod beside;
mod causes;
mod compared;
mod doubts;
mod instruments;
mod logged;
mod order;
mod slips;
mod straight;
mod words;

pub use compared::ToldComparison;
pub use logged::{LoggedWords, logged};

use adjust::{Handedness, Outcome, PointStatus, Verdict};
use survey::{Frame, LengthUnit, State};

use crate::AdjustAnswer;
use crate::adjust::counted;
pub(crate) use causes::explained_by_a_cause;
pub(crate) use doubts::{held_by, is_read, unclear_problems};
pub use order::{OrderGroup, OrderLine, OrderTold};
pub(crate) use slips::is_hard_to_see;
pub(crate) use straight::straight_words;
use words::Words;
#[cfg(test)]
pub(crate) use words::angle_rounded_up;
pub(crate) use words::{HALF_WIDTH_95, direction, format_to, rounded_up_to};

/// Once on every sheet that leaves.
pub const CAUTION: &str = "A cage holds a life. Trammel measures and records; it does not design or certify. \
    Follow the rules of your sanctioning body, local law and a qualified engineer or welder. Work on a shell on \
    rated stands on level ground, never on a jack alone.";

/// Everything that is told of one answer, in the order of telling.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// What is so, and what to do.
    pub headline: Headline,
    /// The frame, and what decided its hand.
    pub frame: Vec<String>,
    /// The unit of the table of points: `in` or `mm`.
    pub unit: &'static str,
    /// The table of points.
    pub points: Vec<PointLine>,
    /// The rest, by subject; a section with nothing in it is left out.
    pub sections: Vec<Section>,
    /// How many readings are held out and unchecked.
    pub stamp: String,
}

/// The verdict in one line, and what to do in another.
#[derive(Debug, Clone, PartialEq)]
pub struct Headline {
    /// What is so.
    pub verdict: String,
    /// What to do.
    pub action: String,
    /// Whether anything is held out or open.
    pub doubt: bool,
}

/// One line of the table of points; what is not known is `None`.
#[derive(Debug, Clone, PartialEq)]
pub struct PointLine {
    /// The point.
    pub label: String,
    /// x, y, z.
    pub coordinates: [Option<String>; 3],
    /// ± at 95 % of x, y, z, rounded up.
    pub half_widths: [Option<String>; 3],
    /// What keeps it from being pinned down.
    pub doubt: Option<&'static str>,
}

/// One subject.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Its heading.
    pub title: &'static str,
    /// A sentence for all of it.
    pub intro: Option<String>,
    /// What there is.
    pub items: Vec<Item>,
}

/// One thing that is told.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Whether it stands between the crew and an order for tube.
    pub doubt: bool,
    /// What it is about.
    pub head: String,
    /// What there is to say.
    pub said: Vec<String>,
}

impl Told {
    /// Tells an answer.
    pub fn of(answer: &AdjustAnswer) -> Told {
        let words = Words { answer };
        let sections = [
            causes::causes(&words),
            doubts::suspects(&words),
            doubts::unclear(&words),
            doubts::loose(&words),
            doubts::two_valued(&words),
            doubts::islands(&words),
            doubts::look_again(&words),
            doubts::unchecked(&words),
            straight::straight(&words),
            beside::next(&words),
            instruments::instruments(&words),
            instruments::people(&words),
            beside::problems(&words),
            beside::not_checked(&words),
        ];
        Told {
            headline: headline(answer),
            frame: frame(answer),
            unit: match answer.crew_unit {
                LengthUnit::Inch => "in",
                LengthUnit::Millimetre => "mm",
            },
            points: points(&words),
            sections: sections
                .into_iter()
                .filter(|section| !section.items.is_empty())
                .collect(),
            stamp: stamp(answer),
        }
    }
}

/// What stands on everything that leaves.
fn stamp(answer: &AdjustAnswer) -> String {
    format!(
        "{} held out, {} unchecked. Measured, not approved.",
        counted(answer.adjustment.summary.held_out, "reading"),
        unchecked_count(answer),
    )
}

/// Readings in use in which nothing else would show a slip.
fn unchecked_count(answer: &AdjustAnswer) -> usize {
    (0..answer.survey.readings.len())
        .filter(|&reading| is_unchecked(answer, reading))
        .count()
}

/// Whether nothing else would show a slip in a reading that is in use.
pub(crate) fn is_unchecked(answer: &AdjustAnswer, reading: usize) -> bool {
    let found = &answer.adjustment.readings[reading];
    found.unchecked && is_used(answer, reading)
}

/// Whether a reading is part of the solution.
pub(crate) fn is_used(answer: &AdjustAnswer, reading: usize) -> bool {
    let held_out = answer.adjustment.summary.held_out > 0
        && answer.adjustment.readings[reading].verdict == Verdict::Suspect;
    answer.survey.readings[reading].state != State::SetAside && !held_out
}

fn headline(answer: &AdjustAnswer) -> Headline {
    let adjustment = &answer.adjustment;
    let of_verdict = |verdict| {
        adjustment
            .readings
            .iter()
            .filter(|reading| reading.verdict == verdict)
            .count()
    };
    let held_out = adjustment.summary.held_out;
    // Those that nobody has read are one doubt together.
    let loose = adjustment
        .loose
        .iter()
        .filter(|loose| is_read(answer, loose.point))
        .count();
    let open = of_verdict(Verdict::LookAgain)
        + adjustment.unclear.len()
        + unchecked_count(answer)
        + loose
        + usize::from(loose < adjustment.loose.len())
        + adjustment.two_valued.len()
        + adjustment.islands.len().saturating_sub(1)
        + straight::doubts(adjustment)
        + if held_out == 0 {
            of_verdict(Verdict::Suspect)
        } else {
            0
        }
        + usize::from(adjustment.handedness == Handedness::Unresolved);
    let verdict = format!(
        "{} held out, {} open.",
        counted(held_out, "reading"),
        counted(open, "doubt")
    );
    let stand = match held_out + open {
        0 => "No reading in use speaks against the others. What they cannot show is told below.",
        1 => "It stands between you and an order for tube.",
        _ => "They stand between you and an order for tube.",
    };
    let first = match adjustment.outcome {
        Outcome::Fits if open == 0 => {
            "Have the other person read a few lines again, without seeing the first number."
        }
        Outcome::Fits if adjustment.handedness == Handedness::Unresolved => {
            "First say which point is above, or log a slope or a rise."
        }
        Outcome::Fits => "What would settle each is told below.",
        Outcome::SuspectsHeldOut if !adjustment.causes.is_empty() => {
            "First settle what several readings have in common."
        }
        Outcome::SuspectsHeldOut => "First read again what is held out.",
        Outcome::NothingChecked => {
            "No reading checks another: every one could be wrong unseen. Tape more lines."
        }
        Outcome::CannotTell => {
            "Something is off, and the readings cannot tell what. Read the unclear ones again."
        }
        Outcome::TwoValued => "First settle the points with two places.",
        Outcome::LoosePoints => "First tape the points that can move.",
        Outcome::Islands => "First tape between the groups of points that nothing joins.",
    };
    Headline {
        verdict,
        action: format!("{stand} {first}"),
        doubt: held_out + open > 0,
    }
}

fn frame(answer: &AdjustAnswer) -> Vec<String> {
    let axes = "x is ahead, y is left, z is up.";
    let set = match &answer.adjustment.frame {
        Frame::Three { origin, ahead, left } => {
            format!(
                "Zero is {origin}. x runs ahead through {ahead}; {left} lies to the left at the same level."
            )
        }
        Frame::Plumb { origin, ahead, left } => {
            format!(
                "Zero is {origin}. z runs up the plumb line, x ahead towards {ahead}; {left} lies to the left."
            )
        }
        Frame::Centreline { origin, ahead, above } => format!(
            "y = 0 is the middle of the mirror pairs. Zero is level with {origin}, x runs ahead towards {ahead}; \
             {above} lies above."
        ),
        Frame::Bench => "The frame is that of the fixed points and of the bench.".to_owned(),
    };
    let hand = match answer.adjustment.handedness {
        Handedness::Fixed => "Fixed or bench coordinates told the shell from its mirror image.",
        Handedness::Above => "The point said to be above told the shell from its mirror image.",
        Handedness::Plumb => "The plumb readings told the shell from its mirror image.",
        Handedness::Sides => "The sides of the points told the shell from its mirror image.",
        Handedness::RoughPositions => "The rough positions told the shell from its mirror image.",
        Handedness::Unresolved => {
            "Nothing tells the shell from its mirror image: left and right may be exchanged. Log a slope or a rise, \
             or say which point is above."
        }
    };
    vec![set, axes.to_owned(), hand.to_owned()]
}

fn points(words: &Words<'_>) -> Vec<PointLine> {
    let adjustment = &words.answer.adjustment;
    let line = |(index, point): (usize, &adjust::AdjustedPoint)| PointLine {
        label: words.label(index),
        coordinates: point.coordinates_mm.map(|mm| mm.map(|mm| words.bare_length(mm))),
        half_widths: [0, 1, 2].map(|axis| {
            let covariance = point.covariance_mm2?;
            Some(words.bare_half_width(covariance[axis][axis].max(0.0).sqrt()))
        }),
        doubt: match point.status {
            PointStatus::Fixed => None,
            PointStatus::Loose if !is_read(words.answer, index) => Some("not read"),
            PointStatus::Loose => Some("can move"),
            PointStatus::TwoValued => Some("two places"),
        },
    };
    adjustment.points.iter().enumerate().map(line).collect()
}

#[cfg(test)]
mod tests;
