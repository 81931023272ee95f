//! The sheets of a survey, read as somebody typed them.

mod cells;
mod instruments;
mod observed;
mod points;
mod quotes;
mod readings;
mod rows;
mod similar;
mod table;
mod told;

use crate::{LengthUnit, Problem, Survey};

pub(crate) use quotes::quote_fault;
pub use rows::{SheetKind, SheetRow, sheet_rows};

/// One sheet: its name, as problems shall call it, and its bytes.
#[derive(Debug, Clone, Copy)]
pub struct SheetText<'a> {
    /// The name that problems carry, such as the file's.
    pub name: &'a str,
    /// RFC 4180 text with a header, in UTF-8.
    pub bytes: &'a [u8],
}

/// The sheets of one survey.
#[derive(Debug, Clone, Copy)]
pub struct Sheets<'a> {
    /// What was read: columns id, kind, a, b, c, d, value, sd, instrument, from, add, stand, epoch, state, by, at,
    /// note.
    pub readings: SheetText<'a>,
    /// What is known of the points: columns label, side, mirror, x, y, z, fixed, note.
    pub points: Option<SheetText<'a>>,
    /// What was read with: columns name, kind, class, graduation, zero_offset, case_length, point_sd, sd.
    pub instruments: Option<SheetText<'a>>,
    /// The unit of bare lengths. With it, bare angles are degrees.
    pub unit: Option<LengthUnit>,
}

/// Where sheets come from, and so where what is wrong with them is put right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Origin {
    /// Files that somebody typed.
    #[default]
    Files,
    /// A job that wrote them of itself: nobody sees their rows.
    Job,
}

/// Reads the sheets: what could be read of them, and everything that is wrong with them.
///
/// - A problem of severity [`Sheet`](crate::Severity::Sheet) leaves no survey at all.
/// - One of severity [`Row`](crate::Severity::Row) leaves that row out: a reading or an instrument is not
///   there, a point is there with what else is known of it.
/// - A [`Note`](crate::Severity::Note) leaves nothing out.
///
/// Every problem of every sheet is told, with the line of the file as an editor shows it: those of the
/// readings first, then of the points and of the instruments.
pub fn read_sheets(sheets: &Sheets<'_>) -> (Option<Survey>, Vec<Problem>) {
    read(sheets, Origin::Files)
}

/// As [`read_sheets`], for sheets that a job wrote of itself: reasons say what to do with the job, and speak of no rows
/// and sheets. The rows of the problems are those of the text all the same.
pub fn read_job_sheets(sheets: &Sheets<'_>) -> (Option<Survey>, Vec<Problem>) {
    read(sheets, Origin::Job)
}

fn read(sheets: &Sheets<'_>, origin: Origin) -> (Option<Survey>, Vec<Problem>) {
    let instruments = sheets
        .instruments
        .map(|sheet| instruments::read(&sheet, sheets.unit, origin));
    let points = sheets
        .points
        .map(|sheet| points::read(&sheet, sheets.unit, origin));

    let (known_points, point_mentions, point_problems) = match points {
        None => (Some(Vec::new()), Vec::new(), None),
        Some(read) => (read.points, read.mentions, Some(read.told)),
    };
    let (known_instruments, instrument_problems) = match instruments {
        None => (Some(instruments::Known::default()), None),
        Some((known, told)) => (known, Some(told)),
    };
    let context = readings::Context {
        unit: sheets.unit,
        instruments: known_instruments.as_ref(),
        has_instrument_sheet: sheets.instruments.is_some(),
        origin,
    };
    let mut read = readings::read(
        &sheets.readings,
        &context,
        known_points.clone().unwrap_or_default(),
        point_mentions,
    );

    let told = [
        Some(std::mem::take(&mut read.told)),
        point_problems,
        instrument_problems,
    ];
    let mut stopped = false;
    let mut problems = Vec::new();
    for told in told.into_iter().flatten() {
        stopped |= told.stops();
        problems.extend(told.into_problems());
    }
    let survey = match known_instruments {
        Some(known) if !stopped => Some(Survey {
            points: read.points,
            instruments: known.instruments,
            readings: read.readings,
            blocked: read.blocked,
            unit: sheets.unit,
        }),
        _ => None,
    };
    (survey, problems)
}
