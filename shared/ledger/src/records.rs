//! Records: what a job's document says, as typed entries.

mod photo;
mod plain;
mod point;
mod reading;

use std::collections::{BTreeMap, BTreeSet};

use automerge::{Automerge, ChangeHash};
use survey::Label;

pub use photo::{About, PhotoRecord, PinRecord};
pub(crate) use plain::word_of_unit;
pub use plain::{
    AxesKind, BlockedRecord, CrookedRecord, FrameRecord, InstrumentRecord, JobRecord, NamedRecord,
};
pub use point::PointRecord;
pub use reading::{ReadingRecord, Typed};

use crate::registers::{Fields, each_entry, one_entry};
use crate::schema::{EntryId, GONE, Room};

/// When something was made on its device, for the order in which people see it. The same on every copy of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Made {
    /// Device time in ms since 1970.
    pub ms: i64,
    /// The row of the sheet it came with; 0 where it was typed.
    pub row: i64,
}

impl Made {
    fn read(fields: &Fields) -> Made {
        Made {
            ms: fields.whole("made").unwrap_or_default(),
            row: fields.whole("row").unwrap_or_default(),
        }
    }
}

/// Everything that a job's document says, at one moment. Entries that were undone are not among them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Records {
    /// The job itself.
    pub job: JobRecord,
    /// The crew.
    pub people: BTreeMap<EntryId, NamedRecord>,
    /// The stands.
    pub stands: BTreeMap<EntryId, NamedRecord>,
    /// The epochs.
    pub epochs: BTreeMap<EntryId, NamedRecord>,
    /// The instruments.
    pub instruments: BTreeMap<EntryId, InstrumentRecord>,
    /// The points, joined ones too.
    pub points: BTreeMap<EntryId, PointRecord>,
    /// The readings, those set aside too.
    pub readings: BTreeMap<EntryId, ReadingRecord>,
    /// Lines that cannot be taped.
    pub blocked: BTreeMap<EntryId, BlockedRecord>,
    /// The photos, removed ones too.
    pub photos: BTreeMap<EntryId, PhotoRecord>,
    /// The pins, removed ones too.
    pub pins: BTreeMap<EntryId, PinRecord>,
    /// Points that were undone. They are points all the same where a reading or a pin names them.
    undone_points: BTreeMap<EntryId, PointRecord>,
}

impl Records {
    /// What a document says, now or as it stood at some heads.
    pub(crate) fn read(document: &Automerge, at: Option<&[ChangeHash]>) -> Records {
        let mut records = Records::default();
        each_entry(document, at, |room, entry, fields| {
            records.take(room, entry, &fields)
        });
        records
    }

    /// Reads one entry again, after it was written.
    pub(crate) fn refresh(&mut self, document: &Automerge, room: Room, entry: &EntryId) {
        match room {
            Room::Job => {}
            Room::People => drop(self.people.remove(entry)),
            Room::Stands => drop(self.stands.remove(entry)),
            Room::Epochs => drop(self.epochs.remove(entry)),
            Room::Instruments => drop(self.instruments.remove(entry)),
            Room::Points => drop((self.points.remove(entry), self.undone_points.remove(entry))),
            Room::Readings => drop(self.readings.remove(entry)),
            Room::Blocked => drop(self.blocked.remove(entry)),
            Room::Photos => drop(self.photos.remove(entry)),
            Room::Pins => drop(self.pins.remove(entry)),
        }
        self.take(room, entry.clone(), &one_entry(document, room, entry));
    }

    fn take(&mut self, room: Room, entry: EntryId, fields: &Fields) {
        let gone = fields.has(GONE);
        match room {
            Room::Job => self.job = JobRecord::read(fields),
            Room::Points => {
                let points = if gone {
                    &mut self.undone_points
                } else {
                    &mut self.points
                };
                points.extend(PointRecord::read(fields).map(|record| (entry, record)));
            }
            _ if gone => {}
            Room::People => self
                .people
                .extend(NamedRecord::read(fields).map(|record| (entry, record))),
            Room::Stands => self
                .stands
                .extend(NamedRecord::read(fields).map(|record| (entry, record))),
            Room::Epochs => self
                .epochs
                .extend(NamedRecord::read(fields).map(|record| (entry, record))),
            Room::Instruments => {
                self.instruments
                    .extend(InstrumentRecord::read(fields).map(|record| (entry, record)));
            }
            Room::Readings => self
                .readings
                .extend(ReadingRecord::read(fields).map(|record| (entry, record))),
            Room::Blocked => self
                .blocked
                .extend(BlockedRecord::read(fields).map(|record| (entry, record))),
            Room::Photos => self
                .photos
                .extend(PhotoRecord::read(fields).map(|record| (entry, record))),
            Room::Pins => self
                .pins
                .extend(PinRecord::read(fields).map(|record| (entry, record))),
        }
    }

