//! The tally: the number of the newest thing that was kept, in a file beside the database.
//!
//! A database that lost its newest pages, its write-ahead log for one, is sound in itself and merely older. Only
//! a witness outside can tell. The tally is written after a commit and not synced: after a pulled plug it may lag
//! behind, which does no harm, but it never runs ahead of what is durable.

use std::fs::OpenOptions;
use std::io::{Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use super::errors::DiskError;
use super::files;

const NAME: &str = "tally";
const MAGIC: &[u8; 8] = b"tally  1";

/// What the tally says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tally {
    /// There is no such file.
    Absent,
    /// It cannot be read.
    Unreadable,
    /// The number of the newest thing that was kept.
    Newest(i64),
}

impl Tally {
    pub(super) fn newest(self) -> Option<i64> {
        match self {
            Tally::Newest(newest) => Some(newest),
            Tally::Absent | Tally::Unreadable => None,
        }
    }
}

/// Must be read before the database is, or a writer in between makes it look ahead.
pub(super) fn read(folder: &Path) -> Result<Tally, DiskError> {
    let Some(bytes) = files::read(&folder.join(NAME))? else {
        return Ok(Tally::Absent);
    };
    let newest = || {
        let (body, seal) = bytes.split_at_checked(16)?;
        let newest = i64::from_le_bytes(body[8..].try_into().ok()?);
        (bytes == line(newest) && !seal.is_empty()).then_some(newest)
    };
    Ok(newest().map_or(Tally::Unreadable, Tally::Newest))
}

/// Makes the file anew, durably.
pub(super) fn make(folder: &Path, newest: i64) -> Result<(), DiskError> {
    files::write_whole(folder, NAME, &line(newest))
}

/// Writes the number over the old one.
pub(super) fn write(folder: &Path, newest: i64) -> Result<(), DiskError> {
    let path = path(folder);
    let written = OpenOptions::new().write(true).open(&path).and_then(|mut file| {
        file.seek(SeekFrom::Start(0))?;
        file.write_all(&line(newest))
    });
    written.map_err(DiskError::file(path))
}

pub(super) fn path(folder: &Path) -> PathBuf {
    folder.join(NAME)
}

/// 48 bytes, within one sector: old or new after a pulled plug, not a mixture.
fn line(newest: i64) -> Vec<u8> {
    let mut line = MAGIC.to_vec();
    line.extend(newest.to_le_bytes());
    let seal = blake3::hash(&line);
    line.extend(seal.as_bytes());
    line
}
