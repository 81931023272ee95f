//! `trammel demo`: an invented job, written out and solved.

use std::fmt::Write as _;
use std::path::Path;
use std::process::ExitCode;

use desk::demo::{FRAME, SHEETS};
use desk::told::Told;

use crate::ask::DemoAsk;
use crate::look::{Look, tame};
use crate::{files, sheet, solve};

/// Writes the sheets, solves them, tells the answer and how to go on.
pub(crate) fn run(asked: &DemoAsk) -> Result<ExitCode, String> {
    for line in write_sheets(&asked.dir)? {
        files::print(&format!("{}\n", tame(&line)))?;
    }
    let answer = match desk::adjust(desk::demo::request()) {
        Ok(answer) => answer,
        Err(error) => return Ok(solve::refuse(&error)),
    };
    let mut text = format!("\n{}", sheet::laid_out(&Told::of(&answer), Look::of_stdout()));
    let at = |name: &str| quoted(&asked.dir.join(name));
    let _ = write!(
        text,
        "\nThe shell, the crew and the slips of this job are invented. Change a value in a\n\
         sheet and solve it again:\n\n  trammel adjust {} \\\n      --points {} \\\n      --instruments {} \\\n      \
         --frame {FRAME}\n",
        at("readings.csv"),
        at("points.csv"),
        at("instruments.csv"),
    );
    files::print(&text)?;
    Ok(ExitCode::SUCCESS)
}

/// Writes each sheet, unless a different file of that name is there: what somebody changed is theirs.
fn write_sheets(dir: &Path) -> Result<Vec<String>, String> {
    std::fs::create_dir_all(dir).map_err(|error| format!("{} cannot be made: {error}", dir.display()))?;
    let mut told = Vec::new();
    for (name, sheet) in SHEETS {
        let path = dir.join(name);
        let shown = path.display();
        match std::fs::read(&path) {
            Ok(there) if there == sheet.as_bytes() => told.push(format!("{shown} is there already.")),
            Ok(_) => told.push(format!(
                "{shown} is there and differs: kept. The demo below solves its own sheets."
            )),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
                files::write(&path, sheet)?;
                told.push(format!("Wrote {shown}."));
            }
            Err(error) => return Err(format!("{shown} cannot be read: {error}")),
        }
    }
    Ok(told)
}

/// A path as a shell takes it.
fn quoted(path: &Path) -> String {
    let text = path.display().to_string();
    let plain = |letter: char| letter.is_alphanumeric() || "/._-".contains(letter);
    if text.chars().all(plain) {
        text
    } else {
        format!("'{}'", text.replace('\'', r"'\''"))
    }
}
