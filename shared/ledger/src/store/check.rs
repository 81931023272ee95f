//! Looking whether everything is there and as it was kept.

use rusqlite::TransactionBehavior;
use thiserror::Error;

use super::errors::DiskError;
use super::files::hex;
use super::photo_files::{PhotoFile, photo_files};
use super::photos::Thumbnail;
use super::rows::Rows;
use super::tally::{self, Tally};
use super::{PHOTOS, Store, jobs, schema};
use crate::{JobId, Keep};

/// What was looked at, and what is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CheckReport {
    /// What is not as it should be; empty where nothing was found.
    pub wrong: Vec<Wrong>,
    /// How many jobs were looked at.
    pub jobs: usize,
    /// How many chunks.
    pub chunks: usize,
    /// How many photos.
    pub photos: usize,
    /// How many settings.
    pub settings: usize,
}

/// One thing that is not as it should be.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum Wrong {
    /// The database file.
    #[error("the database is not built as it should be: {words}")]
    Structure {
        /// SQLite's words.
        words: String,
    },
    /// A chunk.
    #[error("entry {entry} of job `{job}` is missing or not as it was kept")]
    Chunk {
        /// The job.
        job: JobId,
        /// The number of the chunk.
        entry: i64,
    },
    /// A chunk that does not say whose it is.
    #[error("entry {entry}, of a job that is not known, is missing or not as it was kept")]
    StrayChunk {
        /// The number of the chunk.
        entry: i64,
    },
    /// A job lacks a chunk before its last, or has none at all.
    #[error("job `{job}` has no chunk at place {place}")]
    Gap {
        /// The job.
        job: JobId,
        /// Counted from 0.
        place: i64,
    },
    /// A job's row.
    #[error("the row of job `{job}` is missing or not as it was kept")]
    Job {
        /// The job.
        job: JobId,
    },
    /// The database is older than what was acknowledged.
    #[error("{}", match count { 1 => "the newest entry is missing".to_owned(), _ => format!("the newest {count} entries are missing") })]
    NewestMissing {
        /// How many things were kept after the newest that is there.
        count: u64,
    },
    /// The tally is gone or cannot be read.
    #[error("the tally cannot be read, so that it is not known whether the newest entries are all there")]
    NoTally,
    /// Rows that do not say what they were.
    #[error("{count} rows are not as they were kept and do not say what they were")]
    Nameless {
        /// How many.
        count: u64,
    },
    /// An index.
    #[error("{count} rows are not listed where they would be looked for")]
    Misfiled {
        /// How many.
        count: u64,
    },
    /// A setting.
    #[error("the setting `{key}` is missing or not as it was kept")]
    Setting {
        /// Which.
        key: String,
    },
    /// A photo's row.
    #[error("the row of photo `{photo}` is missing or not as it was kept")]
    PhotoRow {
        /// The photo's id in hexadecimal digits.
        photo: String,
    },
    /// A photo's file.
    #[error("the file of photo `{photo}` is gone")]
    PhotoMissing {
        /// The photo's id in hexadecimal digits.
        photo: String,
    },
    /// A photo's file.
    #[error("the file of photo `{photo}` is not as it was kept")]
    PhotoDamaged {
        /// The photo's id in hexadecimal digits.
        photo: String,
    },
    /// A small picture.
    #[error("the small picture of {edge} px of photo `{photo}` is missing or not as it was kept")]
    Thumbnail {
        /// The photo's id in hexadecimal digits.
        photo: String,
        /// The longer edge in pixels.
        edge: i64,
    },
    /// A row that refers to one that is not there.
    #[error("a row of the table {table} belongs to one that is not there")]
    Reference {
        /// Which table.
        table: String,
    },
    /// A document that its reader refuses, though its bytes are as they were kept.
    #[error("the document of job `{job}` cannot be read: {reason}")]
    Document {
        /// The job.
        job: JobId,
        /// What the reader of documents said.
        reason: String,
    },
    /// A document with other heads than were kept with it.
    #[error("the document of job `{job}` does not read as it was kept")]
    HeadsDiffer {
        /// The job.
        job: JobId,
    },
    /// A whole-document copy. It is made anew at the next compaction.
    #[error("the copy of job `{job}` cannot be read: {reason}")]
    Copy {
        /// The job.
        job: JobId,
        /// What the reader of documents said.
        reason: String,
    },
}

impl Store {
    /// Looks at everything: the database's structure, every row, every document, every copy, every photo. Changes
    /// nothing.
    ///
    /// # Errors
    /// Where the disk fails. What is damaged is no error but stands in the report.
    pub fn check(&self) -> Result<CheckReport, DiskError> {
        // Before the database: a writer beside a reader could otherwise make it look ahead.
        let tally = tally::read(&self.folder)?;
        // One transaction, so that a reader beside a writer sees one state.
        let transaction =
            rusqlite::Transaction::new_unchecked(&self.connection, TransactionBehavior::Deferred)?;
        let mut wrong = Vec::new();
        match schema::structure(&transaction, true) {
            Ok(found) => wrong.extend(found.into_iter().map(|words| Wrong::Structure { words })),
            Err(error) if schema::is_damage(&error) => wrong.push(Wrong::Structure {
                words: error.to_string(),
            }),
            Err(error) => return Err(error.into()),
        }
        let rows = Rows::read(&transaction, tally.newest());
        wrong.extend(wrong_rows(&rows, tally));
        wrong.extend(self.wrong_references()?);
        wrong.extend(self.wrong_documents(&rows)?);
        wrong.extend(self.wrong_photos(&rows)?);
        transaction.finish()?;
        Ok(CheckReport {
            wrong,
            jobs: rows.jobs.len(),
            chunks: rows.chunks.len(),
            photos: rows.photos.len(),
            settings: rows.settings.len(),
        })
    }

