//! Two invented people with a tablet each, for tests: a stamp has the next second and the next number.

use ledger::{Applied, Edit, EditError, EntryId, Job, JobId, JobText, ReadingText, Room, Stamp};
use survey::LengthUnit;
use uuid::Uuid;

pub(crate) const START_MS: i64 = 1_780_000_000_000;

/// A tablet: its copy of the job, its clock and its numbers.
pub(crate) struct Tablet {
    pub(crate) job: Job,
    pub(crate) by: &'static str,
    device: u128,
    now: i64,
}

impl Tablet {
    pub(crate) fn first() -> Tablet {
        let stamp = Stamp {
            by: "Ana".into(),
            at_ms: START_MS,
            fresh: Uuid::from_u128(7),
        };
        Tablet {
            job: Job::new(JobId(Uuid::from_u128(0x10b)), "Shell", Uuid::from_u128(1), &stamp),
            by: "Ana",
            device: 1,
            now: START_MS,
        }
    }

    /// A second tablet with a copy of the job.
    pub(crate) fn copy(&self, by: &'static str, device: u128) -> Tablet {
        Tablet {
            job: Job::open_foreign(&self.job.save(), Uuid::from_u128(device)).unwrap(),
            by,
            device,
            now: self.now,
        }
    }

    pub(crate) fn stamp(&mut self) -> Stamp {
        self.now += 1000;
        let fresh = Uuid::from_u128((self.device << 64) | u128::try_from(self.now).unwrap());
        Stamp {
            by: self.by.into(),
            at_ms: self.now,
            fresh,
        }
    }

    pub(crate) fn tries(&mut self, edit: Edit) -> Result<Applied, EditError> {
        let stamp = self.stamp();
        self.job.apply(&edit, &stamp)
    }

    pub(crate) fn does(&mut self, edit: Edit) -> Applied {
        self.tries(edit).unwrap_or_else(|error| panic!("{error}"))
    }

    pub(crate) fn tape(&mut self, a: &str, b: &str, value: &str) -> EntryId {
        let applied = self.does(Edit::LogReading(tape(a, b, value)));
        one_of(&applied, Room::Readings)
    }

    pub(crate) fn point(&self, label: &str) -> EntryId {
        let label = survey::Label::new(label).unwrap();
        self.job.records().point_labelled(&label).unwrap().clone()
    }

    /// Both tablets learn what the other has.
    pub(crate) fn meet(&mut self, other: &mut Tablet) {
        self.job.merge(&other.job.save()).unwrap();
        other.job.merge(&self.job.save()).unwrap();
        assert_eq!(self.job.heads(), other.job.heads());
        assert_eq!(self.job.records(), other.job.records());
    }
}

pub(crate) fn tape(a: &str, b: &str, value: &str) -> ReadingText {
    ReadingText {
        kind: "tape".into(),
        points: vec![a.into(), b.into()],
        value: value.into(),
        ..ReadingText::default()
    }
}

pub(crate) fn one_of(applied: &Applied, room: Room) -> EntryId {
    let mut found = applied.entries.iter().filter(|(in_room, _)| *in_room == room);
    found.next().unwrap().1.clone()
}

/// The job gets another name.
pub(crate) fn name_job(name: &str) -> Edit {
    Edit::SetJob(JobText {
        name: Some(name.into()),
        ..JobText::default()
    })
}

/// Bare numbers are in that unit from now on.
pub(crate) fn set_unit(unit: LengthUnit) -> Edit {
    Edit::SetJob(JobText {
        unit: Some(unit),
        ..JobText::default()
    })
}
