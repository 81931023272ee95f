//! The lines that one point is taken with: four or five tapes from finished points.
//!
//! With unit vectors u along the lines and variances σ² that hold the uncertainty of the far ends too, the point's
//! normal matrix is M = Σ u uᵀ/σ². A set is worth 1/tr M⁻¹ with its most important line taken away: then every line
//! is checked by the others, and the point stands even where one of them turns out to be off. (A-optimality,
//! common practice in the design of networks: E. Grafarend and F. Sansò, *Optimization and Design of Geodetic
//! Networks*, 1985.) The far ends must not lie in one plane: then the point has a mirror place.

use super::places::{Plan, step};
use super::{OrderStep, StepReason};
use crate::observe::Vec3;
use nalgebra::Matrix3;
use survey::Kind;

/// Tapes to a point, where there are so many.
const TAPES: usize = 5;
/// A longer line sags and is hard to hold: it counts for half.
const HANDY_MM: f64 = 2500.0;
/// Lines that are looked at.
const LOOKED_AT: usize = 20;
/// Far ends this far off one plane tell the two sides of it apart (root mean square, one of them left out).
const OFF_PLANE_MM: f64 = 60.0;
/// Rounds of exchanging one line for another.
const EXCHANGES: usize = 3;

/// A line to a finished point.
#[derive(Debug, Clone, Copy)]
struct Sight {
    kind: Kind,
    to: usize,
    end: Vec3,
    information: Matrix3<f64>,
    at_hand: bool,
}

/// The lines chosen for a point.
pub(super) struct Sights {
    chosen: Vec<Sight>,
    tells_above: Option<Sight>,
    /// How well the point stands with one line taken away.
    pub(super) strength: f64,
    pub(super) covariance: Matrix3<f64>,
}

impl Sights {
    /// The best lines for a point; `None` where what there is does not hold it.
    pub(super) fn best(plan: &Plan<'_>, p: usize) -> Option<Sights> {
        let mut chosen: Vec<Sight> = plan
            .at_hand(p)
            .into_iter()
            .filter_map(|(kind, q)| sight(plan, kind, p, q, true))
            .collect();
        let fixed = chosen.len();
        let mut candidates: Vec<Sight> = plan
            .finished()
            .iter()
            .filter(|&&q| plan.may(Kind::Tape, p, q))
            .filter_map(|&q| sight(plan, Kind::Tape, p, q, false))
            .collect();
        let place = plan.place[p]?;
        candidates.sort_by(|a, b| {
            let far = |s: &Sight| (s.end - place).norm();
            far(a).total_cmp(&far(b)).then(a.to.cmp(&b.to))
        });
        candidates = thinned(candidates, place);
        while chosen.len() < TAPES {
            let Some(n) = best_addition(&chosen, &candidates) else {
                break;
            };
            chosen.push(candidates.remove(n));
        }
        exchange(&mut chosen, &mut candidates, fixed);
        let mut rises = rises(plan, p);
        // Too few tapes, or all from one plane: a rise helps.
        let mut tells_above = None;
        if (chosen.len() < TAPES - 1
            || off_plane(&chosen) < OFF_PLANE_MM && !chosen.iter().any(|s| s.kind == Kind::Rise))
            && !rises.is_empty()
        {
            tells_above = Some(rises.remove(0));
        }
        let all: Vec<Sight> = chosen.iter().copied().chain(tells_above).collect();
        if all.len() < 3 {
            return None;
        }
        let normal: Matrix3<f64> = all.iter().map(|s| s.information).sum();
        let covariance = normal.try_inverse()?;
        let strength = worth(&all);
        (covariance.trace() < 1e4).then_some(Sights {
            chosen,
            tells_above,
            strength,
            covariance,
        })
    }

    /// The steps that take them.
    pub(super) fn steps(&self, plan: &Plan<'_>, p: usize) -> Vec<OrderStep> {
        let of = |s: &Sight, reason| match s.kind {
            // A height is read upwards.
            Kind::Rise if plan.height(s.to) < plan.height(p) => step(s.kind, s.to, p, Some(p), reason),
            _ => step(s.kind, p, s.to, Some(p), reason),
        };
        self.chosen
            .iter()
            .filter(|s| !s.at_hand)
            .map(|s| of(s, StepReason::Holds))
            .chain(self.tells_above.iter().map(|s| of(s, StepReason::TellsAbove)))
            .collect()
    }
}

fn sight(plan: &Plan<'_>, kind: Kind, p: usize, q: usize, at_hand: bool) -> Option<Sight> {
    let (here, end) = (plan.place[p]?, plan.place[q]?);
    let along = if kind == Kind::Rise {
        Vec3::z()
    } else {
        (here - end).try_normalize(1e-9)?
    };
    let length = (here - end).norm();
    let sd = survey::default_sd(kind, None, length);
    let far_end = along.dot(&(plan.covariance[q]? * along));
    let handy = if length > HANDY_MM && !at_hand { 2.0 } else { 1.0 };
    Some(Sight {
        kind,
        to: q,
        end,
        information: along * along.transpose() / ((sd * sd + far_end) * handy),
        at_hand,
    })
}

