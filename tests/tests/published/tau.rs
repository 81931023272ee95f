//! The test of single readings where the unit of weight is not known: residual over its own standard deviation
//! and the scatter found, |w|/√(variance factor), against Pope's tau.
//!
//! A. J. Pope, *The statistics of residuals and the detection of outliers*, NOAA TR NOS 65 NGS 1, 1976: the formula
//! from memory, τ = t√ν/√(ν − 1 + t²); the figures recomputed from it, his table not seen.

use trials::net::Net;
use trials::observe::{distance, even, gauss};

use super::{keep, near};

/// |w|/√(variance factor) of every reading between `points` points at random places, every distance taped once
/// with noise, stated at a third of what it is.
fn taus(points: usize, seed: u64) -> Vec<f64> {
    let mut rng = fastrand::Rng::with_seed(seed);
    let places: Vec<[f64; 3]> = (0..points)
        .map(|_| [0; 3].map(|_| even(&mut rng, 1500.0)))
        .collect();
    let mut net = Net::new(1.0);
    for (n, place) in places.iter().enumerate() {
        net.rough(&format!("P{n}"), *place);
    }
    for a in 0..points {
        for b in 0..a {
            let read = distance(places[a], places[b]) + 0.9 * gauss(&mut rng);
            net.tape(a, b, read, 0.3);
        }
    }
    let solved = keep(&net.survey);
    let scatter = solved.summary.variance_factor.unwrap().sqrt();
    solved
        .readings
        .iter()
        .map(|r| r.w.unwrap().abs() / scatter)
        .collect()
}

/// With one redundant reading tau is 1 for every reading, and nothing can be singled out.
#[test]
fn with_one_degree_of_freedom_nothing_can_be_flagged() {
    for seed in 0..20 {
        for tau in taus(5, seed) {
            near(tau, 1.0, 1e-3, "tau at one degree of freedom");
        }
    }
}

/// All distances between 6, 7, 8 and 9 points leave 3, 6, 10 and 15 degrees of freedom; 5 % and 1 % of the readings
/// lie beyond the printed figures.
#[test]
fn good_readings_lie_beyond_tau_as_often_as_they_should() {
    const SURVEYS: u64 = 300;
    for (points, five, one) in [
        (6, 1.6454, 1.7147),
        (7, 1.8481, 2.1421),
        (8, 1.9039, 2.3236),
        (9, 1.9261, 2.4113),
    ] {
        let found: Vec<f64> = (0..SURVEYS).flat_map(|seed| taus(points, seed)).collect();
        let beyond = |tau: f64| found.iter().filter(|t| **t > tau).count() as f64 / found.len() as f64;
        let dof = (points * (points - 1) / 2 + 6 - 3 * points) as f64;
        let most = found.iter().copied().fold(0.0, f64::max);
        assert!(
            most <= dof.sqrt() + 1e-3,
            "tau is {most} with {dof} degrees of freedom"
        );
        near(beyond(five), 0.05, 0.012, "share beyond the 5 % figure");
        near(beyond(one), 0.01, 0.006, "share beyond the 1 % figure");
    }
}
