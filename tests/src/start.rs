//! The start trial: does the solver find the shape of a shell from the readings alone?

use adjust::{Adjustment, Outcome, PointStatus, Settings, Verdict};

use crate::observe::{V3, distance};
use crate::rigid::lay_on;
use crate::shell::{Options, Simulated, simulate};

/// How a trial ended.
#[derive(Debug, Clone, PartialEq)]
pub enum StartOutcome {
    /// Every point is where it should be.
    Right,
    /// Something is open, it is told, and the truth is among what is told.
    AmbiguousReported,
    /// A point is somewhere else and nothing says so.
    Wrong(String),
}

/// Solves one simulated survey without rough positions and with that many slips, and compares it with the truth.
pub fn start_trial(seed: u64, slips: usize) -> StartOutcome {
    let made = simulate(
        seed,
        &Options {
            rough: None,
            slips,
            ..Options::default()
        },
    );
    let settings = Settings {
        frame: Some(made.frame()),
        ..Settings::default()
    };
    match adjust::adjust(&made.survey, &settings) {
        Err(why) => StartOutcome::Wrong(format!("seed {seed}: {why}")),
        Ok(adjustment) => match judge(&made, &adjustment) {
            StartOutcome::Wrong(story) => {
                let found = adjustment.summary.chi_square;
                let best = from_truth(&made).map_or("none".to_owned(), |c| format!("{c:.1}"));
                let outcome = adjustment.outcome;
                StartOutcome::Wrong(format!(
                    "seed {seed}: {outcome:?}, chi-square {found:.1} and {best} from the truth: {story}"
                ))
            }
            other => other,
        },
    }
}

/// Chi-square of the solution that a start at the truth leads to: where it is no smaller than the one found, the
/// readings do not tell the two shapes apart.
fn from_truth(made: &Simulated) -> Option<f64> {
    let mut survey = made.survey.clone();
    for (point, place) in survey.points.iter_mut().zip(&made.truth_mm) {
        point.rough_mm = place.map(Some);
    }
    let settings = Settings {
        frame: Some(made.frame()),
        ..Settings::default()
    };
    Some(adjust::adjust(&survey, &settings).ok()?.summary.chi_square)
}

/// The coordinates of a point, where all three are known.
pub fn place(adjustment: &Adjustment, point: usize) -> Option<V3> {
    let [x, y, z] = adjustment.points[point].coordinates_mm;
    Some([x?, y?, z?])
}

fn judge(made: &Simulated, adjustment: &Adjustment) -> StartOutcome {
    // With two-valued points the whole may have two shapes: the first places make one, the second the other.
    let first = misplaced(made, adjustment, 0);
    let off = match &first {
        Some(off) if off.is_empty() || adjustment.two_valued.is_empty() => first,
        _ => match (first, misplaced(made, adjustment, 1)) {
            (Some(a), Some(b)) => Some(if b.len() < a.len() { b } else { a }),
            (a, b) => a.or(b),
        },
    };
    let Some(mut off) = off else {
        return StartOutcome::Wrong("fewer than four points have a place".to_owned());
    };
    // With slips that cannot be told from good readings the solver must say so: that is no wrong answer.
    let told = adjustment.outcome == Outcome::CannotTell
        || made
            .slips
            .iter()
            .any(|&(i, _)| adjustment.readings[i].verdict == Verdict::Unclear);
    let open = adjustment
        .points
        .iter()
        .any(|point| point.status != PointStatus::Fixed);
    if off.is_empty() {
        if open {
            StartOutcome::AmbiguousReported
        } else {
            StartOutcome::Right
        }
    } else if told {
        StartOutcome::AmbiguousReported
    } else {
        let count = off.len();
        off.truncate(5);
        StartOutcome::Wrong(format!("{count} points off: {}", off.join(", ")))
    }
}

/// The points that are not where they should be, in words, with shape 0 or 1 laid on the truth; nothing where too
/// few have a place.
fn misplaced(made: &Simulated, adjustment: &Adjustment, shape: usize) -> Option<Vec<String>> {
    let candidates = |i: usize| {
        adjustment
            .two_valued
            .iter()
            .find(|t| t.point == i)
            .map(|t| t.candidates)
    };
    let placed: Vec<(usize, V3)> = (0..made.truth_mm.len())
        .filter_map(|i| Some((i, candidates(i).map(|c| c[shape]).or(place(adjustment, i))?)))
        .collect();
    if placed.len() < 4 {
        return None;
    }
    let lay = |used: &[(usize, V3)], all: &[V3]| {
        let from: Vec<V3> = used.iter().map(|&(_, p)| p).collect();
        let to: Vec<V3> = used.iter().map(|&(i, _)| made.truth_mm[i]).collect();
        lay_on(&from, &to, all)
    };
    // A second time without those that are far off, so that one of them does not shift the rest.
    let all: Vec<V3> = placed.iter().map(|&(_, p)| p).collect();
    let apart: Vec<f64> = lay(&placed, &all)
        .iter()
        .zip(&placed)
        .map(|(&p, &(i, _))| distance(p, made.truth_mm[i]))
        .collect();
    let mut sorted = apart.clone();
    sorted.sort_by(f64::total_cmp);
    let limit = 3.0 * sorted[sorted.len() / 2] + 1.0;
    let good: Vec<(usize, V3)> = placed
        .iter()
        .zip(&apart)
        .filter(|&(_, &d)| d <= limit)
        .map(|(&p, _)| p)
        .collect();
    let mut off = Vec::new();
    for i in 0..made.truth_mm.len() {
        let label = &made.survey.points[i].label;
        let (places, tolerance) = match (candidates(i), place(adjustment, i)) {
            (Some(both), _) => (both.to_vec(), 40.0),
            (None, Some(one)) => (vec![one], tolerance(adjustment, i)),
            // A loose point has no place, and says so.
            (None, None) if adjustment.loose.iter().any(|l| l.point == i) => continue,
            (None, None) => {
                off.push(format!("{label} without a place or a reason"));
                continue;
            }
        };
        let laid = lay(&good, &places);
        let apart = laid
            .iter()
            .map(|&p| distance(p, made.truth_mm[i]))
            .fold(f64::INFINITY, f64::min);
        if apart > tolerance {
            off.push(format!("{label} by {apart:.0} mm"));
        }
    }
    Some(off)
}

/// Six standard deviations of the worst coordinate, or 15 mm.
fn tolerance(adjustment: &Adjustment, point: usize) -> f64 {
    let sd = adjustment.points[point]
        .covariance_mm2
        .map_or(0.0, |c| (0..3).map(|a| c[a][a]).fold(0.0, f64::max).sqrt());
    (6.0 * sd).max(15.0)
}
