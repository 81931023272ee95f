//! The starting list: hard points of a bare two- or four-door shell, for a crew to prune and rename.

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
