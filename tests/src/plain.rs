//! Documents as plain as they can be, to try the store with: one register for each entry, and a judge of them.

use automerge::transaction::{CommitOptions, Transactable};
use automerge::{ActorId, AutoCommit, AutomergeError, Change, ROOT, ReadDoc};
use ledger::store::{Judge, Salvaged, Unreadable};
use ledger::{Heads, JobId};

/// Understands Automerge documents, and nothing of what is in them.
pub struct PlainJudge;

/// The judge that stores are opened with.
pub static JUDGE: PlainJudge = PlainJudge;

impl Judge for PlainJudge {
    fn whole(&self, bytes: &[u8]) -> Result<(Heads, Vec<u8>), Unreadable> {
        let mut document = AutoCommit::load(bytes).map_err(unreadable)?;
        Ok((heads(&mut document), document.save()))
    }

    fn salvage(&self, chunks: &[Vec<u8>]) -> Option<Salvaged> {
        let mut document = AutoCommit::load(&chunks.concat()).unwrap_or_else(|_| {
            let mut document = AutoCommit::new();
            for chunk in chunks {
                // What is damaged adds nothing.
                let _ = document.load_incremental(chunk);
            }
            document
        });
        let single = chunks
            .iter()
            .filter_map(|chunk| Change::from_bytes(chunk.clone()).ok());
        let waiting = single.filter(|change| document.get_change_by_hash(&change.hash()).is_none());
        let waiting = waiting.count() as u64;
        let heads = heads(&mut document);
        (!heads.0.is_empty()).then(|| Salvaged {
            heads,
            missing: document.get_missing_deps(&[]).len() as u64,
            whole: document.save(),
            waiting,
        })
    }
}

/// A job's document.
pub struct PlainLog {
    /// Which job it is.
    pub job: JobId,
    document: AutoCommit,
}

impl PlainLog {
    /// A new one, with its first chunk. `actor` must differ between any two programs that write to one document.
    ///
    /// # Errors
    /// Never, as far as is known: what Automerge says is handed on.
    pub fn make(job: JobId, actor: u64) -> Result<(PlainLog, Vec<u8>, Heads), AutomergeError> {
        let mut document = AutoCommit::new().with_actor(ActorId::from(actor.to_be_bytes()));
        document.put(ROOT, "made", actor.to_string())?;
        document.commit_with(CommitOptions::default().with_time(0));
        let (chunk, heads) = (document.save(), heads(&mut document));
        Ok((PlainLog { job, document }, chunk, heads))
    }

    /// One that was kept.
    ///
    /// # Errors
    /// Where the bytes are no document.
    pub fn read(job: JobId, bytes: &[u8], actor: u64) -> Result<PlainLog, AutomergeError> {
        let document = AutoCommit::load(bytes)?.with_actor(ActorId::from(actor.to_be_bytes()));
        Ok(PlainLog { job, document })
    }

    /// Puts one entry and gives the chunk and the heads after it.
    ///
    /// # Errors
    /// Never, as far as is known: what Automerge says is handed on.
    pub fn put(&mut self, key: &str, value: i64) -> Result<(Vec<u8>, Heads), AutomergeError> {
        let before = self.document.get_heads();
        self.document.put(ROOT, key, value)?;
        self.document.commit_with(CommitOptions::default().with_time(0));
        Ok((self.document.save_after(&before), heads(&mut self.document)))
    }

    /// The value of an entry.
    pub fn get(&self, key: &str) -> Option<i64> {
        let (value, _) = self.document.get(ROOT, key).ok()??;
        value.as_i64()
    }
}

fn unreadable(error: AutomergeError) -> Unreadable {
    Unreadable {
        reason: error.to_string(),
    }
}

fn heads(document: &mut AutoCommit) -> Heads {
    let mut heads: Vec<[u8; 32]> = document.get_heads().iter().map(|hash| hash.0).collect();
    heads.sort_unstable();
    Heads(heads)
}
