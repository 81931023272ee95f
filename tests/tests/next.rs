//! What to read next does what it says: the worst standard deviation comes out as told, and what was open is
//! settled.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use adjust::{Adjustment, Handedness, NextReading, PointStatus, Purpose, Settings, Verdict, adjust};
use survey::{Frame, Kind, Survey};
use trials::net::reading;
use trials::observe::{distance, gauss, true_value};
use trials::rigid::eigen;
use trials::shell::{Options, Simulated, simulate};

/// The worst standard deviation of the points that are pinned down: the longest axis of a covariance.
fn worst(solved: &Adjustment) -> f64 {
    let sizes = solved
        .points
        .iter()
        .filter_map(|p| Some(eigen(p.covariance_mm2?).0[2].max(0.0).sqrt()));
    sizes.fold(0.0, f64::max)
}

/// The survey with one reading more.
fn with(survey: &Survey, next: &NextReading, value: f64) -> Survey {
    let mut more = survey.clone();
    let sd = survey::default_sd(next.kind, None, value);
    let mut one = reading(
        format!("more{}", more.readings.len()),
        next.kind,
        vec![next.a, next.b],
        value,
        sd,
    );
    if next.kind.needs_plumb() {
        one.stand = stand(survey);
    }
    more.readings.push(one);
    more
}

fn stand(survey: &Survey) -> String {
    survey
        .readings
        .iter()
        .find(|r| r.kind.needs_plumb())
        .map_or(String::new(), |r| r.stand.clone())
}

/// What a crew would read there; the shell stands level.
fn taken(made: &Simulated, next: &NextReading, rng: &mut fastrand::Rng) -> f64 {
    let at = [made.truth_mm[next.a], made.truth_mm[next.b]];
    let value = true_value(next.kind, &at, [0.0, 0.0, 1.0]);
    value + survey::default_sd(next.kind, None, value) * gauss(rng)
}

fn level() -> Options {
    Options {
        tilt_deg: 0.0,
        ..Options::default()
    }
}

fn settings(frame: Frame) -> Settings {
    Settings {
        frame: Some(frame),
        ..Settings::default()
    }
}

/// The frames of a simulated survey, with what the bench frame needs.
fn framed(made: &Simulated, which: u64) -> (Survey, Frame) {
    let [origin, ahead, left] = made.labels.clone();
    let mut survey = made.survey.clone();
    let frame = match which % 4 {
        0 => made.frame(),
        1 => Frame::Plumb { origin, ahead, left },
        2 => Frame::Centreline {
            origin,
            ahead,
            above: survey
                .points
                .iter()
                .find(|p| p.label.as_str() == "dash")
                .unwrap()
                .label
                .clone(),
        },
        _ => {
            for (p, axes) in
                made.datum
                    .into_iter()
                    .zip([[true; 3], [false, true, true], [false, false, true]])
            {
                survey.points[p].rough_mm = made.truth_mm[p].map(Some);
                survey.points[p].fixed = axes;
            }
            Frame::Bench
        }
    };
    (survey, frame)
}

/// The survey with no more than so many readings from each of these points to earlier ones.
fn thinned(survey: &Survey, points: impl IntoIterator<Item = usize>, most: usize) -> Survey {
    let mut thin = survey.clone();
    for point in points {
        let mut count = 0;
        thin.readings.retain(|r| {
            let last = r.points.iter().max() == Some(&point);
            count += usize::from(last);
            !last || count <= most
        });
    }
    thin
}

fn verdicts(solved: &Adjustment) -> Vec<Verdict> {
    solved.readings.iter().map(|r| r.verdict).collect()
}

