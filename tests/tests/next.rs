//! What to read next is told with what it gives: the worst standard deviation comes out as told, and every end that
//! applies has its share.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use adjust::{Adjustment, Purpose, Settings, Verdict, adjust};
use survey::{Frame, Survey};
use trials::more::{stand, with, worst};
use trials::observe::{distance, true_value};
use trials::shell::{Options, Simulated, simulate};

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
