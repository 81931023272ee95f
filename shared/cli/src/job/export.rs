//! `trammel job export`: the job file, written beside its place and moved there when it is whole.

use std::fs::{self, File};
use std::io::BufWriter;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use desk::{Desk, Exported};

use crate::ask::{ExportAsk, Place};
use crate::at::{self, Done, Failure};
use crate::{files, sheet};

/// Writes the job file of a job.
pub(super) fn run(place: &Place, asked: &ExportAsk) -> Done {
    let job = asked.name.as_deref().or(place.job.as_deref());
    at::look(place, |desk| {
        let path = match &asked.out {
            Some(path) => path.clone(),
            None => PathBuf::from(files::named_after(&desk.show(job)?.name, ".zip")),
        };
        let shown = path.display().to_string();
        if path.is_dir() {
            return Err(Failure::Said(format!("{shown} is a folder: name the file in it")));
        }
        if !asked.force && path.symlink_metadata().is_ok() {
            return Err(Failure::Said(format!(
                "{shown} is there already: choose another name with --out, or overwrite it with --force"
            )));
        }
        let exported = written(desk, job, &path)?;
        match asked.json.wanted {
            true => files::print_json(&exported)?,
            false => files::print(&sheet::exported(&exported, &shown))?,
        }
        Ok(ExitCode::SUCCESS)
    })
}

fn written(desk: &mut Desk, job: Option<&str>, path: &Path) -> Result<Exported, Failure> {
    let mut beside = path.as_os_str().to_owned();
    beside.push(format!(".{}.part", std::process::id()));
    let beside = PathBuf::from(beside);
    let cannot = |error: std::io::Error| {
        Failure::Said(format!(
            "{} cannot be written: {error}: choose another place with --out",
            path.display()
        ))
    };
    let file = File::create_new(&beside).map_err(cannot)?;
    let mut out = BufWriter::new(file);
    let done = desk.export(job, &mut out).map_err(Failure::from);
    let whole = done.and_then(|exported| {
        let file = out.into_inner().map_err(|error| cannot(error.into_error()))?;
        file.sync_all().map_err(cannot)?;
        fs::rename(&beside, path).map_err(cannot)?;
        Ok(exported)
    });
    if whole.is_err() {
        // What is half written serves nobody; that it stays where it cannot be removed does no harm.
        let _ = fs::remove_file(&beside);
    }
    whole
}