#[test]
fn the_worst_deviation_comes_out_as_told() {
    let mut compared = [0; 6];
    let mut silent = [0; 6];
    for seed in 0..40 {
        let options = Options {
            sides: true,
            loose: seed % 8 == 1,
            two_valued: seed % 8 == 2,
            rough: (seed % 8 != 2).then_some(60.0),
            slips: [0, 0, 0, 1, 0, 3, 0, 0][seed as usize % 8],
            mixed: seed % 3 == 0,
            stands: 1 + (seed % 8 == 6) as usize,
            ..level()
        };
        let made = simulate(seed, &options);
        let (survey, frame) = framed(&made, seed / 8 + seed);
        let asked = Settings {
            scale: seed % 8 == 7,
            ..settings(frame)
        };
        let solved = adjust(&survey, &asked).unwrap_or_else(|why| panic!("seed {seed}: {why}"));
        let before = worst(&solved);
        for next in &solved.next {
            let told = next.worst_sd_before_mm.unwrap();
            assert!(
                (told - before).abs() < 1e-6 * before,
                "seed {seed}: {told} for {before}"
            );
            let place = next.purpose as usize;
            let Some(after) = next.worst_sd_after_mm else {
                silent[place] += 1;
                continue;
            };
            let at = [next.a, next.b];
            let expected = solved.predict(next.kind, &at, &stand(&survey)).map(|e| e.value);
            // Where a point can move nothing is expected yet: the truth will be read.
            let value = expected
                .unwrap_or_else(|| true_value(next.kind, &at.map(|p| made.truth_mm[p]), [0.0, 0.0, 1.0]));
            let then = adjust(&with(&survey, next, value), &asked)
                .unwrap_or_else(|why| panic!("seed {seed}: {why}"));
            let same = verdicts(&solved)[..] == verdicts(&then)[..solved.readings.len()];
            if !same && next.purpose != Purpose::TellsApart {
                continue; // One reading more has shifted a verdict.
            }
            let really = worst(&then);
            assert!(
                (after - really).abs() < 0.01 * really,
                "seed {seed} {next:?}: told {after}, was {really}, before {before}"
            );
            compared[place] += 1;
        }
    }
    println!(
        "compared {compared:?}, not told {silent:?} (pins, settles, tells apart, again, checks, steadies)"
    );
    assert!(compared[1] > 3 && compared[3] > 5 && compared[4] > 20 && compared[5] > 200);
}

#[test]
fn what_is_proposed_can_be_read_and_was_not() {
    for seed in 0..20 {
        let made = simulate(
            seed,
            &Options {
                slips: seed as usize % 4,
                loose: seed % 5 == 1,
                two_valued: seed % 5 == 2,
                rough: (seed % 2 == 0).then_some(60.0),
                ..level()
            },
        );
        let mut survey = made.survey.clone();
        let mut blocked = Vec::new();
        // Whatever was proposed is blocked, again and again: it must not come back.
        for _ in 0..4 {
            let solved = adjust(&survey, &settings(made.frame())).unwrap();
            assert!(solved.next.len() <= 20);
            for (n, next) in solved.next.iter().enumerate() {
                let same = |a: usize, b: usize| [a, b] == [next.a, next.b] || [b, a] == [next.a, next.b];
                assert!(
                    !blocked.iter().any(|&[a, b]: &[usize; 2]| same(a, b)),
                    "seed {seed}: {next:?} is blocked"
                );
                let length = distance(made.truth_mm[next.a], made.truth_mm[next.b]);
                assert!(
                    (45.0..4300.0).contains(&length),
                    "seed {seed}: {next:?} is {length} mm"
                );
                let doubted =
                    |r: usize| matches!(solved.readings[r].verdict, Verdict::Suspect | Verdict::Unclear);
                let known = survey
                    .readings
                    .iter()
                    .position(|r| r.kind == next.kind && same(r.points[0], r.points[1]));
                assert!(known.is_none_or(doubted), "seed {seed}: {next:?} was read");
                let twice = solved.next[..n]
                    .iter()
                    .any(|o| o.kind == next.kind && same(o.a, o.b));
                assert!(!twice, "seed {seed}: {next:?} is told twice");
                assert!(
                    n == 0 || solved.next[n - 1].purpose <= next.purpose,
                    "seed {seed}: out of order"
                );
            }
            let more: Vec<[usize; 2]> = solved.next.iter().map(|next| [next.a, next.b]).collect();
            survey.blocked.extend(&more);
            blocked.extend(more);
        }
    }
}

