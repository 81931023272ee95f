//! Figures that were printed elsewhere or are exact, asked through the solver. The source stands beside each
//! check, and whether the figure was printed, is recalled from memory, or was derived on a published geometry.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

#[path = "published/axes.rs"]
mod axes;
#[path = "published/box_of_bricks.rs"]
mod box_of_bricks;
#[path = "published/free_nets.rs"]
mod free_nets;
#[path = "published/plane.rs"]
mod plane;
#[path = "published/quantiles.rs"]
mod quantiles;
#[path = "published/ranges.rs"]
mod ranges;
#[path = "published/room.rs"]
mod room;
#[path = "published/tape_limits.rs"]
mod tape_limits;
#[path = "published/tau.rs"]
mod tau;
#[path = "published/three_rays.rs"]
mod three_rays;

use adjust::{Adjustment, Settings, Suspects};
use survey::Survey;
use trials::observe::V3;

/// Solved with every reading in, whatever the tests say.
pub(crate) fn keep(survey: &Survey) -> Adjustment {
    adjust::adjust(
        survey,
        &Settings {
            suspects: Suspects::Keep,
            ..Settings::default()
        },
    )
    .unwrap()
}

/// Solved as a user would.
pub(crate) fn hold(survey: &Survey) -> Adjustment {
    adjust::adjust(survey, &Settings::default()).unwrap()
}

/// Where a point may be: its two places, or its one.
pub(crate) fn places(adjustment: &Adjustment, point: usize) -> Vec<V3> {
    match adjustment.two_valued.iter().find(|t| t.point == point) {
        Some(two) => two.candidates.to_vec(),
        None => trials::start::place(adjustment, point).into_iter().collect(),
    }
}

pub(crate) fn place(adjustment: &Adjustment, point: usize) -> V3 {
    trials::start::place(adjustment, point).unwrap()
}

#[track_caller]
pub(crate) fn near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{what}: {found}, not {expected} ± {tolerance}"
    );
}

/// A place in units of `unit_mm`, within a tolerance in that unit.
#[track_caller]
pub(crate) fn near_place(found_mm: V3, expected: &[f64], unit_mm: f64, tolerance: f64, what: &str) {
    for (found, expected) in found_mm.iter().zip(expected) {
        near(found / unit_mm, *expected, tolerance, what);
    }
}

#[track_caller]
pub(crate) fn among(found_mm: &[V3], expected: &[f64], unit_mm: f64, tolerance: f64, what: &str) {
    let there = found_mm.iter().any(|f| {
        f.iter()
            .zip(expected)
            .all(|(f, e)| (f / unit_mm - e).abs() <= tolerance)
    });
    assert!(there, "{what}: {found_mm:?} has no {expected:?}");
}

pub(crate) fn residual(adjustment: &Adjustment, reading: usize) -> f64 {
    adjustment.readings[reading].residual.unwrap()
}

pub(crate) fn redundancy(adjustment: &Adjustment, reading: usize) -> f64 {
    adjustment.readings[reading].redundancy.unwrap()
}

pub(crate) fn w(adjustment: &Adjustment, reading: usize) -> f64 {
    adjustment.readings[reading].w.unwrap()
}

/// The standard deviation of coordinate `axis`.
pub(crate) fn sd(adjustment: &Adjustment, point: usize, axis: usize) -> f64 {
    adjustment.points[point].covariance_mm2.unwrap()[axis][axis].sqrt()
}

/// Smallest visible slip by the printed rule (0.1 %, power 80 %: 4.1321 sd) from the one that is reported, which
/// uses a critical value of its own.
pub(crate) fn visible_by_printed_rule(adjustment: &Adjustment, reading: usize) -> f64 {
    adjustment.readings[reading].smallest_visible_slip.unwrap() * 4.1321
        / (adjustment.summary.critical_w + 0.8416)
}
