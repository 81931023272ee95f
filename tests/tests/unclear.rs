//! Readings that cannot be told apart: one group, its number, what it does to the points, and what is never held
//! out.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use adjust::{Adjustment, Outcome, PointStatus, Settings, Verdict};
use desk::{AdjustAnswer, AdjustRequest, SheetBytes};
use survey::{Kind, State};
use trials::net::Net;
use trials::observe::{V3, distance};
use trials::shell::{Options, simulate};
use trials::start::place;

const STATIONS: [V3; 6] = [
    [0.0, 0.0, 0.0],
    [1500.0, 100.0, 40.0],
    [1400.0, -1200.0, 0.0],
    [-100.0, -1150.0, 300.0],
    [700.0, 300.0, 900.0],
    [800.0, -1500.0, 1000.0],
];
const NEW: V3 = [650.0, -450.0, 520.0];

/// A point taped from so many exact stations, with a slip in one of the tapes.
fn taped(tapes: usize, slip_in: usize, slip: f64) -> (Net, usize) {
    let mut net = Net::new(1.0);
    let new = net.rough("new", NEW);
    for (k, at) in STATIONS.iter().take(tapes).enumerate() {
        let station = net.fixed(&format!("s{k}"), *at);
        let noise = [0.3, -0.4, 0.2, 0.5, -0.2, 0.1][k];
        let extra = if k == slip_in { slip } else { 0.0 };
        net.tape(station, new, distance(*at, NEW) + noise + extra, 1.0);
    }
    (net, new)
}
fn solved(net: &Net) -> Adjustment {
    adjust::adjust(&net.survey, &Settings::default()).unwrap()
}

fn verdicts(found: &Adjustment, verdict: Verdict) -> Vec<usize> {
    (0..found.readings.len())
        .filter(|&i| found.readings[i].verdict == verdict)
        .collect()
}

/// Where a point may be without one of the readings.
fn places_without(net: &Net, point: usize, reading: usize) -> Vec<V3> {
    let mut net = net.clone();
    net.survey.readings[reading].state = State::SetAside;
    let found = solved(&net);
    match found.two_valued.iter().find(|two| two.point == point) {
        Some(two) => two.candidates.to_vec(),
        None => place(&found, point).into_iter().collect(),
    }
}

#[test]
fn with_four_tapes_and_one_slip_all_four_are_unclear_and_kept() {
    for slip_in in 0..4 {
        for slip in [25.4, -60.0] {
            let (net, new) = taped(4, slip_in, slip);
            let found = solved(&net);
            assert_eq!(found.outcome, Outcome::CannotTell, "{slip} in {slip_in}");
            assert_eq!(found.summary.held_out, 0);
            assert_eq!(found.summary.readings, 4, "all stay in use");
            assert_eq!(found.summary.unclear, 4);
            let [group] = &found.unclear[..] else {
                panic!("{slip} in {slip_in}: {:?}", found.unclear)
            };
            assert_eq!(group.readings, [0, 1, 2, 3]);
            assert!(!group.held_out);
            for reading in &found.readings {
                assert_eq!((reading.verdict, reading.group), (Verdict::Unclear, Some(1)));
            }

            // Both places are what the point has without one of them or another.
            let [moved] = &group.moves[..] else {
                panic!("{slip} in {slip_in}: {:?}", group.moves)
            };
            assert_eq!(moved.point, new);
            let could_be: Vec<V3> = (0..4).flat_map(|i| places_without(&net, new, i)).collect();
            for told in moved.places {
                assert!(
                    could_be.iter().any(|p| distance(*p, told) < 0.01),
                    "{slip} in {slip_in}: {told:?} is none of {could_be:?}"
                );
            }
            assert!(distance(moved.places[0], moved.places[1]) > 3.0);
        }
    }
}

/// Four tapes without a slip: nothing is asked.
#[test]
fn with_four_good_tapes_nothing_is_unclear() {
    let found = solved(&taped(4, 0, 0.0).0);
    assert_eq!(found.outcome, Outcome::Fits);
    assert_eq!((found.summary.unclear, found.unclear.len()), (0, 0));
    assert!(found.readings.iter().all(|r| r.group.is_none()));
}

