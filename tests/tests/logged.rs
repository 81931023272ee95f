//! A reading that was just logged is told what solving again would tell of it.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use adjust::{Adjustment, Handedness, Incomparable, LoggedVerdict, Settings, Verdict};
use survey::{Kind, Point, Reading, Survey};
use trials::shell::{Options, simulate};
use trials::slips::{SINGLE, Written, written};

fn solve(survey: &Survey, made: &Written) -> Adjustment {
    let settings = Settings {
        frame: Some(made.made.frame()),
        ..Settings::default()
    };
    adjust::adjust(survey, &settings).unwrap()
}

/// The survey with this reading in the place of the one with its id.
fn with(survey: &Survey, reading: &Reading) -> Survey {
    let mut with = survey.clone();
    let row = with.reading_index(&reading.id).unwrap();
    with.readings[row] = reading.clone();
    with
}

#[test]
fn it_agrees_with_a_whole_solve() {
    let (mut held, mut kept) = (0, 0);
    for seed in [1, 2, 3] {
        let made = written(seed);
        let survey = &made.made.survey;
        let base = solve(survey, &made);
        let mut rng = fastrand::Rng::with_seed(seed);
        for slip in SINGLE.into_iter().chain(SINGLE) {
            let mut planted = None;
            while planted.is_none() {
                let row = rng.usize(..survey.readings.len());
                planted = made.plant(&mut rng, row, slip);
            }
            let planted = planted.unwrap();
            let solved = with(survey, &planted);
            let full = solve(&solved, &made);
            let row = solved.reading_index(&planted.id).unwrap();
            let found = &full.readings[row];
            let others = full
                .readings
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != row)
                .all(|(_, r)| matches!(r.verdict, Verdict::Fits | Verdict::LookAgain));
            if !others {
                continue; // Where a second reading becomes doubtful, the others are not the same others.
            }
            // Once with the reading as it was before in the solution, once with the solution that holds it out or in.
            for (adjustment, sheet, tolerance) in [(&base, survey, 0.02), (&full, &solved, 1e-6)] {
                let logged = adjustment.just_logged(sheet, &planted);
                let w = found.w.unwrap();
                let near = |a: f64, b: f64| (a - b).abs() <= tolerance * b.abs().max(1.0);
                assert!(
                    near(logged.w.unwrap(), w),
                    "{slip:?} {}: {:?} {w}",
                    planted.id,
                    logged.w
                );
                assert!(
                    near(logged.redundancy.unwrap(), found.redundancy.unwrap()),
                    "{slip:?}"
                );
                match found.verdict {
                    Verdict::Suspect => {
                        assert_eq!(logged.verdict, LoggedVerdict::Off, "{slip:?} {}", planted.id);
                        assert!(
                            near(logged.residual.unwrap(), found.residual.unwrap()),
                            "{slip:?}"
                        );
                        let (ours, theirs) = (logged.slips.unwrap(), found.slips.clone().unwrap());
                        assert!((ours.none_of_these - theirs.none_of_these).abs() < tolerance);
                        for theirs in &theirs.slips {
                            let ours = ours.slips.iter().find(|s| s.slip == theirs.slip);
                            let odds = ours.map_or(0.0, |s| s.odds);
                            assert!(
                                (odds - theirs.odds).abs() < 0.01 + tolerance,
                                "{slip:?}: {ours:?} {theirs:?}"
                            );
                        }
                        assert_eq!(
                            ours.best().map(|s| s.slip),
                            found.likely_slip.as_ref().map(|s| s.slip)
                        );
                        held += 1;
                    }
                    Verdict::LookAgain => {
                        assert_eq!(logged.verdict, LoggedVerdict::LookAgain);
                        kept += 1;
                    }
                    _ => {
                        assert_ne!(logged.verdict, LoggedVerdict::Off);
                        assert_ne!(logged.verdict, LoggedVerdict::LookAgain);
                        assert!(logged.slips.is_none());
                        kept += 1;
                    }
                }
            }
        }
    }
    println!("{held} held out, {kept} kept");
    assert!(held >= 100 && kept >= 10);
}

