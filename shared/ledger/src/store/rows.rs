//! Every row of a database that can be read and is as it was written, and what is known of the others.

mod reading;

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, Row};
use uuid::Uuid;

use self::reading::{Found, Kind, blob, integer, text};
use super::seal::{self, ChunkFields, PhotoFields};
use crate::{Heads, JobId};

/// A chunk whose hash is right, without its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct ChunkRow {
    pub(super) job: JobId,
    pub(super) generation: i64,
    pub(super) place: i64,
    pub(super) heads: Heads,
}

/// What is known of a chunk that cannot be read or is not as it was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct LostChunk {
    /// As the index has it.
    pub(super) place: Option<(JobId, i64, i64)>,
}

/// What there is of a job's newest generation: place to number.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct JobRows {
    pub(super) generation: i64,
    pub(super) kept: BTreeMap<i64, i64>,
    pub(super) lost: BTreeMap<i64, i64>,
}

impl JobRows {
    /// The first place from 0 on at which no chunk is, though there is one behind it or the job has none at all.
    pub(super) fn gap(&self) -> Option<i64> {
        let count = self.kept.len() as i64;
        let whole = count > 0 && self.kept.keys().copied().eq(0..count);
        (!whole).then(|| {
            (0..)
                .find(|place| !self.kept.contains_key(place))
                .unwrap_or(count)
        })
    }

    /// Whether a row of this generation counts; a newer one makes the older ones not count.
    fn reach(&mut self, generation: i64) -> bool {
        if generation > self.generation {
            *self = JobRows {
                generation,
                ..JobRows::default()
            };
        }
        generation == self.generation
    }
}

/// What was read of a database.
#[derive(Debug, Default)]
pub(super) struct Rows {
    /// By number.
    pub(super) chunks: BTreeMap<i64, ChunkRow>,
    /// By number.
    pub(super) lost_chunks: BTreeMap<i64, LostChunk>,
    /// Jobs with the time they were made, where that is known.
    pub(super) jobs: BTreeMap<JobId, Option<i64>>,
    /// Jobs that the index lists and whose row cannot be read.
    pub(super) lost_jobs: BTreeSet<JobId>,
    pub(super) photos: BTreeMap<[u8; 32], PhotoFields>,
    pub(super) lost_photos: BTreeSet<[u8; 32]>,
    /// Photo and edge to the number of the row.
    pub(super) thumbnails: BTreeMap<([u8; 32], i64), i64>,
    pub(super) lost_thumbnails: BTreeSet<([u8; 32], i64)>,
    /// Key to number and value.
    pub(super) settings: BTreeMap<String, (i64, String)>,
    pub(super) lost_settings: BTreeSet<String>,
    /// Rows that are not as they were written and do not say what they were.
    pub(super) nameless: u64,
    /// Rows that would not be found by their key, or not as they are.
    pub(super) misfiled: u64,
    /// What SQLite said where a table could not be read through.
    pub(super) errors: Vec<rusqlite::Error>,
    /// Every chunk was seen or is listed, so that it is known which are lost.
    pub(super) every_chunk: bool,
    /// Likewise for photos, their small pictures, and settings.
    pub(super) every_other: bool,
}

impl Rows {
    /// Reads and checks every row. `newest` is the number of the newest row as far as it is known from outside.
    pub(super) fn read(connection: &Connection, newest: Option<i64>) -> Rows {
        let mut rows = Rows {
            every_other: true,
            ..Rows::default()
        };
        rows.read_jobs(connection);
        rows.read_chunks(connection, newest);
        rows.read_photos(connection);
        rows.read_thumbnails(connection);
        rows.read_settings(connection);
        rows
    }

    /// The number of the newest thing that was kept.
    pub(super) fn newest(&self) -> i64 {
        let chunk = self.chunks.keys().next_back().copied();
        let photo = self.photos.values().map(|photo| photo.seq).max();
        let setting = self.settings.values().map(|(seq, _)| *seq).max();
        [chunk, photo, setting].into_iter().flatten().max().unwrap_or(0)
    }

    /// How many things were kept after the newest that is here, according to a tally, and are not named among the
    /// lost.
    pub(super) fn missing_after_newest(&self, counted: i64) -> u64 {
        let newest = self.newest();
        if counted <= newest {
            return 0;
        }
        let named = self.lost_chunks.range(newest + 1..=counted).count() as u64;
        (counted - newest).unsigned_abs().saturating_sub(named)
    }

