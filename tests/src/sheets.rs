//! Bytes as sheets: the one way in for the fuzzer and for what it found.

use adjust::Settings;
use survey::{SheetText, Sheets, read_sheets};

/// What separates the readings, points and instruments in one input.
pub const CUT: &[u8] = b"\n===\n";

/// Cuts the bytes into sheets, reads and solves them, and says in words what came of it.
pub fn feed(bytes: &[u8]) -> String {
    let mut parts = Vec::new();
    let mut rest = bytes;
    while let Some(at) = rest.windows(CUT.len()).position(|window| window == CUT) {
        parts.push(&rest[..at + 1]);
        rest = &rest[at + CUT.len()..];
    }
    parts.push(rest);
    let sheet = |i: usize, name| parts.get(i).map(|&bytes| SheetText { name, bytes });
    let sheets = Sheets {
        readings: SheetText {
            name: "READINGS.csv",
            bytes: parts[0],
        },
        points: sheet(1, "POINTS.csv"),
        instruments: sheet(2, "INSTRUMENTS.csv"),
        unit: None,
    };
    let (survey, problems) = read_sheets(&sheets);
    let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
    match survey {
        None => format!("sheets: {}", told.join("; ")),
        Some(survey) => match adjust::adjust(&survey, &Settings::default()) {
            Ok(solved) => format!("{:?}, {} problems", solved.outcome, told.len()),
            Err(why) => format!("{why}, {} problems", told.len()),
        },
    }
}
