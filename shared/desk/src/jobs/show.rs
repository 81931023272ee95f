//! A job laid open: its settings, readings, points, and what devices disagree about.

use std::collections::BTreeMap;

use ledger::{
    Dispute, EntryId, InstrumentRecord, JobId, NamedRecord, PointRecord, ReadingRecord, Records, Room, Stage,
};
use serde::Serialize;
use survey::{Kind, Quantity, State};

use super::Desk;
use super::facts::RegisterValue;
use super::log::or_newest;
use crate::refusal::Refusal;
use crate::wire::{QuantityWord, shown as shown_of};

/// A job, now or as it stood.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct JobShown {
    /// Its name for programs.
    pub id: String,
    /// Its name for people.
    pub name: String,
    /// `in` or `mm`, where that was said.
    #[cfg_attr(test, ts(type = r#""in" | "mm" | null"#))]
    pub unit: Option<&'static str>,
    /// The axes, as `three:A,B,C`.
    pub frame: Option<String>,
    /// The point that is said to be on the upper side.
    pub above: Option<String>,
    /// The crew.
    pub people: Vec<String>,
    /// The stands, in the order in which they began.
    pub stands: Vec<String>,
    /// The epochs, in the order in which they began.
    pub epochs: Vec<String>,
    /// The stand that a reading takes of which none is said; empty where none was begun.
    pub stand: String,
    /// The epoch that a reading takes of which none is said; empty where none was begun.
    pub epoch: String,
    /// The instruments.
    pub instruments: Vec<InstrumentLine>,
    /// The points, in the order in which they were made.
    pub points: Vec<PointLine>,
    /// The readings, in the order in which they were logged.
    pub readings: Vec<ReadingLine>,
    /// Lines that cannot be taped.
    pub blocked: Vec<BlockedLine>,
    /// What devices disagree about.
    pub disputes: Vec<DisputeLine>,
}

/// An instrument of a job, as it was described.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(missing_docs, reason = "the columns of the instruments sheet")]
pub struct InstrumentLine {
    pub name: String,
    pub kind: String,
    pub class: String,
    pub graduation: String,
    pub zero_offset: String,
    pub case_length: String,
    pub point_sd: String,
    pub sd: String,
    pub note: String,
    /// How many readings were taken with it, those set aside too.
    pub readings: usize,
}

/// A line that cannot be taped.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct BlockedLine {
    /// From.
    pub a: String,
    /// To.
    pub b: String,
    /// What stands in the way.
    pub why: String,
}

/// A point of a job.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct PointLine {
    /// Its entry.
    pub id: String,
    /// Its label.
    pub label: String,
    /// Labels of points that were joined into it.
    pub joined: Vec<String>,
    /// `left`, `right`, `centre`, or nothing said.
    pub side: String,
    /// Its mirror partner.
    pub mirror: Option<String>,
    /// Rough x, y, z as typed.
    pub rough: [String; 3],
    /// Which of the letters x, y, z are exact.
    pub fixed: String,
    /// What was noted.
    pub note: String,
    /// How many readings name it, those set aside too.
    pub readings: usize,
}

/// A reading of a job, as it is now.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
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
    /// Whether that is a length or an angle.
    pub quantity: QuantityWord,
    /// The value as it was read, in mm or degrees; nothing where it cannot be used.
    pub mm_or_deg: Option<f64>,
    /// Its value as it was logged, where it was corrected.
    pub logged: Option<String>,
    /// The same in mm or degrees.
    pub logged_mm_or_deg: Option<f64>,
    /// A standard deviation of its own, as typed.
    pub sd: String,
    /// What it was read with.
    pub instrument: String,
    /// `hook`, `burn-1in`, `burn-100mm`, `case`, or nothing said.
    pub from: String,
    /// Length added, as typed.
    pub add: String,
    /// How the shell stood.
    pub stand: String,
    /// Empty, `set aside` or `kept`.
    #[cfg_attr(test, ts(type = r#""" | "set aside" | "kept""#))]
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
#[cfg_attr(test, derive(ts_rs::TS))]
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
#[cfg_attr(test, derive(ts_rs::TS))]
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
    let named = |entries: &BTreeMap<EntryId, NamedRecord>| {
        let mut all: Vec<_> = entries.iter().collect();
        all.sort_by_key(|(id, record)| (record.made, *id));
        all.into_iter().map(|(_, record)| record.name.clone()).collect()
    };
    JobShown {
        id: id.to_string(),
        name: records.job.name.clone(),
        unit: records.job.unit.map(|unit| match unit {
            survey::LengthUnit::Inch => "in",
            survey::LengthUnit::Millimetre => "mm",
        }),
        frame: super::solve::frame_of(records).map(|frame| frame.to_string()),
        above: records
            .job
            .above
            .as_ref()
            .map(label)
            .filter(|above| !above.is_empty()),
        people: named(&records.people),
        stands: named(&records.stands),
        epochs: named(&records.epochs),
        stand: or_newest("", &records.stands),
        epoch: or_newest("", &records.epochs),
        instruments: instruments(records),
        points: points(records, &labels),
        readings: readings(records, &labels),
        blocked: blocked(records, &labels),
        disputes: disputes
            .iter()
            .map(|dispute| dispute_line(records, dispute))
            .collect(),
    }
}

