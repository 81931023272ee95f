//! What comes in: sheets, and job files from other devices.

use std::collections::BTreeMap;
use std::io::{Read, Seek};
use std::ops::ControlFlow;

use ledger::photo::{self, PhotoId};
use ledger::{Edit, Job, JobText, LoadError, Records, SheetsIn, job_file};
use serde::Serialize;
use survey::{LengthUnit, SheetText};

use super::{Desk, Open};
use crate::SheetBytes;
use crate::refusal::{Code, Refusal};
use crate::wire::ProblemWire;

/// Sheets that are to be taken into a job.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SheetsGiven {
    /// The readings.
    pub readings: Option<SheetBytes>,
    /// The points.
    pub points: Option<SheetBytes>,
    /// The instruments.
    pub instruments: Option<SheetBytes>,
    /// The unit of bare numbers in them; the job's, where nothing is said.
    pub unit: Option<LengthUnit>,
    /// Leave rows out that cannot be used, and go on.
    pub keep_going: bool,
}

/// What sheets brought.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct SheetsBrought {
    /// New readings.
    pub readings: usize,
    /// New lines that cannot be taped.
    pub blocked: usize,
    /// New points.
    pub points: usize,
    /// New instruments.
    pub instruments: usize,
    /// Readings that were there already.
    pub already: usize,
    /// What was left out or left as it was.
    pub problems: Vec<ProblemWire>,
}

/// What a job file brought.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct FileTaken {
    /// Which job.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Whether this device did not have it before.
    pub new: bool,
    /// How many changes were new.
    pub changes: usize,
    /// How many pictures were new.
    pub photos: usize,
    /// Names of files in it that are not Trammel's. They were not opened.
    pub ignored: Vec<String>,
    /// Pictures that were not taken, with the reason.
    pub refused: Vec<String>,
}

