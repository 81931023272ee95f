//! Lengths, angles, lines and directions as the crew says them.

use survey::{Kind, LengthFormat, LengthUnit, Quantity, Reading, format_angle, format_length};

use crate::AdjustAnswer;

/// Half the width of a 95 % band over the standard deviation: the 0.975 quantile of the normal distribution.
pub(crate) const HALF_WIDTH_95: f64 = 1.96;
/// Marks to an inch in which the crew is answered.
const MARKS: u32 = 16;
const INCH_MM: f64 = 25.4;

/// An answer with a voice.
pub(super) struct Words<'a> {
    pub(super) answer: &'a AdjustAnswer,
}

impl Words<'_> {
    /// A point's name.
    pub(super) fn label(&self, point: usize) -> String {
        self.answer.survey.points[point].label.to_string()
    }

    /// A length to the nearest 1/16 in or 0.1 mm.
    pub(super) fn length(&self, mm: f64) -> String {
        format_length(mm, self.format())
    }

    /// The same without its unit, for a table that names it once.
    pub(super) fn bare_length(&self, mm: f64) -> String {
        without_unit(self.length(mm))
    }

    /// ± at 95 % of a standard deviation, rounded up, without its unit.
    pub(super) fn bare_half_width(&self, sd_mm: f64) -> String {
        without_unit(self.half_width(sd_mm))
    }

    /// ± at 95 % of a standard deviation, rounded up.
    pub(super) fn half_width(&self, sd_mm: f64) -> String {
        half_width(self.answer.crew_unit, sd_mm)
    }

    /// A length that must not be told too small.
    pub(super) fn length_rounded_up(&self, mm: f64) -> String {
        rounded_up(self.answer.crew_unit, mm)
    }

    /// A small difference and its ± at 95 %, finer than the crew reads: to 0.01 in or 0.1 mm, ± rounded up.
    pub(super) fn difference(&self, mm: f64, sd_mm: f64) -> [String; 2] {
        let (step, format) = match self.answer.crew_unit {
            LengthUnit::Inch => (INCH_MM / 100.0, LengthFormat::DecimalInches { places: 2 }),
            LengthUnit::Millimetre => (0.1, LengthFormat::Millimetres { places: 1 }),
        };
        let up = (HALF_WIDTH_95 * sd_mm / step - 1e-6).ceil().max(0.0) * step;
        [mm.abs(), up].map(|mm| format_length(mm, format))
    }

    /// A small length with its sign, as it is written into a sheet.
    pub(super) fn signed_difference(&self, mm: f64) -> String {
        let [size, _] = self.difference(mm, 0.0);
        format!("{}{size}", if mm < 0.0 { "-" } else { "" })
    }

    /// ± at 95 % of an instrument, finer than the crew reads.
    pub(super) fn instrument_half_width(&self, sd: f64, reads_angles: bool) -> String {
        let half = HALF_WIDTH_95 * sd;
        match self.answer.crew_unit {
            _ if reads_angles => format_angle(half, 2),
            LengthUnit::Inch => format_length(half, LengthFormat::DecimalInches { places: 2 }),
            LengthUnit::Millimetre => format_length(half, LengthFormat::Millimetres { places: 1 }),
        }
    }

    /// What an error that a whole tape shares can do; from a standard deviation in mm per m.
    pub(super) fn shared_error(&self, sd_mm_per_m: f64) -> String {
        let tenths = (HALF_WIDTH_95 * sd_mm_per_m * 10.0 - 1e-6).ceil() / 10.0;
        format!(" It can make the whole shell too large or too small by {tenths:.1} mm in each metre.")
    }

    /// A reading's number in its own quantity.
    pub(super) fn value(&self, kind: Kind, value: f64) -> String {
        match kind.quantity() {
            Quantity::Length => self.length(value),
            Quantity::Angle => format_angle(value, 1),
        }
    }

    /// A number of a reading that must not be told too small.
    pub(super) fn value_rounded_up(&self, kind: Kind, value: f64) -> String {
        match kind.quantity() {
            Quantity::Length => self.length_rounded_up(value),
            Quantity::Angle => angle_rounded_up(value),
        }
    }

    /// `1 in long`: which way a reading with this residual is off, and by how much.
    pub(super) fn way_off(&self, kind: Kind, residual: f64) -> String {
        let (over, under) = match kind {
            Kind::Tape | Kind::String | Kind::Face => ("long", "short"),
            Kind::Corner => ("too wide", "too narrow"),
            Kind::Slope | Kind::Rise | Kind::X | Kind::Y | Kind::Z => ("too much", "too little"),
        };
        let way = if residual < 0.0 { over } else { under };
        format!("{} {way}", self.value(kind, residual.abs()))
    }

    /// `r12: tape from sill-rear-R to roof-front`.
    pub(super) fn line(&self, reading: &Reading) -> String {
        format!("{}: {}", reading.id, self.between(reading.kind, &reading.points))
    }

    /// `tape from sill-rear-R to roof-front`.
    pub(super) fn between(&self, kind: Kind, points: &[usize]) -> String {
        let names: Vec<String> = points.iter().map(|&point| self.label(point)).collect();
        match (kind, names.as_slice()) {
            (Kind::Corner, [a, b, c]) => format!("corner at {b} between {a} and {c}"),
            (Kind::String, [a, b, c]) => format!("string from {a} to the line {b}, {c}"),
            (Kind::Face, [a, b, c, d]) => format!("face from {a} to the plane {b}, {c}, {d}"),
            (kind, [a, b]) => format!("{} from {a} to {b}", kind.word()),
            (kind, names) => format!("{} of {}", kind.word(), names.join(", ")),
        }
    }

    /// Where a point is: `(12 in, 3 1/2 in, 0 in)`.
    pub(super) fn place(&self, at: [f64; 3]) -> String {
        let [x, y, z] = at.map(|mm| self.length(mm));
        format!("({x}, {y}, {z})")
    }

    fn format(&self) -> LengthFormat {
        format_of(self.answer.crew_unit)
    }
}

