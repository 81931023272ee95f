//! Refusals: why a command did nothing, by a code that never changes and in words that say what to do.

use ledger::store::{DiskError, JobError, StoreError};
use ledger::{EditError, LoadError, NotKept};
use serde::Serialize;
use survey::Problem;

use crate::wire::ProblemWire;

/// The closed set of reasons. A shell may act on these; the words are for people.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(rename_all = "kebab-case")]
pub enum Code {
    /// The request itself is not understood.
    BadRequest,
    /// No job of that name is on this device.
    NoSuchJob,
    /// Several jobs are on this device and none was named, or several share the name.
    WhichJob,
    /// What was typed, or a sheet, cannot be used; every problem is listed.
    Unusable,
    /// The reading, point, photo or other entry is not there.
    NotThere,
    /// The name is somebody else's.
    NameTaken,
    /// There is nothing to undo or to do again, or nothing is in dispute there.
    NothingToDo,
    /// Others changed it since.
    ChangedSince,
    /// The readings in use determine nothing yet.
    NothingToSolve,
    /// A file is no job file, or damaged, or too large.
    BadFile,
    /// A job, a file or a store was written by a newer Trammel.
    Newer,
    /// It belongs to another job.
    OtherJob,
    /// A photo cannot be taken in.
    BadPhoto,
    /// A photo's picture is not on this device.
    PhotoNotHere,
    /// Another program works in the store.
    InUse,
    /// The folder has no store yet; a look makes none.
    NoStore,
    /// The folder is somebody else's.
    NotAStore,
    /// The store was opened for reading.
    ReadOnly,
    /// The store is damaged; opening it for writing recovers what can be read.
    StoreDamaged,
    /// What is to be kept is larger than Trammel keeps.
    TooLarge,
    /// No room on the disk.
    DiskFull,
    /// The disk failed.
    DiskFailed,
    /// Whoever asked stopped it; nothing was changed.
    Stopped,
    /// Whoever asks may not: the page was not opened by the address with its token.
    NoAccess,
    /// The program itself failed.
    Fault,
}

impl Code {
    /// Every code.
    pub const ALL: [Code; 25] = [
        Code::BadRequest,
        Code::NoSuchJob,
        Code::WhichJob,
        Code::Unusable,
        Code::NotThere,
        Code::NameTaken,
        Code::NothingToDo,
        Code::ChangedSince,
        Code::NothingToSolve,
        Code::BadFile,
        Code::Newer,
        Code::OtherJob,
        Code::BadPhoto,
        Code::PhotoNotHere,
        Code::InUse,
        Code::NoStore,
        Code::NotAStore,
        Code::ReadOnly,
        Code::StoreDamaged,
        Code::TooLarge,
        Code::DiskFull,
        Code::DiskFailed,
        Code::Stopped,
        Code::NoAccess,
        Code::Fault,
    ];
}

/// Why a command did nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{message}")]
pub struct Refusal {
    /// Which of the reasons.
    pub code: Code,
    /// In words, with what to do.
    pub message: String,
    /// What is wrong with sheets or with what was typed, each with its place.
    pub problems: Vec<Problem>,
}

/// A refusal for other programs.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct RefusalWire {
    /// Which of the reasons.
    pub code: Code,
    /// In words.
    pub message: String,
    /// With their places.
    pub problems: Vec<ProblemWire>,
}

impl Refusal {
    pub(crate) fn new(code: Code, message: impl Into<String>) -> Refusal {
        Refusal {
            code,
            message: message.into(),
            problems: Vec::new(),
        }
    }

    /// What is said where the program itself failed, in a way that nobody foresaw.
    pub fn fault() -> Refusal {
        Refusal::new(
            Code::Fault,
            "Trammel itself failed at this: look whether it was done, and try again. What was logged before is on the \
             disk",
        )
    }

    /// The refusal for other programs.
    pub fn wire(&self) -> RefusalWire {
        RefusalWire {
            code: self.code,
            message: self.message.clone(),
            problems: self.problems.iter().map(ProblemWire::of).collect(),
        }
    }
}

