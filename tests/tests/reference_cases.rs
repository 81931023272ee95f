//! Every reference case against the independent solution that stands beside it.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use adjust::{Adjustment, Handedness, Outcome, PointStatus, Settings, Verdict};
use serde_json::Value;
use trials::cases::{Case, SOLVED, load};
use trials::observe::{distance, norm, sub};
use trials::start::place;

fn solve(case: &Case) -> Adjustment {
    let settings = Settings {
        frame: Some(case.frame()),
        ..Settings::default()
    };
    adjust::adjust(&case.survey, &settings).unwrap_or_else(|why| panic!("{}: {why}", case.name))
}

fn words(list: &[Value]) -> Vec<&str> {
    list.iter().filter_map(Value::as_str).collect()
}

#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{what}: {found}, not {expected} ± {tolerance}"
    );
}

fn coordinates_agree(case: &Case, solved: &Adjustment) {
    for (i, point) in case.survey.points.iter().enumerate() {
        let what = format!("{}: {}", case.name, point.label);
        let expected = case.of_point("/solution/points", i).unwrap();
        let found = place(solved, i).unwrap_or_else(|| panic!("{what} has no place"));
        for axis in 0..3 {
            near(found[axis], expected[axis], 0.01, &what);
        }
    }
}

fn deviations_agree(case: &Case, solved: &Adjustment) {
    for (i, point) in case.survey.points.iter().enumerate() {
        let expected = case.of_point("/solution/sd", i).unwrap();
        let covariance = solved.points[i].covariance_mm2.unwrap();
        for axis in 0..3 {
            let what = format!("{}: sd of {} {}", case.name, point.label, ["x", "y", "z"][axis]);
            let found = covariance[axis][axis].max(0.0).sqrt();
            if expected[axis] == 0.0 {
                assert!(found < 1e-6, "{what}: {found}, but the frame holds it");
            } else {
                near(found, expected[axis], 1e-3 * expected[axis], &what);
            }
        }
    }
}

fn tests_agree(case: &Case, solved: &Adjustment) {
    let kept = words(case.list("/solution/kept"));
    let (redundancy, w) = (case.list("/solution/redundancy"), case.list("/solution/w"));
    assert!(
        kept.len() > 200 && redundancy.len() == kept.len() && w.len() == kept.len(),
        "{}",
        case.name
    );
    for (k, id) in kept.iter().enumerate() {
        let reading = &solved.readings[case.reading(id)];
        let what = format!("{}: {id}", case.name);
        near(
            reading.redundancy.unwrap(),
            redundancy[k].as_f64().unwrap(),
            0.001,
            &format!("{what} redundancy"),
        );
        near(
            reading.w.unwrap(),
            w[k].as_f64().unwrap(),
            0.005,
            &format!("{what} w"),
        );
    }
}

fn totals_agree(case: &Case, solved: &Adjustment) {
    let dof = case.number("/solution/dof").unwrap();
    assert_eq!(
        solved.summary.degrees_of_freedom as f64, dof,
        "{}: degrees of freedom",
        case.name
    );
    let chi2 = case.number("/solution/chi2").unwrap();
    near(
        solved.summary.chi_square,
        chi2,
        1e-3 * chi2,
        &format!("{}: chi-square", case.name),
    );
    if let (Some(low), Some(high)) = (
        case.number("/solution/chi2_band/0"),
        case.number("/solution/chi2_band/1"),
    ) {
        let band = solved.summary.chi_square_band_95.unwrap();
        near(band[0], low, 1e-3 * low, &format!("{}: band", case.name));
        near(band[1], high, 1e-3 * high, &format!("{}: band", case.name));
    }
}

