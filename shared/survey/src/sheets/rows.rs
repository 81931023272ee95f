//! The cells of a sheet as they were typed, for whoever keeps them.

use std::collections::BTreeMap;

use super::table::{Columns, each_row};
use super::told::Told;
use super::{SheetText, instruments, points, readings};

/// Which of the three sheets, and so which columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetKind {
    /// What was read.
    Readings,
    /// What is known of the points.
    Points,
    /// What was read with.
    Instruments,
}

impl SheetKind {
    /// Its columns, in the order in which it is written.
    pub const fn columns(self) -> &'static [&'static str] {
        self.known().known
    }

    const fn known(self) -> &'static Columns {
        match self {
            SheetKind::Readings => &readings::COLUMNS,
            SheetKind::Points => &points::COLUMNS,
            SheetKind::Instruments => &instruments::COLUMNS,
        }
    }
}

/// One row with the line it starts on. Cells are trimmed; an empty one is not there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetRow {
    /// The line of the file, counted from 1.
    pub number: usize,
    /// What was typed, by the known columns.
    pub cells: BTreeMap<&'static str, String>,
}

impl SheetRow {
    /// What was typed in that column; empty where nothing was.
    pub fn cell(&self, column: &str) -> &str {
        self.cells.get(column).map_or("", String::as_str)
    }
}

/// The rows of a sheet that have its shape, cells as typed. What they mean, and what is wrong with the others, says
/// [`read_sheets`](crate::read_sheets).
pub fn sheet_rows(sheet: &SheetText<'_>, kind: SheetKind) -> Vec<SheetRow> {
    let columns = kind.known();
    let mut rows = Vec::new();
    each_row(sheet, columns, &mut Told::default(), |row, _| {
        let typed = columns.known.iter().map(|&column| (column, row.cell(column)));
        let cells = typed
            .filter(|(_, text)| !text.is_empty())
            .map(|(column, text)| (column, text.to_owned()))
            .collect();
        rows.push(SheetRow {
            number: row.number,
            cells,
        });
    });
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_come_as_they_were_typed() {
        let sheet = SheetText {
            name: "r.csv",
            bytes: b"\xef\xbb\xbfid, Kind ,a,b,value,colour\r\n\r\n1,tape,A,B, \"40 5/8\"\"\" ,red\r\nonly,one\r\n",
        };
        let rows = sheet_rows(&sheet, SheetKind::Readings);
        assert_eq!(rows.len(), 2);
        assert_eq!((rows[0].number, rows[1].number), (3, 4));
        assert_eq!(rows[0].cell("value"), "\"40 5/8\"\"\"");
        assert_eq!(rows[0].cell("kind"), "tape");
        assert_eq!(rows[0].cell("colour"), "");
        assert_eq!(rows[1].cell("value"), "");
    }
}
