//! JPEG taken apart: the segments that pixels need, copied byte for byte.
//!
//! Done here because the library for it keeps everything from the first scan to the end of the file as one piece, with
//! later segments and what follows the picture in it; that is where phones put videos and second pictures.
//!
//! Markers: ITU-T T.81, Annex B. JFIF: ITU-T T.871. Profiles: ICC.1, Annex B. Adobe's segment: from memory.

use super::fault::{Of, PhotoError};
use super::note::Note;
use super::{MediaType, Stripped, within_limits};

const JPEG: Of = Of(MediaType::Jpeg);

const SOI: u8 = 0xd8;
const EOI: u8 = 0xd9;
const SOS: u8 = 0xda;
const APP0: u8 = 0xe0;
const APP1: u8 = 0xe1;
const APP2: u8 = 0xe2;
const APP14: u8 = 0xee;

/// More scans than any encoder writes. Each may cost a pass over the whole picture.
const MAX_SCANS: u32 = 100;

/// Takes a JPEG apart and puts it together without what must not leave.
pub(super) fn strip(bytes: &[u8]) -> Result<Stripped, PhotoError> {
    let mut walk = Walk { bytes, at: 2 };
    let mut jfif = None;
    let mut exif = None;
    let mut frame = None;
    let mut scans = 0;
    let mut compressed = 0;
    let mut kept = Vec::with_capacity(bytes.len());
    loop {
        match walk.marker()? {
            EOI => break,
            // TEM and restarts between segments: no content, no use.
            0x01 | 0xd0..=0xd7 => {}
            SOI => return Err(JPEG.damaged("a picture begins inside another")),
            0x02..=0xbf => return Err(JPEG.damaged("a reserved marker")),
            // Tables: DHT, DAC, DQT, DNL, DRI.
            marker @ (0xc4 | 0xcc | 0xdb | 0xdc | 0xdd) => put_segment(&mut kept, marker, walk.content()?),
            marker @ (0xc0..=0xc2) => {
                let content = walk.content()?;
                if frame.replace(Frame::read(content)?).is_some() {
                    return Err(JPEG.damaged("two frames"));
                }
                put_segment(&mut kept, marker, content);
            }
            // Lossless, hierarchical and arithmetic frames; JPG.
            0xc3 | 0xc5..=0xcf => {
                return Err(JPEG.unusual("not baseline, extended or progressive with Huffman codes"));
            }
            SOS => {
                scans += 1;
                if scans > MAX_SCANS {
                    return Err(JPEG.unusual(format!("more than {MAX_SCANS} scans")));
                }
                if frame.is_none() {
                    return Err(JPEG.damaged("a scan without a frame"));
                }
                put_segment(&mut kept, SOS, walk.content()?);
                let scan = walk.scan()?;
                compressed += scan.len() as u64;
                kept.extend(scan);
            }
            marker => {
                let content = walk.content()?;
                match marker {
                    APP0 if content.starts_with(b"JFIF\0") && content.len() >= 12 => {
                        jfif.get_or_insert(content);
                    }
                    APP1 if content.starts_with(b"Exif\0") => {
                        exif.get_or_insert(content);
                    }
                    APP2 if content.starts_with(b"ICC_PROFILE\0") => put_segment(&mut kept, APP2, content),
                    // How the colours are coded; anything after that is nobody's.
                    APP14 if content.starts_with(b"Adobe") && content.len() >= 12 => {
                        put_segment(&mut kept, APP14, &content[..12]);
                    }
                    _ => {}
                }
            }
        }
    }
    let frame = frame.ok_or_else(|| JPEG.damaged("no frame"))?;
    if scans == 0 {
        return Err(JPEG.damaged("no scan"));
    }
    // The decoder would fill what is missing with grey.
    if 8 * compressed < frame.blocks {
        return Err(JPEG.cut_off());
    }
    let note = exif.map_or(Note::NONE, Note::read);

    let mut out = Vec::with_capacity(kept.len() + 256);
    out.extend([0xff, SOI]);
    if let Some(jfif) = jfif {
        // Version, units and density; then a small picture of no pixels.
        put_segment(&mut out, APP0, &[&jfif[..12], &[0, 0]].concat());
    }
    if let Some(exif) = note.write() {
        put_segment(&mut out, APP1, &[b"Exif\0\0", &exif[..]].concat());
    }
    out.extend(kept);
    out.extend([0xff, EOI]);
    Ok(Stripped {
        width: frame.width,
        height: frame.height,
        note,
        bytes: out,
    })
}

