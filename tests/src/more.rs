//! One reading more, as a crew would take it where it is told to.

use adjust::{Adjustment, NextReading};
use survey::Survey;

use crate::net::reading;
use crate::observe::{gauss, true_value};
use crate::rigid::eigen;
use crate::shell::Simulated;

/// The worst standard deviation of the points that are pinned down: the longest axis of a covariance.
pub fn worst(solved: &Adjustment) -> f64 {
    let sizes = solved
        .points
        .iter()
        .filter_map(|p| Some(eigen(p.covariance_mm2?).0[2].max(0.0).sqrt()));
    sizes.fold(0.0, f64::max)
}

/// The survey with one reading more.
pub fn with(survey: &Survey, next: &NextReading, value: f64) -> Survey {
    let mut more = survey.clone();
    let sd = survey::default_sd(next.kind, None, value);
    let mut one = reading(
        format!("more{}", more.readings.len()),
        next.kind,
        vec![next.a, next.b],
        value,
        sd,
    );
    if next.kind.needs_plumb() {
        one.stand = stand(survey);
    }
    more.readings.push(one);
    more
}

/// The stand of the first plumb reading.
pub fn stand(survey: &Survey) -> String {
    survey
        .readings
        .iter()
        .find(|r| r.kind.needs_plumb())
        .map_or(String::new(), |r| r.stand.clone())
}

/// What a crew would read there; the shell stands level.
pub fn taken(made: &Simulated, next: &NextReading, rng: &mut fastrand::Rng) -> f64 {
    let at = [made.truth_mm[next.a], made.truth_mm[next.b]];
    let value = true_value(next.kind, &at, [0.0, 0.0, 1.0]);
    value + survey::default_sd(next.kind, None, value) * gauss(rng)
}
