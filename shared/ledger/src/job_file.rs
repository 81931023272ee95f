//! The job file: a zip that carries a job to another device, and that people can read without this program.
//!
//! `README.txt` says in plain words what it is, `job.automerge` is the document, sheets and other texts lie beside it
//! (`readings.csv`, `history.csv` and so on), and `photos/` holds the photos, each under the 64 hexadecimal digits of
//! its hash. A person may add files of their own; those are named when it is read, and otherwise left alone. Nothing
//! is ever written to a disk under a name from inside the file.

mod metered;
mod names;
mod read;
#[cfg(test)]
mod tests;
mod write;

pub use names::{PhotoName, text_name};
pub use read::{Contents, JobFileError, read};
pub use write::{PackError, Writer};

/// What the document is called inside.
pub const DOCUMENT: &str = "job.automerge";
/// The folder of the photos inside.
pub const PHOTOS: &str = "photos";

/// Bytes of the document at most: what [`crate::guard`] looks at.
pub const LARGEST_DOCUMENT: u64 = crate::guard::LARGEST as u64;
/// Bytes of one text at most.
pub const LARGEST_TEXT: u64 = 64 << 20;
/// Bytes of all texts together at most: they are held in memory together.
pub const LARGEST_TEXTS: u64 = 128 << 20;
/// Bytes of one photo at most.
pub const LARGEST_PHOTO: u64 = 48 << 20;
/// Bytes of everything together at most, unpacked.
pub const LARGEST_IN_ALL: u64 = 8 << 30;
/// Entries at most, folders and files of others counted.
pub const MOST_ENTRIES: usize = 20_000;
/// Bytes of the list of entries at most, names and remarks counted.
pub const LARGEST_LIST: u64 = 8 << 20;