    fn wrong_references(&self) -> Result<Vec<Wrong>, DiskError> {
        let mut wrong = Vec::new();
        let looked = self.connection.pragma_query(None, "foreign_key_check", |row| {
            wrong.push(Wrong::Reference { table: row.get(0)? });
            Ok(())
        });
        match looked {
            Err(error) if !schema::is_damage(&error) => Err(error.into()),
            // What is damaged was found by the structure and the rows already.
            _ => Ok(wrong),
        }
    }

    fn wrong_documents(&self, rows: &Rows) -> Result<Vec<Wrong>, DiskError> {
        let mut wrong = Vec::new();
        for (job, of_job) in rows.by_job() {
            if of_job.gap().is_some() || !of_job.lost.is_empty() {
                continue; // told with the rows
            }
            let Ok(bytes) = self.bytes(job) else {
                continue; // likewise
            };
            let newest = of_job
                .kept
                .values()
                .next_back()
                .and_then(|seq| rows.chunks.get(seq));
            match self.judge.whole(&bytes) {
                Ok((heads, _)) if newest.is_some_and(|chunk| chunk.heads == heads) => {}
                Ok(_) => wrong.push(Wrong::HeadsDiffer { job }),
                Err(unreadable) => wrong.push(Wrong::Document {
                    job,
                    reason: unreadable.reason,
                }),
            }
        }
        for (job, copy) in jobs::copies(&self.folder)? {
            if let Err(unreadable) = self.judge.whole(&copy) {
                let reason = unreadable.reason;
                wrong.push(Wrong::Copy { job, reason });
            }
        }
        Ok(wrong)
    }

    fn wrong_photos(&self, rows: &Rows) -> Result<Vec<Wrong>, DiskError> {
        let mut wrong = Vec::new();
        let folder = self.folder.join(PHOTOS);
        for (id, fields) in &rows.photos {
            let photo = hex(id);
            let file = PhotoFile::of(fields);
            match file.read(&folder)? {
                None => wrong.push(Wrong::PhotoMissing { photo }),
                Some(bytes) if !file.is_right(&bytes) => {
                    wrong.push(Wrong::PhotoDamaged { photo });
                }
                Some(_) => {}
            }
            for thumbnail in Thumbnail::EVERY {
                let edge = i64::from(thumbnail.edge());
                let key = (*id, edge);
                if !rows.thumbnails.contains_key(&key) && !rows.lost_thumbnails.contains(&key) {
                    let photo = hex(id);
                    wrong.push(Wrong::Thumbnail { photo, edge });
                }
            }
        }
        // A file that is named like a photo and has no row is taken in at the next opening, unless it is damaged.
        for file in photo_files(&folder)? {
            if !rows.photos.contains_key(&file.id) && file.row(&folder)?.is_none() {
                let photo = hex(&file.id);
                wrong.push(Wrong::PhotoDamaged { photo });
            }
        }
        Ok(wrong)
    }
}

/// What is wrong with the rows of a database, in itself and held against the tally.
pub(super) fn wrong_rows(rows: &Rows, tally: Tally) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    for error in &rows.errors {
        let words = error.to_string();
        wrong.push(Wrong::Structure { words });
    }
    for (entry, lost) in &rows.lost_chunks {
        let entry = *entry;
        wrong.push(match lost.place {
            Some((job, ..)) => Wrong::Chunk { job, entry },
            None => Wrong::StrayChunk { entry },
        });
    }
    for (job, of_job) in rows.by_job() {
        if !rows.jobs.contains_key(&job) {
            wrong.push(Wrong::Job { job });
        }
        if of_job.lost.is_empty()
            && let Some(place) = of_job.gap()
        {
            wrong.push(Wrong::Gap { job, place });
        }
    }
    wrong.extend(
        rows.lost_settings
            .iter()
            .map(|key| Wrong::Setting { key: key.clone() }),
    );
    let photo_row = |id| Wrong::PhotoRow { photo: hex(id) };
    wrong.extend(rows.lost_photos.iter().map(|id| photo_row(id)));
    wrong.extend(rows.lost_thumbnails.iter().map(|(id, edge)| Wrong::Thumbnail {
        photo: hex(id),
        edge: *edge,
    }));
    if rows.nameless > 0 {
        wrong.push(Wrong::Nameless { count: rows.nameless });
    }
    if rows.misfiled > 0 && rows.errors.is_empty() {
        wrong.push(Wrong::Misfiled { count: rows.misfiled });
    }
    match tally {
        Tally::Newest(counted) => {
            let count = rows.missing_after_newest(counted);
            if count > 0 {
                wrong.push(Wrong::NewestMissing { count });
            }
        }
        Tally::Absent | Tally::Unreadable => wrong.push(Wrong::NoTally),
    }
    wrong
}
