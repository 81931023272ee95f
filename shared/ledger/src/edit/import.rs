//! Sheets into a job: every row once, however often they are imported.

use std::collections::{BTreeMap, BTreeSet};

use survey::{
    Kind, Label, LengthUnit, Point, Problem, Quantity, Severity, SheetKind, SheetRow, SheetText, Sheets,
    Survey, read_sheets, sheet_rows,
};

use super::write::free;
use super::{EditError, ReadingText, Writing};
use crate::records::{ReadingRecord, Records};
use crate::registers::Put;
use crate::schema::{EntryId, Room};
use crate::sheets::{INSTRUMENT_COLUMNS, instrument_row, state_word, table, with_unit};

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

    fn import_instruments(
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

    /// The given sheet with the instruments that the job knows and it does not, under its own header.
    fn with_known_instruments(&self, given: Option<SheetText<'_>>) -> String {
        let known = self.records.instruments.values();
        let Some(given) = given else {
            return table(
                &INSTRUMENT_COLUMNS,
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
                let cell = |column: &String| INSTRUMENT_COLUMNS.iter().position(|known| known == column);
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
        for (at, column) in INSTRUMENT_COLUMNS.into_iter().enumerate().skip(1) {
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

    /// Whether a reading of the log says what a row says, as it was logged or as it was corrected.
    fn says_the_same(&self, logged: &ReadingRecord, text: &ReadingText, known: &Known<'_>) -> bool {
        let own_label = |label: &String| {
            let point = Label::new(label).and_then(|label| known.points.get(label.as_str()).copied());
            let label_now = point.and_then(|point| known.labels.get(self.records.mark(point)));
            label_now.unwrap_or(label).clone()
        };
        let text = ReadingText {
            points: text.points.iter().map(own_label).collect(),
            ..text.clone()
        };
        let row = super::read::row_of(&text, &text.name);
        let as_logged = ReadingRecord {
            now: logged.logged.clone(),
            ..logged.clone()
        };
        [logged, &as_logged].into_iter().any(|record| {
            let cells = self
                .records
                .reading_row(record, &record.name, &known.labels, &known.instruments);
            cells[1..=12] == row[1..=12]
        })
    }

    /// Whether a cell fills a register that is empty. One that says something else is told, and left.
    fn fills(
        &self,
        file: &str,
        row: &SheetRow,
        column: &str,
        logged: &str,
        typed: &str,
        problems: &mut Vec<Problem>,
    ) -> bool {
        if typed.is_empty() || typed == logged {
            return false;
        }
        if logged.is_empty() {
            return true;
        }
        problems.push(Problem {
            severity: Severity::Note,
            file: file.to_owned(),
            row: Some(row.number),
            column: Some(column.to_owned()),
            reason: format!("\"{typed}\" here and \"{logged}\" in the log: the log is kept"),
        });
        false
    }
}

/// The sheet that is being taken in.
struct Sheet<'a> {
    file: String,
    unit: Option<LengthUnit>,
    known: &'a Known<'a>,
}

/// What the log knew before the import, by the names that sheets use.
struct Known<'a> {
    labels: BTreeMap<EntryId, String>,
    points: BTreeMap<&'a str, &'a EntryId>,
    instruments: BTreeMap<EntryId, String>,
    readings: BTreeMap<&'a str, &'a ReadingRecord>,
}

impl Known<'_> {
    fn of(records: &Records) -> Known<'_> {
        let instruments = records.instruments.iter();
        Known {
            labels: records.labels(),
            points: records
                .points
                .iter()
                .map(|(id, point)| (point.label.as_str(), id))
                .collect(),
            instruments: instruments
                .map(|(id, record)| (id.clone(), record.name.clone()))
                .collect(),
            readings: records
                .readings
                .values()
                .map(|record| (record.name.as_str(), record))
                .collect(),
        }
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
