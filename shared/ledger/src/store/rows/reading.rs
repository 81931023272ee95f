//! Reading tables and indexes of a database that may be damaged.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, Row};

/// How far rows are looked for one by one where a table cannot be read through: a damaged number must not make
/// that last for ever.
const FURTHEST: i64 = 2_000_000;

/// Where a kind of row lies, and how it is read. An index holds the key of each row once more, so that a row that
/// is lost can still be named.
pub(super) struct Kind<K, V> {
    pub(super) table: &'static str,
    /// Those that `row` reads, from column 1 on; column 0 is the number of the row.
    pub(super) columns: &'static str,
    pub(super) index: &'static str,
    /// Those that `key` reads, from column 1 on.
    pub(super) indexed: &'static str,
    /// `None` where the row is not as it was written.
    pub(super) row: fn(&Row<'_>) -> Option<(K, V)>,
    pub(super) key: fn(&Row<'_>) -> Option<K>,
}

/// What was read of one kind.
pub(super) struct Found<K, V> {
    /// Key to the number of the row and what is in it.
    pub(super) kept: BTreeMap<K, (i64, V)>,
    /// Keys that the index has and whose row cannot be read or is not as it was written, with its number.
    pub(super) lost: BTreeMap<K, i64>,
    /// Numbers of rows that cannot be read or are not as they were written, and that the index does not name.
    pub(super) nameless: BTreeSet<i64>,
    /// Rows that the index does not have as the table does: they could not be found by their key.
    pub(super) misfiled: usize,
    /// Table or index was read to its end, so that it is known which rows there were.
    pub(super) every: bool,
    pub(super) errors: Vec<rusqlite::Error>,
}

impl<K: Ord + Clone, V> Kind<K, V> {
    /// Reads every row that can be read. `newest` is the number of the newest row, if it is known from outside.
    pub(super) fn read(&self, connection: &Connection, newest: Option<i64>) -> Found<K, V> {
        let mut listed: BTreeMap<K, i64> = BTreeMap::new();
        let mut twice = 0;
        let sql = format!(
            "SELECT rowid, {indexed} FROM {table} INDEXED BY {index} ORDER BY {indexed}",
            indexed = self.indexed,
            table = self.table,
            index = self.index
        );
        let index_error = walk(connection, &sql, [], |row| {
            if let (Some(number), Some(key)) = (integer(row, 0), (self.key)(row)) {
                twice += usize::from(listed.insert(key, number).is_some());
            }
        })
        .err();
        let mut kept: BTreeMap<K, (i64, V)> = BTreeMap::new();
        let mut bad = BTreeSet::new();
        let newest = newest.or(listed.values().max().copied());
        let table_error =
            Table::new(self.table, self.columns).read(connection, newest, &mut |number, row| match row
                .and_then(self.row)
            {
                Some((key, value)) => {
                    kept.insert(key, (number, value));
                }
                None => {
                    bad.insert(number);
                }
            });
        // A row may have been tried twice.
        for (number, _) in kept.values() {
            bad.remove(number);
        }
        let misfiled = kept
            .iter()
            .filter(|(key, (number, _))| listed.get(*key) != Some(number));
        let misfiled = twice + misfiled.count();
        listed.retain(|key, _| !kept.contains_key(key));
        let named: BTreeSet<i64> = listed.values().copied().collect();
        bad.retain(|number| !named.contains(number));
        Found {
            kept,
            lost: listed,
            nameless: bad,
            misfiled,
            every: table_error.is_none() || index_error.is_none(),
            errors: [table_error, index_error].into_iter().flatten().collect(),
        }
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

pub(super) fn blob<'a>(row: &'a Row<'_>, column: usize) -> Option<&'a [u8]> {
    row.get_ref(column).ok()?.as_blob().ok()
}

pub(super) fn text<'a>(row: &'a Row<'_>, column: usize) -> Option<&'a str> {
    row.get_ref(column).ok()?.as_str().ok()
}

pub(super) fn integer(row: &Row<'_>, column: usize) -> Option<i64> {
    row.get_ref(column).ok()?.as_i64().ok()
}
