//! `trammel serve`: the jobs of this device in its browser.

use std::process::ExitCode;
use std::sync::Arc;

use desk::{Desk, Device, SharedDesk};

use crate::ask::{Place, ServeAsk};
use crate::at::{self, Done};
use crate::{files, sheet};

/// Serves until it is interrupted.
pub(crate) fn run(place: &Place, asked: &ServeAsk) -> Done {
    let folder = at::folder(place)?;
    let store = folder.clone();
    let desk = Arc::new(SharedDesk::new(move || Desk::open(&store, Box::new(Device))));
    at::share(place, &folder, &desk, |desk| match asked.demo {
        true => desk.open_demo(),
        false => Ok(()),
    })?;
    let serving = bridge::serve(Arc::clone(&desk), asked.port)
        .map_err(|error| format!("{error}; name another one with --port N, or none for one that is free"))?;
    files::print(&format!("Open {}\n", serving.link()))?;
    files::print(&sheet::said(
        "it is for this device only, and for as long as this runs. Ctrl-C ends it.",
    ))?;
    if !bridge::has_pages() {
        at::told("its pages are not built yet: run make ui in the folder of the source, then start it again");
    }
    serving.until_interrupted().map_err(|error| error.to_string())?;
    at::tidied(desk.with(Desk::tidy));
    Ok(ExitCode::SUCCESS)
}
