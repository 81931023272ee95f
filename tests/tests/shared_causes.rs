//! One cause that several readings share: it is named, held out as one, and the points are where they are.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use adjust::{Adjustment, Outcome, PointStatus, Settings, SharedCause, Slip, Verdict};
use survey::{INCH_MM, Kind, State};
use trials::causes::{Shared, plant};
use trials::every::every;
use trials::observe::sub;
use trials::rigid::mahalanobis;
use trials::shell::{Options, Simulated, simulate};
use trials::start::place;

const FIRST: u64 = 700;
const SURVEYS: u64 = 30;
/// Points are further than this from the truth, in deviations, in one of ten million (chi-square of 36 with three
/// degrees of freedom).
const FAR: f64 = 6.0;
/// An amount this near to a mark that people mistake is told as that mark, mm.
const AT_A_MARK: f64 = 1.0;

fn solved(made: &Simulated) -> Adjustment {
    let settings = Settings {
        frame: Some(made.frame()),
        ..Settings::default()
    };
    adjust::adjust(&made.survey, &settings).unwrap()
}

/// By how much a reading was made wrong.
fn planted(made: &Simulated, reading: usize) -> Option<f64> {
    made.slips.iter().find(|(i, _)| *i == reading).map(|(_, by)| *by)
}

/// The cause that was planted, if it is named: most of what it is said to explain is.
fn named<'a>(made: &Simulated, found: &'a Adjustment, shared: Shared) -> Option<&'a SharedCause> {
    found.causes.iter().find(|cause| {
        let own = cause
            .readings
            .iter()
            .filter(|&&i| planted(made, i).is_some())
            .count();
        cause.slip == shared.slip() && 2 * own > cause.readings.len()
    })
}

/// Pinned-down points that lie far from the truth.
fn far_points(made: &Simulated, found: &Adjustment) -> Vec<(usize, f64)> {
    (0..made.truth_mm.len())
        .filter(|&p| found.points[p].status == PointStatus::Fixed && !made.datum.contains(&p))
        .filter_map(|p| {
            let covariance = found.points[p].covariance_mm2.unwrap();
            let off = sub(place(found, p).unwrap(), made.truth_mm[p]);
            let square = mahalanobis(covariance, off)?;
            (square > FAR * FAR).then_some((p, square.sqrt()))
        })
        .collect()
}

/// Good readings that are held out as suspects, apart from what shares a name or a run with the planted ones.
fn accused(made: &Simulated, found: &Adjustment) -> usize {
    (0..found.readings.len())
        .filter(|&i| found.readings[i].verdict == Verdict::Suspect && planted(made, i).is_none())
        .count()
}

/// What became of the surveys with one kind of cause.
#[derive(Debug, Default)]
struct Tally {
    named: usize,
    surveys_accused: usize,
    cannot_tell: usize,
    misplaced: usize,
    taken_for_a_mark: usize,
}

fn tally(shared: Shared) -> Tally {
    let mut all = Tally::default();
    let found = every(FIRST..FIRST + SURVEYS, |seed| {
        let made = plant(seed, shared);
        let found = solved(&made);
        let cause = named(&made, &found, shared);
        let to_a_mark = cause.is_some_and(|cause| what_a_cause_says(seed, &made, &found, cause, shared));
        let far = far_points(&made, &found);
        let cannot_tell = found.outcome == Outcome::CannotTell;
        let good = accused(&made, &found);
        if cause.is_none() || good > 0 || !far.is_empty() {
            println!(
                "{shared:?} {seed}: named {}, {good} good accused, far {far:.1?}, {:?}, {:?}",
                cause.is_some(),
                found.outcome,
                found.causes
            );
        }
        Tally {
            named: usize::from(cause.is_some()),
            surveys_accused: usize::from(good > 0),
            cannot_tell: usize::from(cannot_tell),
            misplaced: usize::from(!far.is_empty() && !cannot_tell),
            taken_for_a_mark: usize::from(to_a_mark),
        }
    });
    for one in found {
        all.named += one.named;
        all.surveys_accused += one.surveys_accused;
        all.cannot_tell += one.cannot_tell;
        all.misplaced += one.misplaced;
        all.taken_for_a_mark += one.taken_for_a_mark;
    }
    println!("{shared:?}, {SURVEYS} surveys: {all:?}");
    all
}

/// What the readings of a named cause are told to be.
fn what_a_cause_says(
    seed: u64,
    made: &Simulated,
    found: &Adjustment,
    cause: &SharedCause,
    shared: Shared,
) -> bool {
    let mut to_a_mark = false;
    let true_points = |i: usize| {
        let plain = Options {
            sides: true,
            ..Options::default()
        };
        simulate(seed, &plain).survey.readings[i].points.clone()
    };
    for &i in &cause.readings {
        let reading = &found.readings[i];
        let likely = reading.likely_slip.as_ref().unwrap();
        assert_eq!(likely.slip, cause.slip, "{shared:?} {seed}: reading {i}");
        let Some(by) = planted(made, i) else { continue };
        match shared {
            Shared::MovedMark => {}
            Shared::LabelsExchanged | Shared::MirrorPoint => {
                assert_eq!(likely.corrected, None, "the number is right");
                let points = likely.belongs_to.clone().unwrap();
                assert_eq!(points, true_points(i), "{shared:?} {seed}: reading {i}");
            }
            Shared::Run | Shared::Person | Shared::Instrument | Shared::ForgottenFrom => {
                let amount = cause.amount.unwrap();
                assert!(
                    (amount.value - by).abs() < 5.0 * amount.sd,
                    "{shared:?} {seed}: {amount:?}, not {by}"
                );
                let right = made.survey.readings[i].observed - by;
                let apart = (likely.corrected.unwrap() - right).abs();
                if shared == Shared::Instrument {
                    // What an instrument adds is only estimated; near a mark it is taken for that mark.
                    assert!(
                        apart <= 5.0 * amount.sd + AT_A_MARK,
                        "{seed}: reading {i} off by {apart}"
                    );
                    to_a_mark |= apart > 5.0 * amount.sd;
                } else {
                    // An inch is known to be one.
                    assert!(apart <= 1e-9, "{shared:?} {seed}: reading {i} off by {apart}");
                }
            }
        }
    }
    to_a_mark
}

