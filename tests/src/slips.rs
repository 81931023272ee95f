//! Slips planted one at a time in a simulated survey that is written down as a crew writes: two tapes, one in
//! inches with fractions and one in millimetres, marks burned on purpose, inside readings with the case.
//!
//! What a slip does to a number is written here apart from the catalogue that is to recognise it.

use std::f64::consts::{FRAC_PI_2, PI};

use adjust::Slip;
use survey::{
    INCH_MM, Instrument, InstrumentKind, Kind, LengthFormat, Quantity, ReadFrom, Reading, format_angle,
    format_length,
};

use crate::observe::{V3, even, true_value};
use crate::shell::{Options, Simulated, simulate};

/// The slips that one reading by itself can have.
pub const SINGLE: [Slip; 16] = [
    Slip::BurnedInch,
    Slip::Foot,
    Slip::Decimetre,
    Slip::Inch,
    Slip::HalfInch,
    Slip::Fraction,
    Slip::DigitsSwapped,
    Slip::CaseLength,
    Slip::CmForInch,
    Slip::FromForgotten,
    Slip::Complement,
    Slip::Supplement,
    Slip::Sign,
    Slip::MirrorPoint,
    Slip::WrongPoint,
    Slip::TapeBent,
];

/// Rows in a run that is read in one way.
const RUN: usize = 8;
/// Rows before and after a row that show how it was read.
const NEAR: usize = 3;
const CASE_MM: f64 = 82.0;

/// A simulated survey with its readings written down by a crew.
#[derive(Debug, Clone)]
pub struct Written {
    /// The survey and what is true of it.
    pub made: Simulated,
}

/// Writes a simulated survey of every kind of reading down. The same seed gives the same sheet.
pub fn written(seed: u64) -> Written {
    let mut made = simulate(
        seed,
        &Options {
            rough: Some(60.0),
            sides: true,
            mixed: true,
            tilt_deg: 4.0,
            ..Options::default()
        },
    );
    let case_length_mm = Some(CASE_MM);
    made.survey.instruments = vec![
        Instrument {
            graduation_mm: INCH_MM / 16.0,
            case_length_mm,
            ..Instrument::named("inch tape", InstrumentKind::Tape)
        },
        Instrument {
            case_length_mm,
            ..Instrument::named("shop tape", InstrumentKind::Tape)
        },
    ];
    for (row, reading) in made.survey.readings.iter_mut().enumerate() {
        reading.by = "ann".into();
        if reading.kind == Kind::Tape {
            let run = row / RUN;
            reading.instrument = Some(usize::from(run % 7 > 3));
            reading.from = match run % 7 {
                1 => ReadFrom::BurnInch,
                3 | 5 => ReadFrom::Case,
                6 => ReadFrom::Burn100mm,
                _ => ReadFrom::Hook,
            };
            let graduation = made.survey.instruments[usize::from(run % 7 > 3)].graduation_mm;
            reading.sd = (1.0 + graduation * graduation / 12.0).sqrt();
        }
        let read = reading.observed.abs() - added(reading.from);
        write(reading, read);
    }
    Written { made }
}

/// What is added to a number that was read so.
fn added(from: ReadFrom) -> f64 {
    match from {
        ReadFrom::Hook => 0.0,
        ReadFrom::BurnInch => -INCH_MM,
        ReadFrom::Burn100mm => -100.0,
        ReadFrom::Case => CASE_MM,
    }
}

/// Writes this number down to the nearest mark, with the sign that the reading has.
fn write(reading: &mut Reading, magnitude: f64) {
    let sign = if reading.observed < 0.0 { -1.0 } else { 1.0 };
    let (typed, read) = match (reading.kind.quantity(), reading.instrument) {
        (Quantity::Angle, _) => {
            let typed = format_angle(sign * magnitude, 1);
            let read = survey::parse_angle(&typed, true);
            (typed, read)
        }
        (_, Some(0)) => {
            let typed = format_length(sign * magnitude, LengthFormat::Inches { denominator: 16 });
            let read = survey::parse_length(&typed, None);
            (typed, read)
        }
        _ => {
            let typed = format_length(sign * magnitude, LengthFormat::Millimetres { places: 0 });
            let read = survey::parse_length(&typed, None);
            (typed, read)
        }
    };
    set(reading, typed, read.unwrap_or(sign * magnitude));
}

fn set(reading: &mut Reading, typed: String, read: f64) {
    reading.typed = typed;
    reading.read = read;
    reading.observed = read;
    if reading.kind.quantity() == Quantity::Length {
        let sign = if read < 0.0 { -1.0 } else { 1.0 };
        reading.observed = sign * (read.abs() + added(reading.from) + reading.add_mm);
    }
}

