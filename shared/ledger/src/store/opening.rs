//! Opening: who may write, whether everything is as it was left, and what to do where it is not.

use std::fs::{File, OpenOptions, TryLockError};
use std::path::Path;

use rusqlite::{Connection, TransactionBehavior};

use super::check::{Wrong, wrong_rows};
use super::errors::{DiskError, StoreError};
use super::judge::Judge;
use super::recover::{self, RecoveryReport};
use super::rows::Rows;
use super::schema::{self, Identity};
use super::tally::{self, Tally};
use super::{Access, COPIES, DATABASE, MAKING, Opened, PHOTOS, Store, files};

/// What a look at the database gives.
enum Look {
    Sound { connection: Connection, newest: i64 },
    Damaged(Vec<String>),
}

pub(super) fn for_writing(folder: &Path, judge: &'static (dyn Judge + Sync)) -> Result<Opened, StoreError> {
    for folder in [folder, &folder.join(PHOTOS), &folder.join(COPIES)] {
        files::make_folder(folder)?;
    }
    let lock = take_lock(folder)?;
    for folder in [folder, &folder.join(PHOTOS), &folder.join(COPIES)] {
        files::remove_parts(folder)?;
    }
    files::remove_database(&folder.join(MAKING))?;
    let mut report = recover::resume(folder, judge)?;
    let (connection, newest) = loop {
        let tally = tally::read(folder)?;
        let reasons = match look(folder, tally, Access::Write)? {
            Look::Sound { connection, newest } => {
                if newest > 0 && tally.newest().is_none() && report.is_none() {
                    report = Some(RecoveryReport::without_tally());
                }
                match tally {
                    Tally::Newest(counted) if counted == newest => {}
                    Tally::Newest(_) => tally::write(folder, newest)?,
                    Tally::Absent | Tally::Unreadable => tally::make(folder, newest)?,
                }
                break (connection, newest);
            }
            Look::Damaged(reasons) => reasons,
        };
        if report.is_some() {
            return Err(StoreError::NotRecovered {
                folder: folder.to_owned(),
                reason: reasons.join("; "),
            });
        }
        report = Some(recover::begin(folder, judge, reasons, tally)?);
    };
    schema::tidy_when_closed(&connection)?;
    let mut store = Store {
        connection,
        folder: folder.to_owned(),
        judge,
        access: Access::Write,
        newest,
        must_reopen: false,
        _lock: Some(lock),
    };
    match store.adopt_photos() {
        // It can wait, and a full disk must not keep anybody from reading.
        Err(DiskError::Full) => {}
        adopted => adopted?,
    }
    Ok(Opened { store, report })
}

pub(super) fn for_reading(folder: &Path, judge: &'static (dyn Judge + Sync)) -> Result<Opened, StoreError> {
    let tally = tally::read(folder)?;
    match look(folder, tally, Access::ReadOnly)? {
        Look::Sound { connection, newest } => Ok(Opened {
            store: Store {
                connection,
                folder: folder.to_owned(),
                judge,
                access: Access::ReadOnly,
                newest,
                must_reopen: false,
                _lock: None,
            },
            report: None,
        }),
        Look::Damaged(reasons) => Err(StoreError::Damaged {
            folder: folder.to_owned(),
            reason: reasons.join("; "),
        }),
    }
}

