//! `trammel wall`: the sheet for the wall as files.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use desk::Desk;

use crate::ask::{Form, Place, WallAsk};
use crate::at::{self, Done, Failure};
use crate::look::Look;
use crate::{files, sheet};

/// Writes the sheet of a job.
pub(crate) fn run(place: &Place, asked: &WallAsk) -> Done {
    let job = asked.name.as_deref().or(place.job.as_deref());
    at::look(place, |desk| {
        let (made, first) = drawn(desk, job, asked, 1)?;
        let path = match &asked.out {
            Some(path) => path.clone(),
            None => PathBuf::from(files::named_after(
                &made.name,
                &format!("-wall.{}", asked.form.ending()),
            )),
        };
        let paths: Vec<PathBuf> = match asked.form {
            Form::Pdf => vec![path],
            Form::Svg => (1..=made.pages).map(|page| of_page(&path, page)).collect(),
        };
        // Before anything is written, so that no half of a sheet lies beside another.
        if let Some(there) = paths
            .iter()
            .find(|path| !asked.force && path.symlink_metadata().is_ok())
        {
            return Err(Failure::Said(format!(
                "{} is there already: choose another name with --out, or overwrite it with --force",
                there.display()
            )));
        }
        let mut bytes = first;
        for (place, path) in paths.iter().enumerate() {
            if place > 0 {
                (_, bytes) = drawn(desk, job, asked, place + 1)?;
            }
            files::write_whole(path, &bytes)?;
        }
        match asked.json.wanted {
            true => files::print_json(&made)?,
            false => files::print(&sheet::wall_written(&made, &paths, Look::of_stdout()))?,
        }
        Ok(ExitCode::SUCCESS)
    })
}

fn drawn(
    desk: &mut Desk,
    job: Option<&str>,
    asked: &WallAsk,
    page: usize,
) -> Result<(desk::WallSheet, Vec<u8>), Failure> {
    let (paper, form) = (asked.paper.into(), asked.form.into());
    Ok(desk.wall_sheet(job, asked.epoch.as_deref(), paper, form, page)?)
}

/// `shell-2.svg` for the second page of `shell.svg`.
fn of_page(path: &Path, page: usize) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let ending = path
        .extension()
        .map_or_else(|| "svg".into(), |ending| ending.to_string_lossy());
    path.with_file_name(format!("{stem}-{page}.{ending}"))
}
