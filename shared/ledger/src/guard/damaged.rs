//! What is wrong with bytes from outside, and what to do about it.

use std::fmt;

use automerge::AutomergeError;
use thiserror::Error;

use super::LARGEST;

/// Why bytes from outside are not taken.
#[derive(Debug, Error)]
pub enum Damaged {
    /// No bytes at all.
    #[error("there is nothing in it: copy it again from the device it came from")]
    Empty,
    /// It does not begin as a log does.
    #[error("it is not the log of a job: choose one that this program wrote")]
    NotADocument,
    /// More bytes than are looked at.
    #[error(
        "it is {bytes} bytes long and at most {LARGEST} are read: ask the other device for its job file instead"
    )]
    TooLarge {
        /// How many there are.
        bytes: usize,
    },
    /// It ends within a part.
    #[error("it is cut off within part {part}: copy it again, whole, from the device it came from")]
    CutOff {
        /// Counted from 1.
        part: usize,
    },
    /// After a part comes something that is none.
    #[error(
        "there is something else where part {part} should begin: copy it again from the device it came from"
    )]
    Trailing {
        /// Counted from 1.
        part: usize,
    },
    /// A kind of part that this program does not write.
    #[error(
        "part {part} is of the kind `{kind}`, which this program does not know: bring both devices to the same version of it"
    )]
    UnknownPart {
        /// Counted from 1.
        part: usize,
        /// The number that stands there.
        kind: u8,
    },
    /// Bytes were changed on the way or on the disk.
    #[error(
        "part {part} does not match its checksum: it was damaged on the way or on the disk, so copy it again from the device it came from"
    )]
    Checksum {
        /// Counted from 1.
        part: usize,
    },
    /// Small bytes that unpack to a great many.
    #[error("it claims to hold more than {} {claimed}, which no log of a job does: nothing of it was unpacked, ask who made it", claimed.limit())]
    Bomb {
        /// What there would be too much of.
        claimed: Claimed,
    },
    /// The checksum is right and the contents are not: a faulty program made it.
    #[error(
        "part {part} was put together wrongly by the program that made it: bring the other device to the same version of this program and copy it again"
    )]
    Misshapen {
        /// Counted from 1.
        part: usize,
    },
    /// Automerge says what is wrong.
    #[error("it cannot be read as the log of a job, so copy it again from the device it came from: {cause}")]
    Refused {
        /// In its words.
        #[source]
        cause: Box<AutomergeError>,
    },
    /// Two different changes have the same number under the same name: a copied device or an old backup writes too.
    #[error(
        "two devices wrote under one name, as a restored backup or a copied folder does: change `{number}` of `{name}` is there twice and different"
    )]
    SameName {
        /// Which of its changes.
        number: u64,
        /// The name of the device for programs.
        name: String,
    },
    /// It builds on changes that are not there.
    #[error(
        "{changes} earlier changes that it builds on are missing: take the whole job file from the device it came from"
    )]
    Missing {
        /// How many, as far as is known.
        changes: usize,
    },
    /// Not a sync message of a version that is known.
    #[error("it is not a message of this program: bring both devices to the same version of it")]
    NotAMessage,
    /// A sync message that is cut off or put together wrongly.
    #[error("the message is broken: connect again, and if that does not help, carry a job file across")]
    BrokenMessage,
    /// Reading it made the reader panic.
    #[error(
        "reading it failed within the reader: it is damaged or a faulty program made it, so take a job file from another device"
    )]
    Panicked,
    /// What came of it could not be saved and loaded again.
    #[error(
        "what came of it could not have been read again, so nothing of it was taken: take a job file from another device"
    )]
    Unloadable,
}

/// What a small input can claim a great deal of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Claimed {
    /// Bytes when unpacked.
    Bytes,
    /// Single operations.
    Operations,
    /// Changes.
    Changes,
    /// Ties from one change or operation to another.
    Links,
    /// Bytes of text when what is repeated is written out.
    Text,
    /// Names of devices.
    Devices,
}

impl Claimed {
    /// The most that one input may claim. A log of 10,000 readings has some 80,000 operations in as many changes as
    /// there were commits. What these limits let through takes automerge 0.12 a few seconds and some hundred MiB at
    /// the worst. Devices times changes are limited too.
    #[must_use]
    pub fn limit(self) -> u64 {
        match self {
            Self::Bytes => 128 << 20,
            Self::Operations => 1_000_000,
            Self::Changes => 200_000,
            Self::Links => 2_000_000,
            Self::Text => 256 << 20,
            Self::Devices => 10_000,
        }
    }
}

impl fmt::Display for Claimed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Bytes => "bytes",
            Self::Operations => "operations",
            Self::Changes => "changes",
            Self::Links => "links",
            Self::Text => "bytes of repeated text",
            Self::Devices => "devices",
        })
    }
}

impl Damaged {
    pub(super) fn bomb(claimed: Claimed) -> Self {
        Self::Bomb { claimed }
    }
}

impl From<AutomergeError> for Damaged {
    fn from(cause: AutomergeError) -> Self {
        match cause {
            AutomergeError::DuplicateSeqNumber(number, name) => Self::SameName {
                number,
                name: name.to_hex_string(),
            },
            AutomergeError::MissingDeps => Self::Missing { changes: 1 },
            cause => Self::Refused {
                cause: Box::new(cause),
            },
        }
    }
}
