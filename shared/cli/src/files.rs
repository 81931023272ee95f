//! Files in and out, with messages that name the path.

use std::fs::File;
use std::io::{self, Read, Write};
use std::path::Path;

use desk::SheetBytes;

/// A sheet of a survey is some kilobytes; what is larger is another file by mistake.
const LARGEST_SHEET: u64 = 64 << 20;

/// Reads a sheet, unless it is larger than 64 MB.
pub(crate) fn read_sheet(path: &Path) -> Result<SheetBytes, String> {
    let shown = path.display();
    let cannot = |error: io::Error| match error.kind() {
        io::ErrorKind::NotFound => format!("there is no file {shown}: check the path"),
        _ => format!("{shown} cannot be read: {error}"),
    };
    let too_large = || format!("{shown} is larger than 64 MB: that is no sheet of readings, check the path");
    let file = File::open(path).map_err(cannot)?;
    let about = file.metadata().map_err(cannot)?;
    if about.is_dir() {
        return Err(format!("{shown} is a folder: name the sheet in it"));
    }
    if about.len() > LARGEST_SHEET {
        return Err(too_large());
    }
    // A pipe has no length beforehand, so the cap holds while reading too.
    let mut bytes = Vec::new();
    file.take(LARGEST_SHEET + 1)
        .read_to_end(&mut bytes)
        .map_err(cannot)?;
    if bytes.len() as u64 > LARGEST_SHEET {
        return Err(too_large());
    }
    Ok(SheetBytes {
        name: shown.to_string(),
        bytes,
    })
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
