//! The frames' covariance against a dense reference: coordinates are differentiated numerically through the whole
//! construction of the frame, and the covariance is carried by those derivatives.

use super::{Axes, Placed};
use crate::ambiguity::mirrored;
use crate::fit::Fit;
use crate::network::{Configuration, Network};
use crate::observe::Vec3;
use crate::solve::across;
use crate::start::with_plumb;
use nalgebra::{DMatrix, Matrix3};
use survey::{Kind, Label, Point, Reading, Survey};

/// Seven points, all distances, some slopes; three mirror pairs.
fn shell(rng: &mut fastrand::Rng) -> (Survey, Vec<Vec3>) {
    let mut places = Vec::new();
    for k in 0..3 {
        for side in [1.0, -1.0] {
            let jitter = Vec3::from_fn(|_, _| rng.f64() * 60.0);
            places.push(
                Vec3::new(
                    700.0 * k as f64,
                    side * (500.0 + 60.0 * k as f64),
                    350.0 * k as f64,
                ) + jitter,
            );
        }
    }
    places.push(Vec3::new(900.0, 40.0, 900.0));
    let mut survey = Survey::default();
    for k in 0..places.len() {
        let label = Label::new(&format!("p{k}")).expect("a name");
        survey.points.push(Point::named(label));
        survey.points[k].rough_mm = [0, 1, 2].map(|axis| Some(places[k][axis]));
    }
    let mut log = |kind: Kind, a: usize, b: usize, observed: f64, sd: f64| {
        let id = format!("r{:03}", survey.readings.len());
        survey
            .readings
            .push(Reading::bare(id, kind, vec![a, b], observed, sd));
    };
    let up = Vec3::new(0.05, -0.03, 1.0).normalize();
    for a in 0..places.len() {
        for b in 0..a {
            let line: Vec3 = places[b] - places[a];
            log(Kind::Tape, a, b, line.norm() + rng.f64() - 0.5, 1.0);
            if (a + b) % 3 == 0 {
                log(Kind::Slope, a, b, (up.dot(&line) / line.norm()).asin(), 3e-3);
            }
        }
    }
    (survey, places)
}

fn perturbed(network: &Network, at: &Configuration, unknown: usize, step: f64) -> Configuration {
    let mut to = at.clone();
    for (p, columns) in network.point_column.iter().enumerate() {
        for k in 0..3 {
            if columns[k] == Some(unknown) {
                to.positions[p][k] += step;
            }
        }
    }
    for (s, &column) in network.stand_column.iter().enumerate() {
        for (n, turn) in across(&at.ups[s]).iter().enumerate() {
            if column + n == unknown {
                to.ups[s] = (at.ups[s] + turn * step * 1e-3).normalize();
            }
        }
    }
    to
}

fn check(axes: Axes, mirror: bool) {
    let mut rng = fastrand::Rng::with_seed(11);
    let (survey, places) = shell(&mut rng);
    let network = Network::new(&survey, false);
    let active = network.in_use();
    let mut start = with_plumb(&network, &active, places);
    if mirror {
        start = mirrored(&start, &Vec3::zeros(), &Vec3::y());
    }
    let fit = Fit::new(&network, &active, start);
    let pairs = [[0, 1], [2, 3], [4, 5]];
    let carried = Placed::new(&network, &survey, &fit.at, axes, &pairs)
        .expect("a frame")
        .carry(&fit);
    let n = network.unknowns;
    let inverse = DMatrix::from_columns(
        &(0..n)
            .map(|k| fit.inverse_times(&[(k, 1.0)]).into())
            .collect::<Vec<nalgebra::DVector<f64>>>(),
    );
    for p in 0..network.point_count() {
        let mut by = DMatrix::zeros(3, n);
        for unknown in 0..n {
            let step = 1e-3;
            let at = |sign: f64| {
                let moved = perturbed(&network, &fit.at, unknown, sign * step);
                let placed = Placed::new(&network, &survey, &moved, axes, &pairs).expect("a frame");
                placed.coordinates(&moved.positions[p])
            };
            let turn = unknown >= network.stand_column[0];
            let slope = (at(1.0) - at(-1.0)) / (2.0 * step * if turn { 1e-3 } else { 1.0 });
            by.set_column(unknown, &slope);
        }
        let dense = &by * &inverse * by.transpose();
        let ours: Matrix3<f64> = carried.covariance(&network, &fit, p);
        for i in 0..3 {
            for j in 0..3 {
                let (a, b) = (ours[(i, j)], dense[(i, j)]);
                assert!(
                    (a - b).abs() < 1e-4 * (1.0 + b.abs()),
                    "{axes:?} point {p} ({i},{j}): {a} against {b}"
                );
            }
        }
    }
}

#[test]
fn three_points() {
    check(
        Axes::Three {
            origin: 0,
            ahead: 4,
            left: 3,
        },
        false,
    );
    check(
        Axes::Three {
            origin: 6,
            ahead: 1,
            left: 2,
        },
        true,
    );
}

#[test]
fn plumb_line() {
    check(
        Axes::Plumb {
            origin: 0,
            ahead: 4,
            left: 3,
            stand: 0,
        },
        false,
    );
    check(
        Axes::Plumb {
            origin: 1,
            ahead: 5,
            left: 2,
            stand: 0,
        },
        true,
    );
}

#[test]
fn centreline() {
    check(
        Axes::Centreline {
            origin: 0,
            ahead: 4,
            above: 6,
        },
        false,
    );
    check(
        Axes::Centreline {
            origin: 1,
            ahead: 4,
            above: 6,
        },
        true,
    );
}
