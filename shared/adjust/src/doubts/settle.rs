//! From a set of removals and its rivals to verdicts: what is held out, what is unclear, what nobody can tell.

use super::causes::offsets::Shared;
use super::set::{Found, explained, without};
use super::{Cause, Doubts, LOOK_AGAIN, causes_in};
use crate::ambiguity::{AS_GOOD, readings_of, second_places};
use crate::fit::Fit;
use crate::network::{Configuration, Network};
use survey::Survey;

/// More readings than this are no group of which "one of these" helps.
const LARGEST_GROUP: usize = 6;
/// Redundancy left at a point below which what was removed there has eaten what would check it.
const EATEN: f64 = 0.05;

/// One set of removals that explains everything.
#[derive(Debug, Clone)]
pub(crate) struct Explanation {
    /// Observation indices, ascending.
    pub(crate) out: Vec<usize>,
    /// Where the points are without them.
    pub(crate) at: Configuration,
    pub(crate) chi_square: f64,
}

/// Readings of which some are off, and nothing tells which.
#[derive(Debug, Clone)]
pub(crate) struct Group {
    /// Observation indices, ascending.
    pub(crate) readings: Vec<usize>,
    pub(crate) held_out: bool,
    /// What would explain the survey, the best first: at least two, unless nothing else checks the reading.
    pub(crate) explanations: Vec<Explanation>,
}

/// Turns the set found and its rivals into verdicts.
pub(crate) fn settle(network: &Network, all: &Fit, mut found: Found, causes: Vec<Cause>) -> Doubts {
    // A rival explains what a cause explains by as many single slips: that is not as small.
    let shared = |index: &usize| causes.iter().any(|cause| cause.readings.contains(index));
    found
        .rivals
        .retain(|rival| found.out.iter().all(|i| !shared(i) || rival.out.contains(i)));
    let own = found.explanation();
    let mut groups = grouped(&own, &found.rivals);
    // What must not be held out although it is off: without it a point would be loose, have two places, or
    // nothing left to check it.
    let bound = bound(network, all, &found);
    for index in bound {
        if groups.iter().any(|group| group.readings.contains(&index)) {
            continue;
        }
        let mut active = found.fit.active.clone();
        active[index] = true;
        let with = Fit::new(network, &active, found.fit.at.clone());
        groups.push(Group {
            readings: nearly_as_far(network, &with, index),
            held_out: false,
            explanations: vec![own.clone()],
        });
        merge(&mut groups);
    }
    let suspects: Vec<usize> = found
        .out
        .iter()
        .copied()
        .filter(|index| !groups.iter().any(|group| group.readings.contains(index)))
        .collect();
    let mut fit = {
        let mut active = all.active.clone();
        for &index in &suspects {
            active[index] = false;
        }
        if groups.is_empty() {
            found.fit
        } else {
            // With the groups back in, the points may lie where everything in has them.
            let fits = [found.fit.at, all.at.clone()].map(|at| Fit::new(network, &active, at));
            let [here, there] = fits;
            if there.chi_square < here.chi_square {
                there
            } else {
                here
            }
        }
    };
    let mut unsettled = false;
    let mut told: Vec<Group> = Vec::new();
    for mut group in groups {
        if group.readings.len() > LARGEST_GROUP {
            unsettled = true;
            told.extend(split(group, &own));
            continue;
        }
        if let Some(without) = hold_out(network, &fit, &group.readings) {
            fit = without;
            group.held_out = true;
        }
        told.push(group);
    }
    let mut groups = told;
    groups.sort_by(|a, b| a.readings.cmp(&b.readings));
    let cannot_tell = unsettled || groups.iter().any(|group| !group.held_out);
    let unexplained = groups.is_empty() && !explained(network, &fit);
    Doubts {
        fit,
        suspects,
        groups,
        causes,
        network: None,
        cannot_tell: cannot_tell || unexplained,
        unexplained,
    }
}

/// The same where readings share an offset: they are held out if every point stays fixed without them; else they
/// stay in, and the offset as an unknown with them.
pub(crate) fn settle_shared(network: &Network, survey: &Survey, all: &Fit, shared: Shared) -> Doubts {
    let Shared {
        network: with,
        all: everything,
        found,
        mut cause,
        ..
    } = shared;
    let mut at = found.fit.at.clone();
    at.offsets.truncate(network.offset_column.len());
    let base = without(network, &all.active, &found.out, at);
    let held = hold_out(network, &base, &cause.readings).map(|fit| {
        let mut out = found.out.clone();
        out.extend(&cause.readings);
        out.sort_unstable();
        Found {
            out,
            fit,
            rivals: Vec::new(),
        }
    });
    let held = held.filter(|held| {
        bound(network, all, held)
            .iter()
            .all(|i| !cause.readings.contains(i))
    });
    if let Some(held) = held {
        let (held, mut causes) = causes_in(network, survey, all, held);
        causes.retain(|other| other.readings.iter().all(|i| !cause.readings.contains(i)));
        causes.push(cause);
        return settle(network, all, held, causes);
    }
    cause.held_out = false;
    let (found, mut causes) = causes_in(&with, survey, &everything, found);
    causes.push(cause);
    Doubts {
        network: Some(with.clone()),
        ..settle(&with, &everything, found, causes)
    }
}

