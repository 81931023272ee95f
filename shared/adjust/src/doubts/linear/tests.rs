//! The linearised survey against full solutions: with readings sharp to a ten thousandth of a millimetre, what is not
//! linear in a shell of two metres, and the rounding of the descent, are less than the tolerances here.

use super::{Linear, TESTED};
use crate::doubts::set::without;
use crate::fit::Fit;
use crate::network::{Network, takes_offset};
use crate::observe::Vec3;
use crate::quantiles::critical_w;
use crate::start::with_plumb;
use nalgebra::{DMatrix, DVector};
use survey::{Kind, Label, Point, Reading, Survey};

impl Linear {
    /// A survey that is linear: rows divided by the deviations, and what each reading is off by at the origin.
    pub(crate) fn of_design(rows: &DMatrix<f64>, off: &DVector<f64>, removable: Vec<bool>) -> Linear {
        let inverse = (rows.transpose() * rows)
            .cholesky()
            .expect("columns of full rank")
            .inverse();
        let k = DMatrix::identity(rows.nrows(), rows.nrows()) - rows * inverse * rows.transpose();
        Linear {
            readings: (0..rows.nrows()).collect(),
            removable,
            elsewhere: 0,
            highest: critical_w(rows.nrows()).powi(2),
            matrix: (0..rows.nrows())
                .map(|i| k.row(i).iter().copied().collect())
                .collect(),
            residuals: (&k * off).iter().copied().collect(),
        }
    }

    /// K and u as one sees them in a textbook.
    pub(crate) fn dense(&self) -> (DMatrix<f64>, DVector<f64>) {
        (
            DMatrix::from_fn(self.len(), self.len(), |i, j| self.matrix[i][j]),
            DVector::from_vec(self.residuals.clone()),
        )
    }
}

/// What a small survey is like.
pub(crate) struct Small {
    pub(crate) points: usize,
    /// One line in how many is not taped.
    pub(crate) blocked_in: usize,
    pub(crate) plumb: bool,
    pub(crate) sd: f64,
}

/// A survey of a few points in a box of two metres with these slips, in deviations, in tapes taken at random.
pub(crate) fn small(rng: &mut fastrand::Rng, like: &Small, slips: &[f64]) -> (Network, Fit, Vec<usize>) {
    let places: Vec<Vec3> = (0..like.points)
        .map(|_| Vec3::new(2000.0 * rng.f64(), 1200.0 * rng.f64(), 900.0 * rng.f64()))
        .collect();
    let mut survey = Survey::default();
    for (k, place) in places.iter().enumerate() {
        let mut point = Point::named(Label::new(&format!("p{k:02}")).expect("a name"));
        point.rough_mm = [0, 1, 2].map(|axis| Some(place[axis]));
        survey.points.push(point);
    }
    let gauss = |rng: &mut fastrand::Rng| {
        (-2.0 * (1.0 - rng.f64()).ln()).sqrt() * (std::f64::consts::TAU * rng.f64()).cos()
    };
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
            if like.blocked_in == 0 || rng.usize(..like.blocked_in) > 0 {
                log(Kind::Tape, a, b, line.norm() + like.sd * gauss(rng), like.sd);
            }
            if like.plumb && (a + b) % 3 == 0 {
                let sd = 1e-3 * like.sd;
                let slope = (up.dot(&line) / line.norm()).asin();
                log(Kind::Slope, a, b, slope + sd * gauss(rng), sd);
                log(
                    Kind::Rise,
                    a,
                    b,
                    up.dot(&line) + 1.5 * like.sd * gauss(rng),
                    1.5 * like.sd,
                );
            }
        }
    }
    let mut planted: Vec<usize> = Vec::new();
    for slip in slips {
        let i = loop {
            let i = rng.usize(..survey.readings.len());
            if survey.readings[i].kind == Kind::Tape && !planted.contains(&i) {
                break i;
            }
        };
        survey.readings[i].observed += slip * like.sd;
        planted.push(i);
    }
    planted.sort_unstable();
    let network = Network::new(&survey, false);
    let active = network.in_use();
    let at = with_plumb(&network, &active, places);
    let fit = Fit::new(&network, &active, at);
    (network, fit, planted)
}

/// A survey that is as good as linear.
fn sharp(rng: &mut fastrand::Rng, slips: &[f64]) -> (Network, Fit, Vec<usize>) {
    let like = Small {
        points: 9,
        blocked_in: 0,
        plumb: rng.bool(),
        sd: 1e-4,
    };
    small(rng, &like, slips)
}

