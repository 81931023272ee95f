//! Edits: what a person can do to a job. Each is one change of the document, with who, when and what.

mod describe;
mod import;
mod mark;
mod picture;
mod read;
mod texts;
mod write;

use survey::Problem;
use thiserror::Error;
use uuid::Uuid;

pub use import::{Imported, SheetsIn};
pub(crate) use read::row_of;
pub use texts::{CorrectionText, InstrumentText, JobText, PhotoText, PointText, ReadingText};
pub(crate) use write::Writing;

use crate::records::{About, CrookedRecord};
use crate::registers::Value;
use crate::schema::{EntryId, Key, Room};

/// Who edits, when, and a fresh number for what the edit may make. The clock and the dice are the caller's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    /// The person, by name.
    pub by: String,
    /// Device time in ms since 1970.
    pub at_ms: i64,
    /// A number that nobody else ever has, such as a random UUID.
    pub fresh: Uuid,
}

/// One thing a person does to a job.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// Says something of the job itself: its name, unit, axes.
    SetJob(JobText),
    /// Takes what is crooked of the shell as it is, in the place of what was taken so before.
    TakeCrooked(CrookedRecord),
    /// Adds a person to the crew.
    AddPerson(String),
    /// Says how the shell stands from now on.
    AddStand(String),
    /// Begins a stage of the work.
    AddEpoch(String),
    /// Gives a person, a stand, an epoch or an instrument another name. Readings keep it.
    Rename {
        /// `People`, `Stands`, `Epochs` or `Instruments`.
        room: Room,
        /// Which.
        entry: EntryId,
        /// The new name.
        name: String,
    },
    /// Describes an instrument, a new one or more of a known one.
    DescribeInstrument {
        /// Its name.
        name: String,
        /// What is said of it.
        text: InstrumentText,
    },
    /// Describes a point, a new one or more of a known one.
    DescribePoint {
        /// Its label.
        label: String,
        /// What is said of it.
        text: PointText,
    },
    /// Adds points, each by its label with what is said of it; those that are there already are described.
    AddPoints(Vec<(String, PointText)>),
    /// Gives a point another label. Readings keep it.
    RenamePoint {
        /// The point.
        point: EntryId,
        /// The new label.
        label: String,
    },
    /// Two points turned out to be one mark: the first one's readings are the second one's from now on.
    JoinPoints {
        /// The point that goes.
        point: EntryId,
        /// The point that stays.
        into: EntryId,
    },
    /// Takes a joined point apart again, readings and all.
    SplitPoint {
        /// The point that was joined.
        point: EntryId,
    },
    /// Marks a line that cannot be taped, by the labels of its ends.
    BlockLine {
        /// From.
        a: String,
        /// To.
        b: String,
        /// What stands in the way.
        why: String,
    },
    /// The line can be taped after all.
    UnblockLine(EntryId),
    /// Logs a reading.
    LogReading(ReadingText),
    /// Takes a reading out of use.
    SetAside {
        /// Which.
        reading: EntryId,
        /// Why.
        why: String,
    },
    /// Keeps a reading in use on purpose, whatever the tests say.
    KeepReading {
        /// Which.
        reading: EntryId,
        /// Why.
        why: String,
    },
    /// Neither set aside nor kept any more.
    BringBack {
        /// Which.
        reading: EntryId,
    },
    /// Corrects what a reading says. What was logged is kept.
    Correct {
        /// Which.
        reading: EntryId,
        /// What is corrected; fields that are `None` stay.
        text: CorrectionText,
        /// Why.
        why: String,
    },
    /// Adds what is known of a photo whose picture is kept already.
    AddPhoto(PhotoText),
    /// Writes under a photo.
    CaptionPhoto {
        /// Which.
        photo: EntryId,
        /// The words; empty takes them away.
        caption: String,
    },
    /// Says what a photo was taken of.
    SetPhotoAbout {
        /// Which.
        photo: EntryId,
        /// A point or a reading, or nothing in particular.
        about: Option<About>,
    },
    /// Takes a photo out, or brings it back. The picture is kept.
    RemovePhoto {
        /// Which.
        photo: EntryId,
        /// Out, or back in.
        removed: bool,
    },
    /// Ties a place on a photo to a point, or notes what is there.
    PinPhoto {
        /// The photo.
        photo: EntryId,
        /// The point, by its label; empty where it is to be tied to one later.
        point: String,
        /// What is there; it may be empty where there is a point.
        note: String,
        /// From the left edge, 0 to 1 of the width.
        x: f64,
        /// From the top edge, 0 to 1 of the height.
        y: f64,
    },
    /// Ties a pin to a point, or to another one.
    TiePin {
        /// Which.
        pin: EntryId,
        /// The point, by its label.
        point: String,
    },
    /// Moves a pin.
    MovePin {
        /// Which.
        pin: EntryId,
        /// From the left edge, 0 to 1 of the width.
        x: f64,
        /// From the top edge, 0 to 1 of the height.
        y: f64,
    },
    /// Takes a pin out, or brings it back.
    RemovePin {
        /// Which.
        pin: EntryId,
        /// Out, or back in.
        removed: bool,
    },
    /// Chooses one of the values that devices disagree about.
    Choose {
        /// The register.
        key: Key,
        /// One of its values.
        value: Value,
    },
}