/// What is asked of a kind of cause: the measured figures with a margin. A survey in a hundred accuses a good
/// reading by its noise alone, and does so here whatever is planted in it.
struct Limits {
    named: usize,
    surveys_accused: usize,
    misplaced: usize,
}

fn hold(shared: Shared, limits: Limits) -> Tally {
    let found = tally(shared);
    assert!(found.named >= limits.named, "{shared:?}: {found:?}");
    assert!(
        found.surveys_accused <= limits.surveys_accused,
        "{shared:?}: {found:?}"
    );
    // Without a word that the readings cannot tell.
    assert!(found.misplaced <= limits.misplaced, "{shared:?}: {found:?}");
    assert!(found.cannot_tell <= 6, "{shared:?}: {found:?}");
    found
}

/// A mark that moves by less than the weak direction of its point shows is not seen as one.
#[test]
fn a_mark_that_moved() {
    hold(
        Shared::MovedMark,
        Limits {
            named: 18,
            surveys_accused: 4,
            misplaced: 2,
        },
    );
}

#[test]
fn labels_that_were_exchanged() {
    hold(
        Shared::LabelsExchanged,
        Limits {
            named: 27,
            surveys_accused: 2,
            misplaced: 0,
        },
    );
}

#[test]
fn the_point_on_the_other_side() {
    hold(
        Shared::MirrorPoint,
        Limits {
            named: 28,
            surveys_accused: 2,
            misplaced: 0,
        },
    );
}

/// A run that is all there is of some points moves them along with little said against it.
#[test]
fn a_run_of_rows_from_the_1_inch_mark() {
    hold(
        Shared::Run,
        Limits {
            named: 26,
            surveys_accused: 3,
            misplaced: 4,
        },
    );
}

#[test]
fn everything_that_one_person_read() {
    hold(
        Shared::Person,
        Limits {
            named: 29,
            surveys_accused: 2,
            misplaced: 0,
        },
    );
}

#[test]
fn an_instrument_that_adds_something() {
    let found = hold(
        Shared::Instrument,
        Limits {
            named: 29,
            surveys_accused: 2,
            misplaced: 0,
        },
    );
    assert!(found.taken_for_a_mark <= 3, "{found:?}");
}

#[test]
fn a_toggle_that_was_forgotten_for_some_rows() {
    hold(
        Shared::ForgottenFrom,
        Limits {
            named: 26,
            surveys_accused: 4,
            misplaced: 3,
        },
    );
}

/// Every other tape by a second person who reads from the 1 inch mark: without these most points would be loose.
fn half_by_a_second_person(seed: u64) -> Simulated {
    let mut made = simulate(seed, &Options::default());
    for i in 0..made.survey.readings.len() {
        let one = &mut made.survey.readings[i];
        if one.kind != Kind::Tape {
            continue;
        }
        one.by = if i % 2 == 0 { "first" } else { "second" }.to_owned();
        if i % 2 == 1 {
            one.observed += INCH_MM;
            one.read += INCH_MM;
            made.slips.push((i, INCH_MM));
        }
    }
    made
}

#[test]
fn a_cause_stays_in_as_an_unknown_where_its_readings_hold_the_points() {
    let surveys = 10;
    let kept = every(FIRST..FIRST + surveys, |seed| {
        let made = half_by_a_second_person(seed);
        // Without them: loose points.
        let mut without = made.clone();
        for (i, _) in &made.slips {
            without.survey.readings[*i].state = State::SetAside;
        }
        let loose = solved(&without);
        assert!(!loose.loose.is_empty(), "seed {seed}: nothing would be loose");

        let found = solved(&made);
        assert!(
            found.loose.is_empty() && found.two_valued.is_empty(),
            "seed {seed}: {:?}",
            found.outcome
        );
        let [cause] = &found.causes[..] else {
            panic!("seed {seed}: {:?}", found.causes);
        };
        assert_eq!(cause.slip, Slip::WholeSheet, "seed {seed}");
        assert!(!cause.held_out, "seed {seed}");
        let amount = cause.amount.unwrap();
        assert!(
            (amount.value - INCH_MM).abs() < 5.0 * amount.sd && amount.sd < 0.5,
            "seed {seed}: {amount:?}"
        );
        for &i in &cause.readings {
            assert!(
                planted(&made, i).is_some(),
                "seed {seed}: {i} is the first person's"
            );
            let corrected = found.readings[i].likely_slip.as_ref().unwrap().corrected;
            let right = made.survey.readings[i].observed - INCH_MM;
            assert!(
                (corrected.unwrap() - right).abs() < 1e-9,
                "seed {seed}: reading {i}"
            );
        }
        // All but what a single slip, which is not there, takes away.
        assert!(cause.readings.len() + 2 >= made.slips.len(), "seed {seed}");
        assert!(accused(&made, &found) <= 1, "seed {seed}");
        // one in ten million points is beyond six deviations.
        assert_eq!(far_points(&made, &found), [], "seed {seed}");
        found.summary.readings
    });
    println!("readings in use: {kept:?}");
}
