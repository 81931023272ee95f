//! The smallest set solved in full: from a robust beginning, in every arrangement worth a look, with its rivals.

use super::joint::{self, Smallest};
use super::linear::{Linear, Removal};
use super::settle::Explanation;
use super::{elsewhere, robust};
use crate::ambiguity::{AS_GOOD, readings_of};
use crate::descend::Effort;
use crate::fit::Fit;
use crate::network::{Configuration, Network};
use crate::solve::{Loss, minimise};

/// Up to so many readings in use, all are looked at together; of more, those around what is off.
pub(crate) const ALL_TOGETHER: usize = 600;
/// From the linearised survey rivals are taken with this much leeway in chi-square, and then solved in full:
/// where points move by a hand's width between two explanations, the difference is not linear.
const LEEWAY: f64 = 60.0;
/// A rival that is as good is near by, and shows it in a few steps.
const GLANCE: Effort = Effort {
    first_damping: 1e-6,
    most: 7,
    close: 1e-2,
};
/// Rivals solved in full.
const MOST_RIVALS: usize = 40;
/// Other arrangements are tried where no more is held out.
const LARGEST_MOVED: usize = 40;
/// Times that a better arrangement is followed.
const TURNS: usize = 4;
/// Rounds of linearising anew.
const ROUNDS: usize = 8;
/// More removals than this are no set of slips.
const MOST_REMOVALS: usize = 60;

/// The smallest set of all arrangements that are worth a look, with its rivals in all of them.
pub(crate) fn smallest_set(
    network: &Network,
    all: &Fit,
    at: Configuration,
    far: Vec<usize>,
) -> Option<Found> {
    let mut best = from_here(network, all, at, far, true)?;
    let mut seen: Vec<Explanation> = Vec::new();
    for _ in 0..TURNS {
        if best.out.len() > LARGEST_MOVED {
            break;
        }
        let mut others: Vec<Found> = Vec::new();
        for there in elsewhere::arrangements(network, all, &best.fit.at, &best.out) {
            let (at, far) = robust::solution(network, all, there, &[4.0, 2.5]);
            if far == best.out || far.len() > best.out.len() + 2 {
                continue;
            }
            // As it lies there: searching on could lead back.
            others.extend(as_it_lies(network, all, &at, &far));
            let thorough = far.len() > best.out.len();
            others.extend(from_here(network, all, at, far, thorough));
        }
        seen.extend(others.iter().chain([&best]).map(Found::explanation));
        others.sort_by(|a, b| {
            a.out
                .len()
                .cmp(&b.out.len())
                .then(a.fit.chi_square.total_cmp(&b.fit.chi_square))
        });
        match others.into_iter().next().filter(|found| found.better_than(&best)) {
            Some(found) => best = found,
            None => break,
        }
        if best.rivals.is_empty() {
            best.rivals = rivals_of(network, all, &best);
        }
    }
    for other in seen {
        let as_good = other.out.len() == best.out.len() && other.chi_square <= best.fit.chi_square + AS_GOOD;
        if as_good && other.out != best.out && !best.rivals.iter().any(|rival| rival.out == other.out) {
            best.rivals.push(other);
        }
    }
    Some(best)
}

impl Found {
    pub(crate) fn explanation(&self) -> Explanation {
        Explanation {
            out: self.out.clone(),
            at: self.fit.at.clone(),
            chi_square: self.fit.chi_square,
        }
    }

    /// Fewer readings, then less chi-square.
    fn better_than(&self, other: &Found) -> bool {
        self.out.len() < other.out.len()
            || self.out.len() == other.out.len() && self.fit.chi_square < other.fit.chi_square - 1e-6
    }
}

/// The rivals of a set where it lies.
fn rivals_of(network: &Network, all: &Fit, found: &Found) -> Vec<Explanation> {
    let linear = linearised(network, all, &found.fit.at, &found.out);
    let first = linear.places(&found.out);
    joint::smallest(&linear, &first, false, found.out.len() + 1, AS_GOOD + LEEWAY)
        .map_or_else(Vec::new, |smallest| {
            rivals(network, all, &found.fit, &linear, &smallest.rivals)
        })
}

/// What is far off in an arrangement, less what fits again, if that explains everything there.
fn as_it_lies(network: &Network, all: &Fit, at: &Configuration, far: &[usize]) -> Option<Found> {
    let linear = linearised(network, all, at, far);
    let first = linear.places(far);
    let set = joint::complete(&linear, &first, far.len() + 1)?;
    let out = linear.observations(&set.out);
    let fit = without(network, &all.active, &out, at.clone());
    explained(network, &fit).then(|| Found {
        out,
        fit,
        rivals: Vec::new(),
    })
}

/// A set of removals that explains everything else.
pub(crate) struct Found {
    /// Observation indices, ascending.
    pub(crate) out: Vec<usize>,
    /// The solution without them.
    pub(crate) fit: Fit,
    /// Other sets as small that fit as well.
    pub(crate) rivals: Vec<Explanation>,
}

