//! An edit on its way into registers: what is looked up, what is made, what is written.

use std::collections::BTreeMap;

use survey::Label;

use super::{EditError, Stamp};
use crate::records::{NamedRecord, Records};
use crate::registers::{Put, Value};
use crate::schema::{EntryId, GONE, Key, Room};

/// The registers that one edit writes, gathered before any is written: an edit is made whole or not at all.
pub(crate) struct Writing<'a> {
    pub(super) records: &'a Records,
    pub(super) stamp: &'a Stamp,
    pub(super) puts: Vec<Put>,
    /// What this edit itself makes, by what people call it.
    made: BTreeMap<(Room, String), EntryId>,
    /// The row of the sheet that is being imported.
    pub(super) row: i64,
}

impl<'a> Writing<'a> {
    pub(crate) fn new(records: &'a Records, stamp: &'a Stamp) -> Writing<'a> {
        Writing {
            records,
            stamp,
            puts: Vec::new(),
            made: BTreeMap::new(),
            row: 0,
        }
    }

    pub(crate) fn into_puts(self) -> Vec<Put> {
        self.puts
    }

    pub(super) fn put(&mut self, room: Room, entry: &EntryId, field: &str, value: impl Into<Value>) {
        let (key, value) = (Key::new(room, entry, field), Some(value.into()));
        self.puts.push(Put { key, value });
    }

    pub(super) fn empty(&mut self, room: Room, entry: &EntryId, field: &str) {
        let key = Key::new(room, entry, field);
        self.puts.push(Put { key, value: None });
    }

    /// Writes text, or empties the register where there is none.
    pub(super) fn text(&mut self, room: Room, entry: &EntryId, field: &str, text: &str) {
        match text.trim() {
            "" => self.empty(room, entry, field),
            text => self.put(room, entry, field, text),
        }
    }

    /// Writes text where there is some, and leaves the register alone where there is none.
    pub(super) fn some_text(&mut self, room: Room, entry: &EntryId, field: &str, text: &str) {
        if !text.trim().is_empty() {
            self.put(room, entry, field, text.trim());
        }
    }

    /// Says that an entry is there, and since when; one that was undone is there again.
    pub(super) fn begin(&mut self, room: Room, entry: &EntryId) {
        self.put(room, entry, "made", Value::Whole(self.stamp.at_ms));
        if self.row > 0 {
            self.put(room, entry, "row", Value::Whole(self.row));
        }
        self.empty(room, entry, GONE);
    }

    /// The point of that label, made where nobody used the label yet.
    pub(super) fn point(&mut self, label: &str) -> Result<EntryId, EditError> {
        let label = Label::new(label).ok_or(EditError::Nameless)?;
        if let Some(made) = self.made.get(&(Room::Points, label.as_str().to_owned())) {
            return Ok(made.clone());
        }
        if let Some(known) = self.records.point_labelled(&label) {
            if !self.records.points.contains_key(known) {
                self.empty(Room::Points, known, GONE);
            }
            return Ok(known.clone());
        }
        let taken = |id: &EntryId| self.records.point(id).is_some();
        let id = free(Room::Points, label.as_str(), taken);
        self.begin(Room::Points, &id);
        self.put(Room::Points, &id, "label", label.as_str());
        self.made
            .insert((Room::Points, label.as_str().to_owned()), id.clone());
        Ok(id)
    }

    /// The point of that label, which must be there.
    pub(super) fn known_point(&self, label: &str) -> Result<EntryId, EditError> {
        let known = Label::new(label).and_then(|label| {
            let made = self.made.get(&(Room::Points, label.as_str().to_owned()));
            made.or_else(|| self.records.point_labelled(&label)).cloned()
        });
        known.ok_or_else(|| EditError::NoSuchPoint(label.to_owned()))
    }

    /// The person, stand or epoch of that name, made where there is none.
    pub(super) fn named(&mut self, room: Room, name: &str) -> Result<EntryId, EditError> {
        let name = Label::new(name).ok_or(EditError::Nameless)?;
        if let Some(made) = self.made.get(&(room, name.as_str().to_owned())) {
            return Ok(made.clone());
        }
        let known = self.names(room);
        if let Some(known) = crate::records::named(known, name.as_str()) {
            return Ok(known.clone());
        }
        let id = free(room, name.as_str(), |id| known.contains_key(id));
        self.begin(room, &id);
        self.put(room, &id, "name", name.as_str());
        self.made.insert((room, name.as_str().to_owned()), id.clone());
        Ok(id)
    }

    pub(super) fn names(&self, room: Room) -> &'a BTreeMap<EntryId, NamedRecord> {
        match room {
            Room::People => &self.records.people,
            Room::Epochs => &self.records.epochs,
            _ => &self.records.stands,
        }
    }

    /// The instrument of that name, where it is known.
    pub(super) fn instrument(&self, name: &str) -> Option<EntryId> {
        let name = Label::new(name)?;
        let known = self
            .records
            .instruments
            .iter()
            .filter(|(_, record)| record.name == name.as_str());
        let known = known
            .min_by_key(|(id, record)| (record.made, *id))
            .map(|(id, _)| id);
        known
            .or_else(|| self.made.get(&(Room::Instruments, name.as_str().to_owned())))
            .cloned()
    }

    /// The instrument of that name, begun where there is none.
    pub(super) fn instrument_or_new(&mut self, name: &str) -> Result<EntryId, EditError> {
        if let Some(known) = self.instrument(name) {
            return Ok(known);
        }
        let name = Label::new(name).ok_or(EditError::Nameless)?;
        let id = free(Room::Instruments, name.as_str(), |id| {
            self.records.instruments.contains_key(id)
        });
        self.begin(Room::Instruments, &id);
        self.put(Room::Instruments, &id, "name", name.as_str());
        self.made
            .insert((Room::Instruments, name.as_str().to_owned()), id.clone());
        Ok(id)
    }
}

/// The first entry derived from those words that is nobody else's by now: who renamed a point freed its label, not its
/// entry.
pub(super) fn free(room: Room, words: &str, taken: impl Fn(&EntryId) -> bool) -> EntryId {
    let mut count = 1;
    loop {
        let id = EntryId::derived(room, words, count);
        if !taken(&id) {
            return id;
        }
        count += 1;
    }
}

impl From<String> for Value {
    fn from(text: String) -> Value {
        Value::Text(text)
    }
}
