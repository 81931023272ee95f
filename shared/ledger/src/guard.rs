//! Bytes from outside, made into documents without trusting them: a file, another device, a damaged disk.
//!
//! Three things are done about every input. Before automerge sees it, it is cut into its parts, each is held against
//! its checksum, and what it claims is held against limits, so that a few bytes cannot ask for all memory. What
//! automerge does with it happens on a copy and may panic there, since a malformed change with a right checksum makes
//! it panic: the panic is caught and the live document is as it was. And what comes of it counts only when it can be
//! saved and loaded again with the same heads, since automerge takes in some changes whose document cannot.
//!
//! A panic that is caught is still told by the panic hook, by default on the standard error. The hook belongs to the
//! whole program, so it is left alone here. A program built with `panic = "abort"` cannot catch anything: the
//! workspace never sets that. Nor can wasm32, where a page has to be loaded anew.

use std::panic::{AssertUnwindSafe, catch_unwind};

use automerge::sync::{Message, State, SyncDoc};
use automerge::{Automerge, AutomergeError, Change, ReadDoc, SaveOptions};

mod claims;
mod columns;
mod cursor;
mod damaged;
mod inflate;
mod message;
mod parts;
mod salvage;
#[cfg(test)]
mod tests;

pub use damaged::{Claimed, Damaged};
pub use salvage::{Salvaged, salvage};

use claims::Allowance;
use parts::{Kind, Part};

/// At most so many bytes are looked at: a log of 10,000 readings takes about one of these 64 MiB.
pub const LARGEST: usize = 64 << 20;

/// Makes a document of bytes from outside: a whole document, changes, or several of both one after the other. All of
/// it is read or nothing, and no change waits for one that is not there.
///
/// The document writes under a new random name for its device, as every document that is loaded does.
///
/// # Errors
/// Whatever is wrong with the bytes. Nothing is taken of them then.
pub fn load_foreign(bytes: &[u8]) -> Result<Automerge, Damaged> {
    let parts = look_through(bytes)?;
    guarded(move || {
        let (mut document, rest) = match parts.split_first() {
            Some((first, rest)) if first.kind == Kind::Document => (Automerge::load(first.bytes)?, rest),
            _ => (Automerge::new(), &parts[..]),
        };
        document.apply_changes(changes(rest)?)?;
        whole(&document)?;
        saved_and_loaded(&document)
    })
}

/// Makes a document of bytes that this device wrote itself and whose hash was found right. They are as strictly read,
/// but not held against the limits, and not saved and loaded again: that is for bytes of others, and costs more than
/// the loading. A whole document is best kept as [`settled_bytes`] gives it.
///
/// # Errors
/// Whatever is wrong with the bytes.
pub fn load_own(bytes: &[u8]) -> Result<Automerge, Damaged> {
    if bytes.is_empty() {
        return Err(Damaged::Empty);
    }
    guarded(|| {
        let document = Automerge::load(bytes)?;
        whole(&document)?;
        Ok(document)
    })
}

/// Takes a document or changes from outside into `document`; all of them or none. `true` when it has new changes then.
///
/// # Errors
/// Whatever is wrong with the bytes, or earlier changes that neither side has. `document` is as it was then.
pub fn merge(document: &mut Automerge, bytes: &[u8]) -> Result<bool, Damaged> {
    let parts = look_through(bytes)?;
    let before = document.get_heads();
    let waiting = document.get_missing_deps(&[]);
    let copy = document.clone();
    let merged = guarded(move || {
        let mut copy = copy;
        copy.apply_changes(changes(&parts)?)?;
        let missing = copy.get_missing_deps(&[]);
        let missing = missing.iter().filter(|hash| !waiting.contains(hash)).count();
        if missing > 0 {
            return Err(Damaged::Missing { changes: missing });
        }
        let moved = copy.get_heads() != before;
        if moved {
            saved_and_loaded(&copy)?;
        }
        Ok(moved.then_some(copy))
    });
    match merged {
        Ok(None) => Ok(false),
        Ok(Some(merged)) => {
            *document = merged;
            Ok(true)
        }
        Err(damaged) => {
            forget_waiting(document, &damaged);
            Err(damaged)
        }
    }
}