/// Whether every reading in use that may be held out fits.
pub(crate) fn explained(network: &Network, fit: &Fit) -> bool {
    far_off(network, fit).next().is_none()
}

/// Readings in use beyond the critical value.
pub(crate) fn far_off<'a>(network: &'a Network, fit: &'a Fit) -> impl Iterator<Item = usize> + 'a {
    let z = fit.critical_w();
    (0..network.observations.len()).filter(move |&i| {
        fit.active[i] && !network.observations[i].kept && fit.rows[i].w.is_some_and(|w| w.abs() > z)
    })
}

/// The smallest set from one beginning, solved in full, with its rivals; `thorough` where what is far off there may be
/// no good beginning for the set.
fn from_here(
    network: &Network,
    all: &Fit,
    at: Configuration,
    far: Vec<usize>,
    thorough: bool,
) -> Option<Found> {
    let mut at = at;
    let mut out = far;
    let mut around = out.clone();
    let mut tried: Vec<Vec<usize>> = Vec::new();
    let most = all.degrees_of_freedom(network).min(MOST_REMOVALS);
    for round in 0..ROUNDS {
        let linear = linearised(network, all, &at, &around);
        let first = linear.places(&out);
        let Smallest { set, rivals: others } =
            joint::smallest(&linear, &first, thorough && round == 0, most, AS_GOOD + LEEWAY)?;
        let next = linear.observations(&set.out);
        let fit = without(network, &all.active, &next, at);
        let missed: Vec<usize> = far_off(network, &fit).collect();
        let again = next == out || tried.contains(&next);
        if missed.is_empty() && again {
            let rivals = rivals(network, all, &fit, &linear, &others);
            return Some(Found {
                out: next,
                fit,
                rivals,
            });
        }
        tried.push(next.clone());
        around.extend(next.iter().chain(&missed));
        around.sort_unstable();
        around.dedup();
        // Where going round in circles does not help, the straight way does: one more reading at a time.
        let (set, fit) = if again {
            one_by_one(network, next, fit, most)?
        } else {
            (next, fit)
        };
        at = fit.at;
        out = set;
    }
    let fit = without(network, &all.active, &out, at);
    let (out, fit) = one_by_one(network, out, fit, most)?;
    Some(Found {
        out,
        fit,
        rivals: Vec::new(),
    })
}

/// Holds out the largest w, each time solved in full, until everything is explained.
fn one_by_one(
    network: &Network,
    mut out: Vec<usize>,
    mut fit: Fit,
    most: usize,
) -> Option<(Vec<usize>, Fit)> {
    loop {
        let w = |index: usize| fit.rows[index].w.map_or(0.0, f64::abs);
        let worst = far_off(network, &fit).max_by(|&a, &b| w(a).total_cmp(&w(b)).then(b.cmp(&a)));
        let Some(worst) = worst else {
            out.sort_unstable();
            return Some((out, fit));
        };
        if out.len() >= most {
            return None;
        }
        out.push(worst);
        fit = without(network, &fit.active, &[worst], fit.at);
    }
}

/// The solution without these readings.
pub(crate) fn without(network: &Network, active: &[bool], out: &[usize], at: Configuration) -> Fit {
    let mut active = active.to_vec();
    for &index in out {
        active[index] = false;
    }
    Fit::new(network, &active, at)
}

/// The survey linearised here, over all readings or those around these.
fn linearised(network: &Network, all: &Fit, at: &Configuration, around: &[usize]) -> Linear {
    let used: Vec<usize> = (0..network.observations.len())
        .filter(|&i| all.active[i])
        .collect();
    if used.len() <= ALL_TOGETHER {
        return Linear::new(network, &all.active, at, used, 0);
    }
    let of = readings_of(network, &all.active);
    let mut near: Vec<usize> = around
        .iter()
        .flat_map(|&index| network.observations[index].points())
        .flat_map(|&p| of[p].iter().copied())
        .collect();
    near.sort_unstable();
    near.dedup();
    let elsewhere = used.len() - near.len();
    Linear::new(network, &all.active, at, near, elsewhere)
}

/// The rivals of a set, solved in full: as small, explained, and within [`AS_GOOD`] of its chi-square.
fn rivals(network: &Network, all: &Fit, fit: &Fit, linear: &Linear, others: &[Removal]) -> Vec<Explanation> {
    others
        .iter()
        .take(MOST_RIVALS)
        .filter_map(|rival| {
            let out = linear.observations(&rival.out);
            let mut active = all.active.clone();
            for &index in &out {
                active[index] = false;
            }
            let solved = minimise(
                network,
                &fit.system,
                &active,
                fit.at.clone(),
                Loss::Square,
                GLANCE,
            );
            if solved.cost > fit.chi_square + AS_GOOD + 1.0 {
                return None;
            }
            let rival = Fit::new(network, &active, solved.at);
            let as_good = rival.chi_square <= fit.chi_square + AS_GOOD;
            (as_good
                && explained(network, &rival)
                && rival.free_motions(network) <= fit.free_motions(network))
            .then_some(Explanation {
                out,
                at: rival.at,
                chi_square: rival.chi_square,
            })
        })
        .collect()
}
