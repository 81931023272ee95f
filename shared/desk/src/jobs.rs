//! The desk: the jobs of a device, and everything that a person can do to them.
//!
//! A shell opens a [`Desk`] on a folder, and calls its commands, or hands requests of other programs to
//! [`call`](Desk::call). When a command that changes something returns `Ok`, the change is on the disk.

mod act;
mod called;
mod check;
mod device;
mod distance;
mod doubts;
mod epochs;
mod facts;
mod files;
mod history;
mod list;
mod log;
mod order;
mod photos;
mod shape;
mod show;
mod solve;
mod starting_list;
mod table;
mod take_away;
mod typed;
mod wall;
mod work;

use std::collections::BTreeMap;
use std::path::Path;

use ledger::store::{Access, Documents, RecoveryReport, Store};
use ledger::{Job, JobId, Keep, Stamp};
use uuid::Uuid;

pub use act::{Act, Acted};
pub use check::Checked;
pub use device::{DeviceSaid, Hand, Numbers, TextSize, Theme, ThisDevice};
pub use distance::Distance;
pub use facts::{Correction, InstrumentFacts, NamedThing, NewPoint, PointFacts, RegisterValue};
pub use files::{FileTaken, SheetsBrought, SheetsGiven};
pub use history::{HistoryLine, Undone};
pub use list::{JobLine, Standing};
pub use log::{Again, Compared, ComparedVerdict, LogReading, Logged, NothingToCompare};
pub use photos::{AddPhoto, PhotoAdded, PhotoLine, PhotoSize, PinLine};
pub use show::{BlockedLine, DisputeLine, InstrumentLine, JobShown, PointLine, ReadingLine, SaidLine};
use solve::{Solved, Solving};
pub use starting_list::{StartingGroup, StartingList, StartingPoint};
#[cfg(test)]
pub(crate) use table::each_command;
pub use table::{COMMANDS, Call, Reply};
pub use take_away::{Exported, SheetsShown};
pub use typed::{Typed, TypedProblem};
pub use wall::{PaperForm, PaperSize, WallSheet};
pub(crate) use work::Carried;
pub use work::{Watch, WorkWire};

use crate::refusal::{Code, Refusal};

/// What a desk takes from around it: the time, and numbers that nobody else has.
pub trait Surroundings {
    /// Device time in ms since 1970.
    fn now_ms(&self) -> i64;
    /// A number that nobody else ever has, such as a UUID of version 7.
    fn fresh(&self) -> Uuid;
}

/// The device's own clock and randomness.
#[derive(Debug, Clone, Copy, Default)]
pub struct Device;

impl Surroundings for Device {
    fn now_ms(&self) -> i64 {
        let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
        since.map_or(0, |since| i64::try_from(since.as_millis()).unwrap_or(i64::MAX))
    }

    fn fresh(&self) -> Uuid {
        Uuid::now_v7()
    }
}

/// The jobs of a device.
pub struct Desk {
    store: Store,
    around: Box<dyn Surroundings + Send>,
    open: BTreeMap<JobId, Open>,
    recovery: Option<String>,
    watch: Watch,
    solving: Solving,
    /// When the last change was made, ms.
    last_ms: i64,
}

/// The moment of a change that is made now, after the last one: what is made within one ms keeps its order, also where a
/// clock is set back a little.
fn after(last_ms: i64, now_ms: i64) -> i64 {
    const A_LITTLE_MS: i64 = 1000;
    match last_ms.saturating_sub(now_ms) {
        0..A_LITTLE_MS => last_ms.saturating_add(1),
        _ => now_ms,
    }
}

/// A job that was opened, with what was computed of it last.
struct Open {
    job: Job,
    /// The last one is the newest. Two, as two epochs are compared.
    solved: Vec<Solved>,
}

impl Desk {
    /// Opens the store in a folder, and makes it where there is none.
    ///
    /// # Errors
    /// Where another program works in it, it is newer, or the disk fails.
    pub fn open(folder: &Path, around: Box<dyn Surroundings + Send>) -> Result<Desk, Refusal> {
        Desk::with_access(folder, around, Access::Write)
    }