/// Takes a sync message of another device in. `true` when the document has new changes then.
///
/// A message may bring changes whose predecessors are still to come: those wait in the document, its heads do not move,
/// and the next answer asks for what is missing.
///
/// # Errors
/// Whatever is wrong with the message. `document` and `state` are as they were then; only changes that waited in the
/// document are forgotten if they may be what failed. Close the connection, drop the state, and name the device.
pub fn receive(document: &mut Automerge, state: &mut State, message: &[u8]) -> Result<bool, Damaged> {
    small_enough(message)?;
    let parts = message::parts(message)?;
    let before = document.get_heads();
    let (copy, copied_state) = (document.clone(), state.clone());
    let received = guarded(move || {
        let (mut copy, mut state) = (copy, copied_state);
        // Automerge takes in what comes before a change that it cannot read and says nothing: this reads them all.
        drop(changes(&parts)?);
        let message = Message::decode(message).map_err(|_| Damaged::BrokenMessage)?;
        copy.receive_sync_message(&mut state, message)?;
        let moved = copy.get_heads() != before;
        if moved {
            saved_and_loaded(&copy)?;
        }
        Ok((copy, state, moved))
    });
    match received {
        Ok((received, new_state, moved)) => {
            (*document, *state) = (received, new_state);
            Ok(moved)
        }
        Err(damaged) => {
            forget_waiting(document, &damaged);
            Err(damaged)
        }
    }
}

/// The next message for the other device; `None` when there is nothing to say. What the other device claims to have
/// goes into it, so this too is guarded.
///
/// # Errors
/// [`Damaged::Panicked`]: what the other device said cannot be answered. `state` is as it was.
pub fn answer(document: &Automerge, state: &mut State) -> Result<Option<Vec<u8>>, Damaged> {
    let (copy, mut copied_state) = (document.clone(), state.clone());
    let (message, new_state) = guarded(move || {
        let message = copy.generate_sync_message(&mut copied_state);
        Ok((message.map(Message::encode), copied_state))
    })?;
    *state = new_state;
    Ok(message)
}

/// The bytes to keep of a document: changes that wait for others are left out, since [`load_own`] refuses a document
/// with such. They are asked for again.
pub fn settled_bytes(document: &Automerge) -> Vec<u8> {
    document.save_with_options(SaveOptions {
        retain_orphans: false,
        ..SaveOptions::default()
    })
}

/// The parts of an input that is held against the limits.
fn look_through(bytes: &[u8]) -> Result<Vec<Part<'_>>, Damaged> {
    if bytes.is_empty() {
        return Err(Damaged::Empty);
    }
    small_enough(bytes)?;
    claims::parts(bytes, 0, &mut Allowance::whole())
}

fn small_enough(bytes: &[u8]) -> Result<(), Damaged> {
    if bytes.len() > LARGEST {
        return Err(Damaged::TooLarge { bytes: bytes.len() });
    }
    Ok(())
}

/// Runs what automerge does with bytes from outside. Whatever it has hold of when it panics is dropped with it.
fn guarded<T>(run: impl FnOnce() -> Result<T, Damaged>) -> Result<T, Damaged> {
    catch_unwind(AssertUnwindSafe(run)).unwrap_or(Err(Damaged::Panicked))
}

/// The changes of some parts, each part read strictly. To be called in [`guarded`].
fn changes(parts: &[Part<'_>]) -> Result<Vec<Change>, Damaged> {
    let mut changes = Vec::new();
    for part in parts {
        match part.kind {
            Kind::Document => changes.extend(Automerge::load(part.bytes)?.get_changes(&[])),
            Kind::Change | Kind::PackedChange => {
                changes.push(Change::try_from(part.bytes).map_err(AutomergeError::from)?);
            }
        }
    }
    Ok(changes)
}

/// No change waits for one that is not there.
fn whole(document: &Automerge) -> Result<(), Damaged> {
    match document.get_missing_deps(&[]).len() {
        0 => Ok(()),
        changes => Err(Damaged::Missing { changes }),
    }
}

/// The document that comes back when this one is saved and loaded. To be called in [`guarded`].
fn saved_and_loaded(document: &Automerge) -> Result<Automerge, Damaged> {
    let again = Automerge::load(&document.save()).map_err(|_| Damaged::Unloadable)?;
    if again.get_heads() != document.get_heads() {
        return Err(Damaged::Unloadable);
    }
    Ok(again)
}

/// Changes that wait in a document are applied when what they wait for comes. If they are bad, they would then spoil
/// one good message after the other: after such a failure they are forgotten, and asked for again later.
fn forget_waiting(document: &mut Automerge, damaged: &Damaged) {
    let may_be_they = matches!(
        damaged,
        Damaged::Panicked | Damaged::Unloadable | Damaged::Refused { .. } | Damaged::SameName { .. }
    );
    if may_be_they && !document.get_missing_deps(&[]).is_empty() {
        let copy = document.clone();
        if let Ok(settled) = guarded(move || without_waiting(&copy)) {
            *document = settled;
        }
    }
}

/// A copy of a document without the changes that wait in it, under the same name. To be called in [`guarded`].
fn without_waiting(document: &Automerge) -> Result<Automerge, Damaged> {
    let settled = Automerge::load(&settled_bytes(document)).map_err(|_| Damaged::Unloadable)?;
    Ok(settled.with_actor(document.get_actor().clone()))
}
