//! A crew that logs without a pause until it is killed, for the trials of the store.
//!
//! `busy_crew FOLDER SEED [COUNT [abort]]` opens the store in FOLDER and logs entries, photos and settings, and
//! compacts now and then. Each thing is printed as one line when the store has acknowledged it, and not before. It ends
//! by itself after COUNT entries, or with status 7 when the store refused three things one after the other, or 8
//! where the store could not be opened. With `abort` it drops dead at the first refusal.
//!
//! | line | meaning |
//! | --- | --- |
//! | `opened` | the store is open |
//! | `kept JOB KEY` | the entry is on the disk |
//! | `photo ID` | the photo is on the disk |
//! | `setting NUMBER` | the setting `busy` has this value on the disk |
//! | `compacting JOB`, `photographing ID` | it begins; `compacted JOB` follows, or `photo ID` |
//! | `refused KEY WORDS` | the store refused it, so that it must not be there |
//! | `doubtful KEY` | follows where the disk took nothing more: what was refused may be there all the same |

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use automerge::AutomergeError;
use ledger::store::{Access, DiskError, JobError, PhotoError, PhotoRow, Store, StoreError};
use ledger::{JobId, Keep};
use trials::plain::{JUDGE, PlainLog};
use uuid::Uuid;

/// A new job is begun when one has so many entries: documents stay small through a long trial.
const ENTRIES_OF_A_JOB: u64 = 1500;
/// So many refusals one after the other, and the crew goes home.
const PATIENCE: u32 = 3;

/// Why the crew cannot log something.
enum Trouble {
    Store(StoreError),
    Job(JobError),
    Photo(PhotoError),
    Disk(DiskError),
    Document(AutomergeError),
    Picture,
}

struct Crew {
    folder: PathBuf,
    random: fastrand::Rng,
    seed: u64,
    store: Store,
    log: PlainLog,
    /// Names what this crew puts, never used twice.
    next: u64,
    /// Each reading back of the document takes a new actor.
    actors: u64,
    in_job: u64,
}

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let number = |place: usize| arguments.get(place).and_then(|text| text.parse::<u64>().ok());
    let (Some(folder), Some(seed)) = (arguments.first(), number(1)) else {
        eprintln!("busy_crew FOLDER SEED [COUNT [abort]]");
        return ExitCode::from(2);
    };
    let abort = arguments.get(3).is_some_and(|word| word == "abort");
    let mut crew = match Crew::open(Path::new(folder), seed) {
        Ok(crew) => crew,
        Err(trouble) => {
            say(&format!("refused opening {trouble}"));
            return ExitCode::from(8);
        }
    };
    let mut refused = 0;
    while number(2).is_none_or(|count| crew.next < count) {
        let key = format!("{seed}-{}", crew.next);
        crew.next += 1;
        match crew.log_something(&key) {
            Ok(()) => refused = 0,
            Err(trouble) => {
                say(&format!("refused {key} {trouble}"));
                if crew.store.must_reopen() {
                    say(&format!("doubtful {key}"));
                }
                refused += 1;
                if abort {
                    std::process::abort();
                }
                if refused == PATIENCE {
                    return ExitCode::from(7);
                }
                if let Err(trouble) = crew.recover() {
                    say(&format!("refused opening {trouble}"));
                    return ExitCode::from(8);
                }
            }
        }
    }
    ExitCode::SUCCESS
}

impl Crew {
    fn open(folder: &Path, seed: u64) -> Result<Crew, Trouble> {
        let mut store = Store::open(folder, &JUDGE, Access::Write)
            .map_err(Trouble::Store)?
            .store;
        say("opened");
        let mut random = fastrand::Rng::with_seed(seed);
        let jobs = store.jobs().map_err(Trouble::Job)?;
        let (log, in_job) = match jobs.last() {
            Some(job) => {
                let bytes = store.bytes(job.id).map_err(Trouble::Job)?;
                // How full a job is need not be exact.
                let in_job = random.u64(..ENTRIES_OF_A_JOB);
                (
                    PlainLog::read(job.id, &bytes, seed << 20).map_err(Trouble::Document)?,
                    in_job,
                )
            }
            None => (new_job(&mut store, seed, 0)?, 0),
        };
        Ok(Crew {
            folder: folder.to_owned(),
            random,
            seed,
            store,
            log,
            next: 0,
            actors: 1,
            in_job,
        })
    }