    /// Adds what another reading of the same database found and this one did not.
    pub(super) fn add(&mut self, other: &Rows) {
        for (seq, chunk) in &other.chunks {
            self.chunks.entry(*seq).or_insert_with(|| chunk.clone());
        }
        for (seq, lost) in &other.lost_chunks {
            let known = self.lost_chunks.entry(*seq).or_insert(*lost);
            known.place = known.place.or(lost.place);
        }
        for (job, made_ms) in &other.jobs {
            self.jobs.entry(*job).or_insert(*made_ms);
        }
        for (id, photo) in &other.photos {
            let known = self.photos.entry(*id).or_insert_with(|| photo.clone());
            if photo.seq > known.seq {
                *known = photo.clone();
            }
        }
        self.thumbnails.extend(&other.thumbnails);
        for (key, setting) in &other.settings {
            let known = self
                .settings
                .entry(key.clone())
                .or_insert_with(|| setting.clone());
            if setting.0 > known.0 {
                *known = setting.clone();
            }
        }
        self.lost_jobs.extend(&other.lost_jobs);
        self.lost_photos.extend(&other.lost_photos);
        self.lost_thumbnails.extend(&other.lost_thumbnails);
        self.lost_settings.extend(other.lost_settings.iter().cloned());
        self.nameless = self.nameless.min(other.nameless);
        self.every_chunk |= other.every_chunk;
        self.every_other |= other.every_other;
        self.forget_found();
    }

    /// For every job of which there is any trace, what there is of its newest generation.
    pub(super) fn by_job(&self) -> BTreeMap<JobId, JobRows> {
        let mut jobs: BTreeMap<JobId, JobRows> = BTreeMap::new();
        for job in self.jobs.keys().chain(&self.lost_jobs) {
            jobs.entry(*job).or_default();
        }
        for (seq, chunk) in &self.chunks {
            let rows = jobs.entry(chunk.job).or_default();
            if rows.reach(chunk.generation) {
                rows.kept.insert(chunk.place, *seq);
            }
        }
        for (seq, lost) in &self.lost_chunks {
            if let Some((job, generation, place)) = lost.place {
                let rows = jobs.entry(job).or_default();
                if rows.reach(generation) {
                    rows.lost.insert(place, *seq);
                }
            }
        }
        jobs
    }

    fn read_jobs(&mut self, connection: &Connection) {
        let kind = Kind {
            table: "job",
            columns: "id, made_ms, seal",
            index: "sqlite_autoindex_job_1",
            indexed: "id",
            row: |row| {
                let (id, made_ms) = (blob(row, 1)?, row.get::<_, Option<i64>>(2).ok()?);
                (blob(row, 3)? == seal::job_seal(id, made_ms)).then_some((job_id(id)?, made_ms))
            },
            key: |row| job_id(blob(row, 1)?),
        };
        let found = kind.read(connection, None);
        self.lost_jobs = found.lost.keys().copied().collect();
        self.jobs = self
            .take(found)
            .map(|(job, (_, made_ms))| (job, made_ms))
            .collect();
    }

    fn read_chunks(&mut self, connection: &Connection, newest: Option<i64>) {
        let kind = Kind {
            table: "chunk",
            columns: "job, generation, place, kind, heads, hash, bytes",
            index: "chunk_place",
            indexed: "job, generation, place",
            row: |row| {
                let chunk = chunk_of(row)?;
                Some(((chunk.job, chunk.generation, chunk.place), chunk))
            },
            key: |row| Some((job_id(blob(row, 1)?)?, integer(row, 2)?, integer(row, 3)?)),
        };
        let mut found = kind.read(connection, newest);
        self.every_chunk = found.every;
        found.every = true;
        // A chunk without a name has a number all the same.
        for seq in std::mem::take(&mut found.nameless) {
            self.lost_chunks.insert(seq, LostChunk { place: None });
        }
        for (place, seq) in &found.lost {
            self.lost_chunks.insert(*seq, LostChunk { place: Some(*place) });
        }
        self.chunks = self.take(found).map(|(_, (seq, chunk))| (seq, chunk)).collect();
    }

