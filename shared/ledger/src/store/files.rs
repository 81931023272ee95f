//! Files that are there whole or not at all.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

use super::errors::DiskError;

/// How a file is called while it is being written.
const PART: &str = ".part";

/// Writes a file so that its name never stands for half of it: temporary file, sync, rename, sync of the folder.
pub(super) fn write_whole(folder: &Path, name: &str, bytes: &[u8]) -> Result<(), DiskError> {
    let part = folder.join(format!("{name}{PART}"));
    let written = write_and_sync(&part, bytes)
        .map_err(DiskError::file(&part))
        .and_then(|()| {
            let path = folder.join(name);
            fs::rename(&part, &path).map_err(DiskError::file(path))
        });
    if written.is_err() {
        // On a full disk the room is needed; what cannot be removed now is removed at the next opening.
        let _ = fs::remove_file(&part);
    }
    written?;
    sync_folder(folder)
}

/// Makes the names in a folder durable.
pub(super) fn sync_folder(folder: &Path) -> Result<(), DiskError> {
    // Only Unix opens folders as files; elsewhere the file system keeps names in its own journal.
    if cfg!(unix) {
        File::open(folder)
            .and_then(|folder| folder.sync_all())
            .map_err(DiskError::file(folder))?;
    }
    Ok(())
}

/// Makes a folder, and its name durable, where it is not there.
pub(super) fn make_folder(folder: &Path) -> Result<(), DiskError> {
    if folder.is_dir() {
        return Ok(());
    }
    fs::create_dir_all(folder).map_err(DiskError::file(folder))?;
    match folder.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => sync_folder(parent),
        _ => Ok(()),
    }
}

/// Removes what a killed program left half written.
pub(super) fn remove_parts(folder: &Path) -> Result<(), DiskError> {
    for name in names(folder)? {
        if name.ends_with(PART) {
            remove(&folder.join(name))?;
        }
    }
    Ok(())
}

/// The names in a folder, sorted; none where there is no folder. Names that are no Unicode are none of ours and left
/// out.
pub(super) fn names(folder: &Path) -> Result<Vec<String>, DiskError> {
    let mut names = Vec::new();
    let entries = match fs::read_dir(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(names),
        entries => entries.map_err(DiskError::file(folder))?,
    };
    for entry in entries {
        let entry = entry.map_err(DiskError::file(folder))?;
        if let Ok(name) = entry.file_name().into_string() {
            names.push(name);
        }
    }
    names.sort();
    Ok(names)
}

/// Removes a file if it is there.
pub(super) fn remove(path: &Path) -> Result<(), DiskError> {
    match fs::remove_file(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(DiskError::file(path)(error)),
        _ => Ok(()),
    }
}

/// Removes a database with what SQLite lays beside it.
pub(super) fn remove_database(path: &Path) -> Result<(), DiskError> {
    for ending in ["", "-wal", "-shm", "-journal"] {
        let mut name = path.as_os_str().to_owned();
        name.push(ending);
        remove(Path::new(&name))?;
    }
    Ok(())
}

/// Reads a file; `None` where there is none.
pub(super) fn read(path: &Path) -> Result<Option<Vec<u8>>, DiskError> {
    match fs::read(path) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(DiskError::file(path)(error)),
    }
}

/// Bytes as hexadecimal digits.
pub(super) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The reverse of [`hex`] for 32 bytes.
pub(super) fn from_hex(text: &str) -> Option<[u8; 32]> {
    // Only what `hex` writes: `Hash::from_hex` also takes capitals.
    let bytes = *blake3::Hash::from_hex(text).ok()?.as_bytes();
    (hex(&bytes) == text).then_some(bytes)
}

fn write_and_sync(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = File::create(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}
