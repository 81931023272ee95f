//! What moved between two epochs, in the crew's words.

use adjust::{Compared, WhyNotCompared};

use super::words::Words;
use super::{Headline, Item, Section, stamp};
use crate::CompareAnswer;
use crate::adjust::counted;

/// A comparison, in the order of telling.
#[derive(Debug, Clone, PartialEq)]
pub struct ToldComparison {
    /// What is so, and what to do.
    pub headline: Headline,
    /// The rest, by subject.
    pub sections: Vec<Section>,
    /// How many readings of each are held out and unchecked.
    pub stamp: String,
}

impl ToldComparison {
    /// Tells a comparison.
    pub fn of(answer: &CompareAnswer) -> ToldComparison {
        let words = Words {
            answer: &answer.after,
        };
        let sections = [
            moved(&words, answer),
            unclear(&words, answer),
            rest(&words, answer),
            not_compared(answer),
        ];
        ToldComparison {
            headline: headline(answer),
            sections: sections
                .into_iter()
                .filter(|section| !section.items.is_empty())
                .collect(),
            stamp: format!(
                "Before: {} After: {} Measured, not approved.",
                stamp(&answer.before).replace(" Measured, not approved.", ""),
                stamp(&answer.after).replace(" Measured, not approved.", ""),
            ),
        }
    }
}

fn headline(answer: &CompareAnswer) -> Headline {
    let comparison = &answer.comparison;
    let moved = comparison.points.iter().filter(|p| p.moved && !p.unclear).count();
    let one_of = one_of(answer);
    let (verdict, action) = if !comparison.stands_still {
        (
            "The shell changed its shape all over.".to_owned(),
            "More points moved against each other than kept their places, so nothing stands still to compare with. \
             Look for a label that was used for another mark, then for a wrong reading.",
        )
    } else if let Some(one_of) = &one_of {
        let verdict = match moved {
            0 => format!("{one_of} moved; the readings do not tell which."),
            moved => format!(
                "{} moved, and {one_of} besides; the readings do not tell which.",
                counted(moved, "point")
            ),
        };
        (
            verdict,
            "Tape more lines to those that cannot be told apart, from points that kept their places, and read a line or \
             two to the others again.",
        )
    } else if moved > 0 {
        (
            format!("{} moved.", counted(moved, "point")),
            "Read a line or two to each again before you act on it.",
        )
    } else if comparison.rest_agrees {
        (
            "No point is seen to have moved.".to_owned(),
            "What is smaller than the ± below would not show.",
        )
    } else {
        (
            "No single point stands out, but together they differ.".to_owned(),
            "The shell differs from before by more than the readings explain. Read the lines with the largest shifts \
             again.",
        )
    };
    Headline {
        verdict,
        action: action.to_owned(),
        doubt: moved > 0 || one_of.is_some() || !comparison.stands_still || !comparison.rest_agrees,
    }
}

/// The points that moved, farthest first.
fn moved(words: &Words<'_>, answer: &CompareAnswer) -> Section {
    let mut points: Vec<&Compared> = answer
        .comparison
        .points
        .iter()
        .filter(|p| p.moved && !p.unclear)
        .collect();
    points.sort_by(|a, b| b.distance_mm.value.total_cmp(&a.distance_mm.value));
    Section {
        title: "These points moved",
        intro: Some("Against those that kept their places. Each ± is 95 %, rounded up.".to_owned()),
        items: points
            .into_iter()
            .map(|point| Item {
                doubt: true,
                head: shift(words, point, "moved"),
                said: answer
                    .frame_is_said
                    .then(|| ways(words, point))
                    .into_iter()
                    .collect(),
            })
            .collect(),
    }
}

/// `1 of 2 points`, where the readings do not tell which of some points moved.
fn one_of(answer: &CompareAnswer) -> Option<String> {
    let unclear = answer.comparison.points.iter().filter(|point| point.unclear);
    let moved = unclear.clone().filter(|point| point.moved).count();
    match unclear.count() {
        0 => None,
        count => Some(format!("{moved} of {}", counted(count, "point"))),
    }
}

