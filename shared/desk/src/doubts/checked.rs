//! How much of a survey is checked, and what is worth a blind reading.

use survey::State;

use super::Found;
use crate::AdjustAnswer;
use crate::told::{is_unchecked, is_used};
use crate::wire::{CheckedShare, LeastChecked, WorstPoint};

/// How many readings are named for a blind one.
const BLIND: usize = 5;
/// The longest half axis of a 95 % ellipsoid over the standard deviation along it: the root of the 0.95 quantile of
/// chi-square with 3 degrees of freedom, 7.8147.
const ELLIPSOID_95: f64 = 2.795_483_483;

/// How much is checked.
pub(crate) fn checked(answer: &AdjustAnswer) -> CheckedShare {
    let readings = 0..answer.survey.readings.len();
    let state = |state| {
        answer
            .survey
            .readings
            .iter()
            .filter(|reading| reading.state == state)
            .count()
    };
    let used = readings
        .clone()
        .filter(|&reading| is_used(answer, reading))
        .count();
    let unchecked = readings
        .clone()
        .filter(|&reading| is_unchecked(answer, reading))
        .count();
    let found = Found { answer };
    CheckedShare {
        readings: readings.len(),
        used,
        checked: used - unchecked,
        unchecked,
        held_out: answer.adjustment.summary.held_out,
        set_aside: state(State::SetAside),
        kept: state(State::Kept),
        points: answer.survey.points.len(),
        accepted: None,
        least_checked: found
            .least_checked()
            .first()
            .map(|&(reading, slip)| LeastChecked {
                reading: found.name(reading),
                slip: found.shown(reading, slip),
                quantity: found.quantity(reading).into(),
            }),
    }
}

/// Readings worth a second, blind reading.
pub(crate) fn blind(answer: &AdjustAnswer) -> Vec<String> {
    let found = Found { answer };
    found
        .least_checked()
        .into_iter()
        .take(BLIND)
        .map(|(reading, _)| found.name(reading))
        .collect()
}

/// The least certain point that is pinned down.
pub(crate) fn worst(answer: &AdjustAnswer) -> Option<WorstPoint> {
    let points = answer.adjustment.points.iter().enumerate();
    let (point, sd_mm) = points
        .filter_map(|(at, point)| Some((at, point.ellipsoid_95_mm()?[0] / ELLIPSOID_95)))
        .max_by(|(_, a), (_, b)| a.total_cmp(b))?;
    Some(WorstPoint {
        point: Found { answer }.label(point),
        sd_mm,
    })
}

impl Found<'_> {
    /// Checked readings with the smallest slip that would show in each, the largest first.
    fn least_checked(&self) -> Vec<(usize, f64)> {
        let checked = |&reading: &usize| is_used(self.answer, reading) && !is_unchecked(self.answer, reading);
        let readings = (0..self.answer.survey.readings.len()).filter(checked);
        let mut slips: Vec<(usize, f64)> = readings
            .filter_map(|at| Some((at, self.answer.adjustment.readings[at].smallest_visible_slip?)))
            .collect();
        let reach = |&(reading, slip): &(usize, f64)| self.reach_mm(reading, slip);
        slips.sort_by(|a, b| reach(b).total_cmp(&reach(a)));
        slips
    }
}