/// Why an edit was not made. The job is as it was.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum EditError {
    /// What is typed cannot be used; every fault is listed.
    #[error("what is typed cannot be used: {}", list(.0))]
    Unusable(Vec<Problem>),
    /// The entry is not there, or was undone.
    #[error("it is no longer among the {}: it may have been undone since", .room.word())]
    NoSuchEntry {
        /// Where it was looked for.
        room: Room,
        /// What was looked for.
        entry: EntryId,
    },
    /// No point has that label.
    #[error("no point is called `{0}`: check the spelling")]
    NoSuchPoint(String),
    /// Nothing but white space where a name is needed.
    #[error("a name is needed: write one")]
    Nameless,
    /// The name is another's.
    #[error("`{name}` is taken: choose another name")]
    NameTaken {
        /// The name.
        name: String,
    },
    /// The label is another point's.
    #[error(
        "`{label}` is the label of another point: choose another label, or join the two if they are one mark"
    )]
    LabelTaken {
        /// The label.
        label: String,
    },
    /// Two points that were joined before.
    #[error("`{from}` and `{into}` are one mark already: there is nothing to join")]
    OneMarkAlready {
        /// The point that was to go.
        from: String,
        /// The point that was to stay.
        into: String,
    },
    /// A point with itself, or a line from a point to the same.
    #[error("`{0}` stands twice: the two points must differ")]
    SamePoint(String),
    /// It was never joined.
    #[error("`{0}` is not joined with another point")]
    NotJoined(String),
    /// That kind of thing has no name to change.
    #[error("the {} cannot be renamed", .0.word())]
    NoNameToChange(Room),
    /// Nobody disagrees about that register, or the value is none of those in question.
    #[error("there is nothing to choose at `{0}`: it may be settled since")]
    NothingToChoose(Key),
    /// A place outside the picture.
    #[error("the place is outside the picture: choose one on it, from 0 to 1 across and from 0 to 1 down")]
    OutsideThePicture,
    /// A pin of nothing.
    #[error("a pin needs a point or a few words: choose the point, or write what is there")]
    PinOfNothing,
    /// There is nothing of that person's to undo.
    #[error("there is nothing of yours to undo")]
    NothingToUndo,
    /// There is nothing of that person's to do again.
    #[error("there is nothing of yours to do again")]
    NothingToRedo,
    /// Everything that the edit wrote was changed since.
    #[error("it cannot be undone: everything in it was changed since by {}", .by.join(" and "))]
    ChangedSince {
        /// By whom.
        by: Vec<String>,
    },
}

fn list(problems: &[Problem]) -> String {
    let told = problems.iter().map(|problem| match &problem.column {
        Some(column) => format!("{column}: {}", problem.reason),
        None => problem.reason.clone(),
    });
    told.collect::<Vec<_>>().join("; ")
}

