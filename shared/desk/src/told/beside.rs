//! What is told beside the doubts: what to read next, the instruments, problems, and what was not checked.

use adjust::NextReading;

use super::words::{Words, capital};
use super::{Item, Section};
use crate::adjust::counted;
use crate::wire::reads_angles;

/// How many of the next readings are told; the JSON has them all.
const NEXT_TOLD: usize = 5;

/// What to read next.
pub(super) fn next(words: &Words<'_>) -> Section {
    let items = words.answer.adjustment.next.iter().take(NEXT_TOLD).map(|next| {
        let NextReading {
            kind,
            a,
            b,
            worst_sd_before_mm,
            worst_sd_after_mm,
            why,
        } = next;
        let gain = match (worst_sd_before_mm, worst_sd_after_mm) {
            (Some(before), Some(after)) => {
                let (before, after) = (words.half_width(*before), words.half_width(*after));
                Some(if before == after {
                    format!("The worst point stays at ± {after}: another is about as uncertain.")
                } else {
                    format!("The worst point goes from ± {before} to ± {after}.")
                })
            }
            (None, Some(after)) => Some(format!(
                "The worst point is then at ± {}.",
                words.half_width(*after)
            )),
            (_, None) => None,
        };
        let said = [
            Some(format!("{}.", capital(why.trim_end_matches('.')))).filter(|_| !why.is_empty()),
            gain,
        ];
        Item {
            doubt: false,
            head: words.between(*kind, &[*a, *b]),
            said: said.into_iter().flatten().collect(),
        }
    });
    Section {
        title: "What to read next",
        intro: None,
        items: items.collect(),
    }
}

/// How the instruments behave.
pub(super) fn instruments(words: &Words<'_>) -> Section {
    let items = words.answer.adjustment.instruments.iter().map(|found| {
        let angles = reads_angles(&words.answer.survey, found.instrument);
        let said = words.instrument_half_width(found.said_sd, angles);
        let readings = counted(found.readings, "reading");
        let told = match found.behaves_like_sd {
            Some(sd) => format!(
                "Behaves like ± {}; you said ± {said}. From {readings}.",
                words.instrument_half_width(sd, angles)
            ),
            None => format!("You said ± {said}. Its {readings} cannot tell how it behaves."),
        };
        let worse = match (found.variance_ratio, found.band_95) {
            (Some(ratio), Some([low, _])) if ratio < low => Some("It reads better than you said."),
            (Some(ratio), Some([_, high])) if ratio > high => {
                Some("It reads worse than you said: see to it.")
            }
            _ => None,
        };
        Item {
            doubt: false,
            head: words.answer.survey.instruments[found.instrument].name.clone(),
            said: std::iter::once(told).chain(worse.map(str::to_owned)).collect(),
        }
    });
    Section {
        title: "Instruments",
        intro: None,
        items: items.collect(),
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
        plain("Whether the shell is straight was not worked out: compare the mirror pairs yourselves."),
    ]);
    Section {
        title: "What was not checked",
        intro: None,
        items,
    }
}