    /// Opens the store in a folder to look at it. Somebody else may write to it meanwhile.
    ///
    /// # Errors
    /// Where there is none, it is damaged or newer, or the disk fails.
    pub fn look(folder: &Path, around: Box<dyn Surroundings + Send>) -> Result<Desk, Refusal> {
        Desk::with_access(folder, around, Access::ReadOnly)
    }

    /// Opens the store in a folder for writing, so that what is worked out is kept, where nobody else works in it and
    /// its disk lets it be written; else to look at it. None is made.
    ///
    /// # Errors
    /// Where there is none, it can neither be read nor recovered, or is newer.
    pub fn open_or_look(
        folder: &Path,
        around: impl Fn() -> Box<dyn Surroundings + Send>,
    ) -> Result<Desk, Refusal> {
        if !Store::is_in(folder) {
            return Desk::look(folder, around());
        }
        match Desk::open(folder, around()) {
            Err(refused)
                if matches!(
                    refused.code,
                    Code::InUse | Code::ReadOnly | Code::DiskFull | Code::DiskFailed
                ) =>
            {
                Desk::look(folder, around()).map_err(|_| refused)
            }
            other => other,
        }
    }

    fn with_access(
        folder: &Path,
        around: Box<dyn Surroundings + Send>,
        access: Access,
    ) -> Result<Desk, Refusal> {
        let opened = Store::open(folder, &Documents, access)?;
        let mut desk = Desk {
            store: opened.store,
            around,
            open: BTreeMap::new(),
            recovery: None,
            watch: Watch::default(),
            solving: Solving::default(),
            last_ms: 0,
        };
        desk.recovery = opened.report.map(|report| {
            let names = desk.names_of(&report);
            report.told(|job| names.get(&job).cloned())
        });
        Ok(desk)
    }

    /// What the jobs of a recovery are called, those that can be read. Where two share a name, only their ids tell
    /// them apart.
    fn names_of(&mut self, report: &RecoveryReport) -> BTreeMap<JobId, String> {
        let mut names: BTreeMap<JobId, String> = BTreeMap::new();
        for recovered in &report.jobs {
            if let Ok(job) = self.job(recovered.job) {
                names.insert(recovered.job, job.records().job.name.clone());
            }
        }
        let all: Vec<String> = names.values().cloned().collect();
        names.retain(|_, name| !name.is_empty() && all.iter().filter(|other| *other == name).count() == 1);
        names
    }

    /// What was set aside and recovered when the store was opened, in words; nothing where all was as it was left.
    pub fn recovery(&self) -> Option<&str> {
        self.recovery.as_deref()
    }

    /// Where the store is.
    pub fn folder(&self) -> &Path {
        self.store.folder()
    }

    /// Who works at this device, where somebody said so.
    ///
    /// # Errors
    /// Where the store cannot be read.
    pub fn person(&self) -> Result<Option<String>, Refusal> {
        Ok(self.store.setting(PERSON)?)
    }

    /// Says who works at this device from now on.
    ///
    /// # Errors
    /// Where the store cannot be written.
    pub fn set_person(&mut self, name: &str) -> Result<(), Refusal> {
        let name = name.trim();
        if name.is_empty() {
            return Err(Refusal::new(Code::Unusable, "a name is needed: write one"));
        }
        Ok(self.store.set_setting(PERSON, name)?)
    }

    /// Puts the changes of a job together on the disk where that is worth it. For when a job is put away, not while
    /// somebody is measuring.
    ///
    /// # Errors
    /// Where the disk fails; nothing is lost.
    pub fn tidy(&mut self) -> Result<(), Refusal> {
        for row in self.store.jobs()? {
            if self.store.wants_compaction(row.id)? {
                self.store.compact(row.id)?;
            }
        }
        Ok(())
    }

    /// Who does it, when, and with which number.
    fn stamp(&mut self, by: Option<&str>) -> Result<Stamp, Refusal> {
        let by = match by.map(str::trim).filter(|by| !by.is_empty()) {
            Some(by) => by.to_owned(),
            None => self.person()?.unwrap_or_default(),
        };
        self.last_ms = after(self.last_ms, self.around.now_ms());
        Ok(Stamp {
            by,
            at_ms: self.last_ms,
            fresh: self.around.fresh(),
        })
    }

