//! A mark that moved: from some reading on, or until some reading, all readings of one point go to another place.

use super::{Cause, OFF, log_normal, odds, slip_alone};
use crate::doubts::set::{Found, explained, without};
use crate::fit::Fit;
use crate::network::Network;
use crate::result::Slip;
use crate::slips::prior;
use crate::solve::predicted;
use nalgebra::{DMatrix, DVector};
use survey::Survey;

/// How far marks move, as a standard deviation in each axis, mm: judgement of the trade, no source.
const MOVES_MM: f64 = 30.0;
/// How many readings beyond what is off are tried as part of the move.
const SPARE: usize = 4;

/// Takes marks that moved out of a set of removals: all readings of the lesser side are held out in its place.
/// What other causes explain is left alone.
pub(crate) fn moved(
    network: &Network,
    survey: &Survey,
    all: &Fit,
    mut found: Found,
    others: &[Cause],
) -> (Found, Vec<Cause>) {
    let mut causes: Vec<Cause> = Vec::new();
    for p in 0..network.point_count() {
        let taken = |i: &usize| {
            others
                .iter()
                .chain(&causes)
                .any(|cause| cause.readings.contains(i))
        };
        let off: Vec<usize> = found
            .out
            .iter()
            .copied()
            .filter(|i| network.observations[*i].points().contains(&p) && !taken(i))
            .collect();
        if off.len() < 2 || network.fixed[p].contains(&true) {
            continue;
        }
        if let Some((cause, fit)) = move_of(network, survey, all, &found, p, &off) {
            found.out.extend(&cause.readings);
            found.out.sort_unstable();
            found.out.dedup();
            found.fit = fit;
            found
                .rivals
                .retain(|rival| cause.readings.iter().all(|i| rival.out.contains(i)));
            causes.push(cause);
        }
    }
    (found, causes)
}

/// The best split of the readings of a point, in the order of the sheet, such that all that are off lie on the
/// lesser side; `None` where single slips explain them better.
fn move_of(
    network: &Network,
    survey: &Survey,
    all: &Fit,
    found: &Found,
    p: usize,
    off: &[usize],
) -> Option<(Cause, Fit)> {
    let mut order: Vec<usize> = (0..network.observations.len())
        .filter(|&i| all.active[i] && network.observations[i].points().contains(&p))
        .collect();
    order.sort_by_key(|&i| network.observations[i].reading);
    let first = order.iter().position(|i| off.contains(i))?;
    let last = order.iter().rposition(|i| off.contains(i))?;
    let half = order.len() / 2;
    let sides = (0..=SPARE)
        .filter_map(|spare| Some(first.checked_sub(spare)?..order.len()))
        .chain(
            (0..=SPARE)
                .filter(|spare| last + spare < order.len())
                .map(|spare| 0..last + spare + 1),
        )
        .filter(|side| side.len() <= half);
    let mut best: Option<(f64, Vec<usize>, Fit)> = None;
    for side in sides {
        let side: Vec<usize> = order[side].to_vec();
        let fit = if side.iter().all(|i| found.out.contains(i)) {
            found.fit.clone()
        } else {
            let fit = without(network, &found.fit.active, &side, found.fit.at.clone());
            let whole = fit.free_motions(network) <= found.fit.free_motions(network);
            if !whole || !explained(network, &fit) {
                continue;
            }
            fit
        };
        let Some(lead) = lead(network, survey, &fit, p, &side, off) else {
            continue;
        };
        if best.as_ref().is_none_or(|(most, _, _)| lead > *most) {
            best = Some((lead, side, fit));
        }
    }
    let (lead, mut readings, fit) = best.filter(|(lead, _, _)| *lead > 0.0)?;
    readings.sort_unstable();
    let cause = Cause {
        slip: Slip::MovedMark,
        readings,
        points: vec![p],
        amount: None,
        belongs_to: Vec::new(),
        odds: odds(lead, 0.0),
        held_out: true,
    };
    Some((cause, fit))
}

/// By how much, as a logarithm, a move explains this side better than single slips do: under a move the misfits
/// are normal with covariance MOVES² GGᵀ + diag(σ² + prediction), G how each reading changes with the point.
fn lead(
    network: &Network,
    survey: &Survey,
    fit: &Fit,
    p: usize,
    side: &[usize],
    off: &[usize],
) -> Option<f64> {
    let n = side.len();
    let mut variance = DMatrix::zeros(n, n);
    let mut misfits = DVector::zeros(n);
    let mut alone = 0.0;
    let mut slopes = Vec::with_capacity(n);
    for (row, &index) in side.iter().enumerate() {
        let o = &network.observations[index];
        let there = predicted(o, &fit.at);
        let slot = o.points().iter().position(|&q| q == p)?;
        slopes.push(there.by_point[slot]);
        let own = o.sd * o.sd + fit.rows[index].variance?;
        variance[(row, row)] = own;
        misfits[row] = fit.rows[index].misfit;
        alone += if off.contains(&index) {
            slip_alone(network, survey, fit, index)
        } else {
            log_normal(fit.rows[index].misfit, own)
        };
    }
    for i in 0..n {
        for j in 0..n {
            variance[(i, j)] += MOVES_MM * MOVES_MM * slopes[i].dot(&slopes[j]);
        }
    }
    let factor = variance.cholesky()?;
    let log_determinant: f64 = (0..n).map(|i| 2.0 * factor.l_dirty()[(i, i)].ln()).sum();
    let square = misfits.dot(&factor.solve(&misfits));
    let moved = (OFF * prior(Slip::MovedMark)).ln()
        - 0.5 * (square + log_determinant + n as f64 * (2.0 * std::f64::consts::PI).ln());
    Some(moved - alone)
}
