use rusqlite::Connection;

use super::*;
use crate::store::schema::{self, STEPS};
use crate::store::{DATABASE, StoreError, seal};

fn text_of(connection: &Connection) -> String {
    let mut statement = connection
        .prepare("SELECT name, coalesce(sql, '(made by SQLite)') FROM sqlite_schema ORDER BY name")
        .unwrap();
    let rows = statement.query_map([], |row| {
        Ok(format!(
            "{}:\n{}\n",
            row.get::<_, String>(0)?,
            row.get::<_, String>(1)?
        ))
    });
    rows.unwrap().map(Result::unwrap).collect()
}

fn version(connection: &Connection) -> i64 {
    connection
        .pragma_query_value(None, "user_version", |row| row.get(0))
        .unwrap()
}

/// Makes a store with a little in it and gives a plain connection to its database.
fn store_to_change(folder: &Path) -> (Log, Connection) {
    let mut store = open_whole(folder);
    let mut log = Log::make(&mut store, 1);
    log.log(&mut store, 3);
    drop(store);
    (log, Connection::open(folder.join(DATABASE)).unwrap())
}

#[test]
fn the_schema_is_as_it_was_released() {
    let folder = tempfile::tempdir().unwrap();
    let store = open_whole(folder.path());
    // A difference here is a new format: add a step to `STEPS`, never change a released one.
    assert_eq!(text_of(&store.connection), include_str!("schema.txt"));
    assert_eq!(version(&store.connection), 1);
}

#[test]
fn a_step_that_fails_half_way_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let (log, mut connection) = store_to_change(folder.path());
    let before = text_of(&connection);
    let steps = [
        STEPS[0],
        "CREATE TABLE good (a) STRICT; CREATE TABLE good_too (a INTEGER) STRICT;",
    ];
    assert!(schema::migrate(&mut connection, &steps).is_err());
    let steps = [
        STEPS[0],
        "CREATE TABLE two (a INTEGER) STRICT; INSERT INTO two VALUES (1);",
        "ALTER TABLE chunk ADD COLUMN note TEXT; CREATE TABLE two (a INTEGER) STRICT;",
    ];
    assert!(schema::migrate(&mut connection, &steps).is_err());
    assert_eq!(text_of(&connection), before);
    assert_eq!(version(&connection), 1);
    drop(connection);
    log.assert_whole(&open_whole(folder.path()));
}

#[test]
fn a_further_step_is_taken_once_and_leaves_what_was_there() {
    let folder = tempfile::tempdir().unwrap();
    let (_, mut connection) = store_to_change(folder.path());
    let steps = [
        STEPS[0],
        "CREATE TABLE two (a INTEGER) STRICT; INSERT INTO two VALUES (1);",
    ];
    schema::migrate(&mut connection, &steps).unwrap();
    schema::migrate(&mut connection, &steps).unwrap();
    assert_eq!(version(&connection), 2);
    let count = |table: &str| -> i64 {
        connection
            .query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0))
            .unwrap()
    };
    assert_eq!((count("two"), count("chunk"), count("format")), (1, 4, 1));
    drop(connection);
    // This program knows the first step only.
    let refused = Store::open(folder.path(), &JUDGE, Access::Write);
    assert!(matches!(refused, Err(StoreError::Newer { found: 2, known: 1 })));
}

#[test]
fn a_newer_store_is_refused_and_not_changed() {
    let folder = tempfile::tempdir().unwrap();
    let (_, connection) = store_to_change(folder.path());
    connection
        .execute("UPDATE format SET schema = 7, seal = ?1", [seal::format_seal(7)])
        .unwrap();
    connection.pragma_update(None, "user_version", 7).unwrap();
    drop(connection);
    let path = folder.path().join(DATABASE);
    let before = std::fs::read(&path).unwrap();
    for access in [Access::Write, Access::ReadOnly] {
        let refused = Store::open(folder.path(), &JUDGE, access).unwrap_err();
        assert!(matches!(refused, StoreError::Newer { found: 7, known: 1 }));
        assert_eq!(
            refused.to_string(),
            "this store was made by a newer version of the program (format 7, this one knows 1): install the newer \
             version; nothing was changed"
        );
    }
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

#[test]
fn a_version_that_only_the_header_claims_is_damage() {
    let folder = tempfile::tempdir().unwrap();
    let (log, connection) = store_to_change(folder.path());
    connection.pragma_update(None, "user_version", 513).unwrap();
    drop(connection);
    let opened = open(folder.path());
    let report = opened.report.unwrap();
    assert_eq!(
        report.reasons,
        ["the database says format 513 in one place and 1 in another"]
    );
    assert!(!report.may_lack());
    log.assert_whole(&opened.store);
}

#[test]
fn a_mark_that_is_damaged_does_not_make_a_store_foreign() {
    let folder = tempfile::tempdir().unwrap();
    let (log, connection) = store_to_change(folder.path());
    connection.pragma_update(None, "application_id", 5).unwrap();
    drop(connection);
    let opened = open(folder.path());
    assert!(!opened.report.unwrap().may_lack());
    log.assert_whole(&opened.store);
}

#[test]
fn the_database_of_another_program_is_not_touched() {
    for mark in [0, 0x1234_5678] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(DATABASE);
        let other = Connection::open(&path).unwrap();
        other
            .execute_batch("CREATE TABLE recipe (name TEXT); INSERT INTO recipe VALUES ('soup');")
            .unwrap();
        other.pragma_update(None, "application_id", mark).unwrap();
        drop(other);
        let before = std::fs::read(&path).unwrap();
        for access in [Access::Write, Access::ReadOnly] {
            let refused = Store::open(folder.path(), &JUDGE, access);
            assert!(matches!(refused, Err(StoreError::Foreign { .. })), "{refused:?}");
        }
        assert_eq!(std::fs::read(&path).unwrap(), before);
        assert!(!folder.path().join("damaged-1").exists());
    }
}

#[test]
fn a_store_that_was_cut_off_while_it_was_made_is_made() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join(DATABASE), b"").unwrap();
    let mut store = open_whole(folder.path());
    let mut log = Log::make(&mut store, 1);
    log.log(&mut store, 1);
    log.assert_whole(&store);
}
