//! Files in and out, with messages that name the path.

use std::fs::File;
use std::io::{self, Read, Write};
use std::path::Path;

use desk::SheetBytes;

/// A sheet of a survey is some kilobytes; what is larger is another file by mistake.
const LARGEST_SHEET: u64 = 64 << 20;

/// A photo is some megabytes; the desk says how large one may be.
const LARGEST_PHOTO: u64 = 256 << 20;

/// Reads a sheet, unless it is larger than 64 MB.
pub(crate) fn read_sheet(path: &Path) -> Result<SheetBytes, String> {
    Ok(SheetBytes {
        name: path.display().to_string(),
        bytes: read(path, LARGEST_SHEET, "sheet of readings", "sheet")?,
    })
}

/// Reads a photo, unless it is larger than 256 MB.
pub(crate) fn read_photo(path: &Path) -> Result<Vec<u8>, String> {
    read(path, LARGEST_PHOTO, "photo", "photo")
}

/// Why a file cannot be read, with its path.
pub(crate) fn cannot_read(path: &Path, error: &io::Error) -> String {
    let shown = path.display();
    match error.kind() {
        io::ErrorKind::NotFound => format!("there is no file {shown}: check the path"),
        _ => format!("{shown} cannot be read: {error}"),
    }
}

fn read(path: &Path, largest: u64, what: &str, in_folder: &str) -> Result<Vec<u8>, String> {
    let shown = path.display();
    let cannot = |error: io::Error| cannot_read(path, &error);
    let too_large = || {
        format!(
            "{shown} is larger than {} MB: that is no {what}, check the path",
            largest >> 20
        )
    };
    let file = File::open(path).map_err(cannot)?;
    let about = file.metadata().map_err(cannot)?;
    if about.is_dir() {
        return Err(format!("{shown} is a folder: name the {in_folder} in it"));
    }
    if about.len() > largest {
        return Err(too_large());
    }
    // A pipe has no length beforehand, so the cap holds while reading too.
    let mut bytes = Vec::new();
    file.take(largest + 1).read_to_end(&mut bytes).map_err(cannot)?;
    if bytes.len() as u64 > largest {
        return Err(too_large());
    }
    Ok(bytes)
}

/// Writes a file that is not there yet.
pub(crate) fn write_new(path: &Path, bytes: &[u8]) -> Result<(), String> {
    let shown = path.display();
    let mut file = File::create_new(path).map_err(|error| match error.kind() {
        io::ErrorKind::AlreadyExists => format!("{shown} is there already: choose another name"),
        _ => format!("{shown} cannot be written: {error}"),
    })?;
    file.write_all(bytes)
        .and_then(|()| file.sync_all())
        .map_err(|error| format!("{shown} cannot be written whole: {error}"))
}

/// Writes a file so that it is there whole or as it was: beside its place first.
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), String> {
    if path.is_dir() {
        return Err(format!("{} is a folder: name the file in it", path.display()));
    }
    let mut beside = path.as_os_str().to_owned();
    beside.push(format!(".{}.part", std::process::id()));
    let beside = std::path::PathBuf::from(beside);
    let written = File::create_new(&beside)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| std::fs::rename(&beside, path));
    written.map_err(|error| {
        // What is half written serves nobody; that it stays where it cannot be removed does no harm.
        let _ = std::fs::remove_file(&beside);
        format!(
            "{} cannot be written: {error}: choose another place with --out",
            path.display()
        )
    })
}

/// A file called as a job, as every disk takes it.
pub(crate) fn named_after(job: &str, ending: &str) -> String {
    let mut plain = String::new();
    for letter in job.chars().take(80) {
        if letter.is_alphanumeric() || "-_.".contains(letter) {
            plain.push(letter);
        } else if !plain.ends_with('-') {
            plain.push('-');
        }
    }
    let name = plain.trim_matches(['.', '-']);
    format!("{}{ending}", if name.is_empty() { "job" } else { name })
}

/// Prints an answer as JSON.
pub(crate) fn print_json(answer: &impl serde::Serialize) -> Result<(), String> {
    let mut text = serde_json::to_string_pretty(answer)
        .map_err(|error| format!("the answer cannot be written as JSON: {error}"))?;
    text.push('\n');
    print(&text)
}

/// Writes a file whole.
pub(crate) fn write(path: &Path, text: &str) -> Result<(), String> {
    std::fs::write(path, text).map_err(|error| format!("{} cannot be written: {error}", path.display()))
}

/// Prints to standard output; a reader that went away, such as `head`, is no fault.
pub(crate) fn print(text: &str) -> Result<(), String> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(format!("standard output cannot be written: {error}"))
        }
        _ => Ok(()),
    }
}
