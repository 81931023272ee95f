//! Lengths as people type them.

use crate::tokens::{Token, Tokens};
use crate::unit_error::{UnitError, UnitFault};

/// One inch in millimetres, exactly.
pub const INCH_MM: f64 = 25.4;

/// The unit of a bare length, and the unit in which the crew is answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthUnit {
    /// Inches with fractions. One inch is 25.4 mm exactly.
    Inch,
    /// Millimetres.
    Millimetre,
}

/// Reads a length as people type it, in millimetres: `40 5/8 in`, `40-5/8"`, `3' 4 5/8"`, `40.625 in`,
/// `1032 mm`, `103.2 cm`, `1.032 m`. A bare number takes the default unit, where there is one.
///
/// # Errors
/// What cannot be read is refused with its place and the reason; nothing is guessed.
///
/// ```
/// use survey::{LengthUnit, parse_length};
/// assert_eq!(parse_length("40-1/2\"", None), Ok(1028.7));
/// assert_eq!(parse_length("1032", Some(LengthUnit::Millimetre)), Ok(1032.0));
/// assert!(parse_length("1,032 mm", None).is_err());
/// ```
pub fn parse_length(text: &str, default: Option<LengthUnit>) -> Result<f64, UnitError> {
    let mut tokens = Tokens::of(text)?;
    let sign = tokens.sign();
    let first = Amount::take(&mut tokens)?;
    let mm = match take_unit(&mut tokens)? {
        Some(Unit::Foot) if tokens.peek().is_some() => feet_and_inches(&first, &mut tokens)?,
        Some(unit) => first.in_unit(unit, &tokens)?,
        None => {
            finished(&tokens)?;
            match default {
                Some(LengthUnit::Inch) => first.in_unit(Unit::Inch, &tokens)?,
                Some(LengthUnit::Millimetre) => first.in_unit(Unit::Millimetre, &tokens)?,
                None => return Err(tokens.fault(UnitFault::NoLengthUnit)),
            }
        }
    };
    finished(&tokens)?;
    if !mm.is_finite() {
        return Err(tokens.fault(UnitFault::TooLarge));
    }
    Ok(sign * mm)
}

#[derive(Clone, Copy, PartialEq)]
enum Unit {
    Inch,
    Foot,
    Millimetre,
    Centimetre,
    Metre,
}

impl Unit {
    fn mm(self) -> f64 {
        match self {
            Unit::Inch => INCH_MM,
            Unit::Foot => 12.0 * INCH_MM,
            Unit::Millimetre => 1.0,
            Unit::Centimetre => 10.0,
            Unit::Metre => 1000.0,
        }
    }

    fn of(token: Token<'_>) -> Option<Unit> {
        let word = match token {
            Token::Single => return Some(Unit::Foot),
            Token::Double => return Some(Unit::Inch),
            Token::Word(word) => word.strip_suffix('.').unwrap_or(word).to_lowercase(),
            _ => return None,
        };
        Some(match word.as_str() {
            "in" | "inch" | "inches" => Unit::Inch,
            "ft" | "foot" | "feet" => Unit::Foot,
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Unit::Millimetre,
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Unit::Centimetre,
            "m" | "metre" | "metres" | "meter" | "meters" => Unit::Metre,
            _ => return None,
        })
    }
}

/// Whether a word or mark is a unit of length.
pub(crate) fn is_length_unit(token: Token<'_>) -> bool {
    Unit::of(token).is_some()
}

/// A number, perhaps with a fraction.
struct Amount {
    value: f64,
    at: usize,
    whole: bool,
    /// Where its fraction starts.
    fraction_at: Option<usize>,
}