    fn read_photos(&mut self, connection: &Connection) {
        let kind = Kind {
            table: "photo",
            columns: "id, seq, media_type, byte_count, width, height, stored_hash, seal",
            index: "sqlite_autoindex_photo_1",
            indexed: "id",
            row: |row| photo_of(row).map(|photo| (photo.id, photo)),
            key: |row| blob(row, 1)?.try_into().ok(),
        };
        let found = kind.read(connection, None);
        self.lost_photos = found.lost.keys().copied().collect();
        self.photos = self.take(found).map(|(id, (_, photo))| (id, photo)).collect();
    }

    fn read_thumbnails(&mut self, connection: &Connection) {
        let kind = Kind {
            table: "thumbnail",
            columns: "photo, edge, seal, bytes",
            index: "sqlite_autoindex_thumbnail_1",
            indexed: "photo, edge",
            row: |row| {
                let (photo, edge) = (blob(row, 1)?, integer(row, 2)?);
                let sealed = blob(row, 3)? == seal::thumbnail_seal(photo, edge, blob(row, 4)?);
                sealed.then_some(((photo.try_into().ok()?, edge), ()))
            },
            key: |row| Some((blob(row, 1)?.try_into().ok()?, integer(row, 2)?)),
        };
        let found = kind.read(connection, None);
        self.lost_thumbnails = found.lost.keys().copied().collect();
        self.thumbnails = self
            .take(found)
            .map(|(key, (number, ()))| (key, number))
            .collect();
    }

    fn read_settings(&mut self, connection: &Connection) {
        let kind = Kind {
            table: "setting",
            columns: "key, seq, value, seal",
            index: "sqlite_autoindex_setting_1",
            indexed: "key",
            row: |row| {
                let (key, seq, value) = (text(row, 1)?, integer(row, 2)?, text(row, 3)?);
                (blob(row, 4)? == seal::setting_seal(key, seq, value))
                    .then(|| (key.to_owned(), (seq, value.to_owned())))
            },
            key: |row| text(row, 1).map(str::to_owned),
        };
        let found = kind.read(connection, None);
        self.lost_settings = found.lost.keys().cloned().collect();
        self.settings = self
            .take(found)
            .map(|(key, (_, setting))| (key, setting))
            .collect();
    }

    /// Notes what was wrong with a kind of rows and gives those that are as they were written.
    fn take<K, V>(&mut self, found: Found<K, V>) -> impl Iterator<Item = (K, (i64, V))> + use<K, V> {
        self.nameless += found.nameless.len() as u64;
        self.misfiled += found.misfiled as u64;
        self.every_other &= found.every;
        self.errors.extend(found.errors);
        found.kept.into_iter()
    }

    /// What was listed and found is not lost.
    fn forget_found(&mut self) {
        self.lost_chunks.retain(|seq, _| !self.chunks.contains_key(seq));
        self.lost_jobs.retain(|job| !self.jobs.contains_key(job));
        self.lost_photos.retain(|id| !self.photos.contains_key(id));
        self.lost_thumbnails
            .retain(|key| !self.thumbnails.contains_key(key));
        self.lost_settings.retain(|key| !self.settings.contains_key(key));
    }
}

fn chunk_of(row: &Row<'_>) -> Option<ChunkRow> {
    let fields = ChunkFields {
        seq: integer(row, 0)?,
        job: blob(row, 1)?,
        generation: integer(row, 2)?,
        place: integer(row, 3)?,
        kind: text(row, 4)?,
        heads: blob(row, 5)?,
        bytes: blob(row, 7)?,
    };
    if blob(row, 6)? != fields.hash() {
        return None;
    }
    Some(ChunkRow {
        job: job_id(fields.job)?,
        generation: fields.generation,
        place: fields.place,
        heads: seal::heads_from(fields.heads)?,
    })
}

fn photo_of(row: &Row<'_>) -> Option<PhotoFields> {
    let photo = PhotoFields {
        id: blob(row, 1)?.try_into().ok()?,
        seq: integer(row, 2)?,
        media_type: text(row, 3)?.to_owned(),
        byte_count: integer(row, 4)?,
        width: integer(row, 5)?,
        height: integer(row, 6)?,
        stored_hash: blob(row, 7)?.try_into().ok()?,
    };
    (blob(row, 8)? == photo.seal()).then_some(photo)
}

/// The name of a job as it lies in a row.
pub(super) fn job_id(bytes: &[u8]) -> Option<JobId> {
    Uuid::from_slice(bytes).ok().map(JobId)
}
