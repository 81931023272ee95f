//! The starting list: hard points of a bare two- or four-door shell, for a crew to prune and rename.
//!
//! The rough places are those of no shell in particular: x ahead of the rear axle, y to the left of the middle, z above
//! the ground, a hand's width or two off on any real one. They are there so that an order can be worked out before
//! anything is read. Which points a cage hangs on is common practice, no source.

use serde::Serialize;

/// Hard points to begin with.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct StartingList {
    /// The points, group by group.
    pub points: Vec<StartingPoint>,
    /// The groups in the order in which they are best surveyed.
    pub groups: Vec<StartingGroup>,
}

/// Points that are surveyed together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct StartingGroup {
    /// Its word.
    pub key: &'static str,
}

/// A hard point, with a rough place on a shell of no particular make: x ahead, y left, z up.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct StartingPoint {
    /// What it is called.
    pub label: String,
    /// `left`, `right` or `centre`.
    #[cfg_attr(test, ts(type = r#""left" | "right" | "centre""#))]
    pub side: &'static str,
    /// Its mirror partner.
    pub mirror: Option<String>,
    /// Its group.
    pub group: &'static str,
    /// The shells that have it, by their doors.
    #[cfg_attr(test, ts(type = "Array<2 | 4>"))]
    pub doors: Vec<u8>,
    /// Ahead.
    pub x_mm: f64,
    /// To the left of the middle.
    pub y_mm: f64,
    /// Up.
    pub z_mm: f64,
    /// Where on the part to hold the tape.
    pub hint: &'static str,
}

const BOTH: &[u8] = &[2, 4];
const TWO: &[u8] = &[2];
const FOUR: &[u8] = &[4];

/// In this order: the floor is the frame that everything else hangs on.
const GROUPS: [&str; 7] = ["floor", "seats", "doors", "roof", "inside", "rear", "front"];

/// A part, left and right of the middle or on it where y is 0.
struct Part {
    name: &'static str,
    group: &'static str,
    doors: &'static [u8],
    at: [f64; 3],
    hint: &'static str,
}

const fn part(
    name: &'static str,
    group: &'static str,
    doors: &'static [u8],
    at: [f64; 3],
    hint: &'static str,
) -> Part {
    Part {
        name,
        group,
        doors,
        at,
        hint,
    }
}

