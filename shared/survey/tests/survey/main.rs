//! The sheets from outside: what can be read of them, and what is said of the rest.

mod arbitrary;
mod bad_input;
mod limits;
mod notebook;
mod rules;

use survey::{LengthUnit, Problem, SheetText, Sheets, Survey, read_sheets};

/// Reads sheets given as text, under the names that the tests look for.
fn read(
    readings: &str,
    points: Option<&str>,
    instruments: Option<&str>,
    unit: Option<LengthUnit>,
) -> (Option<Survey>, Vec<Problem>) {
    fn sheet<'a>(name: &'a str, text: &'a str) -> SheetText<'a> {
        SheetText {
            name,
            bytes: text.as_bytes(),
        }
    }
    read_sheets(&Sheets {
        readings: sheet("readings.csv", readings),
        points: points.map(|text| sheet("points.csv", text)),
        instruments: instruments.map(|text| sheet("instruments.csv", text)),
        unit,
    })
}
