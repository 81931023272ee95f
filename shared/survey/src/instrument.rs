//! Instruments: what was read with, and how well it reads.

use crate::{Kind, Quantity};

/// The accuracy class of a material measure of length (Directive 2014/32/EU, Annex X).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// a 0.1, b 0.1, c 0.1 mm.
    I,
    /// a 0.3, b 0.2, c 0.2 mm.
    II,
    /// a 0.6, b 0.4, c 0.3 mm.
    III,
}

/// What an instrument is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InstrumentKind {
    /// A tape with a hook end.
    Tape,
    /// A tape whose zero mark lies inside.
    RingTape,
    /// A laser distance meter.
    Laser,
    /// An angle finder.
    Finder,
    /// A level.
    Level,
    /// A rule.
    Rule,
}

/// One tape, angle finder or level, as the crew described it. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument {
    /// Unique name.
    pub name: String,
    /// What it is.
    pub kind: InstrumentKind,
    /// Accuracy class; II unless said.
    pub class: Class,
    /// Smallest mark; 1 mm unless said.
    pub graduation_mm: f64,
    /// Added to what was read.
    pub zero_offset_mm: f64,
    /// Length of the case, for inside readings, where it is known.
    pub case_length_mm: Option<f64>,
    /// How well a point can be met, at each end; 0.5 mm unless said.
    pub point_sd_mm: f64,
    /// Where given, replaces the rule of [`default_sd`] for readings of [`sd_quantity`](Instrument::sd_quantity):
    /// mm, or radians.
    pub sd: Option<f64>,
    /// What [`sd`](Instrument::sd) is. A level may have either.
    pub sd_quantity: Quantity,
}

impl Instrument {
    /// An instrument of which nothing is known but its name and kind: class II, 1 mm marks, no offset.
    pub fn named(name: impl Into<String>, kind: InstrumentKind) -> Instrument {
        Instrument {
            name: name.into(),
            kind,
            class: Class::II,
            graduation_mm: GRADUATION_MM,
            zero_offset_mm: 0.0,
            case_length_mm: None,
            point_sd_mm: POINT_SD_MM,
            sd: None,
            sd_quantity: if kind == InstrumentKind::Finder {
                Quantity::Angle
            } else {
                Quantity::Length
            },
        }
    }

    /// Whether it can read that kind: a finder reads no lengths and a tape no angles.
    pub fn can_read(&self, kind: Kind) -> bool {
        self.kind.can_read(kind)
    }
}

/// The standard deviation of a reading that has none of its own: mm, or radians for angles.
///
/// A tape's or rule's is made of three parts, combined as in JCGM 100:2008, 5.1:
///
/// - the permitted error of its class, a + bL with L in metres rounded up to a whole metre (Directive
///   2014/32/EU, Annex X, chapter I); a tape whose hook is its zero mark adds c once. Taken as the bound of a
///   rectangular distribution, it is divided by √3 (JCGM 100:2008, 4.3.7);
/// - its graduation, divided by √12;
/// - how well a point can be met, once at each end.
///
/// `observed_mm` is what was observed, after from, add and zero offset. Without an instrument a tape reading
/// is taken as a class II tape's with 1 mm marks and 0.5 mm at each end.
///
/// A tape's class error is largely the same in all its readings, so this overstates the noise between readings
/// of one tape and understates what they share. It is right for one distance by itself; what all distances of
/// a shell share is a matter of its scale, and the adjustment's uncertainty of scale carries it.
///
/// ```
/// use survey::{Kind, default_sd};
/// assert_eq!(format!("{:.3}", default_sd(Kind::Tape, None, 2700.0)), "0.993");
/// ```
pub fn default_sd(kind: Kind, instrument: Option<&Instrument>, observed_mm: f64) -> f64 {
    if let Some(instrument) = instrument
        && let Some(sd) = instrument.sd
        && instrument.sd_quantity == kind.quantity()
    {
        return sd;
    }
    match kind {
        Kind::Slope | Kind::Corner => ANGLE_SD_DEG.to_radians(),
        Kind::Rise => RISE_SD_MM,
        Kind::String | Kind::Face | Kind::X | Kind::Y | Kind::Z => SHORTEST_SD_MM,
        Kind::Tape => match instrument {
            Some(laser) if laser.kind == InstrumentKind::Laser => LASER_SD_MM,
            Some(tape) => tape_sd(
                permitted_error(tape.class, tape.kind == InstrumentKind::Tape, observed_mm),
                tape.graduation_mm,
                tape.point_sd_mm,
            ),
            None => tape_sd(
                permitted_error(Class::II, true, observed_mm),
                GRADUATION_MM,
                POINT_SD_MM,
            ),
        },
    }
}