const PARTS: [Part; 28] = [
    part(
        "sill rear",
        "floor",
        BOTH,
        [380.0, 690.0, 310.0],
        "outer edge of the pinch weld, at the rear end",
    ),
    part(
        "sill mid",
        "floor",
        BOTH,
        [1140.0, 705.0, 300.0],
        "outer edge of the pinch weld, halfway",
    ),
    part(
        "sill front",
        "floor",
        BOTH,
        [1900.0, 695.0, 305.0],
        "outer edge of the pinch weld, at the front end",
    ),
    part(
        "floor rear",
        "floor",
        BOTH,
        [520.0, 380.0, 345.0],
        "a punch mark on the pan, ahead of the rear bench",
    ),
    part(
        "floor front",
        "floor",
        BOTH,
        [1760.0, 400.0, 320.0],
        "a punch mark on the pan, where the heels rest",
    ),
    part(
        "tunnel rear",
        "floor",
        BOTH,
        [560.0, 0.0, 450.0],
        "top of the tunnel, at the rear end",
    ),
    part(
        "tunnel front",
        "floor",
        BOTH,
        [1780.0, 0.0, 510.0],
        "top of the tunnel, at the bulkhead",
    ),
    part(
        "hoop foot",
        "floor",
        BOTH,
        [640.0, 590.0, 340.0],
        "middle of where the rear hoop will stand",
    ),
    part(
        "seat bolt rear inner",
        "seats",
        BOTH,
        [900.0, 220.0, 390.0],
        "centre of the bolt hole",
    ),
    part(
        "seat bolt rear outer",
        "seats",
        BOTH,
        [890.0, 560.0, 405.0],
        "centre of the bolt hole",
    ),
    part(
        "seat bolt front inner",
        "seats",
        BOTH,
        [1330.0, 230.0, 380.0],
        "centre of the bolt hole",
    ),
    part(
        "seat bolt front outer",
        "seats",
        BOTH,
        [1320.0, 570.0, 395.0],
        "centre of the bolt hole",
    ),
    part(
        "hinge low",
        "doors",
        BOTH,
        [1850.0, 735.0, 530.0],
        "centre of the upper bolt of the lower hinge",
    ),
    part(
        "hinge high",
        "doors",
        BOTH,
        [1860.0, 730.0, 860.0],
        "centre of the upper bolt of the upper hinge",
    ),
    part(
        "latch",
        "doors",
        TWO,
        [720.0, 750.0, 760.0],
        "centre of the upper bolt of the striker",
    ),
    part(
        "front latch",
        "doors",
        FOUR,
        [980.0, 745.0, 750.0],
        "centre of the upper bolt of the front door's striker",
    ),
    part(
        "rear hinge",
        "doors",
        FOUR,
        [930.0, 740.0, 560.0],
        "centre of the upper bolt of the rear door's lower hinge",
    ),
    part(
        "rear latch",
        "doors",
        FOUR,
        [110.0, 735.0, 770.0],
        "centre of the upper bolt of the rear door's striker",
    ),
    part(
        "A post top",
        "roof",
        BOTH,
        [1420.0, 570.0, 1330.0],
        "where post, header and roof rail meet, inside",
    ),
    part(
        "B post top",
        "roof",
        BOTH,
        [860.0, 590.0, 1390.0],
        "where the post meets the roof rail, inside",
    ),
    part(
        "C post top",
        "roof",
        BOTH,
        [180.0, 560.0, 1350.0],
        "where the post meets the roof rail, inside",
    ),
    part(
        "header",
        "roof",
        BOTH,
        [1480.0, 300.0, 1365.0],
        "lower edge of the header, a foot from the middle",
    ),
    part(
        "dash end",
        "inside",
        BOTH,
        [1820.0, 640.0, 910.0],
        "where the dash rail meets the post",
    ),
    part(
        "bulkhead low",
        "inside",
        BOTH,
        [2080.0, 520.0, 430.0],
        "foot of the bulkhead, beside the pedals",
    ),
    part(
        "tub top",
        "rear",
        BOTH,
        [20.0, 560.0, 760.0],
        "highest place of the wheel tub, inside",
    ),
    part(
        "strut tower rear",
        "rear",
        BOTH,
        [-30.0, 500.0, 890.0],
        "centre of the top mount's hole",
    ),
    part(
        "strut tower front",
        "front",
        BOTH,
        [2590.0, 560.0, 870.0],
        "centre of the top mount's hole",
    ),
    part(
        "rail horn",
        "front",
        BOTH,
        [3230.0, 440.0, 540.0],
        "lower inner corner of the rail's front end",
    ),
];

impl StartingList {
    /// The list. It is the same each time.
    pub fn new() -> StartingList {
        StartingList {
            points: PARTS.iter().flat_map(points).collect(),
            groups: GROUPS.into_iter().map(|key| StartingGroup { key }).collect(),
        }
    }
}

impl Default for StartingList {
    fn default() -> StartingList {
        StartingList::new()
    }
}

fn points(part: &Part) -> Vec<StartingPoint> {
    let [x_mm, y_mm, z_mm] = part.at;
    let point = |letter: char, side: &'static str, mirror: Option<char>, y_mm: f64| StartingPoint {
        label: format!("{} {letter}", part.name),
        side,
        mirror: mirror.map(|letter| format!("{} {letter}", part.name)),
        group: part.group,
        doors: part.doors.to_vec(),
        x_mm,
        y_mm,
        z_mm,
        hint: part.hint,
    };
    if y_mm == 0.0 {
        return vec![point('C', "centre", None, 0.0)];
    }
    vec![
        point('L', "left", Some('R'), y_mm),
        point('R', "right", Some('L'), -y_mm),
    ]
}

#[cfg(test)]
mod tests;
