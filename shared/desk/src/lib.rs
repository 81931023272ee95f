//! What a person can do with Trammel: commands that take plain input and give a typed result.
//!
//! Every shell (today the command line) calls the same commands and computes nothing itself. This crate prints
//! nothing: sheets and photos come in as bytes, answers go out as values. Of files it knows only the store, which the
//! ledger keeps; the clock and fresh numbers come from [`Surroundings`].
//!
//! Jobs on a device:
//!
//! - [`Desk`] opens the store and does to its jobs what a person can do: log a reading, correct it, set it aside, add a
//!   photo, undo, take sheets and job files in, give a job away, look back. When a command that changes something
//!   returns `Ok`, the change is on the disk.
//! - [`COMMANDS`] is the table of all of them for shells that speak JSON; [`Act`] are the edits.
//! - [`SharedDesk`] answers several callers, who ask and are answered in the bytes of an [`envelope`].
//! - [`Refusal`] says why a command did nothing, by a closed set of [`Code`]s and in words.
//!
//! Sheets without a job:
//!
//! - [`adjust()`] solves the sheets of a survey: [`AdjustRequest`] in, [`AdjustAnswer`] or [`AdjustError`] out.
//! - [`just_logged`] compares one reading with the others, the moment it is logged.
//! - [`compare()`] tells which points moved between two sheets of readings.
//! - [`order()`] works out the order in which to survey, from rough places or from a survey half done.
//! - [`wire`] is the answer as JSON, the same names for every reader.
//! - [`told`] is the answer in the crew's words and unit, ready to be laid out.
//! - [`demo`] is a job to look at: an invented shell with three slips in its sheets.
//!
//! ```
//! use desk::{adjust, AdjustError, AdjustRequest, SheetBytes};
//!
//! let readings = SheetBytes { name: "readings.csv".into(), bytes: b"id,kind\n".to_vec() };
//! let answer = adjust(AdjustRequest::of(readings));
//! assert!(matches!(answer, Err(AdjustError::UnusableSheets(_) | AdjustError::NothingToSolve { .. })));
//! ```
//!
//! Invariant: a command never changes a reading, and never guesses what an input leaves open.

mod adjust;
mod compare;
pub mod demo;
mod doubts;
pub mod envelope;
#[cfg(test)]
mod hand_made;
mod jobs;
mod logged;
mod order;
mod refusal;
mod shape;
mod shared;
pub mod told;
pub mod wire;
#[cfg(test)]
mod wire_types;

pub use ::adjust::{Adjustment, Suspects, Unsolvable};
pub use adjust::{AdjustAnswer, AdjustError, AdjustRequest, SheetBytes, adjust};
pub use compare::{CompareAnswer, CompareError, CompareRequest, Which, compare};
pub use jobs::{
    Act, Acted, AddPhoto, Again, BlockedLine, COMMANDS, Call, Checked, Compared, ComparedVerdict, Correction,
    Desk, Device, DeviceSaid, DisputeLine, Distance, Exported, FileTaken, Hand, HistoryLine, InstrumentFacts,
    InstrumentLine, JobLine, JobShown, LogReading, Logged, NamedThing, NewPoint, NothingToCompare, Numbers,
    PaperForm, PaperSize, PhotoAdded, PhotoLine, PhotoSize, PinLine, PointFacts, PointLine, ReadingLine,
    RegisterValue, Reply, SaidLine, SheetsBrought, SheetsGiven, SheetsShown, Standing, StartingGroup,
    StartingList, StartingPoint, Surroundings, TextSize, Theme, ThisDevice, Typed, TypedProblem, Undone,
    WallSheet,
};
pub use jobs::{Watch, WorkWire};
pub use logged::{LoggedAnswer, just_logged};
pub use order::{OrderAnswer, OrderError, OrderRequest, order};
pub use refusal::{Code, Refusal, RefusalWire};
pub use shared::{Picture, SharedDesk};
pub use survey::{Kind, LengthUnit, Problem, Survey};