/// What the permitted error of a class grows by with each metre, in mm: b of Directive 2014/32/EU, Annex X,
/// chapter I. The part of a tape's error that all its readings share is of this size.
pub fn permitted_per_metre(class: Class) -> f64 {
    let [_, b, _] = class.abc();
    b
}

const GRADUATION_MM: f64 = 1.0;
const POINT_SD_MM: f64 = 0.5;
const ANGLE_SD_DEG: f64 = 0.2;
const RISE_SD_MM: f64 = 1.5;
const SHORTEST_SD_MM: f64 = 2.0;
const LASER_SD_MM: f64 = 1.5;

impl InstrumentKind {
    /// Every kind of instrument.
    pub const ALL: [InstrumentKind; 6] = [
        InstrumentKind::Tape,
        InstrumentKind::RingTape,
        InstrumentKind::Laser,
        InstrumentKind::Finder,
        InstrumentKind::Level,
        InstrumentKind::Rule,
    ];

    /// The word for it, in sheets and on screens alike.
    pub fn word(self) -> &'static str {
        match self {
            InstrumentKind::Tape => "tape",
            InstrumentKind::RingTape => "ring tape",
            InstrumentKind::Laser => "laser",
            InstrumentKind::Finder => "finder",
            InstrumentKind::Level => "level",
            InstrumentKind::Rule => "rule",
        }
    }

    /// The kind of that word.
    pub fn from_word(word: &str) -> Option<InstrumentKind> {
        InstrumentKind::ALL.into_iter().find(|kind| kind.word() == word)
    }

    /// Whether such an instrument can read that kind.
    pub fn can_read(self, kind: Kind) -> bool {
        match self {
            InstrumentKind::Finder => kind.quantity() == Quantity::Angle,
            // A level shows slopes, and heights where it throws a line or holds water.
            InstrumentKind::Level => !matches!(kind, Kind::Tape | Kind::String | Kind::Face),
            InstrumentKind::Tape
            | InstrumentKind::RingTape
            | InstrumentKind::Laser
            | InstrumentKind::Rule => kind.quantity() == Quantity::Length,
        }
    }
}

impl Class {
    /// The class of that word.
    pub fn from_word(word: &str) -> Option<Class> {
        match word {
            "I" => Some(Class::I),
            "II" => Some(Class::II),
            "III" => Some(Class::III),
            _ => None,
        }
    }

    /// a, b and c of Directive 2014/32/EU, Annex X, chapter I, in mm.
    fn abc(self) -> [f64; 3] {
        match self {
            Class::I => [0.1, 0.1, 0.1],
            Class::II => [0.3, 0.2, 0.2],
            Class::III => [0.6, 0.4, 0.3],
        }
    }
}

/// The maximum permissible error in mm.
fn permitted_error(class: Class, hook: bool, length_mm: f64) -> f64 {
    // 5000 mm out of inches or sums may be a rounding error more than 5 m, and is 5 m all the same.
    const ROUNDING_M: f64 = 1e-9;
    let metres = (length_mm.abs() / 1000.0 - ROUNDING_M).ceil().max(0.0);
    let [a, b, c] = class.abc();
    a + b * metres + if hook { c } else { 0.0 }
}

