//! The new store, made of every row that is as it was written, of the copies, and of the photos' files.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use rusqlite::{Connection, Transaction};

use super::images;
use super::report::{JobRecovery, Lost, PhotoRecovery, RecoveryReport};
use crate::store::errors::{DiskError, StoreError};
use crate::store::files;
use crate::store::judge::{Judge, Salvaged};
use crate::store::photo_files::{PhotoFile, photo_files};
use crate::store::photos::{self, Thumbnail};
use crate::store::rows::{JobRows, Rows};
use crate::store::seal::{self, ChunkFields, PhotoFields, heads_bytes};
use crate::store::{Access, DATABASE, PHOTOS, jobs, schema};
use crate::{Heads, JobId};

/// Where images of the damaged database are laid, removed afterwards.
const IMAGES: [&str; 3] = ["image-1.sqlite", "image-2.sqlite", "image-3.sqlite"];
const SCRATCH: &str = "image-0.sqlite";

/// One reading of the damaged database.
pub(super) struct Source {
    connection: Connection,
    rows: Rows,
}

/// A chunk with all its fields.
struct Chunk {
    seq: i64,
    generation: i64,
    place: i64,
    kind: String,
    heads: Vec<u8>,
    bytes: Vec<u8>,
}

/// Opens the damaged database in every way in which rows may be read of it.
pub(super) fn sources(folder: &Path, aside: &Path, counted: Option<i64>) -> Result<Vec<Source>, StoreError> {
    let database = aside.join(DATABASE);
    let log = aside.join(format!("{DATABASE}-wal"));
    let [with_log, with_first, with_both] = IMAGES.map(|name| folder.join(name));
    let scratch = folder.join(SCRATCH);
    let mut paths: Vec<PathBuf> = Vec::new();
    if database.is_file() {
        paths.push(database.clone());
    }
    if images::with_log(&database, &log, &with_log)? {
        paths.push(with_log.clone());
        if images::with_first_page(&with_log, &with_both, &scratch)? {
            paths.push(with_both);
        }
    }
    if database.is_file() && images::with_first_page(&database, &with_first, &scratch)? {
        paths.push(with_first);
    }
    let mut sources = Vec::new();
    for path in paths {
        // What cannot be opened at all has nothing to give.
        if let Ok(connection) = schema::connect(&path, Access::ReadOnly) {
            let rows = Rows::read(&connection, counted);
            sources.push(Source { connection, rows });
        }
    }
    Ok(sources)
}

/// Lets go of the damaged database and removes its images.
pub(super) fn close(folder: &Path, sources: Vec<Source>) -> Result<(), DiskError> {
    drop(sources);
    for name in IMAGES.iter().chain([&SCRATCH]) {
        files::remove_database(&folder.join(name))?;
    }
    Ok(())
}

/// Makes the new database, and says what went into it and the number of its newest row.
pub(super) fn rebuild(
    folder: &Path,
    judge: &dyn Judge,
    sources: &[Source],
    counted: Option<i64>,
    path: &Path,
) -> Result<(RecoveryReport, i64), StoreError> {
    let mut rows = Rows::default();
    if let Some((first, others)) = sources.split_first() {
        // A row that one reading finds nameless may be named in another, so the first sets the count.
        rows.nameless = first.rows.nameless;
        rows.add(&first.rows);
        others.iter().for_each(|source| rows.add(&source.rows));
    }
    let newest_found = rows.newest();
    let newest_lost = match counted.map(|counted| rows.missing_after_newest(counted)) {
        None => Lost::NotKnown,
        Some(0) => Lost::Nothing,
        Some(count) => Lost::Entries(count),
    };
    let (recovered, photos, newest) = schema::make(path, |connection| {
        let transaction = connection.transaction()?;
        let mut rebuilding = Rebuilding {
            transaction: &transaction,
            judge,
            sources,
            newest: newest_found.max(counted.unwrap_or(0)),
            newest_lost,
            rows: &rows,
        };
        let recovered = rebuilding.jobs(&jobs::copies(folder)?)?;
        let photos = rebuilding.photos(&folder.join(PHOTOS))?;
        rebuilding.settings()?;
        let newest = Rows::read(&transaction, None).newest();
        transaction.commit()?;
        Ok::<_, StoreError>((recovered, photos, newest))
    })?;
    let report = RecoveryReport {
        reasons: Vec::new(),
        set_aside: None,
        jobs: recovered,
        newest: newest_lost,
        settings_lost: rows.lost_settings.iter().cloned().collect(),
        nameless_lost: rows.nameless,
        lists_whole: rows.every_other,
        photos,
    };
    Ok((report, newest))
}

struct Rebuilding<'a> {
    transaction: &'a Transaction<'a>,
    judge: &'a dyn Judge,
    sources: &'a [Source],
    rows: &'a Rows,
    newest: i64,
    newest_lost: Lost,
}

