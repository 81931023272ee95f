//! A sync message, looked through before automerge sees it.
//!
//! A byte for the version, the newest changes of the other side, those it asks for, a filter of those it has, and the
//! changes themselves (automerge 0.12, `sync.rs`). Two numbers of a filter say how it is asked: a large one would make
//! the answer to this message loop for hours, a zero would stop it.

use super::claims::{self, Allowance};
use super::cursor::{Cursor, Short};
use super::parts::Part;
use super::{Claimed, Damaged};

/// The two versions of a message that automerge 0.12 speaks.
const VERSIONS: [u8; 2] = [0x42, 0x43];
/// Filters in one message: automerge sends one.
const FILTERS: usize = 16;
/// Questions that a filter is asked for each change: automerge writes 7.
const PROBES: u64 = 32;

/// Cuts the changes of a message into parts and holds them against their checksums and the limits.
pub(super) fn parts(bytes: &[u8]) -> Result<Vec<Part<'_>>, Damaged> {
    let mut at = Cursor(bytes);
    if !at.byte().is_ok_and(|version| VERSIONS.contains(&version)) {
        return Err(Damaged::NotAMessage);
    }
    let (mut allowance, mut parts) = (Allowance::whole(), Vec::new());
    for chunk in chunks(&mut at).map_err(|Fault(damaged)| damaged)? {
        parts.extend(claims::parts(chunk, parts.len(), &mut allowance)?);
    }
    Ok(parts)
}

struct Fault(Damaged);

impl From<Short> for Fault {
    fn from(Short: Short) -> Self {
        Self(Damaged::BrokenMessage)
    }
}

/// What the message carries, its other fields looked at on the way.
fn chunks<'a>(at: &mut Cursor<'a>) -> Result<Vec<&'a [u8]>, Fault> {
    hashes(at)?;
    hashes(at)?;
    let filters = at.length()?;
    if filters > FILTERS {
        return Err(Fault(Damaged::BrokenMessage));
    }
    for _ in 0..filters {
        hashes(at)?;
        filter(Cursor(at.prefixed()?))?;
    }
    let count = at.unsigned()?;
    if count > Claimed::Changes.limit() {
        return Err(Fault(Damaged::bomb(Claimed::Changes)));
    }
    let mut chunks = Vec::new();
    for _ in 0..count {
        chunks.push(at.prefixed()?);
    }
    if !at.is_empty() {
        at.prefixed()?;
    }
    Ok(chunks)
}

fn hashes(at: &mut Cursor<'_>) -> Result<(), Short> {
    let count = at.length()?;
    at.take(count.checked_mul(32).ok_or(Short)?)?;
    Ok(())
}

/// An empty filter is left out; any other has bits to look at.
fn filter(mut at: Cursor<'_>) -> Result<(), Fault> {
    if at.is_empty() {
        return Ok(());
    }
    let entries = at.unsigned()?;
    let bits = at.unsigned()?;
    let probes = at.unsigned()?;
    let length = entries.checked_mul(bits).ok_or(Short)?.div_ceil(8);
    let broken =
        probes == 0 || probes > PROBES || (entries > 0 && length == 0) || length != at.0.len() as u64;
    if broken {
        return Err(Fault(Damaged::BrokenMessage));
    }
    Ok(())
}
