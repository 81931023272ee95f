//! Other readings of a damaged database than SQLite's own: with every page of its write-ahead log laid in, and with
//! a first page that is whole. Each row has its own hash, so nothing wrong is believed that is found this way.

use std::fs::{self, File};
use std::io::{Seek, SeekFrom, Write};
use std::path::Path;

use crate::store::errors::{DiskError, StoreError};
use crate::store::files;
use crate::store::schema;

/// The format of the write-ahead log: a header of 32 bytes, then frames of a header of 24 and a page each.
/// <https://www.sqlite.org/fileformat2.html#the_write_ahead_log>
const LOG_HEADER: usize = 32;
const FRAME_HEADER: usize = 24;

/// Lays every page of the log over the database, right checksum or not. SQLite stops at the first frame whose
/// checksum is wrong, and one flipped bit would take every later commit with it. False where there is no log to lay
/// in.
pub(super) fn with_log(database: &Path, log: &Path, image: &Path) -> Result<bool, DiskError> {
    let Some(log) = files::read(log)? else {
        return Ok(false);
    };
    let Some(header) = log.get(..LOG_HEADER) else {
        return Ok(false);
    };
    let page = word(&header[8..]) as usize;
    let Some(frames) = log.get(LOG_HEADER..).filter(|_| is_page_size(page)) else {
        return Ok(false);
    };
    // The salts tell the frames of this log from those that an earlier one left behind it.
    let salts: Vec<&[u8]> = [header.get(16..24), frames.get(8..16)]
        .into_iter()
        .flatten()
        .collect();
    let frames: Vec<&[u8]> = frames
        .chunks_exact(FRAME_HEADER + page)
        .take_while(|frame| salts.contains(&&frame[8..16]))
        .collect();
    // Pages behind the last commit belong to nothing that was acknowledged.
    let Some(last_commit) = frames.iter().rposition(|frame| word(&frame[4..]) != 0) else {
        return Ok(false);
    };
    let length = fs::metadata(database).map_or(0, |found| found.len());
    let last_page = length / page as u64 + frames.len() as u64;
    copy(database, image)?;
    let written = || {
        let mut file = File::options().write(true).open(image)?;
        for frame in &frames[..=last_commit] {
            let number = u64::from(word(frame));
            if (1..=last_page).contains(&number) {
                file.seek(SeekFrom::Start((number - 1) * page as u64))?;
                file.write_all(&frame[FRAME_HEADER..])?;
            }
        }
        Ok(())
    };
    written().map_err(DiskError::file(image))?;
    Ok(true)
}

/// A copy of the database with the first page of a new one. The tables of a store begin at the same pages in every
/// store of this format, as one and the same step made them. False where the pages have another size.
pub(super) fn with_first_page(database: &Path, image: &Path, scratch: &Path) -> Result<bool, StoreError> {
    schema::make(scratch, |_| Ok::<(), StoreError>(()))?;
    let new = files::read(scratch)?.unwrap_or_default();
    files::remove_database(scratch)?;
    let Some(header) = new.get(..100) else {
        return Ok(false);
    };
    let page = usize::from(u16::from_be_bytes([header[16], header[17]]));
    let Some(first) = new.get(..page).filter(|_| is_page_size(page)) else {
        return Ok(false);
    };
    let length = fs::metadata(database).map_err(DiskError::file(database))?.len();
    let pages = u32::try_from(length.div_ceil(page as u64)).unwrap_or(u32::MAX);
    if pages < 2 {
        return Ok(false);
    }
    let mut first = first.to_vec();
    first[28..32].copy_from_slice(&pages.to_be_bytes());
    copy(database, image)?;
    let written = || {
        let mut file = File::options().write(true).open(image)?;
        file.write_all(&first)?;
        file.set_len(u64::from(pages) * page as u64)
    };
    written().map_err(DiskError::file(image))?;
    Ok(true)
}

fn copy(from: &Path, to: &Path) -> Result<(), DiskError> {
    files::remove_database(to)?;
    if from.is_file() {
        fs::copy(from, to).map_err(DiskError::file(to))?;
    } else {
        File::create(to).map_err(DiskError::file(to))?;
    }
    Ok(())
}

/// Four bytes, the highest first.
fn word(bytes: &[u8]) -> u32 {
    bytes.first_chunk().map_or(0, |bytes| u32::from_be_bytes(*bytes))
}

fn is_page_size(size: usize) -> bool {
    (512..=65536).contains(&size) && size.is_power_of_two()
}
