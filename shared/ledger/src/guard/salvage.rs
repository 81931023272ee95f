//! As much of a document as can be had from chunks of which some are damaged or missing.

use std::collections::BTreeSet;

use automerge::{Automerge, Change, ChangeHash, ReadDoc};

use super::claims::{self, Allowance};
use super::cursor::Cursor;
use super::parts::MAGIC;
use super::{changes, guarded, saved_and_loaded, without_waiting};

/// What could be had, and what could not.
#[derive(Debug)]
pub struct Salvaged {
    /// The document, without whatever is named below. It can be saved and loaded again.
    pub document: Automerge,
    /// Hashes of changes that others build on and that are nowhere in the chunks, sorted. There may be more of which
    /// nothing is known.
    pub missing: Vec<[u8; 32]>,
    /// Changes that can be read and are not in the document, since they build on missing ones or do not fit.
    pub left_out: usize,
    /// Which chunks could not be read to the end, counted from 0. Parts of them may be in the document.
    pub unreadable: Vec<usize>,
}

/// Takes from chunks, in the order in which they were kept, whatever still holds together. `None` where nothing does.
/// A part that is over the limits for one input counts as unreadable.
#[must_use]
pub fn salvage(chunks: &[Vec<u8>]) -> Option<Salvaged> {
    let mut found: Vec<Change> = Vec::new();
    let mut unreadable = Vec::new();
    for (number, chunk) in chunks.iter().enumerate() {
        if !read(chunk, &mut found) {
            unreadable.push(number);
        }
    }
    let mut document = Automerge::new();
    take_in(&mut document, &found);
    if document.get_heads().is_empty() {
        return None;
    }
    let missing: BTreeSet<[u8; 32]> = document.get_missing_deps(&[]).iter().map(|hash| hash.0).collect();
    let applied: BTreeSet<ChangeHash> = document.get_changes(&[]).iter().map(Change::hash).collect();
    let read: BTreeSet<ChangeHash> = found.iter().map(Change::hash).collect();
    let left_out = read.difference(&applied).count();
    let document = guarded(|| {
        let settled = without_waiting(&document)?;
        saved_and_loaded(&settled)
    })
    .ok()?;
    Some(Salvaged {
        document,
        missing: missing.into_iter().collect(),
        left_out,
        unreadable,
    })
}

/// The changes of the parts of a chunk that can be read; `false` when some cannot. After a part that cannot, it goes on
/// where the next part begins.
fn read(chunk: &[u8], found: &mut Vec<Change>) -> bool {
    let mut whole = !chunk.is_empty();
    let mut rest = chunk;
    while !rest.is_empty() {
        let mut at = Cursor(rest);
        let part = claims::part(&mut at, 1, &mut Allowance::whole());
        match part.and_then(|part| guarded(|| changes(&[part]))) {
            Ok(changes) => {
                found.extend(changes);
                rest = at.0;
            }
            Err(_) => {
                whole = false;
                rest = next_part(rest);
            }
        }
    }
    whole
}

/// From where the next part begins, this one left aside.
fn next_part(rest: &[u8]) -> &[u8] {
    let after = rest.get(1..).unwrap_or_default();
    match after.windows(MAGIC.len()).position(|window| window == MAGIC) {
        Some(at) => &after[at..],
        None => &[],
    }
}

/// Applies the changes; where they fail together, each half for itself, down to single ones, which are left out.
fn take_in(document: &mut Automerge, changes: &[Change]) {
    if changes.is_empty() {
        return;
    }
    let copy = document.clone();
    let taken = guarded(move || {
        let mut copy = copy;
        copy.apply_changes(changes.iter().cloned())?;
        saved_and_loaded(&copy)?;
        Ok(copy)
    });
    match taken {
        Ok(taken) => *document = taken,
        Err(_) if changes.len() > 1 => {
            let (first, second) = changes.split_at(changes.len() / 2);
            take_in(document, first);
            take_in(document, second);
        }
        Err(_) => {}
    }
}
