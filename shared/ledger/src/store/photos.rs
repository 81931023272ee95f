//! Photos: originals as files, their rows and small pictures in the database. Each is stored once, whichever jobs
//! use it; which do stands in their documents.

use std::collections::BTreeSet;

use rusqlite::{OptionalExtension, Transaction};

use super::errors::{DiskError, PhotoError};
use super::files::{self, hex};
use super::photo_files::{PhotoFile, photo_files};
use super::seal::{self, PhotoFields};
use super::{PHOTOS, Store};

/// A photo to be kept.
#[derive(Debug, Clone, Copy)]
pub struct PhotoRow<'a> {
    /// Its name: the BLAKE3 hash of the original, on every device.
    pub id: [u8; 32],
    /// `image/jpeg` or the like.
    pub media_type: &'a str,
    /// Pixels across, upright.
    pub width: u32,
    /// Pixels down, upright.
    pub height: u32,
    /// The original, or what another device let go of it; that makes room for the original should it come, and not
    /// the other way round.
    pub bytes: &'a [u8],
    /// The picture with a longer edge of 256 px.
    pub small: &'a [u8],
    /// The picture with a longer edge of 1280 px.
    pub large: &'a [u8],
}

/// A photo that was kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// Its name.
    pub id: [u8; 32],
    /// `image/jpeg` or the like.
    pub media_type: String,
    /// Pixels across, upright. Of a photo that was recovered from its file alone, as the file has them, until it
    /// is put again.
    pub width: u32,
    /// Pixels down, likewise.
    pub height: u32,
    /// The file.
    pub bytes: Vec<u8>,
    /// Whether that is the original, of which the id is the hash.
    pub is_original: bool,
}

/// A photo's small pictures, named by their longer edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thumbnail {
    /// 256 px.
    Small,
    /// 1280 px.
    Large,
}

impl Thumbnail {
    /// Both.
    pub const EVERY: [Thumbnail; 2] = [Thumbnail::Small, Thumbnail::Large];

    /// The longer edge in pixels.
    pub fn edge(self) -> u32 {
        match self {
            Thumbnail::Small => 256,
            Thumbnail::Large => 1280,
        }
    }
}

impl Store {
    /// Keeps a photo. One that is there already is not stored again, but completed where its file or a small
    /// picture is missing or damaged.
    ///
    /// # Errors
    /// Where it could not be made durable.
    pub fn put_photo(&mut self, photo: &PhotoRow<'_>) -> Result<(), PhotoError> {
        self.may_write()?;
        let folder = self.folder.join(PHOTOS);
        let file = PhotoFile {
            id: photo.id,
            hash: *blake3::hash(photo.bytes).as_bytes(),
        };
        let known = self.photo_fields(&photo.id)?;
        let kept = match &known {
            // An original is not given up for what another device let go of.
            Some(known) if PhotoFile::of(known).is_original() && !file.is_original() => {
                let original = PhotoFile::of(known);
                original
                    .read(&folder)?
                    .is_some_and(|bytes| original.is_right(&bytes))
            }
            _ => false,
        };
        // The file first: a file without a row is harmless, a row without a file is a lost photo.
        if !kept && file.read(&folder)?.as_deref() != Some(photo.bytes) {
            files::write_whole(&folder, &file.name(), photo.bytes)?;
        }
        let fields = |seq| match &known {
            Some(known) if kept => PhotoFields { seq, ..known.clone() },
            _ => PhotoFields {
                id: photo.id,
                seq,
                media_type: photo.media_type.to_owned(),
                byte_count: photo.bytes.len() as i64,
                width: photo.width.into(),
                height: photo.height.into(),
                stored_hash: file.hash,
            },
        };
        let same = known.as_ref().is_some_and(|known| *known == fields(known.seq));
        let both = Thumbnail::EVERY
            .iter()
            .all(|edge| self.thumbnail(&photo.id, *edge).is_ok());
        if same && both {
            return Ok(());
        }
        self.keep(|transaction, seq| {
            write_photo(transaction, &fields(seq))?;
            for (thumbnail, bytes) in [(Thumbnail::Small, photo.small), (Thumbnail::Large, photo.large)] {
                write_thumbnail(transaction, &photo.id, thumbnail.edge().into(), bytes)?;
            }
            Ok(())
        })
    }

    /// A photo with its file, checked against the hash that was stored with it.
    ///
    /// # Errors
    /// Where there is no such photo, its file is gone or damaged, or the disk fails.
    pub fn photo(&self, id: &[u8; 32]) -> Result<Photo, PhotoError> {
        let fields = self
            .photo_fields(id)?
            .ok_or(PhotoError::NoSuchPhoto { photo: hex(id) })?;
        let file = PhotoFile::of(&fields);
        let bytes = file.read(&self.folder.join(PHOTOS))?;
        let bytes = bytes.ok_or(PhotoError::FileMissing { photo: hex(id) })?;
        let damaged = || PhotoError::Damaged { photo: hex(id) };
        if !file.is_right(&bytes) {
            return Err(damaged());
        }
        Ok(Photo {
            id: fields.id,
            media_type: fields.media_type,
            width: u32::try_from(fields.width).map_err(|_| damaged())?,
            height: u32::try_from(fields.height).map_err(|_| damaged())?,
            bytes,
            is_original: file.is_original(),
        })
    }

