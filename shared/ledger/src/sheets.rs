//! Records as sheets, and so as a survey: one set of rules for what is typed, imported, solved and given away.
//!
//! A job is solved from the very sheets that leave it. [`survey::read_sheets`] is the only judge of what a value may
//! be, whether it comes from a pad, a spreadsheet or another device.

mod check;
mod named;

use std::collections::{BTreeMap, BTreeSet};

use survey::{
    Kind, LengthUnit, Problem, Quantity, Reading, SheetKind, SheetText, Sheets, State, Survey, UnitFault,
};

pub(crate) use check::{check_instrument, check_point, check_reading};

use crate::edit::{ReadingText, row_of};
use crate::records::{InstrumentRecord, Made, PointRecord, ReadingRecord, Records};
use crate::schema::EntryId;

pub(crate) const READING_COLUMNS: &[&str] = SheetKind::Readings.columns();
pub(crate) const POINT_COLUMNS: &[&str] = SheetKind::Points.columns();
pub(crate) const INSTRUMENT_COLUMNS: &[&str] = SheetKind::Instruments.columns();

/// Which readings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Stage {
    /// All of them.
    All,
    /// Those of one epoch; `None` is what was read before any epoch was named.
    Only(Option<EntryId>),
}

/// The three sheets of a job, as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetTexts {
    /// Readings and lines that cannot be taped.
    pub readings: String,
    /// Points with what is known of them.
    pub points: String,
    /// Instruments.
    pub instruments: String,
}

/// A job as a survey, with what of it could not be used, and which entry is which.
#[derive(Debug, Clone, PartialEq)]
pub struct JobSurvey {
    /// The survey.
    pub survey: Survey,
    /// What could not be used, and why, by the name of the reading, the point or the instrument instead of a row.
    pub problems: Vec<Problem>,
    /// The entry of each reading of the survey.
    pub readings: Vec<EntryId>,
    /// The entry of each point of the survey.
    pub points: Vec<EntryId>,
}

impl Records {
    /// The job as the three sheets.
    pub fn sheets(&self, stage: &Stage) -> SheetTexts {
        let labels = self.labels();
        let instruments = named_once(
            self.instruments
                .iter()
                .map(|(id, i)| (id, i.made, i.name.as_str())),
        );
        SheetTexts {
            readings: self.readings_sheet(stage, &labels, &instruments),
            points: table(
                POINT_COLUMNS,
                self.marks()
                    .into_iter()
                    .map(|(id, _)| self.point_row(id, &labels)),
            ),
            instruments: table(
                INSTRUMENT_COLUMNS,
                in_order(self.instruments.iter().map(|(id, i)| (id, i.made, i)))
                    .map(|(id, instrument)| instrument_row(instrument, &instruments[id])),
            ),
        }
    }

    /// The job as a survey. What of it cannot be used, such as a reading whose two points were joined, is a problem.
    pub fn survey(&self, stage: &Stage) -> JobSurvey {
        let texts = self.sheets(stage);
        let (survey, problems) = survey::read_job_sheets(&Sheets {
            readings: SheetText {
                name: "readings",
                bytes: texts.readings.as_bytes(),
            },
            points: Some(SheetText {
                name: "points",
                bytes: texts.points.as_bytes(),
            }),
            instruments: Some(SheetText {
                name: "instruments",
                bytes: texts.instruments.as_bytes(),
            }),
            unit: None,
        });
        let mut survey = survey.unwrap_or_default();
        survey.unit = self.job.unit;
        let labels = self.labels();
        let by_label: BTreeMap<&str, &EntryId> =
            labels.iter().map(|(id, label)| (label.as_str(), id)).collect();
        let names = self.reading_names();
        let by_name: BTreeMap<&str, &EntryId> = names.iter().map(|(id, name)| (name.as_str(), *id)).collect();
        JobSurvey {
            readings: survey
                .readings
                .iter()
                .filter_map(|r| by_name.get(r.id.as_str()).copied().cloned())
                .collect(),
            points: survey
                .points
                .iter()
                .filter_map(|p| by_label.get(p.label.as_str()).copied().cloned())
                .collect(),
            survey,
            problems: named::by_name(problems, &texts),
        }
    }

    /// What each mark is called, no two alike: where two devices gave two points one label, the later has a number
    /// after it until someone joins or renames them.
    pub fn labels(&self) -> BTreeMap<EntryId, String> {
        named_once(
            self.marks()
                .into_iter()
                .map(|(id, p)| (id, p.made, p.label.as_str())),
        )
    }

    /// What each reading is called, no two alike.
    pub fn reading_names(&self) -> BTreeMap<&EntryId, String> {
        let names = self.readings.iter().map(|(id, r)| (id, r.made, r.name.as_str()));
        let mut taken = BTreeSet::new();
        in_order(names)
            .map(|(id, name)| (id, once(name, &mut taken)))
            .collect()
    }

