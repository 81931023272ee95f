//! What the window opens with.

use std::ffi::OsString;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};

use desk::{Desk, Device, SharedDesk};
use tauri::{AppHandle, Manager, Runtime};

/// What whoever starts the window asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opening {
    /// The folder of the jobs; else the one that the command line takes too.
    pub store: Option<PathBuf>,
    /// On the demo job, made where it is not there.
    pub demo: bool,
}

impl Opening {
    /// What the arguments (`--demo`) and the environment (`TRAMMEL_STORE`) ask for.
    pub fn of(
        arguments: impl Iterator<Item = String>,
        environment: impl Fn(&str) -> Option<OsString>,
    ) -> Opening {
        Opening {
            store: environment("TRAMMEL_STORE")
                .filter(|folder| !folder.is_empty())
                .map(Into::into),
            demo: arguments.skip(1).any(|argument| argument == "--demo"),
        }
    }
}

/// The desk behind the window. It is opened by the first call, so that a store that another program holds is told on
/// the page, and tried again by the next call.
///
/// # Errors
/// Where the system does not say where a program keeps its data.
pub fn shared_desk<R: Runtime>(app: &AppHandle<R>, opening: &Opening) -> tauri::Result<SharedDesk> {
    let folder = match &opening.store {
        Some(folder) => folder.clone(),
        None => data_folder(app)?,
    };
    // Once: whoever opened another job since stays with it when the desk is opened again.
    let demo = AtomicBool::new(opening.demo);
    Ok(SharedDesk::new(move || {
        let mut desk = Desk::open(&folder, Box::new(Device))?;
        if demo.load(Ordering::Relaxed) {
            desk.open_demo()?;
            demo.store(false, Ordering::Relaxed);
        }
        Ok(desk)
    }))
}

/// The same folder that the command line takes, so that both know the same jobs.
#[cfg(desktop)]
fn data_folder<R: Runtime>(app: &AppHandle<R>) -> tauri::Result<PathBuf> {
    Ok(app.path().data_dir()?.join("trammel"))
}

#[cfg(mobile)]
fn data_folder<R: Runtime>(app: &AppHandle<R>) -> tauri::Result<PathBuf> {
    app.path().app_data_dir()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_window_opens_with_what_is_asked() {
        let asked = |arguments: &[&str], store: &'static str| {
            let arguments = arguments.iter().map(|argument| (*argument).to_owned());
            Opening::of(arguments, |name| (name == "TRAMMEL_STORE").then(|| store.into()))
        };
        let plain = Opening {
            store: None,
            demo: false,
        };
        assert_eq!(asked(&["trammel-window"], ""), plain);
        assert_eq!(asked(&["--demo"], ""), plain, "its own name is no argument");
        let demo = asked(&["trammel-window", "--demo"], "jobs");
        assert_eq!((demo.store, demo.demo), (Some("jobs".into()), true));
    }
}
