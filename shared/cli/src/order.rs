//! `trammel order`.

use std::path::Path;
use std::process::ExitCode;

use desk::told::OrderTold;
use desk::{OrderError, OrderRequest, wire};

use crate::ask::OrderAsk;
use crate::look::{Look, complain, tame};
use crate::{UNSOLVABLE, UNUSABLE, files, sheet};

/// Reads the sheets, works the order out, and tells or writes it.
pub(crate) fn run(asked: &OrderAsk) -> Result<ExitCode, String> {
    let sheet_at = |path: &Option<std::path::PathBuf>| path.as_deref().map(files::read_sheet).transpose();
    let request = OrderRequest {
        points: files::read_sheet(&asked.points)?,
        readings: sheet_at(&asked.readings)?,
        instruments: sheet_at(&asked.instruments)?,
        frame: asked.frame.clone(),
        unit: asked.unit.map(Into::into),
    };
    let answer = match desk::order(request) {
        Ok(answer) => answer,
        Err(error) => return Ok(refuse(&error)),
    };
    match asked.json.as_deref() {
        Some(path) if path == Path::new("-") => files::print(&wire::order_to_json(&answer))?,
        other => {
            if let Some(path) = other {
                files::write(path, &wire::order_to_json(&answer))?;
            }
            files::print(&sheet::order_laid_out(&OrderTold::of(&answer), Look::of_stdout()))?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

/// Tells why there is no order, with every problem on a line of its own.
fn refuse(error: &OrderError) -> ExitCode {
    complain(&error.to_string());
    for problem in error.problems() {
        eprintln!("  {}", tame(&problem.to_string()));
    }
    match error {
        OrderError::UnusableSheets(_) => ExitCode::from(UNUSABLE),
        OrderError::NoOrder { .. } => ExitCode::from(UNSOLVABLE),
    }
}
