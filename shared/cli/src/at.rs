//! The desk that a command works at: which store, who, what is told before and after.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{Duration, Instant};

use desk::{Code, Desk, Device, Refusal, SharedDesk};
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
    let mut desk = open(&folder(place)?)?;
    tell_recovery(&desk);
    let by = who(place);
    let status = work(&mut desk, by.as_deref())?;
    remember(&mut desk, place);
    tidied(desk.tidy());
    Ok(status)
}

/// Opens the desk of a page and prepares it. Who was named is remembered, as in [`write()`].
pub(crate) fn share(
    place: &Place,
    folder: &Path,
    desk: &SharedDesk,
    mut prepare: impl FnMut(&mut Desk) -> Result<(), Refusal>,
) -> Result<(), Failure> {
    patiently(folder, || {
        desk.with(|desk| {
            tell_recovery(desk);
            remember(desk, place);
            prepare(desk)
        })
    })
}

/// Tells how tidying went. The answer is out already: what fails is told beside it.
pub(crate) fn tidied(tidy: Result<(), Refusal>) {
    if let Err(refusal) = tidy {
        told(&format!("it is done; putting it together failed: {refusal}"));
    }
}

/// Works at the desk to look at something, beside whoever writes there. A store that must be recovered or brought up
/// to date first is opened for writing.
pub(crate) fn look(place: &Place, work: impl FnOnce(&mut Desk) -> Done) -> Done {
    look_through(place, |folder| Desk::look(folder, Box::new(Device)), work)
}

/// Looks at something that is worked out, and keeps what was worked out where nobody else writes just now.
pub(crate) fn look_and_keep(place: &Place, work: impl FnOnce(&mut Desk) -> Done) -> Done {
    let or_look = |folder: &Path| Desk::open_or_look(folder, || Box::new(Device));
    look_through(place, or_look, work)
}

fn look_through(
    place: &Place,
    look: impl FnOnce(&Path) -> Result<Desk, Refusal>,
    work: impl FnOnce(&mut Desk) -> Done,
) -> Done {
    let folder = folder(place)?;
    no_file(&folder)?;
    let mut desk = match look(&folder) {
        Err(refusal) if matches!(refusal.code, Code::StoreDamaged | Code::ReadOnly) => open(&folder)?,
        Err(refusal) if refusal.code == Code::NoStore => return Err(no_jobs(&folder)),
        other => other?,
    };
    tell_recovery(&desk);
    work(&mut desk)
}

fn no_jobs(folder: &Path) -> Failure {
    let there = match folder.exists() {
        true => format!("in {}", folder.display()),
        false => format!("on this device yet, no folder {}", folder.display()),
    };
    Failure::Said(format!(
        "there is no job {there}: make one with trammel job new NAME, or look at the demo with trammel demo; jobs that \
         are elsewhere are reached with --store DIR"
    ))
}

fn no_file(folder: &Path) -> Result<(), Failure> {
    match folder.is_file() {
        true => Err(Failure::Refused(Refusal {
            code: Code::NotAStore,
            message: format!(
                "{} is a file, and jobs are kept in a folder: name one with --store DIR",
                folder.display()
            ),
            problems: Vec::new(),
        })),
        false => Ok(()),
    }
}

/// Opens a store for writing.
fn open(folder: &Path) -> Result<Desk, Failure> {
    patiently(folder, || Desk::open(folder, Box::new(Device)))
}

/// Opens a store. Somebody who writes there needs a moment as a rule, and is given two seconds.
fn patiently<T>(folder: &Path, open: impl FnMut() -> Result<T, Refusal>) -> Result<T, Failure> {
    no_file(folder)?;
    const EVERY: Duration = Duration::from_millis(50);
    const AT_MOST: Duration = Duration::from_secs(2);
    let since = Instant::now();
    let wait = || {
        std::thread::sleep(EVERY);
        since.elapsed() < AT_MOST
    };
    once_free(open, wait).map_err(|refusal| match refusal.code {
        Code::InUse => Failure::Refused(Refusal {
            message: format!(
                "another window or program works in {} and has not let go of it: end it there, or wait until it is \
                 done, then try again; nothing was changed. What is in the jobs can be looked at meanwhile, as with \
                 trammel job show",
                folder.display()
            ),
            ..refusal
        }),
        _ => refusal.into(),
    })
}

/// Tries until nobody else works in the store, or waiting is no use any more.
fn once_free<T>(
    mut tries: impl FnMut() -> Result<T, Refusal>,
    mut wait: impl FnMut() -> bool,
) -> Result<T, Refusal> {
    loop {
        match tries() {
            Err(refusal) if refusal.code == Code::InUse && wait() => {}
            done => return done,
        }
    }
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
        | Code::DiskFailed
        | Code::Fault => WITHOUT_STORE,
        Code::BadRequest
        | Code::NoSuchJob
        | Code::NoStore
        | Code::WhichJob
        | Code::Unusable
        | Code::NotThere
        | Code::NameTaken
        | Code::NothingToDo
        | Code::ChangedSince
        | Code::BadFile
        | Code::OtherJob
        | Code::BadPhoto
        | Code::PhotoNotHere
        | Code::TooLarge
        | Code::Stopped
        | Code::NoAccess => UNUSABLE,
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

#[cfg(test)]
mod tests {
    use super::*;

    fn in_use() -> Refusal {
        Refusal {
            code: Code::InUse,
            message: String::new(),
            problems: Vec::new(),
        }
    }

    #[test]
    fn a_store_in_use_is_tried_again_until_it_is_free() {
        let mut answers = [Err(in_use()), Err(in_use()), Ok(7)].into_iter();
        let mut waits = 0;
        let opened = once_free(
            || answers.next().expect("no more tries than answers"),
            || {
                waits += 1;
                true
            },
        );
        assert_eq!((opened, waits), (Ok(7), 2));
    }

    #[test]
    fn waiting_ends_and_other_refusals_are_not_waited_for() {
        let mut left = 3;
        let mut tries = 0;
        let refused: Result<(), Refusal> = once_free(
            || {
                tries += 1;
                Err(in_use())
            },
            || {
                left -= 1;
                left > 0
            },
        );
        assert_eq!(refused.map_err(|refusal| refusal.code), Err(Code::InUse));
        assert_eq!(tries, 3);
        let newer: Result<(), Refusal> = once_free(
            || {
                Err(Refusal {
                    code: Code::Newer,
                    ..in_use()
                })
            },
            || unreachable!("nobody works there"),
        );
        assert_eq!(newer.map_err(|refusal| refusal.code), Err(Code::Newer));
    }
}
