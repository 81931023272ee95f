//! The log of a job: one document with its edits and their history, the store on a device, photos, job files.

pub mod guard;
pub mod job_file;
mod keep;
pub mod photo;
#[cfg(feature = "store")]
pub mod store;

pub use keep::{Heads, JobId, Keep};