impl Rebuilding<'_> {
    fn jobs(&mut self, copies: &[(JobId, Vec<u8>)]) -> Result<Vec<JobRecovery>, StoreError> {
        let copies: BTreeMap<JobId, &Vec<u8>> = copies.iter().map(|(job, bytes)| (*job, bytes)).collect();
        let mut jobs = self.rows.by_job();
        for job in copies.keys() {
            jobs.entry(*job).or_default();
        }
        // A job of which only the row is left has lost all of its chunks; that is told as well.
        jobs.into_iter()
            .map(|(job, rows)| self.job(job, &rows, copies.get(&job).map(|copy| copy.as_slice())))
            .collect()
    }

    fn job(&mut self, job: JobId, rows: &JobRows, copy: Option<&[u8]>) -> Result<JobRecovery, StoreError> {
        let chunks = self.chunks(job);
        let known = self.rows.every_chunk;
        let last = chunks.last().and_then(|chunk| seal::heads_from(&chunk.heads));
        let all_there = rows.lost.is_empty() && rows.gap().is_none();
        let mut recovery = JobRecovery {
            job,
            heads: last.clone(),
            chunks: chunks.len() as u64,
            from_copy: false,
            lost: if known { Lost::Nothing } else { Lost::NotKnown },
            missing: 0,
            waiting: 0,
        };
        let made_ms = self.rows.jobs.get(&job).copied().flatten();
        if all_there && known && (copy.is_none() || self.newest_lost == Lost::Nothing) {
            jobs::write_job(self.transaction, job, made_ms)?;
            self.write_chunks(job, &chunks)?;
            return Ok(recovery);
        }
        let mut parts: Vec<Vec<u8>> = chunks.iter().map(|chunk| chunk.bytes.clone()).collect();
        let without_copy = copy.map(|_| self.judge.salvage(&parts));
        parts.extend(copy.map(<[u8]>::to_vec));
        let salvaged = self.judge.salvage(&parts);
        // The newest chunk says which heads the document had, unless newer ones are lost.
        let newest_kept = rows.kept.keys().next_back() > rows.lost.keys().next_back();
        let wanted = last.filter(|_| known && newest_kept);
        recovery.lost = match &salvaged {
            Some(salvaged) if wanted.as_ref() == Some(&salvaged.heads) => Lost::Nothing,
            // The copy is newer than the newest chunk: that was lost with others, which `newest` counts.
            Some(_) if all_there && known => Lost::Nothing,
            _ if known && !rows.lost.is_empty() => Lost::Entries(rows.lost.len() as u64),
            _ => Lost::NotKnown,
        };
        recovery.heads = salvaged.as_ref().map(|salvaged| salvaged.heads.clone());
        (recovery.missing, recovery.waiting) = salvaged
            .as_ref()
            .map_or((0, 0), |salvaged| (salvaged.missing, salvaged.waiting));
        let heads = |salvaged: &Option<Salvaged>| salvaged.as_ref().map(|salvaged| salvaged.heads.clone());
        recovery.from_copy = without_copy.is_some_and(|without| heads(&without) != heads(&salvaged));
        if salvaged.is_none() && chunks.is_empty() {
            return Ok(recovery);
        }
        jobs::write_job(self.transaction, job, made_ms)?;
        let newest_heads = wanted.unwrap_or_default();
        match salvaged {
            Some(salvaged) => self.write_salvaged(job, rows, &chunks, &salvaged)?,
            None => self.write_unreadable(job, rows, &chunks, &newest_heads)?,
        }
        Ok(recovery)
    }

    /// The chunks of a job that are as they were written, in order, those of earlier generations first.
    fn chunks(&self, job: JobId) -> Vec<Chunk> {
        let mut chunks: Vec<Chunk> = self
            .rows
            .chunks
            .iter()
            .filter(|(_, chunk)| chunk.job == job)
            .filter_map(|(seq, _)| self.sources.iter().find_map(|source| source.chunk(*seq, job)))
            .collect();
        chunks.sort_by_key(|chunk| (chunk.generation, chunk.place));
        // Where two readings differ, the same place could come twice.
        chunks.dedup_by_key(|chunk| (chunk.generation, chunk.place));
        chunks
    }

    /// What was recovered becomes the newest generation; the chunks it came from stay as the one before.
    fn write_salvaged(
        &mut self,
        job: JobId,
        rows: &JobRows,
        chunks: &[Chunk],
        salvaged: &Salvaged,
    ) -> Result<(), StoreError> {
        self.write_chunks(job, chunks)?;
        self.newest += 1;
        let fields = ChunkFields {
            seq: self.newest,
            job: job.0.as_bytes(),
            generation: rows.generation + 1,
            place: 0,
            kind: "base",
            heads: &heads_bytes(&salvaged.heads),
            bytes: &salvaged.whole,
        };
        jobs::write_chunk(self.transaction, &fields)?;
        Ok(())
    }

    /// No document can be made of the chunks. They are kept all the same, the newest generation once more without
    /// its gaps, so that the job is listed as one that cannot be read and does not stand in the way of the others.
    fn write_unreadable(
        &mut self,
        job: JobId,
        rows: &JobRows,
        chunks: &[Chunk],
        heads: &Heads,
    ) -> Result<(), StoreError> {
        self.write_chunks(job, chunks)?;
        let newest = chunks.last().map(|chunk| chunk.generation);
        let newest = chunks.iter().filter(|chunk| Some(chunk.generation) == newest);
        for (place, chunk) in newest.enumerate() {
            self.newest += 1;
            let fields = ChunkFields {
                seq: self.newest,
                job: job.0.as_bytes(),
                generation: rows.generation + 1,
                place: place as i64,
                kind: &chunk.kind,
                heads: &heads_bytes(heads),
                bytes: &chunk.bytes,
            };
            jobs::write_chunk(self.transaction, &fields)?;
        }
        Ok(())
    }

    fn write_chunks(&self, job: JobId, chunks: &[Chunk]) -> Result<(), StoreError> {
        for chunk in chunks {
            let fields = ChunkFields {
                seq: chunk.seq,
                job: job.0.as_bytes(),
                generation: chunk.generation,
                place: chunk.place,
                kind: &chunk.kind,
                heads: &chunk.heads,
                bytes: &chunk.bytes,
            };
            jobs::write_chunk(self.transaction, &fields)?;
        }
        Ok(())
    }

    fn photos(&mut self, folder: &Path) -> Result<PhotoRecovery, StoreError> {
        let mut recovery = PhotoRecovery::default();
        let mut ids: BTreeSet<[u8; 32]> = self.rows.photos.keys().copied().collect();
        ids.extend(&self.rows.lost_photos);
        let files = photo_files(folder)?;
        ids.extend(files.iter().map(|file| file.id));
        for id in ids {
            let known = self.rows.photos.get(&id);
            let whole = match known.map(PhotoFile::of) {
                Some(file) => file.read(folder)?.is_some_and(|bytes| file.is_right(&bytes)),
                None => false,
            };
            let mut fields = known.cloned();
            if !whole {
                let of_photo = files.iter().filter(|file| file.id == id);
                let rows = of_photo.map(|file| file.row(folder));
                let remade = rows.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().next();
                match &remade {
                    Some(_) => recovery.remade.push(id),
                    None => recovery.lost.push(id),
                }
                if let Some(remade) = remade {
                    self.newest += 1;
                    let seq = self.newest;
                    fields = Some(PhotoFields { seq, ..remade });
                }
            } else {
                recovery.kept += 1;
            }
            // A photo whose file is lost keeps its row: it is still known that there was one.
            let Some(fields) = fields else {
                continue;
            };
            photos::write_photo(self.transaction, &fields)?;
            let mut both = true;
            for thumbnail in Thumbnail::EVERY {
                let edge = i64::from(thumbnail.edge());
                match self.sources.iter().find_map(|source| source.thumbnail(id, edge)) {
                    Some(bytes) => photos::write_thumbnail(self.transaction, &id, edge, &bytes)?,
                    None => both = false,
                }
            }
            if !both {
                recovery.without_thumbnails.push(id);
            }
        }
        Ok(recovery)
    }

    fn settings(&self) -> Result<(), StoreError> {
        for (key, (seq, value)) in &self.rows.settings {
            self.transaction.execute(
                "INSERT INTO setting (key, seq, value, seal) VALUES (?1, ?2, ?3, ?4)",
                (key, seq, value, seal::setting_seal(key, *seq, value)),
            )?;
        }
        Ok(())
    }
}

impl Source {
    /// A chunk with its bytes, if it is here and as it was written.
    fn chunk(&self, seq: i64, job: JobId) -> Option<Chunk> {
        self.rows.chunks.get(&seq).filter(|chunk| chunk.job == job)?;
        let read = self.connection.query_row(
            "SELECT generation, place, kind, heads, bytes FROM chunk NOT INDEXED WHERE seq = ?1",
            [seq],
            |row| {
                Ok(Chunk {
                    seq,
                    generation: row.get(0)?,
                    place: row.get(1)?,
                    kind: row.get(2)?,
                    heads: row.get(3)?,
                    bytes: row.get(4)?,
                })
            },
        );
        read.ok()
    }

    fn thumbnail(&self, photo: [u8; 32], edge: i64) -> Option<Vec<u8>> {
        let number = self.rows.thumbnails.get(&(photo, edge))?;
        let read = self.connection.query_row(
            "SELECT bytes FROM thumbnail NOT INDEXED WHERE rowid = ?1",
            [number],
            |row| row.get(0),
        );
        read.ok()
    }
}
