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
