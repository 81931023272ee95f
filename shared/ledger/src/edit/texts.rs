//! What people type, as edits carry it.

use survey::{Frame, LengthUnit};

use crate::records::About;
use crate::schema::EntryId;

/// What is said of the job itself. `None` leaves it as it is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct JobText {
    /// Its name.
    pub name: Option<String>,
    /// The unit of bare numbers and of answers.
    pub unit: Option<LengthUnit>,
    /// The axes; `Some(None)` leaves them open again.
    pub frame: Option<Option<Frame>>,
    /// The label of a point on the upper side; `Some(None)` takes it away.
    pub above: Option<Option<String>>,
}

/// A reading as it is typed. Empty text is nothing said.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ReadingText {
    /// The id it shall have; where empty, the next number.
    pub name: String,
    /// `tape`, `slope` and so on.
    pub kind: String,
    /// The labels of a, b, c, d, four at most. A label that nobody used makes a point.
    pub points: Vec<String>,
    /// The value; a bare number takes the job's unit.
    pub value: String,
    /// A standard deviation of its own.
    pub sd: String,
    /// The instrument's name; it must be known.
    pub instrument: String,
    /// What it was read from, on purpose.
    pub from: String,
    /// Length to add.
    pub add: String,
    /// How the shell stood; a new name makes a stand.
    pub stand: String,
    /// The stage of the work; a new name makes an epoch.
    pub epoch: String,
    /// Whatever was noted.
    pub note: String,
    /// Who read it, where that is somebody else than who logs it.
    pub by: String,
}

/// What is corrected of a reading. `None` leaves a field as it is, empty text empties it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CorrectionText {
    /// The kind.
    pub kind: Option<String>,
    /// All its points, by label.
    pub points: Option<Vec<String>>,
    /// The value.
    pub value: Option<String>,
    /// Its own standard deviation.
    pub sd: Option<String>,
    /// The instrument.
    pub instrument: Option<String>,
    /// What it was read from.
    pub from: Option<String>,
    /// Length to add.
    pub add: Option<String>,
    /// How the shell stood.
    pub stand: Option<String>,
    /// The stage of the work.
    pub epoch: Option<String>,
    /// The note.
    pub note: Option<String>,
}

/// What is said of a point. `None` leaves a field as it is, empty text empties it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PointText {
    /// `left`, `right`, `centre`.
    pub side: Option<String>,
    /// The label of the mirror partner.
    pub mirror: Option<String>,
    /// Rough x, y, z.
    pub rough: [Option<String>; 3],
    /// Which letters are exact.
    pub fixed: Option<String>,
    /// The note.
    pub note: Option<String>,
}

/// What is said of an instrument. `None` leaves a field as it is, empty text empties it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct InstrumentText {
    /// `tape`, `ring tape`, `laser`, `finder`, `level`, `rule`.
    pub kind: Option<String>,
    /// `I`, `II`, `III`.
    pub class: Option<String>,
    /// Smallest mark.
    pub graduation: Option<String>,
    /// Added to what was read.
    pub zero_offset: Option<String>,
    /// Length of the case.
    pub case_length: Option<String>,
    /// How well a point is met.
    pub point_sd: Option<String>,
    /// Replaces the rule for standard deviations.
    pub sd: Option<String>,
    /// The note.
    pub note: Option<String>,
}

/// What is known of a photo that was taken in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotoText {
    /// The hash of the original, 64 hexadecimal letters.
    pub photo: EntryId,
    /// `jpeg`, `png` or `webp`.
    pub media_type: String,
    /// Width of the upright picture.
    pub width: u32,
    /// Height of the upright picture.
    pub height: u32,
    /// Bytes of the original.
    pub bytes: u64,
    /// The hash of the file as it may leave.
    pub leaves_as: String,
    /// What its file was called.
    pub name: String,
    /// When it was taken, as the camera wrote it.
    pub taken: String,
    /// What the crew writes under it.
    pub caption: String,
    /// What it was taken of.
    pub about: Option<About>,
}
