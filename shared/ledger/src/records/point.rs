//! Points as the log knows them.

use survey::Label;

use super::Made;
use crate::registers::Fields;
use crate::schema::EntryId;

/// One marked, named hard point, in the words of the points sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct PointRecord {
    /// Its name.
    pub label: Label,
    /// `left`, `right`, `centre`, or nothing said.
    pub side: String,
    /// Its mirror partner.
    pub mirror: Option<EntryId>,
    /// Rough x, y and z as typed, with their units.
    pub rough: [String; 3],
    /// Which of the letters x, y, z are exact.
    pub fixed: String,
    /// What was noted.
    pub note: String,
    /// The point that it turned out to be one mark with.
    pub joined: Option<EntryId>,
    /// When it was made.
    pub made: Made,
}

impl PointRecord {
    pub(super) fn read(fields: &Fields) -> Option<PointRecord> {
        Some(PointRecord {
            label: Label::new(fields.text("label")?)?,
            side: fields.words("side"),
            mirror: fields.entry("mirror"),
            rough: ["x", "y", "z"].map(|axis| fields.words(axis)),
            fixed: fields.words("fixed"),
            note: fields.words("note"),
            joined: fields.entry("joined"),
            made: Made::read(fields),
        })
    }
}
