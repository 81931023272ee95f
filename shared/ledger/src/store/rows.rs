//! Every row of a database that can be read and is as it was written, and what is known of the others.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, Row};
use uuid::Uuid;

use super::seal::{self, ChunkFields, PhotoFields};
use crate::{Heads, JobId};

/// How far rows are looked for one by one where a table cannot be read through: a damaged number must not make
/// that last for ever.
const FURTHEST: i64 = 2_000_000;

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
        let mut nameless = 0;
        let table = Table::new("job", "id, made_ms, seal");
        let error = table.read(connection, None, &mut |_, row| {
            let job = row.and_then(|row| {
                let (id, made_ms) = (blob(row, 1)?, row.get::<_, Option<i64>>(2).ok()?);
                (blob(row, 3)? == seal::job_seal(id, made_ms)).then_some((job_id(id)?, made_ms))
            });
            match job {
                Some((job, made_ms)) => {
                    self.jobs.insert(job, made_ms);
                }
                None => nameless += 1,
            }
        });
        let listed = read_index(connection, "id", "job", "sqlite_autoindex_job_1", &mut |row| {
            if let Some(job) = blob(row, 0).and_then(job_id) {
                self.lost_jobs.insert(job);
            }
        });
        self.close(nameless, self.lost_jobs.len(), self.jobs.len(), [error, listed]);
    }

    fn read_chunks(&mut self, connection: &Connection, newest: Option<i64>) {
        let listed = read_index(
            connection,
            "rowid, job, generation, place",
            "chunk",
            "chunk_place",
            &mut |row| {
                let place = || Some((blob(row, 1).and_then(job_id)?, integer(row, 2)?, integer(row, 3)?));
                if let Some(seq) = integer(row, 0) {
                    self.lost_chunks.insert(seq, LostChunk { place: place() });
                }
            },
        );
        let table = Table::new("chunk", "job, generation, place, kind, heads, hash, bytes");
        let listed_newest = self.lost_chunks.keys().next_back().copied();
        let error = table.read(connection, newest.or(listed_newest), &mut |seq, row| match row
            .and_then(|row| chunk_of(seq, row))
        {
            Some(chunk) => {
                self.chunks.insert(seq, chunk);
            }
            None => {
                self.lost_chunks.entry(seq).or_insert(LostChunk { place: None });
            }
        });
        self.every_chunk = error.is_none() || listed.is_none();
        let others = self.every_other;
        self.close(0, 0, 0, [error, listed]);
        self.every_other = others;
    }

    fn read_photos(&mut self, connection: &Connection) {
        let mut nameless = 0;
        let table = Table::new(
            "photo",
            "id, seq, media_type, byte_count, width, height, stored_hash, seal",
        );
        let error = table.read(connection, None, &mut |_, row| match row.and_then(photo_of) {
            Some(photo) => {
                self.photos.insert(photo.id, photo);
            }
            None => nameless += 1,
        });
        let listed = read_index(
            connection,
            "id",
            "photo",
            "sqlite_autoindex_photo_1",
            &mut |row| {
                if let Some(id) = blob(row, 0).and_then(|id| id.try_into().ok()) {
                    self.lost_photos.insert(id);
                }
            },
        );
        self.close(
            nameless,
            self.lost_photos.len(),
            self.photos.len(),
            [error, listed],
        );
    }

    fn read_thumbnails(&mut self, connection: &Connection) {
        let mut nameless = 0;
        let table = Table::new("thumbnail", "photo, edge, seal, bytes");
        let error = table.read(connection, None, &mut |number, row| {
            let thumbnail = row.and_then(|row| {
                let (photo, edge) = (blob(row, 1)?, integer(row, 2)?);
                (blob(row, 3)? == seal::thumbnail_seal(photo, edge, blob(row, 4)?))
                    .then_some((photo.try_into().ok()?, edge))
            });
            match thumbnail {
                Some(thumbnail) => {
                    self.thumbnails.insert(thumbnail, number);
                }
                None => nameless += 1,
            }
        });
        let index = "sqlite_autoindex_thumbnail_1";
        let listed = read_index(connection, "photo, edge", "thumbnail", index, &mut |row| {
            let id = blob(row, 0).and_then(|id| id.try_into().ok());
            if let (Some(id), Some(edge)) = (id, integer(row, 1)) {
                self.lost_thumbnails.insert((id, edge));
            }
        });
        let lost = self.lost_thumbnails.len();
        self.close(nameless, lost, self.thumbnails.len(), [error, listed]);
    }

    fn read_settings(&mut self, connection: &Connection) {
        let mut nameless = 0;
        let table = Table::new("setting", "key, seq, value, seal");
        let error = table.read(connection, None, &mut |_, row| {
            let setting = row.and_then(|row| {
                let (key, seq, value) = (text(row, 1)?, integer(row, 2)?, text(row, 3)?);
                (blob(row, 4)? == seal::setting_seal(key, seq, value))
                    .then(|| (key.to_owned(), (seq, value.to_owned())))
            });
            match setting {
                Some((key, setting)) => {
                    self.settings.insert(key, setting);
                }
                None => nameless += 1,
            }
        });
        let index = "sqlite_autoindex_setting_1";
        let listed = read_index(connection, "key", "setting", index, &mut |row| {
            if let Some(key) = text(row, 0) {
                self.lost_settings.insert(key.to_owned());
            }
        });
        self.close(
            nameless,
            self.lost_settings.len(),
            self.settings.len(),
            [error, listed],
        );
    }

    /// Ends a table: a row that is not as written and that the index does not name either stays nameless.
    fn close(&mut self, bad: u64, listed: usize, good: usize, errors: [Option<rusqlite::Error>; 2]) {
        let named = listed.saturating_sub(good) as u64;
        self.nameless += bad.saturating_sub(named);
        self.every_other &= errors.iter().any(Option::is_none);
        self.errors.extend(errors.into_iter().flatten());
        self.forget_found();
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

/// A table read through, and row by row past what is damaged.
struct Table {
    through: String,
    backwards: String,
    forwards: String,
    one: String,
}

impl Table {
    fn new(table: &str, columns: &str) -> Table {
        Table {
            through: format!("SELECT rowid, {columns} FROM {table} NOT INDEXED"),
            forwards: format!("SELECT rowid FROM {table} NOT INDEXED ORDER BY rowid"),
            backwards: format!("SELECT rowid FROM {table} NOT INDEXED ORDER BY rowid DESC"),
            one: format!("SELECT rowid, {columns} FROM {table} NOT INDEXED WHERE rowid = ?1"),
        }
    }

    /// Gives each row to `each`, or its number alone where it cannot be read. A row may be given twice. Gives
    /// what SQLite said where the table cannot be read through.
    fn read(
        &self,
        connection: &Connection,
        newest: Option<i64>,
        each: &mut dyn FnMut(i64, Option<&Row<'_>>),
    ) -> Option<rusqlite::Error> {
        let read_through = walk(connection, &self.through, [], |row| {
            if let Some(number) = integer(row, 0) {
                each(number, Some(row));
            }
        });
        let error = read_through.err()?;
        let mut numbers = BTreeSet::new();
        let mut add = |row: &Row<'_>| numbers.extend(integer(row, 0));
        let forwards = walk(connection, &self.forwards, [], &mut add);
        let backwards = walk(connection, &self.backwards, [], &mut add);
        if forwards.is_err() && backwards.is_err() {
            let last = newest.or(numbers.last().copied()).unwrap_or(0).min(FURTHEST);
            numbers.extend(1..=last);
        }
        for number in numbers {
            let mut found = false;
            let looked = walk(connection, &self.one, [number], |row| {
                found = true;
                each(number, Some(row));
            });
            // A number that was only tried and has no row is not a lost row.
            if looked.is_err() && !found && (forwards.is_ok() || backwards.is_ok()) {
                each(number, None);
            }
        }
        Some(error)
    }
}

fn read_index(
    connection: &Connection,
    columns: &str,
    table: &str,
    index: &str,
    each: &mut dyn FnMut(&Row<'_>),
) -> Option<rusqlite::Error> {
    let sql = format!(
        "SELECT {columns} FROM {table} INDEXED BY {index} ORDER BY {}",
        order(columns)
    );
    walk(connection, &sql, [], each).err()
}

/// The columns of the index alone: the row's number stands first in the answer and last in the index.
fn order(columns: &str) -> &str {
    columns.strip_prefix("rowid, ").unwrap_or(columns)
}

fn walk(
    connection: &Connection,
    sql: &str,
    parameters: impl rusqlite::Params,
    mut each: impl FnMut(&Row<'_>),
) -> rusqlite::Result<()> {
    let mut statement = connection.prepare_cached(sql)?;
    let mut rows = statement.query(parameters)?;
    while let Some(row) = rows.next()? {
        each(row);
    }
    Ok(())
}

fn chunk_of(seq: i64, row: &Row<'_>) -> Option<ChunkRow> {
    let fields = ChunkFields {
        seq,
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

fn blob<'a>(row: &'a Row<'_>, column: usize) -> Option<&'a [u8]> {
    row.get_ref(column).ok()?.as_blob().ok()
}

fn text<'a>(row: &'a Row<'_>, column: usize) -> Option<&'a str> {
    row.get_ref(column).ok()?.as_str().ok()
}

fn integer(row: &Row<'_>, column: usize) -> Option<i64> {
    row.get_ref(column).ok()?.as_i64().ok()
}
