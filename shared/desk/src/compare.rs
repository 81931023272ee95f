//! The command `compare`: two sheets of readings of one shell in, what moved between them out.

use std::sync::Arc;

use ::adjust::{CannotCompare, Comparison};
use survey::{Frame, LengthUnit, Problem};

use crate::{AdjustAnswer, AdjustError, AdjustRequest, SheetBytes, adjust};

/// What is asked of [`compare()`].
#[derive(Debug, Clone, PartialEq)]
pub struct CompareRequest {
    /// The readings of the earlier epoch.
    pub before: SheetBytes,
    /// The readings of the later one.
    pub after: SheetBytes,
    /// The points of both, where there is a sheet of them.
    pub points: Option<SheetBytes>,
    /// The instruments of both, where there is a sheet of them.
    pub instruments: Option<SheetBytes>,
    /// The frame in which shifts are told, as typed; without one they have a size and no direction.
    pub frame: Option<String>,
    /// The unit of bare lengths, and of the answer in words.
    pub unit: Option<LengthUnit>,
}

/// What [`compare()`] answers.
#[derive(Debug, Clone)]
pub struct CompareAnswer {
    /// The earlier epoch.
    pub before: Arc<AdjustAnswer>,
    /// The later one.
    pub after: Arc<AdjustAnswer>,
    /// What moved; shifts in the frame of the later one.
    pub comparison: Comparison,
    /// Whether somebody said which way is ahead.
    pub frame_is_said: bool,
}

/// Which epoch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// The earlier one.
    Before,
    /// The later one.
    After,
}

impl std::fmt::Display for Which {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Which::Before => "the readings before",
            Which::After => "the readings after",
        })
    }
}

/// Why [`compare()`] gave no answer. The set of codes is closed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CompareError {
    /// One epoch cannot be solved by itself.
    #[error("{which}: {error}")]
    Epoch {
        /// Which.
        which: Which,
        /// Why.
        error: AdjustError,
    },
    /// Both can be solved, and not be compared.
    #[error("the two cannot be compared: {0}")]
    CannotCompare(CannotCompare),
}

impl CompareError {
    /// The word for it that never changes, for shells and scripts.
    pub fn code(&self) -> &'static str {
        match self {
            CompareError::Epoch { error, .. } => error.code(),
            CompareError::CannotCompare(_) => "cannot-compare",
        }
    }

    /// Every problem of the sheets, in their order.
    pub fn problems(&self) -> &[Problem] {
        match self {
            CompareError::Epoch { error, .. } => error.problems(),
            CompareError::CannotCompare(_) => &[],
        }
    }
}

/// Solves both sheets by themselves, with suspects held out, and compares them point by point.
///
/// # Errors
///
/// [`CompareError::Epoch`] where one of them cannot be solved; [`CompareError::CannotCompare`] where they have too
/// little in common or are mirror images.
pub fn compare(request: CompareRequest) -> Result<CompareAnswer, CompareError> {
    let of = |readings: &SheetBytes, frame: Option<String>| AdjustRequest {
        points: request.points.clone(),
        instruments: request.instruments.clone(),
        frame,
        unit: request.unit,
        ..AdjustRequest::of(readings.clone())
    };
    let failed = |which: Which| move |error: AdjustError| CompareError::Epoch { which, error };
    let before = adjust(of(&request.before, request.frame.clone())).map_err(failed(Which::Before))?;
    // Where nobody asks for a frame, one that both have keeps the hand of both the same.
    let after = match &request.frame {
        Some(_) => adjust(of(&request.after, request.frame.clone())),
        None => adjust(of(&request.after, Some(typed(&before.adjustment.frame))))
            .or_else(|_| adjust(of(&request.after, None))),
    }
    .map_err(failed(Which::After))?;
    let comparison = ::adjust::compare(
        &before.survey,
        &before.adjustment,
        &after.survey,
        &after.adjustment,
    )
    .map_err(CompareError::CannotCompare)?;
    Ok(CompareAnswer {
        before: Arc::new(before),
        after: Arc::new(after),
        comparison,
        frame_is_said: request.frame.is_some(),
    })
}

/// A frame as it is typed.
fn typed(frame: &Frame) -> String {
    let list = |labels: [&survey::Label; 3]| {
        labels
            .map(|label| format!("\"{}\"", label.as_str().replace('"', "\"\"")))
            .join(",")
    };
    match frame {
        Frame::Three { origin, ahead, left } => format!("three:{}", list([origin, ahead, left])),
        Frame::Plumb { origin, ahead, left } => format!("plumb:{}", list([origin, ahead, left])),
        Frame::Centreline { origin, ahead, above } => format!("centreline:{}", list([origin, ahead, above])),
        Frame::Bench => "bench".to_owned(),
    }
}

#[cfg(test)]
mod tests;
