//! The words of a shell survey.

mod angle;
mod frame;
mod instrument;
mod length;
mod point;
mod print;
mod problem;
mod reading;
mod sheets;
mod tokens;
mod unit_error;

pub use angle::{format_angle, parse_angle};
pub use frame::{Frame, FrameError, parse_frame};
pub use instrument::{Class, Instrument, InstrumentKind, default_sd};
pub use length::{INCH_MM, LengthUnit, parse_length};
pub use point::{Label, Point, Side};
pub use print::{LengthFormat, format_length};
pub use problem::{Problem, Severity};
pub use reading::{Kind, Quantity, ReadFrom, Reading, State};
pub use sheets::{SheetText, Sheets, read_sheets};
pub use unit_error::{UnitError, UnitFault};

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

impl Survey {
    /// The place in [`points`](Survey::points) of the point with that label.
    pub fn point_index(&self, label: &Label) -> Option<usize> {
        self.points.iter().position(|point| point.label == *label)
    }

    /// The place in [`readings`](Survey::readings) of the reading with that id.
    pub fn reading_index(&self, id: &str) -> Option<usize> {
        self.readings.iter().position(|reading| reading.id == id)
    }

    /// The instrument that a reading was made with, where it is known.
    pub fn instrument_of(&self, reading: &Reading) -> Option<&Instrument> {
        reading.instrument.and_then(|index| self.instruments.get(index))
    }
}
