//! A whole survey as a crew types it.

use survey::{Kind, Label, Quantity, ReadFrom, Side};

use crate::read;

fn notebook() -> survey::Survey {
    let (survey, problems) = read(
        include_str!("../data/notebook/readings.csv"),
        Some(include_str!("../data/notebook/points.csv")),
        Some(include_str!("../data/notebook/instruments.csv")),
        None,
    );
    assert_eq!(problems, []);
    survey.expect("the notebook has no sheet problem")
}

#[test]
fn is_read_whole() {
    let survey = notebook();
    assert_eq!(survey.readings.len(), 270);
    assert_eq!(survey.points.len(), 43);
    assert_eq!(survey.instruments.len(), 2);
    assert_eq!(survey.blocked, Vec::<[usize; 2]>::new());
    assert_eq!(survey.points[0].side, Some(Side::Left));
    assert_eq!(survey.points[0].mirror, Some(1));
    assert_eq!(
        survey.points[0].rough_mm,
        [Some(55.0 * 25.4), Some(38.0 * 25.4), Some(-12.0 * 25.4)]
    );
    assert!(survey.readings.iter().any(|reading| reading.stand == "second"));
    assert!(
        survey
            .readings
            .iter()
            .any(|reading| reading.from == ReadFrom::BurnInch)
    );
    assert!(
        survey
            .readings
            .iter()
            .any(|reading| reading.from == ReadFrom::Case)
    );
    assert_eq!(survey.point_index(&Label::new("floor-front-R").unwrap()), Some(1));
}

#[test]
fn observed_is_after_add_and_zero_offset() {
    let survey = notebook();
    // q8: 1746 mm, 3/4 in added, by a tape with a zero offset of 1.5 mm.
    let q8 = &survey.readings[survey.reading_index("q8").unwrap()];
    assert_eq!(q8.kind, Kind::Tape);
    assert!((q8.observed - (1746.0 + 0.75 * 25.4 + 1.5)).abs() < 1e-9);
    assert_eq!(
        survey.instrument_of(q8).map(|tape| tape.name.as_str()),
        Some("shop-8m")
    );
}

#[test]
fn observed_and_sd_are_those_of_the_reference() {
    // observed.csv is from the reference solution of this invented survey, computed independently (SciPy).
    let survey = notebook();
    let expected = include_str!("../data/notebook/observed.csv").lines().skip(1);
    let mut count = 0;
    for (reading, line) in survey.readings.iter().zip(expected) {
        let cells: Vec<&str> = line.split(',').collect();
        let shown = |value: f64| match reading.kind.quantity() {
            Quantity::Length => value,
            Quantity::Angle => value.to_degrees(),
        };
        let (observed, sd): (f64, f64) = (cells[1].parse().unwrap(), cells[2].parse().unwrap());
        assert_eq!(reading.id, cells[0]);
        assert!(
            (shown(reading.observed) - observed).abs() < 1e-9,
            "{line}: {reading:?}"
        );
        assert!((shown(reading.sd) - sd).abs() < 1e-9, "{line}: {reading:?}");
        count += 1;
    }
    assert_eq!(count, 270);
}