/// Rises from the nearest finished points.
fn rises(plan: &Plan<'_>, p: usize) -> Vec<Sight> {
    let mut found: Vec<Sight> = plan
        .finished()
        .iter()
        .filter(|&&q| plan.may(Kind::Rise, p, q))
        .filter_map(|&q| sight(plan, Kind::Rise, p, q, false))
        .collect();
    let far = |s: &Sight| plan.place[p].map_or(0.0, |place| (s.end - place).norm());
    found.sort_by(|a, b| far(a).total_cmp(&far(b)).then(a.to.cmp(&b.to)));
    found
}

/// At most so many candidates, in directions of their own: the nearest, then always the one whose direction is
/// least like those taken.
fn thinned(candidates: Vec<Sight>, place: Vec3) -> Vec<Sight> {
    if candidates.len() <= LOOKED_AT {
        return candidates;
    }
    let direction: Vec<Vec3> = candidates.iter().map(|s| (s.end - place).normalize()).collect();
    let mut taken = vec![0];
    let mut likeness: Vec<f64> = direction.iter().map(|d| d.dot(&direction[0])).collect();
    while taken.len() < LOOKED_AT {
        let mut best: Option<(f64, usize)> = None;
        for n in (0..candidates.len()).filter(|n| !taken.contains(n)) {
            if best.is_none_or(|(least, _)| likeness[n] < least - 1e-9) {
                best = Some((likeness[n], n));
            }
        }
        let Some((_, n)) = best else { break };
        taken.push(n);
        for (own, d) in likeness.iter_mut().zip(&direction) {
            *own = own.max(d.dot(&direction[n]));
        }
    }
    taken.sort_unstable();
    taken.into_iter().map(|n| candidates[n]).collect()
}

/// The candidate that makes the set worth most; while too few lines hold the point, the one that adds most volume.
fn best_addition(chosen: &[Sight], candidates: &[Sight]) -> Option<usize> {
    let so_far: Matrix3<f64> = chosen.iter().map(|s| s.information).sum();
    let mut set = chosen.to_vec();
    let mut best: Option<(f64, usize)> = None;
    for (n, candidate) in candidates.iter().enumerate() {
        let score = if chosen.len() < 4 {
            // A hair's breadth in every direction keeps the volume of one or two lines from vanishing.
            (so_far + candidate.information + Matrix3::identity() * 1e-3).determinant()
        } else {
            set.push(*candidate);
            let score = worth(&set);
            set.pop();
            score
        };
        if best.is_none_or(|(most, _)| score > most * (1.0 + 1e-9)) {
            best = Some((score, n));
        }
    }
    best.map(|(_, n)| n)
}

/// Exchanges lines for others while that makes the set worth more; the first so many stay.
fn exchange(chosen: &mut [Sight], candidates: &mut [Sight], fixed: usize) {
    for _ in 0..EXCHANGES {
        let mut better = false;
        for n in fixed..chosen.len() {
            for candidate in candidates.iter_mut() {
                let now = worth(chosen);
                std::mem::swap(&mut chosen[n], candidate);
                if worth(chosen) > now * (1.0 + 1e-6) {
                    better = true;
                } else {
                    std::mem::swap(&mut chosen[n], candidate);
                }
            }
        }
        if !better {
            break;
        }
    }
}

/// 1/tr M⁻¹ of the set without its most important line, less where the far ends lie near one plane.
fn worth(set: &[Sight]) -> f64 {
    let normal: Matrix3<f64> = set.iter().map(|s| s.information).sum();
    let least = set
        .iter()
        .map(|s| harmonic(&(normal - s.information)))
        .fold(f64::INFINITY, f64::min);
    least * (off_plane(set) / OFF_PLANE_MM).clamp(0.05, 1.0)
}

/// How far the far ends lie off one plane, root mean square, with the one left out that matters most.
fn off_plane(set: &[Sight]) -> f64 {
    if set.len() < 4 {
        return 0.0;
    }
    let count = set.len() as f64;
    let sum: Vec3 = set.iter().map(|s| s.end).sum();
    let mut least = f64::INFINITY;
    for out in set {
        let mean = (sum - out.end) / (count - 1.0);
        let spread: Matrix3<f64> = set
            .iter()
            .filter(|s| s.to != out.to || s.kind != out.kind)
            .map(|s| (s.end - mean) * (s.end - mean).transpose())
            .sum();
        least = least.min(harmonic(&spread) / (count - 1.0));
    }
    least.max(0.0).sqrt()
}

/// 1/tr A⁻¹ of a symmetric matrix without negative eigenvalues: 0 where it is singular.
fn harmonic(a: &Matrix3<f64>) -> f64 {
    let minors = a[(0, 0)] * a[(1, 1)] - a[(0, 1)] * a[(0, 1)] + a[(0, 0)] * a[(2, 2)]
        - a[(0, 2)] * a[(0, 2)]
        + a[(1, 1)] * a[(2, 2)]
        - a[(1, 2)] * a[(1, 2)];
    if minors > 0.0 {
        (a.determinant() / minors).max(0.0)
    } else {
        0.0
    }
}
