//! A job file from outside is read without trusting it.

use std::collections::BTreeSet;
use std::io::{self, Read, Seek, SeekFrom};
use std::ops::ControlFlow;

use thiserror::Error;
use zip::read::ZipFile;
use zip::result::ZipError;
use zip::{CompressionMethod, ZipArchive};

use super::metered::{Allowance, Metered};
use super::names::{self, Entry, PhotoName};
use super::{
    DOCUMENT, LARGEST_DOCUMENT, LARGEST_IN_ALL, LARGEST_LIST, LARGEST_PHOTO, LARGEST_TEXT, LARGEST_TEXTS,
    MOST_ENTRIES,
};

/// What was in a job file, apart from the photos.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contents {
    /// The document, still to be taken in by [`crate::guard`].
    pub document: Vec<u8>,
    /// The texts by name, in the order in which they stand.
    pub texts: Vec<(String, String)>,
    /// Names of entries that this program did not write. They were not opened.
    pub ignored: Vec<String>,
}

/// Reads a job file. Before anything is unpacked every entry is looked at, and one bad name or size refuses the whole.
/// Then come the document, the texts, and each photo in turn, handed to `photo`, which may break off.
///
/// That a photo is the picture its hash belongs to is not checked here: positions may have been taken out of it.
///
/// # Errors
/// Whatever is wrong with the file. Photos handed out before the error are whole: their checksums were right.
pub fn read<R: Read + Seek>(
    mut from: R,
    photo: &mut dyn FnMut(PhotoName, Vec<u8>) -> ControlFlow<()>,
) -> Result<Contents, JobFileError> {
    let like_a_zip = begins_like_a_zip(&mut from);
    let allowance = Allowance::of(LARGEST_LIST);
    let mut zip = ZipArchive::new(Metered::new(from, &allowance)).map_err(|cause| match cause {
        ZipError::Io(_) if allowance.overrun() => JobFileError::TooMany,
        ZipError::Io(_) | ZipError::InvalidArchive(_) if !like_a_zip => JobFileError::NotAZip,
        ZipError::Io(_) | ZipError::InvalidArchive(_) => JobFileError::CutOff,
        cause => JobFileError::Inconsistent { cause },
    })?;
    allowance.lift();
    if zip.offset() != 0 {
        return Err(match like_a_zip {
            true => JobFileError::SomethingBefore,
            false => JobFileError::NotAZip,
        });
    }
    let found = look_through(&zip)?;
    zip.validate_header_consistency().map_err(broken)?;
    let mut left = LARGEST_IN_ALL;
    let document = bytes(&mut zip, found.document, DOCUMENT, LARGEST_DOCUMENT, &mut left)?;
    let (mut texts, mut room) = (Vec::new(), LARGEST_TEXTS);
    for (index, name) in found.texts {
        let text = bytes(&mut zip, index, &name, LARGEST_TEXT.min(room), &mut left)?;
        room -= text.len() as u64;
        let text = String::from_utf8(text).map_err(|_| JobFileError::NotText { name: name.clone() })?;
        texts.push((name, text));
    }
    for (index, name) in found.photos {
        let picture = bytes(&mut zip, index, &name.to_string(), LARGEST_PHOTO, &mut left)?;
        if photo(name, picture).is_break() {
            return Err(JobFileError::BrokenOff);
        }
    }
    Ok(Contents {
        document,
        texts,
        ignored: found.ignored,
    })
}

/// Why a job file is not taken.
#[derive(Debug, Error)]
pub enum JobFileError {
    /// Another kind of file.
    #[error("this is not a job file: choose one that was saved by this program, its name ends in .zip")]
    NotAZip,
    /// Its end, where the list of entries stands, is missing.
    #[error("the job file is cut off: copy it again, whole, from the device it came from")]
    CutOff,
    /// The zip begins later than the file: other programs may find another zip in it.
    #[error(
        "there is something before the job file in this file: copy it again from the device it came from"
    )]
    SomethingBefore,
    /// A zip of something else.
    #[error(
        "this is a zip but not a job file, there is no `{DOCUMENT}` in it: choose one that was saved by this program"
    )]
    NoDocument,
    /// Unpacked and packed again with the folder round it.
    #[error(
        "the job file was packed again with a folder round it: take the file as it came, or pack what is in `{folder}` without the folder"
    )]
    InAFolder {
        /// The folder.
        folder: String,
    },
    /// A name that leads out of the folder that it is unpacked into.
    #[error(
        "`{name}` in the file leads out of the folder it is unpacked into: no job file has such a name, so do not unpack it and ask who made it"
    )]
    Climbs {
        /// The name, what cannot be shown written out.
        name: String,
    },
    /// A link to somewhere else.
    #[error(
        "`{name}` in the file is a link to somewhere else: no job file has one, so do not unpack it and ask who made it"
    )]
    Link {
        /// Its name.
        name: String,
    },
    /// Two entries of one name: which one is meant cannot be known.
    #[error("two entries in the file have the same name: save the job file again on the device it came from")]
    Twice,
    /// Locked with a password.
    #[error("`{name}` in the file is locked with a password: save the job file again without one")]
    Locked {
        /// Its name.
        name: String,
    },
    /// Packed in a way that job files are not.
    #[error("`{name}` is packed in a way this program does not read: pack it as an ordinary zip")]
    UnknownPacking {
        /// Its name.
        name: String,
    },
    /// More entries than a job file has, or too long a list of them.
    #[error(
        "there are too many entries or too long names in the file, more than {MOST_ENTRIES} or {LARGEST_LIST} bytes: save the job file again on the device it came from"
    )]
    TooMany,
    /// Larger than a job file can be, as it says or in truth.
    #[error("`{name}` unpacks to more than {limit} bytes: no job file holds that, so ask who made it")]
    TooLarge {
        /// Its name.
        name: String,
        /// The limit.
        limit: u64,
    },
    /// Something in it does not match its checksum, or cannot be read.
    #[error("`{name}` in the file is damaged, so copy the file again from the device it came from: {cause}")]
    Damaged {
        /// Its name.
        name: String,
        /// What went wrong.
        #[source]
        cause: io::Error,
    },
    /// Entries overlap, or the list does not match them.
    #[error("the job file does not hold together, so save it again on the device it came from: {cause}")]
    Inconsistent {
        /// What went wrong.
        #[source]
        cause: ZipError,
    },
    /// A text that is none.
    #[error("`{name}` in the file is not text: save the job file again on the device it came from")]
    NotText {
        /// Its name.
        name: String,
    },
    /// The one who took the photos in broke off.
    #[error("reading the job file was broken off: choose it again")]
    BrokenOff,
}