/// ± at 95 % of a standard deviation in the crew's unit, rounded up.
pub(super) fn half_width(unit: LengthUnit, sd_mm: f64) -> String {
    rounded_up(unit, HALF_WIDTH_95 * sd_mm)
}

fn rounded_up(unit: LengthUnit, mm: f64) -> String {
    rounded_up_to(unit, MARKS, mm)
}

/// A length that must not be told too small, to so many marks an inch or 0.1 mm.
pub(crate) fn rounded_up_to(unit: LengthUnit, marks: u32, mm: f64) -> String {
    let step = match unit {
        LengthUnit::Inch => INCH_MM / f64::from(marks),
        LengthUnit::Millimetre => 0.1,
    };
    // A millionth of a step is rounding of the computer, not of the tape.
    format_length((mm / step - 1e-6).ceil().max(0.0) * step, format_to(unit, marks))
}

/// An angle that must not be told too small, to 0.1 degrees.
pub(crate) fn angle_rounded_up(rad: f64) -> String {
    format_angle((rad.to_degrees() * 10.0 - 1e-9).ceil().to_radians() / 10.0, 1)
}

fn format_of(unit: LengthUnit) -> LengthFormat {
    format_to(unit, MARKS)
}

/// How lengths are written in a unit.
pub(crate) fn format_to(unit: LengthUnit, marks: u32) -> LengthFormat {
    match unit {
        LengthUnit::Inch => LengthFormat::Inches { denominator: marks },
        LengthUnit::Millimetre => LengthFormat::Millimetres { places: 1 },
    }
}

fn without_unit(text: String) -> String {
    text.strip_suffix(" in")
        .or_else(|| text.strip_suffix(" mm"))
        .unwrap_or(&text)
        .to_owned()
}

/// The ways in which a point can move: `up or down`, `ahead or back and left or right`.
pub(crate) fn direction(along: [f64; 3]) -> String {
    let ways = ["ahead or back", "left or right", "up or down"];
    let most = along.iter().fold(0.0, |most: f64, part| most.max(part.abs()));
    let named: Vec<&str> = ways
        .into_iter()
        .zip(along)
        .filter(|(_, part)| part.abs() > 0.4 * most)
        .map(|(way, _)| way)
        .collect();
    named.join(" together with ")
}

/// The same words with a capital first letter.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Small numbers as words.
pub(super) fn number(count: usize) -> String {
    let small = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
    ];
    small
        .get(count)
        .map_or_else(|| count.to_string(), |word| (*word).to_owned())
}