fn slips_are_named_and_nothing_else(case: &Case, solved: &Adjustment) {
    let slips = case.reference.get("slips").and_then(Value::as_object).unwrap();
    let held = words(case.list("/set_aside"));
    for (i, reading) in solved.readings.iter().enumerate() {
        let id = case.survey.readings[i].id.as_str();
        let what = format!("{}: {id}", case.name);
        let accused = matches!(reading.verdict, Verdict::Suspect | Verdict::Unclear);
        assert_eq!(accused, held.contains(&id), "{what} is {:?}", reading.verdict);
        let Some(slip) = slips.get(id).and_then(Value::as_str) else {
            continue;
        };
        assert_eq!(reading.verdict, Verdict::Suspect, "{what}");
        let likely = reading
            .likely_slip
            .as_ref()
            .unwrap_or_else(|| panic!("{what} has no likely slip"));
        assert_eq!(likely.slip.word(), slip, "{what}");
        let told = case
            .reference
            .pointer(&format!("/solution/held_out/{id}"))
            .unwrap();
        if let Some(residual) = told.get("residual").and_then(Value::as_f64) {
            near(
                reading.residual.unwrap(),
                residual,
                0.01,
                &format!("{what} residual"),
            );
        }
        match told.get("corrected").and_then(Value::as_f64) {
            Some(corrected) => near(
                likely.corrected.unwrap(),
                corrected,
                1e-6,
                &format!("{what} corrected"),
            ),
            None => {
                assert!(likely.corrected.is_none(), "{what} belongs to other points");
                assert_eq!(likely.belongs_to.as_ref().map(Vec::len), Some(2), "{what}");
            }
        }
    }
    let outcome = if held.is_empty() {
        Outcome::Fits
    } else {
        Outcome::SuspectsHeldOut
    };
    assert_eq!(solved.outcome, outcome, "{}", case.name);
    assert_eq!(solved.summary.held_out, held.len(), "{}", case.name);
}

fn handedness_agrees(case: &Case, solved: &Adjustment) {
    let word = match solved.handedness {
        Handedness::Fixed => "fixed",
        Handedness::Above => "above",
        Handedness::Plumb => "plumb",
        Handedness::Sides => "sides",
        Handedness::RoughPositions => "rough positions",
        Handedness::Unresolved => "unresolved",
    };
    assert_eq!(
        case.reference.get("handedness").and_then(Value::as_str),
        Some(word),
        "{}",
        case.name
    );
}

fn whole_case(name: &str) {
    let case = load(name);
    assert!(SOLVED.contains(&name));
    let solved = solve(&case);
    slips_are_named_and_nothing_else(&case, &solved);
    handedness_agrees(&case, &solved);
    totals_agree(&case, &solved);
    coordinates_agree(&case, &solved);
    deviations_agree(&case, &solved);
    tests_agree(&case, &solved);
}

#[test]
fn plain() {
    whole_case("plain");
}

#[test]
fn no_hints() {
    whole_case("no-hints");
}

#[test]
fn tape_only() {
    whole_case("tape-only");
}

#[test]
fn three_slips() {
    whole_case("three-slips");
}

#[test]
fn notebook() {
    whole_case("notebook");
}

#[test]
fn notebook_is_read_as_the_reference_reads_it() {
    let case = load("notebook");
    let (sds, values) = (
        &case.reference["solution"]["reading_sd"],
        &case.reference["solution"]["observed"],
    );
    assert!(sds.as_object().unwrap().len() > 200);
    for (id, sd) in sds.as_object().unwrap() {
        let reading = &case.survey.readings[case.reading(id)];
        // The reference gives angles in degrees.
        let unit = match reading.kind.quantity() {
            survey::Quantity::Length => 1.0,
            survey::Quantity::Angle => 1_f64.to_degrees(),
        };
        near(reading.sd * unit, sd.as_f64().unwrap(), 1e-9, &format!("{id} sd"));
        near(
            reading.observed * unit,
            values[id].as_f64().unwrap(),
            1e-9,
            &format!("{id} observed"),
        );
    }
}

