//! Angles as people type them, and as they are printed.

use crate::length::is_length_unit;
use crate::print::without_negative_zero;
use crate::tokens::{Token, Tokens};
use crate::unit_error::{UnitError, UnitFault};

/// Reads an angle as people type it, in radians: `12.4 deg`, `12.4°`, `12°24'`, `12°24'30"`,
/// `12 deg 24 min`, and bare numbers where they are said to be degrees.
///
/// # Errors
/// What cannot be read is refused with its place and the reason; nothing is guessed.
///
/// ```
/// let angle = survey::parse_angle("12°24'", false)?;
/// assert_eq!(survey::format_angle(angle, 1), "12.4 deg");
/// # Ok::<(), survey::UnitError>(())
/// ```
pub fn parse_angle(text: &str, bare_is_degrees: bool) -> Result<f64, UnitError> {
    let mut tokens = Tokens::of(text)?;
    let sign = tokens.sign();
    if !matches!(tokens.peek(), Some(Token::Number(_))) {
        return Err(match tokens.peek() {
            Some(Token::Vulgar(..)) => tokens.fault(UnitFault::FractionOfDegree { at: tokens.at() }),
            Some(Token::Other(_)) => tokens.unexpected(),
            _ => tokens.fault(UnitFault::NoNumber { at: tokens.at() }),
        });
    }
    let degrees_at = tokens.at();
    let (mut degrees, whole_degrees) = tokens.number()?;
    match tokens.peek() {
        None if bare_is_degrees => return radians(sign, degrees, &tokens),
        None => return Err(tokens.fault(UnitFault::NoAngleUnit)),
        Some(token) if is_degree_mark(token) => tokens.step(),
        Some(Token::Word(word)) if matches!(word.to_lowercase().as_str(), "rad" | "radian" | "radians") => {
            return Err(tokens.fault(UnitFault::Radians));
        }
        Some(token) if is_length_unit(token) => return Err(tokens.fault(UnitFault::LengthForAngle)),
        Some(Token::Slash | Token::Vulgar(..)) => {
            return Err(tokens.fault(UnitFault::FractionOfDegree { at: tokens.at() }));
        }
        Some(_) => return Err(tokens.unexpected()),
    }
    if let Some((minutes, minutes_at, whole_minutes)) = take_part(&mut tokens, is_minute_mark)? {
        if !whole_degrees {
            return Err(tokens.fault(UnitFault::BrokenDegrees { at: degrees_at }));
        }
        degrees += minutes / 60.0;
        if let Some((seconds, ..)) = take_part(&mut tokens, is_second_mark)? {
            if !whole_minutes {
                return Err(tokens.fault(UnitFault::BrokenDegrees { at: minutes_at }));
            }
            degrees += seconds / 3600.0;
        }
    }
    if tokens.peek().is_some() {
        return Err(tokens.unexpected());
    }
    radians(sign, degrees, &tokens)
}

/// Prints an angle in degrees: `12.4 deg`.
pub fn format_angle(rad: f64, places: usize) -> String {
    without_negative_zero(format!("{:.places$} deg", rad.to_degrees()))
}

/// Whether a word is a unit of an angle.
pub(crate) fn is_angle_word(word: &str) -> bool {
    is_degree_mark(Token::Word(word)) || matches!(word.to_lowercase().as_str(), "rad" | "radian" | "radians")
}

fn radians(sign: f64, degrees: f64, tokens: &Tokens<'_>) -> Result<f64, UnitError> {
    if degrees.is_finite() {
        Ok(sign * degrees.to_radians())
    } else {
        Err(tokens.fault(UnitFault::TooLarge))
    }
}

