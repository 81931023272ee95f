//! Sheets into a job: every row once, however often they are imported.

mod instruments;
mod known;

use std::collections::{BTreeMap, BTreeSet};

use survey::{
    Kind, Label, LengthUnit, Point, Problem, Quantity, Severity, SheetKind, SheetRow, SheetText, Sheets,
    Survey, read_sheets, sheet_rows,
};

use known::{Known, Sheet};

use super::write::free;
use super::{EditError, ReadingText, Writing};
use crate::registers::Put;
use crate::schema::Room;
use crate::sheets::{state_word, with_unit};

/// Sheets as they lie on a disk.
#[derive(Debug, Clone, Copy, Default)]
pub struct SheetsIn<'a> {
    /// Readings, and lines that cannot be taped.
    pub readings: Option<SheetText<'a>>,
    /// Points.
    pub points: Option<SheetText<'a>>,
    /// Instruments.
    pub instruments: Option<SheetText<'a>>,
    /// The unit of bare numbers in them; the job's, where nothing is said.
    pub unit: Option<LengthUnit>,
    /// Leave rows out that cannot be used, and go on.
    pub keep_going: bool,
}

/// What an import brought.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Imported {
    /// Readings that were not there before.
    pub readings: usize,
    /// Lines that cannot be taped, not marked before.
    pub blocked: usize,
    /// Points that were not there before.
    pub points: usize,
    /// Instruments that were not there before.
    pub instruments: usize,
    /// Readings that were there already, word for word.
    pub already: usize,
    /// What was left out or left as it was, and why.
    pub problems: Vec<Problem>,
}