fn whole(network: &Network, fit: &Fit) -> Linear {
    let used = (0..network.observations.len()).collect();
    Linear::new(network, &fit.active, &fit.at, used, 0)
}

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{what}: {found}, not {expected} ± {tolerance}"
    );
}

#[test]
fn with_everything_in_it_is_the_full_solution() {
    for seed in 0..20 {
        let mut rng = fastrand::Rng::with_seed(seed);
        let (network, fit, _) = sharp(&mut rng, &[20.0, -15.0]);
        let linear = whole(&network, &fit);
        let removal = linear.whole();
        for (i, o) in network.observations.iter().enumerate() {
            near(
                removal.residuals[i],
                fit.rows[i].misfit / o.sd,
                1e-3,
                "residual, sd",
            );
            near(
                removal.redundancies[i],
                fit.rows[i].redundancy.unwrap(),
                1e-8,
                "redundancy",
            );
        }
        let sum: f64 = removal.redundancies.iter().sum();
        near(
            sum,
            fit.degrees_of_freedom(&network) as f64,
            1e-7,
            "redundancy in all",
        );
    }
}

/// The beginning need not be the minimum: one least-squares step leads there.
#[test]
fn it_does_not_matter_from_where_near_by_it_is_linearised() {
    for seed in 0..20 {
        let mut rng = fastrand::Rng::with_seed(seed);
        let (network, fit, _) = sharp(&mut rng, &[20.0, -15.0]);
        let mut at = fit.at.clone();
        for place in &mut at.positions {
            *place += Vec3::from_fn(|_, _| 2e-3 * (rng.f64() - 0.5));
        }
        let used = (0..network.observations.len()).collect();
        let removal = Linear::new(&network, &fit.active, &at, used, 0).whole();
        for (i, o) in network.observations.iter().enumerate() {
            near(
                removal.residuals[i],
                fit.rows[i].misfit / o.sd,
                1e-3,
                "residual, sd",
            );
        }
    }
}

#[test]
fn holding_out_one_to_four_readings_is_solving_without_them() {
    let mut compared = 0;
    for seed in 0..40 {
        let mut rng = fastrand::Rng::with_seed(100 + seed);
        let (network, fit, planted) = sharp(&mut rng, &[20.0, -15.0, 30.0]);
        let linear = whole(&network, &fit);
        // The planted ones, and any others: in any order.
        let mut others: Vec<usize> = (0..1 + rng.usize(..4))
            .map(|_| rng.usize(..linear.len()))
            .collect();
        others.sort_unstable();
        others.dedup();
        rng.shuffle(&mut others);
        for out in [planted, others] {
            let mut removal = linear.whole();
            let mut held = true;
            for &i in &out {
                held &= removal
                    .w_square(i)
                    .is_some_and(|_| removal.redundancies[i] > 1e-2);
                if held {
                    let gain = removal.gain + removal.w_square(i).unwrap();
                    removal.hold_out(&linear, i);
                    near(
                        removal.gain,
                        gain,
                        1e-9 * gain,
                        "chi-square falls by the square of w",
                    );
                }
            }
            if !held {
                continue;
            }
            compared += 1;
            let full = without(&network, &fit.active, &out, fit.at.clone());
            let fall = fit.chi_square - full.chi_square;
            near(removal.gain, fall, 1e-4 * (1.0 + fall), "fall of chi-square");
            let mut sorted = out.clone();
            sorted.sort_unstable();
            assert_eq!(removal.out, sorted);
            assert_eq!(
                linear.explained(&removal),
                crate::doubts::set::explained(&network, &full)
            );
            for (i, o) in network.observations.iter().enumerate() {
                if out.contains(&i) {
                    assert_eq!(removal.w_square(i), None, "what is held out has no test");
                    continue;
                }
                near(
                    removal.residuals[i],
                    full.rows[i].misfit / o.sd,
                    2e-3,
                    "residual, sd",
                );
                near(
                    removal.redundancies[i],
                    full.rows[i].redundancy.unwrap(),
                    5e-4,
                    "redundancy",
                );
            }
            let same = linear.without(&out);
            near(same.gain, removal.gain, 1e-9 * (1.0 + fall), "all at once");
        }
    }
    assert!(compared >= 60, "only {compared} sets could be compared");
}

