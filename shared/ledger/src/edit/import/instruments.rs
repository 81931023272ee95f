//! The instruments sheet into a job.

use std::collections::BTreeSet;

use survey::{Problem, Quantity, SheetKind, SheetRow, SheetText, Survey, sheet_rows};

use super::known::Sheet;
use super::name_in;
use crate::edit::{EditError, Writing};
use crate::schema::Room;
use crate::sheets::{INSTRUMENT_COLUMNS, instrument_row, table, with_unit};

impl Writing<'_> {
    /// Gives how many were not there before.
    pub(super) fn import_instruments(
        &mut self,
        sheet: &Sheet<'_>,
        text: &SheetText<'_>,
        read: &Survey,
        problems: &mut Vec<Problem>,
    ) -> Result<usize, EditError> {
        let usable: BTreeSet<&str> = read.instruments.iter().map(|known| known.name.as_str()).collect();
        let mut new = 0;
        for row in sheet_rows(text, SheetKind::Instruments) {
            self.row += 1;
            if usable.contains(name_in(&row, "name").as_str()) {
                new += usize::from(self.import_instrument(sheet, &row, problems)?);
            }
        }
        Ok(new)
    }

    /// The given sheet with the instruments that the job knows and it does not, under its own header.
    pub(super) fn with_known_instruments(&self, given: Option<SheetText<'_>>) -> String {
        let known = self.records.instruments.values();
        let Some(given) = given else {
            return table(
                INSTRUMENT_COLUMNS,
                known.map(|record| instrument_row(record, &record.name)),
            );
        };
        let mut text = String::from_utf8_lossy(given.bytes).into_owned();
        if text.as_bytes() != given.bytes {
            return text; // Not UTF-8: the reader says so.
        }
        let in_sheet: BTreeSet<String> = sheet_rows(&given, SheetKind::Instruments)
            .iter()
            .map(|row| name_in(row, "name"))
            .collect();
        let header = csv::Reader::from_reader(text.trim_start_matches('\u{feff}').as_bytes())
            .headers()
            .cloned();
        let Ok(header) = header else { return text };
        let header: Vec<String> = header.iter().map(|name| name.trim().to_lowercase()).collect();
        let rows = known
            .filter(|record| !in_sheet.contains(&record.name))
            .map(|record| {
                let cells = instrument_row(record, &record.name);
                let cell = |column: &String| {
                    INSTRUMENT_COLUMNS
                        .iter()
                        .position(|known| *known == column.as_str())
                };
                header
                    .iter()
                    .map(|column| cell(column).map_or_else(String::new, |at| cells[at].clone()))
                    .collect()
            });
        let columns: Vec<&str> = header.iter().map(String::as_str).collect();
        let more = table(&columns, rows);
        if !text.ends_with('\n') {
            text.push('\n');
        }
        text.push_str(more.split_once('\n').map_or("", |(_, rows)| rows));
        text
    }

    fn import_instrument(
        &mut self,
        sheet: &Sheet<'_>,
        row: &SheetRow,
        problems: &mut Vec<Problem>,
    ) -> Result<bool, EditError> {
        let name = name_in(row, "name");
        let known = self
            .instrument(&name)
            .and_then(|id| self.records.instruments.get(&id));
        let logged = known.map(|record| instrument_row(record, &record.name));
        let id = self.instrument_or_new(&name)?;
        let shows_angles = row.cell("kind").eq_ignore_ascii_case("finder");
        for (at, column) in INSTRUMENT_COLUMNS.iter().copied().enumerate().skip(1) {
            let typed = match column {
                "kind" => row.cell(column).to_lowercase(),
                "class" => row.cell(column).to_uppercase(),
                "note" => row.cell(column).to_owned(),
                "sd" if shows_angles => with_unit(row.cell(column), Quantity::Angle, sheet.unit),
                _ => with_unit(row.cell(column), Quantity::Length, sheet.unit),
            };
            let logged = logged.as_ref().map_or("", |cells| cells[at].as_str());
            if self.fills(&sheet.file, row, column, logged, &typed, problems) {
                self.put(Room::Instruments, &id, column, typed);
            }
        }
        Ok(known.is_none())
    }
}
