//! A long simulated hull: rings of points, each taped to its neighbours. For the big surveys.

use survey::{Kind, Point, Survey};

use crate::net::{label, reading};
use crate::observe::{V3, distance, even, gauss, three_frame};
use crate::shell::Simulated;

/// A hull of `rings` rings with `around` points each, about five tapes a point, rough positions with a noise
/// of 100 mm, readings with a noise of 1 mm.
pub fn hull(seed: u64, rings: usize, around: usize) -> Simulated {
    let mut rng = fastrand::Rng::with_seed(seed);
    let mut truth: Vec<V3> = Vec::new();
    for ring in 0..rings {
        let along = ring as f64 / rings.max(1) as f64;
        let radius = 500.0 + 400.0 * (std::f64::consts::PI * along).sin();
        for step in 0..around {
            let angle = std::f64::consts::TAU * (step as f64 + 0.5 * (ring % 2) as f64) / around as f64;
            truth.push([
                600.0 * ring as f64 + even(&mut rng, 60.0),
                1.2 * radius * angle.cos() + even(&mut rng, 40.0),
                radius * angle.sin() + even(&mut rng, 40.0),
            ]);
        }
    }
    let datum = [0, (rings - 1) * around, around / 4];
    let truth = three_frame(&truth, datum[0], datum[1], datum[2]);
    let mut survey = Survey::default();
    for (i, p) in truth.iter().enumerate() {
        let mut point = Point::named(label(&format!("r{:05}-{:02}", i / around, i % around)));
        point.rough_mm = p.map(|v| Some(v + 100.0 * gauss(&mut rng)));
        survey.points.push(point);
    }
    for i in 1..truth.len() {
        let first = (i / around).saturating_sub(2) * around;
        let mut others: Vec<usize> = (first..i).collect();
        if i >= 2 * around {
            rng.shuffle(&mut others);
            others.truncate(5);
        }
        for j in others {
            let id = format!("q{}", survey.readings.len() + 1);
            let value = distance(truth[i], truth[j]) + gauss(&mut rng);
            survey
                .readings
                .push(reading(id, Kind::Tape, vec![j, i], value, 1.0));
        }
    }
    let labels = datum.map(|i| survey.points[i].label.clone());
    Simulated {
        survey,
        truth_mm: truth,
        slips: Vec::new(),
        datum,
        labels,
        special: None,
    }
}
