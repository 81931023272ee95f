//! `trammel adjust`.

use std::path::Path;
use std::process::ExitCode;

use desk::told::Told;
use desk::{AdjustError, AdjustRequest, wire};

use crate::ask::AdjustAsk;
use crate::look::{Look, complain, tame};
use crate::{UNSOLVABLE, UNUSABLE, files, sheet};

/// Reads the sheets, solves them, and tells or writes the answer.
pub(crate) fn run(asked: &AdjustAsk) -> Result<ExitCode, String> {
    let sheet_at = |path: &Option<std::path::PathBuf>| path.as_deref().map(files::read_sheet).transpose();
    let request = AdjustRequest {
        readings: files::read_sheet(&asked.readings)?,
        points: sheet_at(&asked.points)?,
        instruments: sheet_at(&asked.instruments)?,
        frame: asked.frame.clone(),
        above: asked.above.clone(),
        unit: asked.unit.map(Into::into),
        suspects: asked.suspects.into(),
        scale: asked.scale,
        estimate_offsets: asked.estimate_offsets,
        keep_going: asked.keep_going,
    };
    let answer = match desk::adjust(request) {
        Ok(answer) => answer,
        Err(error) => return Ok(refuse(&error)),
    };
    match asked.json.as_deref() {
        Some(path) if path == Path::new("-") => files::print(&wire::to_json(&answer))?,
        other => {
            if let Some(path) = other {
                files::write(path, &wire::to_json(&answer))?;
            }
            files::print(&sheet::laid_out(&Told::of(&answer), Look::of_stdout()))?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// Tells why there is no answer, with every problem on a line of its own.
pub(crate) fn refuse(error: &AdjustError) -> ExitCode {
    complain(&error.to_string());
    for problem in error.problems() {
        eprintln!("  {}", tame(&problem.to_string()));
    }
    match error {
        AdjustError::UnusableSheets(_) => ExitCode::from(UNUSABLE),
        AdjustError::NothingToSolve { .. } => ExitCode::from(UNSOLVABLE),
    }
}
