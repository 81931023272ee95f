//! Files that a page gives away.

use std::ffi::OsString;
use std::fs::File;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use desk::{Code, Refusal};
use tauri::{AppHandle, Manager, Runtime};

/// Saves a file in the folder that people's downloads go to, and says where. A file that is there already is left
/// alone: the new one gets a number.
pub(crate) fn save<R: Runtime>(app: &AppHandle<R>, name: &str, bytes: &[u8]) -> Result<PathBuf, Refusal> {
    let paths = app.path();
    // Where nobody configured one, as on a bare Linux, it is the folder that others take.
    let folder = paths
        .download_dir()
        .or_else(|_| paths.home_dir().map(|home| home.join("Downloads")))
        .map_err(|_| {
            refused(
                Code::DiskFailed,
                "this device has no folder for downloads".to_owned(),
            )
        })?;
    save_in(&folder, name, bytes)
}

fn save_in(folder: &Path, name: &str, bytes: &[u8]) -> Result<PathBuf, Refusal> {
    const MOST: u32 = 1000;
    // A page names a file, never a folder.
    let file = Path::new(name)
        .file_name()
        .map(Path::new)
        .filter(|file| file.as_os_str() == name);
    let Some(file) = file else {
        return Err(refused(
            Code::BadRequest,
            format!("`{name}` is no name of a file"),
        ));
    };
    let failed = |path: &Path, error: std::io::Error| {
        let code = match error.kind() {
            ErrorKind::StorageFull => Code::DiskFull,
            _ => Code::DiskFailed,
        };
        refused(
            code,
            format!("the file could not be saved as `{}`: {error}", path.display()),
        )
    };
    std::fs::create_dir_all(folder).map_err(|error| failed(folder, error))?;
    for count in 1..=MOST {
        let path = folder.join(numbered(file, count));
        match File::create_new(&path) {
            Ok(mut saved) => {
                let written = saved.write_all(bytes).and_then(|()| saved.sync_all());
                return match written {
                    Ok(()) => Ok(path),
                    Err(error) => {
                        // Half a file would be taken for a whole one.
                        let _ = std::fs::remove_file(&path);
                        Err(failed(&path, error))
                    }
                };
            }
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
            Err(error) => return Err(failed(&path, error)),
        }
    }
    Err(refused(
        Code::NameTaken,
        format!("a thousand files are called `{name}` in the folder for downloads: put some of them away"),
    ))
}

fn numbered(file: &Path, count: u32) -> OsString {
    if count == 1 {
        return file.as_os_str().to_owned();
    }
    let mut name = file.file_stem().unwrap_or_default().to_owned();
    name.push(format!(" ({count})"));
    if let Some(ending) = file.extension() {
        name.push(".");
        name.push(ending);
    }
    name
}

fn refused(code: Code, message: String) -> Refusal {
    Refusal {
        code,
        message,
        problems: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_is_there_is_never_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let save = |name: &str, text: &str| {
            let path = save_in(folder.path(), name, text.as_bytes()).unwrap();
            assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
            path.file_name().unwrap().to_str().unwrap().to_owned()
        };
        assert_eq!(save("shell.zip", "one"), "shell.zip");
        assert_eq!(save("shell.zip", "two"), "shell (2).zip");
        assert_eq!(save("shell.zip", "three"), "shell (3).zip");
        assert_eq!(save("readings", "four"), "readings");
        assert_eq!(save("readings", "five"), "readings (2)");
        assert_eq!(
            std::fs::read_to_string(folder.path().join("shell.zip")).unwrap(),
            "one"
        );
    }

    #[test]
    fn a_page_names_a_file_and_no_folder() {
        let folder = tempfile::tempdir().unwrap();
        for name in ["", "..", ".", "../shell.zip", "/etc/shell.zip", "a/b"] {
            let refusal = save_in(folder.path(), name, b"x").unwrap_err();
            assert_eq!(refusal.code, Code::BadRequest, "{name}: {refusal}");
        }
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    }
}
