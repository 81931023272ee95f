//! Same in, same out: the order of entry does not change a digit, and the frame does not change a test.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use adjust::{Adjustment, Settings};
use survey::{Frame, Survey};
use trials::shell::{Options, Simulated, simulate};

/// The same survey with its points and readings in another order. `points[i]` is where old point i went.
fn shuffled(survey: &Survey, seed: u64) -> (Survey, Vec<usize>, Vec<usize>) {
    let mut rng = fastrand::Rng::with_seed(seed);
    let mut to_point: Vec<usize> = (0..survey.points.len()).collect();
    let mut to_reading: Vec<usize> = (0..survey.readings.len()).collect();
    rng.shuffle(&mut to_point);
    rng.shuffle(&mut to_reading);
    let mut other = survey.clone();
    for (old, point) in survey.points.iter().enumerate() {
        let mut point = point.clone();
        point.mirror = point.mirror.map(|m| to_point[m]);
        other.points[to_point[old]] = point;
    }
    for (old, reading) in survey.readings.iter().enumerate() {
        let mut reading = reading.clone();
        reading.points = reading.points.iter().map(|&p| to_point[p]).collect();
        other.readings[to_reading[old]] = reading;
    }
    (other, to_point, to_reading)
}

fn solve(survey: &Survey, frame: Option<Frame>) -> Adjustment {
    adjust::adjust(
        survey,
        &Settings {
            frame,
            ..Settings::default()
        },
    )
    .unwrap()
}

fn bits(value: Option<f64>) -> Option<u64> {
    value.map(f64::to_bits)
}

fn same_in_any_order(made: &Simulated, shuffle: u64) {
    let one = solve(&made.survey, Some(made.frame()));
    let (survey, to_point, to_reading) = shuffled(&made.survey, shuffle);
    let other = solve(&survey, Some(made.frame()));
    assert_eq!(one.outcome, other.outcome);
    assert_eq!(one.handedness, other.handedness);
    for (old, p) in one.points.iter().enumerate() {
        let q = &other.points[to_point[old]];
        let label = &made.survey.points[old].label;
        assert_eq!(p.status, q.status, "{label}");
        for axis in 0..3 {
            let (a, b) = (p.coordinates_mm[axis], q.coordinates_mm[axis]);
            assert_eq!(bits(a), bits(b), "{label}: {a:?} and {b:?}");
        }
        let flat = |c: Option<[[f64; 3]; 3]>| c.map(|c| c.map(|row| row.map(f64::to_bits)));
        assert_eq!(flat(p.covariance_mm2), flat(q.covariance_mm2), "{label}");
    }
    for (old, p) in one.readings.iter().enumerate() {
        let q = &other.readings[to_reading[old]];
        let id = &made.survey.readings[old].id;
        assert_eq!(p.verdict, q.verdict, "{id}");
        for (a, b) in [
            (p.adjusted, q.adjusted),
            (p.residual, q.residual),
            (p.w, q.w),
            (p.redundancy, q.redundancy),
        ] {
            assert_eq!(bits(a), bits(b), "{id}: {a:?} and {b:?}");
        }
    }
    assert_eq!(
        one.summary.chi_square.to_bits(),
        other.summary.chi_square.to_bits()
    );
    assert_eq!(
        one.summary.chi_square_all.to_bits(),
        other.summary.chi_square_all.to_bits()
    );
}

#[test]
fn order_does_not_matter_with_rough_positions() {
    for seed in 0..3 {
        let made = simulate(
            seed,
            &Options {
                mixed: true,
                stands: 2,
                ..Options::default()
            },
        );
        same_in_any_order(&made, seed + 100);
    }
}

#[test]
fn order_does_not_matter_without_rough_positions() {
    for seed in 3..6 {
        same_in_any_order(
            &simulate(
                seed,
                &Options {
                    rough: None,
                    ..Options::default()
                },
            ),
            seed + 100,
        );
    }
}

#[test]
fn order_does_not_matter_with_slips() {
    for seed in 6..9 {
        same_in_any_order(
            &simulate(
                seed,
                &Options {
                    slips: 3,
                    ..Options::default()
                },
            ),
            seed + 100,
        );
    }
}

#[test]
fn order_does_not_matter_where_a_point_stays_open() {
    for options in [
        Options {
            loose: true,
            rough: None,
            ..Options::default()
        },
        Options {
            two_valued: true,
            rough: None,
            ..Options::default()
        },
    ] {
        same_in_any_order(&simulate(9, &options), 109);
    }
}

#[test]
fn twice_the_same_is_the_same() {
    let made = simulate(
        10,
        &Options {
            rough: None,
            slips: 3,
            ..Options::default()
        },
    );
    let (one, other) = (solve(&made.survey, None), solve(&made.survey, None));
    assert_eq!(format!("{one:?}"), format!("{other:?}"));
}

#[test]
fn the_frame_does_not_change_residuals_or_tests() {
    let made = simulate(
        11,
        &Options {
            sides: true,
            slips: 1,
            ..Options::default()
        },
    );
    let label = |i: usize| made.survey.points[i].label.clone();
    let one = solve(&made.survey, Some(made.frame()));
    let frames = [
        Frame::Three {
            origin: label(20),
            ahead: label(33),
            left: label(16),
        },
        Frame::Plumb {
            origin: label(5),
            ahead: label(1),
            left: label(4),
        },
        Frame::Centreline {
            origin: label(5),
            ahead: label(1),
            above: label(16),
        },
    ];
    for frame in frames {
        let other = solve(&made.survey, Some(frame.clone()));
        for (i, (p, q)) in one.readings.iter().zip(&other.readings).enumerate() {
            let id = &made.survey.readings[i].id;
            assert_eq!(p.verdict, q.verdict, "{frame:?} {id}");
            let pairs = [(p.residual, q.residual), (p.w, q.w), (p.redundancy, q.redundancy)];
            for (a, b) in pairs {
                let (a, b) = (a.unwrap(), b.unwrap());
                assert!(
                    (a - b).abs() <= 1e-7 * (1.0 + a.abs()),
                    "{frame:?} {id}: {a} and {b}"
                );
            }
        }
        let moved = one
            .points
            .iter()
            .zip(&other.points)
            .any(|(p, q)| p.coordinates_mm != q.coordinates_mm);
        assert!(moved, "{frame:?} gives other coordinates");
    }
}
