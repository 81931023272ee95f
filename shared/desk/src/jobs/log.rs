//! Logging a reading: kept first, then compared with what all others predict.

mod compared;

use std::collections::BTreeMap;

use adjust::Verdict;
use ledger::{Edit, EntryId, JobId, NamedRecord, ReadingText, Records, Room, Stage};
use serde::{Deserialize, Serialize};
use survey::{Kind, Label, Reading, State, Survey};

pub use compared::{Compared, ComparedVerdict, NothingToCompare};

use super::Desk;
use super::called::reading_called;
use crate::refusal::{Code, Refusal};
use crate::told::HALF_WIDTH_95;
use crate::{AdjustAnswer, just_logged};

/// A reading as it is typed on a pad or a command line. Text that is left out is nothing said.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(default, deny_unknown_fields)]
pub struct LogReading {
    /// `tape`, `slope`, `corner`, `rise`, `string`, `face`, `x`, `y`, `z`.
    pub kind: String,
    /// The labels of a, b, c, d as far as the kind needs them. A label that nobody used makes a point.
    pub points: Vec<String>,
    /// The value as typed; a bare number takes the job's unit.
    pub value: String,
    /// A standard deviation of its own.
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub sd: String,
    /// The instrument's name.
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub instrument: String,
    /// `hook`, `burn-1in`, `burn-100mm`, `case`.
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub from: String,
    /// Length to add.
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub add: String,
    /// How the shell stands; where nothing is said, as since the stand that was added last.
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub stand: String,
    /// The stage of the work; where nothing is said, the one that was added last.
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub epoch: String,
    /// Whatever is to be noted.
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub note: String,
    /// The name of the reading that is read again.
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub again: String,
}

/// A reading that was logged.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Logged {
    /// What it is called.
    pub name: String,
    /// Its entry.
    pub entry: String,
    /// What the log has now, as a line.
    pub line: String,
    /// When, in UTC.
    pub at: String,
    /// How many changes it became: so often is undone to take it back.
    pub changes: usize,
    /// How it stands to the others; nothing where the others determine nothing yet.
    pub compared: Option<Compared>,
    /// How it stands to the reading that it reads again.
    pub again: Option<Again>,
}

/// How a reading stands to the one that it reads again; mm or degrees.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Again {
    /// What the earlier one is called.
    pub name: String,
    /// What it says, from point to point.
    pub earlier: f64,
    /// This one less the earlier one.
    pub apart: f64,
    /// Whether they agree within what their own standard deviations allow, 95 times in 100.
    pub agree: bool,
    /// Whether the earlier one was set aside: it is in doubt, and this one, which differs, fits the others.
    pub set_aside: bool,
}

impl Desk {
    /// Logs a reading. When this returns it is on the disk; only then is it compared with the others, so that nobody
    /// reads what they expect to read. Where it reads another one again that is in doubt, differs from it and fits the
    /// others, that one is set aside.
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
        let earlier = match reading.again.trim() {
            "" => None,
            name => Some(same_line(records, name, reading)?),
        };
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
        let at = entry
            .as_ref()
            .and_then(|entry| records.readings.get(entry))
            .map_or_else(String::new, ledger::ReadingRecord::read_at);
        let line = applied
            .change
            .and_then(|change| job.entry(&change))
            .map_or_else(String::new, |entry| super::history::words(&entry, job));
        let survey = records.survey(&Stage::All).survey;
        let earlier = earlier.and_then(|entry| Some((records.reading_name(&entry)?, entry)));
        let answer = others.answer();
        let compared = answer.as_deref().and_then(|answer| {
            compare(
                answer,
                &survey,
                &name,
                earlier.as_ref().map(|(name, _)| name.as_str()),
            )
        });
        let again = match earlier {
            None => None,
            Some((earlier, entry)) => {
                let doubted = answer.as_deref().is_some_and(|answer| in_doubt(answer, &earlier));
                let fits = compared
                    .as_ref()
                    .is_some_and(|compared| compared.verdict == ComparedVerdict::Fits);
                let mut again = again(&survey, &name, &earlier);
                if let Some(again) = again.as_mut().filter(|again| doubted && fits && !again.agree) {
                    again.set_aside = self.set_aside_for(id, entry, &name, by)?;
                }
                again
            }
        };
        Ok(Logged {
            entry: entry.map_or_else(String::new, |entry| entry.to_string()),
            changes: 1 + usize::from(again.as_ref().is_some_and(|again| again.set_aside)),
            name,
            line,
            at,
            compared,
            again,
        })
    }

    /// Sets a reading aside for the one that read it again. The new one is logged already: where this cannot be kept,
    /// the earlier one merely stays.
    fn set_aside_for(
        &mut self,
        id: JobId,
        reading: EntryId,
        by_name: &str,
        by: Option<&str>,
    ) -> Result<bool, Refusal> {
        let stamp = self.stamp(by)?;
        let edit = Edit::SetAside {
            reading,
            why: format!("read again: {by_name}"),
        };
        Ok(self.change(id, |job| job.apply(&edit, &stamp)).is_ok())
    }
}

