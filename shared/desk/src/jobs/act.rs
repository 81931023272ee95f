//! Acts: the edits of a job in words that people and other programs use, points and readings by their names.

use ledger::{
    CorrectionText, CrookedRecord, Edit, EntryId, InstrumentText, JobId, JobText, Key, PointText, Records,
    Room, Value, named,
};
use serde::{Deserialize, Serialize};

use super::Desk;
use super::called::{
    about_called, frame_called, label_of, not_there, photo_called, point_called, reading_called, unit_called,
};
use super::facts::{Correction, InstrumentFacts, NamedThing, NewPoint, PointFacts, RegisterValue};
use super::solve::newest_stage;
use crate::doubts::Crooked;
use crate::refusal::{Code, Refusal};

/// One thing that a person does to a job.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
#[expect(missing_docs, reason = "fields carry the names that the variants explain")]
pub enum Act {
    /// Says something of the job itself; what is left out stays. The unit is `in` or `mm`, the axes are as in
    /// `three:A,B,C`. `open` leaves the axes open, an empty `above` says of no point that it is.
    SetJob {
        #[cfg_attr(test, ts(optional = nullable))]
        name: Option<String>,
        #[cfg_attr(test, ts(optional = nullable))]
        unit: Option<String>,
        #[cfg_attr(test, ts(optional = nullable))]
        frame: Option<String>,
        #[cfg_attr(test, ts(optional = nullable))]
        above: Option<String>,
    },
    /// Adds a person, a stand or an epoch.
    Add { what: NamedThing, name: String },
    /// Gives a person, a stand, an epoch or an instrument another name.
    Rename {
        what: NamedThing,
        name: String,
        to: String,
    },
    /// Describes an instrument.
    DescribeInstrument {
        name: String,
        #[serde(flatten)]
        facts: InstrumentFacts,
    },
    /// Describes a point.
    DescribePoint {
        point: String,
        #[serde(flatten)]
        facts: PointFacts,
    },
    /// Adds points, all in one change: those of a starting list that was pruned, say.
    AddPoints { points: Vec<NewPoint> },
    /// Gives a point another label.
    RenamePoint { point: String, to: String },
    /// Makes two points one mark: the first goes into the second.
    JoinPoints { point: String, into: String },
    /// Takes a joined point apart again.
    SplitPoint { point: String },
    /// Marks a line that cannot be taped.
    BlockLine {
        a: String,
        b: String,
        #[serde(default)]
        #[cfg_attr(test, ts(as = "Option<_>", optional))]
        why: String,
    },
    /// The line can be taped after all.
    UnblockLine { a: String, b: String },
    /// Takes a reading out of use.
    SetAside { reading: String, why: String },
    /// Keeps a reading on purpose.
    KeepReading { reading: String, why: String },
    /// Neither set aside nor kept.
    BringBack { reading: String },
    /// Corrects a reading.
    CorrectReading {
        reading: String,
        why: String,
        #[serde(flatten)]
        correction: Correction,
    },
    /// Writes under a photo.
    CaptionPhoto { photo: String, caption: String },
    /// Says of which point or reading a photo is.
    SetPhotoAbout {
        photo: String,
        #[cfg_attr(test, ts(optional = nullable))]
        point: Option<String>,
        #[cfg_attr(test, ts(optional = nullable))]
        reading: Option<String>,
    },
    /// Takes a photo out.
    RemovePhoto { photo: String },
    /// Brings a photo back.
    BringPhotoBack { photo: String },
    /// Ties a place on a photo to a point; x and y from the left and the top, 0 to 1. Without a point, the note says
    /// what is there until it is tied to one.
    PinPhoto {
        photo: String,
        #[serde(default)]
        #[cfg_attr(test, ts(as = "Option<_>", optional))]
        point: String,
        #[serde(default)]
        #[cfg_attr(test, ts(as = "Option<_>", optional))]
        note: String,
        x: f64,
        y: f64,
    },
    /// Ties a pin to a point. A label that nobody used makes one.
    TiePin { pin: String, point: String },
    /// Moves a pin.
    MovePin { pin: String, x: f64, y: f64 },
    /// Takes a pin out.
    RemovePin { pin: String },
    /// Brings a pin back.
    BringPinBack { pin: String },
    /// Takes what comes out crooked of the shell now as it is: a rack, a twist, mirror pairs that are not alike. What
    /// comes out crooked besides later is a doubt again.
    AcceptStraight { why: String },
    /// Chooses one of the values that devices disagree about.
    Choose { register: String, value: RegisterValue },
}

/// What an act did.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Acted {
    /// The change that it became; nothing where all was so already.
    pub change: Option<String>,
    /// In words, as it stands in the history.
    pub words: String,
}

