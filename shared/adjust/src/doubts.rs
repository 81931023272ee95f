//! Which readings are off: single-reading tests, holding out one after the other with putting back, and what can
//! not be told apart.
//!
//! The w-test is W. Baarda's (*A testing procedure for use in geodetic networks*, 1968): residual over its own
//! standard deviation. One after the other, largest first, re-tested, then put back what fits again: common
//! practice in network adjustment. Where slips mask each other that order can go wrong, so a second search
//! begins from a robust solution; the smaller set wins, then the lower chi-square. [`search`] is the one door:
//! a joint search over sets takes its place behind it.

use crate::ambiguity::{AS_GOOD, readings_of, second_places};
use crate::fit::Fit;
use crate::network::{Configuration, Network};
use crate::solve::{Loss, NEAR, minimise, misfit, predicted};
use crate::start::system_for;

/// A reading between this and the critical value is worth a second look.
pub(crate) const LOOK_AGAIN: f64 = 3.29;

/// More readings than this are no group of which "one of these" helps.
const LARGEST_GROUP: usize = 6;

/// What the search found.
#[derive(Debug, Clone)]
pub(crate) struct Doubts {
    /// The solution with everything held out that is to be held out.
    pub(crate) fit: Fit,
    /// Readings held out as suspects.
    pub(crate) suspects: Vec<usize>,
    /// Groups that cannot be told apart, and whether each is held out.
    pub(crate) groups: Vec<(Vec<usize>, bool)>,
    /// Something is off, and the readings cannot tell what.
    pub(crate) cannot_tell: bool,
    /// Readings beyond the critical value remain that no search could explain: the arrangement itself may be wrong.
    pub(crate) unexplained: bool,
}

/// Searches for the readings that are off.
pub(crate) fn search(network: &Network, all: &Fit) -> Doubts {
    if worst(network, all, &[]).is_some() && hopeless(network, all) {
        let (suspects, groups) = (Vec::new(), Vec::new());
        return Doubts {
            fit: all.clone(),
            suspects,
            groups,
            cannot_tell: true,
            unexplained: true,
        };
    }
    let mut forbidden = Vec::new();
    let greedy = one_by_one(network, all.clone(), Vec::new(), &mut forbidden);
    let mut best = greedy;
    if best.0.len() > 1 || !forbidden.is_empty() {
        let mut also_forbidden = Vec::new();
        let (fit, held) = from_robust(network, all);
        let second = one_by_one(network, fit, held, &mut also_forbidden);
        let rank =
            |set: &(Vec<usize>, Fit), forbidden: &[usize]| (forbidden.len() + set.0.len(), set.1.chi_square);
        let (a, b) = (rank(&best, &forbidden), rank(&second, &also_forbidden));
        if (b.0, b.1) < (a.0, a.1) {
            best = second;
            forbidden = also_forbidden;
        }
    }
    let (held, fit) = best;
    weigh(network, all, held, fit, forbidden)
}

/// Holds out the largest w again and again, putting back what fits. Readings whose removal would leave a point
/// loose or with two places are listed instead.
fn one_by_one(
    network: &Network,
    mut fit: Fit,
    mut held: Vec<usize>,
    forbidden: &mut Vec<usize>,
) -> (Vec<usize>, Fit) {
    for _ in 0..60 {
        let Some(worst) = worst(network, &fit, forbidden) else {
            break;
        };
        let Some(without) = hold_out(network, &fit, &[worst]) else {
            forbidden.push(worst);
            continue;
        };
        fit = without;
        held.push(worst);
        for back in held.clone().into_iter().filter(|&index| index != worst) {
            let z = fit.critical_w();
            if fit.rows[back].w.is_some_and(|w| w.abs() <= z) {
                let mut active = fit.active.clone();
                active[back] = true;
                let with = Fit::new(network, &active, fit.at.clone());
                if with.rows[back].w.is_none_or(|w| w.abs() <= z) {
                    fit = with;
                    held.retain(|&index| index != back);
                }
            }
        }
    }
    held.sort_unstable();
    (held, fit)
}

/// The reading in use with the largest w beyond the critical value that may be held out.
fn worst(network: &Network, fit: &Fit, forbidden: &[usize]) -> Option<usize> {
    let z = fit.critical_w();
    let mut best: Option<(usize, f64)> = None;
    for (index, o) in network.observations.iter().enumerate() {
        if !fit.active[index] || o.kept || forbidden.contains(&index) {
            continue;
        }
        let Some(w) = fit.rows[index].w.map(f64::abs).filter(|w| *w > z) else {
            continue;
        };
        if best.is_none_or(|(_, most)| w > most * (1.0 + 1e-9)) {
            best = Some((index, w));
        }
    }
    best.map(|(index, _)| index)
}

