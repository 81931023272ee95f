//! Five points, all ten distances, one read from the 1 inch mark: the least figure that has a check at all can
//! say that something is off, but not what. Two more points, and it can.
//! `cargo run -p adjust --example five_points`

use adjust::{Settings, Verdict, adjust};
use survey::{SheetText, Sheets, read_sheets};

/// Invented hard points, mm.
const PLACES: [(&str, [f64; 3]); 7] = [
    ("floor L", [0.0, 600.0, 0.0]),
    ("floor R", [20.0, -590.0, 10.0]),
    ("sill L", [1300.0, 680.0, 160.0]),
    ("header", [700.0, 30.0, 1200.0]),
    ("strut R", [2000.0, -540.0, 650.0]),
    ("rail L", [2400.0, 420.0, 330.0]),
    ("latch R", [60.0, -650.0, 560.0]),
];

fn main() -> Result<(), adjust::Unsolvable> {
    for count in [5, 7] {
        let mut sheet = String::from("id,kind,a,b,value\n");
        for (i, (a, from)) in PLACES[..count].iter().enumerate() {
            for (b, to) in &PLACES[..i] {
                let length = from
                    .iter()
                    .zip(to)
                    .map(|(x, y)| (x - y) * (x - y))
                    .sum::<f64>()
                    .sqrt();
                let burned = if (*a, *b) == ("strut R", "floor L") {
                    25.4
                } else {
                    0.0
                };
                sheet += &format!("{a} to {b},tape,{a},{b},{:.0} mm\n", length + burned);
            }
        }
        let readings = SheetText {
            name: "readings",
            bytes: sheet.as_bytes(),
        };
        let (survey, problems) = read_sheets(&Sheets {
            readings,
            points: None,
            instruments: None,
            unit: None,
        });
        problems.iter().for_each(|problem| println!("{problem}"));
        let Some(survey) = survey else { continue };
        let adjustment = adjust(&survey, &Settings::default())?;
        println!("{count} points: {:?}", adjustment.outcome);
        for (reading, told) in survey.readings.iter().zip(&adjustment.readings) {
            if matches!(told.verdict, Verdict::Suspect | Verdict::Unclear) {
                let slip = told
                    .likely_slip
                    .as_ref()
                    .map_or("none of these", |likely| likely.slip.word());
                println!("  {}: {:?}, likely slip: {slip}", reading.id, told.verdict);
            }
        }
    }
    Ok(())
}
