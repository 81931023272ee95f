//! What is told beside the doubts: what to read next, the instruments, problems, and what was not checked.

use adjust::{NextReading, Purpose};

use super::words::{Words, capital};
use super::{Item, Section};

/// How many of the next readings are told, and how many that serve one end; the JSON has them all.
const NEXT_TOLD: usize = 10;
const OF_ONE_PURPOSE: usize = 3;

/// What to read next: the most serious first, and something of every end.
pub(super) fn next(words: &Words<'_>) -> Section {
    let all = &words.answer.adjustment.next;
    let mut told: Vec<&NextReading> = Vec::new();
    for next in all {
        let same = told.iter().filter(|other| other.purpose == next.purpose).count();
        if same < OF_ONE_PURPOSE && told.len() < NEXT_TOLD {
            told.push(next);
        }
    }
    let items: Vec<Item> = told
        .iter()
        .map(|next| Item {
            doubt: false,
            head: words.between(next.kind, &[next.a, next.b]),
            said: [
                Some(format!("{}.", capital(next.why.trim_end_matches('.'))))
                    .filter(|_| !next.why.is_empty()),
                gain(words, next),
            ]
            .into_iter()
            .flatten()
            .collect(),
        })
        .collect();
    let more = all.len() - told.len();
    Section {
        title: "What to read next",
        intro: (more > 0).then(|| format!("The {} that help most; the JSON has {more} more.", told.len())),
        items,
    }
}

/// What a reading does to the worst point, where that is worth telling.
fn gain(words: &Words<'_>, next: &NextReading) -> Option<String> {
    let after = words.half_width(next.worst_sd_after_mm?);
    let Some(before) = next.worst_sd_before_mm else {
        return Some(format!("The worst point is then at ± {after}."));
    };
    let shrinks = next.worst_sd_after_mm? < before;
    let before = words.half_width(before);
    match (shrinks && before != after, next.purpose) {
        (true, _) => Some(format!("The worst point goes from ± {before} to ± {after}.")),
        (false, Purpose::Steadies) => Some(format!(
            "The worst point stays at ± {after}: another is about as uncertain."
        )),
        (false, _) => None,
    }
}

/// What is wrong with the sheets, and what must be told beside the result.
pub(super) fn problems(words: &Words<'_>) -> Section {
    let answer = words.answer;
    let of_sheets = answer.problems.iter().map(ToString::to_string);
    let items = of_sheets
        .chain(answer.adjustment.problems.iter().cloned())
        .map(|head| Item {
            doubt: false,
            head,
            said: Vec::new(),
        });
    Section {
        title: "Problems",
        intro: None,
        items: items.collect(),
    }
}

/// What no part of the answer speaks to.
pub(super) fn not_checked(words: &Words<'_>) -> Section {
    let summary = &words.answer.adjustment.summary;
    let plain = |head: &str| Item {
        doubt: false,
        head: head.to_owned(),
        said: Vec::new(),
    };
    let mut items = Vec::new();
    if let (Some(false), Some(factor)) = (summary.passes, summary.variance_factor) {
        items.push(plain(&format!(
            "Taken together, the readings in use scatter {:.1} times as wide as their instruments promise.",
            factor.sqrt()
        )));
    }
    items.extend([
        plain(
            "Slips under about 5 standard deviations (7/16 read as 9/16 is one) cannot be found by any adjustment. \
             The cure is a second, blind reading by the other person.",
        ),
        plain(&format!(
            "What all readings of one tape share, such as a stretched blade, hardly shows in any of them.{}",
            words.answer.adjustment.scale_uncertainty.map(|sd| words.shared_error(sd)).unwrap_or_default()
        )),
    ]);
    if words.answer.adjustment.symmetry.is_none() {
        items.push(plain(
            "Whether the shell is straight was not worked out: it takes at least two mirror pairs whose points are \
             pinned down. Say of each such point which one is its mirror partner.",
        ));
    }
    Section {
        title: "What was not checked",
        intro: None,
        items,
    }
}