fn instruments(records: &Records) -> Vec<InstrumentLine> {
    let mut instruments: Vec<_> = records.instruments.iter().collect();
    instruments.sort_by_key(|(id, record)| (record.made, *id));
    let mut read_with: BTreeMap<&EntryId, usize> = BTreeMap::new();
    for instrument in records
        .readings
        .values()
        .filter_map(|reading| reading.now.instrument.as_ref())
    {
        *read_with.entry(instrument).or_default() += 1;
    }
    let line = |(id, record): (&EntryId, &InstrumentRecord)| InstrumentLine {
        name: record.name.clone(),
        kind: record.kind.clone(),
        class: record.class.clone(),
        graduation: record.graduation.clone(),
        zero_offset: record.zero_offset.clone(),
        case_length: record.case_length.clone(),
        point_sd: record.point_sd.clone(),
        sd: record.sd.clone(),
        note: record.note.clone(),
        readings: read_with.get(id).copied().unwrap_or_default(),
    };
    instruments.into_iter().map(line).collect()
}

fn points(records: &Records, labels: &BTreeMap<EntryId, String>) -> Vec<PointLine> {
    let mut named: BTreeMap<&EntryId, usize> = BTreeMap::new();
    for point in records.readings.values().flat_map(|reading| &reading.now.points) {
        *named.entry(records.mark(point)).or_default() += 1;
    }
    let line = |(id, record): (&EntryId, &PointRecord)| {
        // As the points sheet has it: where its own record is silent, a point joined into it may speak.
        let [label, side, mirror, x, y, z, fixed, note] = records.point_said(id, labels);
        PointLine {
            id: id.to_string(),
            label: if label.is_empty() {
                record.label.to_string()
            } else {
                label
            },
            joined: records
                .points
                .iter()
                .filter(|(other, _)| *other != id && records.mark(other) == id)
                .map(|(_, joined)| joined.label.to_string())
                .collect(),
            side,
            mirror: Some(mirror).filter(|mirror| !mirror.is_empty()),
            rough: [x, y, z],
            fixed,
            note,
            readings: named.get(id).copied().unwrap_or_default(),
        }
    };
    records.marks().into_iter().map(line).collect()
}

fn readings(records: &Records, labels: &BTreeMap<EntryId, String>) -> Vec<ReadingLine> {
    let names = records.reading_names();
    let survey = records.survey(&Stage::All);
    let usable: BTreeMap<&EntryId, f64> = survey
        .readings
        .iter()
        .zip(&survey.survey.readings)
        .map(|(entry, reading)| (entry, shown_of(reading.kind.quantity(), reading.read)))
        .collect();
    let name_in = |entries: &BTreeMap<EntryId, NamedRecord>, entry: &Option<EntryId>| {
        let record = entry.as_ref().and_then(|entry| entries.get(entry));
        record.map_or_else(String::new, |record| record.name.clone())
    };
    let line = |(id, reading): (&EntryId, &ReadingRecord)| {
        let now = &reading.now;
        let quantity = Kind::from_word(&now.kind).map_or(Quantity::Length, Kind::quantity);
        let logged = reading
            .corrected_why
            .is_some()
            .then(|| reading.logged.value.clone());
        let instrument = now
            .instrument
            .as_ref()
            .and_then(|entry| records.instruments.get(entry));
        ReadingLine {
            id: id.to_string(),
            name: names.get(id).cloned().unwrap_or_default(),
            kind: now.kind.clone(),
            points: now
                .points
                .iter()
                .map(|point| labels.get(records.mark(point)).cloned().unwrap_or_default())
                .collect(),
            value: now.value.clone(),
            quantity: quantity.into(),
            mm_or_deg: usable.get(id).copied(),
            logged_mm_or_deg: logged
                .as_deref()
                .and_then(|typed| read_as(typed, &reading.logged.kind, records)),
            logged,
            sd: now.sd.clone(),
            instrument: instrument.map_or_else(String::new, |record| record.name.clone()),
            from: now.from.clone(),
            add: now.add.clone(),
            stand: name_in(&records.stands, &now.stand),
            state: match reading.state {
                State::Used => "",
                State::SetAside => "set aside",
                State::Kept => "kept",
            },
            why: match (&reading.corrected_why, reading.why.is_empty()) {
                (Some(why), true) => why.clone(),
                _ => reading.why.clone(),
            },
            epoch: name_in(&records.epochs, &now.epoch),
            by: reading.by.clone(),
            at: reading.read_at(),
            note: now.note.clone(),
        }
    };
    records.readings_in_order().into_iter().map(line).collect()
}

/// A typed value in mm or degrees.
fn read_as(typed: &str, kind: &str, records: &Records) -> Option<f64> {
    let unit = records.job.unit;
    match Kind::from_word(kind)?.quantity() {
        Quantity::Length => survey::parse_length(typed, unit).ok(),
        Quantity::Angle => survey::parse_angle(typed, unit.is_some())
            .ok()
            .map(f64::to_degrees),
    }
}

fn blocked(records: &Records, labels: &BTreeMap<EntryId, String>) -> Vec<BlockedLine> {
    let mut lines: Vec<_> = records.blocked.iter().collect();
    lines.sort_by_key(|(id, line)| (line.made, *id));
    let end = |point: &EntryId| labels.get(records.mark(point)).cloned().unwrap_or_default();
    lines
        .into_iter()
        .map(|(_, line)| BlockedLine {
            a: end(&line.ends[0]),
            b: end(&line.ends[1]),
            why: line.why.clone(),
        })
        .collect()
}

pub(super) fn dispute_line(records: &Records, dispute: &Dispute) -> DisputeLine {
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
        "crooked" => "what is crooked",
        "crooked_why" => "why it is crooked",
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
    if key.room == Room::Job && key.field == "crooked" {
        let pair = |word: &str| {
            let (left, right) = word.split_once('/')?;
            Some(format!("{} and {}", named(left)?, named(right)?))
        };
        let words = text
            .split_whitespace()
            .map(|word| pair(word).unwrap_or_else(|| word.to_owned()));
        return words.collect::<Vec<_>>().join(", ");
    }
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
