//! A change and the job around it: what its writes are called by people.

use ledger::{BlockedRecord, Entry, EntryId, Job, Records, Room, Value};

use super::pictures;
use crate::jobs::show::{field_word, value_shown};

/// A change with the job that it is a change of.
pub(super) struct About<'a> {
    pub(super) entry: &'a Entry,
    pub(super) records: &'a Records,
    job: &'a Job,
}

impl<'a> About<'a> {
    pub(super) fn of(entry: &'a Entry, job: &'a Job) -> About<'a> {
        About {
            entry,
            records: job.records(),
            job,
        }
    }

    pub(super) fn after(&self, field: &str) -> String {
        let write = self.entry.writes.iter().find(|write| write.key.field == field);
        write
            .and_then(|write| write.after.as_ref())
            .map_or_else(String::new, Value::to_string)
    }

    /// What it said of the job itself, each setting in words.
    pub(super) fn settings(&self) -> String {
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

    /// The job as it stood after this change.
    pub(super) fn stood(&self) -> Option<Records> {
        self.job.as_it_stood(&self.entry.change)
    }

    /// What it wrote into a setting of the job, for people; nothing where it was emptied.
    pub(super) fn shown(&self, field: &str) -> Option<String> {
        let key = |key: &ledger::Key| key.room == Room::Job && key.field == field;
        let write = self.entry.writes.iter().find(|write| key(&write.key))?;
        let value = write.after.as_ref()?;
        Some(value_shown(self.records, &write.key, value)).filter(|text| !text.is_empty())
    }

    /// The point that was described. Its mirror partner may have been made by the same change, and has a label only.
    pub(super) fn described(&self) -> String {
        let says_more = |key: &ledger::Key| key.room == Room::Points && key.field != "label";
        let write = self.entry.writes.iter().find(|write| says_more(&write.key));
        write.map_or_else(
            || self.name_of(Room::Points),
            |write| self.called(Room::Points, &write.key.entry),
        )
    }

    /// What of the shell was taken as it is.
    pub(super) fn crooked(&self) -> String {
        let what = self.shown("crooked").unwrap_or_else(|| "nothing".to_owned());
        self.with_why("took the shell as it is", format!("({what})"), "crooked_why")
    }

    /// The points that were added, the first few by name.
    pub(super) fn added_points(&self) -> String {
        const NAMED: usize = 3;
        let labelled = |write: &&ledger::Write| write.key.room == Room::Points && write.key.field == "label";
        let mut added: Vec<(usize, String)> = Vec::new();
        let order = self.records.marks();
        for write in self.entry.writes.iter().filter(labelled) {
            let place = order.iter().position(|(id, _)| **id == write.key.entry);
            added.push((
                place.unwrap_or(order.len()),
                self.called(Room::Points, &write.key.entry),
            ));
        }
        added.sort();
        let count = crate::adjust::counted(added.len(), "point");
        let mut named: Vec<String> = added.into_iter().map(|(_, label)| label).collect();
        if named.is_empty() {
            return "described points".to_owned();
        }
        let more = named.len().saturating_sub(NAMED);
        named.truncate(NAMED);
        let list = named.join(", ");
        match more {
            0 => format!("added {count}: {list}"),
            more => format!("added {count}: {list} and {more} more"),
        }
    }

    /// What it wrote of a reading: a change that logs one may make points, instruments and a person besides.
    pub(super) fn of_reading(&self, field: &str) -> String {
        let key = |key: &ledger::Key| key.room == Room::Readings && key.field == field;
        let write = self.entry.writes.iter().find(|write| key(&write.key));
        write
            .and_then(|write| write.after.as_ref())
            .map_or_else(String::new, Value::to_string)
    }

    pub(super) fn before(&self, field: &str) -> String {
        let write = self.entry.writes.iter().find(|write| write.key.field == field);
        write
            .and_then(|write| write.before.as_ref())
            .map_or_else(String::new, Value::to_string)
    }

    pub(super) fn name_of(&self, room: Room) -> String {
        let entry = self
            .entry
            .writes
            .iter()
            .find(|write| write.key.room == room)
            .map(|write| &write.key.entry);
        entry.map_or_else(|| "?".to_owned(), |entry| self.called(room, entry))
    }

    /// What an entry is called now; where it was undone, what this change called it.
    pub(super) fn called(&self, room: Room, entry: &EntryId) -> String {
        let records = self.records;
        let now = match room {
            Room::Points => records.point(entry).map(|record| record.label.to_string()),
            Room::Readings => records.reading_name(entry),
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

    pub(super) fn point_in(&self, field: &str) -> Option<String> {
        let entry = EntryId::parse(&self.after(field))?;
        Some(self.called(Room::Points, &entry))
    }

    pub(super) fn reading(&self) -> String {
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

    pub(super) fn correction(&self) -> String {
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

    pub(super) fn joined(&self) -> String {
        self.point_in("joined")
            .unwrap_or_else(|| "another point".to_owned())
    }

    pub(super) fn line(&self) -> String {
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

    pub(super) fn between(&self, line: &BlockedRecord) -> String {
        let ends = line.ends.each_ref().map(|end| self.called(Room::Points, end));
        format!("the line from {} to {}", ends[0], ends[1])
    }

    /// A line as it was marked before this change took the mark away.
    pub(super) fn line_before(&self, line: &EntryId) -> Option<BlockedRecord> {
        let changes = self.job.changes();
        let here = changes.iter().position(|change| *change == self.entry.change)?;
        let before = changes.get(here.checked_sub(1)?)?;
        self.job.as_it_stood(before)?.blocked.remove(line)
    }

    pub(super) fn with_why(&self, did: &str, what: String, field: &str) -> String {
        match self.after(field).as_str() {
            "" => format!("{did} {what}"),
            why => format!("{did} {what}: {why}"),
        }
    }

    pub(super) fn import(&self) -> String {
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

    pub(super) fn choice(&self) -> String {
        match self.entry.writes.first() {
            Some(write) => {
                let value = write.after.as_ref().map_or_else(
                    || "nothing".to_owned(),
                    |value| value_shown(self.records, &write.key, value),
                );
                let field = field_word(&write.key.field);
                format!(
                    "chose {value} for {field} of {}",
                    self.called(write.key.room, &write.key.entry)
                )
            }
            None => "chose".to_owned(),
        }
    }

    /// The entries that were written, each once.
    pub(super) fn written(&self) -> String {
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