#[test]
fn every_end_that_applies_has_its_share() {
    // Eight points with two tapes each, and three slips.
    let mut surveys = 0;
    for seed in 0..20 {
        let made = simulate(seed, &Options { slips: 3, ..level() });
        let mut survey = made.survey.clone();
        for point in 20..28 {
            let mut left = 2;
            survey.readings.retain(|r| {
                let own = r.points.contains(&point)
                    && !made
                        .slips
                        .iter()
                        .any(|(s, _)| made.survey.readings[*s].id == r.id);
                left -= i32::from(own && left > 0);
                !own || left > 0
            });
        }
        let Ok(solved) = adjust(&survey, &settings(made.frame())) else {
            continue; // So little holds these points that not every start succeeds.
        };
        if solved.loose.len() < 6 {
            continue;
        }
        surveys += 1;
        let count = |purpose| solved.next.iter().filter(|next| next.purpose == purpose).count();
        assert_eq!(solved.next.len(), 20);
        assert!(count(Purpose::Pins) >= 5, "seed {seed}");
        let suspects = solved
            .readings
            .iter()
            .filter(|r| r.verdict == Verdict::Suspect)
            .count();
        assert!(count(Purpose::ReadAgain) >= suspects.min(2), "seed {seed}");
        assert!(count(Purpose::Pins) < 20, "seed {seed}");
    }
    assert!(surveys >= 8, "{surveys}");
}

#[test]
fn what_pins_a_point_pins_it_and_what_settles_it_settles_it() {
    let (mut pinned, mut settled) = (0, 0);
    for seed in 0..30 {
        for (loose, purpose) in [(true, Purpose::Pins), (false, Purpose::Settles)] {
            let options = Options {
                loose,
                two_valued: !loose,
                rough: None,
                sides: true,
                ..level()
            };
            let made = simulate(seed, &options);
            let special = made.special.unwrap();
            let asked = settings(made.frame());
            let solved = adjust(&made.survey, &asked).unwrap();
            let status = solved.points[special].status;
            if status
                != (if loose {
                    PointStatus::Loose
                } else {
                    PointStatus::TwoValued
                })
            {
                continue;
            }
            let mut rng = fastrand::Rng::with_seed(seed);
            let mut survey = made.survey.clone();
            let ours = solved.next.iter().filter(|n| n.purpose == purpose);
            for next in ours.filter(|n| n.a == special || n.b == special) {
                survey = with(&survey, next, taken(&made, next, &mut rng));
            }
            let then = adjust(&survey, &asked).unwrap();
            assert_eq!(
                then.points[special].status,
                PointStatus::Fixed,
                "seed {seed}, {purpose:?}"
            );
            *(if loose { &mut pinned } else { &mut settled }) += 1;
        }
    }
    println!("{pinned} loose points are held, {settled} with two places are settled, of 30 each");
    assert!(pinned >= 28 && settled >= 28, "{pinned}, {settled}");
}

#[test]
fn slopes_tell_the_shell_from_its_mirror_image() {
    for seed in 0..10 {
        let made = simulate(
            seed,
            &Options {
                tape_only: true,
                rough: None,
                ..level()
            },
        );
        let asked = settings(made.frame());
        let solved = adjust(&made.survey, &asked).unwrap();
        assert_eq!(solved.handedness, Handedness::Unresolved);
        let ours: Vec<_> = solved.next.iter().filter(|n| n.kind == Kind::Slope).collect();
        assert!(ours.iter().all(|n| n.purpose == Purpose::Settles));
        let mut rng = fastrand::Rng::with_seed(seed);
        let mut survey = made.survey.clone();
        for next in &ours {
            survey = with(&survey, next, taken(&made, next, &mut rng));
        }
        let then = adjust(&survey, &asked).unwrap();
        assert_eq!(then.handedness, Handedness::Plumb, "seed {seed}");
        assert!(then.two_valued.is_empty(), "seed {seed}");
    }
}