/// Takes minutes or seconds: the number, its place, whether it is whole.
fn take_part(
    tokens: &mut Tokens<'_>,
    is_mark: fn(Token<'_>) -> bool,
) -> Result<Option<(f64, usize, bool)>, UnitError> {
    if !matches!(tokens.peek(), Some(Token::Number(_))) {
        return Ok(None);
    }
    let at = tokens.at();
    let (value, whole) = tokens.number()?;
    match tokens.peek() {
        Some(token) if is_mark(token) => tokens.step(),
        None => return Err(tokens.fault(UnitFault::NoMinuteMark { at })),
        Some(_) => return Err(tokens.unexpected()),
    }
    if value >= 60.0 {
        return Err(tokens.fault(UnitFault::SixtyOrMore { at }));
    }
    Ok(Some((value, at, whole)))
}

fn is_degree_mark(token: Token<'_>) -> bool {
    token == Token::Degree || is_word(token, &["deg", "degs", "degree", "degrees"])
}

fn is_minute_mark(token: Token<'_>) -> bool {
    token == Token::Single || is_word(token, &["min", "mins", "minute", "minutes"])
}

fn is_second_mark(token: Token<'_>) -> bool {
    token == Token::Double || is_word(token, &["s", "sec", "secs", "second", "seconds"])
}

fn is_word(token: Token<'_>, words: &[&str]) -> bool {
    let Token::Word(word) = token else { return false };
    let word = word.strip_suffix('.').unwrap_or(word).to_lowercase();
    words.contains(&word.as_str())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn angles_as_people_type_them() {
        let cases = [
            ("12.4 deg", 12.4),
            ("12.4°", 12.4),
            ("12.4 degrees", 12.4),
            ("12°24'", 12.4),
            ("12°24′", 12.4),
            ("12° 24' 30\"", 12.0 + 24.5 / 60.0),
            ("12°24'30''", 12.0 + 24.5 / 60.0),
            ("12 deg 24 min", 12.4),
            ("12 deg 24.5 min", 12.0 + 24.5 / 60.0),
            ("-12.4 deg", -12.4),
            ("−12°24'", -12.4),
        ];
        for (text, degrees) in cases {
            let radians = parse_angle(text, false).unwrap_or_else(|error| panic!("{error}"));
            assert!(
                (radians - f64::to_radians(degrees)).abs() < 1e-12,
                "{text}: {radians}"
            );
        }
        assert_eq!(parse_angle("12.4", true), Ok(12.4f64.to_radians()));
    }

    #[test]
    fn what_cannot_be_read_is_refused_with_its_reason() {
        let cases = [
            ("", "is empty"),
            ("12.4", "has no unit: write 12.4 deg"),
            ("12,4 deg", "a comma at character 3"),
            ("12 in", "is a length where an angle is needed"),
            ("24'", "is a length where"),
            ("0.2 rad", "in radians"),
            ("12°24", "a number at character 4 with no mark"),
            ("12°60'", "60 or more at character 4"),
            ("12.4°30'", "decimals at character 1"),
            ("12°24.5'30\"", "decimals at character 4"),
            ("12 1/2 deg", "second number at character 4"),
            ("12½°", "decimals of a degree"),
            ("12/5 deg", "decimals of a degree"),
            ("deg", "needs a number"),
            ("1e2 deg", "an exponent"),
            ("12 grad", "\"grad\" at character 4"),
            ("12-Apr", "into a date"),
        ];
        for (text, piece) in cases {
            let error = parse_angle(text, false).expect_err(text).to_string();
            assert!(error.contains(piece), "{text:?}: {error}");
        }
    }

    #[test]
    fn no_negative_zero() {
        assert_eq!(format_angle(-0.0001, 1), "0.0 deg");
        assert_eq!(format_angle((-12.36f64).to_radians(), 1), "-12.4 deg");
    }

    proptest! {
        #[test]
        fn printed_and_read_back(tenths in -3600i32..3600) {
            let radians = (f64::from(tenths) / 10.0).to_radians();
            let read = parse_angle(&format_angle(radians, 1), false).unwrap();
            prop_assert!((read - radians).abs() < 1e-12);
        }

        #[test]
        fn never_panics(text in ".{0,30}", typed in "[0-9 .°'\"degmins-]{0,12}") {
            for text in [text, typed] {
                let _ = (parse_angle(&text, true), parse_angle(&text, false));
            }
        }
    }
}
