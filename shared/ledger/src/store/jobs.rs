//! Jobs: made, added to, read back, compacted.

use std::path::Path;

use rusqlite::{Connection, OptionalExtension, Transaction};

use super::errors::JobError;
use super::seal::{self, ChunkFields, heads_bytes, heads_from};
use super::{COPIES, Store, files, rows};
use crate::{Heads, JobId, Keep};

/// After so many chunks since the last compaction it is worth another one.
pub const COMPACT_AFTER: u64 = 100;

/// A job of this device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobRow {
    /// Its name for programs.
    pub id: JobId,
    /// When it was made on this device, in milliseconds since 1970 UTC. `None` where a recovery could not tell.
    pub made_ms: Option<i64>,
    /// Those of the document as it is kept.
    pub heads: Heads,
    /// How many chunks were added since the last compaction.
    pub added: u64,
}

/// Where in a job the next chunk goes.
#[derive(Debug, Clone, Copy)]
struct End {
    generation: i64,
    place: i64,
}

impl Store {
    /// Makes a job with the first chunk of its document, both or neither.
    ///
    /// # Errors
    /// Where the job is there already or could not be made durable.
    pub fn create(&mut self, job: JobId, made_ms: i64, chunk: &[u8], heads: &Heads) -> Result<(), JobError> {
        self.keep(|transaction, seq| {
            if newest_chunk(transaction, job)?.is_some() {
                return Err(JobError::AlreadyThere { job });
            }
            write_job(transaction, job, Some(made_ms))?;
            let first = End {
                generation: 0,
                place: 0,
            };
            insert_chunk(transaction, seq, job, first, "base", chunk, &heads_bytes(heads))
        })
    }

    /// The jobs of this device, in the order of their ids.
    ///
    /// # Errors
    /// Where the database cannot be read.
    pub fn jobs(&self) -> Result<Vec<JobRow>, JobError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT id, made_ms FROM job ORDER BY id")?;
        let found = statement
            .query_map([], |row| Ok((row.get::<_, [u8; 16]>(0)?, row.get(1)?)))?
            .collect::<Result<Vec<_>, _>>()?;
        found
            .into_iter()
            .filter_map(|(id, made_ms)| Some((rows::job_id(&id)?, made_ms)))
            .map(|(id, made_ms)| {
                let (end, heads) = self.newest_chunk(id)?;
                Ok(JobRow {
                    id,
                    made_ms,
                    heads,
                    added: end.place.unsigned_abs(),
                })
            })
            .collect()
    }

    /// Whether a job has had so many changes since the last time that [`Store::compact`] is worth the time. Ask
    /// when a job is opened or closed, not between two readings.
    ///
    /// # Errors
    /// Where there is no such job or the database cannot be read.
    pub fn wants_compaction(&self, job: JobId) -> Result<bool, JobError> {
        let (end, _) = self.newest_chunk(job)?;
        Ok(end.place.unsigned_abs() >= COMPACT_AFTER)
    }

    /// Puts the chunks of a job together into one. What they were is kept until the next compaction, and a copy of
    /// the whole document is laid beside the database, so that the one chunk is never the only one. The document is
    /// read back before anything is changed.
    ///
    /// # Errors
    /// Where there is no such job, its document cannot be read or reads with other heads than were kept with it,
    /// or the disk fails. The job is then as it was.
    pub fn compact(&mut self, job: JobId) -> Result<(), JobError> {
        self.may_write()?;
        let bytes = self.bytes(job)?;
        let (end, kept) = self.newest_chunk(job)?;
        let unreadable = |source| JobError::Unreadable { job, source };
        let (heads, whole) = self.judge.whole(&bytes).map_err(unreadable)?;
        let (again, _) = self.judge.whole(&whole).map_err(unreadable)?;
        if heads != kept || again != kept {
            return Err(JobError::HeadsDiffer { job });
        }
        files::write_whole(&self.folder.join(COPIES), &copy_name(job), &whole)?;
        self.keep(|transaction, seq| {
            let next = End {
                generation: end.generation + 1,
                place: 0,
            };
            insert_chunk(transaction, seq, job, next, "base", &whole, &heads_bytes(&heads))?;
            transaction
                .prepare_cached("DELETE FROM chunk WHERE job = ?1 AND generation < ?2")?
                .execute((job.0.as_bytes(), end.generation))?;
            Ok(())
        })
    }

    /// Where the copy of the whole document of a job lies, made at its last compaction.
    pub fn copy_path(&self, job: JobId) -> std::path::PathBuf {
        self.folder.join(COPIES).join(copy_name(job))
    }

    fn newest_chunk(&self, job: JobId) -> Result<(End, Heads), JobError> {
        newest_chunk(&self.connection, job)?.ok_or(JobError::NoSuchJob { job })
    }
}

impl Keep for Store {
    type Fault = JobError;