impl Amount {
    fn take(tokens: &mut Tokens<'_>) -> Result<Amount, UnitError> {
        let at = tokens.at();
        match (tokens.peek(), tokens.peek_ahead(1)) {
            (Some(Token::Vulgar(..)), _) | (Some(Token::Number(_)), Some(Token::Slash)) => {
                let value = take_fraction(tokens)?;
                return Ok(Amount {
                    value,
                    at,
                    whole: false,
                    fraction_at: Some(at),
                });
            }
            (Some(Token::Number(_)), _) => {}
            (Some(Token::Word(_) | Token::Single | Token::Double | Token::Degree) | None, _) => {
                return Err(tokens.fault(UnitFault::NoNumber { at }));
            }
            _ => return Err(tokens.unexpected()),
        }
        let (value, whole) = tokens.number()?;
        let fraction_follows = |from: usize| match tokens.peek_ahead(from) {
            Some(Token::Vulgar(..)) => true,
            Some(Token::Number(_)) => tokens.peek_ahead(from + 1) == Some(Token::Slash),
            _ => false,
        };
        let hyphen = tokens.peek() == Some(Token::Minus) && fraction_follows(1);
        if !hyphen && !fraction_follows(0) {
            return Ok(Amount {
                value,
                at,
                whole,
                fraction_at: None,
            });
        }
        if !whole {
            return Err(tokens.fault(UnitFault::PointInFraction { at }));
        }
        if hyphen {
            tokens.step();
        }
        let fraction_at = Some(tokens.at());
        Ok(Amount {
            value: value + take_fraction(tokens)?,
            at,
            whole: false,
            fraction_at,
        })
    }

    fn in_unit(&self, unit: Unit, tokens: &Tokens<'_>) -> Result<f64, UnitError> {
        match (self.fraction_at, unit) {
            (None, _) | (_, Unit::Inch | Unit::Foot) => Ok(self.value * unit.mm()),
            (Some(at), _) => Err(tokens.fault(UnitFault::FractionNotInInches { at })),
        }
    }
}

fn take_fraction(tokens: &mut Tokens<'_>) -> Result<f64, UnitError> {
    let at = tokens.at();
    if let Some(Token::Vulgar(top, bottom)) = tokens.peek() {
        tokens.step();
        return Ok(f64::from(top) / f64::from(bottom));
    }
    let (top, top_whole) = tokens.number()?;
    let slash_at = tokens.at();
    tokens.step();
    let bottom_at = tokens.at();
    if !matches!(tokens.peek(), Some(Token::Number(_))) {
        return Err(tokens.fault(UnitFault::UnfinishedFraction { at: slash_at }));
    }
    let (bottom, bottom_whole) = tokens.number()?;
    if !top_whole || !bottom_whole {
        return Err(tokens.fault(UnitFault::PointInFraction { at }));
    }
    if bottom == 0.0 {
        return Err(tokens.fault(UnitFault::ZeroDenominator { at: bottom_at }));
    }
    // Also without a whole before it: 405/8 is 40 5/8 with the space lost more often than it is meant.
    if top >= bottom {
        return Err(tokens.fault(UnitFault::ImproperFraction { at }));
    }
    Ok(top / bottom)
}

fn take_unit(tokens: &mut Tokens<'_>) -> Result<Option<Unit>, UnitError> {
    let Some(token) = tokens.peek() else {
        return Ok(None);
    };
    if let Some(unit) = Unit::of(token) {
        tokens.step();
        return Ok(Some(unit));
    }
    match token {
        Token::Degree => Err(tokens.fault(UnitFault::AngleForLength)),
        Token::Word(word) if crate::angle::is_angle_word(word) => {
            Err(tokens.fault(UnitFault::AngleForLength))
        }
        _ => Ok(None),
    }
}

/// What follows `3'` or `3 ft`: inches below 12, with or without their mark.
fn feet_and_inches(feet: &Amount, tokens: &mut Tokens<'_>) -> Result<f64, UnitError> {
    // 3'-4 5/8" is written on many drawings.
    if tokens.peek() == Some(Token::Minus) {
        tokens.step();
    }
    if matches!(
        tokens.peek(),
        Some(Token::Word(_) | Token::Single | Token::Double)
    ) {
        return Err(tokens.fault(UnitFault::MixedUnits { at: tokens.at() }));
    }
    let inches = Amount::take(tokens)?;
    let unit_at = tokens.at();
    match take_unit(tokens)? {
        None | Some(Unit::Inch) => {}
        Some(_) => return Err(tokens.fault(UnitFault::MixedUnits { at: unit_at })),
    }
    finished(tokens)?;
    if !feet.whole {
        return Err(tokens.fault(UnitFault::BrokenFeet { at: feet.at }));
    }
    if inches.value >= 12.0 {
        return Err(tokens.fault(UnitFault::TooManyInches { at: inches.at }));
    }
    Ok(feet.in_unit(Unit::Foot, tokens)? + inches.in_unit(Unit::Inch, tokens)?)
}