    /// Which job is meant: by its id, by its name, or the only one.
    fn choose(&mut self, job: Option<&str>) -> Result<JobId, Refusal> {
        let job = job.map(str::trim).filter(|job| !job.is_empty());
        let rows = self.store.jobs()?;
        if let (None, [only]) = (job, rows.as_slice()) {
            return Ok(only.id);
        }
        if let Some(row) = rows
            .iter()
            .find(|row| job.is_some_and(|job| row.id.to_string() == job))
        {
            return Ok(row.id);
        }
        let mut named = Vec::new();
        for row in &rows {
            // A job that cannot be opened must not stand in the way of the others.
            let name = match self.job(row.id) {
                Ok(job) => job.records().job.name.clone(),
                Err(_) => row.id.to_string(),
            };
            named.push((row.id, name));
        }
        let list = || {
            named
                .iter()
                .map(|(_, name)| format!("`{name}`"))
                .collect::<Vec<_>>()
                .join(", ")
        };
        let Some(wanted) = job else {
            return match named.as_slice() {
                [] => Err(Refusal::new(
                    Code::NoSuchJob,
                    "there is no job on this device yet: make one, or take one in from a job file",
                )),
                _ => Err(Refusal::new(Code::WhichJob, format!("say which job: {}", list()))),
            };
        };
        let by_name = named.iter().filter(|(_, name)| name == wanted);
        let found: Vec<JobId> = by_name.map(|(id, _)| *id).collect();
        match found.as_slice() {
            [one] => Ok(*one),
            [] => Err(Refusal::new(
                Code::NoSuchJob,
                match named.as_slice() {
                    [] => format!("no job here is called `{wanted}`: there is no job on this device yet"),
                    [_] => format!("no job here is called `{wanted}`: the only one is {}", list()),
                    _ => format!("no job here is called `{wanted}`: there are {}", list()),
                },
            )),
            _ => Err(Refusal::new(
                Code::WhichJob,
                format!(
                    "several jobs are called `{wanted}`: say which by its id, {}",
                    found
                        .iter()
                        .map(JobId::to_string)
                        .collect::<Vec<_>>()
                        .join(" or ")
                ),
            )),
        }
    }

    /// The job, opened where it was not.
    fn job(&mut self, id: JobId) -> Result<&mut Job, Refusal> {
        Ok(&mut self.opened(id)?.job)
    }

    fn opened(&mut self, id: JobId) -> Result<&mut Open, Refusal> {
        // What a reader beside a writer has read may have grown since.
        let stale = match self.open.get(&id) {
            Some(open) if self.store.access() == Access::ReadOnly => {
                let kept = self.store.jobs()?.into_iter().find(|row| row.id == id);
                kept.is_none_or(|row| row.heads != open.job.heads())
            }
            known => known.is_none(),
        };
        if stale {
            let job = Job::open(&self.store.bytes(id)?, self.around.fresh())?;
            self.open.insert(
                id,
                Open {
                    job,
                    solved: Vec::new(),
                },
            );
        }
        Ok(self.open.get_mut(&id).expect("it was opened just now"))
    }

    /// Does something to a job and keeps it.
    fn change<T, W>(&mut self, id: JobId, work: impl FnOnce(&mut Job) -> Result<T, W>) -> Result<T, Refusal>
    where
        W: std::error::Error + Into<Refusal>,
    {
        // What a command does after it asked for a job to be solved would be done twice.
        if matches!(self.solving, Solving::Wanted(_)) {
            return Err(solve::to_be_solved_first());
        }
        self.solving = Solving::Here;
        self.opened(id)?;
        let open = self.open.get_mut(&id).expect("it was opened just now");
        Ok(open.job.kept(&mut self.store, work)?)
    }
}

const PERSON: &str = "person";

#[cfg(test)]
mod tests {
    #[test]
    fn what_is_made_within_one_ms_keeps_its_order_and_a_clock_that_was_wrong_is_believed_again() {
        use super::after;
        assert_eq!(after(0, 1_790_000_000_000), 1_790_000_000_000);
        assert_eq!(after(5000, 5001), 5001);
        assert_eq!((after(5000, 5000), after(5001, 5000)), (5001, 5002));
        assert_eq!(after(5_000_000, 5000), 5000, "it was an hour ahead");
        assert_eq!(after(i64::MAX, i64::MAX), i64::MAX);
    }
}
