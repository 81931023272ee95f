//! Honest instruments: zero offsets lie in their band 95 times in 100, and who or what reads badly is found.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use adjust::{Adjustment, Settings};
use survey::{Instrument, InstrumentKind, Kind, Survey};
use trials::shell::{Options, Simulated, simulate};

/// The first ten pairs of a shell, with the readings between them.
fn shell(seed: u64) -> Simulated {
    let mut made = simulate(
        seed,
        &Options {
            rough: Some(40.0),
            ..Options::default()
        },
    );
    made.survey.points.truncate(20);
    made.survey.readings.retain(|r| r.points.iter().all(|&p| p < 20));
    made
}

fn solve(survey: &Survey, made: &Simulated, estimate_offsets: bool) -> Adjustment {
    let settings = Settings {
        frame: Some(made.frame()),
        estimate_offsets,
        ..Settings::default()
    };
    adjust::adjust(survey, &settings).unwrap()
}

/// Gives each tape reading one of two tapes at random; what the second one reads lacks `offset`.
fn two_tapes(made: &mut Simulated, rng: &mut fastrand::Rng, offset: f64) {
    for name in ["good tape", "worn tape"] {
        made.survey
            .instruments
            .push(Instrument::named(name, InstrumentKind::Tape));
    }
    for reading in made.survey.readings.iter_mut().filter(|r| r.kind == Kind::Tape) {
        let worn = rng.bool();
        reading.instrument = Some(usize::from(worn));
        if worn {
            reading.observed -= offset;
        }
    }
}

/// Runs on every core, in the order of the seeds.
fn every<T: Send>(seeds: u64, one: impl Fn(u64) -> T + Sync) -> Vec<T> {
    let threads = std::thread::available_parallelism().map_or(2, |n| n.get() as u64);
    let mut found = Vec::new();
    std::thread::scope(|scope| {
        let one = &one;
        let workers: Vec<_> = (0..threads)
            .map(|t| scope.spawn(move || (t..seeds).step_by(threads as usize).map(one).collect::<Vec<_>>()))
            .collect();
        for worker in workers {
            found.extend(worker.join().unwrap());
        }
    });
    found
}

#[test]
fn zero_offsets_lie_in_their_band() {
    const SURVEYS: u64 = 2000;
    let found = every(SURVEYS, |seed| {
        let mut made = shell(seed);
        let mut rng = fastrand::Rng::with_seed(seed + 77);
        let truth = 8.0 * rng.f64() - 4.0;
        two_tapes(&mut made, &mut rng, truth);
        let solved = solve(&made.survey, &made, true);
        let offset = |i: usize| solved.instruments[i].offset.unwrap();
        [(offset(0), 0.0), (offset(1), truth)]
    });
    let within = |i: usize| {
        let hits = found
            .iter()
            .filter(|tapes| (tapes[i].0.value - tapes[i].1).abs() < 1.959_964 * tapes[i].0.sd);
        hits.count() as f64 / SURVEYS as f64
    };
    let square = |i: usize| {
        found
            .iter()
            .map(|tapes| ((tapes[i].0.value - tapes[i].1) / tapes[i].0.sd).powi(2))
            .sum::<f64>()
            / SURVEYS as f64
    };
    println!(
        "in the band {:.4} {:.4}, mean square {:.3} {:.3}, sd {:.2} mm",
        within(0),
        within(1),
        square(0),
        square(1),
        found[0][1].0.sd
    );
    for i in 0..2 {
        // Standard errors 0.0049 and 0.032.
        assert!((within(i) - 0.95).abs() < 0.02, "tape {i}: {}", within(i));
        assert!((square(i) - 1.0).abs() < 0.13, "tape {i}: {}", square(i));
    }
    let accused = found.iter().filter(|tapes| tapes[0].0.significant).count() as f64 / SURVEYS as f64;
    assert!(
        (accused - 0.05).abs() < 0.02,
        "the good tape is accused in {accused}"
    );
    // A tape that is off by three and a half deviations or more is found nearly always.
    let (seen, off) = found
        .iter()
        .filter(|tapes| tapes[1].1.abs() > 3.5 * tapes[1].0.sd)
        .fold((0, 0), |(seen, off), tapes| {
            (seen + usize::from(tapes[1].0.significant), off + 1)
        });
    assert!(off > 100 && seen * 100 > off * 90, "{seen} of {off}");
}

#[test]
fn an_offset_that_nothing_carries_is_not_told() {
    let mut made = shell(3);
    made.survey
        .instruments
        .push(Instrument::named("tape", InstrumentKind::Tape));
    made.survey
        .instruments
        .push(Instrument::named("spare", InstrumentKind::Tape));
    // The spare tape read two lines to a point of its own, with four in all: nothing is left for its offset.
    let point = survey::Point::named(survey::Label::new("peg").unwrap());
    made.survey.points.push(point);
    made.survey.points[20].rough_mm = [Some(400.0), Some(300.0), Some(900.0)];
    for reading in &mut made.survey.readings {
        reading.instrument = (reading.kind == Kind::Tape).then_some(0);
    }
    let template = made
        .survey
        .readings
        .iter()
        .find(|r| r.kind == Kind::Tape)
        .unwrap()
        .clone();
    for (n, p) in [0, 5, 8].into_iter().enumerate() {
        let mut reading = template.clone();
        reading.id = format!("peg{n}");
        reading.points = vec![p, 20];
        reading.instrument = Some(1);
        let peg = [400.0, 300.0, 900.0];
        reading.observed = trials::observe::distance(made.truth_mm[p], peg);
        made.survey.readings.push(reading);
    }
    let solved = solve(&made.survey, &made, true);
    assert!(solved.instruments[0].offset.is_some());
    assert_eq!(solved.instruments[1].offset, None);
    let unasked = solve(&made.survey, &made, false);
    assert!(unasked.instruments.iter().all(|i| i.offset.is_none()));
}

