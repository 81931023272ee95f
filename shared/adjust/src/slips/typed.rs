//! Slips between the eye and the paper: digits exchanged, the other unit written down.

use super::{Subject, Way};
use crate::result::Slip;
use survey::{LengthUnit, Quantity, Reading, Survey};

const CM_TO_INCH: f64 = 2.54;

/// What a slip of the pencil would make of this reading.
pub(super) fn ways(subject: &Subject<'_>) -> Vec<Way> {
    let swaps = swapped_values(subject.survey, subject.reading);
    let share = 1.0 / swaps.len().max(1) as f64;
    let mut ways: Vec<Way> = swaps
        .into_iter()
        .filter_map(|change| subject.undone(Slip::DigitsSwapped, -change, share))
        .collect();
    let read = subject.reading.read.abs();
    let meant = match typed_unit(subject.survey, subject.reading) {
        Some(Unit::Inch) => Some(read / CM_TO_INCH),
        Some(Unit::Centimetre) => Some(read * CM_TO_INCH),
        None => None,
    };
    ways.extend(meant.and_then(|meant| subject.undone(Slip::CmForInch, read - meant, 1.0)));
    ways
}

#[derive(Clone, Copy)]
enum Unit {
    Inch,
    Centimetre,
}

/// The unit that could have been taken for the other one: a number without a fraction or feet, in inches or
/// centimetres.
fn typed_unit(survey: &Survey, reading: &Reading) -> Option<Unit> {
    if reading.kind.quantity() != Quantity::Length {
        return None;
    }
    let text = reading.typed.trim();
    let number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ' ' | '-' | '+' | '\u{2212}');
    let unit = text
        .trim_start_matches(number)
        .trim_end_matches('.')
        .to_lowercase();
    match unit.as_str() {
        "in" | "inch" | "inches" | "\"" | "''" | "\u{2033}" | "\u{201d}" => Some(Unit::Inch),
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => Some(Unit::Centimetre),
        "" if survey.unit == Some(LengthUnit::Inch) => Some(Unit::Inch),
        _ => None,
    }
}

/// The fraction of an inch that was typed, as `5/8` is (5, 8).
pub(super) fn marks_to_an_inch(typed: &str) -> Option<(u32, u32)> {
    const VULGAR: [(char, u32, u32); 9] = [
        ('½', 1, 2),
        ('¼', 1, 4),
        ('¾', 3, 4),
        ('⅛', 1, 8),
        ('⅜', 3, 8),
        ('⅝', 5, 8),
        ('⅞', 7, 8),
        ('⅓', 1, 3),
        ('⅔', 2, 3),
    ];
    if let Some(&(_, top, bottom)) = VULGAR.iter().find(|(c, ..)| typed.contains(*c)) {
        return Some((top, bottom));
    }
    let (before, after) = typed.split_once(['/', '\u{2044}'])?;
    let tail = before.trim_end().chars().rev().take_while(char::is_ascii_digit);
    let top: String = tail.collect::<Vec<_>>().into_iter().rev().collect();
    let bottom: String = after
        .trim_start()
        .chars()
        .take_while(char::is_ascii_digit)
        .collect();
    let fraction = (top.parse().ok()?, bottom.parse().ok()?);
    (fraction.1 > 0).then_some(fraction)
}

/// How the magnitude would change if two neighbouring digits of the typed text were exchanged, each once.
fn swapped_values(survey: &Survey, reading: &Reading) -> Vec<f64> {
    let parse = |text: &str| match reading.kind.quantity() {
        Quantity::Length => survey::parse_length(text, survey.unit).ok(),
        Quantity::Angle => survey::parse_angle(text, true).ok(),
    };
    let Some(typed) = parse(&reading.typed) else {
        return Vec::new();
    };
    let digits: Vec<char> = reading.typed.chars().collect();
    let mut changes: Vec<f64> = Vec::new();
    for i in 0..digits.len().saturating_sub(1) {
        let (a, b) = (digits[i], digits[i + 1]);
        if a == b || !a.is_ascii_digit() || !b.is_ascii_digit() {
            continue;
        }
        let mut swapped = digits.clone();
        swapped.swap(i, i + 1);
        if let Some(value) = parse(&swapped.into_iter().collect::<String>()) {
            let change = value.abs() - typed.abs();
            if change != 0.0 && !changes.contains(&change) {
                changes.push(change);
            }
        }
    }
    changes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_are_found_however_they_are_typed() {
        for (typed, fraction) in [
            ("40 5/8 in", Some((5, 8))),
            ("40-15/16\"", Some((15, 16))),
            ("3' 4 1/2\"", Some((1, 2))),
            ("7⅜ in", Some((3, 8))),
            ("40.625 in", None),
            ("1032 mm", None),
        ] {
            assert_eq!(marks_to_an_inch(typed), fraction, "{typed}");
        }
    }
}