impl From<EditError> for Refusal {
    fn from(error: EditError) -> Refusal {
        let code = match &error {
            EditError::Unusable(_)
            | EditError::Nameless
            | EditError::SamePoint(_)
            | EditError::OneMarkAlready { .. }
            | EditError::OutsideThePicture
            | EditError::PinOfNothing
            | EditError::NoNameToChange(_) => Code::Unusable,
            EditError::NoSuchEntry { .. } | EditError::NoSuchPoint(_) | EditError::NotJoined(_) => {
                Code::NotThere
            }
            EditError::NameTaken { .. } | EditError::LabelTaken { .. } => Code::NameTaken,
            EditError::NothingToChoose(_) | EditError::NothingToUndo | EditError::NothingToRedo => {
                Code::NothingToDo
            }
            EditError::ChangedSince { .. } => Code::ChangedSince,
        };
        let message = error.to_string();
        let problems = match error {
            EditError::Unusable(problems) => problems,
            _ => Vec::new(),
        };
        Refusal {
            code,
            message,
            problems,
        }
    }
}

impl From<LoadError> for Refusal {
    fn from(error: LoadError) -> Refusal {
        let code = match &error {
            LoadError::Damaged(_) | LoadError::NotAJob => Code::BadFile,
            LoadError::Newer { .. } => Code::Newer,
            LoadError::OtherJob { .. } => Code::OtherJob,
        };
        Refusal::new(code, error.to_string())
    }
}

impl From<DiskError> for Refusal {
    fn from(error: DiskError) -> Refusal {
        let code = match &error {
            DiskError::Full => Code::DiskFull,
            DiskError::ReadOnly => Code::ReadOnly,
            DiskError::Busy => Code::InUse,
            DiskError::Damaged { .. } => Code::StoreDamaged,
            DiskError::MustReopen | DiskError::File { .. } | DiskError::Database(_) => Code::DiskFailed,
        };
        Refusal::new(code, error.to_string())
    }
}

impl From<JobError> for Refusal {
    fn from(error: JobError) -> Refusal {
        let code = match error {
            JobError::Disk(disk) => return disk.into(),
            JobError::NoSuchJob { .. } => Code::NoSuchJob,
            JobError::AlreadyThere { .. } => Code::NameTaken,
            JobError::Damaged { .. } | JobError::Unreadable { .. } | JobError::HeadsDiffer { .. } => {
                Code::StoreDamaged
            }
        };
        Refusal::new(code, error.to_string())
    }
}

impl From<ledger::store::PhotoError> for Refusal {
    fn from(error: ledger::store::PhotoError) -> Refusal {
        use ledger::store::PhotoError;
        let code = match error {
            PhotoError::Disk(disk) => return disk.into(),
            PhotoError::NoSuchPhoto { .. }
            | PhotoError::FileMissing { .. }
            | PhotoError::Damaged { .. }
            | PhotoError::NoThumbnail { .. } => Code::PhotoNotHere,
        };
        Refusal::new(code, error.to_string())
    }
}

impl From<ledger::photo::PhotoError> for Refusal {
    fn from(error: ledger::photo::PhotoError) -> Refusal {
        Refusal::new(Code::BadPhoto, error.to_string())
    }
}

impl From<StoreError> for Refusal {
    fn from(error: StoreError) -> Refusal {
        let code = match error {
            StoreError::Disk(disk) => return disk.into(),
            StoreError::InUse { .. } => Code::InUse,
            StoreError::Newer { .. } => Code::Newer,
            StoreError::Missing { .. } => Code::NoStore,
            StoreError::Foreign { .. } => Code::NotAStore,
            StoreError::Older { .. } => Code::ReadOnly,
            StoreError::Damaged { .. } => Code::StoreDamaged,
            StoreError::NotRecovered { .. } => Code::DiskFailed,
        };
        Refusal::new(code, error.to_string())
    }
}

impl<W: std::error::Error + Into<Refusal>> From<NotKept<W, JobError>> for Refusal {
    fn from(error: NotKept<W, JobError>) -> Refusal {
        match error {
            NotKept::NotDone(why) => why.into(),
            NotKept::NotStored(fault) => {
                let refusal = Refusal::from(fault);
                Refusal {
                    message: format!(
                        "it could not be stored, and nothing was changed: {}",
                        refusal.message
                    ),
                    ..refusal
                }
            }
        }
    }
}