/// The solution without these readings; `None` where a point would become loose or two-valued.
fn hold_out(network: &Network, fit: &Fit, out: &[usize]) -> Option<Fit> {
    let mut active = fit.active.clone();
    for &index in out {
        active[index] = false;
    }
    let without = Fit::new(network, &active, fit.at.clone());
    if without.free_motions(network) > fit.free_motions(network) {
        return None;
    }
    let of = readings_of(network, &active);
    let mut thin: Vec<usize> = out
        .iter()
        .flat_map(|&index| network.observations[index].points().to_vec())
        .filter(|&p| of[p].len() <= 4)
        .collect();
    thin.sort_unstable();
    thin.dedup();
    let before = second_places(network, fit, &thin).len();
    let after = second_places(network, &without, &thin).len();
    (after <= before).then_some(without)
}

/// Whether more than one reading in eight is far off even in a robust solution: then it is not slips, but the
/// arrangement that is wrong, and holding out readings would only hide it.
fn hopeless(network: &Network, all: &Fit) -> bool {
    let (_, far) = robust(network, all);
    far.len() > 8 && 8 * far.len() > all.readings()
}

/// A robust solution, and the readings that it leaves far off.
fn robust(network: &Network, all: &Fit) -> (Configuration, Vec<usize>) {
    let system = system_for(network, &all.active, &all.at.positions);
    let mut at = all.at.clone();
    for scale in [10.0, 4.0, 2.5] {
        at = minimise(network, &system, &all.active, at, Loss::Robust(scale), NEAR).at;
    }
    let far: Vec<usize> = network
        .observations
        .iter()
        .enumerate()
        .filter(|(index, o)| {
            all.active[*index] && !o.kept && (misfit(o, predicted(o, &at).value, &at) / o.sd).abs() > 4.0
        })
        .map(|(index, _)| index)
        .collect();
    (at, far)
}

/// A start for the search from a robust solution: everything that it leaves far off is out.
fn from_robust(network: &Network, all: &Fit) -> (Fit, Vec<usize>) {
    let (at, far) = robust(network, all);
    let mut active = all.active.clone();
    let mut held: Vec<usize> = Vec::new();
    for index in far {
        active[index] = false;
        held.push(index);
    }
    let fit = Fit::new(network, &active, at);
    if fit.free_motions(network) > all.free_motions(network) {
        return (all.clone(), Vec::new());
    }
    put_back(network, fit, held)
}

/// Puts back, nearest first, every reading that fits again.
fn put_back(network: &Network, mut fit: Fit, mut held: Vec<usize>) -> (Fit, Vec<usize>) {
    loop {
        let z = fit.critical_w();
        let next = held
            .iter()
            .copied()
            .filter_map(|index| fit.rows[index].w.map(|w| (index, w.abs())))
            .filter(|(_, w)| *w <= z)
            .min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
        let Some((index, _)) = next else { break };
        let mut active = fit.active.clone();
        active[index] = true;
        fit = Fit::new(network, &active, fit.at.clone());
        held.retain(|&other| other != index);
    }
    (fit, held)
}

/// Turns a set of removals into verdicts: what is left to check them, and what would explain as much.
fn weigh(network: &Network, all: &Fit, held: Vec<usize>, fit: Fit, forbidden: Vec<usize>) -> Doubts {
    let eaten = points_eaten(network, &fit, &held);
    if !eaten.is_empty() {
        return cannot_tell(network, all, held, &eaten);
    }
    let mut suspects = held.clone();
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for &index in &held {
        let alternatives = as_good(network, &fit, index);
        if alternatives.is_empty() {
            continue;
        }
        let mut group = alternatives;
        group.push(index);
        // Groups that share a reading are one question.
        let (touching, rest): (Vec<_>, Vec<_>) = groups
            .into_iter()
            .partition(|other| other.iter().any(|i| group.contains(i)));
        groups = rest;
        group.extend(touching.into_iter().flatten());
        group.sort_unstable();
        group.dedup();
        groups.push(group);
    }
    let mut unsettled = false;
    let mut result = fit;
    let mut told: Vec<(Vec<usize>, bool)> = Vec::new();
    for group in groups {
        suspects.retain(|index| !group.contains(index));
        if group.len() > LARGEST_GROUP {
            unsettled = true;
        }
        let more: Vec<usize> = group
            .iter()
            .copied()
            .filter(|&index| result.active[index])
            .collect();
        match hold_out(network, &result, &more).filter(|_| group.len() <= LARGEST_GROUP) {
            Some(without) => {
                result = without;
                told.push((group, true));
            }
            None => {
                let mut active = result.active.clone();
                for &index in &group {
                    active[index] = true;
                }
                result = Fit::new(network, &active, result.at.clone());
                told.push((group, false));
            }
        }
    }
    for index in forbidden.into_iter().filter(|index| result.active[*index]) {
        let z = result.critical_w();
        let Some(own) = result.rows[index].w.filter(|w| w.abs() > z) else {
            continue;
        };
        if told.iter().any(|(group, _)| group.contains(&index)) {
            continue;
        }
        let group = nearly_as_far(network, &result, index, own);
        unsettled |= group.len() > LARGEST_GROUP;
        told.push((group, false));
    }
    told.sort();
    let grouped = |index: usize| told.iter().any(|(group, _)| group.contains(&index));
    let z = result.critical_w();
    let unexplained = network.observations.iter().enumerate().any(|(index, o)| {
        let far = result.rows[index].w.is_some_and(|w| w.abs() > z);
        result.active[index] && !o.kept && far && !grouped(index) && told.is_empty()
    });
    let cannot_tell = unsettled || unexplained || told.iter().any(|(_, out)| !out);
    Doubts {
        unexplained,
        fit: result,
        suspects,
        groups: told,
        cannot_tell,
    }
}

