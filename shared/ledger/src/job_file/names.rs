//! Names inside a job file: what they must look like, and what they must never look like.

use std::fmt;

/// The name of a photo: its hash and what kind of picture it is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PhotoName {
    hash: String,
    extension: &'static str,
}

impl PhotoName {
    /// A name of 64 lower-case hexadecimal digits and `jpg`, `png` or `webp`; `None` for any other.
    ///
    /// ```
    /// use ledger::job_file::PhotoName;
    /// let name = PhotoName::new(&"0f".repeat(32), "jpg").expect("64 digits and a known ending");
    /// assert_eq!(name.to_string(), format!("{}.jpg", "0f".repeat(32)));
    /// assert_eq!(PhotoName::new("front sill", "jpg"), None);
    /// ```
    #[must_use]
    pub fn new(hash: &str, extension: &str) -> Option<Self> {
        let digits = hash.len() == 64 && hash.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
        let extension = ["jpg", "png", "webp"]
            .into_iter()
            .find(|known| *known == extension)?;
        digits.then(|| Self {
            hash: hash.to_owned(),
            extension,
        })
    }

    /// Its 64 hexadecimal digits.
    #[must_use]
    pub fn hash(&self) -> &str {
        &self.hash
    }

    /// `jpg`, `png` or `webp`.
    #[must_use]
    pub fn extension(&self) -> &'static str {
        self.extension
    }
}

impl fmt::Display for PhotoName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.hash, self.extension)
    }
}

/// Whether a text may have this name: ASCII letters, digits, `-` and `_`, then `.csv`, `.txt` or `.json`; 100
/// characters at most.
#[must_use]
pub fn text_name(name: &str) -> bool {
    let Some((stem, "csv" | "txt" | "json")) = name.rsplit_once('.') else {
        return false;
    };
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'_';
    !stem.is_empty() && name.len() <= 100 && stem.bytes().all(plain)
}

/// What an entry is, by its name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Entry {
    Document,
    Text(String),
    Photo(PhotoName),
    Folder,
    /// Not of this program.
    Other,
}

/// What an entry of this name is.
pub(super) fn entry(name: &str) -> Entry {
    if name == super::DOCUMENT {
        return Entry::Document;
    }
    if text_name(name) {
        return Entry::Text(name.to_owned());
    }
    if name.ends_with('/') {
        return Entry::Folder;
    }
    name.strip_prefix(super::PHOTOS)
        .and_then(|name| name.strip_prefix('/'))
        .and_then(|name| name.rsplit_once('.'))
        .and_then(|(hash, extension)| PhotoName::new(hash, extension))
        .map_or(Entry::Other, Entry::Photo)
}

/// A name that, unpacked by another program, could land outside the folder that was meant, or that hides what it is.
pub(super) fn climbs(name: &str) -> bool {
    let drive = name.as_bytes().get(1) == Some(&b':');
    let hidden = name.chars().any(|c| c.is_control() || c == '\\');
    let above = name.split('/').any(|step| step == ".." || step == ".");
    name.is_empty() || name.starts_with('/') || drive || hidden || above
}