fn put_segment(out: &mut Vec<u8>, marker: u8, content: &[u8]) {
    let length =
        u16::try_from(content.len() + 2).expect("content came out of a segment, or is a few bytes long");
    out.extend([0xff, marker]);
    out.extend(length.to_be_bytes());
    out.extend(content);
}

/// What a frame header says.
struct Frame {
    width: u32,
    height: u32,
    /// Blocks of 8 x 8 in all components: each takes one bit or more, as no Huffman code is shorter.
    blocks: u64,
}

impl Frame {
    /// T.81 B.2.2: precision, height, width, number of components; of each its name, sampling and table. How sampling
    /// makes blocks: A.1.1 and A.2.2.
    fn read(content: &[u8]) -> Result<Frame, PhotoError> {
        let [_, h1, h0, w1, w0, count, ref components @ ..] = *content else {
            return Err(JPEG.damaged("a frame without a size"));
        };
        let (width, height) = (u16::from_be_bytes([w1, w0]), u16::from_be_bytes([h1, h0]));
        match (width, height) {
            (0, _) => return Err(JPEG.damaged("a frame of no width")),
            (_, 0) => return Err(JPEG.unusual("the height is told after the picture")),
            _ => {}
        }
        let (width, height) = within_limits(width.into(), height.into())?;
        let sampling: Vec<(u64, u64)> = components
            .as_chunks::<3>()
            .0
            .iter()
            .map(|[_, factors, _]| (u64::from(factors >> 4), u64::from(factors & 15)))
            .collect();
        if sampling.is_empty() || sampling.len() != usize::from(count) {
            return Err(JPEG.damaged("a frame without its components"));
        }
        if sampling
            .iter()
            .any(|(across, down)| !(1..=4).contains(across) || !(1..=4).contains(down))
        {
            return Err(JPEG.damaged("a component that is not sampled"));
        }
        let most_across = sampling.iter().fold(1, |most, (across, _)| most.max(*across));
        let most_down = sampling.iter().fold(1, |most, (_, down)| most.max(*down));
        let blocks = sampling
            .iter()
            .map(|(across, down)| {
                let columns = (u64::from(width) * across).div_ceil(8 * most_across);
                columns * (u64::from(height) * down).div_ceil(8 * most_down)
            })
            .sum();
        Ok(Frame {
            width,
            height,
            blocks,
        })
    }
}

/// A place in a JPEG.
struct Walk<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl<'a> Walk<'a> {
    fn byte(&mut self) -> Result<u8, PhotoError> {
        let byte = self.bytes.get(self.at).ok_or_else(|| JPEG.cut_off())?;
        self.at += 1;
        Ok(*byte)
    }

    /// The next marker; what lies before it, fill bytes among it, is skipped.
    fn marker(&mut self) -> Result<u8, PhotoError> {
        loop {
            while self.byte()? != 0xff {}
            let mut marker = self.byte()?;
            while marker == 0xff {
                marker = self.byte()?;
            }
            if marker != 0 {
                return Ok(marker);
            }
        }
    }

    /// The content of the segment after its marker, without its length.
    fn content(&mut self) -> Result<&'a [u8], PhotoError> {
        let length = usize::from(u16::from_be_bytes([self.byte()?, self.byte()?]));
        let length = length
            .checked_sub(2)
            .ok_or_else(|| JPEG.damaged("a segment shorter than its length"))?;
        let end = self.at + length;
        let content = self.bytes.get(self.at..end).ok_or_else(|| JPEG.cut_off())?;
        self.at = end;
        Ok(content)
    }

    /// Compressed pixels up to the next marker other than a restart (T.81 F.1.2.3 and B.1.1.5).
    fn scan(&mut self) -> Result<&'a [u8], PhotoError> {
        let start = self.at;
        loop {
            while self.byte()? != 0xff {}
            let end = self.at - 1;
            let mut next = self.byte()?;
            while next == 0xff {
                next = self.byte()?;
            }
            if next != 0 && !(0xd0..=0xd7).contains(&next) {
                self.at = end;
                return Ok(&self.bytes[start..end]);
            }
        }
    }
}
