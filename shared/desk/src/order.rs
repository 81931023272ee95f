//! The command `order`: rough places in, the order in which to survey out.

use adjust::{NoOrder, Settings, SurveyOrder};
use survey::{Label, LengthUnit, Problem, Severity, Sheets, Survey};

use crate::SheetBytes;
use crate::adjust::{counted, frame_of, most_typed_unit, option, text};

/// A sheet of readings in which nothing is logged yet.
const NOTHING_READ: &[u8] = b"id,kind,a,b,value\n";

/// What is asked of [`order()`].
#[derive(Debug, Clone, PartialEq)]
pub struct OrderRequest {
    /// The points with their rough places.
    pub points: SheetBytes,
    /// Blocked lines and what was read so far, where there is such a sheet.
    pub readings: Option<SheetBytes>,
    /// The instruments, where there is a sheet of them.
    pub instruments: Option<SheetBytes>,
    /// The frame as typed, such as `three:ORIGIN,AHEAD,LEFT`.
    pub frame: Option<String>,
    /// The unit of bare lengths, and of the answer in words.
    pub unit: Option<LengthUnit>,
}

impl OrderRequest {
    /// A request with points alone.
    pub fn of(points: SheetBytes) -> OrderRequest {
        OrderRequest {
            points,
            readings: None,
            instruments: None,
            frame: None,
            unit: None,
        }
    }
}

/// What [`order()`] answers.
#[derive(Debug, Clone)]
pub struct OrderAnswer {
    /// The survey as it was read from the sheets.
    pub survey: Survey,
    /// The order, by the points and readings of the survey.
    pub order: SurveyOrder,
    /// The unit in which the crew is answered: the one asked for, else the one most lengths were typed in.
    pub crew_unit: LengthUnit,
    /// What is wrong with the sheets and did not stop the work.
    pub problems: Vec<Problem>,
}

/// Why [`order()`] gave no answer. The set of codes is closed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OrderError {
    /// The sheets or options cannot be used as they are; every problem is listed.
    #[error("the sheets cannot be used: {} to put right", counted(.0.len(), "problem"))]
    UnusableSheets(Vec<Problem>),
    /// The sheets were read, and no order follows from them.
    #[error("no order can be worked out: {reason}")]
    NoOrder {
        /// What is missing.
        reason: NoOrder,
        /// What was told about the sheets.
        problems: Vec<Problem>,
    },
}

impl OrderError {
    /// The word for it that never changes, for shells and scripts.
    pub fn code(&self) -> &'static str {
        match self {
            OrderError::UnusableSheets(_) => "unusable-sheets",
            OrderError::NoOrder { .. } => "no-order",
        }
    }

    /// Every problem, in the order of the sheets.
    pub fn problems(&self) -> &[Problem] {
        match self {
            OrderError::UnusableSheets(problems) | OrderError::NoOrder { problems, .. } => problems,
        }
    }
}

/// Works out the order in which to survey.
///
/// # Errors
///
/// [`OrderError::UnusableSheets`] where a sheet, a row or an option cannot be used; [`OrderError::NoOrder`] where
/// too few points have a place.
pub fn order(request: OrderRequest) -> Result<OrderAnswer, OrderError> {
    let nothing_read = SheetBytes {
        name: "no readings".into(),
        bytes: NOTHING_READ.to_vec(),
    };
    let sheets = Sheets {
        readings: text(request.readings.as_ref().unwrap_or(&nothing_read)),
        points: Some(text(&request.points)),
        instruments: request.instruments.as_ref().map(text),
        unit: request.unit,
    };
    let (survey, mut problems) = survey::read_sheets(&sheets);
    let mut stopped = problems.iter().any(|problem| problem.severity != Severity::Note);
    let known = |label: &Label| match &survey {
        Some(survey) => survey.point_index(label).is_some(),
        None => true, // Where the sheets could not be read there is nothing to look a label up in.
    };
    let frame = request
        .frame
        .as_deref()
        .and_then(|typed| option(frame_of(typed, known), &mut problems, &mut stopped));
    let survey = match survey {
        Some(survey) if !stopped => survey,
        _ => return Err(OrderError::UnusableSheets(problems)),
    };
    let settings = Settings {
        frame,
        ..Settings::default()
    };
    match adjust::order(&survey, &settings) {
        Ok(order) => Ok(OrderAnswer {
            crew_unit: request.unit.unwrap_or_else(|| most_typed_unit(&survey)),
            survey,
            order,
            problems,
        }),
        Err(reason) => Err(OrderError::NoOrder { reason, problems }),
    }
}

#[cfg(test)]
mod tests;
