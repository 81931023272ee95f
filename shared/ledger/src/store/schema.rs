//! Whose a database is, which format it has, and the steps that bring it up to date.

use std::fs::File;
use std::io::Read;
use std::path::Path;
use std::time::Duration;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags, OptionalExtension, TransactionBehavior};

use super::errors::{DiskError, StoreError};
use super::{Access, files, seal};

/// The steps from nothing to the newest format, each additive. A released step is never changed.
pub(super) const STEPS: &[&str] = &[include_str!("schema/1.sql")];

/// The newest format that is known here.
pub(super) const KNOWN: i64 = STEPS.len() as i64;

/// Marks a database as one of ours: "Trml".
const APPLICATION_ID: i32 = 0x5472_6d6c;

/// How long is waited for another connection, of a reader for one.
const PATIENCE: Duration = Duration::from_secs(5);

/// What a database file is.
#[derive(Debug)]
pub(super) enum Identity {
    /// Nothing in it yet.
    Fresh,
    /// A store of this format.
    Ours(i64),
    /// Another program's.
    Foreign,
    /// Ours, and its first page is not as it was written.
    Damaged(String),
}

/// Opens a connection without changing the file. It does not tidy up when it is closed, so that what is damaged
/// stays as it was found; [`tidy_when_closed`] undoes that.
pub(super) fn connect(path: &Path, access: Access) -> rusqlite::Result<Connection> {
    let flags = match access {
        Access::Write => OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE,
        Access::ReadOnly => OpenFlags::SQLITE_OPEN_READ_ONLY,
    };
    let connection = Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)?;
    connection.busy_timeout(PATIENCE)?;
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true)?;
    connection.pragma_update(None, "trusted_schema", false)?;
    connection.pragma_update(None, "cell_size_check", true)?;
    Ok(connection)
}

/// The write-ahead log is folded into the database when the connection is closed.
pub(super) fn tidy_when_closed(connection: &Connection) -> rusqlite::Result<()> {
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, false)?;
    Ok(())
}

/// Sets how a connection writes, and reads back that it does: a commit is on the disk when it returns.
pub(super) fn make_durable(connection: &Connection, access: Access) -> rusqlite::Result<()> {
    let mode: String = match access {
        Access::Write => connection.pragma_update_and_check(None, "journal_mode", "wal", |row| row.get(0))?,
        Access::ReadOnly => connection.pragma_query_value(None, "journal_mode", |row| row.get(0))?,
    };
    expect_setting("journal_mode", &mode, "wal")?;
    connection.pragma_update(None, "synchronous", "FULL")?;
    let synchronous: i64 = connection.pragma_query_value(None, "synchronous", |row| row.get(0))?;
    expect_setting("synchronous", &synchronous.to_string(), "2")?;
    connection.pragma_update(None, "foreign_keys", true)?;
    // Only Apple's systems need these two: there a plain sync stops at the drive's own memory.
    connection.pragma_update(None, "fullfsync", true)?;
    connection.pragma_update(None, "checkpoint_fullfsync", true)?;
    Ok(())
}

/// Makes a new database of the newest format and fills it. It must have a name that does not count yet: it is whole,
/// on the disk and needs no file beside it when this returns, and may then be given the name that does.
pub(super) fn make<T, E>(path: &Path, fill: impl FnOnce(&mut Connection) -> Result<T, E>) -> Result<T, E>
where
    E: From<rusqlite::Error> + From<DiskError>,
{
    files::remove_database(path)?;
    let mut connection = connect(path, Access::Write)?;
    connection.pragma_update_and_check(None, "journal_mode", "memory", |_| Ok(()))?;
    connection.pragma_update(None, "synchronous", "OFF")?;
    migrate(&mut connection, STEPS)?;
    let filled = fill(&mut connection)?;
    connection.pragma_update_and_check(None, "journal_mode", "wal", |_| Ok(()))?;
    tidy_when_closed(&connection)?;
    connection.close().map_err(|(_, error)| error)?;
    File::open(path)
        .and_then(|file| file.sync_all())
        .map_err(DiskError::file(path))?;
    Ok(filled)
}

