//! The store: every job of a device in one folder, kept so that a pulled plug loses nothing.
//!
//! | in the folder | what it is |
//! | --- | --- |
//! | `trammel.sqlite` | all jobs: the chunks of their documents, photos' rows and small pictures, settings |
//! | `photos/` | the photos' files, each under its id |
//! | `copies/` | of each job one copy of the whole document, made when it was last compacted |
//! | `lock` | held by the one who writes |
//! | `tally` | the number of the newest thing that was kept, so that a database that lost its newest pages is noticed |
//! | `damaged-1/`, ... | what was set aside because it was damaged, with the reason |
//!
//! A document is opaque here. Whoever understands documents is a [`Judge`], given at opening.
//!
//! # What holds
//!
//! - What a call has acknowledged with `Ok` is on the disk, and a killed program or a pulled plug does not lose it.
//! - Every row and every photo is sealed with BLAKE3. What is not as it was written is told, never given out.
//! - Whatever is damaged is set aside, never deleted; what can be read is recovered, and the
//!   [`RecoveryReport`] says what was lost.
//! - Nothing is erased: the store has no call that removes a job or a photo.

mod check;
mod documents;
mod errors;
mod files;
mod jobs;
mod judge;
mod opening;
mod photo_files;
mod photos;
mod recover;
mod rows;
mod schema;
mod seal;
mod settings;
mod tally;
#[cfg(test)]
mod tests;

use std::path::{Path, PathBuf};

use rusqlite::{Connection, Transaction, TransactionBehavior, ffi};

use opening::Lock;

pub use check::{CheckReport, Wrong};
pub use documents::Documents;
pub use errors::{DiskError, JobError, PhotoError, StoreError};
pub use jobs::{COMPACT_AFTER, JobRow};
pub use judge::{Judge, Salvaged, Unreadable};
pub use photos::{Photo, PhotoRow, Thumbnail};
pub use recover::{JobRecovery, Lost, PhotoRecovery, RecoveryReport};

/// The database's file in the store's folder.
const DATABASE: &str = "trammel.sqlite";
/// A database that is not yet whole.
const MAKING: &str = "making.sqlite";
/// The folder of the photos' files.
const PHOTOS: &str = "photos";
/// The folder of the whole-document copies.
const COPIES: &str = "copies";

/// What a store is opened for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Access {
    /// To read and to write. Only one at a time.
    Write,
    /// To read, beside a writer if there is one. Nothing is made, repaired or tidied.
    ReadOnly,
}

/// The store of a device.
pub struct Store {
    // Declared before the lock: the connection is closed while the lock is still held.
    connection: Connection,
    folder: PathBuf,
    judge: &'static (dyn Judge + Sync),
    access: Access,
    /// The number of the newest thing that was kept.
    newest: i64,
    must_reopen: bool,
    _lock: Option<Lock>,
}

/// A store that was opened, and what was found on the way.
#[derive(Debug)]
pub struct Opened {
    /// The store.
    pub store: Store,
    /// `None` where everything was as it was left.
    pub report: Option<RecoveryReport>,
}

impl Store {
    /// Opens the store in a folder. With [`Access::Write`] the store is made where there is none, brought up to
    /// date where it is of an older format, and recovered where it is damaged.
    ///
    /// # Errors
    /// Where another program writes to it, it is newer than this program or not ours, the disk fails; and, with
    /// [`Access::ReadOnly`], where it is not there or damaged.
    pub fn open(
        folder: &Path,
        judge: &'static (dyn Judge + Sync),
        access: Access,
    ) -> Result<Opened, StoreError> {
        match access {
            Access::Write => opening::for_writing(folder, judge),
            Access::ReadOnly => opening::for_reading(folder, judge),
        }
    }

    /// Whether a folder has a store, as far as names tell.
    pub fn is_in(folder: &Path) -> bool {
        folder.join(DATABASE).is_file()
    }

    /// Where the store is.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// What the store was opened for.
    pub fn access(&self) -> Access {
        self.access
    }

    /// Whether a write failed and nothing could be written after it: the store must be closed and opened again. What
    /// was refused last may then be there all the same, as the disk did not let it be taken back.
    pub fn must_reopen(&self) -> bool {
        self.must_reopen
    }

    /// Does something in one durable transaction under the next number.
    fn keep<T, E>(&mut self, work: impl FnOnce(&Transaction<'_>, i64) -> Result<T, E>) -> Result<T, E>
    where
        E: From<DiskError> + From<rusqlite::Error>,
    {
        let seq = self.newest + 1;
        let done = self.write(|transaction| work(transaction, seq))?;
        self.newest = seq;
        // A tally that lags behind does no harm; what it counts is on the disk already.
        let _ = tally::write(&self.folder, seq);
        Ok(done)
    }

    /// Does something in one durable transaction.
    fn write<T, E>(&mut self, work: impl FnOnce(&Transaction<'_>) -> Result<T, E>) -> Result<T, E>
    where
        E: From<DiskError> + From<rusqlite::Error>,
    {
        self.may_write()?;
        let behavior = TransactionBehavior::Immediate;
        let transaction = self.connection.transaction_with_behavior(behavior)?;
        let done = work(&transaction)?;
        match transaction.commit() {
            Ok(()) => Ok(done),
            Err(error) => {
                self.after_failed_commit(&error);
                Err(error.into())
            }
        }
    }

    fn may_write(&self) -> Result<(), DiskError> {
        if self.access == Access::ReadOnly {
            return Err(DiskError::ReadOnly);
        }
        if self.must_reopen || !self.connection.is_autocommit() {
            return Err(DiskError::MustReopen);
        }
        Ok(())
    }

    /// A commit whose sync failed is rolled back, but lies in the write-ahead log in full: a program killed now
    /// would find it there at the next opening, though it was told as failed. So a commit that changes nothing is
    /// written over it. Where that is not on the disk either, nothing more is written through this connection.
    fn after_failed_commit(&mut self, error: &rusqlite::Error) {
        let in_full = matches!(
            error.sqlite_extended_error_code(),
            Some(ffi::SQLITE_IOERR_FSYNC | ffi::SQLITE_IOERR_DIR_FSYNC)
        );
        let rolled_back = self.connection.is_autocommit();
        if !rolled_back
            || (in_full
                && self
                    .connection
                    .execute("UPDATE format SET one = one", [])
                    .is_err())
        {
            self.must_reopen = true;
        }
    }
}

impl std::fmt::Debug for Store {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Store")
            .field("folder", &self.folder)
            .field("access", &self.access)
            .field("newest", &self.newest)
            .finish_non_exhaustive()
    }
}