impl Writing<'_> {
    /// Takes every usable row into the job.
    ///
    /// # Errors
    /// [`EditError::Unusable`] with every problem, where a sheet cannot be used, or a row cannot and `keep_going` is off.
    pub(crate) fn import(&mut self, sheets: &SheetsIn<'_>) -> Result<Imported, EditError> {
        let unit = sheets.unit.or(self.records.job.unit);
        let instruments = self.with_known_instruments(sheets.instruments);
        let nothing = SheetText {
            name: "readings",
            bytes: b"id,kind,a,value\n",
        };
        let (survey, mut problems) = read_sheets(&Sheets {
            readings: sheets.readings.unwrap_or(nothing),
            points: sheets.points,
            instruments: Some(SheetText {
                name: sheets.instruments.map_or("instruments", |sheet| sheet.name),
                bytes: instruments.as_bytes(),
            }),
            unit,
        });
        let stops = |problem: &Problem| match problem.severity {
            Severity::Note => false,
            Severity::Row => !sheets.keep_going,
            Severity::Sheet => true,
        };
        let stopped = problems.iter().any(stops);
        let Some(survey) = survey.filter(|_| !stopped) else {
            return Err(EditError::Unusable(problems));
        };
        let known = Known::of(self.records);
        let of = |text: SheetText<'_>| Sheet {
            file: text.name.to_owned(),
            unit,
            known: &known,
        };
        let mut brought = Imported::default();
        if let Some(text) = sheets.instruments {
            brought.instruments = self.import_instruments(&of(text), &text, &survey, &mut problems)?;
        }
        if let Some(text) = sheets.points {
            self.import_points(&of(text), &text, &survey, &mut problems)?;
        }
        if let Some(text) = sheets.readings {
            self.import_readings(&of(text), &text, &survey, &mut problems, &mut brought)?;
        }
        let labels = |put: &&Put| put.key.room == Room::Points && put.key.field == "label";
        brought.points = self.puts.iter().filter(labels).count();
        brought.problems = problems;
        Ok(brought)
    }

    fn import_points(
        &mut self,
        sheet: &Sheet<'_>,
        text: &SheetText<'_>,
        read: &Survey,
        problems: &mut Vec<Problem>,
    ) -> Result<(), EditError> {
        let by_label: BTreeMap<&str, &Point> = read
            .points
            .iter()
            .map(|point| (point.label.as_str(), point))
            .collect();
        let rows = sheet_rows(text, SheetKind::Points);
        // First all points in their order, as a row may name a partner that comes after it.
        for row in &rows {
            self.row += 1;
            if let Some(label) = Label::new(row.cell("label")) {
                self.point(label.as_str())?;
            }
        }
        for row in &rows {
            if let Some(&point) = by_label.get(name_in(row, "label").as_str()) {
                let partner = point.mirror.map(|at| &read.points[at].label);
                self.import_point(sheet, row, point, partner, problems)?;
            }
        }
        Ok(())
    }

    fn import_readings(
        &mut self,
        sheet: &Sheet<'_>,
        text: &SheetText<'_>,
        read: &Survey,
        problems: &mut Vec<Problem>,
        brought: &mut Imported,
    ) -> Result<(), EditError> {
        let usable: BTreeSet<&str> = read.readings.iter().map(|reading| reading.id.as_str()).collect();
        for row in sheet_rows(text, SheetKind::Readings) {
            self.row += 1;
            let id = name_in(&row, "id");
            if row.cell("kind").eq_ignore_ascii_case("blocked") {
                brought.blocked += usize::from(self.import_blocked(&id, &row)?);
            } else if usable.contains(id.as_str()) {
                match self.import_reading(sheet, &id, &row, problems)? {
                    Row::New => brought.readings += 1,
                    Row::Known => brought.already += 1,
                    Row::Differs => {}
                }
            }
        }
        Ok(())
    }

    fn import_point(
        &mut self,
        sheet: &Sheet<'_>,
        row: &SheetRow,
        read: &Point,
        partner: Option<&Label>,
        problems: &mut Vec<Problem>,
    ) -> Result<(), EditError> {
        let id = self.point(read.label.as_str())?;
        let mark = self.records.mark(&id).clone();
        let logged = if sheet.known.labels.contains_key(&mark) {
            self.records.point_row(&mark, &sheet.known.labels)
        } else {
            vec![String::new(); 8]
        };
        let side = if read.side.is_some() {
            row.cell("side").to_lowercase()
        } else {
            String::new()
        };
        let rough = [0, 1, 2].map(|axis| match read.rough_mm[axis] {
            Some(_) => with_unit(row.cell(["x", "y", "z"][axis]), Quantity::Length, sheet.unit),
            None => String::new(),
        });
        let fixed = ["x", "y", "z"]
            .iter()
            .zip(read.fixed)
            .filter(|(_, fixed)| *fixed)
            .map(|(letter, _)| *letter);
        let [x, y, z] = rough;
        let said = [
            ("side", 1, side),
            ("x", 3, x),
            ("y", 4, y),
            ("z", 5, z),
            ("fixed", 6, fixed.collect::<String>()),
            ("note", 7, row.cell("note").to_owned()),
        ];
        for (column, at, typed) in said {
            if self.fills(&sheet.file, row, column, &logged[at], &typed, problems) {
                self.put(Room::Points, &mark, column, typed);
            }
        }
        if let Some(partner) = partner {
            let partner_id = self.point(partner.as_str())?;
            if self.fills(&sheet.file, row, "mirror", &logged[2], partner.as_str(), problems) {
                self.put(Room::Points, &mark, "mirror", partner_id.as_str());
            }
        }
        Ok(())
    }

    fn import_blocked(&mut self, name: &str, row: &SheetRow) -> Result<bool, EditError> {
        let (a, b) = (row.cell("a"), row.cell("b"));
        // A row that cannot be used was told by the sheet reader.
        let (Some(_), Some(_)) = (Label::new(a), Label::new(b)) else {
            return Ok(false);
        };
        if name.is_empty() || Label::new(a) == Label::new(b) || !row.cell("value").is_empty() {
            return Ok(false);
        }
        let ends = [self.point(a)?, self.point(b)?].map(|end| self.records.mark(&end).clone());
        let known = self.records.blocked.values().any(|line| {
            let known = line.ends.each_ref().map(|end| self.records.mark(end).clone());
            known == ends || (known[0] == ends[1] && known[1] == ends[0])
        });
        if known {
            return Ok(false);
        }
        self.block_line(name, a, b, row.cell("note"))?;
        Ok(true)
    }

    fn import_reading(
        &mut self,
        sheet: &Sheet<'_>,
        id: &str,
        row: &SheetRow,
        problems: &mut Vec<Problem>,
    ) -> Result<Row, EditError> {
        let kind = row.cell("kind").to_lowercase();
        let quantity = Kind::from_word(&kind).map_or(Quantity::Length, Kind::quantity);
        let text = ReadingText {
            name: id.to_owned(),
            kind,
            points: ["a", "b", "c", "d"]
                .map(|at| name_in(row, at))
                .into_iter()
                .filter(|l| !l.is_empty())
                .collect(),
            value: with_unit(row.cell("value"), quantity, sheet.unit),
            sd: with_unit(row.cell("sd"), quantity, sheet.unit),
            instrument: name_in(row, "instrument"),
            from: row.cell("from").to_lowercase(),
            add: with_unit(row.cell("add"), Quantity::Length, sheet.unit),
            stand: name_in(row, "stand"),
            epoch: name_in(row, "epoch"),
            note: row.cell("note").to_owned(),
            by: row.cell("by").to_owned(),
        };
        let state = row.cell("state").to_lowercase();
        if let Some(logged) = sheet.known.readings.get(id) {
            let refuse = |severity, column: &str, reason: String| Problem {
                severity,
                file: sheet.file.clone(),
                row: Some(row.number),
                column: Some(column.to_owned()),
                reason,
            };
            if !self.says_the_same(logged, &text, sheet.known) {
                let reason = format!(
                    "\"{id}\" is in the log with other words (value {}): the log is kept. If this is another reading give \
                     it another id; if the log is wrong, correct it there",
                    logged.now.value
                );
                problems.push(refuse(Severity::Row, "id", reason));
                return Ok(Row::Differs);
            }
            if !state.is_empty() && state != state_word(logged.state) {
                let reason =
                    format!("\"{id}\" is in the log in another state: set it aside or keep it there");
                problems.push(refuse(Severity::Note, "state", reason));
            }
            return Ok(Row::Known);
        }
        let entry = free(Room::Readings, id, |entry| {
            self.records.readings.contains_key(entry)
        });
        self.write_reading(&entry, id, &text, &text.by)?;
        self.some_text(Room::Readings, &entry, "state", &state);
        self.some_text(Room::Readings, &entry, "at", row.cell("at"));
        Ok(Row::New)
    }
}

enum Row {
    New,
    Known,
    Differs,
}

/// Names are compared as labels are: trimmed and in one normal form.
fn name_in(row: &SheetRow, column: &str) -> String {
    Label::new(row.cell(column)).map_or_else(String::new, |label| label.as_str().to_owned())
}
