//! The shell of a job, to be drawn.

use std::collections::{BTreeMap, BTreeSet};

use ledger::{EntryId, Records, Room, Stage};
use survey::{Kind, Survey};

use super::Desk;
use super::solve::stage_name;
use crate::refusal::{Code, Refusal};
use crate::shape::Drawn;
use crate::wire::{LineState, ShapeLine, ShapeShown};

impl Desk {
    /// Everything that a drawing of the shell at one epoch needs, the newest where none is named. A solve that still
    /// holds is used again.
    ///
    /// # Errors
    /// Where there is no such job or epoch. A job of which nothing is determined yet is none.
    pub fn shape(&mut self, job: Option<&str>, epoch: Option<&str>) -> Result<ShapeShown, Refusal> {
        let id = self.choose(job)?;
        let stage = self.stage_called(id, epoch)?;
        let solved = match self.solved_stage(id, stage.clone()) {
            Ok(answer) => Ok(answer),
            Err(refusal) if refusal.code == Code::NothingToSolve => Err(refusal),
            Err(refusal) => return Err(refusal),
        };
        let doubts = self.doubts_of(id, &stage)?.doubts;
        let records = self.job(id)?.records();
        let photos = photos(records);
        let drawn = |survey: &Survey, answer| {
            Drawn {
                survey,
                answer,
                doubts: &doubts,
                photos: &photos,
            }
            .shown()
        };
        let mut shape = match &solved {
            Ok(answer) => drawn(&answer.survey, Some(answer)),
            Err(_) => drawn(&records.survey(&stage).survey, None),
        };
        shape.unsolved = solved.err().map(|refusal| refusal.message);
        shape.epochs = epochs(records);
        shape.epoch = stage_name(records, &stage);
        let unusable = unusable(records, &stage, &shape.lines);
        shape.lines.extend(unusable);
        Ok(shape)
    }
}

/// How many photos show each point, by its label: those of it, and those with a pin on it.
fn photos(records: &Records) -> BTreeMap<String, usize> {
    let there = |photo: &EntryId| records.photos.get(photo).is_some_and(|photo| !photo.removed);
    let of = records.photos.iter().filter_map(|(photo, record)| {
        let about = record.about.as_ref().filter(|about| about.room == Room::Points)?;
        Some((records.mark(&about.entry), photo))
    });
    let pinned = records.pins.values().filter(|pin| !pin.removed);
    let pinned = pinned.filter_map(|pin| Some((records.mark(pin.point.as_ref()?), &pin.photo)));
    let all: BTreeSet<(&EntryId, &EntryId)> = of.chain(pinned).filter(|(_, photo)| there(photo)).collect();
    let labels = records.labels();
    let mut counts = BTreeMap::new();
    for (point, _) in all {
        if let Some(label) = labels.get(point) {
            *counts.entry(label.clone()).or_default() += 1;
        }
    }
    counts
}

/// The epochs that have readings, in the order in which they began.
fn epochs(records: &Records) -> Vec<String> {
    let read: BTreeSet<&Option<EntryId>> = records
        .readings
        .values()
        .map(|reading| &reading.now.epoch)
        .collect();
    let mut named: Vec<_> = records
        .epochs
        .iter()
        .filter(|(id, _)| read.contains(&Some((*id).clone())))
        .collect();
    named.sort_by_key(|(id, record)| (record.made, *id));
    let before = read.contains(&None).then(String::new);
    before
        .into_iter()
        .chain(named.into_iter().map(|(_, record)| record.name.clone()))
        .collect()
}

/// The readings of a stage that could not be used, such as one whose two points were joined.
fn unusable(records: &Records, stage: &Stage, used: &[ShapeLine]) -> Vec<ShapeLine> {
    let used: BTreeSet<&str> = used.iter().map(|line| line.reading.as_str()).collect();
    let names = records.reading_names();
    let labels = records.labels();
    let of_stage = |epoch: &Option<EntryId>| match stage {
        Stage::All => true,
        Stage::Only(only) => epoch == only,
    };
    let mut lines = Vec::new();
    for (id, reading) in records.readings_in_order() {
        let (now, name) = (&reading.now, &names[id]);
        let Some(kind) = Kind::from_word(&now.kind) else {
            continue;
        };
        if used.contains(name.as_str()) || !of_stage(&now.epoch) {
            continue;
        }
        let label = |point: &EntryId| labels.get(records.mark(point)).cloned().unwrap_or_default();
        let stand = now.stand.as_ref().and_then(|stand| records.stands.get(stand));
        let epoch = now.epoch.as_ref().and_then(|epoch| records.epochs.get(epoch));
        let instrument = now.instrument.as_ref().and_then(|it| records.instruments.get(it));
        lines.push(ShapeLine {
            reading: name.clone(),
            kind: kind.word(),
            points: now.points.iter().map(label).collect(),
            by: reading.by.clone(),
            stand: stand.map(|stand| stand.name.clone()).unwrap_or_default(),
            instrument: instrument.map(|it| it.name.clone()).unwrap_or_default(),
            epoch: epoch.map(|epoch| epoch.name.clone()).unwrap_or_default(),
            state: LineState::Unused,
            group: None,
            held_out: false,
            off: None,
            quantity: kind.quantity().into(),
            path: Vec::new(),
        });
    }
    lines
}
