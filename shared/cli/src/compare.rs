//! `trammel compare`.

use std::path::Path;
use std::process::ExitCode;

use desk::told::ToldComparison;
use desk::{CompareError, CompareRequest, wire};

use crate::ask::CompareAsk;
use crate::look::{Look, complain, tame};
use crate::{UNSOLVABLE, UNUSABLE, files, sheet};

/// Reads both sheets, compares them, and tells or writes what moved.
pub(crate) fn run(asked: &CompareAsk) -> Result<ExitCode, String> {
    let sheet_at = |path: &Option<std::path::PathBuf>| path.as_deref().map(files::read_sheet).transpose();
    let request = CompareRequest {
        before: files::read_sheet(&asked.before)?,
        after: files::read_sheet(&asked.after)?,
        points: sheet_at(&asked.points)?,
        instruments: sheet_at(&asked.instruments)?,
        frame: asked.frame.clone(),
        unit: asked.unit.map(Into::into),
    };
    let answer = match desk::compare(request) {
        Ok(answer) => answer,
        Err(error) => return Ok(refuse(&error)),
    };
    match asked.json.as_deref() {
        Some(path) if path == Path::new("-") => files::print(&wire::comparison_to_json(&answer))?,
        other => {
            if let Some(path) = other {
                files::write(path, &wire::comparison_to_json(&answer))?;
            }
            files::print(&sheet::compared(&ToldComparison::of(&answer), Look::of_stdout()))?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// Tells why there is no comparison, with every problem on a line of its own.
fn refuse(error: &CompareError) -> ExitCode {
    complain(&error.to_string());
    for problem in error.problems() {
        eprintln!("  {}", tame(&problem.to_string()));
    }
    match error.code() {
        "unusable-sheets" => ExitCode::from(UNUSABLE),
        _ => ExitCode::from(UNSOLVABLE),
    }
}