impl Edit {
    /// The word under which the edit stands in the history.
    pub fn word(&self) -> &'static str {
        match self {
            Edit::SetJob(_) => "set-job",
            Edit::TakeCrooked(_) => "accept-straight",
            Edit::AddPerson(_) => "add-person",
            Edit::AddStand(_) => "add-stand",
            Edit::AddEpoch(_) => "add-epoch",
            Edit::Rename { .. } => "rename",
            Edit::DescribeInstrument { .. } => "describe-instrument",
            Edit::DescribePoint { .. } => "describe-point",
            Edit::AddPoints(_) => "add-points",
            Edit::RenamePoint { .. } => "rename-point",
            Edit::JoinPoints { .. } => "join-points",
            Edit::SplitPoint { .. } => "split-point",
            Edit::BlockLine { .. } => "block-line",
            Edit::UnblockLine(_) => "unblock-line",
            Edit::LogReading(_) => "log-reading",
            Edit::SetAside { .. } => "set-aside",
            Edit::KeepReading { .. } => "keep-reading",
            Edit::BringBack { .. } => "bring-back",
            Edit::Correct { .. } => "correct",
            Edit::AddPhoto(_) => "add-photo",
            Edit::CaptionPhoto { .. } => "caption-photo",
            Edit::SetPhotoAbout { .. } => "set-photo-about",
            Edit::RemovePhoto { removed: true, .. } => "remove-photo",
            Edit::RemovePhoto { removed: false, .. } => "bring-photo-back",
            Edit::PinPhoto { .. } => "pin-photo",
            Edit::TiePin { .. } => "tie-pin",
            Edit::MovePin { .. } => "move-pin",
            Edit::RemovePin { removed: true, .. } => "remove-pin",
            Edit::RemovePin { removed: false, .. } => "bring-pin-back",
            Edit::Choose { .. } => "choose",
        }
    }
}

impl Writing<'_> {
    /// Turns an edit into registers to be written.
    pub(crate) fn carry_out(&mut self, edit: &Edit) -> Result<(), EditError> {
        match edit {
            Edit::SetJob(text) => self.set_job(text),
            Edit::TakeCrooked(crooked) => {
                self.take_crooked(crooked);
                Ok(())
            }
            Edit::AddPerson(name) => self.named(Room::People, name).map(drop),
            Edit::AddStand(name) => self.named(Room::Stands, name).map(drop),
            Edit::AddEpoch(name) => self.named(Room::Epochs, name).map(drop),
            Edit::Rename { room, entry, name } => self.rename(*room, entry, name),
            Edit::DescribeInstrument { name, text } => self.describe_instrument(name, text),
            Edit::DescribePoint { label, text } => self.describe_point(label, text),
            Edit::AddPoints(points) => self.add_points(points),
            Edit::RenamePoint { point, label } => self.rename_point(point, label),
            Edit::JoinPoints { point, into } => self.join_points(point, into),
            Edit::SplitPoint { point } => self.split_point(point),
            Edit::BlockLine { a, b, why } => self.block_line("", a, b, why),
            Edit::UnblockLine(line) => self.unblock_line(line),
            Edit::LogReading(text) => self.log_reading(text),
            Edit::SetAside { reading, why } => self.set_state(reading, "set aside", why),
            Edit::KeepReading { reading, why } => self.set_state(reading, "kept", why),
            Edit::BringBack { reading } => self.set_state(reading, "", ""),
            Edit::Correct { reading, text, why } => self.correct(reading, text, why),
            Edit::AddPhoto(text) => self.add_photo(text),
            Edit::CaptionPhoto { photo, caption } => self.caption_photo(photo, caption),
            Edit::SetPhotoAbout { photo, about } => self.set_photo_about(photo, about.as_ref()),
            Edit::RemovePhoto { photo, removed } => self.remove_photo(photo, *removed),
            Edit::PinPhoto {
                photo,
                point,
                note,
                x,
                y,
            } => self.pin_photo(photo, point, note, [*x, *y]),
            Edit::TiePin { pin, point } => self.tie_pin(pin, point),
            Edit::MovePin { pin, x, y } => self.move_pin(pin, *x, *y),
            Edit::RemovePin { pin, removed } => self.remove_pin(pin, *removed),
            // Written by the document itself, which alone knows what is in dispute.
            Edit::Choose { .. } => Ok(()),
        }
    }
}
