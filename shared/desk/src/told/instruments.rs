//! How the instruments and the people behave.

use adjust::{InstrumentBehaviour, PersonBehaviour};

use super::words::Words;
use super::{Item, Section};
use crate::adjust::counted;
use crate::wire::reads_angles;

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
            said: std::iter::once(told)
                .chain(worse.map(str::to_owned))
                .chain(zero(words, found))
                .collect(),
        }
    });
    Section {
        title: "Instruments",
        intro: None,
        items: items.collect(),
    }
}

/// What its zero offset comes out as.
fn zero(words: &Words<'_>, found: &InstrumentBehaviour) -> Option<String> {
    let offset = found.offset?;
    let [by, half] = words.difference(offset.value, offset.sd);
    let way = if offset.value >= 0.0 { "short" } else { "long" };
    Some(if offset.significant {
        let said = words.answer.survey.instruments[found.instrument].zero_offset_mm;
        let write = words.signed_difference(said + offset.value);
        format!("Reads {by} {way} at its zero, ± {half}. Write {write} as its zero_offset if you trust that.")
    } else {
        format!("No zero offset shows: it comes out {by} {way}, within its ± {half}.")
    })
}

/// How the people read. Nobody is told to be bad at it: only what the readings show.
pub(super) fn people(words: &Words<'_>) -> Section {
    Section {
        title: "People",
        intro: Some("How the readings of each scatter, whatever they were read with.".to_owned()),
        items: words.answer.adjustment.people.iter().map(person).collect(),
    }
}

fn person(found: &PersonBehaviour) -> Item {
    let readings = counted(found.readings, "reading");
    let scatter = match (found.variance_ratio, found.band_95) {
        (Some(ratio), Some([low, high])) => {
            let times = ratio.sqrt();
            if ratio > high {
                format!(
                    "Scatter {times:.1} times as wide as the instruments promise. Have the other person read some of \
                     them again."
                )
            } else if ratio < low {
                format!("Scatter less than the instruments promise: {times:.1} times as wide.")
            } else {
                "Scatter as the instruments promise.".to_owned()
            }
        }
        _ => "They cannot tell how they scatter: too little checks them.".to_owned(),
    };
    let held_out = (found.held_out > 0)
        .then(|| format!("Beside these, {} held out.", counted(found.held_out, "reading")));
    Item {
        doubt: false,
        head: format!("{}, {readings}", found.name),
        said: std::iter::once(scatter).chain(held_out).collect(),
    }
}
