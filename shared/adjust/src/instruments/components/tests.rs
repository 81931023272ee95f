//! The components against dense algebra: the projector M itself, on a survey small enough for it.

use super::*;
use crate::solve::{design_row, predicted};
use crate::{Settings, Solution};
use survey::{Kind, Label, Point, Reading, State, Survey};

/// Sixteen points with four in five of all distances, read with different deviations.
fn solved(rng: &mut fastrand::Rng, worse: impl Fn(usize) -> f64) -> Box<Solution> {
    let mut survey = Survey::default();
    let places: Vec<[f64; 3]> = (0..16)
        .map(|_| [2500.0 * rng.f64(), 1300.0 * rng.f64(), 1100.0 * rng.f64()])
        .collect();
    for (k, place) in places.iter().enumerate() {
        let label = Label::new(&format!("p{k}")).expect("a name");
        survey.points.push(Point::named(label));
        survey.points[k].rough_mm = place.map(Some);
    }
    for a in 0..16 {
        for b in 0..a {
            if (a + 3 * b) % 5 == 0 {
                continue;
            }
            let n = survey.readings.len();
            let sd = 0.5 + rng.f64();
            let noise = (-2.0 * (1.0 - rng.f64()).ln()).sqrt() * (std::f64::consts::TAU * rng.f64()).cos();
            let square: f64 = (0..3).map(|k| (places[a][k] - places[b][k]).powi(2)).sum();
            let observed = square.sqrt() + worse(n) * sd * noise;
            let points = vec![a, b];
            survey.readings.push(Reading {
                state: State::Kept,
                ..Reading::bare(format!("r{n:03}"), Kind::Tape, points, observed, sd)
            });
        }
    }
    let adjustment = crate::adjust(&survey, &Settings::default()).expect("it is solved");
    adjustment.solution.expect("it comes with its solution")
}

/// Σ v²/σ², Σ r and H of every group by dense algebra.
fn dense(solution: &Solution, group: &[usize], factors: &[f64]) -> (Vec<f64>, Vec<f64>, DMatrix<f64>) {
    let Solution { network, fit, .. } = solution;
    let (n, unknowns) = (network.observations.len(), network.unknowns);
    let mut design = DMatrix::zeros(n, unknowns);
    let mut misfits = DVector::zeros(n);
    let mut row = Vec::new();
    for (index, o) in network.observations.iter().enumerate() {
        let sd = o.sd * factors[group[index]].sqrt();
        design_row(network, o, &predicted(o, &fit.at), &fit.at, &mut row);
        for (&column, entry) in fit.system.columns[index].iter().zip(&row) {
            design[(index, column)] = entry / sd;
        }
        misfits[index] = fit.rows[index].misfit / sd;
    }
    let mut normal = design.transpose() * &design;
    let anchors = fit.system.gauge.columns(network);
    for row in fit.system.gauge.rows(network, &fit.at.positions) {
        for (&i, a) in anchors.iter().zip(&row) {
            for (&j, b) in anchors.iter().zip(&row) {
                normal[(i, j)] += fit.system.gauge.weight() * a * b;
            }
        }
    }
    let inverse = normal.try_inverse().expect("the datum is held");
    let projector = DMatrix::identity(n, n) - &design * inverse * design.transpose();
    let residuals = &projector * misfits;
    let count = factors.len();
    let (mut square, mut redundancy) = (vec![0.0; count], vec![0.0; count]);
    let mut information = DMatrix::zeros(count, count);
    for i in 0..n {
        square[group[i]] += residuals[i] * residuals[i];
        redundancy[group[i]] += projector[(i, i)];
        for j in 0..n {
            information[(group[i], group[j])] += projector[(i, j)].powi(2);
        }
    }
    (square, redundancy, information)
}

