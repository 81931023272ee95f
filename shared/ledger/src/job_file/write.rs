//! A job file is written: the same input gives the same bytes.

use std::collections::BTreeSet;
use std::io::{Seek, Write};

use thiserror::Error;
use zip::result::ZipError;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, System, ZipWriter};

use super::names::{PhotoName, text_name};
use super::{
    DOCUMENT, LARGEST_DOCUMENT, LARGEST_IN_ALL, LARGEST_PHOTO, LARGEST_TEXT, LARGEST_TEXTS, MOST_ENTRIES,
    PHOTOS,
};

/// Writes a job file. What is put in first stands first; every entry bears the date 1980-01-01, so that nothing but
/// the contents decides on the bytes.
#[derive(Debug)]
pub struct Writer<W: Write + Seek> {
    zip: ZipWriter<W>,
    names: BTreeSet<String>,
    all: u64,
    texts: u64,
}

impl<W: Write + Seek> Writer<W> {
    /// Begins a job file.
    pub fn new(to: W) -> Self {
        Self {
            zip: ZipWriter::new(to),
            names: BTreeSet::new(),
            all: 0,
            texts: 0,
        }
    }

    /// Puts a text in, such as `README.txt` or `readings.csv`.
    ///
    /// # Errors
    /// A name that [`text_name`] does not take or that is in it already, a text that is too long, a failed write.
    pub fn text(&mut self, name: &str, text: &str) -> Result<(), PackError> {
        if !text_name(name) {
            return Err(PackError::BadName {
                name: name.to_owned(),
            });
        }
        let texts = self.texts + text.len() as u64;
        if texts > LARGEST_TEXTS {
            return Err(too_large(name, LARGEST_TEXTS));
        }
        self.put(name, text.as_bytes(), CompressionMethod::Deflated, LARGEST_TEXT)?;
        self.texts = texts;
        Ok(())
    }

    /// Puts the document in.
    ///
    /// # Errors
    /// Where there is one already, it is too long, or cannot be written.
    pub fn document(&mut self, bytes: &[u8]) -> Result<(), PackError> {
        // Its columns are packed already.
        self.put(DOCUMENT, bytes, CompressionMethod::Stored, LARGEST_DOCUMENT)
    }

    /// Puts a photo in. `hash` are the 64 lower-case hexadecimal digits that the job knows it by, `extension` is
    /// `jpg`, `png` or `webp`.
    ///
    /// # Errors
    /// Another name than that, one that is in it already, a photo that is too large, a failed write.
    pub fn photo(&mut self, hash: &str, extension: &str, bytes: &[u8]) -> Result<(), PackError> {
        let name = PhotoName::new(hash, extension).ok_or_else(|| PackError::BadName {
            name: format!("{hash}.{extension}"),
        })?;
        let name = format!("{PHOTOS}/{name}");
        self.put(&name, bytes, CompressionMethod::Stored, LARGEST_PHOTO)
    }

    /// Ends the job file and gives back what it was written to.
    ///
    /// # Errors
    /// Where no document was put in, or the end cannot be written.
    pub fn finish(self) -> Result<W, PackError> {
        if !self.names.contains(DOCUMENT) {
            return Err(PackError::NoDocument);
        }
        self.zip.finish().map_err(|cause| PackError::Write {
            name: DOCUMENT.to_owned(),
            cause,
        })
    }

    fn put(&mut self, name: &str, bytes: &[u8], how: CompressionMethod, limit: u64) -> Result<(), PackError> {
        let length = bytes.len() as u64;
        if length > limit {
            return Err(too_large(name, limit));
        }
        let all = self.all + length;
        if all > LARGEST_IN_ALL {
            return Err(too_large(name, LARGEST_IN_ALL));
        }
        if self.names.len() == MOST_ENTRIES {
            return Err(PackError::TooMany);
        }
        if !self.names.insert(name.to_owned()) {
            return Err(PackError::Twice {
                name: name.to_owned(),
            });
        }
        // Everything that would otherwise follow the system this runs on is said.
        let options = SimpleFileOptions::default()
            .compression_method(how)
            .last_modified_time(DateTime::DEFAULT)
            .system(System::Unix)
            .unix_permissions(0o644);
        self.zip
            .start_file(name, options)
            .and_then(|()| Ok(self.zip.write_all(bytes)?))
            .map_err(|cause| PackError::Write {
                name: name.to_owned(),
                cause,
            })?;
        self.all = all;
        Ok(())
    }
}

/// Why a job file cannot be written.
#[derive(Debug, Error)]
pub enum PackError {
    /// Not a name that a job file has.
    #[error(
        "`{name}` cannot be in a job file: texts end in .csv, .txt or .json, photos are called by their hash"
    )]
    BadName {
        /// As it was given.
        name: String,
    },
    /// The same name once more.
    #[error("`{name}` is in the job file already: give it another name")]
    Twice {
        /// Which.
        name: String,
    },
    /// Too long to be read again.
    #[error(
        "with `{name}` it holds more than {limit} bytes, which no device would read: leave some photos out"
    )]
    TooLarge {
        /// What was to be put in.
        name: String,
        /// The limit that it would pass.
        limit: u64,
    },
    /// Too many entries to be read again.
    #[error("a job file has room for {MOST_ENTRIES} entries: leave some photos out")]
    TooMany,
    /// A job file without a job.
    #[error("the job itself is not in the job file: put the document in before it is ended")]
    NoDocument,
    /// The disk is full, was pulled out, or the like.
    #[error("`{name}` cannot be written, so see whether there is room: {cause}")]
    Write {
        /// What was being written.
        name: String,
        /// What went wrong.
        #[source]
        cause: ZipError,
    },
}

fn too_large(name: &str, limit: u64) -> PackError {
    PackError::TooLarge {
        name: name.to_owned(),
        limit,
    }
}