impl Desk {
    /// Does something to a job: one change of it, kept.
    ///
    /// # Errors
    /// Where it cannot be done; nothing is changed.
    pub fn act(&mut self, job: Option<&str>, act: &Act, by: Option<&str>) -> Result<Acted, Refusal> {
        let id = self.choose(job)?;
        let stamp = self.stamp(by)?;
        let crooked = match act {
            Act::AcceptStraight { .. } => self.crooked(id)?,
            _ => CrookedRecord::default(),
        };
        let edit = edit_of(act, self.job(id)?.records(), crooked)?;
        let applied = self.change(id, |job| job.apply(&edit, &stamp))?;
        let job = self.job(id)?;
        let entry = applied.change.and_then(|change| job.entry(&change));
        Ok(Acted {
            words: entry.map_or_else(
                || "it is so already".to_owned(),
                |entry| super::history::words(&entry, job),
            ),
            change: applied.change.map(|change| change.to_string()),
        })
    }
}

impl Desk {
    /// What comes out crooked of the shell now, by its entries.
    fn crooked(&mut self, id: JobId) -> Result<CrookedRecord, Refusal> {
        let stage = newest_stage(self.job(id)?.records());
        let crooked = Crooked::of(&*self.solved_stage(id, stage)?);
        let records = self.job(id)?.records();
        let mut pairs = Vec::new();
        for [left, right] in &crooked.pairs {
            pairs.push([point_called(records, left)?, point_called(records, right)?]);
        }
        let taken = CrookedRecord {
            racked: crooked.racked,
            twisted: crooked.twisted,
            pairs,
            why: String::new(),
        };
        if taken.is_empty() {
            return Err(Refusal::new(
                Code::NothingToDo,
                "nothing of the shell comes out crooked now: there is nothing to take as it is",
            ));
        }
        Ok(taken)
    }
}

