//! The history of a job in words, undo and redo.

mod pictures;

use ledger::{BlockedRecord, ChangeId, Entry, EntryId, Job, JobId, Records, Room, Value};
use serde::Serialize;

use super::Desk;
use super::show::{JobShown, shown, value_shown};
use crate::refusal::{Code, Refusal};

/// One change of a job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HistoryLine {
    /// The change.
    pub change: String,
    /// When, by the clock of the device it was made on, in UTC.
    pub at: String,
    /// Who.
    pub by: String,
    /// What, by its word.
    pub did: String,
    /// What, in words.
    pub words: String,
}

/// What undo or redo did.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Undone {
    /// The change that was taken back, in words.
    pub words: String,
    /// Fields that stay, as somebody changed them since.
    pub left: Vec<String>,
}

impl Desk {
    /// The newest changes of a job, the newest first.
    ///
    /// # Errors
    /// Where there is no such job.
    pub fn history(&mut self, job: Option<&str>, most: usize) -> Result<Vec<HistoryLine>, Refusal> {
        let id = self.choose(job)?;
        let job = self.job(id)?;
        let changes = job.changes();
        let newest = changes
            .iter()
            .rev()
            .take(most)
            .filter_map(|change| job.entry(change));
        Ok(newest.map(|entry| line(&entry, job)).collect())
    }

    /// The job as it stood after a change of its history, or at a moment in UTC such as `2026-04-03T10:15:00Z`.
    ///
    /// # Errors
    /// Where there is no such change, or the moment cannot be read.
    pub fn as_it_stood(&mut self, job: Option<&str>, when: &str) -> Result<JobShown, Refusal> {
        let id = self.choose(job)?;
        let job = self.job(id)?;
        let when = when.trim();
        let records = match ledger::moment(when) {
            Some(at_s) => job.as_it_stood_at(at_s),
            None => {
                let change = change_called(&job.changes(), when)?;
                job.as_it_stood(&change).ok_or_else(|| no_change(when))?
            }
        };
        Ok(shown(id, &records, &[]))
    }

    /// Takes back the newest edit of the person who asks.
    ///
    /// # Errors
    /// Where there is nothing of theirs to take back, or others changed it since.
    pub fn undo(&mut self, job: Option<&str>, by: Option<&str>) -> Result<Undone, Refusal> {
        let id = self.choose(job)?;
        let stamp = self.stamp(by)?;
        let undone = self.change(id, |job| job.undo(&stamp))?;
        self.undone(id, &undone)
    }

    /// Does again what the person who asks undid last.
    ///
    /// # Errors
    /// Where there is nothing of theirs to do again, or others changed it since.
    pub fn redo(&mut self, job: Option<&str>, by: Option<&str>) -> Result<Undone, Refusal> {
        let id = self.choose(job)?;
        let stamp = self.stamp(by)?;
        let undone = self.change(id, |job| job.redo(&stamp))?;
        self.undone(id, &undone)
    }

    fn undone(&mut self, id: JobId, undone: &ledger::Undone) -> Result<Undone, Refusal> {
        let job = self.job(id)?;
        let entry = undone.applied.change.and_then(|change| job.entry(&change));
        Ok(Undone {
            words: entry.map_or_else(String::new, |entry| words(&entry, job)),
            left: undone
                .left
                .iter()
                .map(|left| format!("{} stays: {} changed it since", left.key.field, left.by))
                .collect(),
        })
    }

    /// Every change as a sheet, the oldest first.
    pub(super) fn history_sheet(&mut self, id: JobId) -> Result<String, Refusal> {
        let job = self.job(id)?;
        let entries = job.changes();
        let rows = entries
            .iter()
            .filter_map(|change| job.entry(change))
            .map(|entry| {
                let line = line(&entry, job);
                vec![line.at, line.by, line.words, line.change]
            });
        Ok(ledger::table(&["when_utc", "who", "what", "change"], rows))
    }
}

fn line(entry: &Entry, job: &Job) -> HistoryLine {
    HistoryLine {
        change: entry.change.to_string(),
        at: ledger::utc(entry.at_s.saturating_mul(1000)),
        by: entry.by.clone(),
        did: entry.did.clone(),
        words: words(entry, job),
    }
}

