//! The words of a shell survey: points, readings, instruments, frames, units, and the sheets they come in.
//!
//! Two people measure a car shell with a tape and an angle finder. What they write down is a *survey*:
//!
//! - a [`Point`] is a marked, named hard point. It has a side, may have a mirror partner and a rough position;
//! - a [`Reading`] is one observation: a [`Kind`], its points, the value as typed and in SI, its standard
//!   deviation. It is never erased; it can be *set aside* or *kept* ([`State`]);
//! - an [`Instrument`] is a tape, an angle finder or a level, with its accuracy class, zero offset and case
//!   length; [`default_sd`] says how well it reads;
//! - a [`Frame`] is the axes that coordinates are asked for in: x ahead, y left, z up;
//! - a *stand* is one way in which the shell stood while it was read, and has a plumb line of its own.
//!
//! Inside, lengths are millimetres and angles radians. People see neither radians nor a guess:
//! [`parse_length`] and [`parse_angle`] read what is typed, or refuse it with the place and the reason, and
//! [`format_length`] and [`format_angle`] print what can be typed again.
//!
//! # Sheets
//!
//! [`read_sheets`] reads the three CSV sheets. It gives a [`Survey`] *and* every [`Problem`] in them, each with
//! file, row, column and reason. A row is read or it is told; none is dropped in silence. [`sheet_rows`] gives the
//! cells as they were typed, for whoever keeps them.
//!
//! ```
//! use survey::{SheetText, Sheets, Severity, read_sheets};
//!
//! let readings = SheetText {
//!     name: "monday.csv",
//!     bytes: b"id,kind,a,b,value,from\n\
//!              1,tape,sill-L,sill-R,\"53 7/16\"\"\",burn-1in\n\
//!              2,tape,sill-L,tower-L,\"1,032 mm\",\n",
//! };
//! let (survey, problems) = read_sheets(&Sheets { readings, points: None, instruments: None, unit: None });
//! let survey = survey.expect("no problem concerns a whole sheet");
//!
//! // The first row: what was read, and what is left of it when the burned inch is taken off.
//! assert_eq!(survey.readings[0].read, 53.4375 * 25.4);
//! assert_eq!(survey.readings[0].observed, 53.4375 * 25.4 - 25.4);
//!
//! // The second is left out, and the problem says why.
//! assert_eq!(problems[0].severity, Severity::Row);
//! assert!(problems[0].to_string().starts_with("monday.csv, row 3, column value: \"1,032 mm\" has a comma"));
//! ```
//!
//! # What it does not do
//!
//! It computes no coordinates and judges no reading: whether readings agree is the adjustment's business. It
//! opens no file and reads no clock.

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
pub use instrument::{Class, Instrument, InstrumentKind, default_sd, permitted_per_metre};
pub use length::{INCH_MM, LengthUnit, parse_length};
pub use point::{Label, Point, Side};
pub use print::{LengthFormat, format_length};
pub use problem::{Problem, Severity};
pub use reading::{Kind, Quantity, ReadFrom, Reading, State};
pub use sheets::{SheetKind, SheetRow, SheetText, Sheets, read_job_sheets, read_sheets, sheet_rows};
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
