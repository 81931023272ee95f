//! `trammel job show`: a job laid open, and solved.

use std::process::ExitCode;

use desk::told::Told;
use desk::wire::AdjustmentWire;
use desk::{Code, JobShown, RefusalWire};
use serde::Serialize;

use crate::ask::{Place, ShowAsk};
use crate::at::{self, Done};
use crate::look::Look;
use crate::{UNSOLVABLE, files, sheet};

/// The job and its solution for other programs; one of the last two is there.
#[derive(Serialize)]
struct Shown {
    job: JobShown,
    solved: Option<AdjustmentWire>,
    not_solved: Option<RefusalWire>,
}

/// Shows a job now, or as it stood.
pub(super) fn run(place: &Place, asked: &ShowAsk) -> Done {
    let job = asked.name.as_deref().or(place.job.as_deref());
    let look = Look::of_stdout();
    if let Some(when) = &asked.at {
        return at::look(place, |desk| {
            let shown = desk.as_it_stood(job, when)?;
            match asked.json.wanted {
                true => files::print_json(&shown)?,
                false => files::print(&sheet::stood_laid_out(&shown, when, look))?,
            }
            Ok(ExitCode::SUCCESS)
        });
    }
    at::look_and_keep(place, |desk| {
        let shown = desk.show(job)?;
        let photos = desk.photos(job)?.iter().filter(|photo| !photo.removed).count();
        let solved = match desk.solve(job, asked.epoch.as_deref()) {
            Ok(answer) => Ok(answer),
            Err(refusal) if refusal.code == Code::NothingToSolve => Err(refusal),
            Err(refusal) => return Err(refusal.into()),
        };
        let status = match &solved {
            Ok(_) => ExitCode::SUCCESS,
            Err(_) => ExitCode::from(UNSOLVABLE),
        };
        if asked.json.wanted {
            files::print_json(&Shown {
                job: shown,
                solved: solved.as_ref().ok().map(|answer| AdjustmentWire::of(answer)),
                not_solved: solved.as_ref().err().map(desk::Refusal::wire),
            })?;
            return Ok(status);
        }
        let go_on = sheet::GoOn {
            store: place.store.as_deref(),
            job: Some(&shown.name).filter(|_| job.is_some()).map(String::as_str),
        };
        let mut text = sheet::job_laid_out(&shown, photos, &go_on, look);
        text.push('\n');
        text.push_str(&match &solved {
            Ok(answer) => sheet::laid_out(&Told::of(answer), look),
            Err(refusal) => sheet::unsolved_laid_out(refusal, &shown, look),
        });
        files::print(&text)?;
        Ok(status)
    })
}
