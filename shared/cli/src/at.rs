//! The desk that a command works at: which store, who, what is told before and after.

use std::path::PathBuf;
use std::process::ExitCode;

use desk::{Code, Desk, Device, Refusal};
use etcetera::BaseStrategy;

use crate::ask::Place;
use crate::look::{tame, wrapped};
use crate::{UNSOLVABLE, UNUSABLE, WITHOUT_STORE};

/// Why a command did nothing.
pub(crate) enum Failure {
    /// What was typed, or a file.
    Said(String),
    /// The desk refused.
    Refused(Refusal),
}

impl From<String> for Failure {
    fn from(message: String) -> Failure {
        Failure::Said(message)
    }
}

impl From<Refusal> for Failure {
    fn from(refusal: Refusal) -> Failure {
        Failure::Refused(refusal)
    }
}

/// What a command that works at a desk gives back.
pub(crate) type Done = Result<ExitCode, Failure>;

/// Works at the desk to change something. Who was named first is remembered; the store is tidied at the end.
pub(crate) fn write(place: &Place, work: impl FnOnce(&mut Desk, Option<&str>) -> Done) -> Done {
    let mut desk = Desk::open(&folder(place)?, Box::new(Device))?;
    tell_recovery(&desk);
    let by = who(place);
    let status = work(&mut desk, by.as_deref())?;
    remember(&mut desk, place);
    // The answer is out already: what fails from here on is told beside it.
    if let Err(refusal) = desk.tidy() {
        told(&format!("it is done; putting it together failed: {refusal}"));
    }
    Ok(status)
}

/// Works at the desk to look at something, beside whoever writes there. A store that must be recovered or brought up
/// to date first is opened for writing.
pub(crate) fn look(place: &Place, work: impl FnOnce(&mut Desk) -> Done) -> Done {
    let folder = folder(place)?;
    if !folder.exists() {
        return Err(Failure::Said(format!(
            "there is no job on this device yet, no folder {}: make one with trammel job new NAME, or look at the \
             demo with trammel demo",
            folder.display()
        )));
    }
    let mut desk = match Desk::look(&folder, Box::new(Device)) {
        Err(refusal) if matches!(refusal.code, Code::StoreDamaged | Code::ReadOnly) => {
            Desk::open(&folder, Box::new(Device))?
        }
        other => other?,
    };
    tell_recovery(&desk);
    work(&mut desk)
}

/// Tells why nothing was done, with every problem on a line of its own, and gives the status.
pub(crate) fn fail(failure: &Failure) -> ExitCode {
    match failure {
        Failure::Said(message) => {
            told(message);
            ExitCode::from(UNUSABLE)
        }
        Failure::Refused(refusal) => {
            told(&refusal.message);
            for problem in &refusal.problems {
                if !refusal.message.contains(&problem.reason) {
                    for line in wrapped(&problem.to_string(), "  ") {
                        eprintln!("{line}");
                    }
                }
            }
            ExitCode::from(status(refusal.code))
        }
    }
}

/// 2 for what can be put right in what was typed or named, 3 for nothing to solve, 4 for the store.
fn status(code: Code) -> u8 {
    match code {
        Code::NothingToSolve => UNSOLVABLE,
        Code::InUse
        | Code::NotAStore
        | Code::ReadOnly
        | Code::StoreDamaged
        | Code::Newer
        | Code::DiskFull
        | Code::DiskFailed => WITHOUT_STORE,
        Code::BadRequest
        | Code::NoSuchJob
        | Code::WhichJob
        | Code::Unusable
        | Code::NotThere
        | Code::NameTaken
        | Code::NothingToDo
        | Code::ChangedSince
        | Code::BadFile
        | Code::OtherJob
        | Code::BadPhoto
        | Code::PhotoNotHere => UNUSABLE,
    }
}

/// Tells standard error something beside the answer.
pub(crate) fn told(message: &str) {
    for line in wrapped(&format!("trammel: {message}"), "") {
        eprintln!("{line}");
    }
}

fn tell_recovery(desk: &Desk) {
    if let Some(recovery) = desk.recovery() {
        for line in recovery.lines() {
            told(line);
        }
    }
}

/// Asks for a name where what was done just now has none.
pub(crate) fn ask_who(desk: &Desk, by: Option<&str>) {
    if by.is_none() && matches!(desk.person(), Ok(None)) {
        told("nobody is named for it: say who does it with --by NAME, once is enough");
    }
}

/// Remembers who was named with `--by` where nobody is remembered yet.
fn remember(desk: &mut Desk, place: &Place) {
    let Some(by) = place.by.as_deref().map(str::trim).filter(|by| !by.is_empty()) else {
        return;
    };
    let known = desk.person();
    if !matches!(known, Ok(None)) {
        return;
    }
    match desk.set_person(by) {
        Ok(()) => eprintln!("Remembered: {} works here, unless --by says otherwise.", tame(by)),
        Err(refusal) => told(&format!(
            "it is done; who works here could not be remembered: {refusal}"
        )),
    }
}

/// Who was named; nobody, where the store is to say it.
fn who(place: &Place) -> Option<String> {
    let named = place.by.clone().or_else(|| std::env::var("TRAMMEL_BY").ok());
    named.filter(|by| !by.trim().is_empty())
}

/// The folder of the jobs.
pub(crate) fn folder(place: &Place) -> Result<PathBuf, String> {
    if let Some(folder) = &place.store {
        return Ok(folder.clone());
    }
    if let Some(folder) = std::env::var_os("TRAMMEL_STORE").filter(|folder| !folder.is_empty()) {
        return Ok(folder.into());
    }
    let data = etcetera::base_strategy::choose_native_strategy()
        .map_err(|_| "your data folder is not known: say where the jobs are with --store DIR".to_owned())?;
    Ok(data.data_dir().join("trammel"))
}