#[test]
fn what_cannot_be_compared_is_told_with_the_reason() {
    let made = written(5);
    let mut survey = made.made.survey.clone();
    let base = solve(&survey, &made);
    let known = survey.points.len();
    survey
        .points
        .push(Point::named(survey::Label::new("new mark").unwrap()));
    let mut reading = survey.readings[0].clone();
    reading.id = "new".into();
    let ask = |change: &dyn Fn(&mut Reading)| {
        let mut changed = reading.clone();
        change(&mut changed);
        base.just_logged(&survey, &changed)
    };

    let new_point = ask(&|r| r.points[1] = known);
    assert_eq!(
        new_point.verdict,
        LoggedVerdict::NothingToCompare(Incomparable::NewPoint(known))
    );
    assert_eq!(
        (new_point.expected, new_point.w),
        (None, None),
        "not known is not 0"
    );

    let new_stand = ask(&|r| {
        r.kind = Kind::Rise;
        r.stand = "on the floor".into();
    });
    assert_eq!(
        new_stand.verdict,
        LoggedVerdict::NothingToCompare(Incomparable::NewStand)
    );

    // With a deviation of its own of 100 mm an inch would never show, and half a metre does.
    let coarse = ask(&|r| r.sd = 100.0);
    assert_eq!(
        coarse.verdict,
        LoggedVerdict::NothingToCompare(Incomparable::TooUncertain)
    );
    assert!(coarse.smallest_visible_slip.unwrap() > 400.0);
    let far = ask(&|r| {
        r.sd = 100.0;
        r.observed += 700.0;
    });
    assert_eq!(far.verdict, LoggedVerdict::Off);

    // The same line again, with nothing wrong.
    let again = ask(&|_| {});
    assert_eq!(again.verdict, LoggedVerdict::Fits);
    assert!(again.expected.is_some() && again.slips.is_none());
}

/// A reading that is the only one to hold a point has nothing to be compared with, though it is in the solution.
#[test]
fn nothing_checks_the_only_tapes_of_a_point() {
    let made = written(6);
    let mut survey = made.made.survey.clone();
    let point = survey
        .point_index(&survey::Label::new("strut-front-L").unwrap())
        .unwrap();
    let mut tapes = 0;
    survey.readings.retain(|r| {
        let touches = r.points.contains(&point);
        tapes += usize::from(touches && r.kind == Kind::Tape);
        !touches || (r.kind == Kind::Tape && tapes <= 3)
    });
    let solved = solve(&survey, &made);
    let tape = survey
        .readings
        .iter()
        .find(|r| r.points.contains(&point))
        .unwrap();
    let logged = solved.just_logged(&survey, tape);
    assert!(
        matches!(logged.verdict, LoggedVerdict::NothingToCompare(_)),
        "{logged:?}"
    );
}

/// Tapes alone never tell a shell from its mirror image; both are as long in every line.
#[test]
fn tapes_are_compared_and_distances_told_though_the_hand_of_the_shell_is_open() {
    for seed in 0..4 {
        let made = simulate(
            seed,
            &Options {
                tape_only: true,
                rough: None,
                tilt_deg: 0.0,
                ..Options::default()
            },
        );
        let (survey, frame) = (&made.survey, Some(made.frame()));
        let settings = Settings {
            frame,
            ..Settings::default()
        };
        let open = adjust::adjust(survey, &settings).unwrap();
        assert_eq!(open.handedness, Handedness::Unresolved);
        let high = open
            .two_valued
            .iter()
            .find(|two| two.candidates[0][2].abs() > 100.0)
            .unwrap();
        let above = Some(survey.points[high.point].label.clone());
        let told = adjust::adjust(survey, &Settings { above, ..settings }).unwrap();
        assert_eq!(told.handedness, Handedness::Above);

        let near = |a: f64, b: f64| (a - b).abs() <= 1e-6 * b.abs().max(1.0);
        for a in 0..survey.points.len() {
            for b in 0..a {
                let (ours, theirs) = (open.distance(a, b).unwrap(), told.distance(a, b).unwrap());
                assert!(
                    near(ours.value, theirs.value) && near(ours.sd, theirs.sd),
                    "seed {seed}"
                );
                assert_eq!(
                    open.predict(Kind::X, &[a], "").is_some(),
                    open.points[a].coordinates_mm.iter().all(Option::is_some),
                    "where it lies hangs on the hand"
                );
            }
        }
        for (row, reading) in survey.readings.iter().enumerate() {
            let mut off = reading.clone();
            off.observed += 25.4;
            let (ours, theirs) = (open.just_logged(survey, &off), told.just_logged(survey, &off));
            assert_eq!(ours.verdict, theirs.verdict, "seed {seed}, row {row}");
            assert!(near(ours.w.unwrap(), theirs.w.unwrap()), "seed {seed}, row {row}");
        }
    }
}