fn tape_sd(permitted_error: f64, graduation: f64, point_sd: f64) -> f64 {
    (permitted_error.powi(2) / 3.0 + graduation.powi(2) / 12.0 + 2.0 * point_sd.powi(2)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn permitted_errors_are_those_of_the_directive() {
        // Directive 2014/32/EU, Annex X, chapter I: a + bL, L rounded up to the next whole metre, and c once
        // for a hook or a ring as the zero mark.
        let cases = [
            (800.0, [0.2, 0.5, 1.0]),
            (2700.0, [0.4, 0.9, 1.8]),
            (5000.0, [0.6, 1.3, 2.6]),
        ];
        for (length, expected) in cases {
            for ((class, mpe), c) in [Class::I, Class::II, Class::III]
                .into_iter()
                .zip(expected)
                .zip([0.1, 0.2, 0.3])
            {
                assert!(
                    (permitted_error(class, false, length) - mpe).abs() < 1e-12,
                    "{class:?} {length}"
                );
                assert!(
                    (permitted_error(class, true, length) - mpe - c).abs() < 1e-12,
                    "{class:?} {length}"
                );
            }
        }
        assert_eq!(
            permitted_error(Class::II, false, 5000.0 + 1e-10),
            permitted_error(Class::II, false, 5000.0)
        );
        assert!((permitted_error(Class::II, false, 5000.1) - 1.5).abs() < 1e-12);
        assert_eq!(
            [Class::I, Class::II, Class::III].map(permitted_per_metre),
            [0.1, 0.2, 0.4]
        );
    }

    #[test]
    fn a_class_two_tape_at_2_7_metres() {
        // Directive 2014/32/EU, Annex X, chapter I: 0.3 + 0.2 × 3 + 0.2. JCGM 100:2008, 4.3.7: ÷ √3.
        let mpe = permitted_error(Class::II, true, 2700.0);
        assert!((mpe - 1.1).abs() < 1e-12);
        assert!((mpe / 3f64.sqrt() - 0.635_09).abs() < 5e-6);
        // √(0.63509² + 0.28868² + 2 × 0.5²), by hand.
        assert!((default_sd(Kind::Tape, None, 2700.0) - 0.993).abs() < 5e-4);
        let tape = Instrument::named("t", InstrumentKind::Tape);
        assert_eq!(
            default_sd(Kind::Tape, Some(&tape), 2700.0),
            default_sd(Kind::Tape, None, 2700.0)
        );
    }

    #[test]
    fn only_a_hook_adds_c() {
        // The same directive; √(0.9²/3 + 1/12 + 0.5) by hand.
        let expected = (0.81 / 3.0 + 1.0 / 12.0 + 0.5f64).sqrt();
        for kind in [InstrumentKind::RingTape, InstrumentKind::Rule] {
            let sd = default_sd(Kind::Tape, Some(&Instrument::named("r", kind)), 2700.0);
            assert!((sd - expected).abs() < 1e-12);
        }
    }

    #[test]
    fn the_other_kinds_have_figures_of_their_own() {
        let laser = Instrument::named("l", InstrumentKind::Laser);
        assert_eq!(default_sd(Kind::Tape, Some(&laser), 4000.0), 1.5);
        assert_eq!(default_sd(Kind::Slope, None, 0.3), 0.2f64.to_radians());
        assert_eq!(default_sd(Kind::Corner, None, 0.3), 0.2f64.to_radians());
        assert_eq!(default_sd(Kind::Rise, None, -500.0), 1.5);
        for kind in [Kind::String, Kind::Face, Kind::X, Kind::Y, Kind::Z] {
            assert_eq!(
                default_sd(kind, Some(&Instrument::named("t", InstrumentKind::Tape)), 300.0),
                2.0
            );
        }
    }

    #[test]
    fn an_instruments_own_sd_holds_for_its_quantity_only() {
        let mut level = Instrument::named("l", InstrumentKind::Level);
        (level.sd, level.sd_quantity) = (Some(0.001), Quantity::Angle);
        assert_eq!(default_sd(Kind::Slope, Some(&level), 0.1), 0.001);
        assert_eq!(default_sd(Kind::Rise, Some(&level), 100.0), 1.5);
    }
}
