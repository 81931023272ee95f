//! How points and doubts are drawn: each has its own silhouette, so that black ink is enough.

use crate::drawing::{Ink, Item, Pen};

use super::space::{Box2, Segment, around, boxes_meet, grown};

/// Radius of the disc of a prick mark, mm.
pub(super) const PRICK: f64 = 0.6;
/// Radius of a ring, mm.
const RING: f64 = 1.1;
/// How far the arrows of a loose point reach, mm.
const ARROW: f64 = 7.0;
/// How far a suspect's flag reaches from its foot, mm: to the right and up.
const FLAG: [f64; 2] = [4.4, 6.4];

/// Where a flag may be planted on its line, the best first.
const PLANTED: [f64; 7] = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8];

const FINE: Pen = Pen::solid(0.3);
/// Long dashes: a reading that is held out.
const HELD_OUT: Pen = Pen::dashed(0.5, &[4.0, 1.6]);
/// Dots: two places are one point.
const ONE_POINT: Pen = Pen::dashed(0.35, &[0.5, 1.0]);

/// A mark: what is drawn, and what no name may lie on.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Mark {
    pub(super) items: Vec<Item>,
    pub(super) keep_off: Vec<Box2>,
    /// Lines that a name had better not cross.
    pub(super) rather_off: Vec<Segment>,
}

/// A point that is pinned down: the prick of a punch.
pub(super) fn pricked(at: [f64; 2], name: &str) -> Mark {
    Mark {
        items: vec![disc(at, PRICK, name)],
        keep_off: vec![square(at, PRICK)],
        rather_off: Vec::new(),
    }
}

/// A loose point: a disc with arrows along the ways in which it can move.
pub(super) fn loose(at: [f64; 2], ways: &[[f64; 2]], name: &str) -> Mark {
    let mut mark = Mark {
        items: vec![disc(at, 1.1, name)],
        keep_off: vec![square(at, 1.1)],
        rather_off: Vec::new(),
    };
    for [x, y] in ways {
        let long = x.hypot(*y);
        // Towards the reader there is nothing to draw.
        if long < 0.2 {
            continue;
        }
        for turn in [1.0, -1.0] {
            let along = [turn * x / long, turn * y / long];
            let tip = [at[0] + along[0] * ARROW, at[1] + along[1] * ARROW];
            let start = [at[0] + along[0] * 1.6, at[1] + along[1] * 1.6];
            mark.items.extend(arrow(start, tip, Pen::solid(0.5), 2.0));
            mark.keep_off.push(grown(around([start, tip]), 0.4));
        }
    }
    mark
}

/// A point with two places: a ring at each, joined by dots.
pub(super) fn two_places(places: [[f64; 2]; 2], name: &str) -> Mark {
    let [a, b] = places;
    let long = (b[0] - a[0]).hypot(b[1] - a[1]);
    let mut mark = Mark::default();
    if long > 2.0 * RING {
        let along = [(b[0] - a[0]) / long * RING, (b[1] - a[1]) / long * RING];
        let line = [
            [a[0] + along[0], a[1] + along[1]],
            [b[0] - along[0], b[1] - along[1]],
        ];
        mark.items.push(Item::line(line[0], line[1], ONE_POINT));
        mark.rather_off.push(line);
    }
    for place in places {
        mark.items.push(Item::Disc {
            centre: place,
            radius: RING,
            ink: Ink::White,
            name: Some(name.to_owned()),
        });
        mark.items.push(Item::Ellipse {
            centre: place,
            half: [RING; 2],
            angle: 0.0,
            pen: Pen::solid(0.45),
        });
        mark.keep_off.push(square(place, RING + 0.3));
    }
    mark
}

/// A reading that is held out: long dashes with a flag planted on them where it covers none of the points, if that can
/// be. Gives the foot of the flag too.
pub(super) fn suspect(path: &[[f64; 2]], reading: &str, points: &[[f64; 2]]) -> (Mark, [f64; 2]) {
    let covered = |foot: &[f64; 2]| {
        let around = grown(flag_box(*foot), PRICK);
        points
            .iter()
            .filter(|[x, y]| boxes_meet(around, [*x, *y, *x, *y]))
            .count()
    };
    let feet = PLANTED.map(|part| along(path, part));
    let foot = feet.into_iter().min_by_key(covered).unwrap_or_default();
    let mut mark = Mark {
        items: vec![Item::Line {
            points: path.to_vec(),
            pen: HELD_OUT,
        }],
        ..Mark::default()
    };
    mark.items.extend(flag(foot, reading));
    mark.keep_off.push(flag_box(foot));
    mark.rather_off = path.windows(2).map(|two| [two[0], two[1]]).collect();
    (mark, foot)
}

fn flag_box([x, y]: [f64; 2]) -> Box2 {
    [x - 0.6, y - FLAG[1], x + FLAG[0], y + 0.6]
}

/// A swallow-tailed flag on a staff.
pub(super) fn flag([x, y]: [f64; 2], reading: &str) -> Vec<Item> {
    let [wide, high] = FLAG;
    vec![
        Item::line([x, y], [x, y - high], Pen::solid(0.5)),
        Item::Area {
            points: vec![
                [x, y - high],
                [x + wide, y - high],
                [x + wide - 1.3, y - high + 1.6],
                [x + wide, y - high + 3.2],
                [x, y - high + 3.2],
            ],
            ink: Ink::Black,
        },
        disc([x, y], 0.5, reading),
    ]
}

/// A line with a head of two strokes.
pub(super) fn arrow(from: [f64; 2], tip: [f64; 2], pen: Pen, head: f64) -> Vec<Item> {
    let angle = (tip[1] - from[1]).atan2(tip[0] - from[0]);
    let barb = |turn: f64| {
        let (sin, cos) = (angle + turn).sin_cos();
        [tip[0] - head * cos, tip[1] - head * sin]
    };
    vec![
        Item::line(from, tip, pen),
        Item::Line {
            points: vec![barb(0.45), tip, barb(-0.45)],
            pen,
        },
    ]
}

/// A cross where the frame's zero is.
pub(super) fn zero([x, y]: [f64; 2]) -> Vec<Item> {
    vec![
        Item::line([x - 3.0, y], [x + 3.0, y], FINE),
        Item::line([x, y - 3.0], [x, y + 3.0], FINE),
    ]
}

fn disc(centre: [f64; 2], radius: f64, name: &str) -> Item {
    Item::Disc {
        centre,
        radius,
        ink: Ink::Black,
        name: Some(name.to_owned()),
    }
}

fn square([x, y]: [f64; 2], half: f64) -> Box2 {
    [x - half, y - half, x + half, y + half]
}

/// The place at some part of the length of a polyline.
fn along(path: &[[f64; 2]], part: f64) -> [f64; 2] {
    let long = |two: &[[f64; 2]]| (two[1][0] - two[0][0]).hypot(two[1][1] - two[0][1]);
    let mut left = path.windows(2).map(long).sum::<f64>() * part;
    for two in path.windows(2) {
        let this = long(two);
        if left <= this && this > 0.0 {
            return [0, 1].map(|axis| two[0][axis] + (two[1][axis] - two[0][axis]) * left / this);
        }
        left -= this;
    }
    path.first().copied().unwrap_or_default()
}