impl Desk {
    /// Takes sheets into a job. Rows that are there already add nothing.
    ///
    /// # Errors
    /// Where a sheet cannot be used, or a row cannot and nobody said to keep going.
    pub fn import_sheets(
        &mut self,
        job: Option<&str>,
        sheets: &SheetsGiven,
        by: Option<&str>,
    ) -> Result<SheetsBrought, Refusal> {
        let id = self.choose(job)?;
        let stamp = self.stamp(by)?;
        fn text(sheet: &Option<SheetBytes>) -> Option<SheetText<'_>> {
            sheet.as_ref().map(crate::adjust::text)
        }
        let given = SheetsIn {
            readings: text(&sheets.readings),
            points: text(&sheets.points),
            instruments: text(&sheets.instruments),
            unit: sheets.unit,
            keep_going: sheets.keep_going,
        };
        let (brought, _) = self
            .change(id, |job| job.import(&given, &stamp))
            .map_err(of_sheets)?;
        Ok(SheetsBrought {
            readings: brought.readings,
            blocked: brought.blocked,
            points: brought.points,
            instruments: brought.instruments,
            already: brought.already,
            problems: brought.problems.iter().map(ProblemWire::of).collect(),
        })
    }

    /// Takes in a job file: merges it where this device has the job, and adds the job where it has not. Taking it in
    /// again adds nothing.
    ///
    /// # Errors
    /// Where it is no job file or damaged, from a newer Trammel, the disk fails, or it is stopped. Nothing of the job is
    /// changed then; pictures that came before the fault stay.
    pub fn take_in(&mut self, mut file: impl Read + Seek) -> Result<FileTaken, Refusal> {
        // Once through without keeping anything: a file that is broken at its end brings nothing, and only the document
        // says whose pictures they are.
        let bad = |error: job_file::JobFileError| Refusal::new(Code::BadFile, error.to_string());
        let watch = self.watch.clone();
        watch.begins("look-through", None);
        let looked = job_file::read(&mut file, &mut |_, _| match watch.step() {
            Ok(()) => ControlFlow::Continue(()),
            Err(_) => ControlFlow::Break(()),
        });
        watch.go_on()?;
        let contents = looked.map_err(bad)?;
        let theirs = Job::open_foreign(&contents.document, self.around.fresh())?;
        let mut pictures = Pictures::of(theirs.records());
        watch.begins("photos", u64::try_from(pictures.ids.len()).ok());
        let read = job_file::read(&mut file, &mut |name, bytes| {
            self.take_picture(&mut pictures, name.hash(), &bytes)
        });
        match pictures.failed.take() {
            Some(refusal) => return Err(refusal),
            None => drop(read.map_err(bad)?),
        }
        watch.go_on()?;
        let id = theirs.id();
        let new = !self.store.jobs()?.iter().any(|row| row.id == id);
        let before = if new {
            let now = self.around.now_ms();
            self.store.create(id, now, &theirs.save(), &theirs.heads())?;
            let open = Open {
                job: theirs,
                solved: Vec::new(),
            };
            self.open.insert(id, open);
            0
        } else {
            let before = self.job(id)?.changes().len();
            self.change::<_, LoadError>(id, |job| job.merge(&contents.document))?;
            before
        };
        let job = self.job(id)?;
        Ok(FileTaken {
            id: id.to_string(),
            name: job.records().job.name.clone(),
            new,
            changes: job.changes().len() - before,
            photos: pictures.new,
            ignored: contents.ignored,
            refused: pictures.refused,
        })
    }

    fn take_picture(&mut self, pictures: &mut Pictures, hash: &str, bytes: &[u8]) -> ControlFlow<()> {
        let taken = match pictures.ids.get(hash) {
            Some(id) => self.keep_if_whole(*id, hash, bytes),
            None => Err(Refusal::new(Code::BadPhoto, "the job does not know this picture")),
        };
        match taken {
            Ok(new) => pictures.new += usize::from(new),
            Err(refusal) if refusal.code == Code::BadPhoto => {
                pictures
                    .refused
                    .push(format!("{}: {}", hash.get(..12).unwrap_or(hash), refusal.message));
            }
            Err(refusal) => {
                pictures.failed = Some(refusal);
                return ControlFlow::Break(());
            }
        }
        match self.watch.step() {
            Ok(()) => ControlFlow::Continue(()),
            Err(stopped) => {
                pictures.failed = Some(stopped);
                ControlFlow::Break(())
            }
        }
    }

    fn keep_if_whole(&mut self, id: PhotoId, hash: &str, bytes: &[u8]) -> Result<bool, Refusal> {
        if PhotoId::of(bytes).to_string() != hash {
            return Err(Refusal::new(
                Code::BadPhoto,
                "the picture is not the one that its name says",
            ));
        }
        if self.store.has_photo(id.as_bytes())? {
            return Ok(false);
        }
        let photo = photo::take_in(bytes)?;
        self.keep_picture(id, &photo, bytes)?;
        Ok(true)
    }

    /// The sheets of the demo, a frame, and a crew of two.
    pub(super) fn fill_demo(&mut self, id: ledger::JobId) -> Result<(), Refusal> {
        let [readings, points, instruments] = crate::demo::SHEETS.map(|(name, text)| SheetText {
            name,
            bytes: text.as_bytes(),
        });
        let sheets = SheetsIn {
            readings: Some(readings),
            points: Some(points),
            instruments: Some(instruments),
            ..SheetsIn::default()
        };
        let frame = survey::parse_frame(crate::demo::FRAME).expect("a test reads the demo's frame");
        let axes = Edit::SetJob(JobText {
            frame: Some(Some(frame)),
            ..JobText::default()
        });
        let stamp = self.stamp(Some(crate::demo::CREW))?;
        self.change(id, |job| {
            job.import(&sheets, &stamp)?;
            job.apply(&axes, &stamp)
        })?;
        Ok(())
    }
}

/// Problems of sheets are listed with their rows, not told in one sentence as what is typed into a pad.
fn of_sheets(refusal: Refusal) -> Refusal {
    if refusal.code != Code::Unusable || refusal.problems.is_empty() {
        return refusal;
    }
    let count = crate::adjust::counted(refusal.problems.len(), "problem");
    Refusal {
        message: format!("the sheets cannot be used: {count} to put right"),
        ..refusal
    }
}

#[derive(Default)]
struct Pictures {
    /// The ids of the originals, by the hashes of what left of them.
    ids: BTreeMap<String, PhotoId>,
    new: usize,
    refused: Vec<String>,
    failed: Option<Refusal>,
}

impl Pictures {
    fn of(records: &Records) -> Pictures {
        let ids = records.photos.iter().filter_map(|(entry, record)| {
            let id = entry.as_str().parse().ok()?;
            Some((record.leaves_as.clone(), id))
        });
        Pictures {
            ids: ids.collect(),
            ..Pictures::default()
        }
    }
}
