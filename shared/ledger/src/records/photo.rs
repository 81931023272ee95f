//! Photos and pins as the log knows them. The pictures themselves are kept beside the document.

use super::Made;
use crate::registers::Fields;
use crate::schema::{EntryId, Room};

/// What a photo was taken of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct About {
    /// A point or a reading.
    pub room: Room,
    /// Which.
    pub entry: EntryId,
}

/// What is known of a photo. Its entry is the hash of the original.
#[derive(Debug, Clone, PartialEq)]
pub struct PhotoRecord {
    /// `jpeg`, `png` or `webp`.
    pub media_type: String,
    /// Width of the upright picture in pixels.
    pub width: i64,
    /// Height of the upright picture in pixels.
    pub height: i64,
    /// Bytes of the original.
    pub bytes: i64,
    /// The hash of the file as it may leave the device, without where it was taken.
    pub leaves_as: String,
    /// What its file was called.
    pub name: String,
    /// When it was taken, as the camera wrote it.
    pub taken: String,
    /// What the crew wrote under it.
    pub caption: String,
    /// What it was taken of.
    pub about: Option<About>,
    /// Who added it.
    pub by: String,
    /// Whether the crew took it out; it can be brought back.
    pub removed: bool,
    /// When it was added.
    pub made: Made,
}

impl PhotoRecord {
    pub(super) fn read(fields: &Fields) -> Option<PhotoRecord> {
        Some(PhotoRecord {
            media_type: fields.text("media_type")?.to_owned(),
            width: fields.whole("width")?,
            height: fields.whole("height")?,
            bytes: fields.whole("bytes")?,
            leaves_as: fields.words("leaves_as"),
            name: fields.words("name"),
            taken: fields.words("taken"),
            caption: fields.words("caption"),
            about: fields.text("about").and_then(About::parse),
            by: fields.words("by"),
            removed: fields.has("removed"),
            made: Made::read(fields),
        })
    }
}

impl About {
    fn parse(text: &str) -> Option<About> {
        let (room, entry) = text.split_once('/')?;
        Some(About {
            room: Room::from_word(room).filter(|room| matches!(room, Room::Points | Room::Readings))?,
            entry: EntryId::parse(entry)?,
        })
    }
}

impl std::fmt::Display for About {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}/{}", self.room.word(), self.entry)
    }
}

/// A place on a photo, tied to a point or with a note of what is there.
#[derive(Debug, Clone, PartialEq)]
pub struct PinRecord {
    /// The photo.
    pub photo: EntryId,
    /// The point; nothing where it is not tied to one yet.
    pub point: Option<EntryId>,
    /// What the crew wrote beside it.
    pub note: String,
    /// From the left edge, 0 to 1 of the width of the upright picture.
    pub x: f64,
    /// From the top edge, 0 to 1 of its height.
    pub y: f64,
    /// Whether the crew took it out.
    pub removed: bool,
    /// When it was placed.
    pub made: Made,
}

impl PinRecord {
    pub(super) fn read(fields: &Fields) -> Option<PinRecord> {
        Some(PinRecord {
            photo: fields.entry("photo")?,
            point: fields.entry("point"),
            note: fields.words("note"),
            x: fields.number("x")?.clamp(0.0, 1.0),
            y: fields.number("y")?.clamp(0.0, 1.0),
            removed: fields.has("removed"),
            made: Made::read(fields),
        })
    }
}
