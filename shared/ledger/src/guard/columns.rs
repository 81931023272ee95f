//! What a column claims: how many items, how far they point, how much text they repeat. A run is counted by its
//! head, never unrolled, so a few bytes that claim a million items cost a few bytes of work.

use super::cursor::{Cursor, Short};

/// The kinds of column in the format: the lowest three bits of its specification.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Group,
    Actor,
    Integer,
    Delta,
    Boolean,
    Text,
    Lengths,
    Values,
}

impl Kind {
    pub(super) fn of(specification: u32) -> Self {
        match specification & 7 {
            0 => Self::Group,
            1 => Self::Actor,
            2 => Self::Integer,
            3 => Self::Delta,
            4 => Self::Boolean,
            5 => Self::Text,
            6 => Self::Lengths,
            _ => Self::Values,
        }
    }
}

/// What a column claims. Sums stop at the largest number: that is over every limit.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Claim {
    /// Items in the column, nulls counted.
    pub(super) items: u64,
    /// [`Kind::Group`]: items in the columns that belong to it. [`Kind::Lengths`]: bytes of their values.
    /// [`Kind::Text`]: bytes of the texts, each as often as it is repeated.
    pub(super) sum: u64,
    /// [`Kind::Actor`]: the highest place in the list of devices.
    pub(super) highest: Option<u64>,
}

/// Counts what a column claims.
pub(super) fn claim(kind: Kind, bytes: &[u8]) -> Result<Claim, Short> {
    match kind {
        Kind::Values => Ok(Claim::default()),
        Kind::Boolean => booleans(Cursor(bytes)),
        Kind::Delta => deltas(Cursor(bytes)),
        Kind::Text => runs(Cursor(bytes), |at| Ok(at.prefixed()?.len() as u64)),
        Kind::Lengths => runs(Cursor(bytes), |at| Ok(at.unsigned()? >> 4)),
        Kind::Group | Kind::Integer | Kind::Actor => runs(Cursor(bytes), Cursor::unsigned),
    }
}

/// A run-length column: a positive number and one item that stands for so many; a negative number and so many items;
/// a zero and a number of nulls.
fn runs<'a>(
    mut at: Cursor<'a>,
    mut item: impl FnMut(&mut Cursor<'a>) -> Result<u64, Short>,
) -> Result<Claim, Short> {
    let mut claim = Claim::default();
    while !at.is_empty() {
        let head = at.signed()?;
        match head {
            0 => claim.items = claim.items.saturating_add(at.unsigned()?),
            1.. => {
                let value = item(&mut at)?;
                claim.add(head.unsigned_abs(), value);
            }
            _ => {
                // Each of these items takes at least a byte, so this ends with the bytes.
                for _ in 0..head.unsigned_abs() {
                    let value = item(&mut at)?;
                    claim.add(1, value);
                }
            }
        }
    }
    Ok(claim)
}

/// A run-length column of differences. Their running sum must stay within 64 bits.
fn deltas(mut at: Cursor<'_>) -> Result<Claim, Short> {
    let mut claim = Claim::default();
    let mut value = 0i64;
    while !at.is_empty() {
        let head = at.signed()?;
        match head {
            0 => claim.items = claim.items.saturating_add(at.unsigned()?),
            1.. => {
                let step = at.signed()?.checked_mul(head).ok_or(Short)?;
                value = value.checked_add(step).ok_or(Short)?;
                claim.items = claim.items.saturating_add(head.unsigned_abs());
            }
            _ => {
                for _ in 0..head.unsigned_abs() {
                    value = value.checked_add(at.signed()?).ok_or(Short)?;
                    claim.items = claim.items.saturating_add(1);
                }
            }
        }
    }
    Ok(claim)
}

/// A column of yes and no: the lengths of its runs, the first of them of no.
fn booleans(mut at: Cursor<'_>) -> Result<Claim, Short> {
    let mut claim = Claim::default();
    while !at.is_empty() {
        claim.items = claim.items.saturating_add(at.unsigned()?);
    }
    Ok(claim)
}

impl Claim {
    fn add(&mut self, times: u64, value: u64) {
        self.items = self.items.saturating_add(times);
        self.sum = self.sum.saturating_add(times.saturating_mul(value));
        self.highest = self.highest.max(Some(value));
    }
}
