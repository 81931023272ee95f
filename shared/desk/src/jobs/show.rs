//! A job laid open: its settings, readings, points, and what devices disagree about.

use ledger::{Dispute, EntryId, JobId, Records, Room};
use serde::Serialize;
use survey::State;

use super::Desk;
use super::facts::RegisterValue;
use crate::refusal::Refusal;

/// A job, now or as it stood.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobShown {
    /// Its name for programs.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// `in` or `mm`, where that was said.
    pub unit: Option<&'static str>,
    /// The axes, as `three:A,B,C`.
    pub frame: Option<String>,
    /// The crew.
    pub people: Vec<String>,
    /// The stands, in the order in which they began.
    pub stands: Vec<String>,
    /// The epochs, in the order in which they began.
    pub epochs: Vec<String>,
    /// The instruments.
    pub instruments: Vec<String>,
    /// The points, in the order in which they were made.
    pub points: Vec<PointLine>,
    /// The readings, in the order in which they were logged.
    pub readings: Vec<ReadingLine>,
    /// What devices disagree about.
    pub disputes: Vec<DisputeLine>,
}

/// A point of a job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PointLine {
    /// Its entry.
    pub id: String,
    /// Its label.
    pub label: String,
    /// Labels of points that were joined into it.
    pub joined: Vec<String>,
}

/// A reading of a job, as it is now.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReadingLine {
    /// Its entry.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Its kind.
    pub kind: String,
    /// The labels of its points.
    pub points: Vec<String>,
    /// Its value as typed.
    pub value: String,
    /// Its value as it was logged, where it was corrected.
    pub logged: Option<String>,
    /// Empty, `set aside` or `kept`.
    pub state: &'static str,
    /// Why it is set aside, kept or corrected.
    pub why: String,
    /// The epoch it belongs to.
    pub epoch: String,
    /// Who read it.
    pub by: String,
    /// When.
    pub at: String,
    /// What was noted.
    pub note: String,
}

/// What devices disagree about, and what each says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DisputeLine {
    /// The register, for choosing.
    pub register: String,
    /// What it is about, in words.
    pub about: String,
    /// The values. The last one counts until someone chooses.
    pub values: Vec<SaidLine>,
}

/// One of the values.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SaidLine {
    /// The value, for choosing.
    pub value: RegisterValue,
    /// The value for people: labels instead of entries.
    pub shown: String,
    /// Who said it.
    pub by: String,
    /// When, in UTC.
    pub at: String,
}

impl Desk {
    /// Lays a job open.
    ///
    /// # Errors
    /// Where there is no such job.
    pub fn show(&mut self, job: Option<&str>) -> Result<JobShown, Refusal> {
        let id = self.choose(job)?;
        let job = self.job(id)?;
        let disputes = job.disputes();
        Ok(shown(id, job.records(), &disputes))
    }
}