/// Where things stand in the file.
struct Found {
    document: usize,
    texts: Vec<(usize, String)>,
    photos: Vec<(usize, PhotoName)>,
    ignored: Vec<String>,
}

/// Looks at every entry of the list.
fn look_through<R>(zip: &ZipArchive<R>) -> Result<Found, JobFileError>
where
    R: Read + Seek,
{
    if zip.len() > MOST_ENTRIES {
        return Err(JobFileError::TooMany);
    }
    if zip.has_duplicate_names() {
        return Err(JobFileError::Twice);
    }
    let (mut document, mut folder) = (None, None);
    let (mut texts, mut photos, mut ignored) = (Vec::new(), Vec::new(), Vec::new());
    let (mut names, mut claimed) = (BTreeSet::new(), 0u64);
    for index in 0..zip.len() {
        let entry = zip.by_index_data(index).map_err(broken)?;
        let name = entry.name().map_err(broken)?.into_owned();
        let shown = || name.escape_debug().to_string();
        if names::climbs(&name) || names::climbs(&String::from_utf8_lossy(entry.name_raw())) {
            return Err(JobFileError::Climbs { name: shown() });
        }
        if entry.is_symlink() {
            return Err(JobFileError::Link { name: shown() });
        }
        if !names.insert(name.clone()) {
            return Err(JobFileError::Twice);
        }
        let limit = match names::entry(&name) {
            Entry::Document => {
                document = Some(index);
                LARGEST_DOCUMENT
            }
            Entry::Text(name) => {
                texts.push((index, name));
                LARGEST_TEXT
            }
            Entry::Photo(name) => {
                photos.push((index, name));
                LARGEST_PHOTO
            }
            Entry::Folder => continue,
            Entry::Other => {
                folder = folder.or_else(|| Some(name.strip_suffix(DOCUMENT)?.strip_suffix('/')?.to_owned()));
                ignored.push(name);
                continue;
            }
        };
        if entry.encrypted() {
            return Err(JobFileError::Locked { name });
        }
        if !matches!(
            entry.compression(),
            CompressionMethod::Stored | CompressionMethod::Deflated
        ) {
            return Err(JobFileError::UnknownPacking { name });
        }
        if entry.size() > limit {
            return Err(JobFileError::TooLarge { name, limit });
        }
        claimed += entry.size();
        if claimed > LARGEST_IN_ALL {
            return Err(JobFileError::TooLarge {
                name,
                limit: LARGEST_IN_ALL,
            });
        }
    }
    match (document, folder) {
        (Some(document), _) => Ok(Found {
            document,
            texts,
            photos,
            ignored,
        }),
        (None, Some(folder)) => Err(JobFileError::InAFolder { folder }),
        (None, None) => Err(JobFileError::NoDocument),
    }
}

/// The contents of one entry. What it claims was looked at before; what comes out is counted here, up to one over.
fn bytes<R: Read + Seek>(
    zip: &mut ZipArchive<R>,
    index: usize,
    name: &str,
    limit: u64,
    left: &mut u64,
) -> Result<Vec<u8>, JobFileError> {
    let limit = limit.min(*left);
    let mut entry: ZipFile<'_, R> = zip.by_index(index).map_err(broken)?;
    let mut bytes = Vec::new();
    entry
        .by_ref()
        .take(limit + 1)
        .read_to_end(&mut bytes)
        .map_err(|cause| JobFileError::Damaged {
            name: name.to_owned(),
            cause,
        })?;
    let length = bytes.len() as u64;
    if length > limit {
        return Err(JobFileError::TooLarge {
            name: name.to_owned(),
            limit,
        });
    }
    *left -= length;
    Ok(bytes)
}

/// Whether the first bytes are those of a zip, so that a missing end can be told from another kind of file.
fn begins_like_a_zip<R: Read + Seek>(from: &mut R) -> bool {
    let mut first = [0; 4];
    let read = from
        .seek(SeekFrom::Start(0))
        .and_then(|_| from.read_exact(&mut first));
    read.is_ok() && matches!(&first, b"PK\x03\x04" | b"PK\x05\x06")
}

fn broken(cause: ZipError) -> JobFileError {
    JobFileError::Inconsistent { cause }
}
