//! Files that are no sheets are refused before anything is split into cells.

use std::time::{Duration, Instant};

use survey::{Severity, SheetText, Sheets, read_sheets};

use crate::read;

fn problem_of(bytes: &[u8]) -> survey::Problem {
    let readings = SheetText {
        name: "readings.csv",
        bytes,
    };
    let (survey, problems) = read_sheets(&Sheets {
        readings,
        points: None,
        instruments: None,
        unit: None,
    });
    assert!(survey.is_none());
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert_eq!(problems[0].severity, Severity::Sheet);
    problems[0].clone()
}

#[test]
fn a_line_of_200_megabytes_is_refused_at_once() {
    let bytes = vec![b','; 200 * 1024 * 1024];
    let start = Instant::now();
    assert!(problem_of(&bytes).reason.contains("at most 64 MB"));
    // Far below what splitting it would take; far above what a busy machine adds.
    assert!(start.elapsed() < Duration::from_secs(1));
}

#[test]
fn a_long_line_and_a_long_cell() {
    let mut bytes = b"id,kind,a,b,value\n\n".to_vec();
    bytes.extend(vec![b','; 100_001]);
    let problem = problem_of(&bytes);
    assert_eq!(problem.row, Some(3));
    assert!(problem.reason.contains("100001 bytes"));

    let cell = "é".repeat(10_001);
    let problem = problem_of(format!("id,kind,a,b,value\n1,tape,{cell},B,5 mm\n").as_bytes());
    assert_eq!((problem.row, problem.column.as_deref()), (Some(2), Some("a")));
    let good = format!("id,kind,a,b,value\n1,tape,{},B,5 mm\n", "é".repeat(10_000));
    assert_eq!(read(&good, None, None, None).1, []);
}

#[test]
fn bytes_that_are_not_utf_8() {
    let problem = problem_of(b"\xef\xbb\xbfid,kind,a,b,value\r\n\r\n1,tape,A,B\xff,5 mm\r\n");
    assert_eq!(problem.row, Some(3));
    assert!(problem.reason.contains("not UTF-8"));
    assert!(problem_of(b"\xff\xfei\0d\0").reason.contains("UTF-16"));
}

#[test]
fn a_sheet_of_another_program_does_not_fill_the_memory() {
    let rows: String = (0..20_000).map(|row| format!("{row},nonsense,,,\n")).collect();
    let (survey, problems) = read(&format!("id,kind,a,b,value\n{rows}"), None, None, None);
    assert!(survey.is_some_and(|survey| survey.readings.is_empty()));
    assert_eq!(problems.len(), 10_001);
    assert!(problems[10_000].reason.starts_with("10000 more problems"));
}