    /// What one reading is called, as in [`reading_names`](Records::reading_names).
    pub fn reading_name(&self, reading: &EntryId) -> Option<String> {
        let record = self.readings.get(reading)?;
        let mut others = self.readings.iter().filter(|(id, _)| *id != reading);
        // A name that ends so may be what another one is called.
        if record.name.ends_with(')') || others.any(|(_, other)| other.name == record.name) {
            return self.reading_names().remove(reading);
        }
        Some(record.name.trim().to_owned()).filter(|name| !name.is_empty())
    }

    /// A reading as a row of the sheet, by column.
    pub(crate) fn reading_row(
        &self,
        reading: &ReadingRecord,
        name: &str,
        labels: &BTreeMap<EntryId, String>,
        instruments: &BTreeMap<EntryId, String>,
    ) -> Vec<String> {
        let now = &reading.now;
        let label = |place: usize| {
            let point = now.points.get(place).map(|point| self.mark(point));
            point.map_or_else(String::new, |mark| labels.get(mark).cloned().unwrap_or_default())
        };
        let named = |entries: &BTreeMap<EntryId, crate::records::NamedRecord>, entry: &Option<EntryId>| {
            let record = entry.as_ref().and_then(|entry| entries.get(entry));
            record.map_or_else(String::new, |record| record.name.clone())
        };
        let instrument = now.instrument.as_ref().and_then(|entry| instruments.get(entry));
        vec![
            name.to_owned(),
            now.kind.clone(),
            label(0),
            label(1),
            label(2),
            label(3),
            now.value.clone(),
            now.sd.clone(),
            instrument.cloned().unwrap_or_default(),
            now.from.clone(),
            now.add.clone(),
            named(&self.stands, &now.stand),
            named(&self.epochs, &now.epoch),
            state_word(reading.state).to_owned(),
            reading.by.clone(),
            reading.read_at(),
            now.note.clone(),
        ]
    }

    fn readings_sheet(
        &self,
        stage: &Stage,
        labels: &BTreeMap<EntryId, String>,
        instruments: &BTreeMap<EntryId, String>,
    ) -> String {
        let names = self.reading_names();
        let of_stage = |reading: &ReadingRecord| match stage {
            Stage::All => true,
            Stage::Only(epoch) => reading.now.epoch == *epoch,
        };
        let mut rows: Vec<(Made, Vec<String>)> = self
            .readings
            .iter()
            .filter(|(_, reading)| of_stage(reading))
            .map(|(id, reading)| {
                (
                    reading.made,
                    self.reading_row(reading, &names[id], labels, instruments),
                )
            })
            .collect();
        let mut taken: BTreeSet<String> = names.values().cloned().collect();
        let lines = in_order(self.blocked.iter().map(|(id, line)| (id, line.made, line)));
        let mut ends_seen = BTreeSet::new();
        for (_, line) in lines {
            let [a, b] = line
                .ends
                .each_ref()
                .map(|end| labels.get(self.mark(end)).cloned());
            let (Some(a), Some(b)) = (a, b) else { continue };
            if a == b
                || !ends_seen.insert(if a < b {
                    (a.clone(), b.clone())
                } else {
                    (b.clone(), a.clone())
                })
            {
                continue;
            }
            let mut row = vec![String::new(); READING_COLUMNS.len()];
            (row[0], row[1], row[2], row[3]) = (once(&line.name, &mut taken), "blocked".into(), a, b);
            row[16].clone_from(&line.why);
            rows.push((line.made, row));
        }
        // Stable: readings made at the same moment stay in the order of their ids.
        rows.sort_by(|(a, x), (b, y)| (a, &x[0]).cmp(&(b, &y[0])));
        table(READING_COLUMNS, rows.into_iter().map(|(_, row)| row))
    }

    /// What is said of a mark, in the words of the points sheet: label, side, mirror, x, y, z, fixed, note. `labels` are
    /// [`labels`](Records::labels).
    pub fn point_said(&self, mark: &EntryId, labels: &BTreeMap<EntryId, String>) -> [String; 8] {
        let mut row = self.point_row(mark, labels).into_iter();
        std::array::from_fn(|_| row.next().unwrap_or_default())
    }

    /// What a reading would be if it were logged now, whatever its points are: they need not be chosen yet.
    ///
    /// # Errors
    /// Every reason for which it would be refused.
    pub fn would_be(&self, text: &ReadingText) -> Result<Reading, Vec<Problem>> {
        let unit = self.job.unit;
        let kind = Kind::from_word(text.kind.trim());
        let quantity = kind.map_or(Quantity::Length, Kind::quantity);
        let points = ["a", "b", "c", "d"]
            .into_iter()
            .take(kind.map_or(0, Kind::point_count));
        let text = ReadingText {
            points: points.map(str::to_owned).collect(),
            value: with_unit(&text.value, quantity, unit),
            sd: with_unit(&text.sd, quantity, unit),
            add: with_unit(&text.add, Quantity::Length, unit),
            ..text.clone()
        };
        let named = |record: &&InstrumentRecord| record.name == text.instrument.trim();
        let instrument = self.instruments.values().find(named);
        check::reading(
            row_of(&text, "reading"),
            instrument.map(|record| instrument_row(record, &record.name)),
        )
    }

