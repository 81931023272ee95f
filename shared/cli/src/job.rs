//! `trammel job`.

mod export;
mod import;
mod show;

use std::process::ExitCode;

use desk::told::ToldComparison;
use desk::{Act, Desk};

use crate::ask::{JobAsk, JobWhat, Place, SetAsk};
use crate::at::{self, Done, Failure};
use crate::look::Look;
use crate::sheet;
use crate::{WITHOUT_STORE, files};

/// Does what is asked of a job.
pub(crate) fn run(place: &Place, asked: &JobAsk) -> Done {
    let job = place.job.as_deref();
    match &asked.what {
        JobWhat::New { name, unit } => at::write(place, |desk, by| {
            let line = desk.new_job(name, unit.map(Into::into), by)?;
            files::print(&sheet::said(&format!(
                "made the job {}. Log its first reading with trammel read, or bring sheets in with trammel job \
                 import.",
                line.name
            )))?;
            at::ask_who(desk, by);
            Ok(ExitCode::SUCCESS)
        }),
        JobWhat::List { json } => at::look(place, |desk| {
            let jobs = desk.jobs()?;
            match json.wanted {
                true => files::print_json(&jobs)?,
                false => files::print(&sheet::jobs_laid_out(&jobs, Look::of_stdout()))?,
            }
            Ok(ExitCode::SUCCESS)
        }),
        JobWhat::Show(asked) => show::run(place, asked),
        JobWhat::Readings { name } => at::look(place, |desk| {
            let shown = desk.show(name.as_deref().or(job))?;
            files::print(&sheet::readings_laid_out(&shown, Look::of_stdout()))?;
            Ok(ExitCode::SUCCESS)
        }),
        JobWhat::Import(asked) => import::run(place, asked),
        JobWhat::Export(asked) => export::run(place, asked),
        JobWhat::Check { json } => at::look(place, |desk| {
            let checked = desk.check()?;
            match json.wanted {
                true => files::print_json(&checked)?,
                false => files::print(&sheet::checked_laid_out(&checked, Look::of_stdout()))?,
            }
            Ok(match checked.wrong.is_empty() {
                true => ExitCode::SUCCESS,
                false => ExitCode::from(WITHOUT_STORE),
            })
        }),
        JobWhat::History { name, of, most, json } => at::look(place, |desk| {
            let lines = desk.history(name.as_deref().or(job), of.as_deref(), *most)?;
            match json.wanted {
                true => files::print_json(&lines)?,
                false => files::print(&sheet::history_laid_out(&lines, Look::of_stdout()))?,
            }
            Ok(ExitCode::SUCCESS)
        }),
        JobWhat::Compare { before, after, json } => at::look(place, |desk| {
            match json.wanted {
                true => files::print_json(&desk.epochs_compared(job, before, after)?)?,
                false => {
                    let answer = desk.compare_epochs(job, before, after)?;
                    files::print(&sheet::compared(&ToldComparison::of(&answer), Look::of_stdout()))?;
                }
            }
            Ok(ExitCode::SUCCESS)
        }),
        JobWhat::Undo => at::write(place, |desk, by| took_back(&desk.undo(job, by)?)),
        JobWhat::Redo => at::write(place, |desk, by| took_back(&desk.redo(job, by)?)),
        JobWhat::Set(asked) => set(place, asked),
        JobWhat::Choose { register, value } => at::write(place, |desk, by| {
            let act = choice(desk, job, register, value)?;
            did(desk, job, &act, by)
        }),
        JobWhat::Add { what, name } => at::write(place, |desk, by| {
            let act = Act::Add {
                what: (*what).into(),
                name: name.clone(),
            };
            did(desk, job, &act, by)
        }),
        JobWhat::Rename { what, name, to } => at::write(place, |desk, by| {
            let act = Act::Rename {
                what: (*what).into(),
                name: name.clone(),
                to: to.clone(),
            };
            did(desk, job, &act, by)
        }),
    }
}

/// Does something to a job and says what it was.
pub(crate) fn did(desk: &mut Desk, job: Option<&str>, act: &Act, by: Option<&str>) -> Done {
    let acted = desk.act(job, act, by)?;
    files::print(&sheet::said(&acted.words))?;
    at::ask_who(desk, by);
    Ok(ExitCode::SUCCESS)
}

fn took_back(undone: &desk::Undone) -> Done {
    files::print(&sheet::said(&undone.words))?;
    for left in &undone.left {
        files::print(&sheet::said(left))?;
    }
    Ok(ExitCode::SUCCESS)
}

/// Everything that is set is one change, and one undo.
fn set(place: &Place, asked: &SetAsk) -> Done {
    let act = Act::SetJob {
        name: asked.name.clone(),
        unit: asked.unit.map(|unit| unit.word().to_owned()),
        frame: asked.frame.clone(),
        above: asked.above.clone(),
    };
    if asked.name.is_none() && asked.unit.is_none() && asked.frame.is_none() && asked.above.is_none() {
        return Err(Failure::Said(
            "say what is to be set, such as --unit: see trammel job set --help".to_owned(),
        ));
    }
    at::write(place, |desk, by| did(desk, place.job.as_deref(), &act, by))
}

/// The choice of the value that is shown so, or written so.
fn choice(desk: &mut Desk, job: Option<&str>, register: &str, value: &str) -> Result<Act, Failure> {
    let shown = desk.show(job)?;
    let said = shown
        .disputes
        .iter()
        .filter(|dispute| dispute.register == register)
        .flat_map(|dispute| &dispute.values)
        .find(|said| said.shown == value || said.value == desk::RegisterValue::Text(value.to_owned()));
    Ok(Act::Choose {
        register: register.to_owned(),
        value: said.map_or_else(
            || desk::RegisterValue::Text(value.to_owned()),
            |said| said.value.clone(),
        ),
    })
}
