//! What is kept of a photo's EXIF: which way is up, and when it was taken.
//!
//! Two tags are read and two are written, so this is done here, in bounded time and memory. A general EXIF library
//! lists every field of every directory: directories that point into each other make millions of fields out of 64 kB.
//!
//! Tags, types and orientation values: CIPA DC-008 (Exif 2.32), 4.6.2, 4.6.4 A and 4.6.5 F; from memory.

use image::metadata::Orientation;

const ORIENTATION: u16 = 0x0112;
const EXIF_DIRECTORY: u16 = 0x8769;
const EXIF_VERSION: u16 = 0x9000;
const DATE_TIME_ORIGINAL: u16 = 0x9003;

const ASCII: u16 = 2;
const SHORT: u16 = 3;
const LONG: u16 = 4;
const UNDEFINED: u16 = 7;

/// Which way is up, and when the photo was taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Note {
    pub(super) orientation: Orientation,
    /// `YYYY:MM:DD HH:MM:SS`, as EXIF has it.
    taken: Option<[u8; 19]>,
}

impl Note {
    /// Of a photo that says nothing.
    pub(super) const NONE: Note = Note {
        orientation: Orientation::NoTransforms,
        taken: None,
    };

    /// Reads what is kept, from a TIFF header on. What cannot be read is not there.
    pub(super) fn read(exif: &[u8]) -> Note {
        // Some writers of WebP and PNG leave JPEG's prefix in place.
        let tiff = exif.strip_prefix(b"Exif\0\0").unwrap_or(exif);
        let Some(tiff) = Tiff::open(tiff) else {
            return Note::NONE;
        };
        let orientation = tiff
            .entry(tiff.first, ORIENTATION)
            .filter(|entry| entry.kind == SHORT && entry.count == 1)
            .and_then(|entry| tiff.short(entry.value_at))
            .and_then(|value| Orientation::from_exif(value.min(255) as u8));
        let taken = tiff
            .entry(tiff.first, EXIF_DIRECTORY)
            .filter(|entry| entry.kind == LONG && entry.count == 1)
            .and_then(|entry| tiff.long(entry.value_at))
            .and_then(|directory| tiff.entry(directory, DATE_TIME_ORIGINAL))
            .filter(|entry| entry.kind == ASCII && entry.count >= 19)
            .and_then(|entry| tiff.long(entry.value_at))
            .and_then(|at| tiff.array(at))
            .filter(is_date);
        Note {
            orientation: orientation.unwrap_or(Orientation::NoTransforms),
            taken,
        }
    }

    /// An EXIF block with this and nothing else, from its TIFF header on; `None` where there is nothing to say.
    pub(super) fn write(&self) -> Option<Vec<u8>> {
        let turned = self.orientation != Orientation::NoTransforms;
        if !turned && self.taken.is_none() {
            return None;
        }
        let entries = u16::from(turned) + u16::from(self.taken.is_some());
        let mut out = b"MM\0*\0\0\0\x08".to_vec();
        out.extend(entries.to_be_bytes());
        if turned {
            let value = u32::from(self.orientation.to_exif()) << 16;
            put_entry(&mut out, ORIENTATION, SHORT, 1, value);
        }
        if let Some(taken) = self.taken {
            let directory = out.len() as u32 + 12 + 4;
            put_entry(&mut out, EXIF_DIRECTORY, LONG, 1, directory);
            out.extend([0; 4]); // no further directory
            out.extend(2u16.to_be_bytes());
            put_entry(&mut out, EXIF_VERSION, UNDEFINED, 4, u32::from_be_bytes(*b"0232"));
            let text = out.len() as u32 + 12 + 4;
            put_entry(&mut out, DATE_TIME_ORIGINAL, ASCII, 20, text);
            out.extend([0; 4]);
            out.extend(taken);
            out.push(0);
        } else {
            out.extend([0; 4]);
        }
        Some(out)
    }

    /// When it was taken, as `2026-04-03 10:12:00`.
    pub(super) fn taken_text(&self) -> Option<String> {
        let mut text = String::from_utf8(self.taken?.to_vec()).ok()?;
        text.replace_range(4..5, "-");
        text.replace_range(7..8, "-");
        Some(text)
    }
}

/// Only a date leaves: whatever else a writer put into the field could be a place.
fn is_date(text: &[u8; 19]) -> bool {
    let shape = b"dddd:dd:dd dd:dd:dd";
    let fits = text.iter().zip(shape).all(|(byte, wanted)| match wanted {
        b'd' => byte.is_ascii_digit(),
        _ => byte == wanted,
    });
    let two = |at: usize| (text[at].wrapping_sub(b'0')) * 10 + text[at + 1].wrapping_sub(b'0');
    fits && (1..=12).contains(&two(5))
        && (1..=31).contains(&two(8))
        && two(11) < 24
        && two(14) < 60
        && two(17) <= 60
}

fn put_entry(out: &mut Vec<u8>, tag: u16, kind: u16, count: u32, value: u32) {
    out.extend(tag.to_be_bytes());
    out.extend(kind.to_be_bytes());
    out.extend(count.to_be_bytes());
    out.extend(value.to_be_bytes());
}

/// A TIFF structure, read where it is asked.
struct Tiff<'a> {
    bytes: &'a [u8],
    little: bool,
    first: u32,
}

struct Entry {
    kind: u16,
    count: u32,
    value_at: u32,
}

impl<'a> Tiff<'a> {
    fn open(bytes: &'a [u8]) -> Option<Tiff<'a>> {
        let little = match bytes.get(..4)? {
            b"II*\0" => true,
            b"MM\0*" => false,
            _ => return None,
        };
        let mut tiff = Tiff {
            bytes,
            little,
            first: 0,
        };
        tiff.first = tiff.long(4)?;
        Some(tiff)
    }

    /// The first entry of a directory with this tag.
    fn entry(&self, directory: u32, tag: u16) -> Option<Entry> {
        let count = u32::from(self.short(directory)?);
        (0..count)
            .map_while(|i| {
                let at = directory.checked_add(2 + 12 * i)?;
                Some((self.short(at)?, at))
            })
            .find(|(found, _)| *found == tag)
            .and_then(|(_, at)| {
                Some(Entry {
                    kind: self.short(at.checked_add(2)?)?,
                    count: self.long(at.checked_add(4)?)?,
                    value_at: at.checked_add(8)?,
                })
            })
    }

    fn short(&self, at: u32) -> Option<u16> {
        let bytes = self.array(at)?;
        Some(if self.little {
            u16::from_le_bytes(bytes)
        } else {
            u16::from_be_bytes(bytes)
        })
    }

    fn long(&self, at: u32) -> Option<u32> {
        let bytes = self.array(at)?;
        Some(if self.little {
            u32::from_le_bytes(bytes)
        } else {
            u32::from_be_bytes(bytes)
        })
    }

    fn array<const N: usize>(&self, at: u32) -> Option<[u8; N]> {
        let at = usize::try_from(at).ok()?;
        self.bytes.get(at..at.checked_add(N)?)?.try_into().ok()
    }
}
