//! Recovering: a damaged store is set aside as it is, and what can be read of it goes into a new one.
//!
//! A recovery can itself be cut short by a pulled plug or a full disk. As long as the folder of what was set aside
//! has a file `unfinished`, the recovery begins again from what lies there.

mod images;
mod rebuild;
mod report;

use std::fs;
use std::path::{Path, PathBuf};

pub use report::{JobRecovery, Lost, PhotoRecovery, RecoveryReport};

use super::errors::{DiskError, StoreError};
use super::judge::Judge;
use super::tally::{self, Tally};
use super::{DATABASE, MAKING, files};

/// In the folder of what was set aside, until the recovery is done; then it is called [`WHY`].
const UNFINISHED: &str = "unfinished";
const WHY: &str = "why.txt";
/// Its first line, followed by what the tally said. Each further line is a reason.
const COUNTED: &str = "things that were kept, by the tally: ";
const REPORT: &str = "report.txt";

/// Sets a damaged store aside and recovers what can be read.
pub(super) fn begin(
    folder: &Path,
    judge: &dyn Judge,
    reasons: Vec<String>,
    tally: Tally,
) -> Result<RecoveryReport, StoreError> {
    let aside = (1..)
        .map(|number| folder.join(format!("damaged-{number}")))
        .find(|path| !path.exists())
        .expect("a folder does not hold every number");
    files::make_folder(&aside)?;
    let counted = tally
        .newest()
        .map_or("not known".to_owned(), |newest| newest.to_string());
    let mut why = format!("{COUNTED}{counted}");
    for reason in &reasons {
        why.push('\n');
        why.push_str(reason);
    }
    files::write_whole(&aside, UNFINISHED, why.as_bytes())?;
    finish(folder, judge, aside)
}

/// Ends a recovery that was cut short, if there is one.
pub(super) fn resume(folder: &Path, judge: &dyn Judge) -> Result<Option<RecoveryReport>, StoreError> {
    for name in files::names(folder)? {
        let aside = folder.join(&name);
        if name.starts_with("damaged-") && aside.join(UNFINISHED).is_file() {
            return finish(folder, judge, aside).map(Some);
        }
    }
    Ok(None)
}

fn finish(folder: &Path, judge: &dyn Judge, aside: PathBuf) -> Result<RecoveryReport, StoreError> {
    let why = files::read(&aside.join(UNFINISHED))?.unwrap_or_default();
    let why = String::from_utf8_lossy(&why).into_owned();
    let mut lines = why.lines();
    let counted: Option<i64> = lines
        .next()
        .and_then(|line| line.strip_prefix(COUNTED)?.parse().ok());
    let reasons = lines.map(str::to_owned).collect();
    set_aside(folder, &aside)?;
    let making = folder.join(MAKING);
    let sources = rebuild::sources(folder, &aside, counted)?;
    let (mut report, newest) = rebuild::rebuild(folder, judge, &sources, counted, &making)?;
    rebuild::close(folder, sources)?;
    report.reasons = reasons;
    report.set_aside = Some(aside.clone());
    let database = folder.join(DATABASE);
    fs::rename(&making, &database).map_err(DiskError::file(database))?;
    tally::make(folder, newest)?;
    files::write_whole(&aside, REPORT, report.to_string().as_bytes())?;
    let done = aside.join(WHY);
    fs::rename(aside.join(UNFINISHED), &done).map_err(DiskError::file(done))?;
    files::sync_folder(&aside)?;
    Ok(report)
}

/// Moves the database and its log. Moving needs no room on the disk.
fn set_aside(folder: &Path, aside: &Path) -> Result<(), DiskError> {
    let database = folder.join(DATABASE);
    if aside.join(DATABASE).exists() && database.exists() {
        // The damaged one is set aside already: this is what a recovery that was cut short had just made of it.
        files::remove_database(&database)?;
    }
    for ending in ["", "-wal", "-shm"] {
        let name = format!("{DATABASE}{ending}");
        let (from, to) = (folder.join(&name), aside.join(&name));
        if from.exists() && !to.exists() {
            fs::rename(&from, &to).map_err(DiskError::file(from))?;
        }
    }
    files::sync_folder(aside)?;
    files::sync_folder(folder)
}
