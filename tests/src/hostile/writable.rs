//! The guard's functions for the kind of document that is easy to write in.

use automerge::{AutoCommit, Automerge};
use ledger::guard::{self, Damaged};

/// As [`guard::load_foreign`].
pub fn load_foreign(bytes: &[u8]) -> Result<AutoCommit, Damaged> {
    guard::load_foreign(bytes).map(|plain| writable(&plain))
}

/// As [`guard::load_own`].
pub fn load_own(bytes: &[u8]) -> Result<AutoCommit, Damaged> {
    guard::load_own(bytes).map(|plain| writable(&plain))
}

/// As [`guard::merge`].
pub fn merge(document: &mut AutoCommit, bytes: &[u8]) -> Result<bool, Damaged> {
    let mut plain = document.document().clone();
    let merged = guard::merge(&mut plain, bytes)?;
    *document = writable(&plain);
    Ok(merged)
}

/// The same document, to be written in.
fn writable(plain: &Automerge) -> AutoCommit {
    let copy = AutoCommit::load(&plain.save()).expect("what is in memory can be saved and loaded");
    copy.with_actor(plain.get_actor().clone())
}