/// Looks at the database without changing it where it is damaged, newer or not ours.
fn look(folder: &Path, tally: Tally, access: Access) -> Result<Look, StoreError> {
    let path = folder.join(DATABASE);
    let there = path.is_file();
    // Nothing was kept: no count above nought, no log of a database, no copy and no photo.
    let new = || -> Result<bool, DiskError> {
        Ok(tally.newest().unwrap_or(0) == 0
            && !folder.join(format!("{DATABASE}-wal")).is_file()
            && files::names(&folder.join(COPIES))?.is_empty()
            && files::names(&folder.join(PHOTOS))?.is_empty())
    };
    if !there && !new()? {
        return Ok(Look::Damaged(vec!["the file of the database is gone".to_owned()]));
    }
    let identity = if there {
        schema::identify(&path)?
    } else {
        Identity::Fresh
    };
    match identity {
        Identity::Foreign => return Err(StoreError::Foreign { path }),
        Identity::Ours(found) if found > schema::KNOWN => {
            return Err(StoreError::Newer {
                found,
                known: schema::KNOWN,
            });
        }
        Identity::Ours(found) if found < schema::KNOWN && access == Access::ReadOnly => {
            return Err(StoreError::Older {
                found,
                known: schema::KNOWN,
            });
        }
        Identity::Damaged(reason) => return Ok(Look::Damaged(vec![reason])),
        Identity::Fresh if tally.newest().unwrap_or(0) > 0 => {
            return Ok(Look::Damaged(vec!["the database is empty".to_owned()]));
        }
        Identity::Fresh if access == Access::ReadOnly => {
            return Err(StoreError::Missing {
                folder: folder.to_owned(),
            });
        }
        Identity::Fresh | Identity::Ours(_) => {}
    }
    if std::fs::metadata(&path).map_or(0, |found| found.len()) == 0 {
        // Made under another name, so that a database that was cut off while it was made never has this one.
        let making = folder.join(MAKING);
        schema::make(&making, |_| Ok::<(), StoreError>(()))?;
        std::fs::rename(&making, &path).map_err(DiskError::file(&path))?;
        files::sync_folder(folder)?;
    }
    match examine(&path, tally, access) {
        Err(Failed::Damaged(error)) => Ok(Look::Damaged(vec![error.to_string()])),
        Err(Failed::Disk(error)) => Err(error.into()),
        Ok(look) => Ok(look),
    }
}

/// Why a look at the database could not be finished.
enum Failed {
    Damaged(rusqlite::Error),
    Disk(DiskError),
}

impl From<rusqlite::Error> for Failed {
    fn from(error: rusqlite::Error) -> Self {
        if schema::is_damage(&error) {
            Failed::Damaged(error)
        } else {
            Failed::Disk(error.into())
        }
    }
}

fn examine(path: &Path, tally: Tally, access: Access) -> Result<Look, Failed> {
    let mut connection = schema::connect(path, access)?;
    // Structure first: nothing is written to a damaged database.
    let structure = schema::structure(&connection, false)?;
    if !structure.is_empty() {
        return Ok(Look::Damaged(structure));
    }
    schema::make_durable(&connection, access)?;
    if access == Access::Write {
        schema::migrate(&mut connection, schema::STEPS)?;
    }
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Deferred)?;
    let mut rows = Rows::read(&transaction, tally.newest());
    transaction.finish()?;
    if let Some(place) = rows.errors.iter().position(|error| !schema::is_damage(error)) {
        return Err(rows.errors.swap_remove(place).into());
    }
    let mut wrong = wrong_rows(&rows, tally);
    // Without a tally nothing can be recovered either; it is told and made anew.
    wrong.retain(|wrong| *wrong != Wrong::NoTally);
    if wrong.is_empty() {
        let newest = rows.newest();
        return Ok(Look::Sound { connection, newest });
    }
    Ok(Look::Damaged(wrong.iter().map(Wrong::to_string).collect()))
}

/// The lock of the one writer. The system gives it back when the program ends, however it does.
pub(super) struct Lock(File);

impl Drop for Lock {
    fn drop(&mut self) {
        // Closing the file is not enough where another thread is just starting a program: until that runs, it holds
        // the file as well. An error leaves it to the closing.
        let _ = self.0.unlock();
    }
}

fn take_lock(folder: &Path) -> Result<Lock, StoreError> {
    let path = folder.join("lock");
    let lock = OpenOptions::new()
        .create(true)
        .truncate(false)
        .write(true)
        .open(&path)
        .map_err(DiskError::file(&path))?;
    match lock.try_lock() {
        Ok(()) => Ok(Lock(lock)),
        Err(TryLockError::WouldBlock) => Err(StoreError::InUse {
            folder: folder.to_owned(),
        }),
        Err(TryLockError::Error(source)) => Err(DiskError::File { path, source }.into()),
    }
}
