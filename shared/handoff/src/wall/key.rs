//! What the marks of a page mean: those alone that are on it.

use crate::drawing::{Anchor, Face, Item, Pen, width_mm};

use super::marks;
use super::on_view::{ELLIPSE, OUTLINE};
use super::space::Box2;
use super::{Place, SuspectLine, WallPoint};

const SIZE: f64 = 3.5;
const ROW: f64 = 7.0;
/// From a mark to its words, and from words to the next mark.
const GAP: f64 = 1.6;
const NEXT: f64 = 6.0;

/// The key of a page.
pub(super) struct Key {
    entries: Vec<Entry>,
}

struct Entry {
    /// Drawn to the right of a place, half a row above the baseline.
    mark: Vec<Item>,
    width: f64,
    words: String,
}

impl Key {
    /// The key of a page that shows these; ellipses are drawn larger by the factor, where there are any.
    pub(super) fn of(
        points: &[&WallPoint],
        suspects: &[&SuspectLine],
        outline: bool,
        factor: Option<f64>,
    ) -> Key {
        let mut entries = Vec::new();
        let mut add = |width: f64, mark: Vec<Item>, words: String| entries.push(Entry { mark, width, words });
        let any = |is: fn(&Place) -> bool| points.iter().any(|point| is(&point.place));
        if any(|place| matches!(place, Place::Fixed { .. })) {
            add(1.4, marks::pricked([0.7, 0.0], "").items, "Point".to_owned());
        }
        if let Some(factor) = factor {
            let ellipse = Item::Ellipse {
                centre: [3.0, 0.0],
                half: [3.0, 1.7],
                angle: 0.0,
                pen: ELLIPSE,
            };
            let drawn = match factor {
                1.0 => "at full scale".to_owned(),
                factor => format!("drawn {factor:.0} times size"),
            };
            add(
                6.0,
                vec![ellipse],
                format!("It lies in here 95 times in 100, {drawn}"),
            );
        }
        if outline {
            let line = Item::line([0.0, 0.0], [7.0, 0.0], OUTLINE);
            add(
                7.0,
                vec![line],
                "Joins neighbours for the eye, not measured".to_owned(),
            );
        }
        if !suspects.is_empty() {
            let dashes = Item::line([0.0, 2.8], [10.4, 2.8], Pen::dashed(0.5, &[4.0, 1.6]));
            let mut mark = vec![dashes];
            mark.extend(marks::flag([4.0, 2.8], ""));
            add(10.4, mark, "Suspect, held out".to_owned());
        }
        if any(|place| matches!(place, Place::Loose { .. })) {
            add(
                14.0,
                marks::loose([7.0, 0.0], &[[1.0, 0.0]], "").items,
                "Loose, can move".to_owned(),
            );
        }
        if any(|place| matches!(place, Place::Two(_))) {
            let rings = marks::two_places([[1.1, 0.0], [8.9, 0.0]], "");
            add(10.0, rings.items, "Two places, one point".to_owned());
        }
        add(
            0.0,
            Vec::new(),
            "Print at full size, then lay a rule on the bar.".to_owned(),
        );
        Key { entries }
    }

    /// How high it is in a room of that width.
    pub(super) fn height(&self, width: f64) -> f64 {
        self.laid_out(width)
            .last()
            .map_or(0.0, |[_, row]| (row + 1.0) * ROW)
            + 2.0
    }

    /// Draws it at the foot of a box.
    pub(super) fn drawn(&self, within: Box2) -> Item {
        let top = within[3] - self.height(within[2] - within[0]) + 1.0;
        let mut items = Vec::new();
        for (entry, [x, row]) in self.entries.iter().zip(self.laid_out(within[2] - within[0])) {
            let (x, middle) = (within[0] + x, top + (row + 0.5) * ROW);
            items.extend(entry.mark.iter().map(|item| moved(item, [x, middle])));
            let words = [
                x + entry.width + if entry.width > 0.0 { GAP } else { 0.0 },
                middle + 0.34 * SIZE,
            ];
            items.push(Item::text(
                words,
                Anchor::Start,
                Face::Text,
                SIZE,
                entry.words.clone(),
            ));
        }
        Item::Group {
            name: "Key".to_owned(),
            items,
        }
    }

    /// Where each entry begins, and in which row.
    fn laid_out(&self, width: f64) -> Vec<[f64; 2]> {
        let (mut x, mut row) = (0.0, 0.0);
        let mut places = Vec::new();
        for entry in &self.entries {
            let wide = entry.width + GAP + width_mm(Face::Text, SIZE, &entry.words);
            if x > 0.0 && x + wide > width {
                (x, row) = (0.0, row + 1.0);
            }
            places.push([x, row]);
            x += wide + NEXT;
        }
        places
    }
}

fn moved(item: &Item, by: [f64; 2]) -> Item {
    let to = |[x, y]: [f64; 2]| [x + by[0], y + by[1]];
    let all = |points: &[[f64; 2]]| points.iter().map(|&point| to(point)).collect();
    match item.clone() {
        Item::Line { points, pen } => Item::Line {
            points: all(&points),
            pen,
        },
        Item::Area { points, ink } => Item::Area {
            points: all(&points),
            ink,
        },
        Item::Ellipse {
            centre,
            half,
            angle,
            pen,
        } => Item::Ellipse {
            centre: to(centre),
            half,
            angle,
            pen,
        },
        // A mark of the key names no point.
        Item::Disc {
            centre, radius, ink, ..
        } => Item::Disc {
            centre: to(centre),
            radius,
            ink,
            name: None,
        },
        Item::Text(text) => Item::text(to(text.at), text.anchor, text.face, text.size, text.says),
        Item::Group { name, items } => Item::Group {
            name,
            items: items.iter().map(|item| moved(item, by)).collect(),
        },
    }
}
