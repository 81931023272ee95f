//! The log of a job: one document with its edits and their history, the store on a device, photos, job files.

mod conversation;
mod disputes;
mod edit;
pub mod guard;
mod history;
mod job;
pub mod job_file;
mod keep;
pub mod photo;
mod records;
mod registers;
mod schema;
mod sheets;
#[cfg(feature = "store")]
pub mod store;
mod undo;

pub use conversation::Conversation;
pub use disputes::{Dispute, Said};
pub use edit::{
    CorrectionText, Edit, EditError, Imported, InstrumentText, PhotoText, PointText, ReadingText, SheetsIn,
    Stamp,
};
pub use history::{Entry, Write};
pub use job::{Applied, ChangeId, Job, LoadError, NotKept};
pub use keep::{Heads, JobId, Keep};
pub use records::{
    About, AxesKind, BlockedRecord, FrameRecord, InstrumentRecord, JobRecord, Made, NamedRecord, PhotoRecord,
    PinRecord, PointRecord, ReadingRecord, Records, Typed, named,
};
pub use registers::Value;
pub use schema::{EntryId, FORMAT, Key, Room, SCHEMA};
pub use sheets::{JobSurvey, SheetTexts, Stage, moment, table, utc};
pub use undo::{Left, Undone};
