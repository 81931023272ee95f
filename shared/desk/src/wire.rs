//! The answer as JSON, format 1: lengths in mm, angles in degrees, points and readings in the order of the
//! sheets. What is not known is `null`, never 0. A name here is a promise to whoever reads the files.

mod comparison;
mod doubts;
mod from_answer;
mod instruments;
mod order;
mod shape;
mod symmetry;
mod words;

pub use comparison::{
    ComparedWire, ComparisonWire, EpochPoint, EpochsCompared, NotComparedWire, comparison_to_json,
};
pub use doubts::{
    Accepted, CheckedShare, Doubt, DoubtKind, Doubts, LeastChecked, MovedPoint, Next, PairOff, Settle, Way,
    WorstPoint,
};
pub(crate) use from_answer::{reads_angles, shown};
pub use instruments::{InstrumentWire, PersonWire};
pub use order::{LeftOutWire, OrderWire, StepWire, order_to_json};
pub use shape::{
    Extent, FrameWay, LineState, OffMirror, PlaneWire, ShapeLine, ShapePoint, ShapeShown, ShapeStatus,
    SideWord, Weakest,
};
pub use symmetry::{DiagonalWire, PairWire, SymmetryWire, TestedWire};
pub use words::{
    HandednessWord, OutcomeWord, PointStatusWord, PurposeWord, QuantityWord, StepReasonWord, VerdictWord,
};

use serde::Serialize;

use crate::AdjustAnswer;

/// The answer as JSON text, with a line end at its end.
pub fn to_json(answer: &AdjustAnswer) -> String {
    let mut text = serde_json::to_string_pretty(&AdjustmentWire::of(answer))
        .expect("plain structs of numbers and text always serialise");
    text.push('\n');
    text
}

/// The whole answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct AdjustmentWire {
    /// The version of these names: 1.
    pub format: u32,
    /// The frame of the coordinates.
    pub frame: FrameWire,
    /// What decided between mirror images.
    pub handedness: HandednessWord,
    /// The most serious thing that applies.
    pub outcome: OutcomeWord,
    /// The points in the order of the sheets.
    pub points: Vec<PointWire>,
    /// The readings in the order of the sheet.
    pub readings: Vec<ReadingWire>,
    /// The figures of the whole.
    pub summary: SummaryWire,
    /// Points that are not pinned down.
    pub loose: Vec<LooseWire>,
    /// Points with two places.
    pub two_valued: Vec<TwoValuedWire>,
    /// Groups of labels that hang together but not with each other.
    pub islands: Vec<Vec<String>>,
    /// What to read next, best first.
    pub next: Vec<NextWire>,
    /// Mirror pairs against the mid-plane; `null` where fewer than two pairs are pinned down.
    pub symmetry: Option<SymmetryWire>,
    /// How the instruments behave.
    pub instruments: Vec<InstrumentWire>,
    /// How the people read who are named.
    pub people: Vec<PersonWire>,
    /// What is wrong with the sheets, and what must be told beside the result.
    pub problems: Vec<ProblemWire>,
}

/// The frame, by its kind and its points.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum FrameWire {
    /// Three points.
    Three {
        /// At (0, 0, 0).
        origin: String,
        /// On +x.
        ahead: String,
        /// At y > 0, z = 0.
        left: String,
    },
    /// z along the plumb line of the first stand.
    Plumb {
        /// At (0, 0, 0).
        origin: String,
        /// At y = 0, x > 0.
        ahead: String,
        /// At y > 0.
        left: String,
    },
    /// y = 0 is the mid-plane of the mirror pairs.
    Centreline {
        /// Projected to (0, 0, 0).
        origin: String,
        /// Projected on +x.
        ahead: String,
        /// At z > 0.
        above: String,
    },
    /// That of fixed coordinates and of x, y and z readings.
    Bench,
}

