//! Whether what is typed can be used: asked of the sheet reader, one row at a time.

use survey::{Problem, Reading, Severity, SheetText, Sheets, Survey};

use super::{INSTRUMENT_COLUMNS, POINT_COLUMNS, READING_COLUMNS, table};

/// Whether a reading can be used, with the instrument that it names.
pub(crate) fn check_reading(row: Vec<String>, instrument: Option<Vec<String>>) -> Result<(), Vec<Problem>> {
    reading(row, instrument).map(drop)
}

/// A reading as the sheet reader takes it, with the instrument that it names.
pub(super) fn reading(row: Vec<String>, instrument: Option<Vec<String>>) -> Result<Reading, Vec<Problem>> {
    let readings = table(READING_COLUMNS, std::iter::once(row));
    let instruments = table(INSTRUMENT_COLUMNS, instrument.into_iter());
    let survey = check(&readings, None, Some(&instruments), "reading")?;
    // What is refused is told; the reader drops no row in silence.
    survey.readings.into_iter().next().ok_or_else(Vec::new)
}

/// Whether a point can be used, beside the others that its row names.
pub(crate) fn check_point(rows: Vec<Vec<String>>) -> Result<(), Vec<Problem>> {
    let points = table(POINT_COLUMNS, rows.into_iter());
    check(NO_READINGS, Some(&points), None, "point").map(drop)
}

/// Whether an instrument can be used.
pub(crate) fn check_instrument(row: Vec<String>) -> Result<(), Vec<Problem>> {
    let instruments = table(INSTRUMENT_COLUMNS, std::iter::once(row));
    check(NO_READINGS, None, Some(&instruments), "instrument").map(drop)
}

const NO_READINGS: &str = "id,kind,a,value\n";

fn check(
    readings: &str,
    points: Option<&str>,
    instruments: Option<&str>,
    what: &'static str,
) -> Result<Survey, Vec<Problem>> {
    fn sheet<'a>(name: &'a str, text: &'a str) -> SheetText<'a> {
        SheetText {
            name,
            bytes: text.as_bytes(),
        }
    }
    let (survey, problems) = survey::read_job_sheets(&Sheets {
        readings: sheet("reading", readings),
        points: points.map(|text| sheet("point", text)),
        instruments: instruments.map(|text| sheet("instrument", text)),
        unit: None,
    });
    let faults: Vec<Problem> = problems
        .into_iter()
        .filter(|problem| problem.severity != Severity::Note && problem.file == what)
        .map(|problem| Problem { row: None, ..problem })
        .collect();
    if faults.is_empty() {
        Ok(survey.unwrap_or_default())
    } else {
        Err(faults)
    }
}
