//! Input that cannot give a shape: a reason in words, never a panic.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use adjust::{Adjustment, Outcome, Settings, Unsolvable};
use proptest::prelude::*;
use survey::{Kind, SheetText, Sheets, Survey, read_sheets};
use trials::net::{Net, reading};

fn read(readings: &str, points: Option<&str>) -> Survey {
    let sheets = Sheets {
        readings: SheetText {
            name: "READINGS.csv",
            bytes: readings.as_bytes(),
        },
        points: points.map(|points| SheetText {
            name: "POINTS.csv",
            bytes: points.as_bytes(),
        }),
        instruments: None,
        unit: None,
    };
    let (survey, problems) = read_sheets(&sheets);
    survey.unwrap_or_else(|| panic!("{problems:?}"))
}

/// Why it cannot be solved; there must be a reason that says something.
fn why(survey: &Survey) -> Unsolvable {
    let why = adjust::adjust(survey, &Settings::default()).expect_err("this has no shape");
    assert!(why.to_string().len() > 20, "{why}");
    why
}

const HEADER: &str = "id,kind,a,b,c,value\n";

#[test]
fn no_readings() {
    assert_eq!(why(&read(HEADER, None)), Unsolvable::NoReadings);
    assert_eq!(
        why(&read(HEADER, Some("label,x,y,z\nA,,,\nB,,,\n"))),
        Unsolvable::NoReadings
    );
    assert_eq!(why(&Survey::default()), Unsolvable::NoReadings);
}

#[test]
fn all_readings_set_aside() {
    let sheet = "id,kind,a,b,value,state\nq1,tape,A,B,1 m,set aside\nq2,tape,B,C,1 m,set aside\n";
    assert_eq!(why(&read(sheet, None)), Unsolvable::NoReadings);
}

#[test]
fn one_point() {
    let mut net = Net::new(1.0);
    let only = net.unknown("A");
    net.read(Kind::X, vec![only], 12.0, 1.0);
    // Its x is known; y and z are not, and no number may stand for them.
    match adjust::adjust(&net.survey, &Settings::default()) {
        Ok(solved) => assert_eq!(solved.points[0].coordinates_mm[1..], [None; 2]),
        Err(why) => assert!(
            matches!(why, Unsolvable::TooFewPoints { .. } | Unsolvable::NoLength),
            "{why:?}"
        ),
    }
}

#[test]
fn two_points() {
    let why = why(&read(
        &format!("{HEADER}q1,tape,A,B,,1200 mm\nq2,tape,B,A,,1201 mm\n"),
        None,
    ));
    assert_eq!(why, Unsolvable::TooFewPoints { points: 2 });
}

#[test]
fn only_angles() {
    let sheet = format!(
        "{HEADER}q1,corner,A,B,C,60 deg\nq2,corner,B,C,A,60 deg\nq3,corner,C,A,B,60 deg\nq4,slope,A,B,,3 deg\n"
    );
    assert_eq!(why(&read(&sheet, None)), Unsolvable::NoLength);
}

#[test]
fn all_points_in_line() {
    let mut sheet = HEADER.to_owned();
    let at = [0, 500, 900, 1700, 2400];
    for i in 0..at.len() {
        for j in i + 1..at.len() {
            sheet.push_str(&format!("q{i}{j},tape,P{i},P{j},,{} mm\n", at[j] - at[i]));
        }
    }
    let why = why(&read(&sheet, None));
    assert!(
        !matches!(why, Unsolvable::NoReadings | Unsolvable::NoLength),
        "{why:?}"
    );
}

#[test]
fn a_frame_that_the_survey_does_not_have() {
    let survey = trials::shell::simulate(1, &trials::shell::Options::default());
    let mut labels = survey.labels.clone();
    labels[1] = trials::net::label("nowhere");
    let [origin, ahead, left] = labels.clone();
    let frame = Some(survey::Frame::Three {
        origin: origin.clone(),
        ahead,
        left: left.clone(),
    });
    let why = adjust::adjust(
        &survey.survey,
        &Settings {
            frame,
            ..Settings::default()
        },
    )
    .unwrap_err();
    assert_eq!(why, Unsolvable::UnknownFramePoint(labels[1].clone()));
    let frame = Some(survey::Frame::Three {
        origin: origin.clone(),
        ahead: origin,
        left,
    });
    let why = adjust::adjust(
        &survey.survey,
        &Settings {
            frame,
            ..Settings::default()
        },
    )
    .unwrap_err();
    assert!(matches!(why, Unsolvable::BadFrame(_)), "{why:?}");
}

