//! WebP taken apart: the chunks that pixels need, copied byte for byte.
//!
//! Container: RFC 9649 section 2. Bitstream headers: RFC 6386 section 9.1 and RFC 9649 section 3.4.

use super::fault::{Of, PhotoError};
use super::note::Note;
use super::{MediaType, Stripped, within_limits};

const WEBP: Of = Of(MediaType::Webp);

// The flags of VP8X (RFC 9649 2.7.1).
const PROFILE: u8 = 0x20;
const ALPHA: u8 = 0x10;
const EXIF: u8 = 0x08;
const ANIMATION: u8 = 0x02;

/// Takes a WebP apart and puts it together without what must not leave.
pub(super) fn strip(bytes: &[u8]) -> Result<Stripped, PhotoError> {
    let (head, rest) = bytes.split_first_chunk::<12>().ok_or_else(|| WEBP.cut_off())?;
    let size = u32::from_le_bytes([head[4], head[5], head[6], head[7]]) as usize;
    let size = size
        .checked_sub(4)
        .ok_or_else(|| WEBP.damaged("a container of no size"))?;
    let mut inside = rest.get(..size).ok_or_else(|| WEBP.cut_off())?;
    let first = Chunk::read(&mut inside)?;
    match &first.name {
        b"VP8X" => strip_extended(first.content, inside),
        // The simple form is one chunk and nothing more (2.5 and 2.6).
        b"VP8 " | b"VP8L" => {
            let (width, height) = bitstream_size(&first)?;
            let mut chunks = Vec::with_capacity(first.content.len() + 9);
            put_chunk(&mut chunks, &first.name, first.content);
            Ok(Stripped {
                width,
                height,
                note: Note::NONE,
                bytes: container(&chunks),
            })
        }
        _ => Err(WEBP.damaged("the picture does not come first")),
    }
}

/// The extended form (2.7): a header, then chunks for profile, animation, pixels and metadata.
fn strip_extended(header: &[u8], mut inside: &[u8]) -> Result<Stripped, PhotoError> {
    let &[flags, _, _, _, w0, w1, w2, h0, h1, h2, ..] = header else {
        return Err(WEBP.damaged("a header that is too short"));
    };
    let width = 1 + u32::from_le_bytes([w0, w1, w2, 0]);
    let height = 1 + u32::from_le_bytes([h0, h1, h2, 0]);
    within_limits(width, height)?;
    let animated = flags & ANIMATION != 0;
    let mut exif = None;
    let mut has_profile = false;
    let mut has_pixels = false;
    let mut kept = Vec::with_capacity(inside.len());
    while !inside.is_empty() {
        let chunk = Chunk::read(&mut inside)?;
        match &chunk.name {
            b"ICCP" if !has_profile => {
                has_profile = true;
                put_chunk(&mut kept, b"ICCP", chunk.content);
            }
            b"EXIF" => {
                exif.get_or_insert(chunk.content);
            }
            b"ANIM" if animated => put_chunk(&mut kept, b"ANIM", chunk.content),
            b"ANMF" if animated => {
                put_chunk(&mut kept, b"ANMF", &strip_frame(chunk.content, (width, height))?);
                has_pixels = true;
            }
            b"ALPH" if !animated => put_chunk(&mut kept, b"ALPH", chunk.content),
            b"VP8 " | b"VP8L" if !animated => {
                if bitstream_size(&chunk)? != (width, height) {
                    return Err(WEBP.damaged("two sizes of the picture"));
                }
                put_chunk(&mut kept, &chunk.name, chunk.content);
                has_pixels = true;
            }
            _ => {}
        }
    }
    if !has_pixels {
        return Err(WEBP.damaged("no pixels"));
    }
    let note = exif.map_or(Note::NONE, Note::read);
    let exif = note.write();

    let mut flags = flags & (ALPHA | ANIMATION);
    flags |= if has_profile { PROFILE } else { 0 };
    flags |= if exif.is_some() { EXIF } else { 0 };
    let mut chunks = Vec::with_capacity(kept.len() + 128);
    put_chunk(&mut chunks, b"VP8X", &[flags, 0, 0, 0, w0, w1, w2, h0, h1, h2]);
    chunks.extend(kept);
    if let Some(exif) = exif {
        put_chunk(&mut chunks, b"EXIF", &exif);
    }
    Ok(Stripped {
        width,
        height,
        note,
        bytes: container(&chunks),
    })
}

