//! The toggle that was forgotten: what a number was read from on purpose is not what the sheet says.

use super::priors::RAISED;
use super::{Subject, Way};
use crate::result::Slip;
use survey::{INCH_MM, InstrumentKind, Quantity, ReadFrom, Reading};

/// Rows before and after a reading that tell how the crew was reading just then.
const ROWS: usize = 3;

/// What a forgotten toggle, or a case forgotten or added for nothing, would make of this reading.
pub(super) fn ways(subject: &Subject<'_>) -> Vec<Way> {
    let reading = subject.reading;
    if reading.kind.quantity() != Quantity::Length {
        return Vec::new();
    }
    let case = subject.instrument().and_then(|i| i.case_length_mm);
    // What is added to get from point to point, by what it was read from; a laser has no marks to read from.
    let laser = subject
        .instrument()
        .is_some_and(|i| i.kind == InstrumentKind::Laser);
    let added = |from: ReadFrom| match from {
        ReadFrom::Hook => Some(0.0),
        ReadFrom::BurnInch => (!laser).then_some(-INCH_MM),
        ReadFrom::Burn100mm => (!laser).then_some(-100.0),
        ReadFrom::Case => case,
    };
    let Some(said) = added(reading.from) else {
        return Vec::new();
    };
    let other: Vec<(ReadFrom, f64)> = [
        ReadFrom::Hook,
        ReadFrom::BurnInch,
        ReadFrom::Burn100mm,
        ReadFrom::Case,
    ]
    .into_iter()
    .filter(|from| *from != reading.from)
    .filter_map(|from| Some((from, added(from)?)))
    .collect();
    let near = near_by(subject);
    let mut ways = Vec::new();
    for &(from, amount) in &other {
        let raised = if near.contains(&from) { RAISED } else { 1.0 };
        let share = raised / other.len() as f64;
        ways.extend(subject.undone(Slip::FromForgotten, said - amount, share));
    }
    if let Some(case) = case.filter(|case| *case > 0.0) {
        let amount = match reading.from {
            ReadFrom::Hook => Some(-case),
            ReadFrom::Case => Some(case),
            ReadFrom::BurnInch | ReadFrom::Burn100mm => None,
        };
        ways.extend(amount.and_then(|amount| subject.undone(Slip::CaseLength, amount, 1.0)));
    }
    ways
}

/// What the readings near it in the sheet were read from, by the same person with the same instrument. A reading
/// that is not in the sheet yet comes after its last row.
fn near_by(subject: &Subject<'_>) -> Vec<ReadFrom> {
    let readings = &subject.survey.readings;
    let own = subject
        .survey
        .reading_index(&subject.reading.id)
        .unwrap_or(readings.len());
    let alike = |other: &&Reading| {
        other.id != subject.reading.id
            && other.by == subject.reading.by
            && other.instrument == subject.reading.instrument
            && other.kind.quantity() == Quantity::Length
    };
    let first = own.saturating_sub(ROWS).min(readings.len());
    let last = (own + ROWS + 1).min(readings.len());
    readings[first..last]
        .iter()
        .filter(alike)
        .map(|other| other.from)
        .collect()
}