/// Readings at the same points whose w is within the difference that does not choose.
fn nearly_as_far(network: &Network, fit: &Fit, index: usize, own: f64) -> Vec<usize> {
    let points = network.observations[index].points().to_vec();
    let mut group: Vec<usize> = network
        .observations
        .iter()
        .enumerate()
        .filter(|(other, o)| {
            fit.active[*other]
                && o.points().iter().any(|p| points.contains(p))
                && fit.rows[*other]
                    .w
                    .is_some_and(|w| w * w >= (own * own - AS_GOOD).max(LOOK_AGAIN * LOOK_AGAIN))
        })
        .map(|(other, _)| other)
        .collect();
    if !group.contains(&index) {
        group.push(index);
    }
    group.sort_unstable();
    group
}

/// Points at which so much was removed that too little is left to check it: less redundancy than removals, with
/// half a reading's grace where there are several, next to none where there is one.
fn points_eaten(network: &Network, fit: &Fit, held: &[usize]) -> Vec<usize> {
    let mut removed = vec![0usize; network.point_count()];
    let mut left = vec![0.0; network.point_count()];
    for (index, o) in network.observations.iter().enumerate() {
        for &p in o.points() {
            removed[p] += usize::from(held.contains(&index));
            if fit.active[index] {
                left[p] += fit.rows[index].redundancy.unwrap_or(0.0);
            }
        }
    }
    (0..removed.len())
        .filter(|&p| network.fixed[p].contains(&false))
        .filter(|&p| match removed[p] {
            0 => false,
            1 => left[p] < 0.05,
            several => left[p] < several as f64 - 0.5,
        })
        .collect()
}

/// Everything that was removed at these points goes back, and the readings there are one question.
fn cannot_tell(network: &Network, all: &Fit, held: Vec<usize>, eaten: &[usize]) -> Doubts {
    let at_eaten = |index: &usize| {
        network.observations[*index]
            .points()
            .iter()
            .any(|p| eaten.contains(p))
    };
    let (back, out): (Vec<usize>, Vec<usize>) = held.into_iter().partition(at_eaten);
    let mut active = all.active.clone();
    for &index in &out {
        active[index] = false;
    }
    let fit = Fit::new(network, &active, all.at.clone());
    let mut groups = Vec::new();
    for &p in eaten {
        let mut group: Vec<usize> = network
            .observations
            .iter()
            .enumerate()
            .filter(|(index, o)| {
                fit.active[*index]
                    && o.points().contains(&p)
                    && (back.contains(index) || fit.rows[*index].w.is_some_and(|w| w.abs() > 1.0))
            })
            .map(|(index, _)| index)
            .collect();
        // The most suspicious first, as many as a group may have.
        group.sort_by(|a, b| {
            let size = |index: &usize| fit.rows[*index].w.map_or(0.0, f64::abs);
            size(b).total_cmp(&size(a)).then(a.cmp(b))
        });
        group.truncate(LARGEST_GROUP);
        group.sort_unstable();
        if !groups
            .iter()
            .any(|(other, _): &(Vec<usize>, bool)| other.iter().any(|i| group.contains(i)))
        {
            groups.push((group, false));
        }
    }
    Doubts {
        fit,
        suspects: out,
        groups,
        cannot_tell: true,
        unexplained: false,
    }
}

/// Readings that could be removed instead of this one with as good a result.
fn as_good(network: &Network, fit: &Fit, index: usize) -> Vec<usize> {
    let Some(own) = fit.rows[index].w else {
        return Vec::new();
    };
    let mut active = fit.active.clone();
    active[index] = true;
    let with = Fit::new(network, &active, fit.at.clone());
    let z = fit.critical_w();
    let mut candidates: Vec<(usize, f64)> = network
        .observations
        .iter()
        .enumerate()
        .filter(|(other, o)| *other != index && with.active[*other] && !o.kept)
        .filter_map(|(other, _)| Some((other, with.rows[other].w?.abs())))
        .filter(|(_, w)| *w > LOOK_AGAIN && w * w >= own * own - AS_GOOD - 1.0)
        .collect();
    candidates.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    candidates
        .into_iter()
        .take(2 * LARGEST_GROUP)
        .filter(|&(other, _)| {
            let mut active = with.active.clone();
            active[other] = false;
            let instead = Fit::new(network, &active, with.at.clone());
            instead.chi_square <= fit.chi_square + AS_GOOD
                && instead.free_motions(network) <= fit.free_motions(network)
                && instead
                    .rows
                    .iter()
                    .zip(&instead.active)
                    .all(|(row, active)| !active || row.w.is_none_or(|w| w.abs() <= z))
        })
        .map(|(other, _)| other)
        .collect()
}
