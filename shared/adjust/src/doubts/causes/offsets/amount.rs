//! Which amount it is that readings share, how likely such an amount is, and what it is called.

use crate::network::Network;
use crate::result::{Estimate, Slip};
use survey::{INCH_MM, ReadFrom, Survey};

/// An unknown amount is no larger, mm: more is no sheet but single slips.
pub(super) const MOST_MM: f64 = 60.0;
/// The same for angles.
pub(super) const MOST_RAD: f64 = 0.1;
/// Marks that are mistaken are met within this, as a standard deviation, mm.
const MARK_MM: f64 = 0.05;
/// Two amounts are one within so many deviations.
const ALIKE: f64 = 4.0;

/// Logarithm of the density of an amount before anything was read: half the time a mark that people mistake, else
/// anything up to [`MOST_MM`].
pub(super) fn log_density(survey: &Survey, readings: &[usize], amount: Estimate, angle: bool) -> f64 {
    let most = if angle { MOST_RAD } else { MOST_MM };
    let mut density = if amount.value.abs() <= most {
        0.5 / (2.0 * most)
    } else {
        0.0
    };
    if !angle {
        let marks = marks(survey, readings);
        let variance = MARK_MM * MARK_MM + amount.sd * amount.sd;
        density += marks
            .iter()
            .map(|(mark, _)| super::super::log_normal(amount.value - mark, variance).exp())
            .sum::<f64>()
            * 0.5
            / marks.len() as f64;
    }
    density.ln()
}

/// An amount that is a mark within what can be told is that mark.
pub(crate) fn settled(survey: &Survey, readings: &[usize], amount: Estimate) -> f64 {
    marks(survey, readings)
        .into_iter()
        .map(|(mark, _)| mark)
        .find(|mark| (amount.value - mark).abs() < ALIKE * amount.sd.max(MARK_MM))
        .unwrap_or(amount.value)
}

/// What people mistake or forget, and by how much that is off.
fn marks(survey: &Survey, readings: &[usize]) -> Vec<(f64, ReadFrom)> {
    let mut marks = vec![
        (INCH_MM, ReadFrom::BurnInch),
        (-INCH_MM, ReadFrom::BurnInch),
        (100.0, ReadFrom::Burn100mm),
        (-100.0, ReadFrom::Burn100mm),
        (INCH_MM / 2.0, ReadFrom::Hook),
        (-INCH_MM / 2.0, ReadFrom::Hook),
    ];
    let case = readings
        .iter()
        .find_map(|&row| survey.instrument_of(survey.readings.get(row)?)?.case_length_mm);
    marks.extend(
        case.into_iter()
            .flat_map(|length| [(length, ReadFrom::Case), (-length, ReadFrom::Case)]),
    );
    marks
}

/// What the cause is called: a toggle that was forgotten where the rows beside have it, or had it on, else a whole
/// sheet.
pub(super) fn name(network: &Network, survey: &Survey, observations: &[usize], amount: Estimate) -> Slip {
    let rows: Vec<usize> = observations
        .iter()
        .map(|&i| network.observations[i].reading)
        .collect();
    let (Some(&first), Some(&last)) = (rows.iter().min(), rows.iter().max()) else {
        return Slip::WholeSheet;
    };
    let from_of = |row: usize| survey.readings.get(row).map(|reading| reading.from);
    let own = survey.readings[first].from;
    let forgotten = [first.checked_sub(1), Some(last + 1)]
        .into_iter()
        .flatten()
        .filter_map(from_of)
        .any(|beside| {
            let off = |from| match from {
                ReadFrom::Hook => Some(0.0),
                ReadFrom::BurnInch => Some(INCH_MM),
                ReadFrom::Burn100mm => Some(100.0),
                ReadFrom::Case => survey
                    .instrument_of(&survey.readings[first])
                    .and_then(|i| i.case_length_mm)
                    .map(|length| -length),
            };
            // What was read as `beside` and said as `own` is too long by the difference.
            let by = off(beside).zip(off(own)).map(|(real, said)| real - said);
            beside != own && by.is_some_and(|by| (amount.value - by).abs() < ALIKE * amount.sd.max(MARK_MM))
        });
    if forgotten {
        Slip::FromForgotten
    } else {
        Slip::WholeSheet
    }
}