fn change_called(changes: &[ChangeId], when: &str) -> Result<ChangeId, Refusal> {
    let mut found = changes
        .iter()
        .filter(|change| when.len() >= 6 && change.to_string().starts_with(when));
    match (found.next(), found.next()) {
        (Some(change), None) => Ok(*change),
        _ => Err(no_change(when)),
    }
}

fn no_change(when: &str) -> Refusal {
    Refusal::new(
        Code::NotThere,
        format!(
            "`{when}` is neither a change of this job nor a moment: write the first letters of a change as the history \
             shows it, or a time such as 2026-04-03T10:15:00Z"
        ),
    )
}

/// What a change did, in words. Names are those of now.
pub(super) fn words(entry: &Entry, job: &Job) -> String {
    let about = About {
        entry,
        records: job.records(),
        job,
    };
    match entry.did.as_str() {
        "new-job" => format!("made the job {}", about.after("name")),
        "set-job" | "name-job" | "set-unit" | "set-frame" | "set-above" => about.settings(),
        "add-person" => format!("added {} to the crew", about.after("name")),
        "add-stand" => format!("began the stand {}", about.after("name")),
        "add-epoch" => format!("began the epoch {}", about.after("name")),
        "rename" => format!("renamed {} to {}", about.before("name"), about.after("name")),
        "describe-instrument" => format!("described the instrument {}", about.name_of(Room::Instruments)),
        "describe-point" => format!("described the point {}", about.described()),
        "rename-point" => format!(
            "renamed the point {} to {}",
            about.before("label"),
            about.after("label")
        ),
        "join-points" => format!("joined {} with {}", about.name_of(Room::Points), about.joined()),
        "split-point" => format!("took {} apart again", about.name_of(Room::Points)),
        "block-line" => format!("marked {} as not to be taped", about.line()),
        "unblock-line" => format!("said that {} can be taped", about.line()),
        "log-reading" => format!("logged {}", about.reading()),
        "set-aside" => about.with_why("set aside", about.name_of(Room::Readings), "why"),
        "keep-reading" => about.with_why("kept", about.name_of(Room::Readings), "why"),
        "bring-back" => format!("brought back {}", about.name_of(Room::Readings)),
        "correct" => about.with_why("corrected", about.correction(), "now.why"),
        "import-sheets" => about.import(),
        "add-photo" | "caption-photo" | "set-photo-about" | "remove-photo" | "bring-photo-back"
        | "pin-photo" | "move-pin" | "remove-pin" | "bring-pin-back" => pictures::words(&about),
        "choose" => about.choice(),
        "undo" | "redo" => {
            let did = if entry.did == "undo" { "undid" } else { "did again" };
            let what = edited(entry, job).map_or_else(|| about.written(), |edit| words(&edit, job));
            format!("{did}: {what}")
        }
        "" => "something that Trammel did not write".to_owned(),
        other => other.replace('-', " "),
    }
}

/// The edit that was undone or done again in the end.
fn edited(entry: &Entry, job: &Job) -> Option<Entry> {
    let mut entry = job.entry(&entry.of?)?;
    // Each is of an earlier change, or the history is not ours.
    for _ in 0..job.changes().len() {
        if entry.did != "undo" && entry.did != "redo" {
            return Some(entry);
        }
        entry = job.entry(&entry.of?)?;
    }
    None
}

struct About<'a> {
    entry: &'a Entry,
    records: &'a Records,
    job: &'a Job,
}

