//! The files of photos: each has a name that says what must be in it.

use std::path::{Path, PathBuf};

use super::errors::DiskError;
use super::files::{self, from_hex, hex};
use super::seal::PhotoFields;

/// A photo's file. An original is named by its id, which is its hash. What another device let go of, without the
/// place where it was taken, is another file of the same photo and is named by id and hash.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct PhotoFile {
    pub(super) id: [u8; 32],
    pub(super) hash: [u8; 32],
}

impl PhotoFile {
    pub(super) fn of(photo: &PhotoFields) -> PhotoFile {
        PhotoFile {
            id: photo.id,
            hash: photo.stored_hash,
        }
    }

    pub(super) fn is_original(&self) -> bool {
        self.id == self.hash
    }

    pub(super) fn name(&self) -> String {
        if self.is_original() {
            hex(&self.id)
        } else {
            format!("{}-{}", hex(&self.id), hex(&self.hash))
        }
    }

    pub(super) fn path(&self, folder: &Path) -> PathBuf {
        folder.join(self.name())
    }

    /// The bytes, if the file is there. Whether they are the right ones, [`PhotoFile::is_right`] says.
    pub(super) fn read(&self, folder: &Path) -> Result<Option<Vec<u8>>, DiskError> {
        files::read(&self.path(folder))
    }

    pub(super) fn is_right(&self, bytes: &[u8]) -> bool {
        *blake3::hash(bytes).as_bytes() == self.hash
    }

    /// A photo's row made from its file alone; `None` where the file is not what its name says or no picture. Width
    /// and height are those of the file, not turned upright.
    pub(super) fn row(&self, folder: &Path) -> Result<Option<PhotoFields>, DiskError> {
        let Some(bytes) = self.read(folder)?.filter(|bytes| self.is_right(bytes)) else {
            return Ok(None);
        };
        let reader = image::ImageReader::new(std::io::Cursor::new(&bytes)).with_guessed_format();
        let picture = reader.ok().and_then(|reader| {
            let format = reader.format()?;
            Some((format, reader.into_dimensions().ok()?))
        });
        Ok(picture.map(|(format, (width, height))| PhotoFields {
            id: self.id,
            seq: 0,
            media_type: format.to_mime_type().to_owned(),
            byte_count: bytes.len() as i64,
            width: width.into(),
            height: height.into(),
            stored_hash: self.hash,
        }))
    }

    fn named(name: &str) -> Option<PhotoFile> {
        let (id, hash) = match name.split_once('-') {
            Some((id, hash)) => (from_hex(id)?, from_hex(hash)?),
            None => (from_hex(name)?, from_hex(name)?),
        };
        let file = PhotoFile { id, hash };
        (file.name() == name).then_some(file)
    }
}

/// The files of photos in a folder, of each photo the original first. Other files are not looked at.
pub(super) fn photo_files(folder: &Path) -> Result<Vec<PhotoFile>, DiskError> {
    let names = files::names(folder)?;
    Ok(names.iter().filter_map(|name| PhotoFile::named(name)).collect())
}