    fn log_something(&mut self, key: &str) -> Result<(), Trouble> {
        match self.random.u8(..24) {
            0 => self.take_photo(),
            1 => self.set_setting(),
            2 => self.compact(),
            _ => self.put(key),
        }
    }

    fn put(&mut self, key: &str) -> Result<(), Trouble> {
        if self.in_job >= ENTRIES_OF_A_JOB {
            self.log = new_job(&mut self.store, self.seed, self.next)?;
            self.in_job = 0;
        }
        let (chunk, heads) = self.log.put(key, self.next as i64).map_err(Trouble::Document)?;
        self.store
            .append(self.log.job, &chunk, &heads)
            .map_err(Trouble::Job)?;
        self.in_job += 1;
        say(&format!("kept {} {key}", self.log.job));
        Ok(())
    }

    fn compact(&mut self) -> Result<(), Trouble> {
        say(&format!("compacting {}", self.log.job));
        self.store.compact(self.log.job).map_err(Trouble::Job)?;
        say(&format!("compacted {}", self.log.job));
        Ok(())
    }

    fn set_setting(&mut self) -> Result<(), Trouble> {
        let number = (self.seed << 20) + self.next;
        self.store
            .set_setting("busy", &number.to_string())
            .map_err(Trouble::Disk)?;
        say(&format!("setting {number}"));
        Ok(())
    }

    fn take_photo(&mut self) -> Result<(), Trouble> {
        let (width, height) = (self.random.u32(20..200), self.random.u32(20..200));
        let noise = image::RgbImage::from_fn(width, height, |_, _| {
            image::Rgb(
                self.random.u32(..).to_le_bytes()[..3]
                    .try_into()
                    .unwrap_or_default(),
            )
        });
        let mut original = std::io::Cursor::new(Vec::new());
        noise
            .write_to(&mut original, image::ImageFormat::Png)
            .map_err(|_| Trouble::Picture)?;
        let original = original.into_inner();
        let id = blake3::hash(&original);
        say(&format!("photographing {id}"));
        let photo = PhotoRow {
            id: *id.as_bytes(),
            media_type: "image/png",
            width,
            height,
            bytes: &original,
            small: &original[..60],
            large: &original[..600],
        };
        self.store.put_photo(&photo).map_err(Trouble::Photo)?;
        say(&format!("photo {id}"));
        Ok(())
    }

    /// What the store refused is still in the document here: it is read back as the store has it.
    fn recover(&mut self) -> Result<(), Trouble> {
        if self.store.must_reopen() {
            // Two writers cannot be open at once, so the old one makes room for a reader first.
            let reader = Store::open(&self.folder, &JUDGE, Access::ReadOnly).map_err(Trouble::Store)?;
            drop(std::mem::replace(&mut self.store, reader.store));
            self.store = Store::open(&self.folder, &JUDGE, Access::Write)
                .map_err(Trouble::Store)?
                .store;
        }
        let bytes = self.store.bytes(self.log.job).map_err(Trouble::Job)?;
        let actor = (self.seed << 20) + self.actors;
        self.actors += 1;
        self.log = PlainLog::read(self.log.job, &bytes, actor).map_err(Trouble::Document)?;
        Ok(())
    }
}

fn new_job(store: &mut Store, seed: u64, number: u64) -> Result<PlainLog, Trouble> {
    // Later jobs have higher ids, so that the last one listed is the one being worked on.
    let job = JobId(Uuid::from_u128((u128::from(seed) << 64) + u128::from(number)));
    let (log, chunk, heads) = PlainLog::make(job, seed << 20).map_err(Trouble::Document)?;
    store.create(job, 0, &chunk, &heads).map_err(Trouble::Job)?;
    Ok(log)
}

/// One line in one piece: a crew that is killed leaves no half of it behind a full one.
fn say(line: &str) {
    let mut out = std::io::stdout().lock();
    // Where nobody listens any more there is nobody to tell that either.
    let _ = out
        .write_all(format!("{line}\n").as_bytes())
        .and_then(|()| out.flush());
}

impl std::fmt::Display for Trouble {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Trouble::Store(error) => error.fmt(f),
            Trouble::Job(error) => error.fmt(f),
            Trouble::Photo(error) => error.fmt(f),
            Trouble::Disk(error) => error.fmt(f),
            Trouble::Document(error) => error.fmt(f),
            Trouble::Picture => f.write_str("the picture could not be made"),
        }
    }
}