fn finished(tokens: &Tokens<'_>) -> Result<(), UnitError> {
    let another_unit = |ahead: usize| tokens.peek_ahead(ahead).is_some_and(is_length_unit);
    match tokens.peek() {
        None => Ok(()),
        Some(Token::Number(_)) if another_unit(1) && tokens.at() > 1 && unit_came_before(tokens) => {
            Err(tokens.fault(UnitFault::MixedUnits { at: tokens.at() }))
        }
        Some(token) if is_length_unit(token) => Err(tokens.fault(UnitFault::MixedUnits { at: tokens.at() })),
        Some(_) => Err(tokens.unexpected()),
    }
}

fn unit_came_before(tokens: &Tokens<'_>) -> bool {
    tokens.before().is_some_and(is_length_unit)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{LengthFormat, format_length};

    #[test]
    fn lengths_as_people_type_them() {
        // One inch is 25.4 mm exactly (international inch, 1959).
        let inches = [
            ("40 5/8 in", 40.625),
            ("40-5/8\"", 40.625),
            ("40–5/8\"", 40.625),
            ("40 5/8 inches", 40.625),
            ("40⅝″", 40.625),
            ("40½\"", 40.5),
            ("40 ½ in.", 40.5),
            ("40-½\"", 40.5),
            ("40 5⁄8”", 40.625),
            ("½ in", 0.5),
            ("5/8\"", 0.625),
            ("3' 4 5/8\"", 40.625),
            ("3'4-5/8\"", 40.625),
            ("3'-4 5/8\"", 40.625),
            ("3’ 4⅝”", 40.625),
            ("3′ 4 5/8″", 40.625),
            ("3' 4 5/8''", 40.625),
            ("3' 4 5/8", 40.625),
            ("3' 5/8\"", 36.625),
            ("3 ft 4 5/8 in", 40.625),
            ("3 feet 4 inches", 40.0),
            ("1 foot", 12.0),
            ("3'", 36.0),
            ("3.5 ft", 42.0),
            ("40.625 in", 40.625),
            ("40.625\"", 40.625),
            ("40.625''", 40.625),
            (".5 in", 0.5),
            ("7.75 IN", 7.75),
            ("-5/8 in", -0.625),
            ("−3' 4\"", -40.0),
            ("+ 1 inch", 1.0),
            ("0 in", 0.0),
        ];
        for (text, expected) in inches {
            let mm = parse_length(text, None).unwrap_or_else(|error| panic!("{error}"));
            assert!((mm - expected * 25.4).abs() < 1e-9, "{text}: {mm}");
        }
        let metric = [
            ("1032 mm", 1032.0),
            ("1032mm", 1032.0),
            ("103.2 cm", 1032.0),
            ("1.032 m", 1032.0),
            ("1 metre", 1000.0),
            ("-12.5 millimetres", -12.5),
            ("\u{a0}1032\u{a0}mm ", 1032.0),
        ];
        for (text, expected) in metric {
            assert!(
                (parse_length(text, None).unwrap() - expected).abs() < 1e-9,
                "{text}"
            );
        }
        assert_eq!(parse_length("1032", Some(LengthUnit::Millimetre)), Ok(1032.0));
        assert_eq!(parse_length("40 1/2", Some(LengthUnit::Inch)), Ok(1028.7));
        assert_eq!(parse_length("10 mm", Some(LengthUnit::Inch)), Ok(10.0));
    }

    #[test]
    fn what_cannot_be_read_is_refused_with_its_reason() {
        let cases = [
            ("", "is empty"),
            (" \u{a0} ", "is empty"),
            ("1,032 mm", "a comma at character 2"),
            ("12,5 mm", "a comma at character 3"),
            ("1 032 mm", "second number at character 3"),
            ("1.032.500 mm", "second decimal point at character 6"),
            ("1 m 20 cm", "second unit at character 5"),
            ("40 in 5 mm", "second unit at character 7"),
            ("3 ft 4 mm", "second unit at character 8"),
            ("3 mm in", "second unit at character 6"),
            ("3' 4' ", "second unit at character 5"),
            ("40 9/8 in", "fraction of 1 or more at character 4"),
            ("40 8/8 in", "fraction of 1 or more"),
            ("405/8 in", "fraction of 1 or more"),
            ("40 5/0 in", "divides by zero at character 6"),
            ("40 5/", "stops after the slash (character 5)"),
            ("40 5/ in", "stops after the slash (character 5)"),
            ("40. in", "decimal point at character 3"),
            ("40.5 5/8 in", "decimal point in a fraction"),
            ("40 5/8 mm", "fractions are for inches"),
            ("3' 12\"", "12 inches or more"),
            ("3' 14 1/2\"", "12 inches or more"),
            ("3.5' 4\"", "feet that are no whole number"),
            ("1e3 mm", "an exponent at character 2"),
            ("1E+3", "an exponent"),
            ("NaN", "is not a number"),
            ("inf mm", "is not a number"),
            ("-infinity", "is not a number"),
            ("3-Apr", "a spreadsheet turned a fraction into a date"),
            ("Mar-16", "into a date"),
            ("16 March 2026", "into a date"),
            ("5/8/2026", "into a date"),
            ("05/08/26", "into a date"),
            ("2026-04-03", "into a date"),
            ("2026-04-03 00:00:00", "into a date"),
            ("03.04.2026", "into a date"),
            ("3-4", "a hyphen at character 2 that joins two numbers"),
            ("3-4-5/8\"", "a hyphen"),
            (
                "1032",
                "has no unit: write 1032 mm or 40 5/8 in, or say the unit of bare numbers",
            ),
            ("40 5/8", "has no unit"),
            ("in", "needs a number at character 1"),
            ("-", "needs a number at character 2"),
            ("12 deg", "is an angle where a length is needed"),
            ("12°", "is an angle"),
            ("12 km", "\"km\" at character 4, which is no unit"),
            ("--5 mm", "no part of a length"),
            ("=A1", "no part of a length"),
            ("5 mm!", "\"!\" at character 5"),
            ("３ mm", "no part of a length"),
        ];
        for (text, piece) in cases {
            let error = parse_length(text, None).expect_err(text).to_string();
            assert!(error.contains(piece), "{text:?}: {error}");
        }
        let fraction = parse_length("40 5/8", Some(LengthUnit::Millimetre))
            .unwrap_err()
            .to_string();
        assert!(
            fraction.contains("a fraction at character 4, and fractions are for inches"),
            "{fraction}"
        );
        let long = parse_length(&"9".repeat(400), Some(LengthUnit::Inch)).unwrap_err();
        assert_eq!((long.fault, long.text.chars().count()), (UnitFault::TooLarge, 61));
    }

    proptest! {
        #[test]
        fn printed_and_read_back(marks in -2_000_000i32..2_000_000, power in 0u32..7, form in 0..6) {
            let denominator = 1 << power;
            let (mm, format) = match form {
                0 => (f64::from(marks) * 25.4 / f64::from(denominator), LengthFormat::Inches { denominator }),
                1 => (f64::from(marks) * 25.4 / f64::from(denominator), LengthFormat::FeetInches { denominator }),
                2 => (f64::from(marks) * 0.0254, LengthFormat::DecimalInches { places: 3 }),
                3 => (f64::from(marks) * 0.01, LengthFormat::Millimetres { places: 2 }),
                4 => (f64::from(marks) * 0.01, LengthFormat::Centimetres { places: 3 }),
                _ => (f64::from(marks), LengthFormat::Metres { places: 3 }),
            };
            let printed = format_length(mm, format);
            let read = parse_length(&printed, None).unwrap();
            prop_assert!((read - mm).abs() < 1e-6, "{} {} {}", mm, printed, read);
            prop_assert_eq!(format_length(read, format), printed);
        }

        #[test]
        fn never_panics(text in ".{0,30}", typed in "[0-9 ./'\"½°,+eEinftmcdg\u{2212}-]{0,14}") {
            for text in [text, typed] {
                for unit in [None, Some(LengthUnit::Inch), Some(LengthUnit::Millimetre)] {
                    if let Ok(mm) = parse_length(&text, unit) {
                        prop_assert!(mm.is_finite());
                    }
                }
            }
        }
    }
}
