//! Cells that hold a length or an angle.

use super::table::Row;
use super::told::{Told, quoted};
use crate::{Label, LengthUnit, parse_angle, parse_length};

/// Longer than any shell, or the road to it.
const TEN_KILOMETRES_MM: f64 = 1e7;

/// What stands in a cell: nothing, a value, or something that was told as a problem.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Cell {
    Empty,
    Bad,
    Value(f64),
}

impl Cell {
    pub(super) fn value(self) -> Option<f64> {
        match self {
            Cell::Value(value) => Some(value),
            Cell::Empty | Cell::Bad => None,
        }
    }

    /// The value, or the default where the cell is empty; nothing where it is bad.
    pub(super) fn or(self, default: f64) -> Option<f64> {
        match self {
            Cell::Value(value) => Some(value),
            Cell::Empty => Some(default),
            Cell::Bad => None,
        }
    }

    /// Refuses a value that does not hold, with the reason.
    pub(super) fn unless(
        self,
        row: &Row<'_>,
        column: &str,
        told: &mut Told,
        refused: fn(f64) -> bool,
        reason: &str,
    ) -> Cell {
        match self {
            Cell::Value(value) if refused(value) => {
                told.row(
                    row.number,
                    Some(column),
                    format!("{} {reason}", quoted(row.cell(column))),
                );
                Cell::Bad
            }
            cell => cell,
        }
    }
}

pub(super) fn length(row: &Row<'_>, column: &str, unit: Option<LengthUnit>, told: &mut Told) -> Cell {
    let text = row.cell(column);
    if text.is_empty() {
        return Cell::Empty;
    }
    match parse_length(text, unit) {
        Ok(mm) => Cell::Value(mm).unless(
            row,
            column,
            told,
            |mm| mm.abs() > TEN_KILOMETRES_MM,
            "is longer than any shell: check the unit",
        ),
        Err(error) => {
            told.row(row.number, Some(column), error.to_string());
            Cell::Bad
        }
    }
}

pub(super) fn angle(row: &Row<'_>, column: &str, unit: Option<LengthUnit>, told: &mut Told) -> Cell {
    let text = row.cell(column);
    if text.is_empty() {
        return Cell::Empty;
    }
    // The unit of a sheet is one of length; who says it has bare numbers, and a bare angle is in degrees.
    match parse_angle(text, unit.is_some()) {
        Ok(radians) => Cell::Value(radians),
        Err(error) => {
            told.row(row.number, Some(column), error.to_string());
            Cell::Bad
        }
    }
}

/// Names, ids and stands are compared as labels are: trimmed and in one normal form.
pub(super) fn name(row: &Row<'_>, column: &str) -> String {
    Label::new(row.cell(column)).map_or_else(String::new, |label| label.as_str().to_owned())
}