impl Written {
    /// How often this slip happens to this reading, by the table of the product: its prior, raised where the rows
    /// near it show how the crew was reading; 0 where it cannot happen.
    pub fn weight(&self, reading: usize, slip: Slip) -> f64 {
        let one = &self.made.survey.readings[reading];
        let table = adjust::PRIORS.iter().find(|(name, _)| *name == slip);
        let prior = table.map_or(0.0, |(_, prior)| *prior);
        let length = one.kind.quantity() == Quantity::Length;
        let possible = match slip {
            Slip::BurnedInch => length && one.from == ReadFrom::Hook,
            Slip::Foot | Slip::Decimetre | Slip::Inch | Slip::HalfInch => length,
            Slip::Fraction => one.instrument.is_some(),
            Slip::TapeBent => one.kind == Kind::Tape,
            Slip::DigitsSwapped => !swaps(one).is_empty(),
            Slip::CaseLength => {
                one.instrument.is_some() && matches!(one.from, ReadFrom::Hook | ReadFrom::Case)
            }
            Slip::CmForInch => one.instrument == Some(1) && one.from == ReadFrom::Hook,
            Slip::FromForgotten => length,
            Slip::Complement => matches!(one.kind, Kind::Slope | Kind::Corner),
            Slip::Supplement => one.kind == Kind::Corner,
            Slip::Sign => matches!(one.kind, Kind::Slope | Kind::Rise),
            Slip::MirrorPoint => !self.mirrored(reading).is_empty(),
            Slip::WrongPoint => true,
            Slip::MovedMark | Slip::LabelsExchanged | Slip::WholeSheet => false,
        };
        match slip {
            _ if !possible => 0.0,
            Slip::FromForgotten => prior * self.meant(reading).iter().map(|(_, share)| share).sum::<f64>(),
            _ => prior,
        }
    }

    /// The ways in which a reading may really have been read, other than its sheet says, each with its share.
    fn meant(&self, reading: usize) -> Vec<(ReadFrom, f64)> {
        let readings = &self.made.survey.readings;
        let one = &readings[reading];
        let rows = reading.saturating_sub(NEAR)..(reading + NEAR + 1).min(readings.len());
        let mut ways = vec![ReadFrom::Hook, ReadFrom::BurnInch, ReadFrom::Burn100mm];
        if one.instrument.is_some() {
            ways.push(ReadFrom::Case);
        }
        ways.retain(|from| *from != one.from);
        let count = ways.len() as f64;
        ways.into_iter()
            .map(|from| {
                let shown = readings[rows.clone()].iter().any(|other| {
                    other.id != one.id
                        && other.instrument == one.instrument
                        && other.kind.quantity() == Quantity::Length
                        && other.from == from
                });
                (from, if shown { adjust::RAISED } else { 1.0 } / count)
            })
            .collect()
    }

    /// The reading as it would have been logged with this slip; `None` where it cannot have happened so.
    pub fn plant(&self, rng: &mut fastrand::Rng, reading: usize, slip: Slip) -> Option<Reading> {
        if self.weight(reading, slip) == 0.0 {
            return None;
        }
        let clean = &self.made.survey.readings[reading];
        let mut planted = clean.clone();
        let either = if rng.bool() { 1.0 } else { -1.0 };
        let amount = match slip {
            Slip::BurnedInch => INCH_MM,
            Slip::Foot => either * 12.0 * INCH_MM,
            Slip::Decimetre => either * 100.0,
            Slip::Inch => -INCH_MM,
            Slip::HalfInch => either * INCH_MM / 2.0,
            Slip::TapeBent => -5.0 * (1.0 - rng.f64()).ln(),
            Slip::Fraction => return self.neighbouring_mark(rng, clean),
            Slip::CaseLength if clean.from == ReadFrom::Case => CASE_MM,
            Slip::CaseLength => -CASE_MM,
            Slip::FromForgotten => {
                // The tape was held so, and the sheet goes on saying what it says.
                let ways = self.meant(reading);
                let mut left = rng.f64() * ways.iter().map(|(_, share)| share).sum::<f64>();
                let drawn = ways.iter().find(|(_, share)| {
                    left -= share;
                    left < 0.0
                });
                added(clean.from) - added(drawn.or(ways.last())?.0)
            }
            Slip::DigitsSwapped => {
                let swaps = swaps(clean);
                let (typed, read) = swaps[rng.usize(..swaps.len())].clone();
                set(&mut planted, typed, read);
                return believable(planted);
            }
            Slip::CmForInch => {
                // Read in one unit, and the other written after it, either way.
                let (typed, mm) = if either > 0.0 {
                    let number = clean.read / 10.0;
                    (format!("{number:.1} in"), number * INCH_MM)
                } else {
                    let number = clean.read / INCH_MM;
                    (format!("{number:.1} cm"), number * 10.0)
                };
                set(&mut planted, typed, mm);
                return believable(planted);
            }
            Slip::Complement => {
                let off = FRAC_PI_2 - clean.observed.abs();
                write(&mut planted, off.abs());
                return believable(planted);
            }
            Slip::Supplement => {
                write(&mut planted, PI - clean.observed);
                return believable(planted);
            }
            Slip::Sign => {
                planted.observed = -planted.observed;
                write(&mut planted, clean.observed.abs());
                return believable(planted);
            }
            Slip::MirrorPoint | Slip::WrongPoint => {
                let places = if slip == Slip::MirrorPoint {
                    self.mirrored(reading)
                } else {
                    self.elsewhere(reading)
                };
                let points = &places[rng.usize(..places.len())];
                let change = self.value_at(points, clean)? - self.value_at(&clean.points, clean)?;
                planted.observed = clean.observed + change;
                let read = planted.observed.abs()
                    - if clean.kind.quantity() == Quantity::Length {
                        added(clean.from)
                    } else {
                        0.0
                    };
                write(&mut planted, read);
                return believable(planted);
            }
            Slip::MovedMark | Slip::LabelsExchanged | Slip::WholeSheet => return None,
        };
        write(&mut planted, clean.read.abs() + amount);
        // A number that is written smaller than nothing was never read.
        (clean.read.abs() + amount > 0.0)
            .then_some(planted)
            .and_then(believable)
    }

