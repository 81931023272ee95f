//! A part of a large survey, searched by itself: the points around what is off are unknown, all others stand still.
//!
//! A slip shows at its own points and fades within a few lines, so what is found in a patch holds for the whole, and
//! patches that do not overlap are searched apart. The whole is solved in full with what they find, and what is then
//! still off widens them.

use super::set::{Found, far_off, smallest_set, without};
use super::settle::Explanation;
use super::{Cause, causes_in, robust};
use crate::ambiguity::readings_of;
use crate::fit::Fit;
use crate::network::{Configuration, Network};
use survey::Survey;

/// Surveys with more readings in use are searched in patches.
pub(crate) const LARGE: usize = 1500;
/// Times that a patch is widened.
const ROUNDS: usize = 5;

/// The smallest set of a large survey and the causes in it; `None` where no set explains everything.
pub(crate) fn search(network: &Network, survey: &Survey, all: &Fit) -> Option<(Found, Vec<Cause>)> {
    let of = readings_of(network, &all.active);
    let mut around: Vec<usize> = far_off(network, all).collect();
    let mut base = all.at.clone();
    let mut before: Option<Vec<usize>> = None;
    for _ in 0..ROUNDS {
        let mut parts: Vec<Part> = Vec::new();
        for readings in apart(network, &of, &around) {
            parts.push(searched(network, survey, &base, &of, &readings)?);
        }
        let out: Vec<usize> = merged(parts.iter().flat_map(|part| part.out.iter().copied()));
        let mut at = base;
        parts.iter().for_each(|part| part.place(&part.at, &mut at));
        let fit = without(network, &all.active, &out, at);
        let missed: Vec<usize> = far_off(network, &fit).collect();
        // Slips bend what stands still around them: only a set that is found again without them is right.
        if missed.is_empty() && before.as_ref() == Some(&out) {
            let rivals = parts
                .iter()
                .flat_map(|part| part.rivals_of_whole(&out, &fit))
                .collect();
            let causes = parts.into_iter().flat_map(|part| part.causes).collect();
            return Some((Found { out, fit, rivals }, causes));
        }
        around = merged(missed.into_iter().chain(out.iter().copied()));
        base = fit.at;
        before = Some(out);
    }
    None
}

fn merged(readings: impl Iterator<Item = usize>) -> Vec<usize> {
    let mut merged: Vec<usize> = readings.collect();
    merged.sort_unstable();
    merged.dedup();
    merged
}

/// Points of these readings and their neighbours.
fn near(network: &Network, of: &[Vec<usize>], readings: &[usize]) -> Vec<usize> {
    let own = merged(
        readings
            .iter()
            .flat_map(|&index| network.observations[index].points().iter().copied()),
    );
    network.around(of, &own)
}

/// Readings that may have to do with each other, apart from those that have not: their neighbourhoods overlap.
fn apart(network: &Network, of: &[Vec<usize>], readings: &[usize]) -> Vec<Vec<usize>> {
    let mut groups: Vec<(Vec<usize>, Vec<usize>)> = Vec::new();
    for &index in readings {
        let mut own = (vec![index], near(network, of, &[index]));
        let (touching, rest): (Vec<_>, Vec<_>) = groups
            .into_iter()
            .partition(|(_, points)| points.iter().any(|p| own.1.binary_search(p).is_ok()));
        for (readings, points) in touching {
            own.0.extend(readings);
            own.1 = merged(own.1.into_iter().chain(points));
        }
        groups = rest;
        groups.push(own);
    }
    groups
        .into_iter()
        .map(|(readings, _)| merged(readings.into_iter()))
        .collect()
}

/// What was found in one patch, in terms of the whole.
struct Part {
    /// Points that were free.
    free: Vec<usize>,
    out: Vec<usize>,
    at: Configuration,
    chi_square: f64,
    rivals: Vec<Explanation>,
    causes: Vec<Cause>,
}

impl Part {
    /// Puts the points of this part where a configuration has them.
    fn place(&self, from: &Configuration, to: &mut Configuration) {
        for &p in &self.free {
            to.positions[p] = from.positions[p];
        }
    }

    /// The rivals, with what is held out in the other parts.
    fn rivals_of_whole(&self, out: &[usize], fit: &Fit) -> Vec<Explanation> {
        let elsewhere = |i: &usize| !self.out.contains(i);
        self.rivals
            .iter()
            .map(|rival| {
                let mut at = fit.at.clone();
                self.place(&rival.at, &mut at);
                Explanation {
                    out: merged(
                        out.iter()
                            .copied()
                            .filter(elsewhere)
                            .chain(rival.out.iter().copied()),
                    ),
                    at,
                    chi_square: fit.chi_square + rival.chi_square - self.chi_square,
                }
            })
            .collect()
    }
}

/// Searches the patch around these readings: its points are unknown, all other points are fixed where they are.
fn searched(
    network: &Network,
    survey: &Survey,
    base: &Configuration,
    of: &[Vec<usize>],
    readings: &[usize],
) -> Option<Part> {
    let free = near(network, of, readings);
    let observations = merged(free.iter().flat_map(|&p| of[p].iter().copied()));
    let patch = network.part(&free, &observations, &base.positions);
    let everything = Fit::new(&patch, &vec![true; observations.len()], base.clone());
    let (at, far) = robust::beginning(&patch, &everything);
    if robust::hopeless(&everything, &far) {
        return None;
    }
    let found = smallest_set(&patch, &everything, at, far)?;
    let (found, causes) = causes_in(&patch, survey, &everything, found);
    let whole = |indices: &[usize]| -> Vec<usize> { indices.iter().map(|&i| observations[i]).collect() };
    Some(Part {
        out: whole(&found.out),
        rivals: found
            .rivals
            .into_iter()
            .map(|rival| Explanation {
                out: whole(&rival.out),
                ..rival
            })
            .collect(),
        causes: causes
            .into_iter()
            .map(|cause| Cause {
                readings: whole(&cause.readings),
                ..cause
            })
            .collect(),
        chi_square: found.fit.chi_square,
        at: found.fit.at,
        free,
    })
}
