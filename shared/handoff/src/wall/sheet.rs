//! What every page carries: the title block at its head, the stamp at its foot, the caution on the first.

use crate::drawing::{Anchor, Face, Ink, Item, Page, Paper, Pen, width_mm};

use super::Wall;
use super::setting::{cut, wrapped};
use super::space::Box2;

/// White round all that is drawn, mm: what an office printer leaves, and room for a pin.
const MARGIN: f64 = 12.0;
const TITLE: f64 = 15.0;
const FOOT: f64 = 12.0;
const CAUTION: f64 = 3.6;
const CAUTION_LINE: f64 = 4.8;
const TITLE_SIZE: f64 = 8.4;
const CELL_HEAD: f64 = 3.1;
const CELL_SIZE: f64 = 4.2;
const CELL_PAD: f64 = 3.0;
/// Under the title block.
const STRONG: Pen = Pen::solid(0.6);
const RULE: Pen = Pen::solid(0.15);

/// Where a page's own content goes.
pub(super) fn body(paper: Paper) -> Box2 {
    let [width, height] = paper.size_mm();
    [
        MARGIN,
        MARGIN + TITLE + 4.0,
        width - MARGIN,
        height - MARGIN - FOOT - 2.0,
    ]
}

/// How much of the first page the caution takes.
pub(super) fn caution_height(paper: Paper, caution: &str) -> f64 {
    let lines = caution_lines(paper, caution).len();
    if lines == 0 {
        0.0
    } else {
        lines as f64 * CAUTION_LINE + 2.0
    }
}

/// A page with its head and foot.
pub(super) fn dressed(
    wall: &Wall,
    paper: Paper,
    title: &str,
    mut page: Page,
    number: usize,
    count: usize,
) -> Page {
    let [width, height] = paper.size_mm();
    let mut items = vec![title_block(
        wall,
        title,
        [MARGIN, MARGIN, width - MARGIN, MARGIN + TITLE],
    )];
    items.append(&mut page.items);
    let foot = height - MARGIN - FOOT;
    if number == 1 {
        let lines = caution_lines(paper, &wall.caution);
        let top = foot - caution_height(paper, &wall.caution);
        let bar = [MARGIN, top + 0.4, MARGIN + 1.0, foot - 2.0];
        if !lines.is_empty() {
            items.push(Item::rectangle(bar, Ink::Black));
        }
        for (line, says) in lines.into_iter().enumerate() {
            let y = top + (line as f64 + 0.8) * CAUTION_LINE;
            items.push(Item::text(
                [MARGIN + 3.5, y],
                Anchor::Start,
                Face::Text,
                CAUTION,
                says,
            ));
        }
    }
    items.push(foot_of(
        wall,
        [MARGIN, foot, width - MARGIN, height - MARGIN],
        number,
        count,
    ));
    Page { items }
}

fn caution_lines(paper: Paper, caution: &str) -> Vec<String> {
    let [width, _] = paper.size_mm();
    wrapped(Face::Text, CAUTION, caution, width - 2.0 * MARGIN - 3.5, 6)
}

fn title_block(wall: &Wall, title: &str, [left, top, right, bottom]: Box2) -> Item {
    let mut items = vec![
        Item::text([left, top + 10.6], Anchor::Start, Face::Head, TITLE_SIZE, title),
        Item::line([left, bottom], [right, bottom], STRONG),
    ];
    let known = |text: &str| {
        if text.is_empty() {
            "?".to_owned()
        } else {
            text.to_owned()
        }
    };
    let cells = &wall.cells;
    let mut boxes = vec![
        ("Job", known(&wall.job)),
        ("Frame", known(&cells.frame)),
        (
            "Last reading",
            cells.last_read.map_or_else(|| "?".to_owned(), day),
        ),
        ("Points", wall.points.len().to_string()),
        ("Readings", cells.readings.to_string()),
    ];
    if !cells.epoch.is_empty() {
        boxes.insert(2, ("Epoch", cells.epoch.clone()));
    }
    let natural = |(head, says): &(&str, String)| {
        width_mm(Face::Text, CELL_HEAD, head).max(width_mm(Face::Figure, CELL_SIZE, says)) + 2.0 * CELL_PAD
    };
    let room = right - left - width_mm(Face::Head, TITLE_SIZE, title) - 5.0;
    let mut widths: Vec<f64> = boxes.iter().map(natural).collect();
    let over = widths.iter().sum::<f64>() - room;
    if over > 0.0 {
        shorten(&mut widths, &boxes, over);
    }
    let mut x = right - widths.iter().sum::<f64>();
    for ((head, says), width) in boxes.iter().zip(widths) {
        items.push(Item::line([x, top], [x, bottom], RULE));
        let at = x + CELL_PAD;
        let says = cut(Face::Figure, CELL_SIZE, says, width - 2.0 * CELL_PAD + 0.01);
        items.push(Item::text(
            [at, top + 5.4],
            Anchor::Start,
            Face::Text,
            CELL_HEAD,
            *head,
        ));
        items.push(Item::text(
            [at, top + 11.2],
            Anchor::Start,
            Face::Figure,
            CELL_SIZE,
            says,
        ));
        x += width;
    }
    Item::Group {
        name: "Title".to_owned(),
        items,
    }
}

/// Takes room from the longest of the boxes that hold names, until they fit.
fn shorten(widths: &mut [f64], boxes: &[(&str, String)], mut over: f64) {
    let least = 2.0 * CELL_PAD + 12.0;
    while over > 1e-9 {
        let named = (0..boxes.len()).filter(|&cell| ["Job", "Frame", "Epoch"].contains(&boxes[cell].0));
        let Some(widest) = named.max_by(|&a, &b| widths[a].total_cmp(&widths[b])) else {
            return;
        };
        let step = (widths[widest] - least).min(over).min(2.0);
        if step <= 0.0 {
            return;
        }
        widths[widest] -= step;
        over -= step;
    }
}

fn foot_of(wall: &Wall, [left, top, right, bottom]: Box2, number: usize, count: usize) -> Item {
    let size = 4.1;
    let stamp = cut(Face::Head, size, &wall.stamp, right - left - 40.0);
    let wide = width_mm(Face::Head, size, &stamp) + 6.0;
    let base = bottom - 2.6;
    let mut items = vec![Item::line([left, top], [right, top], RULE)];
    if !stamp.is_empty() {
        items.push(Item::frame(
            [left, bottom - 7.6, left + wide, bottom],
            Pen::solid(0.5),
        ));
        items.push(Item::text(
            [left + 3.0, base],
            Anchor::Start,
            Face::Head,
            size,
            stamp,
        ));
    }
    let page = format!("Page {number} of {count}");
    items.push(Item::text([right, base], Anchor::End, Face::Figure, size, page));
    Item::Group {
        name: "Foot".to_owned(),
        items,
    }
}

/// `3 April 2026`.
fn day(day: crate::drawing::Day) -> String {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let month = usize::from(day.month)
        .checked_sub(1)
        .and_then(|month| MONTHS.get(month));
    month.map_or_else(
        || "?".to_owned(),
        |month| format!("{} {month} {}", day.day, day.year),
    )
}
