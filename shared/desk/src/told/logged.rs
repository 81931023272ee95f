//! What the crew is told of a reading that was just logged: short lines, after it is logged and never before.

use adjust::{Incomparable, Logged, LoggedVerdict};
use survey::Reading;

use super::slips;
use super::words::Words;
use crate::AdjustAnswer;

/// What is told of a reading that was just logged.
#[derive(Debug, Clone, PartialEq)]
pub struct LoggedWords {
    /// What is so, in one line.
    pub headline: String,
    /// What can have happened, and what to do.
    pub said: Vec<String>,
    /// Whether the crew should look at it before they go on.
    pub doubt: bool,
}

/// Tells how a reading that was just logged stands to the others.
pub fn logged(answer: &AdjustAnswer, reading: &Reading, logged: &Logged) -> LoggedWords {
    let words = Words { answer };
    let (kind, residual) = (reading.kind, logged.residual.unwrap_or_default());
    let mut said = Vec::new();
    let headline = match logged.verdict {
        LoggedVerdict::Fits => format!(
            "Fits: within {} of what the others expect.",
            words.value_rounded_up(kind, residual.abs())
        ),
        LoggedVerdict::LookAgain => {
            said.push("Further off than most. Look again, or keep it.".to_owned());
            format!("{}.", words.way_off(kind, residual))
        }
        LoggedVerdict::Off => {
            match &logged.slips {
                Some(found) => said.extend(slips::lines(&words, reading, found, logged.w)),
                None => said.extend(slips::hard_to_see(logged.w)),
            }
            said.push("Read it again, or keep it.".to_owned());
            format!("{}.", words.way_off(kind, residual))
        }
        LoggedVerdict::NothingToCompare(why) => {
            said.push(match why {
                Incomparable::NewPoint(point) | Incomparable::OpenPoint(point) => {
                    match answer.survey.points.get(point) {
                        Some(point) => format!("The others do not pin down {} yet.", point.label),
                        None => "No other reading has this point yet.".to_owned(),
                    }
                }
                Incomparable::NewStand => "No slope or rise was read in this stand yet.".to_owned(),
                Incomparable::NothingElse => "Nothing else checks this reading.".to_owned(),
                Incomparable::TooUncertain => match logged.smallest_visible_slip {
                    Some(slip) => format!(
                        "A slip of up to {} would not show.",
                        words.value_rounded_up(kind, slip)
                    ),
                    None => "No slip in it would show.".to_owned(),
                },
            });
            "Nothing to compare it with yet.".to_owned()
        }
    };
    LoggedWords {
        headline,
        said,
        doubt: matches!(logged.verdict, LoggedVerdict::LookAgain | LoggedVerdict::Off),
    }
}
