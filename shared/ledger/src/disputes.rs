//! Disputes: registers that were written on two devices before they met.

use crate::history::message_of;
use crate::job::{ChangeId, Job};
use crate::registers::{Value, all_values, disputed_keys};
use crate::schema::Key;

/// A register that holds several values until someone [chooses](crate::Edit::Choose) one.
#[derive(Debug, Clone, PartialEq)]
pub struct Dispute {
    /// The register.
    pub key: Key,
    /// Its values with who wrote them, no two alike. The last one counts until someone chooses, on every copy alike.
    pub values: Vec<Said>,
}

/// One value of a disputed register.
#[derive(Debug, Clone, PartialEq)]
pub struct Said {
    /// The value.
    pub value: Value,
    /// Who wrote it.
    pub by: String,
    /// When, by the clock of their device, in seconds since 1970.
    pub at_s: i64,
    /// In which change.
    pub change: Option<ChangeId>,
}

impl Job {
    /// What devices disagree about, in the order of the keys. Two that wrote the same value do not disagree.
    pub fn disputes(&self) -> Vec<Dispute> {
        let mut disputes = Vec::new();
        for key in disputed_keys(&self.document) {
            let mut values: Vec<Said> = Vec::new();
            for (value, id) in all_values(&self.document, None, &key) {
                let hash = self.document.hash_for_opid(&id);
                let meta = hash.and_then(|hash| self.document.get_change_meta_by_hash(&hash));
                let message = message_of(meta.as_ref().and_then(|meta| meta.message.as_deref()));
                let said = Said {
                    value,
                    by: message.by,
                    at_s: meta.as_ref().map_or(0, |meta| meta.timestamp),
                    change: hash.map(|hash| ChangeId(hash.0)),
                };
                values.retain(|earlier| earlier.value != said.value);
                values.push(said);
            }
            if values.len() > 1 {
                disputes.push(Dispute { key, values });
            }
        }
        disputes
    }
}