pub(super) fn shown(id: JobId, records: &Records, disputes: &[Dispute]) -> JobShown {
    let labels = records.labels();
    let label = |point: &EntryId| labels.get(records.mark(point)).cloned().unwrap_or_default();
    let names = records.reading_names();
    let named = |entries: &std::collections::BTreeMap<EntryId, ledger::NamedRecord>| {
        let mut all: Vec<_> = entries.iter().collect();
        all.sort_by_key(|(id, record)| (record.made, *id));
        all.into_iter().map(|(_, record)| record.name.clone()).collect()
    };
    let mut instruments: Vec<_> = records.instruments.iter().collect();
    instruments.sort_by_key(|(id, record)| (record.made, *id));
    JobShown {
        id: id.to_string(),
        name: records.job.name.clone(),
        unit: records.job.unit.map(|unit| match unit {
            survey::LengthUnit::Inch => "in",
            survey::LengthUnit::Millimetre => "mm",
        }),
        frame: super::solve::frame_of(records).map(|frame| frame.to_string()),
        people: named(&records.people),
        stands: named(&records.stands),
        epochs: named(&records.epochs),
        instruments: instruments
            .into_iter()
            .map(|(_, record)| record.name.clone())
            .collect(),
        points: records
            .marks()
            .into_iter()
            .map(|(id, record)| PointLine {
                id: id.to_string(),
                label: labels
                    .get(id)
                    .cloned()
                    .unwrap_or_else(|| record.label.to_string()),
                joined: records
                    .points
                    .iter()
                    .filter(|(other, _)| *other != id && records.mark(other) == id)
                    .map(|(_, joined)| joined.label.to_string())
                    .collect(),
            })
            .collect(),
        readings: records
            .readings_in_order()
            .into_iter()
            .map(|(id, reading)| ReadingLine {
                id: id.to_string(),
                name: names.get(id).cloned().unwrap_or_default(),
                kind: reading.now.kind.clone(),
                points: reading.now.points.iter().map(label).collect(),
                value: reading.now.value.clone(),
                logged: reading
                    .corrected_why
                    .is_some()
                    .then(|| reading.logged.value.clone()),
                state: match reading.state {
                    State::Used => "",
                    State::SetAside => "set aside",
                    State::Kept => "kept",
                },
                why: match (&reading.corrected_why, reading.why.is_empty()) {
                    (Some(why), true) => why.clone(),
                    _ => reading.why.clone(),
                },
                epoch: reading
                    .now
                    .epoch
                    .as_ref()
                    .and_then(|epoch| records.epochs.get(epoch))
                    .map_or_else(String::new, |epoch| epoch.name.clone()),
                by: reading.by.clone(),
                at: reading.read_at(),
                note: reading.now.note.clone(),
            })
            .collect(),
        disputes: disputes
            .iter()
            .map(|dispute| dispute_line(records, dispute))
            .collect(),
    }
}

fn dispute_line(records: &Records, dispute: &Dispute) -> DisputeLine {
    let key = &dispute.key;
    let field = field_word(&key.field);
    let what = match key.room {
        Room::Job => "the job".to_owned(),
        Room::Readings => records.reading_name(&key.entry).unwrap_or_default(),
        Room::Points => records
            .point(&key.entry)
            .map_or_else(String::new, |point| point.label.to_string()),
        Room::Instruments => records
            .instruments
            .get(&key.entry)
            .map_or_else(String::new, |i| i.name.clone()),
        Room::Photos => "a photo".to_owned(),
        Room::Pins => "a pin on a photo".to_owned(),
        Room::People | Room::Stands | Room::Epochs | Room::Blocked => key.room.word().to_owned(),
    };
    DisputeLine {
        register: key.to_string(),
        about: format!("{field} of {what}"),
        values: dispute
            .values
            .iter()
            .map(|said| SaidLine {
                value: match &said.value {
                    ledger::Value::Text(text) => RegisterValue::Text(text.clone()),
                    ledger::Value::Whole(whole) => RegisterValue::Whole(*whole),
                    ledger::Value::Number(number) => RegisterValue::Number(*number),
                },
                shown: value_shown(records, key, &said.value),
                by: said.by.clone(),
                at: ledger::utc(said.at_s.saturating_mul(1000)),
            })
            .collect(),
    }
}

/// What people call a field of an entry.
pub(super) fn field_word(field: &str) -> &str {
    match field {
        "why" => "reason",
        "now.why" => "reason of the correction",
        "about" => "subject",
        field => field.trim_start_matches("now."),
    }
}

/// A value of a register for people: names instead of entries, and axes as they are typed.
pub(super) fn value_shown(records: &Records, key: &ledger::Key, value: &ledger::Value) -> String {
    let text = value.to_string();
    let named = |word: &str| {
        let entry = EntryId::parse(word)?;
        let point = records.point(&entry).map(|point| point.label.to_string());
        let name = || {
            let instrument = records.instruments.get(&entry).map(|record| record.name.clone());
            let stand = || records.stands.get(&entry).map(|record| record.name.clone());
            let epoch = || records.epochs.get(&entry).map(|record| record.name.clone());
            instrument.or_else(stand).or_else(epoch)
        };
        point.or_else(name)
    };
    if key.room == Room::Job && key.field == "frame" {
        let mut words = text.split_whitespace();
        let kind = words.next().unwrap_or_default();
        let points: Vec<String> = words
            .map(|word| named(word).unwrap_or_else(|| word.to_owned()))
            .collect();
        return match points.is_empty() {
            true => kind.to_owned(),
            false => format!("{kind}:{}", points.join(",")),
        };
    }
    named(&text).unwrap_or(text)
}
