//! `trammel job import`: job files and sheets, told apart by what is in them.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use desk::{FileTaken, Refusal, SheetBytes, SheetsBrought, SheetsGiven};
use serde::Serialize;

use crate::ask::{ImportAsk, Place};
use crate::at::{self, Done, Failure};
use crate::{files, sheet};

/// What every zip begins with.
const ZIP: &[u8] = b"PK\x03\x04";

/// What came in, for other programs.
#[derive(Default, Serialize)]
struct TakenIn {
    job_files: Vec<FileTaken>,
    sheets: Vec<SheetsBrought>,
}

/// The files by what they are.
#[derive(Default)]
struct Sorted {
    job_files: Vec<PathBuf>,
    readings: Vec<SheetBytes>,
    points: Vec<SheetBytes>,
    instruments: Vec<SheetBytes>,
}

/// Takes in what is named: every file is looked at before the first is taken in.
pub(super) fn run(place: &Place, asked: &ImportAsk) -> Done {
    let mut sorted = Sorted::default();
    for path in &asked.files {
        sorted.put(path)?;
    }
    let named = [
        (&asked.readings, &mut sorted.readings),
        (&asked.points, &mut sorted.points),
        (&asked.instruments, &mut sorted.instruments),
    ];
    for (path, pile) in named {
        if let Some(path) = path {
            pile.push(files::read_sheet(path)?);
        }
    }
    if sorted.is_empty() {
        return Err(Failure::Said(
            "name a job file or a sheet to take in: see trammel job import --help".to_owned(),
        ));
    }
    at::write(place, |desk, by| {
        let mut taken_in = TakenIn::default();
        let tell = |text: String| match asked.json.wanted {
            true => Ok(()),
            false => files::print(&text),
        };
        for path in &sorted.job_files {
            let file = File::open(path).map_err(|error| files::cannot_read(path, &error))?;
            let taken = desk.take_in(file).map_err(|refusal| Refusal {
                message: format!("{}: {}", path.display(), refusal.message),
                ..refusal
            })?;
            tell(sheet::job_file_taken(&taken, &path.display().to_string()))?;
            taken_in.job_files.push(taken);
        }
        // The only job, or the one that just came in with its file.
        let came = taken_in.job_files.last().map(|taken| taken.id.clone());
        let job = place.job.clone().or(came);
        for sheets in sorted.sheets(asked) {
            let brought = desk.import_sheets(job.as_deref(), &sheets, by)?;
            tell(sheet::sheets_brought(&brought))?;
            taken_in.sheets.push(brought);
        }
        if asked.json.wanted {
            files::print_json(&taken_in)?;
        }
        Ok(ExitCode::SUCCESS)
    })
}

impl Sorted {
    fn is_empty(&self) -> bool {
        let sheets = [&self.readings, &self.points, &self.instruments];
        self.job_files.is_empty() && sheets.iter().all(|pile| pile.is_empty())
    }

    fn put(&mut self, path: &Path) -> Result<(), Failure> {
        let shown = path.display();
        if is_zip(path)? {
            self.job_files.push(path.to_owned());
            return Ok(());
        }
        let sheet = files::read_sheet(path)?;
        let columns = first_row(&sheet.bytes);
        let has = |name: &str| columns.iter().any(|column| column == name);
        let pile = match () {
            () if has("kind") && has("a") => &mut self.readings,
            () if has("label") => &mut self.points,
            () if has("name") && has("kind") => &mut self.instruments,
            () => {
                return Err(Failure::Said(format!(
                    "{shown} is no job file, and its first row is not that of a sheet: say what it is with \
                     --readings, --points or --instruments"
                )));
            }
        };
        pile.push(sheet);
        Ok(())
    }

    /// Sheets that go in together: one of each kind.
    fn sheets(self, asked: &ImportAsk) -> Vec<SheetsGiven> {
        let most = self
            .readings
            .len()
            .max(self.points.len())
            .max(self.instruments.len());
        let mut piles = [self.readings, self.points, self.instruments].map(Vec::into_iter);
        let mut next = || {
            let [readings, points, instruments] = piles.each_mut().map(Iterator::next);
            SheetsGiven {
                readings,
                points,
                instruments,
                unit: asked.unit.map(Into::into),
                keep_going: asked.keep_going,
            }
        };
        (0..most).map(|_| next()).collect()
    }
}

/// Whether a file is a zip, or is called one: the desk says what is wrong with it then.
fn is_zip(path: &Path) -> Result<bool, Failure> {
    let named = path
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("zip"));
    let mut begins = Vec::new();
    let file = File::open(path).map_err(|error| files::cannot_read(path, &error))?;
    if file.metadata().is_ok_and(|about| about.is_dir()) {
        return Err(Failure::Said(format!(
            "{} is a folder: name the file in it",
            path.display()
        )));
    }
    if !file.metadata().is_ok_and(|about| about.is_file()) {
        // What is read of a pipe is gone; no job file comes through one.
        return Ok(false);
    }
    file.take(ZIP.len() as u64)
        .read_to_end(&mut begins)
        .map_err(|error| files::cannot_read(path, &error))?;
    Ok(named || begins == ZIP)
}

/// The names of the columns, as far as they tell sheets apart.
fn first_row(bytes: &[u8]) -> Vec<String> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let end = bytes
        .iter()
        .position(|byte| [b'\n', b'\r'].contains(byte))
        .unwrap_or(bytes.len());
    String::from_utf8_lossy(&bytes[..end])
        .split(',')
        .map(|column| column.trim().trim_matches('"').trim().to_lowercase())
        .collect()
}
