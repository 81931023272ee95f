//! A drawing: pages of lines, ellipses and text in millimetres, laid out once and written as SVG or as PDF.
//!
//! Everything is black or white, since it is printed. x runs to the right and y down from the upper left corner.

mod pdf;
mod svg;
mod type_setting;

pub use pdf::PdfError;
pub(crate) use type_setting::{CAP, Face, lacking, width_mm};

/// A sheet of paper, upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// A4: 210 by 297 mm (ISO 216).
    A4,
    /// Letter: 8.5 by 11 in (ASME Y14.1, size A).
    Letter,
}

impl Paper {
    /// Width and height, mm.
    pub fn size_mm(self) -> [f64; 2] {
        match self {
            Paper::A4 => [210.0, 297.0],
            Paper::Letter => [8.5 * survey::INCH_MM, 11.0 * survey::INCH_MM],
        }
    }
}

/// A day of the calendar, as it was told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    /// Such as 2026.
    pub year: u16,
    /// 1 to 12.
    pub month: u8,
    /// 1 to 31.
    pub day: u8,
}

/// Pages, ready to be written.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// What it is called.
    pub title: String,
    /// What it is written on.
    pub paper: Paper,
    /// The day it tells of: a file's date must not depend on when it was written.
    pub day: Option<Day>,
    /// What could not be drawn as it should be, in words.
    pub problems: Vec<String>,
    pub(crate) pages: Vec<Page>,
}

impl Drawing {
    /// How many pages there are.
    pub fn pages(&self) -> usize {
        self.pages.len()
    }

    /// A page, counted from 1, as an SVG file of its own. Letters are drawn as outlines, so that it looks alike in every
    /// program, with no font and no network; what they say is in the labels of their groups.
    pub fn svg(&self, page: usize) -> Option<String> {
        let page = self.pages.get(page.checked_sub(1)?)?;
        Some(svg::written(page, &self.title, self.paper))
    }

    /// All pages as one PDF, with the letters it uses in it. The same drawing gives the same bytes.
    ///
    /// # Errors
    /// Where the PDF cannot be put together.
    pub fn pdf(&self) -> Result<Vec<u8>, PdfError> {
        pdf::written(self)
    }
}

/// One page.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Page {
    pub(crate) items: Vec<Item>,
}

/// Black or white.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ink {
    Black,
    White,
}

/// How a line is drawn: its width, and lengths of dashes and gaps, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pen {
    pub(crate) width: f64,
    pub(crate) dashes: &'static [f64],
}

impl Pen {
    pub(crate) const fn solid(width: f64) -> Pen {
        Pen { width, dashes: &[] }
    }

    pub(crate) const fn dashed(width: f64, dashes: &'static [f64]) -> Pen {
        Pen { width, dashes }
    }
}

/// Where a text stands to its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// A line of text on its baseline.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Text {
    pub(crate) at: [f64; 2],
    pub(crate) anchor: Anchor,
    pub(crate) face: Face,
    /// Height of the em, mm.
    pub(crate) size: f64,
    pub(crate) says: String,
}

impl Text {
    /// Where its left end is.
    pub(crate) fn left(&self) -> f64 {
        let width = width_mm(self.face, self.size, &self.says);
        match self.anchor {
            Anchor::Start => self.at[0],
            Anchor::Middle => self.at[0] - width / 2.0,
            Anchor::End => self.at[0] - width,
        }
    }
}

/// What stands on a page, later ones over earlier ones.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Item {
    /// A polyline.
    Line {
        points: Vec<[f64; 2]>,
        pen: Pen,
    },
    /// A closed shape without an edge.
    Area {
        points: Vec<[f64; 2]>,
        ink: Ink,
    },
    /// An ellipse by its centre, its half axes and the angle of the first of them, radians from x towards y.
    Ellipse {
        centre: [f64; 2],
        half: [f64; 2],
        angle: f64,
        pen: Pen,
    },
    /// A disc, named where it marks something.
    Disc {
        centre: [f64; 2],
        radius: f64,
        ink: Ink,
        name: Option<String>,
    },
    Text(Text),
    /// Items that belong together, with what they show.
    Group {
        name: String,
        items: Vec<Item>,
    },
}

impl Item {
    pub(crate) fn line(from: [f64; 2], to: [f64; 2], pen: Pen) -> Item {
        Item::Line {
            points: vec![from, to],
            pen,
        }
    }

    /// A rectangle by its left, top, right and bottom edges.
    pub(crate) fn rectangle([left, top, right, bottom]: [f64; 4], ink: Ink) -> Item {
        Item::Area {
            points: vec![[left, top], [right, top], [right, bottom], [left, bottom]],
            ink,
        }
    }

    /// The edges of a rectangle.
    pub(crate) fn frame([left, top, right, bottom]: [f64; 4], pen: Pen) -> Item {
        Item::Line {
            points: vec![
                [left, top],
                [right, top],
                [right, bottom],
                [left, bottom],
                [left, top],
            ],
            pen,
        }
    }

    pub(crate) fn text(at: [f64; 2], anchor: Anchor, face: Face, size: f64, says: impl Into<String>) -> Item {
        Item::Text(Text {
            at,
            anchor,
            face,
            size,
            says: says.into(),
        })
    }
}
