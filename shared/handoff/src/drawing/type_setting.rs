//! From letters to glyphs, once for every writer: which font, which glyphs, how far apart.

use std::ops::Range;
use std::sync::OnceLock;

use rustybuzz::{Direction, Feature, UnicodeBuffer, ttf_parser::Tag};

/// How a text is set: three cuts of one family; see `fonts/README.md`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Face {
    /// What is read.
    Text,
    /// Figures, and names of points.
    Figure,
    /// Headings.
    Head,
}

/// The fonts that are embedded, by their place in [`FONTS`]; the last is for what the others lack.
const FONTS: [&[u8]; 4] = [
    include_bytes!("../../fonts/Archivo-Text.ttf"),
    include_bytes!("../../fonts/Archivo-Figure.ttf"),
    include_bytes!("../../fonts/Archivo-Head.ttf"),
    include_bytes!("../../fonts/DejaVuSansCondensed.ttf"),
];
const FALLBACK: usize = 3;
/// Stands for a letter that no font has: the replacement character, which the last font has.
const REPLACEMENT: char = '\u{fffd}';

/// Height of capitals over the em, the same in all cuts.
pub(crate) const CAP: f64 = 0.686;

/// A glyph with its place, in parts of the em.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Glyph {
    pub(crate) id: u16,
    pub(crate) advance: f64,
    pub(crate) offset: [f64; 2],
    /// The bytes of the run's text that it stands for.
    pub(crate) stands_for: Range<usize>,
}

/// Letters of one font, in the order in which they are drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Run {
    pub(crate) font: usize,
    pub(crate) text: String,
    pub(crate) glyphs: Vec<Glyph>,
}

impl Run {
    pub(crate) fn advance(&self) -> f64 {
        self.glyphs.iter().map(|glyph| glyph.advance).sum()
    }
}

/// How wide a text is.
pub(crate) fn width_mm(face: Face, size: f64, text: &str) -> f64 {
    runs(face, text).iter().map(Run::advance).sum::<f64>() * size
}

/// The letters of a text that no font has.
pub(crate) fn lacking(text: &str) -> Vec<char> {
    let mut lacking: Vec<char> = text
        .chars()
        .filter(|letter| shown(*letter) && font_of(Face::Text, *letter).is_none())
        .collect();
    lacking.sort_unstable();
    lacking.dedup();
    lacking
}

/// A text as runs from left to right, whatever its scripts.
pub(crate) fn runs(face: Face, text: &str) -> Vec<Run> {
    let text: String = text
        .chars()
        .map(|letter| match shown(letter) {
            true if font_of(face, letter).is_none() => REPLACEMENT,
            true => letter,
            false => ' ',
        })
        .collect();
    let mut found = Vec::new();
    let bidi = unicode_bidi::BidiInfo::new(&text, None);
    for paragraph in &bidi.paragraphs {
        let (levels, ranges) = bidi.visual_runs(paragraph, paragraph.range.clone());
        for range in ranges {
            let level = levels[range.start];
            let mut pieces = by_font(face, &text[range]);
            if level.is_rtl() {
                pieces.reverse();
            }
            found.extend(
                pieces
                    .into_iter()
                    .map(|(font, piece)| shaped(font, piece, level.is_rtl())),
            );
        }
    }
    found
}

/// A font for a writer that needs it as a file.
pub(crate) fn font_file(font: usize) -> &'static [u8] {
    FONTS[font]
}

/// A font, taken apart.
pub(crate) fn font_face(font: usize) -> &'static rustybuzz::Face<'static> {
    static FACES: OnceLock<Vec<rustybuzz::Face<'static>>> = OnceLock::new();
    let faces = FACES.get_or_init(|| {
        let read = |bytes: &&'static [u8]| rustybuzz::Face::from_slice(bytes, 0);
        let faces: Option<Vec<_>> = FONTS.iter().map(read).collect();
        faces.expect("the fonts of this crate are fonts")
    });
    &faces[font]
}

/// Whether a letter is to be seen at all: what steers a terminal or breaks a line is not.
fn shown(letter: char) -> bool {
    !letter.is_control() && !matches!(letter, '\u{2028}' | '\u{2029}')
}

