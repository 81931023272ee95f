//! Labels exchanged: readings that are off where they are said to be, and fit when a label is replaced.

use super::{Cause, log_normal, odds, slip_alone};
use crate::doubts::set::Found;
use crate::network::Network;
use crate::result::Slip;
use crate::slips::prior;
use survey::Survey;

/// A reading fits elsewhere up to so many deviations.
const FITS: f64 = 4.0;

/// A reading that fits when `from` is replaced by `to`.
#[derive(Debug, Clone)]
struct Fitting {
    reading: usize,
    from: usize,
    to: usize,
    points: Vec<usize>,
    log_density: f64,
}

/// Pairs of labels that two or more of the removals fit when exchanged, most readings first; a reading is part of
/// one cause only.
pub(crate) fn exchanged(network: &Network, survey: &Survey, found: &Found) -> Vec<Cause> {
    let fitting = fitting(network, found);
    let mut pairs: Vec<[usize; 2]> = fitting
        .iter()
        .map(|f| [f.from.min(f.to), f.from.max(f.to)])
        .collect();
    pairs.sort_unstable();
    pairs.dedup();
    let mut causes: Vec<Cause> = pairs
        .into_iter()
        .filter_map(|pair| cause(network, survey, found, &fitting, pair))
        .collect();
    causes.sort_by(|a, b| {
        b.readings
            .len()
            .cmp(&a.readings.len())
            .then(b.odds.total_cmp(&a.odds))
            .then(a.points.cmp(&b.points))
    });
    let mut taken: Vec<usize> = Vec::new();
    causes.retain(|cause| {
        let free = cause.readings.iter().all(|i| !taken.contains(i));
        if free {
            taken.extend(&cause.readings);
        }
        free
    });
    causes
}

/// What each removal fits when one of its points is replaced.
fn fitting(network: &Network, found: &Found) -> Vec<Fitting> {
    let mut fitting = Vec::new();
    for &reading in &found.out {
        let o = &network.observations[reading];
        let stand = o.kind.needs_plumb().then_some(o.stand);
        for (slot, &from) in o.points().iter().enumerate() {
            for to in (0..network.point_count()).filter(|to| !o.points().contains(to)) {
                let mut points = o.points().to_vec();
                points[slot] = to;
                // Far places need no prediction.
                let Some(there) = found.fit.predict_near(network, o, &points, stand, FITS) else {
                    continue;
                };
                let variance = o.sd * o.sd + there.1;
                let left_over = there.0;
                if left_over.abs() <= FITS * variance.sqrt() {
                    fitting.push(Fitting {
                        reading,
                        from,
                        to,
                        points,
                        log_density: log_normal(left_over, variance),
                    });
                }
            }
        }
    }
    fitting
}

fn cause(
    network: &Network,
    survey: &Survey,
    found: &Found,
    fitting: &[Fitting],
    [a, b]: [usize; 2],
) -> Option<Cause> {
    let mut own: Vec<&Fitting> = fitting
        .iter()
        .filter(|f| [f.from, f.to] == [a, b] || [f.from, f.to] == [b, a])
        .collect();
    own.sort_by_key(|f| f.reading);
    own.dedup_by_key(|f| f.reading);
    if own.len() < 2 {
        return None;
    }
    let both_ways = own.iter().any(|f| f.from == a) && own.iter().any(|f| f.from == b);
    let partner = |p: usize| {
        survey.points[network.survey_point[p]]
            .mirror
            .map(|partner| network.canonical_point[partner])
    };
    let (slip, choices) = if both_ways {
        (Slip::LabelsExchanged, network.point_count())
    } else if partner(a) == Some(b) || partner(b) == Some(a) {
        (Slip::MirrorPoint, 1)
    } else {
        (Slip::WrongPoint, network.point_count())
    };
    let shared =
        (super::OFF * prior(slip) / choices as f64).ln() + own.iter().map(|f| f.log_density).sum::<f64>();
    let alone: f64 = own
        .iter()
        .map(|f| slip_alone(network, survey, &found.fit, f.reading))
        .sum();
    let odds = odds(shared, alone);
    (odds > 0.5).then(|| Cause {
        slip,
        readings: own.iter().map(|f| f.reading).collect(),
        points: vec![a, b],
        amount: None,
        belongs_to: own.iter().map(|f| f.points.clone()).collect(),
        odds,
        log_density: shared,
        held_out: true,
    })
}
