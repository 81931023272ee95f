//! Trammel in a window of its own: the pages in the system's web view, and desk's commands for them.
//!
//! Pages call four commands: `desk` carries out a command of the desk, `work` tells how far a long one is, `stop`
//! asks it to stop, `save` puts a file with the downloads. Photos come by a scheme of their own. The rest is the window:
//! where the jobs are ([`shared_desk`]), and that it shows nothing but our own pages.
//!
//! Invariant: nothing here knows a command of the desk by its name, and nothing is computed.

mod commands;
mod downloads;
mod opening;
mod pictures;
mod renderer;

use tauri::{App, Builder, Context, Runtime, WebviewWindowBuilder};

pub use opening::{Opening, shared_desk};

/// Opens the window, and ends when it is closed.
#[cfg_attr(mobile, tauri::mobile_entry_point)]
pub fn run() {
    renderer::choose();
    let opening = Opening::of(std::env::args(), |name| std::env::var_os(name));
    let opened = with_commands(tauri::Builder::default())
        .setup(move |app| {
            let desk = shared_desk(app.handle(), &opening)?;
            show(app, desk)
        })
        .run(context());
    if let Err(error) = opened {
        // There is no window to say it in.
        eprintln!("trammel-window: the window cannot be opened: {error}");
        std::process::exit(1);
    }
}

/// What was configured, with the pages.
pub fn context<R: Runtime>() -> Context<R> {
    tauri::generate_context!()
}

/// A window, or one of a test, that knows the commands and shows photos.
pub fn with_commands<R: Runtime>(builder: Builder<R>) -> Builder<R> {
    pictures::with_pictures(builder).invoke_handler(tauri::generate_handler![
        commands::desk,
        commands::work,
        commands::stop,
        commands::save
    ])
}

/// Shows the window of the configuration, with this desk behind it.
///
/// # Errors
/// Where the system gives no window.
pub fn show<R: Runtime>(app: &mut App<R>, desk: desk::SharedDesk) -> Result<(), Box<dyn std::error::Error>> {
    use tauri::Manager;
    app.manage(std::sync::Arc::new(desk));
    let config = app.config().app.windows.first().cloned();
    let config = config.ok_or("the configuration names no window")?;
    WebviewWindowBuilder::from_config(app.handle(), &config)?
        .on_navigation(is_our_page)
        .on_download(|_, _| false) // Files are saved by `save` alone.
        .build()?;
    Ok(())
}

/// Whether an address is one of our own pages. A link to elsewhere leads nowhere in this window.
fn is_our_page(address: &tauri::Url) -> bool {
    match address.scheme() {
        "tauri" => address.host_str() == Some("localhost"),
        // Where a web view knows no schemes of its own.
        "http" | "https" => address.host_str() == Some("tauri.localhost"),
        _ => false,
    }
}