/// The points of which others may have moved instead, in the order of the sheet.
fn unclear(words: &Words<'_>, answer: &CompareAnswer) -> Section {
    let points = answer.comparison.points.iter().filter(|point| point.unclear);
    Section {
        title: "Cannot tell which of these moved",
        intro: one_of(answer).map(|one_of| {
            format!(
                "{one_of} moved; the readings fit nearly as well whichever it is. Each is told with how far it moved \
                 if it did."
            )
        }),
        items: points
            .map(|point| Item {
                doubt: true,
                head: shift(words, point, "if it moved, by"),
                said: answer
                    .frame_is_said
                    .then(|| ways(words, point))
                    .into_iter()
                    .collect(),
            })
            .collect(),
    }
}

/// The others: how little they moved, and how much would show.
fn rest(words: &Words<'_>, answer: &CompareAnswer) -> Section {
    let comparison = &answer.comparison;
    let still: Vec<&Compared> = comparison
        .points
        .iter()
        .filter(|point| !point.moved && !point.unclear)
        .collect();
    let farthest = still.iter().max_by(|a, b| a.chi_square.total_cmp(&b.chi_square));
    let plain = |head: String| Item {
        doubt: false,
        head,
        said: Vec::new(),
    };
    let mut items = Vec::new();
    if let Some(point) = farthest {
        if comparison.stands_still {
            items.push(plain(format!(
                "The other {} did not move by more than the readings can show.",
                counted(still.len(), "point")
            )));
        }
        items.push(plain(format!(
            "The most doubtful of them is {}.",
            shift(words, point, "it comes out")
        )));
        if comparison.stands_still && !comparison.rest_agrees {
            items.push(plain(
                "Taken together they differ by more than chance would have it in 99 of 100.".to_owned(),
            ));
        }
    }
    items.push(plain(
        "Another tape that reads long or short in every line looks like a shell that grew or shrank: use the same one \
         both times."
            .to_owned(),
    ));
    Section {
        title: "The rest",
        intro: None,
        items,
    }
}

/// `roof-front: moved 1.57 in (±0.09 in)`.
fn shift(words: &Words<'_>, point: &Compared, did: &str) -> String {
    let [by, half] = words.difference(point.distance_mm.value, point.distance_mm.sd);
    format!("{}: {did} {by} (±{half})", words.label(point.after))
}

/// How far along x, y and z.
fn ways(words: &Words<'_>, point: &Compared) -> String {
    let ways = [["ahead", "back"], ["left", "right"], ["up", "down"]];
    let said: Vec<String> = (0..3)
        .map(|k| {
            let sd = point.covariance_mm2[k][k].max(0.0).sqrt();
            let [by, half] = words.difference(point.shift_mm[k], sd);
            let way = ways[k][usize::from(point.shift_mm[k] < 0.0)];
            format!("{by} {way} (±{half})")
        })
        .collect();
    format!("{}.", said.join(", "))
}

/// What could not be compared.
fn not_compared(answer: &CompareAnswer) -> Section {
    let why = [
        (WhyNotCompared::OnlyBefore, "Only in the readings before"),
        (WhyNotCompared::OnlyAfter, "Only in the readings after"),
        (WhyNotCompared::OpenBefore, "Not held well enough before"),
        (WhyNotCompared::OpenAfter, "Not held well enough after"),
        (WhyNotCompared::OpenInBoth, "Not held well enough in either"),
    ];
    let items = why.into_iter().filter_map(|(why, head)| {
        let labels: Vec<String> = answer
            .comparison
            .not_compared
            .iter()
            .filter(|point| point.why == why)
            .map(|point| point.label.to_string())
            .collect();
        (!labels.is_empty()).then(|| Item {
            doubt: false,
            head: format!("{head}: {}.", labels.join(", ")),
            said: Vec::new(),
        })
    });
    Section {
        title: "Not compared",
        intro: None,
        items: items.collect(),
    }
}
