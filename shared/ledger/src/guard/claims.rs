//! What the contents of a part claim, held against limits before automerge sees them.

use std::collections::BTreeSet;

use super::columns::{self, Kind as ColumnKind};
use super::cursor::{Cursor, Short};
use super::parts::{self, Kind, Part};
use super::{Claimed, Damaged, inflate};

/// What one input may still claim.
#[derive(Debug)]
pub(super) struct Allowance {
    pub(super) bytes: u64,
    operations: u64,
    changes: u64,
    links: u64,
    text: u64,
    /// The names of the devices so far, each once.
    devices: BTreeSet<Vec<u8>>,
}

impl Allowance {
    /// All of it.
    pub(super) fn whole() -> Self {
        Self {
            bytes: Claimed::Bytes.limit(),
            operations: Claimed::Operations.limit(),
            changes: Claimed::Changes.limit(),
            links: Claimed::Links.limit(),
            text: Claimed::Text.limit(),
            devices: BTreeSet::new(),
        }
    }

    fn spend(&mut self, what: Spent, amount: u64) -> Result<(), Damaged> {
        let (left, claimed) = match what {
            Spent::Bytes => (&mut self.bytes, Claimed::Bytes),
            Spent::Operations => (&mut self.operations, Claimed::Operations),
            Spent::Changes => (&mut self.changes, Claimed::Changes),
            Spent::Links => (&mut self.links, Claimed::Links),
            Spent::Text => (&mut self.text, Claimed::Text),
        };
        *left = left.checked_sub(amount).ok_or(Damaged::bomb(claimed))?;
        Ok(())
    }

    fn not_too_crowded(&self) -> Result<(), Damaged> {
        let changes = Claimed::Changes.limit() - self.changes;
        if changes * self.devices.len() as u64 > CROWD {
            return Err(Damaged::bomb(Claimed::Devices));
        }
        Ok(())
    }

    fn device(&mut self, name: &[u8]) -> Result<(), Damaged> {
        if !self.devices.contains(name) {
            if self.devices.len() as u64 == Claimed::Devices.limit() {
                return Err(Damaged::bomb(Claimed::Devices));
            }
            self.devices.insert(name.to_vec());
        }
        Ok(())
    }
}

/// Devices times changes, at most: automerge 0.12 takes room for every device at every change. Ten thousand devices
/// may have fifty thousand changes, two thousand five hundred may have as many as there may be.
const CROWD: u64 = 500_000_000;

/// What is counted down.
#[derive(Debug, Clone, Copy)]
enum Spent {
    Bytes,
    Operations,
    Changes,
    Links,
    Text,
}

/// Cuts bytes into parts, all of them, and holds each against its checksum and the allowance. `before` is how many
/// parts came before these.
pub(super) fn parts<'a>(
    bytes: &'a [u8],
    before: usize,
    allowance: &mut Allowance,
) -> Result<Vec<Part<'a>>, Damaged> {
    let mut at = Cursor(bytes);
    let mut parts = Vec::new();
    while !at.is_empty() {
        parts.push(part(&mut at, before + parts.len() + 1, allowance)?);
    }
    Ok(parts)
}

/// Cuts the first part off and holds it against its checksum and the allowance.
pub(super) fn part<'a>(
    at: &mut Cursor<'a>,
    number: usize,
    allowance: &mut Allowance,
) -> Result<Part<'a>, Damaged> {
    let (part, contents) = parts::first(at, number, &mut allowance.bytes)?;
    let mut reading = Reading {
        at: Cursor(&contents),
        part: number,
        allowance,
    };
    match part.kind {
        Kind::Document => reading.document()?,
        Kind::Change | Kind::PackedChange => reading.change()?,
    }
    allowance.not_too_crowded()?;
    Ok(part)
}

/// A column as its head gives it.
struct Column {
    specification: u32,
    length: usize,
}

impl Column {
    /// Columns with one number make one field, such as how many links there are and where they lead.
    fn field(&self) -> u32 {
        self.specification >> 4
    }

    fn packed(&self) -> bool {
        self.specification & 8 != 0
    }
}

/// No more columns than this: the format has 16, and leaves room for a few.
const COLUMNS: usize = 256;

/// What several columns claim together.
#[derive(Debug, Default)]
struct Table {
    rows: u64,
    links: u64,
    text: u64,
}

struct Reading<'a, 'b> {
    at: Cursor<'a>,
    part: usize,
    allowance: &'b mut Allowance,
}

impl Reading<'_, '_> {
    /// Devices, newest changes, the heads of two tables, the tables, and where the newest changes stand.
    fn document(&mut self) -> Result<(), Damaged> {
        let devices = self.devices()?;
        self.hashes()?;
        let changes = self.columns()?;
        let operations = self.columns()?;
        let changes = self.table(&changes, devices, true)?;
        self.spend(Spent::Changes, &changes)?;
        let operations = self.table(&operations, devices, true)?;
        self.spend(Spent::Operations, &operations)
    }