/// The reading of that name, where it is of the line that is read now.
fn same_line(records: &Records, name: &str, reading: &LogReading) -> Result<EntryId, Refusal> {
    let entry = reading_called(records, name)?;
    let earlier = &records.readings[&entry].now;
    let mark = |label: &String| {
        let label = Label::new(label)?;
        records.point_labelled(&label).map(|point| records.mark(point))
    };
    let now: Vec<Option<&EntryId>> = reading.points.iter().map(mark).collect();
    let then: Vec<Option<&EntryId>> = earlier
        .points
        .iter()
        .map(|point| Some(records.mark(point)))
        .collect();
    let kind = reading.kind.trim().to_lowercase();
    let turned = kind == Kind::Tape.word() && now.iter().rev().eq(then.iter());
    if earlier.kind == kind && (now == then || turned) {
        return Ok(entry);
    }
    Err(Refusal::new(
        Code::Unusable,
        format!(
            "`{name}` is not of this line: read it again with its own kind and points, or log this one by itself"
        ),
    ))
}

/// The name that was said, else that of the stand or epoch that began last: a shell is not put back as it was.
pub(super) fn or_newest(said: &str, known: &BTreeMap<EntryId, NamedRecord>) -> String {
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

/// The reading as the answer from before it was logged knows its points; one that it does not know is new. What it
/// reads again has no say in it.
fn compare(answer: &AdjustAnswer, now: &Survey, name: &str, instead_of: Option<&str>) -> Option<Compared> {
    let mut reading = now.readings.iter().find(|reading| reading.id == name)?.clone();
    let place = |label: &Label| answer.survey.point_index(label);
    let mut new = answer.survey.points.len();
    let mut labels = Vec::new();
    for point in &mut reading.points {
        let label = &now.points.get(*point)?.label;
        *point = place(label).unwrap_or_else(|| {
            new += 1;
            new - 1
        });
        labels.push((*point, label.to_string()));
    }
    let instrument = reading.instrument.and_then(|at| now.instruments.get(at));
    reading.instrument = instrument.and_then(|known| {
        answer
            .survey
            .instruments
            .iter()
            .position(|other| other.name == known.name)
    });
    // A reading of the same id is left out of what the others predict.
    if let Some(earlier) = instead_of {
        earlier.clone_into(&mut reading.id);
    }
    let found = just_logged(answer, &reading);
    let label = |point| {
        labels
            .iter()
            .find(|(at, _)| *at == point)
            .map(|(_, label)| label.clone())
    };
    Some(Compared::of(answer, &reading, &found, label))
}

/// Whether a reading was off, or one of a group of which one is, and nobody keeps it on purpose.
fn in_doubt(answer: &AdjustAnswer, name: &str) -> bool {
    answer.survey.reading_index(name).is_some_and(|at| {
        let verdict = answer.adjustment.readings[at].verdict;
        matches!(verdict, Verdict::Suspect | Verdict::Unclear)
            && answer.survey.readings[at].state == State::Used
    })
}

fn again(survey: &Survey, name: &str, earlier: &str) -> Option<Again> {
    let of = |name: &str| -> Option<&Reading> { survey.readings.iter().find(|reading| reading.id == name) };
    let (now, then) = (of(name)?, of(earlier)?);
    let shown = |value: f64| crate::wire::shown(now.kind.quantity(), value);
    let apart = now.observed - then.observed;
    // A millionth of the bound is rounding of the computer.
    let allowed = HALF_WIDTH_95 * now.sd.hypot(then.sd) * (1.0 + 1e-6);
    Some(Again {
        name: earlier.to_owned(),
        earlier: shown(then.observed),
        apart: shown(apart),
        agree: apart.abs() <= allowed,
        set_aside: false,
    })
}
