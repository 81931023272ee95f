//! The stated uncertainties are honest: over 2,000 simulated surveys the 95 % ellipsoids hold the truth 95 times
//! in 100, w has the spread it should have, and the global test passes 95 times in 100.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use adjust::{Settings, Suspects};
use trials::every::every;
use trials::observe::sub;
use trials::rigid::mahalanobis;
use trials::shell::{Options, simulate};
use trials::start::place;

const SURVEYS: u64 = 2000;
/// 95 % point of chi-square with three degrees of freedom (7.815 in the printed tables).
const INSIDE: f64 = 7.814_728;

/// What one survey adds.
#[derive(Clone, Copy)]
struct Shares {
    open: f64,
    inside: f64,
    w_square: f64,
    w_beyond: f64,
    passes: f64,
}

fn one(seed: u64) -> Shares {
    let made = simulate(
        seed,
        &Options {
            rough: Some(60.0),
            mixed: seed % 2 == 1,
            ..Options::default()
        },
    );
    let settings = Settings {
        frame: Some(made.frame()),
        suspects: Suspects::Keep,
        ..Settings::default()
    };
    let solved = adjust::adjust(&made.survey, &settings).unwrap_or_else(|why| panic!("seed {seed}: {why}"));
    let (mut inside, mut points, mut open) = (0.0, 0.0, 0.0);
    for i in (0..made.truth_mm.len()).filter(|i| !made.datum.contains(i)) {
        // A point may come out with two places: the readings are random, and this is told.
        let Some(found) = place(&solved, i) else {
            open += 1.0;
            continue;
        };
        let covariance = solved.points[i].covariance_mm2.unwrap();
        let square = mahalanobis(covariance, sub(found, made.truth_mm[i])).unwrap();
        points += 1.0;
        inside += f64::from(square <= INSIDE);
    }
    let w: Vec<f64> = solved
        .readings
        .iter()
        .filter(|r| r.redundancy.unwrap() > 0.01)
        .map(|r| r.w.unwrap())
        .collect();
    let n = w.len() as f64;
    Shares {
        open: open / (points + open),
        inside: inside / points,
        w_square: w.iter().map(|w| w * w).sum::<f64>() / n,
        w_beyond: w.iter().filter(|w| w.abs() > 1.959_964).count() as f64 / n,
        passes: f64::from(solved.summary.passes.unwrap()),
    }
}

/// Mean and its standard error; surveys are independent, points within one are not.
fn mean(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    let n = values.clone().count() as f64;
    let mean = values.clone().sum::<f64>() / n;
    let variance = values.map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0);
    (mean, (variance / n).sqrt())
}

#[test]
fn what_is_stated_is_what_happens() {
    let shares = every(0..SURVEYS, one);
    let (open, _) = mean(shares.iter().map(|s| s.open));
    assert!(open < 0.002, "{open} of the points have no place of their own");

    // With 2,000 surveys the standard error of the mean share is near 0.0015: ±0.01 is over six of them, so that
    // a fault of one part in a hundred is seen and chance alone is not.
    let (inside, error) = mean(shares.iter().map(|s| s.inside));
    assert!(
        error < 0.0025,
        "standard error {error}: too few surveys for the tolerance"
    );
    assert!(
        (inside - 0.95).abs() < 0.01,
        "the 95 % ellipsoid holds the truth in {inside} ± {error}"
    );

    // The square of w has mean 1, and 1 in 20 lies beyond 1.96.
    let (square, error) = mean(shares.iter().map(|s| s.w_square));
    assert!(
        (square - 1.0).abs() < 5.0 * error + 0.002,
        "mean of w² is {square} ± {error}"
    );
    let (beyond, error) = mean(shares.iter().map(|s| s.w_beyond));
    assert!(
        (beyond - 0.05).abs() < 5.0 * error + 0.001,
        "{beyond} ± {error} of w lies beyond 1.96"
    );

    // Binomial: the standard error is 0.0049, and ±0.02 is four of them.
    let (passes, _) = mean(shares.iter().map(|s| s.passes));
    assert!((passes - 0.95).abs() < 0.02, "the global test passes in {passes}");
}
