//! Whatever is in the files, reading them ends in a value and problems, never in a panic.

use proptest::prelude::*;
use survey::{LengthUnit, Severity, SheetText, Sheets, read_sheets};

fn read(readings: &[u8], points: &[u8], instruments: &[u8]) {
    let (survey, problems) = read_sheets(&Sheets {
        readings: SheetText {
            name: "readings.csv",
            bytes: readings,
        },
        points: Some(SheetText {
            name: "points.csv",
            bytes: points,
        }),
        instruments: Some(SheetText {
            name: "instruments.csv",
            bytes: instruments,
        }),
        unit: Some(LengthUnit::Millimetre),
    });
    let stopped = problems.iter().any(|problem| problem.severity == Severity::Sheet);
    assert_eq!(survey.is_none(), stopped, "{problems:?}");
    let Some(survey) = survey else { return };
    for reading in &survey.readings {
        assert!(
            reading.observed.is_finite() && reading.sd.is_finite() && reading.sd > 0.0,
            "{reading:?}"
        );
        assert_eq!(reading.points.len(), reading.kind.point_count());
        assert!(reading.points.iter().all(|&point| point < survey.points.len()));
        assert!(
            reading
                .instrument
                .is_none_or(|instrument| instrument < survey.instruments.len())
        );
    }
    for (at, point) in survey.points.iter().enumerate() {
        assert!(
            point
                .mirror
                .is_none_or(|other| other != at && survey.points[other].mirror == Some(at))
        );
        assert!((0..3).all(|axis| !point.fixed[axis] || point.rough_mm[axis].is_some()));
    }
}

const READINGS: &[u8] = include_bytes!("../data/notebook/readings.csv");
const POINTS: &[u8] = include_bytes!("../data/notebook/points.csv");
const INSTRUMENTS: &[u8] = include_bytes!("../data/notebook/instruments.csv");

fn mutated(sheet: &[u8], changes: &[(usize, Vec<u8>)]) -> Vec<u8> {
    let mut bytes = sheet.to_vec();
    for (at, put) in changes {
        let at = at % bytes.len().max(1);
        let until = (at + put.len() / 2).min(bytes.len());
        bytes.splice(at..until, put.iter().copied());
    }
    bytes
}

fn changes() -> impl Strategy<Value = Vec<(usize, Vec<u8>)>> {
    let piece = prop_oneof![
        "[,\"\r\n;/' \\-0-9a-zA-Z.]{0,6}".prop_map(String::into_bytes),
        prop::collection::vec(any::<u8>(), 0..4),
    ];
    prop::collection::vec((any::<usize>(), piece), 0..12)
}

proptest! {
    #[test]
    fn random_bytes(a in prop::collection::vec(any::<u8>(), 0..400), b in ".{0,200}") {
        read(&a, b.as_bytes(), &a);
        read(b.as_bytes(), &a, b.as_bytes());
    }

    #[test]
    fn rows_of_odd_cells(cells in prop::collection::vec("[a-f0-9 \"'/,.\\-\n]{0,8}|tape|slope|face|blocked|case|1 mm|A|B", 0..60)) {
        let mut text = "id,kind,a,b,c,d,value,sd,from,add\n".to_owned();
        for row in cells.chunks(10) {
            text += &row.join(",");
            text.push('\n');
        }
        read(text.as_bytes(), POINTS, INSTRUMENTS);
    }

    #[test]
    fn mutated_sheets(r in changes(), p in changes(), i in changes()) {
        read(&mutated(READINGS, &r), &mutated(POINTS, &p), &mutated(INSTRUMENTS, &i));
    }

    #[test]
    fn every_row_is_read_or_told(rows in prop::collection::vec("(tape|slope|tap),[AB]?,[ABC],(5 mm|7|3 deg|-1 mm)\n{1,3}", 1..20)) {
        let mut text = "id,kind,a,b,value\n".to_owned();
        let mut expected = Vec::new();
        for (id, row) in rows.iter().enumerate() {
            expected.push(text.matches('\n').count() + 1);
            text += &format!("{id},{row}");
        }
        let readings = SheetText { name: "readings.csv", bytes: text.as_bytes() };
        let (survey, problems) = read_sheets(&Sheets { readings, points: None, instruments: None, unit: None });
        let mut found: Vec<usize> = problems.iter().filter(|p| p.severity == Severity::Row).filter_map(|p| p.row).collect();
        for reading in survey.unwrap().readings {
            found.push(expected[reading.id.parse::<usize>().unwrap()]);
        }
        found.sort_unstable();
        found.dedup();
        prop_assert_eq!(found, expected);
    }
}
