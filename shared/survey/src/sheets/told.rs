//! The problems of one sheet, gathered as it is read.

use super::Origin;
use crate::{Problem, Severity};

/// More than this is counted, not listed: a sheet of another program has a problem in every row.
const LISTED: usize = 10_000;

#[derive(Default)]
pub(super) struct Told {
    file: String,
    origin: Origin,
    problems: Vec<Problem>,
    unlisted: usize,
    stops: bool,
}

impl Told {
    pub(super) fn about(file: &str, origin: Origin) -> Told {
        Told {
            file: file.to_owned(),
            origin,
            ..Told::default()
        }
    }

    pub(super) fn origin(&self) -> Origin {
        self.origin
    }

    /// Where another row is, for somebody who has the sheet before them.
    pub(super) fn in_row(&self, row: usize) -> String {
        match self.origin {
            Origin::Files => format!(" (row {row})"),
            Origin::Job => String::new(),
        }
    }

    /// Whether the sheet cannot be used.
    pub(super) fn stops(&self) -> bool {
        self.stops
    }

    pub(super) fn sheet(&mut self, row: Option<usize>, column: Option<&str>, reason: impl Into<String>) {
        self.stops = true;
        self.push(Severity::Sheet, row, column, reason.into());
    }

    pub(super) fn row(&mut self, row: usize, column: Option<&str>, reason: impl Into<String>) {
        self.push(Severity::Row, Some(row), column, reason.into());
    }

    pub(super) fn note(&mut self, row: Option<usize>, column: Option<&str>, reason: impl Into<String>) {
        self.push(Severity::Note, row, column, reason.into());
    }

    /// The problems in the order of their rows.
    pub(super) fn into_problems(mut self) -> Vec<Problem> {
        self.problems.sort_by_key(|problem| problem.row);
        if self.unlisted > 0 {
            let reason = format!(
                "{} more problems are not listed: mend these and read again",
                self.unlisted
            );
            let severity = if self.stops {
                Severity::Sheet
            } else {
                Severity::Row
            };
            self.problems.push(Problem {
                severity,
                file: self.file,
                row: None,
                column: None,
                reason,
            });
        }
        self.problems
    }

    fn push(&mut self, severity: Severity, row: Option<usize>, column: Option<&str>, reason: String) {
        if self.problems.len() >= LISTED {
            self.unlisted += 1;
            return;
        }
        let (file, column) = (self.file.clone(), column.map(str::to_owned));
        self.problems.push(Problem {
            severity,
            file,
            row,
            column,
            reason,
        });
    }
}

/// Text in quotes for a reason, shortened where it is long.
pub(super) fn quoted(text: &str) -> String {
    const SHOWN: usize = 60;
    let shown: String = text.chars().take(SHOWN).collect();
    let more = if text.chars().nth(SHOWN).is_some() {
        "…"
    } else {
        ""
    };
    format!("\"{shown}{more}\"")
}
