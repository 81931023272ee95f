//! PNG taken apart: the chunks that pixels need, copied byte for byte.
//!
//! Chunks: W3C Portable Network Graphics, third edition, 5.3, 5.6 and 11.

use super::fault::{Of, PhotoError};
use super::note::Note;
use super::{MediaType, Stripped, within_limits};

const PNG: Of = Of(MediaType::Png);
const SIGNATURE: &[u8; 8] = b"\x89PNG\r\n\x1a\n";

/// What pixels need, in their colours: everything but text, time, EXIF and what nobody knows.
const KEPT: [&[u8; 4]; 18] = [
    b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"cHRM", b"gAMA", b"iCCP", b"sRGB", b"sBIT", b"cICP",
    b"mDCV", b"cLLI", b"bKGD", b"pHYs", b"acTL", b"fcTL", b"fdAT",
];

/// Takes a PNG apart and puts it together without what must not leave.
pub(super) fn strip(bytes: &[u8]) -> Result<Stripped, PhotoError> {
    let mut rest = bytes
        .strip_prefix(SIGNATURE)
        .ok_or_else(|| PNG.damaged("no signature"))?;
    let mut size = None;
    let mut exif = None;
    let mut has_pixels = false;
    let mut head = SIGNATURE.to_vec();
    let mut kept: Vec<u8> = Vec::with_capacity(bytes.len());
    loop {
        let chunk = Chunk::read(&mut rest)?;
        match (&chunk.name, size) {
            (b"IHDR", None) => {
                size = Some(size_of(chunk.content)?);
                chunk.checked()?;
                head.extend(chunk.whole);
                continue;
            }
            (b"IHDR", _) => return Err(PNG.damaged("two headers")),
            (_, None) => return Err(PNG.damaged("the header does not come first")),
            (b"eXIf", _) => {
                exif.get_or_insert(chunk.content);
            }
            _ => {}
        }
        if KEPT.contains(&&chunk.name) {
            chunk.checked()?;
            has_pixels |= &chunk.name == b"IDAT";
            kept.extend(chunk.whole);
        } else if chunk.name[0].is_ascii_uppercase() {
            // Critical (5.4): without knowing it the picture cannot be shown right.
            return Err(PNG.unusual("a critical chunk that is not known"));
        }
        if &chunk.name == b"IEND" {
            break;
        }
    }
    let (width, height) = size.ok_or_else(|| PNG.damaged("no header"))?;
    if !has_pixels {
        return Err(PNG.damaged("no pixels"));
    }
    let note = exif.map_or(Note::NONE, Note::read);

    let mut out = head;
    if let Some(exif) = note.write() {
        put_chunk(&mut out, b"eXIf", &exif);
    }
    out.extend(kept);
    Ok(Stripped {
        width,
        height,
        note,
        bytes: out,
    })
}

fn put_chunk(out: &mut Vec<u8>, name: &[u8; 4], content: &[u8]) {
    let length = u32::try_from(content.len()).expect("a note is some tens of bytes long");
    out.extend(length.to_be_bytes());
    let start = out.len();
    out.extend(name);
    out.extend(content);
    let sum = crc32fast::hash(&out[start..]);
    out.extend(sum.to_be_bytes());
}

/// 11.2.1: width, height, and what decides how the pixels are stored.
fn size_of(header: &[u8]) -> Result<(u32, u32), PhotoError> {
    let &[w3, w2, w1, w0, h3, h2, h1, h0, _, _, _, _, _] = header else {
        return Err(PNG.damaged("a header of another length"));
    };
    let (width, height) = (
        u32::from_be_bytes([w3, w2, w1, w0]),
        u32::from_be_bytes([h3, h2, h1, h0]),
    );
    match width == 0 || height == 0 {
        true => Err(PNG.damaged("a picture of no pixels")),
        false => within_limits(width, height),
    }
}

struct Chunk<'a> {
    name: [u8; 4],
    content: &'a [u8],
    /// With length, name and sum.
    whole: &'a [u8],
}

impl<'a> Chunk<'a> {
    /// The chunk at the beginning of `rest`, which is moved past it.
    fn read(rest: &mut &'a [u8]) -> Result<Chunk<'a>, PhotoError> {
        let all: &'a [u8] = rest;
        let (length, after) = all.split_first_chunk::<4>().ok_or_else(|| PNG.cut_off())?;
        let (name, after) = after.split_first_chunk::<4>().ok_or_else(|| PNG.cut_off())?;
        let length = u32::from_be_bytes(*length) as usize;
        if !name.iter().all(u8::is_ascii_alphabetic) {
            return Err(PNG.damaged("a chunk without a name"));
        }
        // Without overflow on 32 bits: the length is compared with what is there.
        if after.len() < 4 || after.len() - 4 < length {
            return Err(PNG.cut_off());
        }
        let (whole, left) = all.split_at(8 + length + 4);
        *rest = left;
        Ok(Chunk {
            name: *name,
            content: &after[..length],
            whole,
        })
    }

    /// 5.5: the sum covers the name and the content.
    fn checked(&self) -> Result<(), PhotoError> {
        let (summed, sum) = self.whole[4..].split_at(4 + self.content.len());
        match crc32fast::hash(summed).to_be_bytes() == *sum {
            true => Ok(()),
            false => {
                let name = String::from_utf8_lossy(&self.name);
                Err(PNG.damaged(format!("the sum of {name} does not fit")))
            }
        }
    }
}
