//! What the document half knows of a disk: that somebody keeps the changes of a job.

use uuid::Uuid;

/// A job's name for programs: never shown to people, never changed, the same on every device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JobId(pub Uuid);

impl std::fmt::Display for JobId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.0.simple())
    }
}

/// The hashes of the newest changes of a document, sorted. Two copies of a job with the same heads are the same.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Heads(pub Vec<[u8; 32]>);

/// Keeps the changes of jobs. A chunk is whatever bytes the document gives out: a whole document or some changes.
pub trait Keep {
    /// Why something could not be kept or given back.
    type Fault: std::error::Error;

    /// Makes a chunk durable. When this returns `Ok`, neither a killed process nor a pulled plug loses it; when it
    /// returns an error, nothing of it is kept, save where the disk failed so badly that nobody can tell: then the
    /// fault says that the keep must be opened again, and what is found then counts. `heads` are those of the document
    /// with the chunk.
    ///
    /// # Errors
    /// Where the chunk could not be made durable.
    fn append(&mut self, job: JobId, chunk: &[u8], heads: &Heads) -> Result<(), Self::Fault>;

    /// Everything that is kept of a job: its chunks one after the other, to be read as one document.
    ///
    /// # Errors
    /// Where there is no such job, or it cannot be read.
    fn bytes(&self, job: JobId) -> Result<Vec<u8>, Self::Fault>;
}