    /// A mark as a row of the points sheet. Where its own record is silent, a point joined into it may speak.
    pub(crate) fn point_row(&self, mark: &EntryId, labels: &BTreeMap<EntryId, String>) -> Vec<String> {
        let own = self.point(mark).into_iter();
        let joined = self
            .points
            .iter()
            .filter(|(id, record)| record.joined.is_some() && *id != mark && self.mark(id) == mark);
        let all: Vec<&PointRecord> = own.chain(joined.map(|(_, record)| record)).collect();
        let said = |field: fn(&PointRecord) -> &String| {
            all.iter()
                .map(|record| field(record))
                .find(|text| !text.is_empty())
                .cloned()
                .unwrap_or_default()
        };
        let mirror = all
            .iter()
            .find_map(|record| record.mirror.as_ref())
            .map(|partner| self.mark(partner));
        vec![
            labels.get(mark).cloned().unwrap_or_default(),
            said(|record| &record.side),
            mirror
                .filter(|partner| *partner != mark)
                .and_then(|partner| labels.get(partner))
                .cloned()
                .unwrap_or_default(),
            said(|record| &record.rough[0]),
            said(|record| &record.rough[1]),
            said(|record| &record.rough[2]),
            said(|record| &record.fixed),
            said(|record| &record.note),
        ]
    }
}

impl ReadingRecord {
    /// When it was read: what the sheet said, else when it was logged, in UTC.
    pub fn read_at(&self) -> String {
        if self.at.is_empty() && self.made.row == 0 {
            utc(self.made.ms)
        } else {
            self.at.clone()
        }
    }
}

/// A moment as RFC 3339 in UTC, to the second; empty where the clock said nonsense.
pub fn utc(ms: i64) -> String {
    jiff::Timestamp::from_second(ms.div_euclid(1000))
        .map_or_else(|_| String::new(), |moment| moment.to_string())
}

/// The moment that RFC 3339 text says, in seconds since 1970.
pub fn moment(text: &str) -> Option<i64> {
    text.parse::<jiff::Timestamp>()
        .ok()
        .map(jiff::Timestamp::as_second)
}

/// The text with a unit where it is a bare number and the job has one, so that it means the same for ever.
pub(crate) fn with_unit(text: &str, quantity: Quantity, unit: Option<LengthUnit>) -> String {
    let text = text.trim();
    let lacks = |fault: &UnitFault| matches!(fault, UnitFault::NoLengthUnit | UnitFault::NoAngleUnit);
    match (quantity, unit) {
        (Quantity::Length, Some(unit)) => match survey::parse_length(text, None) {
            Err(error) if lacks(&error.fault) && survey::parse_length(text, Some(unit)).is_ok() => {
                format!("{text} {}", crate::records::word_of_unit(unit))
            }
            _ => text.to_owned(),
        },
        (Quantity::Angle, Some(_)) => match survey::parse_angle(text, false) {
            Err(error) if lacks(&error.fault) && survey::parse_angle(text, true).is_ok() => {
                format!("{text} deg")
            }
            _ => text.to_owned(),
        },
        (_, None) => text.to_owned(),
    }
}

pub(crate) fn state_word(state: State) -> &'static str {
    match state {
        State::Used => "",
        State::SetAside => "set aside",
        State::Kept => "kept",
    }
}

/// An instrument as a row of the sheet.
pub(crate) fn instrument_row(instrument: &InstrumentRecord, name: &str) -> Vec<String> {
    let i = instrument;
    [
        name,
        &i.kind,
        &i.class,
        &i.graduation,
        &i.zero_offset,
        &i.case_length,
        &i.point_sd,
        &i.sd,
        &i.note,
    ]
    .map(str::to_owned)
    .to_vec()
}

/// Rows under a header, as RFC 4180 text. Each row has as many cells as the header.
pub fn table(columns: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let written = writer
        .write_record(columns)
        .and_then(|()| rows.into_iter().try_for_each(|row| writer.write_record(&row)));
    written.expect("memory takes every row, and each has the cells of the header");
    let bytes = writer.into_inner().expect("memory has nothing to flush");
    String::from_utf8(bytes).expect("cells are text")
}

fn named_once<'a>(entries: impl Iterator<Item = (&'a EntryId, Made, &'a str)>) -> BTreeMap<EntryId, String> {
    let mut taken = BTreeSet::new();
    in_order(entries)
        .map(|(id, name)| (id.clone(), once(name, &mut taken)))
        .collect()
}

fn in_order<'a, T>(
    entries: impl Iterator<Item = (&'a EntryId, Made, T)>,
) -> impl Iterator<Item = (&'a EntryId, T)> {
    let mut entries: Vec<_> = entries.collect();
    entries.sort_by_key(|(id, made, _)| (*made, *id));
    entries.into_iter().map(|(id, _, entry)| (id, entry))
}

/// The name, or the name with the first number after it that makes it nobody else's.
fn once(name: &str, taken: &mut BTreeSet<String>) -> String {
    let name = if name.trim().is_empty() {
        "unnamed"
    } else {
        name.trim()
    };
    let mut free = name.to_owned();
    let mut number = 2;
    while !taken.insert(free.clone()) {
        free = format!("{name} ({number})");
        number += 1;
    }
    free
}
