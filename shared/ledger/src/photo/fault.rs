//! Why a photo is not taken.

use thiserror::Error;

use super::{Foreign, MAX_BYTES, MAX_EDGE, MediaType, small::MAX_UNPACKED};

/// Why a photo is not taken, and what to do.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PhotoError {
    /// No bytes.
    #[error("the file is empty: send the photo again")]
    Empty,
    /// Another kind of file.
    #[error("{0}")]
    Foreign(Foreign),
    /// More than [`MAX_BYTES`].
    #[error(
        "the photo takes {} MB and {} MB is the most that is taken: save it smaller, as JPEG, and choose that",
        .bytes.div_ceil(1 << 20), MAX_BYTES >> 20
    )]
    TooManyBytes {
        /// How many there are.
        bytes: usize,
    },
    /// More than [`MAX_PIXELS`](super::MAX_PIXELS), or an edge longer than [`MAX_EDGE`].
    #[error(
        "the photo has {width} x {height} pixels; 64 million in all and {MAX_EDGE} along an edge are the most that is \
         taken: save it with fewer pixels and choose that"
    )]
    TooManyPixels {
        /// As stored, before it is turned upright.
        width: u32,
        /// As stored, before it is turned upright.
        height: u32,
    },
    /// Few enough pixels, but too many bytes for each of them.
    #[error(
        "the {media_type} photo takes {} MB once unpacked and {} MB is the most that is taken: save it with 8 bits a \
         channel, or as JPEG, and choose that",
        .bytes.div_ceil(1 << 20), MAX_UNPACKED >> 20
    )]
    TooDeep {
        /// What it is.
        media_type: MediaType,
        /// Unpacked.
        bytes: u64,
    },
    /// The file stops before the picture's end.
    #[error("the {media_type} photo is cut off before its end: copy or send it again")]
    CutOff {
        /// What it is.
        media_type: MediaType,
    },
    /// The file does not keep to its own format.
    #[error("the {media_type} photo is damaged, copy or send it again: {cause}")]
    Damaged {
        /// What it is.
        media_type: MediaType,
        /// What does not fit, for those who know the format.
        cause: String,
    },
    /// A kind of JPEG, PNG or WebP that nobody's camera writes.
    #[error(
        "this kind of {media_type} cannot be read here, save it as an ordinary JPEG and choose that: {cause}"
    )]
    Unusual {
        /// What it is.
        media_type: MediaType,
        /// What is unusual, for those who know the format.
        cause: String,
    },
}

/// Makes the errors of one format.
#[derive(Debug, Clone, Copy)]
pub(super) struct Of(pub(super) MediaType);

impl Of {
    pub(super) fn cut_off(self) -> PhotoError {
        PhotoError::CutOff { media_type: self.0 }
    }

    pub(super) fn damaged(self, cause: impl Into<String>) -> PhotoError {
        PhotoError::Damaged {
            media_type: self.0,
            cause: cause.into(),
        }
    }

    pub(super) fn unusual(self, cause: impl Into<String>) -> PhotoError {
        PhotoError::Unusual {
            media_type: self.0,
            cause: cause.into(),
        }
    }
}
