//! The command `adjust`: sheets in, adjustment or problems out.

use std::collections::BTreeSet;

use adjust::{Adjustment, Settings, Suspects, Unsolvable};
use survey::{Frame, Label, LengthUnit, Problem, Quantity, Severity, SheetText, Sheets, Survey};

/// A sheet as it lies on the disk, with the name to use for it in problems.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetBytes {
    /// What the crew calls it, such as its path.
    pub name: String,
    /// Its bytes, whatever they are.
    pub bytes: Vec<u8>,
}

/// What is asked of [`adjust()`].
#[derive(Debug, Clone, PartialEq)]
pub struct AdjustRequest {
    /// The readings.
    pub readings: SheetBytes,
    /// The points, where there is a sheet of them.
    pub points: Option<SheetBytes>,
    /// The instruments, where there is a sheet of them.
    pub instruments: Option<SheetBytes>,
    /// The frame as typed, such as `three:ORIGIN,AHEAD,LEFT`.
    pub frame: Option<String>,
    /// A point on the +z side.
    pub above: Option<String>,
    /// The unit of bare lengths, and of the answer in words.
    pub unit: Option<LengthUnit>,
    /// What to do with suspects.
    pub suspects: Suspects,
    /// Multiply every covariance with the variance factor found.
    pub scale: bool,
    /// Make the zero offset of every instrument an unknown.
    pub estimate_offsets: bool,
    /// Leave rows out that cannot be used, and go on.
    pub keep_going: bool,
}

impl AdjustRequest {
    /// A request with readings alone and every option at its default.
    pub fn of(readings: SheetBytes) -> AdjustRequest {
        AdjustRequest {
            readings,
            points: None,
            instruments: None,
            frame: None,
            above: None,
            unit: None,
            suspects: Suspects::Hold,
            scale: false,
            estimate_offsets: false,
            keep_going: false,
        }
    }
}

/// What [`adjust()`] answers: the survey as it was read, and what the readings say.
#[derive(Debug, Clone)]
pub struct AdjustAnswer {
    /// The survey as it was read from the sheets; nothing in it is changed by the solve.
    pub survey: Survey,
    /// The result, point for point and reading for reading in the order of the survey.
    pub adjustment: Adjustment,
    /// The unit in which the crew is answered: the one asked for, else the one most lengths were typed in.
    pub crew_unit: LengthUnit,
    /// What is wrong with the sheets and did not stop the solve.
    pub problems: Vec<Problem>,
}

/// Why [`adjust()`] gave no answer. The set of codes is closed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AdjustError {
    /// The sheets or options cannot be used as they are; every problem is listed.
    #[error("the sheets cannot be used: {} to put right", counted(.0.len(), "problem"))]
    UnusableSheets(Vec<Problem>),
    /// The sheets were read, and nothing can be solved from them.
    #[error("nothing can be solved: {reason}")]
    NothingToSolve {
        /// What is missing.
        reason: Unsolvable,
        /// What was told about the sheets.
        problems: Vec<Problem>,
    },
}

impl AdjustError {
    /// The word for it that never changes, for shells and scripts.
    pub fn code(&self) -> &'static str {
        match self {
            AdjustError::UnusableSheets(_) => "unusable-sheets",
            AdjustError::NothingToSolve { .. } => "nothing-to-solve",
        }
    }

    /// Every problem, in the order of the sheets.
    pub fn problems(&self) -> &[Problem] {
        match self {
            AdjustError::UnusableSheets(problems) | AdjustError::NothingToSolve { problems, .. } => problems,
        }
    }
}

/// Solves the sheets of a survey.
///
/// # Errors
///
/// [`AdjustError::UnusableSheets`] where a sheet or an option cannot be used, or a row of a sheet cannot and
/// `keep_going` is off; [`AdjustError::NothingToSolve`] where the readings in use determine nothing.
pub fn adjust(request: AdjustRequest) -> Result<AdjustAnswer, AdjustError> {
    let sheets = Sheets {
        readings: text(&request.readings),
        points: request.points.as_ref().map(text),
        instruments: request.instruments.as_ref().map(text),
        unit: request.unit,
    };
    let (survey, mut problems) = survey::read_sheets(&sheets);
    let stops = |problem: &Problem| match problem.severity {
        Severity::Note => false,
        Severity::Row => !request.keep_going,
        Severity::Sheet => true,
    };
    let mut stopped = problems.iter().any(stops);

    let known = |label: &Label| match &survey {
        Some(survey) => survey.points.iter().any(|point| point.label == *label),
        None => true, // Where the sheets could not be read there is nothing to look a label up in.
    };
    let frame = request
        .frame
        .as_deref()
        .and_then(|typed| option(frame_of(typed, known), &mut problems, &mut stopped));
    let above = request
        .above
        .as_deref()
        .and_then(|typed| option(above_of(typed, known), &mut problems, &mut stopped));
    let survey = match survey {
        Some(survey) if !stopped => survey,
        _ => return Err(AdjustError::UnusableSheets(problems)),
    };

    problems.extend(several_epochs(&survey, &request.readings.name));
    let settings = Settings {
        frame,
        above,
        suspects: request.suspects,
        scale: request.scale,
        estimate_offsets: request.estimate_offsets,
    };
    solve(survey, problems, &settings, request.unit)
}

