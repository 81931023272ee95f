//! The base: well-spread points near the floor, taped to each other, with rises for their heights.

use super::places::{Plan, step};
use super::{NoOrder, OrderStep, StepReason};
use crate::observe::Vec3;
use nalgebra::{Matrix3, Vector3};
use survey::Kind;

/// Points of a base.
const MOST: usize = 6;
/// The base lies in this share of the height of all, or in as much more as it takes.
const LOW: f64 = 0.25;
/// Rises: one to every point and two that close the ring; at least four tell the level and check each other.
const LEAST_RISES: usize = 4;
/// Variances that stand for a base point until the whole is adjusted, mm²: along the floor, and up.
const ALONG: f64 = 1.0;
const UP: f64 = 4.0;

/// Lays the base, or takes what is done already as such.
pub(super) fn lay(plan: &mut Plan<'_>, steps: &mut Vec<OrderStep>) -> Result<(), NoOrder> {
    let done = plan.finished().to_vec();
    let base = if spans(plan, &done) {
        if plan.has_level() {
            return Ok(());
        }
        spread(plan, &done)
    } else {
        let base = choose(plan).ok_or(NoOrder::NoBase)?;
        for (n, &p) in base.iter().enumerate() {
            for &q in &base[..n] {
                if plan.may(Kind::Tape, q, p) {
                    steps.push(step(Kind::Tape, q, p, None, StepReason::Base));
                }
            }
        }
        for &p in &base {
            plan.done(p, Matrix3::from_diagonal(&Vector3::new(ALONG, ALONG, UP)));
        }
        plan.base_is_laid();
        base
    };
    let wanted = (base.len() + 1).max(LEAST_RISES);
    steps.extend(
        rises(plan, &base)
            .into_iter()
            .take(wanted)
            .map(|(p, q)| step(Kind::Rise, p, q, None, StepReason::Level)),
    );
    Ok(())
}

/// Whether at least three of these points are not in line.
fn spans(plan: &Plan<'_>, points: &[usize]) -> bool {
    let at: Vec<Vec3> = points.iter().filter_map(|&p| plan.place[p]).collect();
    let all: Vec<usize> = (0..at.len()).collect();
    crate::gauge::well_shaped(&at, &all).len() == 3
}

/// Lines for rises: round the base, each point with the next, then across.
fn rises(plan: &Plan<'_>, base: &[usize]) -> Vec<(usize, usize)> {
    let mut lines = Vec::new();
    for gap in 1..base.len() {
        for n in 0..base.len() {
            let (p, q) = (base[n], base[(n + gap) % base.len()]);
            let known = lines.contains(&(p, q)) || lines.contains(&(q, p));
            if !known && plan.may(Kind::Rise, p, q) {
                lines.push((p, q));
            }
        }
    }
    lines
}

/// The base with the most points, from the lowest quarter of the shell or as much more as it takes.
fn choose(plan: &Plan<'_>) -> Option<Vec<usize>> {
    let known: Vec<usize> = (0..plan.place.len())
        .filter(|&p| plan.place[p].is_some())
        .collect();
    let low = known
        .iter()
        .map(|&p| plan.height(p))
        .fold(f64::INFINITY, f64::min);
    let high = known
        .iter()
        .map(|&p| plan.height(p))
        .fold(f64::NEG_INFINITY, f64::max);
    let mut share = LOW;
    let mut best: Vec<usize> = Vec::new();
    while share < 2.0 {
        let limit = low + share * (high - low);
        let near: Vec<usize> = known
            .iter()
            .copied()
            .filter(|&p| plan.height(p) <= limit)
            .collect();
        // From the two points that see most of the others: a blocked corner must not spoil the base.
        let mut starts = near.clone();
        starts.sort_by_key(|&p| (std::cmp::Reverse(seen(plan, p, &near)), p));
        for &start in starts.iter().take(2) {
            let base = grown(plan, &near, start);
            if base.len() > best.len() && spans(plan, &base) {
                best = base;
            }
        }
        if best.len() >= 4 {
            break;
        }
        share *= 1.6;
    }
    (best.len() >= 3).then_some(best)
}

fn seen(plan: &Plan<'_>, p: usize, among: &[usize]) -> usize {
    among.iter().filter(|&&q| sees(plan, p, q)).count()
}

/// Whether a tape between them is at hand or can be taken.
fn sees(plan: &Plan<'_>, p: usize, q: usize) -> bool {
    plan.may(Kind::Tape, p, q) || plan.is_read(Kind::Tape, p, q)
}

/// Grows a base from a point: always the point farthest from those chosen that sees at least three of them.
fn grown(plan: &Plan<'_>, near: &[usize], start: usize) -> Vec<usize> {
    let mut base = vec![start];
    while base.len() < MOST {
        let far = |p: usize| {
            let here = plan.place[p].unwrap_or_else(Vec3::zeros);
            let to = |q: usize| (here - plan.place[q].unwrap_or_else(Vec3::zeros)).norm();
            base.iter().map(|&q| to(q)).fold(f64::INFINITY, f64::min)
        };
        let mut best: Option<(f64, usize)> = None;
        for &p in near.iter().filter(|p| !base.contains(p)) {
            if seen(plan, p, &base) >= base.len().min(3)
                && best.is_none_or(|(most, _)| far(p) > most * (1.0 + 1e-9))
            {
                best = Some((far(p), p));
            }
        }
        let Some((_, p)) = best else { break };
        base.push(p);
    }
    base
}

/// A few of the finished points, well spread.
fn spread(plan: &Plan<'_>, done: &[usize]) -> Vec<usize> {
    let mut lowest = done.to_vec();
    lowest.sort_by(|&a, &b| plan.height(a).total_cmp(&plan.height(b)).then(a.cmp(&b)));
    lowest.truncate(3 * MOST);
    grown(plan, &lowest, lowest[0])
}
