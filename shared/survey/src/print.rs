//! Lengths as they are printed: what is printed can be typed again.

use crate::length::INCH_MM;

/// How a length is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthFormat {
    /// `40 5/8 in`: to the nearest mark, the fraction reduced.
    Inches {
        /// Marks to an inch, such as 16.
        denominator: u32,
    },
    /// `3 ft 4 5/8 in`: to the nearest mark, the fraction reduced.
    FeetInches {
        /// Marks to an inch, such as 16.
        denominator: u32,
    },
    /// `40.625 in`.
    DecimalInches {
        /// Digits after the point.
        places: usize,
    },
    /// `1032.5 mm`.
    Millimetres {
        /// Digits after the point.
        places: usize,
    },
    /// `103.25 cm`.
    Centimetres {
        /// Digits after the point.
        places: usize,
    },
    /// `1.0325 m`.
    Metres {
        /// Digits after the point.
        places: usize,
    },
}

/// Prints a length given in millimetres. What is not finite is printed as `not known`.
///
/// ```
/// use survey::{LengthFormat, format_length};
/// assert_eq!(format_length(1031.875, LengthFormat::Inches { denominator: 16 }), "40 5/8 in");
/// assert_eq!(format_length(1031.875, LengthFormat::FeetInches { denominator: 16 }), "3 ft 4 5/8 in");
/// assert_eq!(format_length(1032.5, LengthFormat::Millimetres { places: 1 }), "1032.5 mm");
/// ```
pub fn format_length(mm: f64, format: LengthFormat) -> String {
    if !mm.is_finite() {
        return "not known".to_owned();
    }
    match format {
        LengthFormat::Inches { denominator } => in_marks(mm, denominator, false),
        LengthFormat::FeetInches { denominator } => in_marks(mm, denominator, true),
        LengthFormat::DecimalInches { places } => decimal(mm / INCH_MM, places, "in"),
        LengthFormat::Millimetres { places } => decimal(mm, places, "mm"),
        LengthFormat::Centimetres { places } => decimal(mm / 10.0, places, "cm"),
        LengthFormat::Metres { places } => decimal(mm / 1000.0, places, "m"),
    }
}

fn decimal(value: f64, places: usize, unit: &str) -> String {
    without_negative_zero(format!("{value:.places$} {unit}"))
}

/// `-0.0 mm` says nothing that `0.0 mm` does not.
pub(crate) fn without_negative_zero(text: String) -> String {
    match text.strip_prefix('-') {
        Some(rest) if !rest.bytes().any(|b| (b'1'..=b'9').contains(&b)) => rest.to_owned(),
        _ => text,
    }
}

fn in_marks(mm: f64, denominator: u32, with_feet: bool) -> String {
    let denominator = u128::from(denominator.max(1));
    // Rounded once, as a count of marks: 11 31/32 in becomes 1 ft, never 12 in. The cast saturates.
    let marks = (mm.abs() / INCH_MM * denominator as f64).round() as u128;
    if marks == 0 {
        return "0 in".to_owned();
    }
    let whole = marks / denominator;
    let (feet, inches) = if with_feet {
        (whole / 12, whole % 12)
    } else {
        (0, whole)
    };
    let top = marks % denominator;
    let divisor = common_divisor(top, denominator);

    let mut parts = Vec::new();
    if feet > 0 {
        parts.push(format!("{feet} ft"));
    }
    if inches > 0 {
        parts.push(inches.to_string());
    }
    if top > 0 {
        parts.push(format!("{}/{}", top / divisor, denominator / divisor));
    }
    if inches > 0 || top > 0 {
        parts.push("in".to_owned());
    }
    let sign = if mm < 0.0 { "-" } else { "" };
    format!("{sign}{}", parts.join(" "))
}

fn common_divisor(a: u128, b: u128) -> u128 {
    if b == 0 { a } else { common_divisor(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_are_reduced_and_carried() {
        let sixteenths = LengthFormat::Inches { denominator: 16 };
        let feet = LengthFormat::FeetInches { denominator: 16 };
        let cases = [
            (40.625, sixteenths, "40 5/8 in"),
            (0.625, sixteenths, "5/8 in"),
            (-0.625, sixteenths, "-5/8 in"),
            (40.0, sixteenths, "40 in"),
            (0.0, sixteenths, "0 in"),
            (-0.01, sixteenths, "0 in"),
            (40.99, sixteenths, "41 in"),
            (40.625, feet, "3 ft 4 5/8 in"),
            (36.0, feet, "3 ft"),
            (36.625, feet, "3 ft 5/8 in"),
            (11.99, feet, "1 ft"),
            (4.5, feet, "4 1/2 in"),
            (-40.625, feet, "-3 ft 4 5/8 in"),
            (40.625, LengthFormat::DecimalInches { places: 3 }, "40.625 in"),
            (1.0, LengthFormat::Millimetres { places: 1 }, "25.4 mm"),
            (-0.000_01, LengthFormat::Millimetres { places: 1 }, "0.0 mm"),
            (1.0, LengthFormat::Centimetres { places: 2 }, "2.54 cm"),
            (100.0, LengthFormat::Metres { places: 3 }, "2.540 m"),
            (f64::NAN, sixteenths, "not known"),
            (1.0, LengthFormat::Inches { denominator: 0 }, "1 in"),
        ];
        for (inches, format, expected) in cases {
            assert_eq!(format_length(inches * INCH_MM, format), expected);
        }
    }
}
