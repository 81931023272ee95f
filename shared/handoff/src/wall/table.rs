//! The table of points, its heads on every page.

use survey::{LengthUnit, Side};

use crate::drawing::{Anchor, Face, Item, Page, Pen, width_mm};

use super::setting::wrapped;
use super::space::Box2;
use super::{Figure, Wall, WallPoint, figure};

/// Sizes of the em, mm: figures and names are read at arm's length.
const FIGURE: f64 = 5.0;
const HALF_WIDTH: f64 = 4.4;
const NAME: f64 = 4.2;
const TEXT: f64 = 3.7;
const HEAD_SIZE: f64 = 3.5;
/// How far lines of each are apart.
const FIGURE_LINE: f64 = 6.6;
const NAME_LINE: f64 = 5.0;
const TEXT_LINE: f64 = 4.4;
/// From a rule to the first baseline under it, and from the last baseline to the next rule.
const BASE: f64 = 5.9;
const UNDER: f64 = 2.9;
const HEAD: f64 = 11.0;
const GAP: f64 = 3.0;
/// From one axis to the next, and from a figure to its ±, in gaps.
const BETWEEN: f64 = 1.5;
const BESIDE: f64 = 0.7;
const MOST_LINES: usize = 6;
const RULE: Pen = Pen::solid(0.15);
const STRONG: Pen = Pen::solid(0.5);

/// The pages of the table, with the title of each.
pub(super) fn pages(wall: &Wall, area: Box2) -> Vec<(String, Page)> {
    let columns = Columns::of(wall, area);
    let rows: Vec<Row> = (0..wall.points.len())
        .map(|place| Row::of(wall, place, &columns))
        .collect();
    let mut pages = Vec::new();
    let mut rows = rows.into_iter().peekable();
    while rows.peek().is_some() {
        let mut items = Vec::new();
        let mut top = area[1];
        if pages.is_empty() {
            top = axes(wall, area, &mut items);
        }
        heads(wall, &columns, top, area, &mut items);
        top += HEAD;
        let mut empty = true;
        while let Some(row) = rows.next_if(|row| empty || top + row.height <= area[3]) {
            items.push(row.drawn(&columns, top));
            top += row.height;
            items.push(Item::line([area[0], top], [area[2], top], RULE));
            empty = false;
        }
        pages.push(("Points".to_owned(), Page { items }));
    }
    pages
}

/// How the axes lie, over the first head.
fn axes(wall: &Wall, area: Box2, items: &mut Vec<Item>) -> f64 {
    let mut said = wall.axes.join(" ");
    if !said.is_empty() {
        said.push(' ');
    }
    said.push_str("± holds 95 times in 100, for each figure by itself.");
    let mut top = area[1];
    for line in wrapped(Face::Text, TEXT, &said, area[2] - area[0], MOST_LINES) {
        items.push(Item::text(
            [area[0], top + 0.8 * TEXT_LINE],
            Anchor::Start,
            Face::Text,
            TEXT,
            line,
        ));
        top += TEXT_LINE;
    }
    top + 2.0
}

/// Where each column ends or begins, mm from the left edge of the paper.
struct Columns {
    number_end: f64,
    name: f64,
    name_width: f64,
    side: f64,
    /// For each axis: where its figures end, and where their ± end.
    figures: [[f64; 2]; 3],
    remarks: f64,
    remarks_width: f64,
}

impl Columns {
    fn of(wall: &Wall, area: Box2) -> Columns {
        let widest = |widths: &mut dyn Iterator<Item = f64>, least: f64| widths.fold(least, f64::max);
        let number = width_mm(Face::Text, TEXT, &wall.points.len().to_string()).max(6.0);
        let side = width_mm(Face::Text, TEXT, "centre");
        let figures: [[f64; 2]; 3] = [0, 1, 2].map(|axis| {
            let cells = || {
                wall.points
                    .iter()
                    .flat_map(|point| &point.rows)
                    .map(move |row| &row[axis])
            };
            let value = |cell: &Figure| {
                cell.value
                    .as_ref()
                    .map(|text| figure::width(text, Face::Figure, FIGURE))
            };
            let half = |cell: &Figure| {
                cell.half_width_95
                    .as_ref()
                    .map(|text| figure::width(text, Face::Text, HALF_WIDTH))
            };
            [
                widest(&mut cells().filter_map(value), 12.0),
                widest(&mut cells().filter_map(half), 4.0),
            ]
        });
        let fixed = number
            + side
            + figures.iter().flatten().sum::<f64>()
            + (3.0 + 3.0 * (BETWEEN + BESIDE) + 1.5) * GAP;
        let left = area[2] - area[0] - fixed;
        let names = wall
            .points
            .iter()
            .map(|point| width_mm(Face::Figure, NAME, &point.label));
        let name_width = widest(&mut names.map(|width| width + 0.1), 14.0).min((0.6 * left).max(20.0));
        let number_end = area[0] + number;
        let name = number_end + GAP;
        let side_start = name + name_width + GAP;
        let mut x = side_start + side;
        let figures = figures.map(|[value, half]| {
            let value = x + BETWEEN * GAP + value;
            x = value + BESIDE * GAP + half;
            [value, x]
        });
        let remarks = x + GAP * 1.5;
        Columns {
            number_end,
            name,
            name_width,
            side: side_start,
            figures,
            remarks,
            remarks_width: (area[2] - remarks).max(12.0),
        }
    }
}

