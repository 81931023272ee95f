//! Photos: originals as files, their rows and small pictures in the database. Each is stored once, whichever jobs
//! use it; which do stands in their documents.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use rusqlite::{OptionalExtension, Transaction};

use super::errors::{DiskError, PhotoError};
use super::files::{self, from_hex, hex};
use super::seal::{self, PhotoFields};
use super::{PHOTOS, Store};

/// A photo to be kept.
#[derive(Debug, Clone, Copy)]
pub struct PhotoRow<'a> {
    /// Its name: the BLAKE3 hash of `original`, so that one photo is stored once and can be checked for ever.
    pub id: [u8; 32],
    /// `image/jpeg` or the like.
    pub media_type: &'a str,
    /// Pixels across, upright.
    pub width: u32,
    /// Pixels down, upright.
    pub height: u32,
    /// The file as it was taken in.
    pub original: &'a [u8],
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
    /// The file as it was taken in.
    pub original: Vec<u8>,
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
    /// [`PhotoError::Damaged`] where the id is not the hash of the original; otherwise where it could not be made
    /// durable.
    pub fn put_photo(&mut self, photo: &PhotoRow<'_>) -> Result<(), PhotoError> {
        self.may_write()?;
        let stored_hash = *blake3::hash(photo.original).as_bytes();
        if stored_hash != photo.id {
            return Err(PhotoError::Damaged {
                photo: hex(&photo.id),
            });
        }
        let folder = self.folder.join(PHOTOS);
        let there = files::read(&folder.join(hex(&photo.id)))?;
        // The file first: a file without a row is harmless, a row without a file is a lost photo.
        if there.as_deref() != Some(photo.original) {
            files::write_whole(&folder, &hex(&photo.id), photo.original)?;
        }
        let fields = |seq| PhotoFields {
            id: photo.id,
            seq,
            media_type: photo.media_type.to_owned(),
            byte_count: photo.original.len() as i64,
            width: photo.width.into(),
            height: photo.height.into(),
            stored_hash,
        };
        if self.is_whole(photo, &fields)? {
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

    /// A photo with its original, checked against the hash that was stored with it.
    ///
    /// # Errors
    /// Where there is no such photo, its file is gone or damaged, or the disk fails.
    pub fn photo(&self, id: &[u8; 32]) -> Result<Photo, PhotoError> {
        let fields = self
            .photo_fields(id)?
            .ok_or(PhotoError::NoSuchPhoto { photo: hex(id) })?;
        let original =
            files::read(&self.original_path(id))?.ok_or(PhotoError::FileMissing { photo: hex(id) })?;
        let damaged = || PhotoError::Damaged { photo: hex(id) };
        if *blake3::hash(&original).as_bytes() != fields.stored_hash {
            return Err(damaged());
        }
        Ok(Photo {
            id: fields.id,
            media_type: fields.media_type,
            width: u32::try_from(fields.width).map_err(|_| damaged())?,
            height: u32::try_from(fields.height).map_err(|_| damaged())?,
            original,
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
        let known: BTreeSet<[u8; 32]> = self.photos()?.into_iter().collect();
        let folder = self.folder.join(PHOTOS);
        for name in files::names(&folder)? {
            let Some(id) = from_hex(&name).filter(|id| !known.contains(id)) else {
                continue;
            };
            if let Some(fields) = read_original(&folder, &id)? {
                self.keep(|transaction, seq| {
                    write_photo(transaction, &PhotoFields { seq, ..fields }).map_err(DiskError::from)
                })?;
            }
        }
        Ok(())
    }

    pub(super) fn original_path(&self, id: &[u8; 32]) -> PathBuf {
        self.folder.join(PHOTOS).join(hex(id))
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

    /// Whether everything of a photo is there as it is to be put.
    fn is_whole(
        &self,
        photo: &PhotoRow<'_>,
        fields: &dyn Fn(i64) -> PhotoFields,
    ) -> Result<bool, PhotoError> {
        let Some(known) = self.photo_fields(&photo.id)? else {
            return Ok(false);
        };
        let same = known == fields(known.seq);
        let both = Thumbnail::EVERY
            .iter()
            .all(|edge| self.thumbnail(&photo.id, *edge).is_ok());
        Ok(same && both)
    }
}

/// Makes a photo's row from its file alone; `None` where the file is not what its name says or no picture.
pub(super) fn read_original(folder: &Path, id: &[u8; 32]) -> Result<Option<PhotoFields>, DiskError> {
    let Some(bytes) = files::read(&folder.join(hex(id)))? else {
        return Ok(None);
    };
    if blake3::hash(&bytes).as_bytes() != id {
        return Ok(None);
    }
    let reader = image::ImageReader::new(std::io::Cursor::new(&bytes)).with_guessed_format();
    let picture = reader.ok().and_then(|reader| {
        let format = reader.format()?;
        Some((format, reader.into_dimensions().ok()?))
    });
    Ok(picture.map(|(format, (width, height))| PhotoFields {
        id: *id,
        seq: 0,
        media_type: format.to_mime_type().to_owned(),
        byte_count: bytes.len() as i64,
        width: width.into(),
        height: height.into(),
        stored_hash: *id,
    }))
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
