//! Problems of a job told by names: nobody sees the rows of the sheets that a job is solved from.

use std::collections::BTreeMap;

use csv::StringRecord;
use survey::Problem;

use super::SheetTexts;

/// The problems with the reading, point or instrument that each is about in place of its row.
pub(super) fn by_name(problems: Vec<Problem>, texts: &SheetTexts) -> Vec<Problem> {
    if problems.is_empty() {
        return problems;
    }
    let names = BTreeMap::from([
        ("readings", names_by_row(&texts.readings, reading)),
        (
            "points",
            names_by_row(&texts.points, |row| format!("the point {}", cell(row, 0))),
        ),
        (
            "instruments",
            names_by_row(&texts.instruments, |row| {
                format!("the instrument {}", cell(row, 0))
            }),
        ),
    ]);
    let named = |mut problem: Problem| {
        let name = problem
            .row
            .and_then(|row| names.get(problem.file.as_str())?.get(&row));
        if let Some(name) = name {
            problem.file.clone_from(name);
        }
        problem.row = None;
        problem
    };
    problems.into_iter().map(named).collect()
}

fn reading(row: &StringRecord) -> String {
    match cell(row, 1) {
        "blocked" => format!("the line from {} to {}", cell(row, 2), cell(row, 3)),
        _ => cell(row, 0).to_owned(),
    }
}

fn cell(row: &StringRecord, place: usize) -> &str {
    row.get(place).unwrap_or_default()
}

/// What each row is about, by the line on which it begins. A cell may have line breaks.
fn names_by_row(text: &str, name: impl Fn(&StringRecord) -> String) -> BTreeMap<usize, String> {
    const FIRST: usize = 2;
    let mut line = FIRST;
    let mut names = BTreeMap::new();
    for row in csv::Reader::from_reader(text.as_bytes()).into_records().flatten() {
        names.insert(line, name(&row));
        line += 1 + row.iter().map(line_breaks).sum::<usize>();
    }
    names
}

/// CRLF, LF and CR are one line break each.
fn line_breaks(cell: &str) -> usize {
    cell.matches(['\n', '\r']).count() - cell.matches("\r\n").count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn line_breaks_in_cells_move_the_rows_below_them() {
        let text =
            "label,side,mirror,x,y,z,fixed,note\nA,,,,,,,\"one\ntwo\r\nthree\rfour\"\nB,,,,,,,\nC,,,,,,,\n";
        let problem = |row: usize| Problem {
            severity: survey::Severity::Row,
            file: "points".to_owned(),
            row: Some(row),
            column: Some("x".to_owned()),
            reason: "is no length".to_owned(),
        };
        let texts = SheetTexts {
            readings: String::new(),
            points: text.to_owned(),
            instruments: String::new(),
        };
        let told = by_name(vec![problem(2), problem(6), problem(7)], &texts);
        let told: Vec<String> = told.iter().map(ToString::to_string).collect();
        assert_eq!(
            told,
            [
                "the point A, x: is no length",
                "the point B, x: is no length",
                "the point C, x: is no length",
            ]
        );
        // The rows are those that the reader of sheets counts.
        let sheet = survey::SheetText {
            name: "points",
            bytes: text.as_bytes(),
        };
        let rows = survey::sheet_rows(&sheet, survey::SheetKind::Points);
        assert_eq!(rows.iter().map(|row| row.number).collect::<Vec<_>>(), [2, 6, 7]);
    }
}
