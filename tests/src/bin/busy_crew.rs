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
//! | `photo JOB ID` | the photo is on the disk, and the job knows of it |
//! | `setting NUMBER` | the setting `busy` has this value on the disk |
//! | `compacting JOB`, `photographing ID` | it begins; `compacted JOB` follows, or `photo JOB ID` |
//! | `refused KEY WORDS` | the store refused it, so that it must not be there |
//! | `doubtful KEY` | follows where the disk took nothing more: what was refused may be there all the same |

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use ledger::photo;
use ledger::store::{Access, DiskError, Documents, JobError, PhotoError, PhotoRow, Store, StoreError};
use ledger::{Edit, EditError, EntryId, Job, JobId, Keep, LoadError, NotKept, PhotoText, ReadingText, Stamp};
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
    Load(LoadError),
    Edit(NotKept<EditError, JobError>),
    Picture(photo::PhotoError),
}

struct Crew {
    folder: PathBuf,
    random: fastrand::Rng,
    seed: u64,
    store: Store,
    job: Job,
    /// Names what this crew puts, never used twice.
    next: u64,
    /// Numbers that nobody else has.
    fresh: u64,
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
        let mut store = Store::open(folder, &Documents, Access::Write)
            .map_err(Trouble::Store)?
            .store;
        say("opened");
        let mut random = fastrand::Rng::with_seed(seed);
        let jobs = store.jobs().map_err(Trouble::Job)?;
        let (job, in_job) = match jobs.last() {
            Some(job) => {
                let bytes = store.bytes(job.id).map_err(Trouble::Job)?;
                // How full a job is need not be exact.
                let in_job = random.u64(..ENTRIES_OF_A_JOB);
                (Job::open(&bytes, number(seed, 0)).map_err(Trouble::Load)?, in_job)
            }
            None => (new_job(&mut store, seed, 0)?, 0),
        };
        Ok(Crew {
            folder: folder.to_owned(),
            random,
            seed,
            store,
            job,
            next: 0,
            fresh: 1,
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
            self.job = new_job(&mut self.store, self.seed, self.next)?;
            self.in_job = 0;
        }
        let reading = ReadingText {
            name: key.to_owned(),
            kind: "tape".to_owned(),
            points: vec![
                format!("P{}", self.random.u8(..20)),
                format!("Q{}", self.random.u8(..20)),
            ],
            value: format!("{} mm", self.random.u16(100..4000)),
            ..ReadingText::default()
        };
        self.log(&Edit::LogReading(reading))?;
        self.in_job += 1;
        say(&format!("kept {} {key}", self.job.id()));
        Ok(())
    }

    fn log(&mut self, edit: &Edit) -> Result<(), Trouble> {
        let stamp = stamp(self.seed, self.fresh);
        self.fresh += 1;
        let kept = self.job.kept(&mut self.store, |job| job.apply(edit, &stamp));
        kept.map(drop).map_err(Trouble::Edit)
    }

    fn compact(&mut self) -> Result<(), Trouble> {
        say(&format!("compacting {}", self.job.id()));
        self.store.compact(self.job.id()).map_err(Trouble::Job)?;
        say(&format!("compacted {}", self.job.id()));
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
            .expect("memory takes every picture");
        let original = original.into_inner();
        let photo = photo::take_in(&original).map_err(Trouble::Picture)?;
        say(&format!("photographing {}", photo.id));
        let row = PhotoRow {
            id: *photo.id.as_bytes(),
            media_type: photo.media_type.mime(),
            width,
            height,
            bytes: &original,
            small: &photo.small,
            large: &photo.large,
        };
        self.store.put_photo(&row).map_err(Trouble::Photo)?;
        let entry = EntryId::parse(&photo.id.to_string()).expect("hexadecimal letters are an entry");
        self.log(&Edit::AddPhoto(PhotoText {
            photo: entry,
            media_type: "png".to_owned(),
            width,
            height,
            bytes: original.len() as u64,
            leaves_as: String::new(),
            name: String::new(),
            taken: String::new(),
            caption: String::new(),
            about: None,
        }))?;
        say(&format!("photo {} {}", self.job.id(), photo.id));
        Ok(())
    }

    /// A store that must be opened again may have kept what it refused: the job is read back as the store has it.
    fn recover(&mut self) -> Result<(), Trouble> {
        if self.store.must_reopen() {
            // Two writers cannot be open at once, so the old one makes room for a reader first.
            let reader = Store::open(&self.folder, &Documents, Access::ReadOnly).map_err(Trouble::Store)?;
            drop(std::mem::replace(&mut self.store, reader.store));
            self.store = Store::open(&self.folder, &Documents, Access::Write)
                .map_err(Trouble::Store)?
                .store;
        }
        let bytes = self.store.bytes(self.job.id()).map_err(Trouble::Job)?;
        self.job = Job::open(&bytes, number(self.seed, self.fresh)).map_err(Trouble::Load)?;
        self.fresh += 1;
        Ok(())
    }
}

fn new_job(store: &mut Store, seed: u64, count: u64) -> Result<Job, Trouble> {
    // Later jobs have higher ids, so that the last one listed is the one being worked on.
    let id = JobId(number(seed, count));
    let job = Job::new(
        id,
        "busy",
        number(seed, NEW_JOBS + count),
        &stamp(seed, NEW_JOBS + count),
    );
    store
        .create(id, 0, &job.save(), &job.heads())
        .map_err(Trouble::Job)?;
    Ok(job)
}

/// Where the numbers of new jobs begin, far from those of edits.
const NEW_JOBS: u64 = 1 << 40;

/// A number that no other crew and nothing else of this crew has.
fn number(seed: u64, count: u64) -> Uuid {
    Uuid::from_u128((u128::from(seed) << 64) + u128::from(count))
}

fn stamp(seed: u64, count: u64) -> Stamp {
    Stamp {
        by: "crew".to_owned(),
        at_ms: 1_780_000_000_000 + i64::try_from(count % (1 << 32)).unwrap_or_default(),
        fresh: number(seed, (1 << 50) + count),
    }
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
            Trouble::Load(error) => error.fmt(f),
            Trouble::Edit(error) => error.fmt(f),
            Trouble::Picture(error) => error.fmt(f),
        }
    }
}
