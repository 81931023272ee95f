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