/// The readings in which explanations differ, as groups; those that share a reading are one question.
fn grouped(own: &Explanation, rivals: &[Explanation]) -> Vec<Group> {
    let mut groups: Vec<Group> = rivals
        .iter()
        .map(|rival| {
            let mut readings: Vec<usize> = rival
                .out
                .iter()
                .filter(|index| !own.out.contains(index))
                .chain(own.out.iter().filter(|index| !rival.out.contains(index)))
                .copied()
                .collect();
            readings.sort_unstable();
            Group {
                readings,
                held_out: false,
                explanations: vec![own.clone(), rival.clone()],
            }
        })
        .collect();
    merge(&mut groups);
    groups
}

/// Joins groups that share a reading.
fn merge(groups: &mut Vec<Group>) {
    let mut merged: Vec<Group> = Vec::new();
    for mut group in groups.drain(..) {
        while let Some(place) = merged
            .iter()
            .position(|other| other.readings.iter().any(|i| group.readings.contains(i)))
        {
            let other = merged.remove(place);
            group.readings.extend(other.readings);
            group.readings.sort_unstable();
            group.readings.dedup();
            for explanation in other.explanations {
                if !group.explanations.iter().any(|e| e.out == explanation.out) {
                    group.explanations.push(explanation);
                }
            }
        }
        group.explanations.sort_by(|a, b| {
            a.chi_square
                .total_cmp(&b.chi_square)
                .then_with(|| a.out.cmp(&b.out))
        });
        merged.push(group);
    }
    *groups = merged;
}

/// Groups of no more than [`LARGEST_GROUP`] out of one that is too large: all that the set found holds out, filled up
/// with what the best rivals hold out in its place.
fn split(group: Group, own: &Explanation) -> Vec<Group> {
    let mut kept: Vec<usize> = group
        .readings
        .iter()
        .copied()
        .filter(|i| own.out.contains(i))
        .collect();
    let room = kept.len().div_ceil(LARGEST_GROUP).max(1) * LARGEST_GROUP;
    for explanation in &group.explanations {
        for &index in explanation.out.iter().filter(|i| group.readings.contains(i)) {
            if kept.len() < room && !kept.contains(&index) {
                kept.push(index);
            }
        }
    }
    kept.chunks(LARGEST_GROUP)
        .map(|readings| {
            let mut readings = readings.to_vec();
            readings.sort_unstable();
            Group {
                readings,
                held_out: false,
                explanations: group.explanations.clone(),
            }
        })
        .collect()
}

/// The solution without these readings; `None` where a point would become loose or two-valued.
fn hold_out(network: &Network, fit: &Fit, out: &[usize]) -> Option<Fit> {
    let without = without(network, &fit.active, out, fit.at.clone());
    if without.free_motions(network) > fit.free_motions(network) {
        return None;
    }
    let thin = thin_points(network, &without, out);
    let before = second_places(network, fit, &thin).len();
    let after = second_places(network, &without, &thin).len();
    (after <= before).then_some(without)
}

/// Points of these readings that few others hold: they may have a second place.
fn thin_points(network: &Network, without: &Fit, out: &[usize]) -> Vec<usize> {
    let of = readings_of(network, &without.active);
    let mut thin: Vec<usize> = out
        .iter()
        .flat_map(|&index| network.observations[index].points().to_vec())
        .filter(|&p| of[p].len() <= 4)
        .collect();
    thin.sort_unstable();
    thin.dedup();
    thin
}

/// Readings of the set at points that would be loose, two-valued or unchecked without them.
fn bound(network: &Network, all: &Fit, found: &Found) -> Vec<usize> {
    let fit = &found.fit;
    let mut points: Vec<usize> = Vec::new();
    if fit.free_motions(network) > all.free_motions(network) {
        points
            .extend((0..network.point_count()).filter(|&p| {
                !fit.directions(network, p).is_empty() && all.directions(network, p).is_empty()
            }));
    }
    let thin = thin_points(network, fit, &found.out);
    let before = second_places(network, all, &thin);
    for alternative in second_places(network, fit, &thin) {
        if !before.iter().any(|a| a.moved == alternative.moved) {
            points.extend(alternative.moved);
        }
    }
    points.extend(eaten(network, fit, &found.out));
    found
        .out
        .iter()
        .copied()
        .filter(|&index| {
            network.observations[index]
                .points()
                .iter()
                .any(|p| points.contains(p))
        })
        .collect()
}

/// Points at which nothing is left to check what was removed.
fn eaten(network: &Network, fit: &Fit, out: &[usize]) -> Vec<usize> {
    let mut removed = vec![false; network.point_count()];
    let mut left = vec![0.0; network.point_count()];
    for (index, o) in network.observations.iter().enumerate() {
        for &p in o.points() {
            removed[p] |= out.contains(&index);
            if fit.active[index] {
                left[p] += fit.rows[index].redundancy.unwrap_or(0.0);
            }
        }
    }
    (0..removed.len())
        .filter(|&p| removed[p] && network.fixed[p].contains(&false) && left[p] < EATEN)
        .collect()
}

/// Readings at the same points whose w is within the difference that does not choose.
fn nearly_as_far(network: &Network, fit: &Fit, index: usize) -> Vec<usize> {
    let points = network.observations[index].points();
    let own = fit.rows[index].w.unwrap_or(0.0);
    let least = (own * own - AS_GOOD).max(LOOK_AGAIN * LOOK_AGAIN);
    let mut group: Vec<usize> = network
        .observations
        .iter()
        .enumerate()
        .filter(|(other, o)| {
            fit.active[*other]
                && o.points().iter().any(|p| points.contains(p))
                && fit.rows[*other].w.is_some_and(|w| w * w >= least)
        })
        .map(|(other, _)| other)
        .collect();
    if !group.contains(&index) {
        group.push(index);
    }
    group.sort_unstable();
    group
}