    /// What it follows, the device, three numbers, a note, other devices, and the table of operations.
    fn change(&mut self) -> Result<(), Damaged> {
        let follows = self.hashes()?;
        self.allowance.spend(Spent::Links, follows)?;
        self.allowance.spend(Spent::Changes, 1)?;
        self.device()?;
        self.read(Cursor::unsigned)?;
        self.read(Cursor::unsigned)?;
        self.read(Cursor::signed)?;
        self.read(Cursor::prefixed)?;
        let devices = self.devices()? + 1;
        let columns = self.columns()?;
        let operations = self.table(&columns, devices, false)?;
        self.spend(Spent::Operations, &operations)
    }

    fn devices(&mut self) -> Result<u64, Damaged> {
        let count = self.read(Cursor::unsigned)?;
        // One of a part that has more than there may be is one too many, or there twice.
        if count > Claimed::Devices.limit() {
            return Err(Damaged::bomb(Claimed::Devices));
        }
        for _ in 0..count {
            self.device()?;
        }
        Ok(count)
    }

    fn device(&mut self) -> Result<(), Damaged> {
        let name = self.read(Cursor::prefixed)?;
        self.allowance.device(name)
    }

    fn hashes(&mut self) -> Result<u64, Damaged> {
        let count = self.read(Cursor::length)?;
        let length = count.checked_mul(32).ok_or(self.misshapen())?;
        self.read(|at| at.take(length))?;
        Ok(count as u64)
    }

    fn columns(&mut self) -> Result<Vec<Column>, Damaged> {
        let count = self.read(Cursor::length)?;
        if count > COLUMNS {
            return Err(self.misshapen());
        }
        (0..count)
            .map(|_| {
                Ok(Column {
                    specification: u32::try_from(self.read(Cursor::unsigned)?)
                        .map_err(|_| self.misshapen())?,
                    length: self.read(Cursor::length)?,
                })
            })
            .collect()
    }

    /// Reads the columns of a table one after the other; only one at a time is unpacked.
    fn table(&mut self, columns: &[Column], devices: u64, may_be_packed: bool) -> Result<Table, Damaged> {
        let mut table = Table::default();
        let mut group = None;
        // The column of lengths stands before that of the values.
        let mut lengths: Option<(u32, u64)> = None;
        for column in columns {
            let stored = self.read(|at| at.take(column.length))?;
            let unpacked;
            let bytes = if column.packed() {
                if !may_be_packed {
                    return Err(self.misshapen());
                }
                unpacked = inflate::whole(stored, self.allowance.bytes).map_err(|fault| match fault {
                    inflate::Fault::TooMuch => Damaged::bomb(Claimed::Bytes),
                    inflate::Fault::Broken => self.misshapen(),
                })?;
                self.allowance.spend(Spent::Bytes, unpacked.len() as u64)?;
                &unpacked
            } else {
                stored
            };
            let kind = ColumnKind::of(column.specification);
            let claim = columns::claim(kind, bytes).map_err(|Short| self.misshapen())?;
            if kind == ColumnKind::Actor && claim.highest.is_some_and(|highest| highest >= devices) {
                return Err(self.misshapen());
            }
            if kind == ColumnKind::Group {
                group = Some(column.field());
                table.links = table.links.saturating_add(claim.sum);
                table.rows = table.rows.max(claim.items);
            } else if group == Some(column.field()) {
                table.links = table.links.max(claim.items);
            } else {
                table.rows = table.rows.max(claim.items);
            }
            match kind {
                ColumnKind::Text => table.text = table.text.saturating_add(claim.sum),
                ColumnKind::Lengths => {
                    self.settled(lengths)?;
                    lengths = Some((column.field(), claim.sum));
                }
                ColumnKind::Values => match lengths.take() {
                    Some((field, sum)) if field == column.field() && sum <= bytes.len() as u64 => {}
                    other => self.settled(other)?,
                },
                _ => {}
            }
        }
        self.settled(lengths)?;
        Ok(table)
    }

    /// Values that are not there may only be empty.
    fn settled(&self, lengths: Option<(u32, u64)>) -> Result<(), Damaged> {
        match lengths {
            Some((_, 1..)) => Err(self.misshapen()),
            _ => Ok(()),
        }
    }

    fn spend(&mut self, rows: Spent, table: &Table) -> Result<(), Damaged> {
        self.allowance.spend(rows, table.rows)?;
        self.allowance.spend(Spent::Links, table.links)?;
        self.allowance.spend(Spent::Text, table.text)
    }

    fn misshapen(&self) -> Damaged {
        Damaged::Misshapen { part: self.part }
    }
}

impl<'a> Reading<'a, '_> {
    fn read<T>(&mut self, one: impl FnOnce(&mut Cursor<'a>) -> Result<T, Short>) -> Result<T, Damaged> {
        one(&mut self.at).map_err(|Short| Damaged::Misshapen { part: self.part })
    }
}