#[test]
fn what_tells_a_group_apart_does() {
    let (mut open, mut named, mut resolved, mut right, mut compared) = (0, 0, 0, 0, 0);
    for seed in 0..150 {
        // With four or five tapes to a point, a slip of an inch is seen, and often not where.
        let mut made = simulate(seed, &level());
        made.survey = thinned(&made.survey, (10..43).step_by(2), 5);
        let tapes: Vec<usize> = (0..made.survey.readings.len())
            .filter(|&r| made.survey.readings[r].points.iter().max() >= Some(&10))
            .filter(|&r| made.survey.readings[r].kind == Kind::Tape)
            .collect();
        let slip = tapes[fastrand::Rng::with_seed(seed).usize(..tapes.len())];
        made.survey.readings[slip].observed += 25.4;
        made.slips = vec![(slip, 25.4)];
        let asked = settings(made.frame());
        let Ok(solved) = adjust(&made.survey, &asked) else {
            continue; // The frame's own points hang on what was left out.
        };
        let unclear = |solved: &Adjustment| {
            let n = made.survey.readings.len();
            (0..n)
                .filter(|&r| solved.readings[r].verdict == Verdict::Unclear)
                .collect::<Vec<_>>()
        };
        let before = unclear(&solved);
        if before.is_empty() {
            continue;
        }
        open += 1;
        let ours: Vec<_> = solved
            .next
            .iter()
            .filter(|n| n.purpose == Purpose::TellsApart)
            .collect();
        if ours.is_empty() {
            continue;
        }
        named += 1;
        let mut rng = fastrand::Rng::with_seed(seed);
        let mut survey = made.survey.clone();
        for next in &ours {
            survey = with(&survey, next, taken(&made, next, &mut rng));
        }
        let then = adjust(&survey, &asked).unwrap();
        if let ([only], true) = (&ours[..], unclear(&then).is_empty())
            && let Some(after) = only.worst_sd_after_mm
        {
            let really = worst(&then);
            assert!(
                (after - really).abs() < 0.01 * really,
                "seed {seed}: told {after}, was {really}"
            );
            compared += 1;
        }
        resolved += usize::from(unclear(&then).is_empty());
        let told: Vec<usize> = before
            .iter()
            .copied()
            .filter(|&r| then.readings[r].verdict == Verdict::Suspect)
            .collect();
        right += usize::from(told.iter().all(|r| made.slips.iter().any(|(s, _)| s == r)));
    }
    println!(
        "{open} surveys with an unclear group: a line named in {named}, settled in {resolved}, none accused wrongly in {right}, the worst deviation compared in {compared}"
    );
    assert!(open >= 15 && compared > 5);
    assert!(named * 10 >= open * 9 && resolved * 10 >= named * 8 && right * 10 >= resolved * 9);
}

#[test]
fn what_checks_a_reading_checks_it() {
    let (mut surveys, mut before, mut after, mut taken_more) = (0, 0, 0, 0);
    for seed in 0..20 {
        let made = simulate(seed, &level());
        let mut survey = made.survey.clone();
        // Four tapes to a point: one to spare, and little of it in some.
        survey = thinned(&survey, (10..43).step_by(3), 4);
        let asked = settings(made.frame());
        let mut rng = fastrand::Rng::with_seed(seed);
        let mut solved = adjust(&survey, &asked).unwrap();
        let unchecked = |solved: &Adjustment| solved.readings.iter().filter(|r| r.unchecked).count();
        if solved.loose.len() + solved.two_valued.len() > 0 || unchecked(&solved) == 0 {
            continue;
        }
        surveys += 1;
        before += unchecked(&solved);
        for _ in 0..30 {
            let Some(next) = solved.next.iter().find(|n| n.purpose == Purpose::Checks).cloned() else {
                break;
            };
            survey = with(&survey, &next, taken(&made, &next, &mut rng));
            solved = adjust(&survey, &asked).unwrap();
            taken_more += 1;
        }
        after += unchecked(&solved);
    }
    println!("{surveys} surveys, {before} unchecked readings, {after} left after {taken_more} readings more");
    assert!(surveys >= 10 && before >= 30 && after * 20 <= before && taken_more <= before);
}