    /// A small picture of a photo.
    ///
    /// # Errors
    /// Where there is no such photo, it has no such picture, that is damaged, or the disk fails.
    pub fn thumbnail(&self, id: &[u8; 32], thumbnail: Thumbnail) -> Result<Vec<u8>, PhotoError> {
        let edge = i64::from(thumbnail.edge());
        let found = self
            .connection
            .prepare_cached("SELECT seal, bytes FROM thumbnail WHERE photo = ?1 AND edge = ?2")?
            .query_row((id, edge), |row| {
                Ok((row.get::<_, [u8; 32]>(0)?, row.get::<_, Vec<u8>>(1)?))
            })
            .optional()?;
        match found {
            Some((sealed, bytes)) if sealed == seal::thumbnail_seal(id, edge, &bytes) => Ok(bytes),
            None if !self.has_photo(id)? => Err(PhotoError::NoSuchPhoto { photo: hex(id) }),
            _ => Err(PhotoError::NoThumbnail {
                photo: hex(id),
                edge: thumbnail.edge(),
            }),
        }
    }

    /// Whether a photo was kept here. Its file may still be damaged; [`Store::photo`] and [`Store::check`] tell.
    ///
    /// # Errors
    /// Where the database cannot be read.
    pub fn has_photo(&self, id: &[u8; 32]) -> Result<bool, DiskError> {
        Ok(self.photo_fields(id)?.is_some())
    }

    /// The ids of all photos, sorted.
    ///
    /// # Errors
    /// Where the database cannot be read.
    pub fn photos(&self) -> Result<Vec<[u8; 32]>, DiskError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT id FROM photo ORDER BY id")?;
        let ids = statement
            .query_map([], |row| row.get(0))?
            .collect::<Result<Vec<_>, _>>()?;
        Ok(ids)
    }

    /// The photos that lack a small picture, which a recovery can leave: make them from the original and put the
    /// photo again.
    ///
    /// # Errors
    /// Where the database cannot be read.
    pub fn photos_without_thumbnails(&self) -> Result<Vec<[u8; 32]>, DiskError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT id FROM photo WHERE (SELECT count(*) FROM thumbnail WHERE photo = photo.id) < 2 ORDER BY id",
        )?;
        let ids = statement
            .query_map([], |row| row.get(0))?
            .collect::<Result<Vec<_>, _>>()?;
        Ok(ids)
    }

    /// Takes in photos whose file is there without a row: the plug was pulled between the two.
    pub(super) fn adopt_photos(&mut self) -> Result<(), DiskError> {
        let mut known: BTreeSet<[u8; 32]> = self.photos()?.into_iter().collect();
        let folder = self.folder.join(PHOTOS);
        for file in photo_files(&folder)? {
            if known.insert(file.id)
                && let Some(fields) = file.row(&folder)?
            {
                self.keep(|transaction, seq| {
                    write_photo(transaction, &PhotoFields { seq, ..fields }).map_err(DiskError::from)
                })?;
            }
        }
        Ok(())
    }

    fn photo_fields(&self, id: &[u8; 32]) -> Result<Option<PhotoFields>, DiskError> {
        let found = self
            .connection
            .prepare_cached(
                "SELECT seq, media_type, byte_count, width, height, stored_hash, seal FROM photo WHERE id = ?1",
            )?
            .query_row([id], |row| {
                let fields = PhotoFields {
                    id: *id,
                    seq: row.get(0)?,
                    media_type: row.get(1)?,
                    byte_count: row.get(2)?,
                    width: row.get(3)?,
                    height: row.get(4)?,
                    stored_hash: row.get(5)?,
                };
                Ok((fields, row.get::<_, [u8; 32]>(6)?))
            })
            .optional()?;
        match found {
            Some((fields, sealed)) if sealed != fields.seal() => Err(DiskError::Damaged {
                reason: format!("the row of photo `{}` is not as it was kept", hex(id)),
            }),
            found => Ok(found.map(|(fields, _)| fields)),
        }
    }
}

/// Writes a photo's row with its seal, over the one before if there is one.
pub(super) fn write_photo(transaction: &Transaction<'_>, photo: &PhotoFields) -> rusqlite::Result<()> {
    transaction
        .prepare_cached(
            "INSERT INTO photo (id, seq, media_type, byte_count, width, height, stored_hash, seal)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)
             ON CONFLICT (id) DO UPDATE SET seq = ?2, media_type = ?3, byte_count = ?4, width = ?5, height = ?6,
                 stored_hash = ?7, seal = ?8",
        )?
        .execute((
            photo.id,
            photo.seq,
            &photo.media_type,
            photo.byte_count,
            photo.width,
            photo.height,
            photo.stored_hash,
            photo.seal(),
        ))?;
    Ok(())
}

/// Writes a small picture with its seal, over the one before if there is one.
pub(super) fn write_thumbnail(
    transaction: &Transaction<'_>,
    photo: &[u8; 32],
    edge: i64,
    bytes: &[u8],
) -> rusqlite::Result<()> {
    transaction
        .prepare_cached(
            "INSERT INTO thumbnail (photo, edge, seal, bytes) VALUES (?1, ?2, ?3, ?4)
             ON CONFLICT (photo, edge) DO UPDATE SET seal = ?3, bytes = ?4",
        )?
        .execute((photo, edge, seal::thumbnail_seal(photo, edge, bytes), bytes))?;
    Ok(())
}