fn font_of(face: Face, letter: char) -> Option<usize> {
    let own = match face {
        Face::Text => 0,
        Face::Figure => 1,
        Face::Head => 2,
    };
    [own, FALLBACK]
        .into_iter()
        .find(|&font| font_face(font).glyph_index(letter).is_some())
}

/// Pieces of a text that one font can set. What joins to the letter before it stays with it where that font has it.
fn by_font(face: Face, text: &str) -> Vec<(usize, &str)> {
    let mut pieces: Vec<(usize, Range<usize>)> = Vec::new();
    for (at, letter) in text.char_indices() {
        let end = at + letter.len_utf8();
        let before = pieces.last_mut();
        let font = font_of(face, letter).unwrap_or(FALLBACK);
        match before {
            Some((known, range)) if *known == font || letter == ' ' && *known == FALLBACK => range.end = end,
            _ => pieces.push((font, at..end)),
        }
    }
    pieces
        .into_iter()
        .map(|(font, range)| (font, &text[range]))
        .collect()
}

fn shaped(font: usize, text: &str, from_right: bool) -> Run {
    let face = font_face(font);
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(text);
    buffer.guess_segment_properties();
    buffer.set_direction(if from_right {
        Direction::RightToLeft
    } else {
        Direction::LeftToRight
    });
    let figures_alike = [Feature::new(Tag::from_bytes(b"tnum"), 1, ..)];
    let shaped = rustybuzz::shape(face, &figures_alike, buffer);
    let em = f64::from(face.units_per_em());
    let mut starts: Vec<usize> = shaped
        .glyph_infos()
        .iter()
        .map(|info| info.cluster as usize)
        .collect();
    starts.push(text.len());
    starts.sort_unstable();
    starts.dedup();
    let glyphs = shaped
        .glyph_infos()
        .iter()
        .zip(shaped.glyph_positions())
        .map(|(info, position)| {
            let start = info.cluster as usize;
            let end = starts
                .iter()
                .copied()
                .find(|&next| next > start)
                .unwrap_or(text.len());
            Glyph {
                // The fonts have fewer than 65,536 glyphs, as every TrueType font has.
                id: u16::try_from(info.glyph_id).unwrap_or(0),
                advance: f64::from(position.x_advance) / em,
                offset: [
                    f64::from(position.x_offset) / em,
                    f64::from(position.y_offset) / em,
                ],
                stands_for: start..end,
            }
        })
        .collect();
    Run {
        font,
        text: text.to_owned(),
        glyphs,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_as_wide_as_each_other() {
        for face in [Face::Text, Face::Figure, Face::Head] {
            let widths: Vec<f64> = ('0'..='9')
                .map(|figure| width_mm(face, 10.0, &figure.to_string()))
                .collect();
            assert!(
                widths.iter().all(|width| (width - widths[0]).abs() < 1e-9),
                "{face:?} {widths:?}"
            );
        }
    }

    #[test]
    fn letters_of_every_script_are_kept_or_told() {
        for text in [
            "sill-RR 40 5/8",
            "пол слева",
            "δάπεδο",
            "רצפה 12",
            "ärmel łódź őr",
        ] {
            assert_eq!(lacking(text), Vec::<char>::new(), "{text}");
            assert!(
                runs(Face::Figure, text)
                    .iter()
                    .all(|run| run.glyphs.iter().all(|glyph| glyph.id != 0))
            );
        }
        assert_eq!(lacking("左 floor 左右"), ['右', '左']);
        let replaced = runs(Face::Figure, "左");
        assert_eq!(replaced[0].text, "\u{fffd}");
        assert_ne!(replaced[0].glyphs[0].id, 0);
    }

    #[test]
    fn what_is_written_from_the_right_is_drawn_from_its_end() {
        let drawn: String = runs(Face::Figure, "R רצפה")
            .iter()
            .map(|run| run.text.clone())
            .collect();
        assert_eq!(drawn, "R רצפה");
        let hebrew = runs(Face::Figure, "רצפה");
        let starts: Vec<usize> = hebrew[0]
            .glyphs
            .iter()
            .map(|glyph| glyph.stands_for.start)
            .collect();
        assert_eq!(starts, [6, 4, 2, 0], "the last letter stands at the left");
    }
}
