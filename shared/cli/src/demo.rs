//! `trammel demo`: an invented job on this device, solved.

use std::process::ExitCode;

use desk::told::Told;

use crate::ask::Place;
use crate::at::{self, Done};
use crate::look::Look;
use crate::{files, sheet};

/// Makes the demo job where it is not there, solves it as it is now, and tells how to go on.
pub(crate) fn run(place: &Place) -> Done {
    at::write(place, |desk, _| {
        let (job, made) = desk.demo()?;
        let folder = desk.folder().display().to_string();
        files::print(&sheet::said(&match made {
            true => format!("made the job {} in {folder}.", job.name),
            false => format!("the job {} is in {folder} already, and left as it is.", job.name),
        }))?;
        let answer = desk.solve(Some(&job.id), None)?;
        let several = desk.jobs()?.len() > 1;
        let go_on = sheet::GoOn {
            store: place.store.as_deref(),
            job: several.then_some(job.name.as_str()),
        };
        let look = Look::of_stdout();
        let mut text = format!("\n{}\n", sheet::laid_out(&Told::of(&answer), look));
        text.push_str(&sheet::demo_goes_on(&go_on));
        files::print(&text)?;
        Ok(ExitCode::SUCCESS)
    })
}