#[test]
fn weighting_anew_is_what_dense_algebra_makes_of_it() {
    let mut rng = fastrand::Rng::with_seed(1);
    let solution = solved(&mut rng, |_| 1.0);
    let Solution { network, fit, .. } = &*solution;
    let group: Vec<usize> = (0..network.observations.len()).map(|_| rng.usize(0..3)).collect();
    let named: Vec<Option<usize>> = group.iter().map(|&k| (k < 2).then_some(k)).collect();
    let weighted = Weighted::new(network, fit, &named, 2);
    for factors in [[1.0, 1.0, 1.0], [0.3, 5.0, 1.4]] {
        let (square, redundancy, information) = dense(&solution, &group, &factors);
        let found = weighted.sums(&factors);
        for k in 0..3 {
            assert!(
                (found.0[k] - square[k]).abs() < 1e-6 * square[k],
                "{found:?} {square:?}"
            );
            assert!(
                (found.1[k] - redundancy[k]).abs() < 1e-8,
                "{found:?} {redundancy:?}"
            );
        }
        let tally = Tally::new(network, fit, &named, 2);
        // With all groups free and with one held: the last column comes from the sums in the one case only.
        for free in [&[0, 1, 2][..], &[0, 2]] {
            let estimate = Estimate {
                tally: &tally,
                weighted: &weighted,
                free,
            };
            let shared = estimate
                .shared(&factors, &redundancy)
                .expect("they can be told apart");
            let part = DMatrix::from_fn(free.len(), free.len(), |n, m| information[(free[n], free[m])]);
            let off = part * &shared.inverse - DMatrix::identity(free.len(), free.len());
            assert!(off.norm() < 2e-3, "{off}");
        }
    }
}

#[test]
fn the_factors_are_those_at_which_every_group_scatters_as_it_is_weighted() {
    for seed in 0..40 {
        let mut rng = fastrand::Rng::with_seed(100 + seed);
        let solution = solved(&mut rng, |n| if n % 2 == 0 { 1.0 } else { 2.5 });
        let Solution { network, fit, .. } = &*solution;
        let group: Vec<usize> = network.observations.iter().map(|o| o.reading % 2).collect();
        let named: Vec<Option<usize>> = group.iter().copied().map(Some).collect();
        let found = components(network, fit, &named, 2);
        let mut factors = vec![1.0, 1.0];
        for _ in 0..60 {
            let (square, redundancy, _) = dense(&solution, &group, &factors);
            // Förstner's steps, slow and sure.
            for k in 0..2 {
                factors[k] *= square[k] / redundancy[k];
            }
        }
        for k in 0..2 {
            let component = found[k].expect("told");
            let mut honest = factors.clone();
            honest[k] = 1.0;
            let (_, _, information) = dense(&solution, &group, &honest);
            let freedom = 1.0 / information.try_inverse().expect("they can be told apart")[(k, k)];
            let sd = (2.0 / freedom).sqrt();
            // The last change is a tenth of its deviation at most, and what it leaves over less than itself.
            assert!(
                (component.ratio / factors[k] - 1.0).abs() < 0.2 * sd,
                "seed {seed}: {component:?} for {factors:?}"
            );
            assert!(
                (component.freedom / freedom - 1.0).abs() < 0.25,
                "seed {seed}: {component:?} for {freedom}"
            );
        }
    }
}

#[test]
fn the_rough_sharing_is_near_the_true_one_where_everyone_reads_everywhere() {
    for seed in 0..8 {
        let mut rng = fastrand::Rng::with_seed(200 + seed);
        let solution = solved(&mut rng, |_| 1.0);
        let Solution { network, fit, .. } = &*solution;
        let named: Vec<Option<usize>> = (0..network.observations.len())
            .map(|_| Some(rng.usize(0..2)))
            .collect();
        let (tally, weighted) = (
            Tally::new(network, fit, &named, 2),
            Weighted::new(network, fit, &named, 2),
        );
        let estimate = Estimate {
            tally: &tally,
            weighted: &weighted,
            free: &[0, 1],
        };
        let exact = estimate.shared(&[1.0; 3], &tally.redundancy).expect("told apart");
        let rough = estimate.roughly_shared().expect("told apart");
        for n in 0..2 {
            let share = rough.freedom(n) / exact.freedom(n);
            assert!((0.75..1.3).contains(&share), "seed {seed}: {share}");
        }
    }
}

#[test]
fn a_group_alone_is_weighed_by_the_sum_of_its_redundancies() {
    let mut rng = fastrand::Rng::with_seed(3);
    let solution = solved(&mut rng, |_| 1.0);
    let Solution { network, fit, .. } = &*solution;
    let all = vec![Some(1); network.observations.len()];
    let found = components(network, fit, &all, 3);
    let freedom = fit.degrees_of_freedom(network) as f64;
    let component = found[1].expect("told");
    assert!((component.freedom - freedom).abs() < 1e-6, "{component:?}");
    assert!(
        (component.ratio - fit.chi_square / freedom).abs() < 1e-9,
        "{component:?}"
    );
    assert_eq!((found[0], found[2]), (None, None));
    // Nobody is named.
    assert_eq!(components(network, fit, &vec![None; all.len()], 1), [None]);
}