#[test]
fn with_five_tapes_a_slip_is_seen_and_mostly_located() {
    let mut located = 0;
    for slip_in in 0..5 {
        let (net, new) = taped(5, slip_in, 40.0);
        let found = solved(&net);
        match found.readings[slip_in].verdict {
            Verdict::Suspect => {
                located += 1;
                assert_eq!(verdicts(&found, Verdict::Suspect), [slip_in]);
                assert_eq!(verdicts(&found, Verdict::Unclear), [0; 0]);
                assert_eq!(found.outcome, Outcome::SuspectsHeldOut);
                assert_eq!(found.summary.held_out, 1);
                assert!(distance(place(&found, new).unwrap(), NEW) < 3.0);
            }
            // Two tapes that are all there is in one direction check only each other.
            Verdict::Unclear => {
                assert_eq!(verdicts(&found, Verdict::Suspect), [0; 0], "tape {slip_in}");
                assert!(found.unclear.iter().any(|g| g.readings.contains(&slip_in)));
                assert_eq!(found.outcome, Outcome::CannotTell);
            }
            other => panic!("the slip in tape {slip_in} is not seen: {other:?}"),
        }
    }
    assert!(located >= 4, "{located} of five");
}

/// What the crew keeps stays in, also where it is what is off.
#[test]
fn a_kept_reading_is_never_held_out() {
    for slip_in in [0, 1, 2, 4, 5] {
        let (mut net, _) = taped(6, slip_in, 40.0);
        net.survey.readings[slip_in].state = State::Kept;
        let found = solved(&net);
        assert_ne!(found.outcome, Outcome::Fits, "something is off, and it is told");
        let one = &found.readings[slip_in];
        assert!(
            !matches!(one.verdict, Verdict::Suspect | Verdict::SetAside),
            "tape {slip_in} is {:?}",
            one.verdict
        );
        for group in found.unclear.iter().filter(|group| group.held_out) {
            assert!(!group.readings.contains(&slip_in));
        }
        // It still acts on the point: without it the point is elsewhere.
        let residual = one.residual.unwrap();
        assert!(
            residual.abs() < 30.0,
            "tape {slip_in} would be off by 40 mm if nobody had kept it: {residual}"
        );
    }
    let (net, _) = taped(6, 3, 40.0);
    assert_eq!(
        verdicts(&solved(&net), Verdict::Suspect),
        [3],
        "not kept: held out"
    );
}

#[test]
fn among_two_hundred_readings_a_kept_slip_stays_in() {
    for seed in 0..6 {
        let mut made = simulate(seed, &Options::default());
        let tape = 60 + 20 * seed as usize;
        assert_eq!(made.survey.readings[tape].kind, Kind::Tape);
        made.survey.readings[tape].observed += 80.0;
        let settings = Settings {
            frame: Some(made.frame()),
            ..Settings::default()
        };
        let without_word = adjust::adjust(&made.survey, &settings).unwrap();
        assert!(
            matches!(
                without_word.readings[tape].verdict,
                Verdict::Suspect | Verdict::Unclear
            ),
            "seed {seed}"
        );
        made.survey.readings[tape].state = State::Kept;
        let found = adjust::adjust(&made.survey, &settings).unwrap();
        let one = &found.readings[tape];
        assert!(
            !matches!(one.verdict, Verdict::Suspect | Verdict::SetAside),
            "seed {seed}: {:?}",
            one.verdict
        );
        assert_ne!(found.outcome, Outcome::Fits, "seed {seed}");
        let held: usize = found
            .unclear
            .iter()
            .filter(|g| g.held_out)
            .map(|g| g.readings.len())
            .sum();
        println!(
            "{seed} {:?} {:?} {:?}",
            found.outcome, found.causes, found.unclear
        );
        // What shares an amount that is solved for stays in, too.
        let solved_for = |i: &usize| found.causes.iter().any(|c| !c.held_out && c.readings.contains(i));
        let suspects = verdicts(&found, Verdict::Suspect);
        let out = suspects.iter().filter(|i| !solved_for(i)).count();
        assert_eq!(found.summary.held_out, out + held, "seed {seed}");
        assert_eq!(
            found.summary.readings + found.summary.held_out,
            made.survey.readings.len(),
            "seed {seed}"
        );
    }
}

/// A point that a bench knows, its height only roughly; two tapes from above and below tell the height and disagree.
/// Together they are too short, so that no step aside explains them.
/// A second point is held by tapes enough, so that the whole is checked.
fn held_by_a_bench() -> (Net, usize) {
    let (mut net, _) = taped(6, 0, 0.0);
    let at = [300.0, -800.0, 400.0];
    let other = net.rough("other", at);
    for (kind, axis, sd) in [(Kind::X, 0, 2.0), (Kind::Y, 1, 2.0), (Kind::Z, 2, 60.0)] {
        net.read(kind, vec![other], at[axis] + 0.3 * sd, sd);
    }
    for (name, z, off) in [("roof", 1500.0, 0.3), ("floor", -500.0, -40.0)] {
        let end = net.fixed(name, [at[0], at[1], z]);
        let long = distance(at, [at[0], at[1], z]);
        net.tape(end, other, long + off, 1.0);
    }
    (net, other)
}