#[test]
fn two_groups_that_do_not_hang_together_are_islands() {
    let at = [
        [0.0; 3],
        [900.0, 0.0, 0.0],
        [0.0, 800.0, 0.0],
        [300.0, 200.0, 700.0],
        [700.0, 600.0, -500.0],
    ];
    let mut sheet = HEADER.to_owned();
    for group in ["A", "B"] {
        for i in 0..at.len() {
            for j in 0..i {
                let length = trials::observe::distance(at[i], at[j]);
                sheet.push_str(&format!(
                    "{group}{i}{j},tape,{group}{i},{group}{j},,{length:.1} mm\n"
                ));
            }
        }
    }
    let solved = adjust::adjust(&read(&sheet, None), &Settings::default()).unwrap();
    assert_eq!(solved.outcome, Outcome::Islands);
    assert_eq!(solved.islands.len(), 2);
}

#[test]
fn tapes_that_no_triangle_can_have_do_not_panic() {
    let sheet = format!("{HEADER}q1,tape,A,B,,100 mm\nq2,tape,B,C,,100 mm\nq3,tape,A,C,,9000 mm\n");
    if let Ok(solved) = adjust::adjust(&read(&sheet, None), &Settings::default()) {
        finite(&solved);
        assert_ne!(solved.outcome, Outcome::Fits);
    }
}

/// What is not known is nothing, never a number that is none.
fn finite(solved: &Adjustment) {
    let numbers = solved.points.iter().flat_map(|p| {
        let matrix = p.covariance_mm2.into_iter().flatten().flatten();
        p.coordinates_mm.into_iter().flatten().chain(matrix)
    });
    let readings = solved.readings.iter().flat_map(|r| {
        [r.adjusted, r.residual, r.redundancy, r.w, r.smallest_visible_slip]
            .into_iter()
            .flatten()
    });
    assert!(
        numbers.chain(readings).all(f64::is_finite),
        "a number that is none"
    );
    assert!(solved.summary.chi_square.is_finite() && solved.summary.critical_w.is_finite());
}

/// A small survey of any kinds between any points, with values that may make no sense.
fn any_survey() -> impl Strategy<Value = Survey> {
    let one = (
        0..9_usize,
        proptest::array::uniform4(0..8_usize),
        0.0..3000.0_f64,
        0.1..5.0_f64,
        any::<bool>(),
    );
    (
        2..8_usize,
        proptest::collection::vec(one, 0..40),
        proptest::collection::vec(-1500.0..1500.0_f64, 24),
    )
        .prop_map(|(points, readings, rough)| {
            let mut net = Net::new(1.0);
            for i in 0..points {
                match i % 3 {
                    0 => net.unknown(&format!("p{i}")),
                    _ => net.rough(
                        &format!("p{i}"),
                        [rough[3 * i], rough[3 * i + 1], rough[3 * i + 2]],
                    ),
                };
            }
            for (kind, ends, value, sd, plain_tape) in readings {
                let kind = if plain_tape { Kind::Tape } else { Kind::ALL[kind] };
                let mut at: Vec<usize> = Vec::new();
                for end in ends.map(|end| end % points) {
                    if !at.contains(&end) && at.len() < kind.point_count() {
                        at.push(end);
                    }
                }
                if at.len() == kind.point_count() {
                    let (value, sd) = match kind.quantity() {
                        survey::Quantity::Length => (value, sd),
                        survey::Quantity::Angle => (value / 1000.0, sd / 100.0),
                    };
                    let id = format!("q{}", net.survey.readings.len() + 1);
                    net.survey.readings.push(reading(id, kind, at, value, sd));
                }
            }
            net.survey
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_small_survey_panics(survey in any_survey()) {
        match adjust::adjust(&survey, &Settings::default()) {
            Ok(solved) => {
                prop_assert_eq!(solved.points.len(), survey.points.len());
                prop_assert_eq!(solved.readings.len(), survey.readings.len());
                finite(&solved);
            }
            Err(why) => prop_assert!(!why.to_string().is_empty()),
        }
    }
}
