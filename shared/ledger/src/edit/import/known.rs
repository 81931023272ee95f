//! What the log knew before an import, and how a row stands to it.

use std::collections::BTreeMap;

use survey::{Label, LengthUnit, Problem, Severity, SheetRow};

use crate::edit::{ReadingText, Writing};
use crate::records::{ReadingRecord, Records};
use crate::schema::EntryId;

/// The sheet that is being taken in.
pub(super) struct Sheet<'a> {
    pub(super) file: String,
    pub(super) unit: Option<LengthUnit>,
    pub(super) known: &'a Known<'a>,
}

/// What the log knew, by the names that it gives out in sheets.
pub(super) struct Known<'a> {
    pub(super) labels: BTreeMap<EntryId, String>,
    points: BTreeMap<String, EntryId>,
    instruments: BTreeMap<EntryId, String>,
    pub(super) readings: BTreeMap<String, &'a ReadingRecord>,
}

impl Known<'_> {
    pub(super) fn of(records: &Records) -> Known<'_> {
        let labelled = records
            .points
            .iter()
            .map(|(id, point)| (point.label.to_string(), id.clone()));
        let mut points: BTreeMap<String, EntryId> = labelled.collect();
        // Labels as people see them come first: joined points are found by theirs only where nothing else has it.
        points.extend(records.labels().into_iter().map(|(id, label)| (label, id)));
        let instruments = records.instruments.iter();
        Known {
            labels: records.labels(),
            points,
            instruments: instruments
                .map(|(id, record)| (id.clone(), record.name.clone()))
                .collect(),
            // Where two readings have one name, the later is known by the name that people see.
            readings: records
                .reading_names()
                .into_iter()
                .map(|(id, name)| (name, &records.readings[id]))
                .collect(),
        }
    }
}

impl Writing<'_> {
    /// Whether a reading of the log says what a row says, as it was logged or as it was corrected.
    pub(super) fn says_the_same(
        &self,
        logged: &ReadingRecord,
        text: &ReadingText,
        known: &Known<'_>,
    ) -> bool {
        let own_label = |label: &String| {
            let point = Label::new(label).and_then(|label| known.points.get(label.as_str()));
            let label_now = point.and_then(|point| known.labels.get(self.records.mark(point)));
            label_now.unwrap_or(label).clone()
        };
        let text = ReadingText {
            points: text.points.iter().map(own_label).collect(),
            ..text.clone()
        };
        let row = crate::edit::read::row_of(&text, &text.name);
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
    pub(super) fn fills(
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
