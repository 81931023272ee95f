//! A mark that moved: from some reading on, or until some reading, all readings of one point go to another place.

use super::{CONVINCING, Cause, OFF, odds, slip_alone};
use crate::doubts::set::{Found, explained};
use crate::fit::Fit;
use crate::network::Network;
use crate::result::Slip;
use crate::slips::prior;
use crate::solve::predicted;
use nalgebra::{DMatrix, DVector};
use survey::{Quantity, Survey};

/// How far marks move, as a standard deviation in each axis, mm: judgement of the trade, no source.
const MOVES_MM: f64 = 30.0;
/// No mark moves further, in such deviations.
const FARTHEST: f64 = 5.0;
/// A move has three unknowns: fewer readings do not check it, and are no move where some of them fit as they are.
const LEAST: usize = 4;
/// Below this a reading fits, in deviations.
const FITS: f64 = 1.0;
/// A split is as likely as another within this logarithm.
const AS_LIKELY: f64 = 2.0;

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
            found.out.retain(|i| !off.contains(i));
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

/// The best split of the readings of a point, in the order of the sheet, with the lesser side held out; `None` where
/// single slips explain them better.
fn move_of(
    network: &Network,
    survey: &Survey,
    all: &Fit,
    found: &Found,
    p: usize,
    off: &[usize],
) -> Option<(Cause, Fit)> {
    let too_far = |i: &usize| {
        let o = &network.observations[*i];
        o.kind.quantity() == Quantity::Length && found.fit.rows[*i].misfit.abs() > FARTHEST * MOVES_MM
    };
    if off.iter().any(too_far) {
        return None;
    }
    let mut order: Vec<usize> = (0..network.observations.len())
        .filter(|&i| all.active[i] && network.observations[i].points().contains(&p))
        .collect();
    order.sort_by_key(|&i| network.observations[i].reading);
    let mut others = found.fit.active.clone();
    for &index in off {
        others[index] = true;
    }
    let alone: f64 = off
        .iter()
        .map(|&index| slip_alone(network, survey, &found.fit, index))
        .sum();
    let single_slips = found.fit.log_likelihood(network) + alone;
    let mut moves: Vec<Move> = Vec::new();
    for first in 1..order.len() {
        let side = if 2 * first > order.len() {
            first..order.len()
        } else {
            0..first
        };
        let border = order[if side.start > 0 { side.start } else { side.end - 1 }];
        let mut side: Vec<usize> = order[side].to_vec();
        side.sort_unstable();
        let named = side.iter().all(|i| found.out.contains(i));
        if side.len() < 2
            || side.iter().any(|&i| network.observations[i].kept)
            || !named && side.len() < LEAST
        {
            continue;
        }
        let mut active = others.clone();
        for &index in &side {
            active[index] = false;
        }
        let fit = Fit::with_system(network, &active, found.fit.at.clone(), found.fit.system.clone());
        if fit.free_motions(network) > found.fit.free_motions(network) || !explained(network, &fit) {
            continue;
        }
        // A reading at the border that fits as it is says nothing for the move.
        if !named && fit.rows[border].w.is_none_or(|w| w.abs() < FITS) {
            continue;
        }
        let Some(density) = density_of_move(network, &fit, p, &side) else {
            continue;
        };
        let density = (OFF * prior(Slip::MovedMark) / order.len() as f64).ln() + density;
        let lead = fit.log_likelihood(network) + density - single_slips;
        // Readings that fit as they are go with a move only where that is convincing.
        if lead > if named { 0.0 } else { CONVINCING } {
            moves.push(Move {
                lead,
                density,
                side,
                fit,
            });
        }
    }
    // Of splits that are as good, the one that holds the fewest readings out.
    let most = moves.iter().map(|a| a.lead).fold(f64::NEG_INFINITY, f64::max);
    let best = moves
        .into_iter()
        .filter(|a| a.lead > most - AS_LIKELY)
        .min_by_key(|a| a.side.len())?;
    let cause = Cause {
        slip: Slip::MovedMark,
        readings: best.side,
        points: vec![p],
        amount: None,
        belongs_to: Vec::new(),
        odds: odds(best.lead, 0.0),
        log_density: best.density,
        held_out: true,
    };
    Some((cause, best.fit))
}

/// A move of a mark.
struct Move {
    /// By how much it is likelier than single slips, as a logarithm.
    lead: f64,
    density: f64,
    /// What is held out.
    side: Vec<usize>,
    fit: Fit,
}

/// Logarithm of the density of the readings of one side under a move: their misfits are normal with covariance
/// MOVES² GGᵀ + diag(σ² + prediction), G how each reading changes with the point.
fn density_of_move(network: &Network, fit: &Fit, p: usize, side: &[usize]) -> Option<f64> {
    let n = side.len();
    let mut variance = DMatrix::zeros(n, n);
    let mut misfits = DVector::zeros(n);
    let mut slopes = Vec::with_capacity(n);
    for (row, &index) in side.iter().enumerate() {
        let o = &network.observations[index];
        let there = predicted(o, &fit.at);
        let slot = o.points().iter().position(|&q| q == p)?;
        slopes.push(there.by_point[slot]);
        variance[(row, row)] = o.sd * o.sd + fit.rows[index].variance?;
        misfits[row] = fit.rows[index].misfit;
    }
    for i in 0..n {
        for j in 0..n {
            variance[(i, j)] += MOVES_MM * MOVES_MM * slopes[i].dot(&slopes[j]);
        }
    }
    let factor = variance.cholesky()?;
    let log_determinant: f64 = (0..n).map(|i| 2.0 * factor.l_dirty()[(i, i)].ln()).sum();
    let square = misfits.dot(&factor.solve(&misfits));
    Some(-0.5 * (square + log_determinant + n as f64 * (2.0 * std::f64::consts::PI).ln()))
}
