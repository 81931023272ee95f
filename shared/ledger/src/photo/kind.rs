//! What a file is, told by its content.

use std::fmt;

use super::fault::PhotoError;

/// A kind of photo that is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MediaType {
    /// JPEG, ITU-T T.81.
    Jpeg,
    /// PNG, W3C.
    Png,
    /// WebP, RFC 9649.
    Webp,
}

impl MediaType {
    /// The ending of a file of this kind, without the dot.
    #[must_use]
    pub fn extension(self) -> &'static str {
        match self {
            MediaType::Jpeg => "jpg",
            MediaType::Png => "png",
            MediaType::Webp => "webp",
        }
    }

    /// The media type, as in a Content-Type.
    #[must_use]
    pub fn mime(self) -> &'static str {
        match self {
            MediaType::Jpeg => "image/jpeg",
            MediaType::Png => "image/png",
            MediaType::Webp => "image/webp",
        }
    }
}

impl fmt::Display for MediaType {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            MediaType::Jpeg => "JPEG",
            MediaType::Png => "PNG",
            MediaType::Webp => "WebP",
        })
    }
}

/// A kind of file that is known and not taken. Its words say what to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Foreign {
    /// HEIC or HEIF.
    Heic,
    /// AVIF.
    Avif,
    /// JPEG XL.
    JpegXl,
    /// JPEG 2000.
    Jpeg2000,
    /// GIF.
    Gif,
    /// TIFF, and the raw photos that are built like it.
    Tiff,
    /// BMP.
    Bmp,
    /// PDF.
    Pdf,
    /// A video.
    Video,
    /// A zip file, and the documents that are zip files.
    Zip,
    /// Text, among it SVG and web pages.
    Text,
    /// Nothing known.
    Unknown,
}

impl fmt::Display for Foreign {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Foreign::Heic => {
                "this is a HEIC photo, which cannot be read here: in the phone's camera settings choose the most \
                 compatible format (JPEG) from now on, and send this one as JPEG"
            }
            Foreign::Avif => {
                "this is an AVIF picture, which cannot be read here: save it as JPEG and choose that"
            }
            Foreign::JpegXl => {
                "this is a JPEG XL picture, which cannot be read here: save it as an ordinary JPEG and choose that"
            }
            Foreign::Jpeg2000 => {
                "this is a JPEG 2000 picture, which cannot be read here: save it as an ordinary JPEG and choose that"
            }
            Foreign::Gif => {
                "this is a GIF picture, which cannot be read here: save it as JPEG or PNG and choose that"
            }
            Foreign::Tiff => {
                "this is a TIFF or raw photo, which cannot be read here: set the camera to JPEG from now on, and \
                 save this one as JPEG"
            }
            Foreign::Bmp => "this is a BMP picture, which cannot be read here: save it as PNG and choose that",
            Foreign::Pdf => "this is a PDF document, not a photo: save the page as JPEG or PNG and choose that",
            Foreign::Video => "this is a video, not a photo: save one picture of it as JPEG and choose that",
            Foreign::Zip => "this is a packed file, not a photo: unpack it and choose the photo in it",
            Foreign::Text => "this is text, not a photo: choose a photo in JPEG, PNG or WebP",
            Foreign::Unknown => "this is no photo that can be read here: choose one in JPEG, PNG or WebP",
        })
    }
}

/// The kind of a file.
///
/// Signatures of JPEG: ITU-T T.81 B.1.1.3; PNG: W3C PNG 5.2; WebP: RFC 9649 2.4. Those of what is refused are from
/// memory: a file that is not recognised is refused all the same, with fewer words.
pub(super) fn kind_of(bytes: &[u8]) -> Result<MediaType, PhotoError> {
    if bytes.is_empty() {
        return Err(PhotoError::Empty);
    }
    if bytes.starts_with(b"\xff\xd8") {
        return Ok(MediaType::Jpeg);
    }
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        return Ok(MediaType::Png);
    }
    if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        return Ok(MediaType::Webp);
    }
    Err(PhotoError::Foreign(foreign(bytes)))
}

fn foreign(bytes: &[u8]) -> Foreign {
    if bytes.get(4..8) == Some(b"ftyp") {
        return foreign_by_brands(bytes);
    }
    const STARTS: [(&[u8], Foreign); 16] = [
        (b"\xff\x0a", Foreign::JpegXl),
        (b"\0\0\0\x0cJXL ", Foreign::JpegXl),
        (b"\0\0\0\x0cjP  ", Foreign::Jpeg2000),
        (b"\xff\x4f\xff\x51", Foreign::Jpeg2000),
        (b"GIF87a", Foreign::Gif),
        (b"GIF89a", Foreign::Gif),
        (b"II*\0", Foreign::Tiff),
        (b"MM\0*", Foreign::Tiff),
        (b"II+\0", Foreign::Tiff),
        (b"MM\0+", Foreign::Tiff),
        (b"BM", Foreign::Bmp),
        (b"%PDF-", Foreign::Pdf),
        (b"\x1a\x45\xdf\xa3", Foreign::Video),
        (b"\0\0\x01\xba", Foreign::Video),
        (b"PK\x03\x04", Foreign::Zip),
        (b"PK\x05\x06", Foreign::Zip),
    ];
    if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"AVI ") {
        return Foreign::Video;
    }
    // Text first: "BM" may begin a word.
    if is_text(bytes) && !bytes.starts_with(b"%PDF-") && !bytes.starts_with(b"GIF8") {
        return Foreign::Text;
    }
    match STARTS.iter().find(|(start, _)| bytes.starts_with(start)) {
        Some((_, kind)) => *kind,
        None => Foreign::Unknown,
    }
}

/// The brands of an ISO base media file: the major one at 8, then a version, then the compatible ones.
fn foreign_by_brands(bytes: &[u8]) -> Foreign {
    let size = bytes
        .iter()
        .take(4)
        .fold(0, |size, byte| size << 8 | usize::from(*byte));
    let list = &bytes[8..size.clamp(8, 256).min(bytes.len())];
    let has = |wanted: &[&[u8; 4]]| {
        list.chunks_exact(4)
            .any(|brand| wanted.iter().any(|w| brand == *w))
    };
    if has(&[b"avif", b"avis"]) {
        Foreign::Avif
    } else if has(&[
        b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"hevm", b"hevs", b"mif1", b"msf1",
    ]) {
        Foreign::Heic
    } else if has(&[b"crx "]) {
        Foreign::Tiff
    } else {
        Foreign::Video
    }
}

/// Whether the beginning is UTF-8 without control characters other than white space.
fn is_text(bytes: &[u8]) -> bool {
    let start = &bytes[..bytes.len().min(512)];
    let text = match std::str::from_utf8(start) {
        Ok(text) => text,
        // A character that the cut went through.
        Err(error) if error.error_len().is_none() && start.len() < bytes.len() => {
            std::str::from_utf8(&start[..error.valid_up_to()]).unwrap_or_default()
        }
        Err(_) => return false,
    };
    !text.chars().any(|c| c.is_control() && !c.is_whitespace())
}
