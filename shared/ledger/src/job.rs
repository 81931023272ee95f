//! A job: its document, and what can be done with it.

use automerge::transaction::{CommitOptions, Transactable};
use automerge::{ActorId, Automerge, ChangeHash, ROOT};
use serde::{Deserialize, Serialize};
use thiserror::Error;
use uuid::Uuid;

use crate::edit::{Edit, EditError, Imported, SheetsIn, Stamp, Writing};
use crate::guard::{self, Damaged};
use crate::keep::{Heads, JobId, Keep};
use crate::records::Records;
use crate::registers::{Put, Value, all_values};
use crate::schema::{EntryId, FORMAT, Key, ONLY, Room};

/// A job: one document, and the records that it says.
///
/// Everything that a person does is an [`Edit`] and becomes one change of the document, with who, when and what. Two
/// copies of a job can be [merged](Job::merge) whenever they meet; the same changes make the same records, on every
/// device and in whatever order they came.
#[derive(Debug, Clone)]
pub struct Job {
    pub(crate) document: Automerge,
    id: JobId,
    records: Records,
}

/// One change of a document, by its hash.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ChangeId(pub [u8; 32]);

/// What an edit did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Applied {
    /// The change that it became; nothing where all was so already.
    pub change: Option<ChangeId>,
    /// The entries that it wrote, in the order of their keys.
    pub entries: Vec<(Room, EntryId)>,
}

/// Why bytes are no job that can be opened here.
#[derive(Debug, Error)]
pub enum LoadError {
    /// The bytes are no whole document.
    #[error(transparent)]
    Damaged(#[from] Damaged),
    /// A document of another program.
    #[error("this is no job of Trammel: choose a job file, or a document that Trammel wrote")]
    NotAJob,
    /// From a newer Trammel.
    #[error(
        "this job was written by a newer Trammel (schema {found}; this one knows {FORMAT}): update Trammel here first"
    )]
    Newer {
        /// What the document says.
        found: i64,
    },
    /// A copy of another job.
    #[error("this is another job (`{name}`): open it by itself, it cannot be merged into this one")]
    OtherJob {
        /// What that job is called.
        name: String,
    },
}

/// Why something was done but not kept: it is undone in memory too, so that what is shown is what is kept.
#[derive(Debug, Error)]
pub enum NotKept<W: std::error::Error, F: std::error::Error> {
    /// It could not be done.
    #[error(transparent)]
    NotDone(W),
    /// It could be done, and could not be made durable.
    #[error("it could not be stored, and nothing was changed: {0}")]
    NotStored(F),
}

/// What stands beside a change: who, what, and which other change it is about.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Message {
    pub(crate) by: String,
    pub(crate) did: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) of: Option<String>,
}

impl Job {
    /// Begins a job. `actor` is a number that nobody else ever has; a fresh one each time that a job is opened.
    pub fn new(id: JobId, name: &str, actor: Uuid, stamp: &Stamp) -> Job {
        let mut job = Job {
            document: Automerge::new().with_actor(ActorId::from(actor.as_bytes().as_slice())),
            id,
            records: Records::default(),
        };
        let only = EntryId::parse(ONLY).expect("a hyphen is an entry");
        let put = |field: &str, value: Value| Put {
            key: Key::new(Room::Job, &only, field),
            value: Some(value),
        };
        let puts = vec![
            put("format", Value::Whole(FORMAT)),
            put("id", Value::Text(id.to_string())),
            put("name", Value::from(name.trim())),
            put("made", Value::Whole(stamp.at_ms)),
        ];
        job.write(puts, "new-job", None, stamp);
        job
    }

    /// Opens a job from bytes that this device kept and that are known to be whole.
    ///
    /// # Errors
    /// Where they are no document, no job, or from a newer Trammel.
    pub fn open(bytes: &[u8], actor: Uuid) -> Result<Job, LoadError> {
        Job::of_document(guard::load_own(bytes)?, actor)
    }

    /// Opens a job from bytes that came from elsewhere.
    ///
    /// # Errors
    /// Where they are no document, no job, or from a newer Trammel.
    pub fn open_foreign(bytes: &[u8], actor: Uuid) -> Result<Job, LoadError> {
        Job::of_document(guard::load_foreign(bytes)?, actor)
    }