    /// The point that a point is one mark with, after every joining; itself where it was not joined.
    ///
    /// Two tablets may join two points each into the other. The one whose id comes first then stands for both.
    pub fn mark<'a>(&'a self, point: &'a EntryId) -> &'a EntryId {
        let mut way = vec![point];
        loop {
            let here = way[way.len() - 1];
            let Some(next) = self
                .point_even_undone(here)
                .and_then(|record| record.joined.as_ref())
            else {
                return here;
            };
            match way.iter().position(|seen| *seen == next) {
                Some(start) => return way[start..].iter().min().copied().unwrap_or(here),
                None if self.point_even_undone(next).is_some() => way.push(next),
                None => return here,
            }
        }
    }

    fn point_even_undone(&self, point: &EntryId) -> Option<&PointRecord> {
        self.points.get(point).or_else(|| self.undone_points.get(point))
    }

    /// The points in the order in which they were made, each mark once: joined points are left out, and so are those
    /// that were undone, unless a reading, a line or a pin still names them.
    pub fn marks(&self) -> Vec<(&EntryId, &PointRecord)> {
        let named: BTreeSet<&EntryId> = if self.undone_points.is_empty() {
            BTreeSet::new()
        } else {
            let readings = self.readings.values().flat_map(|reading| &reading.now.points);
            let lines = self.blocked.values().flat_map(|line| &line.ends);
            let pins = self.pins.values().filter_map(|pin| pin.point.as_ref());
            readings
                .chain(lines)
                .chain(pins)
                .map(|point| self.mark(point))
                .collect()
        };
        let undone = self.undone_points.iter().filter(|(id, _)| named.contains(id));
        let mut marks: Vec<_> = self
            .points
            .iter()
            .chain(undone)
            .filter(|(id, _)| self.mark(id) == *id)
            .collect();
        marks.sort_by_key(|(id, record)| (record.made, *id));
        marks
    }

    /// The record of a point, undone or not.
    pub fn point(&self, mark: &EntryId) -> Option<&PointRecord> {
        self.point_even_undone(mark)
    }

    /// The point of that label, joined and undone ones too; the first made where several share it, and the others by
    /// the label with a number that people see of them.
    pub fn point_labelled(&self, label: &Label) -> Option<&EntryId> {
        let all = self.points.iter().chain(&self.undone_points);
        let own = all
            .filter(|(_, record)| record.label == *label)
            .min_by_key(|(id, record)| (!self.points.contains_key(*id), record.made, *id))
            .map(|(id, _)| id);
        let numbered = || {
            let shown = self
                .labels()
                .into_iter()
                .find(|(_, shown)| shown == label.as_str())?
                .0;
            let known = self.points.get_key_value(&shown);
            known
                .or_else(|| self.undone_points.get_key_value(&shown))
                .map(|(id, _)| id)
        };
        own.or_else(|| label.as_str().ends_with(')').then(numbered).flatten())
    }

    /// The readings in the order in which they were logged.
    pub fn readings_in_order(&self) -> Vec<(&EntryId, &ReadingRecord)> {
        let mut readings: Vec<_> = self.readings.iter().collect();
        readings.sort_by_key(|(id, record)| (record.made, *id));
        readings
    }
}

/// The entry of that name among some, where there is one; the first made where several share it.
pub fn named<'a>(entries: &'a BTreeMap<EntryId, NamedRecord>, name: &str) -> Option<&'a EntryId> {
    entries
        .iter()
        .filter(|(_, record)| record.name == name)
        .min_by_key(|(id, record)| (record.made, *id))
        .map(|(id, _)| id)
}