    fn append(&mut self, job: JobId, chunk: &[u8], heads: &Heads) -> Result<(), JobError> {
        let heads = heads_bytes(heads);
        self.keep(|transaction, seq| {
            let (end, _) = newest_chunk(transaction, job)?.ok_or(JobError::NoSuchJob { job })?;
            let next = End {
                place: end.place + 1,
                ..end
            };
            insert_chunk(transaction, seq, job, next, "changes", chunk, &heads)
        })
    }

    fn bytes(&self, job: JobId) -> Result<Vec<u8>, JobError> {
        // One statement, so that a reader beside a writer sees one state.
        let mut statement = self.connection.prepare_cached(
            "SELECT seq, generation, place, kind, heads, hash, bytes FROM chunk
             WHERE job = ?1 AND generation = (SELECT max(generation) FROM chunk WHERE job = ?1) ORDER BY place",
        )?;
        let mut rows = statement.query([job.0.as_bytes()])?;
        let mut bytes = Vec::new();
        let mut place = 0;
        while let Some(row) = rows.next()? {
            let wrong = |reason: &str| JobError::Damaged {
                job,
                reason: format!("{reason} {place}"),
            };
            let read = || -> rusqlite::Result<_> {
                Ok((
                    ChunkFields {
                        seq: row.get(0)?,
                        job: job.0.as_bytes(),
                        generation: row.get(1)?,
                        place: row.get(2)?,
                        kind: row.get_ref(3)?.as_str()?,
                        heads: row.get_ref(4)?.as_blob()?,
                        bytes: row.get_ref(6)?.as_blob()?,
                    },
                    row.get::<_, [u8; 32]>(5)?,
                ))
            };
            let (fields, hash) = read().map_err(|_| wrong("a value of another kind in chunk"))?;
            if fields.place != place {
                return Err(wrong("there is no chunk"));
            }
            if fields.hash() != hash {
                return Err(wrong("the hash is not that of chunk"));
            }
            bytes.extend_from_slice(fields.bytes);
            place += 1;
        }
        if place == 0 {
            return Err(JobError::NoSuchJob { job });
        }
        Ok(bytes)
    }
}

/// The name of a job's copy in the folder of copies.
pub(super) fn copy_name(job: JobId) -> String {
    format!("{job}.automerge")
}

/// The copies that lie in a folder, by job.
pub(super) fn copies(folder: &Path) -> Result<Vec<(JobId, Vec<u8>)>, super::DiskError> {
    let mut copies = Vec::new();
    for name in files::names(&folder.join(COPIES))? {
        let job = name.strip_suffix(".automerge").and_then(|id| id.parse().ok());
        if let (Some(job), Some(bytes)) = (job, files::read(&folder.join(COPIES).join(&name))?) {
            copies.push((JobId(job), bytes));
        }
    }
    Ok(copies)
}

fn newest_chunk(connection: &Connection, job: JobId) -> Result<Option<(End, Heads)>, JobError> {
    let found = connection
        .prepare_cached(
            "SELECT generation, place, heads FROM chunk WHERE job = ?1 ORDER BY generation DESC, place DESC LIMIT 1",
        )?
        .query_row([job.0.as_bytes()], |row| {
            let end = End {
                generation: row.get(0)?,
                place: row.get(1)?,
            };
            Ok((end, row.get::<_, Vec<u8>>(2)?))
        })
        .optional()?;
    let Some((end, heads)) = found else {
        return Ok(None);
    };
    let heads = heads_from(&heads).ok_or_else(|| JobError::Damaged {
        job,
        reason: "the heads of the newest chunk are cut".to_owned(),
    })?;
    Ok(Some((end, heads)))
}

fn insert_chunk(
    transaction: &Transaction<'_>,
    seq: i64,
    job: JobId,
    at: End,
    kind: &str,
    bytes: &[u8],
    heads: &[u8],
) -> Result<(), JobError> {
    let fields = ChunkFields {
        seq,
        job: job.0.as_bytes(),
        generation: at.generation,
        place: at.place,
        kind,
        heads,
        bytes,
    };
    write_chunk(transaction, &fields)?;
    Ok(())
}

/// Writes a job's row with its seal.
pub(super) fn write_job(
    transaction: &Transaction<'_>,
    job: JobId,
    made_ms: Option<i64>,
) -> rusqlite::Result<()> {
    let id = job.0.as_bytes();
    transaction
        .prepare_cached("INSERT INTO job (id, made_ms, seal) VALUES (?1, ?2, ?3)")?
        .execute((id, made_ms, seal::job_seal(id, made_ms)))?;
    Ok(())
}

/// Writes a chunk's row with its hash.
pub(super) fn write_chunk(transaction: &Transaction<'_>, fields: &ChunkFields<'_>) -> rusqlite::Result<()> {
    transaction
        .prepare_cached(
            "INSERT INTO chunk (seq, job, generation, place, kind, heads, hash, bytes)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        )?
        .execute((
            fields.seq,
            fields.job,
            fields.generation,
            fields.place,
            fields.kind,
            fields.heads,
            fields.hash(),
            fields.bytes,
        ))?;
    Ok(())
}