    /// A job of a document that was read.
    ///
    /// # Errors
    /// Where it is no job, or from a newer Trammel.
    pub(crate) fn of_document(document: Automerge, actor: Uuid) -> Result<Job, LoadError> {
        let (id, _) = identity(&document)?;
        Ok(Job {
            records: Records::read(&document, None),
            document: document.with_actor(ActorId::from(actor.as_bytes().as_slice())),
            id,
        })
    }

    /// Its name for programs.
    pub fn id(&self) -> JobId {
        self.id
    }

    /// What it says now.
    pub fn records(&self) -> &Records {
        &self.records
    }

    /// Its newest changes. What was computed from a job holds as long as these are the same.
    pub fn heads(&self) -> Heads {
        heads_of(&self.document)
    }

    /// The whole document. Changes of others that still wait for an earlier one are not in it.
    pub fn save(&self) -> Vec<u8> {
        guard::settled_bytes(&self.document)
    }

    /// The changes that came after some heads, as one chunk to be kept or sent.
    pub fn changes_after(&self, heads: &Heads) -> Vec<u8> {
        self.document.save_after(&hashes(heads))
    }

    /// Makes an edit: one change.
    ///
    /// # Errors
    /// Where it cannot be made; the job is as it was.
    pub fn apply(&mut self, edit: &Edit, stamp: &Stamp) -> Result<Applied, EditError> {
        let mut writing = Writing::new(&self.records, stamp);
        writing.carry_out(edit)?;
        let puts = writing.into_puts();
        if let Edit::Choose { key, value } = edit {
            return self.choose(key, value, stamp);
        }
        Ok(self.write(puts, edit.word(), None, stamp))
    }

    /// Takes sheets in: one change, whatever they hold. Rows that are there already are counted and add nothing.
    ///
    /// # Errors
    /// [`EditError::Unusable`] where a sheet cannot be used, or a row cannot and nobody said to keep going.
    pub fn import(&mut self, sheets: &SheetsIn<'_>, stamp: &Stamp) -> Result<(Imported, Applied), EditError> {
        let mut writing = Writing::new(&self.records, stamp);
        let imported = writing.import(sheets)?;
        let puts = writing.into_puts();
        let applied = self.write(puts, "import-sheets", None, stamp);
        Ok((imported, applied))
    }

    /// Merges another copy of this job, or some of its changes. Gives whether anything was new.
    ///
    /// # Errors
    /// Where the bytes cannot be read or are another job's; this job is as it was.
    pub fn merge(&mut self, bytes: &[u8]) -> Result<bool, LoadError> {
        let mut document = self.document.clone();
        if !guard::merge(&mut document, bytes)? {
            return Ok(false);
        }
        self.take_over(document)?;
        Ok(true)
    }

    /// Takes a document that has more changes, if it is still this job.
    pub(crate) fn take_over(&mut self, document: Automerge) -> Result<(), LoadError> {
        let (id, name) = identity(&document)?;
        if id != self.id {
            return Err(LoadError::OtherJob { name });
        }
        self.records = Records::read(&document, None);
        self.document = document;
        Ok(())
    }

    /// Does something and keeps what it changed: when this returns `Ok`, it is durable. Where it cannot be kept it is
    /// not done either.
    ///
    /// # Errors
    /// Where it could not be done, or not kept; the job is as it was.
    pub fn kept<K: Keep, T, W: std::error::Error>(
        &mut self,
        keep: &mut K,
        work: impl FnOnce(&mut Job) -> Result<T, W>,
    ) -> Result<T, NotKept<W, K::Fault>> {
        let before = self.document.clone();
        let heads_before = self.heads();
        let done = work(self).map_err(NotKept::NotDone)?;
        let heads = self.heads();
        if heads == heads_before {
            return Ok(done);
        }
        let chunk = self.changes_after(&heads_before);
        if let Err(fault) = keep.append(self.id, &chunk, &heads) {
            // A change that was given back may have left all the same: the next one must not have its number.
            let mut another = blake3::Hasher::new();
            another.update(before.get_actor().to_bytes()).update(&chunk);
            let actor = ActorId::from(&another.finalize().as_bytes()[..16]);
            self.document = before.with_actor(actor);
            self.records = Records::read(&self.document, None);
            return Err(NotKept::NotStored(fault));
        }
        Ok(done)
    }

