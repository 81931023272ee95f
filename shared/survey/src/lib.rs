//! The words of a shell survey.

mod frame;
mod instrument;
mod point;
mod problem;
mod reading;

pub use frame::Frame;
pub use instrument::{Class, Instrument, InstrumentKind};
pub use point::{Label, Point, Side};
pub use problem::{Problem, Severity};
pub use reading::{Kind, Quantity, ReadFrom, Reading, State};

/// Everything that was measured on one shell: plain data, checked when it was read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Survey {
    /// The points: those of the points sheet in its order, then those that only readings name.
    pub points: Vec<Point>,
    /// The instruments.
    pub instruments: Vec<Instrument>,
    /// The readings in the order of the sheet.
    pub readings: Vec<Reading>,
    /// Lines that cannot be taped: pairs of indices into `points`.
    pub blocked: Vec<[usize; 2]>,
    /// The unit that a bare length was taken in.
    pub unit: Option<LengthUnit>,
}

/// The unit of a bare length, and the unit in which the crew is answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthUnit {
    /// Inches with fractions. One inch is 25.4 mm exactly.
    Inch,
    /// Millimetres.
    Millimetre,
}