/// A frame of an animation (2.7.1.2): where it goes and how large it is, then chunks like those of a picture.
fn strip_frame(content: &[u8], canvas: (u32, u32)) -> Result<Vec<u8>, PhotoError> {
    let (place, mut inside) = content
        .split_first_chunk::<16>()
        .ok_or_else(|| WEBP.damaged("a frame without a place"))?;
    let number = |at: usize| u32::from_le_bytes([place[at], place[at + 1], place[at + 2], 0]);
    let (width, height) = (1 + number(6), 1 + number(9));
    if 2 * number(0) + width > canvas.0 || 2 * number(3) + height > canvas.1 {
        return Err(WEBP.damaged("a frame that reaches out of the picture"));
    }
    let mut kept = place.to_vec();
    while !inside.is_empty() {
        let chunk = Chunk::read(&mut inside)?;
        match &chunk.name {
            b"ALPH" => put_chunk(&mut kept, b"ALPH", chunk.content),
            b"VP8 " | b"VP8L" => {
                if bitstream_size(&chunk)? != (width, height) {
                    return Err(WEBP.damaged("two sizes of a frame"));
                }
                put_chunk(&mut kept, &chunk.name, chunk.content);
            }
            _ => {}
        }
    }
    Ok(kept)
}

/// The size that the compressed pixels name. The decoder makes room by it and trusts it, so it must not be another
/// than the container's.
fn bitstream_size(chunk: &Chunk<'_>) -> Result<(u32, u32), PhotoError> {
    let (width, height) = match (&chunk.name, chunk.content) {
        (b"VP8 ", [_, _, _, 0x9d, 0x01, 0x2a, w0, w1, h0, h1, ..]) => {
            let fourteen_bits = |low, high| u32::from(u16::from_le_bytes([low, high]) & 0x3fff);
            (fourteen_bits(*w0, *w1), fourteen_bits(*h0, *h1))
        }
        (b"VP8L", [0x2f, a, b, c, d, ..]) => {
            let bits = u32::from_le_bytes([*a, *b, *c, *d]);
            (1 + (bits & 0x3fff), 1 + (bits >> 14 & 0x3fff))
        }
        _ => return Err(WEBP.damaged("pixels without a size")),
    };
    match width == 0 || height == 0 {
        true => Err(WEBP.damaged("a picture of no pixels")),
        false => within_limits(width, height),
    }
}

fn container(chunks: &[u8]) -> Vec<u8> {
    let size = u32::try_from(chunks.len() + 4).expect("chunks came out of a file of limited size");
    let mut out = Vec::with_capacity(chunks.len() + 12);
    out.extend(b"RIFF");
    out.extend(size.to_le_bytes());
    out.extend(b"WEBP");
    out.extend(chunks);
    out
}

fn put_chunk(out: &mut Vec<u8>, name: &[u8; 4], content: &[u8]) {
    let size = u32::try_from(content.len()).expect("content came out of a file of limited size");
    out.extend(name);
    out.extend(size.to_le_bytes());
    out.extend(content);
    if content.len() % 2 == 1 {
        out.push(0);
    }
}

struct Chunk<'a> {
    name: [u8; 4],
    content: &'a [u8],
}

impl<'a> Chunk<'a> {
    /// The chunk at the beginning of `rest`, which is moved past it and its padding.
    fn read(rest: &mut &'a [u8]) -> Result<Chunk<'a>, PhotoError> {
        let all: &'a [u8] = rest;
        let (name, after) = all.split_first_chunk::<4>().ok_or_else(|| WEBP.cut_off())?;
        let (size, after) = after.split_first_chunk::<4>().ok_or_else(|| WEBP.cut_off())?;
        let size = u32::from_le_bytes(*size) as usize;
        let content = after.get(..size).ok_or_else(|| WEBP.cut_off())?;
        // The last chunk's padding is left out by some.
        *rest = after.get(size + size % 2..).unwrap_or_default();
        Ok(Chunk { name: *name, content })
    }
}
