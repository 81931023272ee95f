//! Photos: taken in, turned upright, made small, and stripped of where they were taken before they leave.
//!
//! Bytes in, bytes out. [`take_in`] looks at a photo once and gives its name, its size, when it was taken and two
//! small pictures of it. [`to_leave`] gives the photo as it may be handed to anybody.
//!
//! What a photo is, its content says, never its name. JPEG, PNG and WebP are read; what else is known by its content
//! is refused with what to do about it ([`Foreign`]).
//!
//! A photo whose file does not reach its own end is refused, however much of it could still be shown: half a photo that
//! looks like a whole one hides a point. Damage within the compressed pixels is noticed in PNG, which carries sums. In
//! JPEG and lossy WebP it is often only seen: where compressed pixels stop early and the end mark stands all the same,
//! the JPEG decoder fills the rest with grey and says nothing, in its strict mode too. What is noticed here is a JPEG
//! that has fewer bits than blocks of pixels.

mod fault;
mod id;
mod jpeg;
mod kind;
mod note;
mod png;
mod small;
mod webp;

#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;

pub use fault::PhotoError;
pub use id::{PhotoId, PhotoIdError};
pub use kind::{Foreign, MediaType};

use kind::kind_of;
use note::Note;

/// The largest photo that is taken, in bytes: 48 MiB.
pub const MAX_BYTES: usize = 48 << 20;

/// The most pixels a photo may have: 64 million.
pub const MAX_PIXELS: u64 = 64_000_000;

/// The longest edge a photo may have, in pixels.
pub const MAX_EDGE: u32 = 30_000;

/// The longest edge of [`Photo::small`], in pixels.
pub const SMALL_EDGE: u32 = 256;

/// The longest edge of [`Photo::large`], in pixels.
pub const LARGE_EDGE: u32 = 1280;

/// What is known of a photo once it was taken in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// Its name on every device: the hash of the original bytes.
    pub id: PhotoId,
    /// What it is, by its content.
    pub media_type: MediaType,
    /// In pixels, upright.
    pub width: u32,
    /// In pixels, upright.
    pub height: u32,
    /// When the camera's clock said it was taken, as `2026-04-03 10:12:00`; without a time zone, which would tell
    /// roughly where. `None` where the photo does not say so in that form.
    pub taken: Option<String>,
    /// A JPEG, upright, its longest edge [`SMALL_EDGE`] pixels or fewer, without any metadata.
    pub small: Vec<u8>,
    /// A JPEG, upright, its longest edge [`LARGE_EDGE`] pixels or fewer, without any metadata.
    pub large: Vec<u8>,
    /// BLAKE3 of what [`to_leave`] makes of the original, so that whoever gets that can check it. Taking in what left
    /// gives the same `leaves_as`, though another `id`.
    pub leaves_as: [u8; 32],
}

/// Takes a photo in: checks its size before anything is unpacked, decodes it, turns it upright, and makes it small.
///
/// Of an animation the first picture counts. What shines through is laid over white. The small pictures keep no
/// colour profile: a photo in wide-gamut colours looks a little paler in them. Their bytes may differ from one kind of
/// processor to another; `id` and `leaves_as` do not.
///
/// A photo of [`MAX_PIXELS`] takes up to 600 MB of memory while it is decoded, one of 12 million up to 200 MB.
///
/// # Errors
/// A file that is no JPEG, PNG or WebP, is larger than the limits, is cut off or damaged, or is of a kind that the
/// decoder does not know. The words say what to do.
///
/// ```
/// use ledger::photo::{PhotoError, take_in};
///
/// let refused = take_in(b"GIF89a...").unwrap_err();
/// assert_eq!(
///     refused.to_string(),
///     "this is a GIF picture, which cannot be read here: save it as JPEG or PNG and choose that"
/// );
/// ```
pub fn take_in(bytes: &[u8]) -> Result<Photo, PhotoError> {
    let (media_type, stripped) = strip(bytes)?;
    // The decoder sees what may leave and nothing else: what was stripped cannot harm it, and what leaves decodes to
    // the very same pixels.
    let picture = small::decode(media_type, &stripped.bytes)?;
    let upright = stripped.note.orientation;
    let (width, height) = match small::lies_down(upright) {
        true => (stripped.height, stripped.width),
        false => (stripped.width, stripped.height),
    };
    let large = small::shrink(&picture, LARGE_EDGE);
    let small = small::shrink(&large, SMALL_EDGE);
    Ok(Photo {
        id: PhotoId::of(bytes),
        media_type,
        width,
        height,
        taken: stripped.note.taken_text(),
        small: small::to_jpeg(small, upright),
        large: small::to_jpeg(large, upright),
        leaves_as: *blake3::hash(&stripped.bytes).as_bytes(),
    })
}

/// The photo as it may leave the device: the same pixels, their compressed bytes copied one for one, and nothing that
/// could tell where it was taken.
///
/// Kept is what pixels need to look the same elsewhere (tables, transparency, the colour profile, which way is up) and
/// when the photo was taken. Everything else goes, known or not: the rest of EXIF with positions, maker notes and its
/// own small picture, XMP, IPTC, comments, further pictures, and whatever follows the end of the picture, such as a
/// video. The same bytes give the same bytes; what left may leave again, unchanged.
///
/// What can be *seen* in the photo, and what its maker hid in a colour profile or in the pixels, stays.
///
/// # Errors
/// Like [`take_in`], except that nothing is decoded: damage in the compressed pixels is not noticed here.
pub fn to_leave(bytes: &[u8]) -> Result<Vec<u8>, PhotoError> {
    strip(bytes).map(|(_, stripped)| stripped.bytes)
}

/// A photo taken apart and put together again without what must not leave.
struct Stripped {
    /// As stored, before it is turned upright.
    width: u32,
    height: u32,
    note: Note,
    bytes: Vec<u8>,
}

fn strip(bytes: &[u8]) -> Result<(MediaType, Stripped), PhotoError> {
    if bytes.len() > MAX_BYTES {
        return Err(PhotoError::TooManyBytes { bytes: bytes.len() });
    }
    let media_type = kind_of(bytes)?;
    let stripped = match media_type {
        MediaType::Jpeg => jpeg::strip(bytes),
        MediaType::Png => png::strip(bytes),
        MediaType::Webp => webp::strip(bytes),
    }?;
    Ok((media_type, stripped))
}

/// Gives the size back where it is within the limits. For every header, as soon as it is read.
fn within_limits(width: u32, height: u32) -> Result<(u32, u32), PhotoError> {
    match width.max(height) > MAX_EDGE || u64::from(width) * u64::from(height) > MAX_PIXELS {
        true => Err(PhotoError::TooManyPixels { width, height }),
        false => Ok((width, height)),
    }
}