/// The edit that an act is; `crooked` is what comes out crooked, for the act that takes it as it is.
fn edit_of(act: &Act, records: &Records, crooked: CrookedRecord) -> Result<Edit, Refusal> {
    let point = |label: &String| point_called(records, label);
    let reading = |name: &String| reading_called(records, name);
    let photo = |id: &String| photo_called(records, id);
    let pin = |id: &String| {
        let known = EntryId::parse(id).filter(|id| records.pins.contains_key(id));
        known.ok_or_else(|| not_there("pin", id))
    };
    Ok(match act {
        Act::SetJob {
            name,
            unit,
            frame,
            above,
        } => Edit::SetJob(JobText {
            name: name.clone(),
            unit: unit.as_deref().map(unit_called).transpose()?,
            frame: match frame.as_deref().map(str::trim) {
                None => None,
                Some("" | "open") => Some(None),
                Some(typed) => Some(Some(frame_called(typed)?)),
            },
            above: above
                .as_deref()
                .map(|label| Some(label.trim().to_owned()).filter(|label| !label.is_empty())),
        }),
        Act::Add { what, name } => match what {
            NamedThing::Person => Edit::AddPerson(name.clone()),
            NamedThing::Stand => Edit::AddStand(name.clone()),
            NamedThing::Epoch => Edit::AddEpoch(name.clone()),
            NamedThing::Instrument => {
                return Err(Refusal::new(
                    Code::BadRequest,
                    "an instrument is described, with its kind",
                ));
            }
        },
        Act::Rename { what, name, to } => {
            let (room, word, entry) = match what {
                NamedThing::Person => (Room::People, "person", named(&records.people, name).cloned()),
                NamedThing::Stand => (Room::Stands, "stand", named(&records.stands, name).cloned()),
                NamedThing::Epoch => (Room::Epochs, "epoch", named(&records.epochs, name).cloned()),
                NamedThing::Instrument => {
                    let known = records
                        .instruments
                        .iter()
                        .find(|(_, record)| record.name == name.trim());
                    (Room::Instruments, "instrument", known.map(|(id, _)| id.clone()))
                }
            };
            let entry = entry.ok_or_else(|| not_there(word, name))?;
            Edit::Rename {
                room,
                entry,
                name: to.clone(),
            }
        }
        Act::DescribeInstrument { name, facts } => Edit::DescribeInstrument {
            name: name.clone(),
            text: InstrumentText {
                kind: facts.kind.clone(),
                class: facts.class.clone(),
                graduation: facts.graduation.clone(),
                zero_offset: facts.zero_offset.clone(),
                case_length: facts.case_length.clone(),
                point_sd: facts.point_sd.clone(),
                sd: facts.sd.clone(),
                note: facts.note.clone(),
            },
        },
        Act::DescribePoint { point, facts } => Edit::DescribePoint {
            label: point.clone(),
            text: PointText {
                side: facts.side.clone(),
                mirror: facts.mirror.clone(),
                rough: [facts.x.clone(), facts.y.clone(), facts.z.clone()],
                fixed: facts.fixed.clone(),
                note: facts.note.clone(),
            },
        },
        Act::AddPoints { points } => Edit::AddPoints(points.iter().map(NewPoint::text).collect()),
        Act::RenamePoint { point: label, to } => Edit::RenamePoint {
            point: point(label)?,
            label: to.clone(),
        },
        Act::JoinPoints { point: from, into } => Edit::JoinPoints {
            point: point(from)?,
            into: point(into)?,
        },
        Act::SplitPoint { point: label } => Edit::SplitPoint { point: point(label)? },
        Act::BlockLine { a, b, why } => Edit::BlockLine {
            a: a.clone(),
            b: b.clone(),
            why: why.clone(),
        },
        Act::UnblockLine { a, b } => {
            let (a, b) = (point(a)?, point(b)?);
            let wanted = [records.mark(&a), records.mark(&b)];
            let line = records.blocked.iter().find(|(_, line)| {
                let ends = line.ends.each_ref().map(|end| records.mark(end));
                ends == wanted || ends == [wanted[1], wanted[0]]
            });
            let missing = || {
                let (a, b) = (label_of(records, &a), label_of(records, &b));
                Refusal::new(
                    Code::NotThere,
                    format!("the line from {a} to {b} is not marked as one that cannot be taped"),
                )
            };
            Edit::UnblockLine(line.map(|(id, _)| id.clone()).ok_or_else(missing)?)
        }
        Act::SetAside { reading: name, why } => Edit::SetAside {
            reading: reading(name)?,
            why: why.clone(),
        },
        Act::KeepReading { reading: name, why } => Edit::KeepReading {
            reading: reading(name)?,
            why: why.clone(),
        },
        Act::BringBack { reading: name } => Edit::BringBack {
            reading: reading(name)?,
        },
        Act::CorrectReading {
            reading: name,
            why,
            correction,
        } => Edit::Correct {
            reading: reading(name)?,
            why: why.clone(),
            text: CorrectionText {
                kind: correction.kind.clone(),
                points: correction.points.clone(),
                value: correction.value.clone(),
                sd: correction.sd.clone(),
                instrument: correction.instrument.clone(),
                from: correction.from.clone(),
                add: correction.add.clone(),
                stand: correction.stand.clone(),
                epoch: correction.epoch.clone(),
                note: correction.note.clone(),
            },
        },
        Act::CaptionPhoto { photo: id, caption } => Edit::CaptionPhoto {
            photo: photo(id)?,
            caption: caption.clone(),
        },
        Act::SetPhotoAbout {
            photo: id,
            point,
            reading,
        } => {
            let about = about_called(records, point.as_deref(), reading.as_deref())?;
            Edit::SetPhotoAbout {
                photo: photo(id)?,
                about,
            }
        }
        Act::RemovePhoto { photo: id } => Edit::RemovePhoto {
            photo: photo(id)?,
            removed: true,
        },
        Act::BringPhotoBack { photo: id } => Edit::RemovePhoto {
            photo: photo(id)?,
            removed: false,
        },
        Act::PinPhoto {
            photo: id,
            point,
            note,
            x,
            y,
        } => Edit::PinPhoto {
            photo: photo(id)?,
            point: point.clone(),
            note: note.clone(),
            x: *x,
            y: *y,
        },
        Act::TiePin { pin: id, point } => Edit::TiePin {
            pin: pin(id)?,
            point: point.clone(),
        },
        Act::MovePin { pin: id, x, y } => Edit::MovePin {
            pin: pin(id)?,
            x: *x,
            y: *y,
        },
        Act::RemovePin { pin: id } => Edit::RemovePin {
            pin: pin(id)?,
            removed: true,
        },
        Act::BringPinBack { pin: id } => Edit::RemovePin {
            pin: pin(id)?,
            removed: false,
        },
        Act::AcceptStraight { why } => Edit::TakeCrooked(CrookedRecord {
            why: why.trim().to_owned(),
            ..crooked
        }),
        Act::Choose { register, value } => {
            let missing = || {
                Refusal::new(
                    Code::NothingToDo,
                    format!(
                        "devices disagree about nothing called `{register}`: write it as the job shows it"
                    ),
                )
            };
            Edit::Choose {
                key: Key::parse(register).ok_or_else(missing)?,
                value: match value {
                    RegisterValue::Whole(whole) => Value::Whole(*whole),
                    RegisterValue::Number(number) => Value::Number(*number),
                    RegisterValue::Text(text) => Value::Text(text.clone()),
                },
            }
        }
    })
}
