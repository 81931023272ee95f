//! The demo job: an invented shell of 44 points, measured with two tapes, an angle finder and a water level.
//!
//! Three slips are planted in it and one point is held by two tapes only. The sheets are written by
//! `cargo run -p desk --example make_demo`.

use crate::{AdjustRequest, SheetBytes};

/// The frame that the demo is solved in: right rear sill, right front sill ahead, left rear sill to the left.
pub const FRAME: &str = "three:sill-rear-R,sill-front-R,sill-rear-L";

/// The demo's job, the same on every device.
pub(crate) const JOB: u128 = 0x7472_616d_6d65_6c20_0000_0000_0000_0001;

/// What the demo's job is called.
pub const NAME: &str = "demo";

/// Who brings its sheets in.
pub(crate) const CREW: &str = "demo";

/// The three sheets with their file names: readings, points, instruments.
pub const SHEETS: [(&str, &str); 3] = [
    ("readings.csv", include_str!("../demo/readings.csv")),
    ("points.csv", include_str!("../demo/points.csv")),
    ("instruments.csv", include_str!("../demo/instruments.csv")),
];

/// The request that solves the demo job.
pub fn request() -> AdjustRequest {
    let [readings, points, instruments] = SHEETS.map(|(name, text)| SheetBytes {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    });
    AdjustRequest {
        points: Some(points),
        instruments: Some(instruments),
        frame: Some(FRAME.to_owned()),
        ..AdjustRequest::of(readings)
    }
}
