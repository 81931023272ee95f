//! Files that a page gives away.

use std::path::{Path, PathBuf};

use tauri::webview::DownloadEvent;
use tauri::{Manager, Runtime, Webview};

/// Saves what a page offers in the folder that people's downloads go to. A file that is there already is left alone.
pub(crate) fn save<R: Runtime>(webview: Webview<R>, event: DownloadEvent<'_>) -> bool {
    let DownloadEvent::Requested { destination, .. } = event else {
        return true;
    };
    let paths = webview.path();
    // Where nobody configured one, as on a bare Linux, it is the folder that others take.
    let folder = paths
        .download_dir()
        .or_else(|_| paths.home_dir().map(|home| home.join("Downloads")));
    let Ok(folder) = folder else {
        return false;
    };
    match std::fs::create_dir_all(&folder)
        .ok()
        .and_then(|()| free_in(&folder, destination))
    {
        Some(free) => {
            *destination = free;
            true
        }
        None => false,
    }
}

/// A path in the folder for a file of that name, with a number where the name is taken.
fn free_in(folder: &Path, wanted: &Path) -> Option<PathBuf> {
    const MOST: u32 = 1000;
    let name = wanted.file_name()?;
    let (stem, ending) = (Path::new(name).file_stem()?, Path::new(name).extension());
    (1..=MOST)
        .map(|count| match count {
            1 => folder.join(name),
            _ => {
                let mut numbered = stem.to_owned();
                numbered.push(format!(" ({count})"));
                if let Some(ending) = ending {
                    numbered.push(".");
                    numbered.push(ending);
                }
                folder.join(numbered)
            }
        })
        .find(|path| !path.exists())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_is_there_is_never_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let named = |name: &str| free_in(folder.path(), Path::new(name));
        let take = |name: &str| {
            let path = named(name).unwrap();
            std::fs::write(&path, b"taken").unwrap();
            path.file_name().unwrap().to_str().unwrap().to_owned()
        };
        assert_eq!(take("shell.zip"), "shell.zip");
        assert_eq!(take("shell.zip"), "shell (2).zip");
        assert_eq!(take("/elsewhere/shell.zip"), "shell (3).zip");
        assert_eq!(take("readings"), "readings");
        assert_eq!(take("readings"), "readings (2)");
        assert_eq!(named(".."), None);
    }
}