#[test]
fn a_group_is_held_out_where_every_point_stays_fixed_without_it() {
    let (net, other) = held_by_a_bench();
    let found = solved(&net);
    let [group] = &found.unclear[..] else {
        panic!("{:?}", found.unclear)
    };
    assert_eq!(group.readings, [9, 10], "the two tapes");
    assert!(group.held_out);
    assert!(group.moves.is_empty(), "it moves nothing: it is out");
    assert_eq!(found.outcome, Outcome::SuspectsHeldOut);
    assert_eq!((found.summary.held_out, found.summary.unclear), (2, 2));
    assert_eq!(found.summary.readings, 9);
    for i in [9, 10] {
        assert_eq!(found.readings[i].verdict, Verdict::Unclear);
        assert_eq!(found.readings[i].group, Some(1));
    }
    let point = &found.points[other];
    assert_eq!(point.status, PointStatus::Fixed);
    let sd_z = point.covariance_mm2.unwrap()[2][2].sqrt();
    assert!(
        (sd_z - 60.0).abs() < 0.1,
        "only the bench holds its height: {sd_z}"
    );
}

/// Two points with four tapes each, as sheets; each has one slip.
fn two_groups() -> AdjustAnswer {
    let mut points = "label,x,y,z,fixed\n".to_owned();
    for (k, [x, y, z]) in STATIONS.iter().enumerate() {
        points += &format!("s{k},{x},{y},{z},xyz\n");
    }
    let new = [
        ("strut", NEW),
        ("belt", [750.0, -350.0, 450.0]),
        ("header", [900.0, -600.0, 600.0]),
    ];
    let mut readings = "id,kind,a,b,value,sd\n".to_owned();
    for (n, (name, at)) in new.into_iter().enumerate() {
        points += &format!("{name},{},{},{},\n", at[0], at[1], at[2]);
        let tapes = if name == "header" { 6 } else { 4 };
        for (k, station) in STATIONS.iter().take(tapes).enumerate() {
            let slip = if k == n && name != "header" { 50.0 } else { 0.0 };
            let value = distance(*station, at) + slip;
            readings += &format!("{name} {k},tape,s{k},{name},{value:.2} mm,1\n");
        }
    }
    let sheet = |name: &str, text: String| SheetBytes {
        name: name.to_owned(),
        bytes: text.into_bytes(),
    };
    desk::adjust(AdjustRequest {
        points: Some(sheet("POINTS.csv", points)),
        unit: Some(survey::LengthUnit::Millimetre),
        ..AdjustRequest::of(sheet("READINGS.csv", readings))
    })
    .unwrap()
}

#[test]
fn in_the_json_each_group_has_its_number_and_other_readings_have_null() {
    let answer = two_groups();
    let groups = &answer.adjustment.unclear;
    assert_eq!(groups.len(), 2, "{groups:?}");
    let json: serde_json::Value = serde_json::from_str(&desk::wire::to_json(&answer)).unwrap();
    assert_eq!(json["outcome"], "cannot tell");
    assert_eq!(json["summary"]["unclear"], 8);
    assert_eq!(json["summary"]["held_out"], 0);
    let readings = json["readings"].as_array().unwrap();
    let mut numbers = Vec::new();
    for (i, reading) in readings.iter().enumerate() {
        let id = reading["id"].as_str().unwrap();
        match reading["group"].as_u64() {
            Some(number) => {
                assert_eq!(reading["verdict"], "unclear", "{id}");
                // The number is the place in the list, from one on.
                assert!(groups[number as usize - 1].readings.contains(&i), "{id}");
                numbers.push((id.split(' ').next().unwrap().to_owned(), number));
            }
            None => {
                assert!(reading["group"].is_null(), "{id}");
                assert!(id.starts_with("header"), "{id}");
                assert_eq!(reading["verdict"], "fits", "{id}");
            }
        }
    }
    assert_eq!(numbers.len(), 8);
    numbers.sort();
    numbers.dedup();
    // One number for each point, and two in all.
    assert_eq!(numbers.len(), 2, "{numbers:?}");
    let mut two: Vec<u64> = numbers.iter().map(|(_, number)| *number).collect();
    two.sort_unstable();
    assert_eq!(two, [1, 2]);
}
