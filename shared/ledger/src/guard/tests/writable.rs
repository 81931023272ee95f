//! The guard's functions for the kind of document that is easy to write in.

use super::super::{self as guard, Damaged};
use automerge::sync::State;
use automerge::{AutoCommit, Automerge};

/// As [`guard::load_foreign`].
pub(super) fn load_foreign(bytes: &[u8]) -> Result<AutoCommit, Damaged> {
    guard::load_foreign(bytes).map(|plain| writable(&plain))
}

/// As [`guard::load_own`].
pub(super) fn load_own(bytes: &[u8]) -> Result<AutoCommit, Damaged> {
    guard::load_own(bytes).map(|plain| writable(&plain))
}

/// As [`guard::merge`].
pub(super) fn merge(document: &mut AutoCommit, bytes: &[u8]) -> Result<bool, Damaged> {
    on(document, |plain| guard::merge(plain, bytes))
}

/// As [`guard::receive`].
pub(super) fn receive(document: &mut AutoCommit, state: &mut State, message: &[u8]) -> Result<bool, Damaged> {
    on(document, |plain| guard::receive(plain, state, message))
}

/// As [`guard::answer`].
pub(super) fn answer(document: &mut AutoCommit, state: &mut State) -> Result<Option<Vec<u8>>, Damaged> {
    guard::answer(document.document(), state)
}

/// The same document, to be written in. What waits in it still waits.
pub(super) fn writable(plain: &Automerge) -> AutoCommit {
    let copy = AutoCommit::load(&plain.save()).unwrap();
    copy.with_actor(plain.get_actor().clone())
}

fn on<T>(document: &mut AutoCommit, work: impl FnOnce(&mut Automerge) -> T) -> T {
    let mut plain = document.document().clone();
    let done = work(&mut plain);
    *document = writable(&plain);
    done
}