#[test]
fn hull_of_1200_points() {
    let case = load("hull-1200");
    let solved = solve(&case);
    assert_eq!(solved.outcome, Outcome::Fits);
    assert_eq!(solved.summary.points, 1200);
    handedness_agrees(&case, &solved);
    totals_agree(&case, &solved);
    coordinates_agree(&case, &solved);
}

/// The case's odd point, by what the reference expects.
fn odd_point(case: &Case) -> usize {
    let named = case.reference["expect"]["label"].as_str().unwrap();
    case.survey
        .points
        .iter()
        .position(|p| p.label.as_str() == named)
        .unwrap()
}

fn truth(case: &Case) -> [f64; 3] {
    [0, 1, 2].map(|i| case.number(&format!("/expect/truth/{i}")).unwrap())
}

#[test]
fn two_valued() {
    let case = load("two-valued");
    let solved = solve(&case);
    let odd = odd_point(&case);
    assert_eq!(solved.outcome, Outcome::TwoValued);
    assert_eq!(solved.points[odd].status, PointStatus::TwoValued);
    assert_eq!(solved.points[odd].coordinates_mm, [None; 3]);
    assert_eq!(solved.two_valued.len(), 1);
    let two = &solved.two_valued[0];
    assert_eq!(two.point, odd);
    // The three points it was taped from lie almost on one line, so that the place along the arc is known to some
    // 8 cm only: the truth must agree with all three tapes and be nearer to one candidate than half their gap.
    for (i, reading) in case
        .survey
        .readings
        .iter()
        .enumerate()
        .filter(|(_, r)| r.points.contains(&odd))
    {
        let other = reading.points.iter().copied().find(|&p| p != odd).unwrap();
        let station = place(&solved, other).unwrap();
        near(
            distance(truth(&case), station),
            reading.observed,
            5.0,
            &format!("tape {i} to the truth"),
        );
        for candidate in two.candidates {
            near(
                distance(candidate, station),
                reading.observed,
                5.0,
                &format!("tape {i} to a candidate"),
            );
        }
    }
    let apart = two.candidates.map(|c| distance(c, truth(&case)));
    let gap = distance(two.candidates[0], two.candidates[1]);
    assert!(
        gap > 100.0 && apart[0].min(apart[1]) < 0.5 * gap,
        "{apart:?} mm off, {gap} mm apart"
    );
    let others = (0..case.survey.points.len()).filter(|&i| i != odd);
    assert!(
        others
            .into_iter()
            .all(|i| solved.points[i].status == PointStatus::Fixed)
    );
}

#[test]
fn loose() {
    let case = load("loose");
    let solved = solve(&case);
    let odd = odd_point(&case);
    assert_eq!(solved.outcome, Outcome::LoosePoints);
    assert_eq!(solved.points[odd].status, PointStatus::Loose);
    assert_eq!(solved.points[odd].coordinates_mm, [None; 3]);
    assert_eq!(solved.loose.len(), 1);
    assert_eq!(solved.loose[0].point, odd);
    let [direction] = solved.loose[0].directions.as_slice() else {
        panic!("{:?}", solved.loose[0].directions)
    };
    near(norm(*direction), 1.0, 1e-9, "a unit vector");
    // It moves about the line through the two points that it was taped from.
    let ends: Vec<usize> = case
        .survey
        .readings
        .iter()
        .filter(|r| r.points.contains(&odd))
        .flat_map(|r| r.points.iter().copied().filter(|&p| p != odd))
        .collect();
    assert_eq!(ends.len(), 2);
    let line = sub(place(&solved, ends[1]).unwrap(), place(&solved, ends[0]).unwrap());
    let along: f64 = (0..3).map(|i| line[i] * direction[i]).sum::<f64>() / norm(line);
    assert!(
        along.abs() < 1e-3,
        "it cannot move along the line between its two ends: {along}"
    );
    let others = (0..case.survey.points.len()).filter(|&i| i != odd);
    assert!(
        others
            .into_iter()
            .all(|i| solved.points[i].status == PointStatus::Fixed)
    );
}
