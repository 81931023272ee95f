//! Why a typed length or angle cannot be read: the place, and what to do.

use thiserror::Error;

/// A length or an angle that cannot be read as it was typed. Nothing is guessed in its place.
///
/// ```
/// let error = survey::parse_length("40 5/", None).unwrap_err();
/// assert_eq!(
///     error.to_string(),
///     "\"40 5/\" stops after the slash (character 5): finish the fraction or take the slash out"
/// );
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("\"{text}\" {fault}")]
pub struct UnitError {
    /// What was typed, shortened where it is long.
    pub text: String,
    /// What is wrong with it.
    pub fault: UnitFault,
}

impl UnitError {
    pub(crate) fn new(text: &str, fault: UnitFault) -> UnitError {
        const SHOWN: usize = 60;
        let mut shown: String = text.chars().take(SHOWN).collect();
        if text.chars().nth(SHOWN).is_some() {
            shown.push('…');
        }
        UnitError { text: shown, fault }
    }
}

/// What is wrong with a typed length or angle. `at` counts characters from 1.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[allow(missing_docs)] // each message says what the variant is, and `at` is explained above
pub enum UnitFault {
    #[error("is empty: write a number with its unit, such as 1032 mm, 40 5/8 in or 12.4 deg")]
    Empty,
    #[error("has no unit: write 1032 mm or 40 5/8 in, or say the unit of bare numbers")]
    NoLengthUnit,
    #[error("has no unit: write 12.4 deg, or say the unit of bare numbers")]
    NoAngleUnit,
    #[error("has {found:?} at character {at}, which is no part of a length or an angle: take it out")]
    Unexpected { at: usize, found: String },
    #[error(
        "has {found:?} at character {at}, which is no unit: write mm, cm, m, in or ft, or deg for an angle"
    )]
    UnknownUnit { at: usize, found: String },
    #[error("needs a number at character {at}")]
    NoNumber { at: usize },
    #[error("stops after the slash (character {at}): finish the fraction or take the slash out")]
    UnfinishedFraction { at: usize },
    #[error("has a decimal point at character {at} with no digit after it: finish the number or take it out")]
    UnfinishedNumber { at: usize },
    #[error(
        "has a comma at character {at}: write decimals with a point and thousands without a separator, \
         such as 12.5 or 1032"
    )]
    Comma { at: usize },
    #[error(
        "has a second decimal point at character {at}: write thousands without a separator, such as 1032"
    )]
    SecondPoint { at: usize },
    #[error(
        "has a second number at character {at}: write one number, a whole and a fraction such as 40 5/8 in, or \
         feet and inches, and leave thousands separators out"
    )]
    SecondNumber { at: usize },
    #[error(
        "has a hyphen at character {at} that joins two numbers: only a whole and its fraction are joined so, \
         such as 40-5/8 in"
    )]
    Hyphen { at: usize },
    #[error(
        "looks like a date: a spreadsheet turned a fraction into a date; make the column text and type it \
         again, such as 3/16 in"
    )]
    Date,
    #[error(
        "has a second unit at character {at}: write it in one unit; only feet and inches go together, such as \
         3 ft 4 5/8 in"
    )]
    MixedUnits { at: usize },
    #[error(
        "has a fraction of 1 or more at character {at}: carry it into the whole, such as 41 1/8 for 40 9/8"
    )]
    ImproperFraction { at: usize },
    #[error("divides by zero at character {at}: write the fraction again")]
    ZeroDenominator { at: usize },
    #[error("has a decimal point in a fraction at character {at}: write 40 5/8 or 40.625")]
    PointInFraction { at: usize },
    #[error(
        "has a fraction at character {at}, and fractions are for inches: write in after it, or a decimal"
    )]
    FractionNotInInches { at: usize },
    #[error(
        "has a fraction at character {at}: write decimals of a degree, or minutes, such as 12.5 deg or 12°30'"
    )]
    FractionOfDegree { at: usize },
    #[error("has 12 inches or more after the feet (character {at}): carry them into the feet")]
    TooManyInches { at: usize },
    #[error(
        "has feet that are no whole number (character {at}) and inches after them: write one or the other"
    )]
    BrokenFeet { at: usize },
    #[error("has an exponent at character {at}: write the number out")]
    Exponent { at: usize },
    #[error("is not a number: write a number with its unit")]
    NotANumber,
    #[error("is too large to be a number here")]
    TooLarge,
    #[error("is an angle where a length is needed: write 1032 mm or 40 5/8 in")]
    AngleForLength,
    #[error("is a length where an angle is needed: write 12.4 deg")]
    LengthForAngle,
    #[error("is in radians, which are not read: write degrees, such as 12.4 deg")]
    Radians,
    #[error("has 60 or more at character {at}, where minutes or seconds stand: carry it on")]
    SixtyOrMore { at: usize },
    #[error("has decimals at character {at} and a smaller unit after them: write one or the other")]
    BrokenDegrees { at: usize },
    #[error("has a number at character {at} with no mark: write 12°24' or 12 deg 24 min")]
    NoMinuteMark { at: usize },
}

impl UnitFault {
    /// The character at fault, from 1, where it is one.
    pub fn place(&self) -> Option<usize> {
        use UnitFault as F;
        match self {
            F::Unexpected { at, .. }
            | F::UnknownUnit { at, .. }
            | F::NoNumber { at }
            | F::UnfinishedFraction { at }
            | F::UnfinishedNumber { at }
            | F::Comma { at }
            | F::SecondPoint { at }
            | F::SecondNumber { at }
            | F::Hyphen { at }
            | F::MixedUnits { at }
            | F::ImproperFraction { at }
            | F::ZeroDenominator { at }
            | F::PointInFraction { at }
            | F::FractionNotInInches { at }
            | F::FractionOfDegree { at }
            | F::TooManyInches { at }
            | F::BrokenFeet { at }
            | F::Exponent { at }
            | F::SixtyOrMore { at }
            | F::BrokenDegrees { at }
            | F::NoMinuteMark { at } => Some(*at),
            F::Empty
            | F::NoLengthUnit
            | F::NoAngleUnit
            | F::Date
            | F::NotANumber
            | F::TooLarge
            | F::AngleForLength
            | F::LengthForAngle
            | F::Radians => None,
        }
    }
}