#[test]
fn an_instrument_behaves_as_it_really_scatters() {
    // The finder is said to read to 0.15 degrees and scatters twice as wide; the tape is as it was said.
    const SURVEYS: u64 = 400;
    let found = every(SURVEYS, |seed| {
        let mut made = simulate(
            seed,
            &Options {
                rough: Some(40.0),
                ..Options::default()
            },
        );
        let kinds = [("tape", InstrumentKind::Tape), ("finder", InstrumentKind::Finder)];
        for (name, kind) in kinds {
            made.survey.instruments.push(Instrument::named(name, kind));
        }
        for reading in &mut made.survey.readings {
            reading.instrument = match reading.kind {
                Kind::Tape => Some(0),
                Kind::Slope => Some(1),
                _ => None,
            };
            if reading.kind == Kind::Slope {
                reading.sd *= 0.5;
                // Twice as badly as said must not be taken for slips here.
                reading.state = survey::State::Kept;
            }
        }
        let solved = solve(&made.survey, &made, false);
        [solved.instruments[0].clone(), solved.instruments[1].clone()]
    });
    let tape = found.iter().filter(|found| {
        let (ratio, [low, high]) = (found[0].variance_ratio.unwrap(), found[0].band_95.unwrap());
        (low..=high).contains(&ratio)
    });
    let tape = tape.count() as f64 / SURVEYS as f64;
    let finder = found
        .iter()
        .filter(|found| found[1].variance_ratio.unwrap() > found[1].band_95.unwrap()[1]);
    let finder = finder.count() as f64 / SURVEYS as f64;
    let mean = found
        .iter()
        .map(|found| found[1].behaves_like_sd.unwrap().to_degrees().powi(2))
        .sum::<f64>()
        / SURVEYS as f64;
    println!(
        "tape in its band {tape:.3}, finder beyond its band {finder:.3}, behaves like {:.3}°",
        mean.sqrt()
    );
    // Standard error 0.011.
    assert!((tape - 0.95).abs() < 0.045, "{tape}");
    // Some five slopes are checked in each survey: a band of 0.4 to 1.6. And one solution with the wrong weights takes
    // part of what a group scatters for its own: 0.15 degrees is what it should behave like.
    assert!(finder > 0.45, "{finder}");
    assert!((0.115..0.155).contains(&mean.sqrt()), "{}", mean.sqrt());
}

#[test]
fn a_person_who_reads_twice_as_badly_is_found() {
    const SURVEYS: u64 = 200;
    let found = every(SURVEYS, |seed| {
        let mut made = shell(seed);
        let mut rng = fastrand::Rng::with_seed(seed + 5000);
        for reading in made.survey.readings.iter_mut().filter(|r| r.kind == Kind::Tape) {
            let careless = rng.bool();
            reading.by = if careless { " Kim" } else { "Ash" }.to_owned();
            if careless {
                reading.observed += 3f64.sqrt() * trials::observe::gauss(&mut rng);
                reading.state = survey::State::Kept;
            }
        }
        let solved = solve(&made.survey, &made, false);
        assert_eq!(
            solved.people.iter().map(|p| p.name.as_str()).collect::<Vec<_>>(),
            ["Ash", "Kim"]
        );
        solved.people
    });
    let worse = |i: usize| {
        found
            .iter()
            .filter(|people| people[i].variance_ratio.unwrap() > people[i].band_95.unwrap()[1])
            .count() as f64
            / SURVEYS as f64
    };
    println!("careless {:.3}, careful {:.3}", worse(1), worse(0));
    assert!(worse(1) > 0.95, "the careless one is found in {}", worse(1));
    // Some of what the careless one does is laid at the other's door: the readings only check each other.
    assert!(worse(0) < 0.6, "the careful one is accused in {}", worse(0));
    let ratio = |i: usize| {
        found
            .iter()
            .map(|people| people[i].variance_ratio.unwrap())
            .sum::<f64>()
            / SURVEYS as f64
    };
    assert!(ratio(1) > 1.8 * ratio(0), "{} against {}", ratio(1), ratio(0));
}

#[test]
fn readings_that_are_held_out_are_counted_by_person() {
    let mut made = shell(6);
    for reading in &mut made.survey.readings {
        reading.by = "Ash".to_owned();
    }
    let slipped = made
        .survey
        .readings
        .iter()
        .position(|r| r.kind == Kind::Tape)
        .unwrap();
    made.survey.readings[slipped].by = "Kim".to_owned();
    made.survey.readings[slipped].observed += 100.0;
    let solved = solve(&made.survey, &made, false);
    assert_eq!(solved.people[1].name, "Kim");
    assert_eq!((solved.people[1].readings, solved.people[1].held_out), (0, 1));
    assert_eq!(solved.people[1].variance_ratio, None);
    assert_eq!(solved.people[0].held_out, 0);
}