#[test]
fn readings_elsewhere_count_for_the_critical_value() {
    let mut rng = fastrand::Rng::with_seed(7);
    let (network, fit, _) = sharp(&mut rng, &[9.0]);
    let some: Vec<usize> = (0..network.observations.len()).filter(|i| i % 3 > 0).collect();
    let elsewhere = network.observations.len() - some.len();
    let part = Linear::new(&network, &fit.active, &fit.at, some.clone(), elsewhere);
    let all = whole(&network, &fit);
    let (part_k, part_u) = part.dense();
    let (all_k, all_u) = all.dense();
    for (i, &a) in some.iter().enumerate() {
        near(part_u[i], all_u[a], 1e-9, "residual");
        for (j, &b) in some.iter().enumerate() {
            near(part_k[(i, j)], all_k[(a, b)], 1e-9, "entry of K");
        }
    }
    near(
        part.highest.sqrt(),
        critical_w(network.observations.len()),
        1e-12,
        "critical value",
    );
}

/// `explained` has short cuts; this is what it must come to.
#[test]
fn explained_is_every_w_within_the_critical_value_of_what_is_tested() {
    let mut seen = [0, 0];
    for seed in 0..400 {
        let mut rng = fastrand::Rng::with_seed(seed);
        // Slips about as large as what is just seen.
        let slip = 3.0 + 5.0 * rng.f64();
        let (network, fit, _) = sharp(&mut rng, &[slip]);
        let linear = whole(&network, &fit);
        let removal = linear.whole();
        let tested = removal.redundancies.iter().filter(|r| **r >= TESTED).count();
        let z = critical_w(tested);
        let plainly = (0..linear.len()).all(|i| removal.w_square(i).is_none_or(|square| square.sqrt() <= z));
        assert_eq!(linear.explained(&removal), plainly, "seed {seed}");
        seen[usize::from(plainly)] += 1;
    }
    assert!(seen.iter().all(|n| *n > 40), "both come up: {seen:?}");
}

#[test]
fn one_amount_for_several_readings_gains_what_the_full_solution_gains() {
    for seed in 0..30 {
        let mut rng = fastrand::Rng::with_seed(300 + seed);
        let (network, fit, planted) = sharp(&mut rng, &[30.0, 30.0, 30.0]);
        let linear = whole(&network, &fit);
        let sd = |i: usize| network.observations[linear.readings[i]].sd;
        // With a reading held out that has no part in it, and the amount shared by the planted ones and another.
        let out = (0..linear.len()).find(|i| !planted.contains(i)).unwrap();
        let other = (0..linear.len())
            .rev()
            .find(|i| !planted.contains(i) && takes_offset(network.observations[*i].kind))
            .unwrap();
        let mut group = planted.clone();
        group.push(other);
        group.sort_unstable();
        let removal = linear.without(&[out]);
        let gain = removal.gain_of_shared(&linear, &group, &sd);
        let base = without(&network, &fit.active, &[out], fit.at.clone());
        let with = network.with_shared_offset(&group);
        let mut at = base.at.clone();
        at.offsets.push(0.0);
        let full = Fit::new(&with, &base.active, at);
        let fall = base.chi_square - full.chi_square;
        near(gain, fall, 1e-4 * (1.0 + fall), "fall of chi-square");
    }
}

#[test]
fn the_best_run_is_the_best_of_all_runs() {
    for seed in 0..30 {
        let mut rng = fastrand::Rng::with_seed(400 + seed);
        let (network, fit, _) = sharp(&mut rng, &[30.0, 30.0, -20.0]);
        let linear = whole(&network, &fit);
        let sd = |i: usize| network.observations[linear.readings[i]].sd;
        let mut order: Vec<usize> = (0..linear.len())
            .filter(|&i| takes_offset(network.observations[i].kind))
            .collect();
        rng.shuffle(&mut order);
        let out = order.pop().unwrap();
        let removal = linear.without(&[out]);
        let (run, gain) = removal.best_run(&linear, &order, 4, &sd).unwrap();
        let mut best = 0.0f64;
        for start in 0..order.len() {
            for end in start + 4..=order.len() {
                best = best.max(removal.gain_of_shared(&linear, &order[start..end], &sd));
            }
        }
        near(gain, best, 1e-6 * (1.0 + best), "gain of the best run");
        assert!(run.len() >= 4);
        let own = removal.gain_of_shared(&linear, &order[run], &sd);
        near(own, gain, 1e-6 * (1.0 + gain), "its own gain");
    }
}