/// One point.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(
    missing_docs,
    reason = "the names are their own units; formats are told in the type's docs"
)]
pub struct PointWire {
    pub label: String,
    pub x_mm: Option<f64>,
    pub y_mm: Option<f64>,
    pub z_mm: Option<f64>,
    pub sd_x_mm: Option<f64>,
    pub sd_y_mm: Option<f64>,
    pub sd_z_mm: Option<f64>,
    pub covariance_mm2: Option<[[f64; 3]; 3]>,
    pub ellipsoid_95_mm: Option<[f64; 3]>,
    pub status: PointStatusWord,
}

/// One reading; mm, or degrees for slopes and corners.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct ReadingWire {
    /// Its id in the sheet.
    pub id: String,
    /// Its kind.
    #[cfg_attr(test, ts(type = "KindWord"))]
    pub kind: &'static str,
    /// After from, add and zero offset.
    pub observed: f64,
    /// What the solution says; for one that is not in use, what the others predict.
    pub adjusted: Option<f64>,
    /// Adjusted minus observed.
    pub residual: Option<f64>,
    /// Standard deviation of `observed`.
    pub sd: f64,
    /// How far the others check it, 0 to 1.
    pub redundancy: Option<f64>,
    /// Residual over its own standard deviation, signed.
    pub w: Option<f64>,
    /// The smallest slip that the test would see.
    pub smallest_visible_slip: Option<f64>,
    /// Nothing else would show a slip in it.
    pub unchecked: bool,
    /// What the tests say.
    pub verdict: VerdictWord,
    /// The number of its group, where it is unclear.
    pub group: Option<usize>,
    /// The slip that would explain it best.
    pub likely_slip: Option<LikelySlipWire>,
    /// Every slip with odds of at least 1 in 100, best first, where the reading is off or unclear.
    pub slips: Vec<LikelySlipWire>,
    /// The odds that it was none of the catalogue; `null` where nothing was weighed.
    pub none_of_these: Option<f64>,
}

/// A slip that would explain a reading.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct LikelySlipWire {
    /// Its word.
    #[cfg_attr(test, ts(type = "SlipWord"))]
    pub name: &'static str,
    /// The observed value with the slip undone.
    pub corrected: Option<f64>,
    /// The points it would belong to.
    pub belongs_to: Option<Vec<String>>,
    /// Probability among the catalogue and "none of these".
    pub odds: f64,
}

/// The figures of the whole, with suspects held out.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(
    missing_docs,
    reason = "the same fields as `adjust::Summary`, which documents them"
)]
pub struct SummaryWire {
    pub points: usize,
    pub readings: usize,
    pub held_out: usize,
    pub unclear: usize,
    pub unknowns: usize,
    pub degrees_of_freedom: usize,
    pub chi_square: f64,
    pub chi_square_band_95: Option<[f64; 2]>,
    pub chi_square_all: f64,
    pub variance_factor: Option<f64>,
    pub passes: Option<bool>,
    pub critical_w: f64,
}

/// A point that is not pinned down, with unit vectors along which it can move.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(missing_docs, reason = "told in the type's docs")]
pub struct LooseWire {
    pub label: String,
    pub directions: Vec<[f64; 3]>,
}

/// A point with two places, and the chi-square of the whole with each.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(missing_docs, reason = "told in the type's docs")]
pub struct TwoValuedWire {
    pub label: String,
    pub candidates: [[f64; 3]; 2],
    pub chi_square: [f64; 2],
}

/// A reading worth taking next.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(
    missing_docs,
    reason = "the same fields as `adjust::NextReading`, which documents them"
)]
pub struct NextWire {
    #[cfg_attr(test, ts(type = "KindWord"))]
    pub kind: &'static str,
    pub a: String,
    pub b: String,
    pub worst_sd_before_mm: Option<f64>,
    pub worst_sd_after_mm: Option<f64>,
    pub why: String,
}

/// Something that is wrong, with its place; without a file it is about the result.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(missing_docs, reason = "told in the type's docs")]
pub struct ProblemWire {
    pub file: Option<String>,
    pub row: Option<usize>,
    pub column: Option<String>,
    pub reason: String,
}

#[cfg(test)]
mod tests;
