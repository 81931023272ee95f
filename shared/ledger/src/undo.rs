//! Undo and redo: each takes back a change of the same person, and leaves what others changed since.

use std::collections::BTreeMap;

use automerge::{ChangeHash, ROOT, ReadDoc};

use crate::edit::{EditError, Stamp};
use crate::history::{keys_of, message_of, ordered};
use crate::job::{Applied, ChangeId, Job};
use crate::registers::{Put, Value, all_values};
use crate::schema::{EntryId, GONE, Key, Room};

/// What undo or redo did.
#[derive(Debug, Clone, PartialEq)]
pub struct Undone {
    /// The change that was taken back.
    pub change: ChangeId,
    /// What that change had done; see [`Entry::did`](crate::Entry::did).
    pub did: String,
    /// Registers that stay as they are, as somebody changed them since.
    pub left: Vec<Left>,
    /// What was written.
    pub applied: Applied,
}

/// A register that undo left alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Left {
    /// The register.
    pub key: Key,
    /// Who changed it since.
    pub by: String,
}

impl Job {
    /// Takes back the newest edit of the person who asks, however much others did since. It is a change of its own:
    /// the history keeps both.
    ///
    /// # Errors
    /// Where there is nothing of theirs to take back, or others changed all of it since.
    pub fn undo(&mut self, stamp: &Stamp) -> Result<Undone, EditError> {
        let (undo, _) = self.stacks(&stamp.by);
        let last = undo.last().copied().ok_or(EditError::NothingToUndo)?;
        self.revert(last, "undo", stamp)
    }

    /// Does again what the person who asks undid last, unless they edited something since.
    ///
    /// # Errors
    /// Where there is nothing of theirs to do again, or others changed all of it since.
    pub fn redo(&mut self, stamp: &Stamp) -> Result<Undone, EditError> {
        let (_, redo) = self.stacks(&stamp.by);
        let last = redo.last().copied().ok_or(EditError::NothingToRedo)?;
        self.revert(last, "redo", stamp)
    }

    /// Whether a person has something to undo, and to do again.
    pub fn can_undo(&self, by: &str) -> (bool, bool) {
        let (undo, redo) = self.stacks(by);
        (!undo.is_empty(), !redo.is_empty())
    }

    /// What a person could undo and do again, the next last. Reverting an undoing is doing again, so both hold changes.
    fn stacks(&self, by: &str) -> (Vec<ChangeHash>, Vec<ChangeHash>) {
        let (mut undo, mut redo): (Vec<ChangeHash>, Vec<ChangeHash>) = (Vec::new(), Vec::new());
        for (hash, about) in ordered(&self.document) {
            if about.message.by != by {
                continue;
            }
            let of = about
                .message
                .of
                .as_deref()
                .and_then(ChangeId::parse)
                .map(|change| ChangeHash(change.0));
            match about.message.did.as_str() {
                "new-job" => {}
                "undo" => {
                    undo.retain(|change| Some(*change) != of);
                    redo.push(hash);
                }
                "redo" => {
                    redo.retain(|change| Some(*change) != of);
                    undo.push(hash);
                }
                _ => {
                    undo.push(hash);
                    redo.clear();
                }
            }
        }
        (undo, redo)
    }

    fn revert(&mut self, change: ChangeHash, word: &str, stamp: &Stamp) -> Result<Undone, EditError> {
        let meta = self.document.get_change_meta_by_hash(&change);
        let (deps, did) = meta
            .map(|meta| (meta.deps.clone(), message_of(meta.message.as_deref()).did))
            .unwrap_or_default();
        let mut by_entry: BTreeMap<(Room, EntryId), Vec<Key>> = BTreeMap::new();
        for key in keys_of(&self.document, &change) {
            by_entry
                .entry((key.room, key.entry.clone()))
                .or_default()
                .push(key);
        }
        let (mut puts, mut left) = (Vec::new(), Vec::new());
        for ((room, entry), keys) in by_entry {
            if self.began_with(room, &entry, &deps) {
                // What a change began is passed over from now on. Its registers stay: others may have added to them.
                puts.push(Put {
                    key: Key::new(room, &entry, GONE),
                    value: Some(Value::Text(stamp.by.clone())),
                });
                continue;
            }
            for key in keys {
                match self.changed_since(&key, &change) {
                    Some(by) => left.push(Left { key, by }),
                    None => {
                        let before = all_values(&self.document, Some(&deps), &key).pop();
                        let value = before.map(|(value, _)| value);
                        puts.push(Put { key, value });
                    }
                }
            }
        }
        let applied = self.write(puts, word, Some(ChangeId(change.0)), stamp);
        if applied.change.is_none() {
            let mut by: Vec<String> = left.into_iter().map(|left| left.by).collect();
            by.sort();
            by.dedup();
            return Err(EditError::ChangedSince { by });
        }
        Ok(Undone {
            change: ChangeId(change.0),
            did,
            left,
            applied,
        })
    }

    /// Whether nothing of an entry was there before a change that was made upon `deps`.
    fn began_with(&self, room: Room, entry: &EntryId, deps: &[ChangeHash]) -> bool {
        if room == Room::Job {
            return false;
        }
        let prefix = format!("{}/{entry}/", room.word());
        let end = format!("{}/{entry}0", room.word());
        deps.is_empty()
            || self
                .document
                .map_range_at(ROOT, prefix..end, deps)
                .next()
                .is_none()
    }

    /// Who wrote a register after that change, if anybody did. What was written and taken back again since is as if it
    /// never was.
    fn changed_since(&self, key: &Key, change: &ChangeHash) -> Option<String> {
        let said = self.said_by(key, *change);
        let values = all_values(&self.document, None, key);
        let mut wrote = values
            .iter()
            .filter_map(|(_, id)| self.document.hash_for_opid(id))
            .filter_map(|hash| self.said_by(key, hash));
        let since = wrote.find(|hash| Some(*hash) != said)?;
        let meta = self.document.get_change_meta_by_hash(&since)?;
        Some(message_of(meta.message.as_deref()).by)
    }

    /// The edit that said what a register says by this change: undoing and doing again put back what an earlier one
    /// said. Nothing where they put back that nobody had said anything.
    fn said_by(&self, key: &Key, mut change: ChangeHash) -> Option<ChangeHash> {
        // Each step is to an earlier change.
        loop {
            let message = {
                let meta = self.document.get_change_meta_by_hash(&change)?;
                message_of(meta.message.as_deref())
            };
            let of = message.of.as_deref().and_then(ChangeId::parse);
            let (true, Some(of)) = (matches!(message.did.as_str(), "undo" | "redo"), of) else {
                return Some(change);
            };
            let reverted = self.document.get_change_meta_by_hash(&ChangeHash(of.0))?;
            let deps = reverted.deps.clone();
            let before = all_values(&self.document, Some(&deps), key).pop();
            change = self.document.hash_for_opid(&before?.1)?;
        }
    }
}
