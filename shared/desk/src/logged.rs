//! The command `just_logged`: how a reading stands to the others, the moment it is logged.

use adjust::Logged;
use survey::Reading;

use crate::AdjustAnswer;
use crate::told::{self, LoggedWords};

/// What [`just_logged`] answers.
#[derive(Debug, Clone, PartialEq)]
pub struct LoggedAnswer {
    /// The figures.
    pub logged: Logged,
    /// The same for the crew.
    pub words: LoggedWords,
}

/// Compares a reading that was just logged with what all others predict for it, at once and without solving again.
/// Its points are indices into the points of the answer's survey; one past their end is a new point.
///
/// A shell calls this once the reading is logged, and shows nothing of it before: who knows what is expected reads
/// what they expect.
pub fn just_logged(answer: &AdjustAnswer, reading: &Reading) -> LoggedAnswer {
    let logged = answer.adjustment.just_logged(&answer.survey, reading);
    let words = told::logged(answer, reading, &logged);
    LoggedAnswer { logged, words }
}

#[cfg(test)]
mod tests;
