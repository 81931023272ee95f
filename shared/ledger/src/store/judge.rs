//! What the store asks of whoever understands documents. The store itself takes them for opaque bytes.

use thiserror::Error;

use crate::Heads;

/// Whoever understands documents. A judge must not panic, whatever the bytes.
pub trait Judge {
    /// Reads chunks one after the other as one document, strictly: whatever is damaged or left over is an error.
    /// Gives its heads and one whole chunk that holds all of it.
    ///
    /// # Errors
    /// Where the bytes are no document.
    fn whole(&self, bytes: &[u8]) -> Result<(Heads, Vec<u8>), Unreadable>;

    /// Makes the most of chunks of which some may be missing, in the order in which they were kept; the last may
    /// be a copy of the whole document from some time before. `None` where no document can be made of them.
    fn salvage(&self, chunks: &[Vec<u8>]) -> Option<Salvaged>;
}

/// A document that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{reason}")]
pub struct Unreadable {
    /// What is wrong with it.
    pub reason: String,
}

/// What was made of a damaged document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Salvaged {
    /// Its heads.
    pub heads: Heads,
    /// All of it in one chunk that [`Judge::whole`] reads.
    pub whole: Vec<u8>,
    /// How many changes others build upon and are not there, as far as that can be seen.
    pub missing: u64,
    /// How many changes are kept in `whole` but wait for a missing one, and so do not show.
    pub waiting: u64,
}
