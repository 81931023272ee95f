//! Logging a reading: kept first, then compared with what all others predict.

use std::collections::BTreeMap;

use ledger::{Edit, EntryId, NamedRecord, ReadingText, Room};
use serde::{Deserialize, Serialize};
use survey::Label;

use super::Desk;
use crate::refusal::Refusal;
use crate::told::LoggedWords;
use crate::{AdjustAnswer, just_logged};

/// A reading as it is typed on a pad or a command line. Text that is left out is nothing said.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct LogReading {
    /// `tape`, `slope`, `corner`, `rise`, `string`, `face`, `x`, `y`, `z`.
    pub kind: String,
    /// The labels of a, b, c, d as far as the kind needs them. A label that nobody used makes a point.
    pub points: Vec<String>,
    /// The value as typed; a bare number takes the job's unit.
    pub value: String,
    /// A standard deviation of its own.
    pub sd: String,
    /// The instrument's name.
    pub instrument: String,
    /// `hook`, `burn-1in`, `burn-100mm`, `case`.
    pub from: String,
    /// Length to add.
    pub add: String,
    /// How the shell stands; where nothing is said, as since the stand that was added last.
    pub stand: String,
    /// The stage of the work; where nothing is said, the one that was added last.
    pub epoch: String,
    /// Whatever is to be noted.
    pub note: String,
}

/// A reading that was logged.
#[derive(Debug, Clone, PartialEq)]
pub struct Logged {
    /// What it is called.
    pub name: String,
    /// Its entry.
    pub entry: String,
    /// What the log has now, as a line.
    pub line: String,
    /// How it stands to the others; nothing where the others determine nothing yet.
    pub compared: Option<LoggedWords>,
}

impl Desk {
    /// Logs a reading. When this returns it is on the disk; only then is it compared with the others, so that nobody
    /// reads what they expect to read.
    ///
    /// # Errors
    /// Where it cannot be used or not be kept; nothing is logged.
    pub fn log_reading(
        &mut self,
        job: Option<&str>,
        reading: &LogReading,
        by: Option<&str>,
    ) -> Result<Logged, Refusal> {
        let id = self.choose(job)?;
        let stamp = self.stamp(by)?;
        let records = self.job(id)?.records();
        let text = ReadingText {
            name: String::new(),
            kind: reading.kind.clone(),
            points: reading.points.clone(),
            value: reading.value.clone(),
            sd: reading.sd.clone(),
            instrument: reading.instrument.clone(),
            from: reading.from.clone(),
            add: reading.add.clone(),
            stand: or_newest(&reading.stand, &records.stands),
            epoch: or_newest(&reading.epoch, &records.epochs),
            note: reading.note.clone(),
            by: String::new(),
        };
        let stage = super::solve::stage_named(records, &text.epoch);
        // The reading is kept first; what the others say is worked out after, from the log as it was before.
        let others = self.others(id, stage)?;
        let applied = self.change(id, |job| job.apply(&Edit::LogReading(text), &stamp))?;
        let job = self.job(id)?;
        let records = job.records();
        let entry = applied
            .entries
            .iter()
            .find(|(room, _)| *room == Room::Readings)
            .map(|(_, entry)| entry.clone());
        let name = entry
            .as_ref()
            .and_then(|entry| records.reading_name(entry))
            .unwrap_or_default();
        let line = applied
            .change
            .and_then(|change| job.entry(&change))
            .map_or_else(String::new, |entry| super::history::words(&entry, job));
        let compared = others.answer().and_then(|answer| {
            let logged = records.survey(&ledger::Stage::All).survey;
            compare(&answer, &logged, &name)
        });
        Ok(Logged {
            entry: entry.map_or_else(String::new, |entry| entry.to_string()),
            name,
            line,
            compared,
        })
    }
}

/// The name that was said, else that of the stand or epoch that began last: a shell is not put back as it was.
fn or_newest(said: &str, known: &BTreeMap<EntryId, NamedRecord>) -> String {
    let newest = || {
        known
            .iter()
            .max_by_key(|(id, record)| (record.made, *id))
            .map(|(_, record)| record.name.clone())
    };
    if said.trim().is_empty() {
        newest().unwrap_or_default()
    } else {
        said.to_owned()
    }
}

/// The reading as the answer from before it was logged knows its points; one that it does not know is new.
fn compare(answer: &AdjustAnswer, now: &survey::Survey, name: &str) -> Option<LoggedWords> {
    let mut reading = now.readings.iter().find(|reading| reading.id == name)?.clone();
    let place = |label: &Label| answer.survey.point_index(label);
    let mut new = answer.survey.points.len();
    for point in &mut reading.points {
        *point = place(&now.points.get(*point)?.label).unwrap_or_else(|| {
            new += 1;
            new - 1
        });
    }
    let instrument = reading.instrument.and_then(|at| now.instruments.get(at));
    reading.instrument = instrument.and_then(|known| {
        answer
            .survey
            .instruments
            .iter()
            .position(|other| other.name == known.name)
    });
    Some(just_logged(answer, &reading).words)
}