    /// An error that is none of the catalogue: anywhere.
    pub fn plant_anything(&self, rng: &mut fastrand::Rng, reading: usize) -> Option<Reading> {
        let clean = &self.made.survey.readings[reading];
        let mut planted = clean.clone();
        let half = match clean.kind.quantity() {
            Quantity::Length => 2000.0,
            Quantity::Angle => FRAC_PI_2,
        };
        let read = clean.read.abs() + even(rng, half);
        write(&mut planted, read);
        (read > 0.0).then_some(planted).and_then(believable)
    }

    fn neighbouring_mark(&self, rng: &mut fastrand::Rng, clean: &Reading) -> Option<Reading> {
        let mut planted = clean.clone();
        if clean.instrument == Some(1) {
            write(&mut planted, clean.read + if rng.bool() { 1.0 } else { -1.0 });
            return believable(planted);
        }
        // To the next of the eighths or sixteenths, or across the long mark between two.
        let marks = if rng.bool() { 16 } else { 8 };
        let at = (clean.read / INCH_MM * f64::from(marks)).round();
        if (at * INCH_MM / f64::from(marks) - clean.read).abs() > 1e-6 {
            return None;
        }
        let step = match rng.usize(..3) {
            0 => 1.0,
            1 => -1.0,
            _ if at % 4.0 == 1.0 => -2.0,
            _ if at % 4.0 == 3.0 => 2.0,
            _ => return None,
        };
        write(&mut planted, clean.read + step * INCH_MM / f64::from(marks));
        believable(planted)
    }

    fn value_at(&self, points: &[usize], clean: &Reading) -> Option<f64> {
        // Slopes and rises would need the plumb line, which the simulation keeps to itself.
        let at: Vec<V3> = points.iter().map(|&p| self.made.truth_mm[p]).collect();
        (!clean.kind.needs_plumb()).then(|| true_value(clean.kind, &at, [0.0, 0.0, 1.0]))
    }

    fn mirrored(&self, reading: usize) -> Vec<Vec<usize>> {
        let points = &self.made.survey.readings[reading].points;
        let partner = |p: usize| self.made.survey.points[p].mirror;
        exchanges(points, |slot| partner(points[slot]).into_iter().collect())
    }

    fn elsewhere(&self, reading: usize) -> Vec<Vec<usize>> {
        let points = &self.made.survey.readings[reading].points;
        let partner = |p: usize| self.made.survey.points[p].mirror;
        exchanges(points, |slot| {
            (0..self.made.survey.points.len())
                .filter(|&p| Some(p) != partner(points[slot]))
                .collect()
        })
    }
}

/// The points with each one in turn exchanged for others.
fn exchanges(points: &[usize], others: impl Fn(usize) -> Vec<usize>) -> Vec<Vec<usize>> {
    let mut all = Vec::new();
    for slot in 0..points.len() {
        for other in others(slot) {
            if !points.contains(&other) {
                let mut exchanged = points.to_vec();
                exchanged[slot] = other;
                all.push(exchanged);
            }
        }
    }
    all
}

/// The text with two neighbouring digits exchanged, and what it then says, each once.
fn swaps(reading: &Reading) -> Vec<(String, f64)> {
    let mut found: Vec<(String, f64)> = Vec::new();
    let text: Vec<char> = reading.typed.chars().collect();
    for i in 1..text.len() {
        let mut exchanged = text.clone();
        exchanged.swap(i - 1, i);
        if exchanged == text || !text[i].is_ascii_digit() || !text[i - 1].is_ascii_digit() {
            continue;
        }
        let typed: String = exchanged.into_iter().collect();
        let read = match reading.kind.quantity() {
            Quantity::Length => survey::parse_length(&typed, None),
            Quantity::Angle => survey::parse_angle(&typed, true),
        };
        if let Ok(read) = read {
            found.push((typed, read));
        }
    }
    found
}

/// What the sheet reader would take.
fn believable(reading: Reading) -> Option<Reading> {
    let fine = match reading.kind {
        Kind::Tape => reading.observed > 0.0 && reading.read > 0.0,
        Kind::String | Kind::Face => reading.observed >= 0.0 && reading.read >= 0.0,
        Kind::Slope => reading.observed.abs() <= FRAC_PI_2,
        Kind::Corner => (0.0..=PI).contains(&reading.observed),
        Kind::Rise | Kind::X | Kind::Y | Kind::Z => true,
    };
    fine.then_some(reading)
}