fn heads(wall: &Wall, columns: &Columns, top: f64, area: Box2, items: &mut Vec<Item>) {
    let unit = match wall.unit {
        LengthUnit::Inch => "in",
        LengthUnit::Millimetre => "mm",
    };
    let (first, second) = (top + 3.8, top + 8.4);
    let start = |at: [f64; 2], says: &str| Item::text(at, Anchor::Start, Face::Text, HEAD_SIZE, says);
    let end = |at: [f64; 2], face, says: String| Item::text(at, Anchor::End, face, HEAD_SIZE, says);
    items.push(end([columns.number_end, second], Face::Text, "No.".to_owned()));
    items.push(start([columns.name, second], "Point"));
    items.push(start([columns.side, second], "Side"));
    for ([value, half], [axis, way]) in
        columns
            .figures
            .iter()
            .zip([["x", "ahead"], ["y", "left"], ["z", "up"]])
    {
        items.push(end([*value, first], Face::Text, way.to_owned()));
        items.push(end([*value, second], Face::Figure, format!("{axis}, {unit}")));
        items.push(end([*half, second], Face::Text, "±".to_owned()));
    }
    items.push(start([columns.remarks, second], "Remarks"));
    items.push(Item::line(
        [area[0], top + HEAD - 0.6],
        [area[2], top + HEAD - 0.6],
        STRONG,
    ));
}

struct Row {
    number: usize,
    name: Vec<String>,
    side: &'static str,
    figures: Vec<super::Row>,
    remarks: Vec<String>,
    height: f64,
}

impl Row {
    fn of(wall: &Wall, place: usize, columns: &Columns) -> Row {
        let point = &wall.points[place];
        let name = wrapped(Face::Figure, NAME, &point.label, columns.name_width, MOST_LINES);
        let remarks = wrapped(
            Face::Text,
            TEXT,
            &point.remarks.join(" "),
            columns.remarks_width,
            MOST_LINES,
        );
        let figures = figures(point);
        // Beyond its first line.
        let more = [
            (name.len(), NAME_LINE),
            (remarks.len(), TEXT_LINE),
            (figures.len(), FIGURE_LINE),
        ];
        let more = more.map(|(lines, high)| lines.saturating_sub(1) as f64 * high);
        Row {
            number: place + 1,
            name,
            side: match point.side {
                Some(Side::Left) => "left",
                Some(Side::Right) => "right",
                Some(Side::Centre) => "centre",
                None => "",
            },
            figures,
            remarks,
            height: BASE + more.into_iter().fold(0.0, f64::max) + UNDER,
        }
    }

    fn drawn(&self, columns: &Columns, top: f64) -> Item {
        // All first lines stand on one baseline.
        let base = top + BASE;
        let mut items = vec![Item::text(
            [columns.number_end, base],
            Anchor::End,
            Face::Text,
            TEXT,
            self.number.to_string(),
        )];
        let name = self.name.iter().enumerate();
        items.extend(name.map(|(line, says)| {
            let at = [columns.name, base + line as f64 * NAME_LINE];
            Item::text(at, Anchor::Start, Face::Figure, NAME, says.clone())
        }));
        if !self.side.is_empty() {
            items.push(Item::text(
                [columns.side, base],
                Anchor::Start,
                Face::Text,
                TEXT,
                self.side,
            ));
        }
        for (line, row) in self.figures.iter().enumerate() {
            let base = base + line as f64 * FIGURE_LINE;
            for (cell, [value, half]) in row.iter().zip(&columns.figures) {
                let says = cell.value.as_deref().unwrap_or("?");
                items.push(figure::set(says, [*value, base], Face::Figure, FIGURE));
                if let Some(says) = &cell.half_width_95 {
                    items.push(figure::set(says, [*half, base], Face::Text, HALF_WIDTH));
                }
            }
        }
        let remarks = self.remarks.iter().enumerate();
        items.extend(remarks.map(|(line, says)| {
            let at = [columns.remarks, base + line as f64 * TEXT_LINE];
            Item::text(at, Anchor::Start, Face::Text, TEXT, says.clone())
        }));
        Item::Group {
            name: self.name.join(" "),
            items,
        }
    }
}

/// A row of question marks where nothing is known.
fn figures(point: &WallPoint) -> Vec<super::Row> {
    match point.rows.is_empty() {
        true => vec![super::Row::default()],
        false => point.rows.clone(),
    }
}
