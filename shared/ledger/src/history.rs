//! The history of a job: every change in one order that all copies agree on, and the job as it stood after any.

use std::collections::{BTreeMap, BTreeSet};

use automerge::{Automerge, ChangeHash, ReadDoc};

use crate::job::{ChangeId, Job, Message};
use crate::records::Records;
use crate::registers::{Value, all_values};
use crate::schema::Key;

/// One change: who did what, when, and which registers it wrote.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The change.
    pub change: ChangeId,
    /// Who.
    pub by: String,
    /// When, by the clock of their device, in seconds since 1970.
    pub at_s: i64,
    /// What; see [`Edit::word`](crate::Edit::word), besides `new-job`, `import-sheets`, `undo` and `redo`.
    pub did: String,
    /// The change that was undone or done again.
    pub of: Option<ChangeId>,
    /// What it wrote, in the order of the keys.
    pub writes: Vec<Write>,
}

/// One register that a change wrote.
#[derive(Debug, Clone, PartialEq)]
pub struct Write {
    /// The register.
    pub key: Key,
    /// What it held before.
    pub before: Option<Value>,
    /// What it holds since; nothing where it was emptied.
    pub after: Option<Value>,
}

impl Job {
    /// Every change, the oldest first: after all that it was made upon, and of those made at the same time on several
    /// devices the one with the earlier device time first. The same on every copy of the job.
    pub fn changes(&self) -> Vec<ChangeId> {
        ordered(&self.document)
            .into_iter()
            .map(|(hash, _)| ChangeId(hash.0))
            .collect()
    }

    /// What one change did.
    pub fn entry(&self, change: &ChangeId) -> Option<Entry> {
        let hash = ChangeHash(change.0);
        let meta = self.document.get_change_meta_by_hash(&hash)?;
        let message = message_of(meta.message.as_deref());
        let writes = keys_of(&self.document, &hash).into_iter().map(|key| {
            let winner = |at: &[ChangeHash]| {
                all_values(&self.document, Some(at), &key)
                    .pop()
                    .map(|(value, _)| value)
            };
            Write {
                before: if meta.deps.is_empty() {
                    None
                } else {
                    winner(&meta.deps)
                },
                after: winner(&[hash]),
                key,
            }
        });
        Some(Entry {
            change: *change,
            by: message.by,
            at_s: meta.timestamp,
            did: message.did,
            of: message.of.as_deref().and_then(ChangeId::parse),
            writes: writes.collect(),
        })
    }

    /// The job as it stood after that change, and after all that stand before it in [`changes`](Job::changes).
    pub fn as_it_stood(&self, after: &ChangeId) -> Option<Records> {
        let order = ordered(&self.document);
        let last = order.iter().position(|(hash, _)| hash.0 == after.0)?;
        Some(self.records_after(&order[..=last]))
    }

    /// The job as it stood at a moment, by the clocks of the devices: with every change made until then.
    pub fn as_it_stood_at(&self, at_s: i64) -> Records {
        let mut there: BTreeSet<ChangeHash> = BTreeSet::new();
        let mut until = Vec::new();
        for (hash, about) in ordered(&self.document) {
            // A clock that went backwards must not tear a change from what it was made upon.
            if about.at_s <= at_s && about.deps.iter().all(|dep| there.contains(dep)) {
                there.insert(hash);
                until.push((hash, about));
            }
        }
        self.records_after(&until)
    }

    fn records_after(&self, changes: &[(ChangeHash, About)]) -> Records {
        let deps: BTreeSet<ChangeHash> = changes
            .iter()
            .flat_map(|(_, about)| about.deps.iter().copied())
            .collect();
        let heads: Vec<ChangeHash> = changes
            .iter()
            .map(|(hash, _)| *hash)
            .filter(|hash| !deps.contains(hash))
            .collect();
        if heads.is_empty() {
            return Records::default();
        }
        Records::read(&self.document, Some(&heads))
    }
}

/// What the order of the changes depends on.
pub(crate) struct About {
    pub(crate) at_s: i64,
    pub(crate) deps: Vec<ChangeHash>,
    pub(crate) message: Message,
}

/// Every change in the order that all copies agree on.
pub(crate) fn ordered(document: &Automerge) -> Vec<(ChangeHash, About)> {
    let mut about: BTreeMap<ChangeHash, About> = BTreeMap::new();
    let mut waiting: BTreeMap<ChangeHash, usize> = BTreeMap::new();
    let mut followers: BTreeMap<ChangeHash, Vec<ChangeHash>> = BTreeMap::new();
    let mut ready: BTreeSet<(i64, ChangeHash)> = BTreeSet::new();
    for meta in document.get_changes_meta(&[]) {
        for dep in &meta.deps {
            followers.entry(*dep).or_default().push(meta.hash);
        }
        if meta.deps.is_empty() {
            ready.insert((meta.timestamp, meta.hash));
        } else {
            waiting.insert(meta.hash, meta.deps.len());
        }
        let message = message_of(meta.message.as_deref());
        let (at_s, deps) = (meta.timestamp, meta.deps.clone());
        about.insert(meta.hash, About { at_s, deps, message });
    }
    let mut order = Vec::with_capacity(about.len());
    while let Some((_, hash)) = ready.pop_first() {
        for follower in followers.remove(&hash).unwrap_or_default() {
            let Some(left) = waiting.get_mut(&follower) else {
                continue;
            };
            *left -= 1;
            if *left == 0 {
                ready.insert((about.get(&follower).map_or(0, |about| about.at_s), follower));
            }
        }
        if let Some(about) = about.remove(&hash) {
            order.push((hash, about));
        }
    }
    order
}

/// Who wrote the message of a change, and what; a change of another program has nobody and nothing.
pub(crate) fn message_of(text: Option<&str>) -> Message {
    text.and_then(|text| serde_json::from_str(text).ok())
        .unwrap_or_else(|| Message {
            by: String::new(),
            did: String::new(),
            of: None,
        })
}

/// The registers that a change wrote.
pub(crate) fn keys_of(document: &Automerge, change: &ChangeHash) -> Vec<Key> {
    let Some(change) = document.get_change_by_hash(change) else {
        return Vec::new();
    };
    let decoded = change.decode();
    let keys = decoded
        .operations
        .iter()
        .filter_map(|operation| match &operation.key {
            automerge::legacy::Key::Map(key) => Key::parse(key),
            automerge::legacy::Key::Seq(_) => None,
        });
    let keys: BTreeSet<Key> = keys.collect();
    keys.into_iter().collect()
}
