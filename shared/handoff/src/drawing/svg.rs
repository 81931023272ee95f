//! A page as SVG 1.1: shapes and the outlines of letters, each glyph once.

use std::collections::BTreeMap;
use std::fmt::Write;

use rustybuzz::ttf_parser::{GlyphId, OutlineBuilder};

use super::type_setting::{font_face, runs};
use super::{Ink, Item, Page, Paper, Pen, Text};

/// Writes one page.
pub(super) fn written(page: &Page, title: &str, paper: Paper) -> String {
    let mut body = Body::default();
    for item in &page.items {
        body.item(item);
    }
    let [width, height] = paper.size_mm();
    let [w, h] = [number(width), number(height)];
    let mut text = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" \
         xmlns:xlink=\"http://www.w3.org/1999/xlink\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" \
         role=\"img\" fill=\"#000\" stroke=\"none\">\n<title>{}</title>\n<defs>\n",
        escaped(title)
    );
    for ((font, glyph), outline) in &body.glyphs {
        let _ = writeln!(text, "<path id=\"g{font}-{glyph}\" d=\"{outline}\"/>");
    }
    let _ = writeln!(
        text,
        "</defs>\n<rect width=\"{w}\" height=\"{h}\" fill=\"#fff\"/>\n{}</svg>",
        body.text
    );
    text
}

/// What stands on the page, and the glyphs it uses.
#[derive(Default)]
struct Body {
    text: String,
    glyphs: BTreeMap<(usize, u16), String>,
}

impl Body {
    fn item(&mut self, item: &Item) {
        match item {
            Item::Line { points, pen } => self.write(&format!(
                "<polyline points=\"{}\" {}/>",
                list(points),
                stroke(*pen)
            )),
            Item::Area { points, ink } => {
                self.write(&format!("<polygon points=\"{}\"{}/>", list(points), fill(*ink)));
            }
            Item::Ellipse {
                centre: [x, y],
                half: [rx, ry],
                angle,
                pen,
            } => {
                let [x, y] = [number(*x), number(*y)];
                self.write(&format!(
                    "<ellipse cx=\"{x}\" cy=\"{y}\" rx=\"{}\" ry=\"{}\" transform=\"rotate({} {x} {y})\" {}/>",
                    number(*rx),
                    number(*ry),
                    number(angle.to_degrees()),
                    stroke(*pen)
                ));
            }
            Item::Disc {
                centre: [x, y],
                radius,
                ink,
                name,
            } => {
                let circle = format!(
                    "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}",
                    number(*x),
                    number(*y),
                    number(*radius),
                    fill(*ink)
                );
                self.write(&match name {
                    Some(name) => format!("{circle}><title>{}</title></circle>", escaped(name)),
                    None => format!("{circle}/>"),
                });
            }
            Item::Text(text) => self.set(text),
            Item::Group { name, items } => {
                self.write(&format!("<g role=\"group\" aria-label=\"{}\">", escaped(name)));
                for item in items {
                    self.item(item);
                }
                self.write("</g>");
            }
        }
    }

    fn set(&mut self, text: &Text) {
        let mut x = text.left();
        let y = text.at[1];
        let mut glyphs = String::new();
        for run in runs(text.face, &text.says) {
            let face = font_face(run.font);
            let em = f64::from(face.units_per_em());
            let scale = text.size / em;
            let mut along = 0.0;
            let mut used = String::new();
            for glyph in &run.glyphs {
                let outline = self.glyphs.entry((run.font, glyph.id)).or_insert_with(|| {
                    let mut outline = Outline::default();
                    face.outline_glyph(GlyphId(glyph.id), &mut outline);
                    outline.0
                });
                if !outline.is_empty() {
                    let _ = write!(
                        used,
                        "<use xlink:href=\"#g{}-{}\" x=\"{}\" y=\"{}\"/>",
                        run.font,
                        glyph.id,
                        number((along + glyph.offset[0]) * em),
                        number(glyph.offset[1] * em),
                    );
                }
                along += glyph.advance;
            }
            let _ = write!(
                glyphs,
                "<g transform=\"translate({} {}) scale({scale:.7} -{scale:.7})\">{used}</g>",
                number(x),
                number(y)
            );
            x += along * text.size;
        }
        let says = escaped(&text.says);
        self.write(&format!("<g role=\"img\" aria-label=\"{says}\">{glyphs}</g>"));
    }

    fn write(&mut self, element: &str) {
        self.text.push_str(element);
        self.text.push('\n');
    }
}

/// A glyph's outline as path data, in units of its font, y up.
#[derive(Default)]
struct Outline(String);

impl OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        let _ = write!(self.0, "M{x} {y}");
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let _ = write!(self.0, "L{x} {y}");
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let _ = write!(self.0, "Q{x1} {y1} {x} {y}");
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let _ = write!(self.0, "C{x1} {y1} {x2} {y2} {x} {y}");
    }

    fn close(&mut self) {
        self.0.push('Z');
    }
}

fn list(points: &[[f64; 2]]) -> String {
    let points: Vec<String> = points
        .iter()
        .map(|[x, y]| format!("{},{}", number(*x), number(*y)))
        .collect();
    points.join(" ")
}

fn stroke(pen: Pen) -> String {
    let mut text = format!(
        "fill=\"none\" stroke=\"#000\" stroke-width=\"{}\"",
        number(pen.width)
    );
    if !pen.dashes.is_empty() {
        let dashes: Vec<String> = pen.dashes.iter().map(|dash| number(*dash)).collect();
        let _ = write!(text, " stroke-dasharray=\"{}\"", dashes.join(" "));
    }
    text
}

fn fill(ink: Ink) -> &'static str {
    match ink {
        Ink::Black => "",
        Ink::White => " fill=\"#fff\"",
    }
}

/// A number to a ten-thousandth, without needless zeros.
fn number(value: f64) -> String {
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// Text as XML takes it. What XML cannot hold at all is left out.
fn escaped(text: &str) -> String {
    let mut escaped = String::new();
    for letter in text.chars() {
        match letter {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            letter if letter.is_control() || matches!(letter, '\u{fffe}' | '\u{ffff}') => escaped.push(' '),
            letter => escaped.push(letter),
        }
    }
    escaped
}
