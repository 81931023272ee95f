//! All pages as one PDF: fonts embedded, only the glyphs in use, text that can be found and copied.

use krilla::color::luma;
use krilla::geom::{Path, PathBuilder, Point};
use krilla::metadata::{DateTime, Metadata};
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document, SerializeSettings};

use super::type_setting::{font_file, runs};
use super::{Drawing, Ink, Item, Pen, Text};

/// Why a drawing could not be written as PDF.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PdfError {
    /// A font of this program cannot be embedded.
    #[error("a font of this program cannot be read: install Trammel anew")]
    Font,
    /// The library gave up.
    #[error("the PDF cannot be put together: {0}: save the SVG instead")]
    Library(String),
}

/// Points of PostScript, 1/72 in, to a millimetre.
const POINTS_TO_MM: f64 = 72.0 / survey::INCH_MM;
/// How far the control points of a quarter circle are out, over its radius.
const QUARTER: f64 = 0.552_284_749_831;

/// Writes all pages.
pub(super) fn written(drawing: &Drawing) -> Result<Vec<u8>, PdfError> {
    let fonts: Option<Vec<Font>> = (0..4).map(|font| Font::new(font_file(font).into(), 0)).collect();
    let fonts = fonts.ok_or(PdfError::Font)?;
    let mut document = Document::new_with(SerializeSettings {
        enable_tagging: false,
        ..SerializeSettings::default()
    });
    let [width, height] = drawing.paper.size_mm().map(points);
    for page in &drawing.pages {
        let settings = PageSettings::from_wh(width, height);
        let settings = settings.ok_or_else(|| PdfError::Library("the paper has no size".to_owned()))?;
        let mut on_paper = document.start_page_with(settings);
        let mut surface = on_paper.surface();
        for item in &page.items {
            draw(&mut surface, item, &fonts);
        }
        surface.finish();
        on_paper.finish();
    }
    let mut metadata = Metadata::new()
        .title(drawing.title.clone())
        .creator("Trammel".to_owned())
        .language("en-GB".to_owned());
    if let Some(day) = drawing.day {
        metadata = metadata.creation_date(DateTime::new(day.year).month(day.month).day(day.day));
    }
    document.set_metadata(metadata);
    document
        .finish()
        .map_err(|error| PdfError::Library(format!("{error:?}")))
}

fn draw(surface: &mut Surface<'_>, item: &Item, fonts: &[Font]) {
    match item {
        Item::Line { points, pen } => stroke(surface, line(points, false), *pen),
        Item::Area { points, ink } => fill(surface, line(points, true), *ink),
        Item::Ellipse {
            centre,
            half,
            angle,
            pen,
        } => stroke(surface, ellipse(*centre, *half, *angle), *pen),
        Item::Disc {
            centre, radius, ink, ..
        } => fill(surface, ellipse(*centre, [*radius; 2], 0.0), *ink),
        Item::Text(text) => set(surface, text, fonts),
        Item::Group { items, .. } => items.iter().for_each(|item| draw(surface, item, fonts)),
    }
}

fn set(surface: &mut Surface<'_>, text: &Text, fonts: &[Font]) {
    surface.set_stroke(None);
    surface.set_fill(Some(black()));
    let mut x = text.left();
    for run in runs(text.face, &text.says) {
        #[expect(clippy::cast_possible_truncation, reason = "the PDF holds single precision")]
        let glyphs: Vec<KrillaGlyph> = run
            .glyphs
            .iter()
            .map(|glyph| {
                let [dx, dy] = glyph.offset;
                let id = GlyphId::new(u32::from(glyph.id));
                let stands_for = glyph.stands_for.clone();
                KrillaGlyph::new(
                    id,
                    glyph.advance as f32,
                    dx as f32,
                    dy as f32,
                    0.0,
                    stands_for,
                    None,
                )
            })
            .collect();
        let at = Point::from_xy(points(x), points(text.at[1]));
        surface.draw_glyphs(
            at,
            &glyphs,
            fonts[run.font].clone(),
            &run.text,
            points(text.size),
            false,
        );
        x += run.advance() * text.size;
    }
}

fn stroke(surface: &mut Surface<'_>, path: Option<Path>, pen: Pen) {
    let Some(path) = path else { return };
    surface.set_fill(None);
    surface.set_stroke(Some(Stroke {
        width: points(pen.width),
        dash: (!pen.dashes.is_empty()).then(|| StrokeDash {
            array: pen.dashes.iter().map(|dash| points(*dash)).collect(),
            offset: 0.0,
        }),
        ..Stroke::default()
    }));
    surface.draw_path(&path);
}

fn fill(surface: &mut Surface<'_>, path: Option<Path>, ink: Ink) {
    let Some(path) = path else { return };
    surface.set_stroke(None);
    surface.set_fill(Some(match ink {
        Ink::Black => black(),
        Ink::White => Fill {
            paint: luma::Color::white().into(),
            ..black()
        },
    }));
    surface.draw_path(&path);
}

fn black() -> Fill {
    Fill {
        paint: luma::Color::black().into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::NonZero,
    }
}

fn line(through: &[[f64; 2]], closed: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    for (place, [x, y]) in through.iter().enumerate() {
        match place {
            0 => path.move_to(points(*x), points(*y)),
            _ => path.line_to(points(*x), points(*y)),
        }
    }
    if closed {
        path.close();
    }
    path.finish()
}

/// Four cubic arcs.
fn ellipse(centre: [f64; 2], half: [f64; 2], angle: f64) -> Option<Path> {
    let (sin, cos) = angle.sin_cos();
    let at = |u: f64, v: f64| {
        let [u, v] = [u * half[0], v * half[1]];
        [centre[0] + u * cos - v * sin, centre[1] + u * sin + v * cos].map(points)
    };
    let mut path = PathBuilder::new();
    let [x, y] = at(1.0, 0.0);
    path.move_to(x, y);
    for [u, v] in [[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]] {
        let [x1, y1] = at(u - QUARTER * v, v + QUARTER * u);
        let [x2, y2] = at(-v + QUARTER * u, u + QUARTER * v);
        let [x, y] = at(-v, u);
        path.cubic_to(x1, y1, x2, y2, x, y);
    }
    path.close();
    path.finish()
}

#[expect(clippy::cast_possible_truncation, reason = "the PDF holds single precision")]
fn points(mm: f64) -> f32 {
    (mm * POINTS_TO_MM) as f32
}
