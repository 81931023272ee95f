//! One cause that several readings share: one doubt, with one action.

use adjust::{SharedCause, Slip};
use survey::{Kind, Quantity, ReadFrom};

use super::words::{Words, capital, number};
use super::{Item, Section};
use crate::AdjustAnswer;

/// What several readings have in common that are off.
pub(super) fn causes(words: &Words<'_>) -> Section {
    Section {
        title: "One cause for several readings",
        intro: None,
        items: words
            .answer
            .adjustment
            .causes
            .iter()
            .map(|cause| Item {
                doubt: true,
                head: head(words, cause),
                said: said(words, cause),
            })
            .collect(),
    }
}

/// Whether a shared cause explains a reading: it is told there, and not by itself.
pub(crate) fn explained_by_a_cause(answer: &AdjustAnswer, reading: usize) -> bool {
    let causes = &answer.adjustment.causes;
    causes
        .iter()
        .any(|cause| cause.readings.binary_search(&reading).is_ok())
}

fn head(words: &Words<'_>, cause: &SharedCause) -> String {
    let point = |n: usize| cause.points.get(n).map_or_else(String::new, |&p| words.label(p));
    let count = number(cause.readings.len());
    match cause.slip {
        Slip::MovedMark => format!("The mark of {} moved.", point(0)),
        Slip::LabelsExchanged => format!("{} and {} are exchanged in {count} readings.", point(0), point(1)),
        Slip::MirrorPoint => format!(
            "{} and {}, left and right, are swapped in {count} readings.",
            point(0),
            point(1)
        ),
        Slip::WrongPoint => format!("{} and {} are mixed up in {count} readings.", point(0), point(1)),
        _ => format!(
            "{} are all {}.",
            capital(&group(words, cause)),
            amount(words, cause)
        ),
    }
}

fn said(words: &Words<'_>, cause: &SharedCause) -> Vec<String> {
    let point = |n: usize| cause.points.get(n).map_or_else(String::new, |&p| words.label(p));
    let which = ids(words, cause);
    let action = match cause.slip {
        Slip::MovedMark => format!(
            "{which} fit another place than its other readings. Look at the mark, then tape it again from four points."
        ),
        Slip::LabelsExchanged | Slip::MirrorPoint | Slip::WrongPoint => format!(
            "{which} fit when one label stands for the other. Look which of {} and {} was meant, and correct them together.",
            point(0),
            point(1)
        ),
        Slip::FromForgotten => format!(
            "Was it read from another mark, as the readings beside them were? Then say so for all of them: {which}."
        ),
        _ => match likely_mark(words, cause) {
            Some(mark) => format!("Read from {mark}? Then say so for all of them: {which}."),
            None => {
                format!("Look at the zero of what they were read with, then correct them together: {which}.")
            }
        },
    };
    let counts = if words.answer.adjustment.summary.held_out == 0 && cause.held_out {
        "They are kept in as you asked."
    } else if cause.held_out {
        "Until then they count for nothing in the points."
    } else {
        "Without them points could move, so they stay in. What they share counts for nothing in the points."
    };
    vec![action, counts.to_owned()]
}

/// Whose readings they are: all of a person or an instrument, or so many in a row.
fn group(words: &Words<'_>, cause: &SharedCause) -> String {
    let survey = &words.answer.survey;
    let readings = || cause.readings.iter().map(|&i| &survey.readings[i]);
    let count = number(cause.readings.len());
    let Some(first) = readings().next() else {
        return "no readings".to_owned();
    };
    let length = |kind: Kind| kind.quantity() == first.kind.quantity();
    let whole = |same: &dyn Fn(&survey::Reading) -> bool| {
        let all = survey
            .readings
            .iter()
            .filter(|r| same(r) && length(r.kind) && !r.kind.needs_plumb())
            .count();
        readings().all(same) && 10 * cause.readings.len() >= 9 * all
    };
    if !first.by.is_empty() && whole(&|reading| reading.by == first.by) {
        return format!("the {count} readings by {}", first.by);
    }
    if let Some(instrument) = first.instrument
        && whole(&|reading| reading.instrument == Some(instrument))
    {
        return format!(
            "the {count} readings with {}",
            survey.instruments[instrument].name
        );
    }
    format!("{count} readings in a row")
}

/// `1 in long`, or in degrees too wide.
fn amount(words: &Words<'_>, cause: &SharedCause) -> String {
    let Some(amount) = cause.amount else {
        return "off by one amount".to_owned();
    };
    let kind = cause
        .readings
        .first()
        .map_or(Kind::Tape, |&i| words.answer.survey.readings[i].kind);
    let value = cause
        .readings
        .first()
        .and_then(|&i| {
            let found = &words.answer.adjustment.readings[i];
            Some(found.observed - found.likely_slip.as_ref()?.corrected?)
        })
        .unwrap_or(amount.value);
    let (over, under) = match kind.quantity() {
        Quantity::Length => ("long", "short"),
        Quantity::Angle => ("too much", "too little"),
    };
    format!(
        "{} {}",
        words.value(kind, value.abs()),
        if value > 0.0 { over } else { under }
    )
}

/// The mark on the tape that would explain the amount.
fn likely_mark(words: &Words<'_>, cause: &SharedCause) -> Option<&'static str> {
    let amount = cause.amount?.value;
    let hook = cause
        .readings
        .iter()
        .all(|&i| words.answer.survey.readings[i].from == ReadFrom::Hook);
    let near = |mark: f64| (amount - mark).abs() < 1.0;
    match () {
        () if hook && near(survey::INCH_MM) => Some("the 1 inch mark"),
        () if hook && near(100.0) => Some("the 100 mm mark"),
        () if !hook && (near(-survey::INCH_MM) || near(-100.0)) => Some("the hook after all"),
        () => None,
    }
}

/// `q12, q14 and q20`, or the first and the last of many.
fn ids(words: &Words<'_>, cause: &SharedCause) -> String {
    let ids: Vec<&str> = cause
        .readings
        .iter()
        .map(|&i| words.answer.survey.readings[i].id.as_str())
        .collect();
    match ids.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [some @ .., last] if some.len() < 8 => format!("{} and {last}", some.join(", ")),
        [first, .., last] => format!("{} readings from {first} to {last}", ids.len()),
    }
}