/// Looks at the first bytes of the file before SQLite is let near it, so that another program's is not touched.
pub(super) fn identify(path: &Path) -> Result<Identity, StoreError> {
    let mut header = Vec::new();
    File::open(path)
        .and_then(|file| file.take(100).read_to_end(&mut header))
        .map_err(DiskError::file(path))?;
    if header.is_empty() {
        return Ok(Identity::Fresh);
    }
    if !header.starts_with(b"SQLite format 3\0") || header.len() < 100 {
        return Ok(Identity::Damaged("the file is no database".to_owned()));
    }
    let marked = i32::from_be_bytes([header[68], header[69], header[70], header[71]]);
    let connection = connect(path, Access::ReadOnly)?;
    if marked != APPLICATION_ID && marked != 0 {
        // A mark can be another program's or a damaged one of ours. Only ours has a sealed format.
        return Ok(match sealed_format(&connection) {
            Some(_) => Identity::Damaged("the mark of the database is not ours".to_owned()),
            None => Identity::Foreign,
        });
    }
    // The newest first page may still be in the write-ahead log.
    match read_identity(&connection) {
        Ok(identity) => Ok(identity),
        Err(error) if is_damage(&error) => Ok(Identity::Damaged(error.to_string())),
        Err(error) => Err(error.into()),
    }
}

/// Brings a database up to date in one transaction: wholly or not at all.
pub(super) fn migrate(connection: &mut Connection, steps: &[&str]) -> rusqlite::Result<()> {
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let found: i64 = transaction.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let done = usize::try_from(found).unwrap_or(0);
    if done >= steps.len() {
        return Ok(());
    }
    for step in &steps[done..] {
        transaction.execute_batch(step)?;
    }
    let schema = steps.len() as i64;
    transaction.execute(
        "INSERT INTO format (one, schema, seal) VALUES (1, ?1, ?2)
         ON CONFLICT (one) DO UPDATE SET schema = ?1, seal = ?2",
        (schema, seal::format_seal(schema)),
    )?;
    transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
    transaction.pragma_update(None, "user_version", schema)?;
    transaction.commit()
}

/// What SQLite finds wrong with the structure of the database: nothing, or its words.
pub(super) fn structure(connection: &Connection, thorough: bool) -> rusqlite::Result<Vec<String>> {
    let pragma = if thorough {
        "integrity_check"
    } else {
        "quick_check"
    };
    let mut found = Vec::new();
    connection.pragma_query(None, pragma, |row| {
        found.push(row.get::<_, String>(0)?);
        Ok(())
    })?;
    found.retain(|words| words != "ok");
    Ok(found)
}

/// Whether an error says that the database is damaged, rather than that the disk or the memory fails.
pub(super) fn is_damage(error: &rusqlite::Error) -> bool {
    use rusqlite::ErrorCode as Code;
    match error.sqlite_error_code() {
        // A table or a column that is not there.
        Some(Code::DatabaseCorrupt | Code::NotADatabase | Code::TypeMismatch | Code::Unknown) => true,
        Some(_) => false,
        // A value of another type than the schema has.
        None => true,
    }
}

fn read_identity(connection: &Connection) -> rusqlite::Result<Identity> {
    let marked: i32 = connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
    let schema: i64 = connection.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let tables: i64 = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    let sealed = sealed_format(connection);
    if marked != APPLICATION_ID {
        return Ok(match sealed {
            Some(_) => Identity::Damaged("the mark of the database is not ours".to_owned()),
            None if tables == 0 && schema == 0 => Identity::Fresh,
            None => Identity::Foreign,
        });
    }
    Ok(match sealed {
        Some(sealed) if sealed != schema => Identity::Damaged(format!(
            "the database says format {schema} in one place and {sealed} in another"
        )),
        None if schema <= KNOWN => Identity::Damaged("the format of the database cannot be read".to_owned()),
        _ => Identity::Ours(schema),
    })
}

/// The format as it stands in its own row, which every format keeps.
fn sealed_format(connection: &Connection) -> Option<i64> {
    let row = connection
        .query_row("SELECT schema, seal FROM format WHERE one = 1", [], |row| {
            Ok((row.get::<_, i64>(0)?, row.get::<_, [u8; 32]>(1)?))
        })
        .optional();
    let (schema, sealed) = row.ok()??;
    (sealed == seal::format_seal(schema)).then_some(schema)
}

/// SQLite answers with what it did, not with an error, where a setting cannot be had.
fn expect_setting(name: &str, found: &str, wanted: &str) -> rusqlite::Result<()> {
    if found == wanted {
        return Ok(());
    }
    Err(rusqlite::Error::SqliteFailure(
        rusqlite::ffi::Error::new(rusqlite::ffi::SQLITE_CANTOPEN),
        Some(format!("{name} is {found:?} here and must be {wanted:?}")),
    ))
}