impl About<'_> {
    fn after(&self, field: &str) -> String {
        let write = self.entry.writes.iter().find(|write| write.key.field == field);
        write
            .and_then(|write| write.after.as_ref())
            .map_or_else(String::new, Value::to_string)
    }

    /// What it said of the job itself, each setting in words.
    fn settings(&self) -> String {
        let wrote = |field: &str| {
            let key = |key: &ledger::Key| key.room == Room::Job && key.field == field;
            self.entry.writes.iter().any(|write| key(&write.key))
        };
        let words = |field: &str| match (field, self.shown(field)) {
            ("name", name) => format!("named the job {}", name.unwrap_or_default()),
            ("unit", unit) => format!("set the unit to {}", unit.unwrap_or_default()),
            ("frame", None) => "left the axes open".to_owned(),
            ("frame", Some(axes)) => format!("set the axes to {axes}"),
            (_, None) => "left open which point is above".to_owned(),
            (_, Some(point)) => format!("said that {point} is above"),
        };
        let said = ["name", "unit", "frame", "above"]
            .into_iter()
            .filter(|field| wrote(field));
        said.map(words).collect::<Vec<_>>().join("; ")
    }

    /// What it wrote into a setting of the job, for people; nothing where it was emptied.
    fn shown(&self, field: &str) -> Option<String> {
        let key = |key: &ledger::Key| key.room == Room::Job && key.field == field;
        let write = self.entry.writes.iter().find(|write| key(&write.key))?;
        let value = write.after.as_ref()?;
        Some(value_shown(self.records, &write.key, value)).filter(|text| !text.is_empty())
    }

    /// The point that was described. Its mirror partner may have been made by the same change, and has a label only.
    fn described(&self) -> String {
        let says_more = |key: &ledger::Key| key.room == Room::Points && key.field != "label";
        let write = self.entry.writes.iter().find(|write| says_more(&write.key));
        write.map_or_else(
            || self.name_of(Room::Points),
            |write| self.called(Room::Points, &write.key.entry),
        )
    }

    /// What it wrote of a reading: a change that logs one may make points, instruments and a person besides.
    fn of_reading(&self, field: &str) -> String {
        let key = |key: &ledger::Key| key.room == Room::Readings && key.field == field;
        let write = self.entry.writes.iter().find(|write| key(&write.key));
        write
            .and_then(|write| write.after.as_ref())
            .map_or_else(String::new, Value::to_string)
    }

    fn before(&self, field: &str) -> String {
        let write = self.entry.writes.iter().find(|write| write.key.field == field);
        write
            .and_then(|write| write.before.as_ref())
            .map_or_else(String::new, Value::to_string)
    }

    fn name_of(&self, room: Room) -> String {
        let entry = self
            .entry
            .writes
            .iter()
            .find(|write| write.key.room == room)
            .map(|write| &write.key.entry);
        entry.map_or_else(|| "?".to_owned(), |entry| self.called(room, entry))
    }

    /// What an entry is called now; where it was undone, what this change called it.
    fn called(&self, room: Room, entry: &EntryId) -> String {
        let records = self.records;
        let now = match room {
            Room::Points => records.point(entry).map(|record| record.label.to_string()),
            Room::Readings => records.reading_names().remove(entry),
            Room::Instruments => records.instruments.get(entry).map(|record| record.name.clone()),
            Room::Stands => records.stands.get(entry).map(|record| record.name.clone()),
            Room::Epochs => records.epochs.get(entry).map(|record| record.name.clone()),
            Room::People => records.people.get(entry).map(|record| record.name.clone()),
            Room::Blocked => records.blocked.get(entry).map(|line| self.between(line)),
            Room::Job => Some("the job".to_owned()),
            Room::Photos => Some(pictures::photo(self, entry)),
            Room::Pins => Some(pictures::pin(self, entry)),
        };
        now.unwrap_or_else(|| {
            let then = self.entry.writes.iter().find(|write| {
                write.key.entry == *entry && ["name", "label"].contains(&write.key.field.as_str())
            });
            then.and_then(|write| write.after.as_ref())
                .map_or_else(|| room.word().to_owned(), Value::to_string)
        })
    }

    fn point_in(&self, field: &str) -> Option<String> {
        let entry = EntryId::parse(&self.after(field))?;
        Some(self.called(Room::Points, &entry))
    }

    fn reading(&self) -> String {
        let points: Vec<String> = ["a", "b", "c", "d"]
            .into_iter()
            .map_while(|field| self.point_in(field))
            .collect();
        let between = match points.as_slice() {
            [a] => format!(" of {a}"),
            [a, b] => format!(" from {a} to {b}"),
            more => format!(" of {}", more.join(", ")),
        };
        format!(
            "{}: {}{between}, {}",
            self.of_reading("name"),
            self.of_reading("kind"),
            self.of_reading("value")
        )
    }

    fn correction(&self) -> String {
        let changed = self
            .entry
            .writes
            .iter()
            .filter(|write| write.key.field.starts_with("now.") && write.key.field != "now.why");
        let told = changed.map(|write| {
            let field = write.key.field.trim_start_matches("now.");
            let text = write.after.as_ref().map_or_else(String::new, Value::to_string);
            match field {
                "a" | "b" | "c" | "d" => {
                    let point = EntryId::parse(&text).map(|entry| self.called(Room::Points, &entry));
                    format!("{field} is {}", point.unwrap_or_else(|| "nothing".to_owned()))
                }
                "instrument" | "stand" | "epoch" => {
                    let room = match field {
                        "instrument" => Room::Instruments,
                        "stand" => Room::Stands,
                        _ => Room::Epochs,
                    };
                    let named = EntryId::parse(&text).map(|entry| self.called(room, &entry));
                    format!("{field} is {}", named.unwrap_or_else(|| "nothing".to_owned()))
                }
                _ if text.is_empty() => format!("{field} is nothing"),
                _ => format!("{field} is {text}"),
            }
        });
        format!(
            "{}, {}",
            self.name_of(Room::Readings),
            told.collect::<Vec<_>>().join(", ")
        )
    }

    fn joined(&self) -> String {
        self.point_in("joined")
            .unwrap_or_else(|| "another point".to_owned())
    }

    fn line(&self) -> String {
        let entry = self
            .entry
            .writes
            .iter()
            .find(|write| write.key.room == Room::Blocked);
        match (self.point_in("a"), self.point_in("b")) {
            (Some(a), Some(b)) => format!("the line from {a} to {b}"),
            _ => entry.map_or_else(
                || "a line".to_owned(),
                |write| {
                    let line = &write.key.entry;
                    let now = self.records.blocked.get(line).cloned();
                    match now.or_else(|| self.line_before(line)) {
                        Some(line) => self.between(&line),
                        None => "a line".to_owned(),
                    }
                },
            ),
        }
    }

    fn between(&self, line: &BlockedRecord) -> String {
        let ends = line.ends.each_ref().map(|end| self.called(Room::Points, end));
        format!("the line from {} to {}", ends[0], ends[1])
    }

    /// A line as it was marked before this change took the mark away.
    fn line_before(&self, line: &EntryId) -> Option<BlockedRecord> {
        let changes = self.job.changes();
        let here = changes.iter().position(|change| *change == self.entry.change)?;
        let before = changes.get(here.checked_sub(1)?)?;
        self.job.as_it_stood(before)?.blocked.remove(line)
    }

    fn with_why(&self, did: &str, what: String, field: &str) -> String {
        match self.after(field).as_str() {
            "" => format!("{did} {what}"),
            why => format!("{did} {what}: {why}"),
        }
    }

    fn import(&self) -> String {
        let began = |room: Room, field: &str| {
            let new =
                self.entry.writes.iter().filter(|write| {
                    write.key.room == room && write.key.field == field && write.before.is_none()
                });
            new.count()
        };
        format!(
            "took in sheets with {}, {}",
            crate::adjust::counted(began(Room::Readings, "kind"), "new reading"),
            crate::adjust::counted(began(Room::Points, "label"), "new point")
        )
    }

    fn choice(&self) -> String {
        match self.entry.writes.first() {
            Some(write) => {
                let value = write.after.as_ref().map_or_else(
                    || "nothing".to_owned(),
                    |value| value_shown(self.records, &write.key, value),
                );
                let field = write.key.field.trim_start_matches("now.");
                format!(
                    "chose {value} for {field} of {}",
                    self.called(write.key.room, &write.key.entry)
                )
            }
            None => "chose".to_owned(),
        }
    }

    /// The entries that were written, each once.
    fn written(&self) -> String {
        const NAMED: usize = 3;
        let mut named: Vec<String> = Vec::new();
        let readings_first = |room: &Room| (*room != Room::Readings, *room);
        let mut entries: Vec<(Room, &EntryId)> = self
            .entry
            .writes
            .iter()
            .map(|write| (write.key.room, &write.key.entry))
            .collect();
        entries.sort_by_key(|(room, entry)| (readings_first(room), *entry));
        entries.dedup();
        for (room, entry) in entries {
            named.push(self.called(room, entry));
        }
        let more = named.len().saturating_sub(NAMED);
        named.truncate(NAMED);
        let list = named.join(", ");
        if more > 0 {
            format!("{list} and {more} more")
        } else {
            list
        }
    }
}
