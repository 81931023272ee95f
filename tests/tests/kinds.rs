//! Surveys of every kind a crew brings, over many seeds: what is planted is told, and nothing else is.

use adjust::{Adjustment, Outcome, PointStatus, Settings, Verdict, adjust};
use trials::shell::{Options, Simulated, simulate};

const SEEDS: u64 = 40;

fn solve(made: &Simulated) -> Adjustment {
    let settings = Settings {
        frame: Some(made.frame()),
        ..Settings::default()
    };
    adjust(&made.survey, &settings).expect("a survey that can be solved")
}

/// The points whose status is not fixed.
fn open(adjustment: &Adjustment, status: PointStatus) -> Vec<usize> {
    (0..adjustment.points.len())
        .filter(|&p| adjustment.points[p].status == status)
        .collect()
}

/// The readings that are accused of something.
fn accused(adjustment: &Adjustment) -> Vec<usize> {
    (0..adjustment.readings.len())
        .filter(|&r| {
            matches!(
                adjustment.readings[r].verdict,
                Verdict::Suspect | Verdict::Unclear
            )
        })
        .collect()
}

/// Runs a check on every seed and tells all that fail.
fn every_seed(
    options: &Options,
    allowed: usize,
    check: impl Fn(&Simulated, &Adjustment) -> Result<(), String>,
) {
    let failures: Vec<String> = (0..SEEDS)
        .filter_map(|seed| {
            let made = simulate(7000 + seed, options);
            check(&made, &solve(&made))
                .err()
                .map(|why| format!("seed {}: {why}", 7000 + seed))
        })
        .collect();
    assert!(
        failures.len() <= allowed,
        "{} of {SEEDS}:\n{}",
        failures.len(),
        failures.join("\n")
    );
}

#[test]
fn two_tapes_leave_one_point_loose_along_one_direction() {
    for rough in [Some(100.0), None] {
        every_seed(
            &Options {
                loose: true,
                rough,
                ..Options::default()
            },
            0,
            |made, adjustment| {
                let special = made.special.expect("the loose point");
                let loose = open(adjustment, PointStatus::Loose);
                if loose != [special] || adjustment.outcome != Outcome::LoosePoints {
                    return Err(format!("{:?}, loose {loose:?}", adjustment.outcome));
                }
                let directions = adjustment.loose[0].directions.len();
                if directions == 1 {
                    Ok(())
                } else {
                    Err(format!("{directions} directions"))
                }
            },
        );
    }
}

#[test]
fn a_stand_with_one_slope_loosens_no_point() {
    // One slope holds one of the two unknowns of its plumb line. The other is open, and no point hangs on it.
    every_seed(
        &Options {
            stands: 2,
            ..Options::default()
        },
        1,
        |made, _| {
            let mut made = made.clone();
            let mut seen = false;
            made.survey
                .readings
                .retain(|r| r.stand.is_empty() || !std::mem::replace(&mut seen, true));
            let adjustment = solve(&made);
            if seen && open(&adjustment, PointStatus::Loose).is_empty() && adjustment.outcome == Outcome::Fits
            {
                Ok(())
            } else {
                Err(format!("{:?}, seen {seen}", adjustment.outcome))
            }
        },
    );
}

#[test]
fn three_tapes_leave_one_point_two_places_and_the_true_one_is_among_them() {
    // One good survey in a hundred accuses one good reading.
    every_seed(
        &Options {
            two_valued: true,
            rough: None,
            ..Options::default()
        },
        1,
        |made, adjustment| {
            let special = made.special.expect("the point with two places");
            let two = open(adjustment, PointStatus::TwoValued);
            if two != [special] || adjustment.points[special].coordinates_mm != [None; 3] {
                return Err(format!("{:?}, two places {two:?}", adjustment.outcome));
            }
            let told = &adjustment.two_valued[0];
            let far = |place: &[f64; 3]| {
                place
                    .iter()
                    .zip(&made.truth_mm[special])
                    .map(|(a, b)| (a - b) * (a - b))
                    .sum::<f64>()
                    .sqrt()
            };
            let gap = told.candidates[0]
                .iter()
                .zip(&told.candidates[1])
                .map(|(a, b)| (a - b) * (a - b))
                .sum::<f64>()
                .sqrt();
            let nearest = told.candidates.iter().map(far).fold(f64::INFINITY, f64::min);
            if nearest < 60.0 && nearest < 0.5 * gap {
                Ok(())
            } else {
                Err(format!("nearest {nearest:.1} mm"))
            }
        },
    );
}

#[test]
fn with_rough_positions_nothing_good_is_accused() {
    // Four kinds of forty surveys; one in a hundred may accuse one good reading.
    for options in [
        Options::default(),
        Options {
            tape_only: true,
            ..Options::default()
        },
        Options {
            mixed: true,
            stands: 2,
            sides: true,
            ..Options::default()
        },
        Options {
            swapped_pair: true,
            ..Options::default()
        },
    ] {
        every_seed(&options, 2, |made, adjustment| {
            let accused = accused(adjustment);
            if !accused.is_empty() || adjustment.outcome != Outcome::Fits {
                return Err(format!("{:?}, accused {accused:?}", adjustment.outcome));
            }
            for (p, truth) in made.truth_mm.iter().enumerate() {
                let covariance = adjustment.points[p].covariance_mm2.ok_or("no covariance")?;
                for k in 0..3 {
                    let off = adjustment.points[p].coordinates_mm[k].ok_or("no place")? - truth[k];
                    let sd = covariance[k][k].max(0.0).sqrt();
                    if off.abs() > 6.0 * sd + 1e-6 {
                        return Err(format!("point {p} is off by {off:.1} mm, sd {sd:.1}"));
                    }
                }
            }
            Ok(())
        });
    }
}

#[test]
fn three_slips_are_found_and_nothing_good_pays() {
    // Half an inch is about the least that a check of this strength sees; what is left over is counted.
    let (mut planted, mut missed, mut accused_good) = (0, 0, 0);
    for seed in 0..SEEDS {
        let made = simulate(
            8000 + seed,
            &Options {
                slips: 3,
                ..Options::default()
            },
        );
        let adjustment = solve(&made);
        let accused = accused(&adjustment);
        let slips: Vec<usize> = made.slips.iter().map(|(r, _)| *r).collect();
        planted += slips.len();
        missed += slips.iter().filter(|slip| !accused.contains(slip)).count();
        accused_good += accused
            .iter()
            .filter(|r| !slips.contains(r) && adjustment.readings[**r].verdict == Verdict::Suspect)
            .count();
    }
    println!("{planted} planted, {missed} missed, {accused_good} good readings accused");
    assert!(missed * 50 <= planted, "{missed} of {planted} missed");
    assert!(
        accused_good * 20 <= SEEDS as usize,
        "{accused_good} good readings accused in {SEEDS} surveys"
    );
}
