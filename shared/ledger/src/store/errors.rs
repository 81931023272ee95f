//! Why an operation on the store did not happen, and what to do about it.

use std::io;
use std::path::PathBuf;

use rusqlite::{ErrorCode, ffi};
use thiserror::Error;

use super::judge::Unreadable;
use crate::JobId;

/// Why a store cannot be opened.
#[derive(Debug, Error)]
pub enum StoreError {
    /// Another program has it open for writing.
    #[error("another window or program works in `{folder}`: close it there, or open it here for reading only", folder = folder.display())]
    InUse {
        /// The store's folder.
        folder: PathBuf,
    },
    /// A later version of the program made it.
    #[error(
        "this store was made by a newer version of the program (format {found}, this one knows {known}): install the newer version; nothing was changed"
    )]
    Newer {
        /// The format of the store.
        found: i64,
        /// The newest format known here.
        known: i64,
    },
    /// An earlier version of the program made it, and reading changes nothing.
    #[error(
        "this store is of an older format ({found}, this program writes {known}): open it for writing once, which brings it up to date"
    )]
    Older {
        /// The format of the store.
        found: i64,
        /// The newest format known here.
        known: i64,
    },
    /// The database belongs to something else.
    #[error("`{path}` belongs to another program: choose another folder; nothing was changed", path = path.display())]
    Foreign {
        /// The database file.
        path: PathBuf,
    },
    /// There is no store, and reading makes none.
    #[error("there are no jobs in `{folder}` yet: choose the folder that has some, or make a job there", folder = folder.display())]
    Missing {
        /// The folder.
        folder: PathBuf,
    },
    /// It is damaged, and reading repairs nothing.
    #[error(
        "the store in `{folder}` is damaged: open it for writing, which sets the damaged file aside and recovers what can be read: {reason}", folder = folder.display()
    )]
    Damaged {
        /// The store's folder.
        folder: PathBuf,
        /// What was found.
        reason: String,
    },
    /// What was just recovered is damaged again.
    #[error(
        "what was recovered in `{folder}` cannot be read back, so the disk cannot be trusted: copy the whole folder to another disk and open it there: {reason}", folder = folder.display()
    )]
    NotRecovered {
        /// The store's folder.
        folder: PathBuf,
        /// What was found.
        reason: String,
    },
    /// The disk or the database.
    #[error(transparent)]
    Disk(#[from] DiskError),
}

/// What disk and database can say to any operation.
#[derive(Debug, Error)]
pub enum DiskError {
    /// No room.
    #[error("the disk is full: make room and try again; nothing of this was kept")]
    Full,
    /// Opened with [`Access::ReadOnly`](super::Access::ReadOnly).
    #[error("this store is open for reading only: open it for writing to change it")]
    ReadOnly,
    /// A write failed and nothing could be written after it, so that it is not known what the disk holds of it.
    #[error(
        "an earlier write failed and the disk took nothing more: close the store and open it again, then look whether the last entry is there; what was acknowledged is"
    )]
    MustReopen,
    /// Another program holds the database for longer than can be waited.
    #[error("another program holds the database: close it and try again")]
    Busy,
    /// The database is damaged.
    #[error(
        "the database is damaged: close the store and open it again to recover what can be read: {reason}"
    )]
    Damaged {
        /// What was found.
        reason: String,
    },
    /// A file or a folder.
    #[error("`{path}` could not be read or written: look whether the disk is there and may be written to: {source}", path = path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The database, in its own words.
    #[error(
        "the database could not be read or written: look whether the disk is there and may be written to: {0}"
    )]
    Database(#[source] rusqlite::Error),
}

/// Why something could not be done with a job.
#[derive(Debug, Error)]
pub enum JobError {
    /// No such job on this device.
    #[error("there is no job `{job}` on this device: take it in from a job file or from the other device")]
    NoSuchJob {
        /// The job.
        job: JobId,
    },
    /// A job of this name is there already.
    #[error("job `{job}` is on this device already: open it instead of making it")]
    AlreadyThere {
        /// The job.
        job: JobId,
    },
    /// What is kept of the job fails its checks.
    #[error(
        "job `{job}` is damaged on this disk: close the store and open it again to recover what can be read: {reason}"
    )]
    Damaged {
        /// The job.
        job: JobId,
        /// What was found.
        reason: String,
    },
    /// The document cannot be read, though every byte is as it was kept.
    #[error(
        "the document of job `{job}` cannot be read: take it in again from the other device or a job file: {source}"
    )]
    Unreadable {
        /// The job.
        job: JobId,
        /// What the reader of documents said.
        source: Unreadable,
    },
    /// The document has other heads than those that were kept with it.
    #[error(
        "the document of job `{job}` does not read as it was kept, so it was left as it is: open the job again, and take it in from the other device where that does not help"
    )]
    HeadsDiffer {
        /// The job.
        job: JobId,
    },
    /// The disk or the database.
    #[error(transparent)]
    Disk(#[from] DiskError),
}

/// Why a photo could not be kept or given back.
#[derive(Debug, Error)]
pub enum PhotoError {
    /// No such photo on this device.
    #[error(
        "photo `{photo}` is not on this device: it comes with the next sync or job file from the device that took it"
    )]
    NoSuchPhoto {
        /// The photo's id in hexadecimal digits.
        photo: String,
    },
    /// The file of the original is gone.
    #[error("the file of photo `{photo}` is gone: take it in again from the other device or a job file")]
    FileMissing {
        /// The photo's id in hexadecimal digits.
        photo: String,
    },
    /// The file is not as it was kept.
    #[error("photo `{photo}` is damaged on this disk: take it in again from the other device or a job file")]
    Damaged {
        /// The photo's id in hexadecimal digits.
        photo: String,
    },
    /// The photo is there but not its small picture.
    #[error("photo `{photo}` has no small picture of {edge} px here: make it from the original and keep it")]
    NoThumbnail {
        /// The photo's id in hexadecimal digits.
        photo: String,
        /// The longer edge in pixels.
        edge: u32,
    },
    /// The disk or the database.
    #[error(transparent)]
    Disk(#[from] DiskError),
}

impl DiskError {
    /// Says of a failed file operation which file it was.
    pub(super) fn file(path: impl Into<PathBuf>) -> impl FnOnce(io::Error) -> DiskError {
        let path = path.into();
        move |source| match source.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => DiskError::Full,
            _ => DiskError::File { path, source },
        }
    }
}

impl From<rusqlite::Error> for DiskError {
    fn from(error: rusqlite::Error) -> Self {
        // The memory that connections share is a file as well, and has no code of its own for a full disk.
        if error.sqlite_extended_error_code() == Some(ffi::SQLITE_IOERR_SHMSIZE) {
            return DiskError::Full;
        }
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => DiskError::Full,
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => DiskError::Busy,
            Some(ErrorCode::ReadOnly) => DiskError::ReadOnly,
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => DiskError::Damaged {
                reason: error.to_string(),
            },
            _ => DiskError::Database(error),
        }
    }
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        StoreError::Disk(error.into())
    }
}

impl From<rusqlite::Error> for JobError {
    fn from(error: rusqlite::Error) -> Self {
        JobError::Disk(error.into())
    }
}

impl From<rusqlite::Error> for PhotoError {
    fn from(error: rusqlite::Error) -> Self {
        PhotoError::Disk(error.into())
    }
}
