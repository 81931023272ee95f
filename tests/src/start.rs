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
        Ok(adjustment) => judge(seed, &made, &adjustment),
    }
}

/// The coordinates of a point, where all three are known.
pub fn place(adjustment: &Adjustment, point: usize) -> Option<V3> {
    let [x, y, z] = adjustment.points[point].coordinates_mm;
    Some([x?, y?, z?])
}

fn judge(seed: u64, made: &Simulated, adjustment: &Adjustment) -> StartOutcome {
    let known: Vec<usize> = (0..made.truth_mm.len())
        .filter(|&i| adjustment.points[i].status == PointStatus::Fixed && place(adjustment, i).is_some())
        .collect();
    if known.len() < 4 {
        return StartOutcome::Wrong(format!(
            "seed {seed}: only {} points, {:?}",
            known.len(),
            adjustment.outcome
        ));
    }
    let found: Vec<V3> = known.iter().filter_map(|&i| place(adjustment, i)).collect();
    let truth: Vec<V3> = known.iter().map(|&i| made.truth_mm[i]).collect();
    let laid = lay_on(&found, &truth, &found);
    let mut off = Vec::new();
    for (k, &i) in known.iter().enumerate() {
        let sd = adjustment.points[i]
            .covariance_mm2
            .map_or(0.0, |c| (0..3).map(|a| c[a][a]).fold(0.0, f64::max).sqrt());
        let apart = distance(laid[k], truth[k]);
        if apart > (6.0 * sd).max(15.0) {
            off.push(format!("{} by {apart:.0} mm", made.survey.points[i].label));
        }
    }
    // Places that are not fixed: the truth must be among the two, or the point must be told as loose.
    let mut open = false;
    for i in (0..made.truth_mm.len()).filter(|i| !known.contains(i)) {
        open = true;
        if let Some(two) = adjustment.two_valued.iter().find(|t| t.point == i) {
            let both = lay_on(&found, &truth, &two.candidates);
            if both.iter().all(|&c| distance(c, made.truth_mm[i]) > 40.0) {
                off.push(format!("neither place of {}", made.survey.points[i].label));
            }
        } else if !adjustment.loose.iter().any(|l| l.point == i) {
            off.push(format!(
                "{} without a place or a reason",
                made.survey.points[i].label
            ));
        }
    }
    // With slips that cannot be told from good readings, the solver must say so: that is no wrong answer.
    let told = adjustment.outcome == Outcome::CannotTell
        || made
            .slips
            .iter()
            .any(|&(i, _)| adjustment.readings[i].verdict == Verdict::Unclear);
    if off.is_empty() {
        if open {
            StartOutcome::AmbiguousReported
        } else {
            StartOutcome::Right
        }
    } else if told {
        StartOutcome::AmbiguousReported
    } else {
        StartOutcome::Wrong(format!(
            "seed {seed}: {:?}: {}",
            adjustment.outcome,
            off.join(", ")
        ))
    }
}