/// Readings of several epochs are solved together only because they stand in one sheet; the crew is told.
fn several_epochs(survey: &Survey, file: &str) -> Option<Problem> {
    let epochs: BTreeSet<&str> = survey
        .readings
        .iter()
        .map(|reading| reading.epoch.as_str())
        .collect();
    let named: Vec<&str> = epochs.iter().copied().filter(|epoch| !epoch.is_empty()).collect();
    (epochs.len() > 1).then(|| Problem {
        severity: Severity::Note,
        file: file.to_owned(),
        row: None,
        column: Some("epoch".to_owned()),
        reason: format!(
            "readings of {} epochs ({}) are solved together, as if nothing had moved between them: give each epoch a \
             sheet of its own, and compare the sheets",
            epochs.len(),
            named.join(", ")
        ),
    })
}

/// Solves a survey that was read, whatever it was read from.
pub(crate) fn solve(
    survey: Survey,
    problems: Vec<Problem>,
    settings: &Settings,
    unit: Option<LengthUnit>,
) -> Result<AdjustAnswer, AdjustError> {
    match adjust::adjust(&survey, settings) {
        Ok(adjustment) => {
            let crew_unit = unit.unwrap_or_else(|| most_typed_unit(&survey));
            Ok(AdjustAnswer {
                survey,
                adjustment,
                crew_unit,
                problems,
            })
        }
        Err(reason) => Err(AdjustError::NothingToSolve { reason, problems }),
    }
}

pub(crate) fn text(sheet: &SheetBytes) -> SheetText<'_> {
    SheetText {
        name: &sheet.name,
        bytes: &sheet.bytes,
    }
}

/// Keeps what an option says, or its problems, which always stop: an option is never half used.
pub(crate) fn option<T>(
    said: Result<T, Vec<Problem>>,
    problems: &mut Vec<Problem>,
    stopped: &mut bool,
) -> Option<T> {
    said.map_err(|mut wrong| {
        *stopped = true;
        problems.append(&mut wrong);
    })
    .ok()
}

pub(crate) fn frame_of(typed: &str, known: impl Fn(&Label) -> bool) -> Result<Frame, Vec<Problem>> {
    let frame = survey::parse_frame(typed).map_err(|error| vec![of_option("--frame", error.to_string())])?;
    let labels = match &frame {
        Frame::Three { origin, ahead, left } | Frame::Plumb { origin, ahead, left } => {
            vec![origin, ahead, left]
        }
        Frame::Centreline { origin, ahead, above } => vec![origin, ahead, above],
        Frame::Bench => vec![],
    };
    let unknown: Vec<Problem> = labels
        .into_iter()
        .filter(|label| !known(label))
        .map(|label| unknown_label("--frame", label))
        .collect();
    if unknown.is_empty() {
        Ok(frame)
    } else {
        Err(unknown)
    }
}

fn above_of(typed: &str, known: impl Fn(&Label) -> bool) -> Result<Label, Vec<Problem>> {
    match Label::new(typed) {
        None => Err(vec![of_option(
            "--above",
            "no point is named: write a label, such as `--above roof-front`".into(),
        )]),
        Some(label) if known(&label) => Ok(label),
        Some(label) => Err(vec![unknown_label("--above", &label)]),
    }
}

fn unknown_label(option: &str, label: &Label) -> Problem {
    of_option(
        option,
        format!("no sheet has a point `{label}`: check the spelling, or log a reading to it"),
    )
}

fn of_option(option: &str, reason: String) -> Problem {
    Problem {
        severity: Severity::Sheet,
        file: option.to_owned(),
        row: None,
        column: None,
        reason,
    }
}

/// The unit in which most lengths were typed; millimetres where as many were typed in each.
pub(crate) fn most_typed_unit(survey: &Survey) -> LengthUnit {
    let typed_in_inches = |typed: &str| {
        typed.contains(['"', '\'', '″', '′', '/']) || typed.contains("in") || typed.contains("ft")
    };
    let lengths = survey
        .readings
        .iter()
        .filter(|reading| reading.kind.quantity() == Quantity::Length);
    let (inches, all) = lengths.fold((0, 0), |(inches, all), reading| {
        (inches + usize::from(typed_in_inches(&reading.typed)), all + 1)
    });
    if 2 * inches > all {
        LengthUnit::Inch
    } else {
        LengthUnit::Millimetre
    }
}

/// "1 problem", "2 problems".
pub(crate) fn counted(count: usize, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

#[cfg(test)]
mod tests;