    /// Writes registers as one change, those that say something new.
    pub(crate) fn write(
        &mut self,
        puts: Vec<Put>,
        did: &str,
        of: Option<ChangeId>,
        stamp: &Stamp,
    ) -> Applied {
        let mut entries: Vec<(Room, EntryId)> = Vec::new();
        let mut transaction = self.document.transaction();
        for Put { key, value } in puts {
            let text = key.to_string();
            let held = automerge::ReadDoc::get_all(&transaction, ROOT, &text).unwrap_or_default();
            let says_so = match (&value, held.as_slice()) {
                (None, []) => true,
                (Some(value), [(automerge::Value::Scalar(scalar), _)]) => {
                    *scalar.as_ref() == automerge::ScalarValue::from(value)
                }
                _ => false,
            };
            if says_so {
                continue;
            }
            let written = match &value {
                Some(value) => {
                    // Where devices disagree, a put of the value that counts already would say nothing.
                    let emptied = if held.len() > 1 {
                        transaction.delete(ROOT, &text)
                    } else {
                        Ok(())
                    };
                    emptied.and_then(|()| transaction.put(ROOT, &text, automerge::ScalarValue::from(value)))
                }
                None => transaction.delete(ROOT, &text),
            };
            written.expect("the root of a document is a map, and a map takes every key");
            entries.push((key.room, key.entry));
        }
        entries.sort();
        entries.dedup();
        if entries.is_empty() {
            transaction.rollback();
            return Applied {
                change: None,
                entries,
            };
        }
        let message = Message {
            by: stamp.by.clone(),
            did: did.to_owned(),
            of: of.map(|change| change.to_string()),
        };
        let message = serde_json::to_string(&message).expect("text is JSON");
        let options = CommitOptions::default()
            .with_time(stamp.at_ms.div_euclid(1000))
            .with_message(message);
        let (change, _) = transaction.commit_with(options);
        for (room, entry) in &entries {
            self.records.refresh(&self.document, *room, entry);
        }
        Applied {
            change: change.map(|hash| ChangeId(hash.0)),
            entries,
        }
    }

    fn choose(&mut self, key: &Key, value: &Value, stamp: &Stamp) -> Result<Applied, EditError> {
        let held = all_values(&self.document, None, key);
        if held.len() < 2 || !held.iter().any(|(held, _)| held == value) {
            return Err(EditError::NothingToChoose(key.clone()));
        }
        let put = Put {
            key: key.clone(),
            value: Some(value.clone()),
        };
        Ok(self.write(vec![put], "choose", None, stamp))
    }
}

impl std::fmt::Display for ChangeId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        ChangeHash(self.0).fmt(f)
    }
}

impl ChangeId {
    /// The change of that hash, 64 hexadecimal letters.
    pub fn parse(text: &str) -> Option<ChangeId> {
        text.parse::<ChangeHash>().ok().map(|hash| ChangeId(hash.0))
    }
}

/// Whose job a document is and what it is called; refused where it is none, or from a newer Trammel.
pub(crate) fn identity(document: &Automerge) -> Result<(JobId, String), LoadError> {
    let only = EntryId::parse(ONLY).expect("a hyphen is an entry");
    let values = |field| all_values(document, None, &Key::new(Room::Job, &only, field)).into_iter();
    let formats = values("format").filter_map(|(value, _)| match value {
        Value::Whole(format) => Some(format),
        _ => None,
    });
    match formats.max() {
        None => return Err(LoadError::NotAJob),
        Some(found) if found > FORMAT => return Err(LoadError::Newer { found }),
        Some(_) => {}
    }
    let mut ids = values("id").filter_map(|(value, _)| Uuid::parse_str(value.text()?).ok());
    let name = values("name")
        .next_back()
        .map(|(value, _)| value.to_string())
        .unwrap_or_default();
    match (ids.next(), ids.next()) {
        (Some(id), None) => Ok((JobId(id), name)),
        // Two jobs in one document: somebody put them together by other means.
        (Some(_), Some(_)) => Err(LoadError::OtherJob { name }),
        (None, _) => Err(LoadError::NotAJob),
    }
}

pub(crate) fn heads_of(document: &Automerge) -> Heads {
    let mut heads: Vec<[u8; 32]> = document.get_heads().iter().map(|hash| hash.0).collect();
    heads.sort_unstable();
    Heads(heads)
}

pub(crate) fn hashes(heads: &Heads) -> Vec<ChangeHash> {
    heads.0.iter().map(|hash| ChangeHash(*hash)).collect()
}
