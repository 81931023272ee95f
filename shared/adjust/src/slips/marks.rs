//! Slips at the marks of a tape: the wrong one of two that look alike, or one lost or gained.

use super::typed::marks_to_an_inch;
use super::{Subject, Way};
use crate::result::Slip;
use survey::{INCH_MM, InstrumentKind, Kind, ReadFrom};

const FOOT_MM: f64 = 12.0 * INCH_MM;
/// What a tape that goes round something, or sags, reads too long on the average: exponential, so that small
/// bends are the likeliest. Judgement of the trade, no source.
pub(super) const BEND_MM: f64 = 5.0;

/// What a slip at the marks would make of this reading.
pub(super) fn ways(subject: &Subject<'_>) -> Vec<Way> {
    let instrument = subject.instrument();
    // A laser shows digits: it has no marks to mistake and nothing that bends.
    if instrument.is_some_and(|i| i.kind == InstrumentKind::Laser) {
        return Vec::new();
    }
    let mut ways = Vec::new();
    let mut add = |slip: Slip, amounts: &[f64]| {
        for &amount in amounts {
            ways.extend(subject.undone(slip, amount, 1.0 / amounts.len() as f64));
        }
    };
    // From a mark on purpose, the toggle is the slip: see `from`.
    if subject.reading.from == ReadFrom::Hook {
        add(Slip::BurnedInch, &[INCH_MM]);
    }
    add(Slip::Foot, &[FOOT_MM, -FOOT_MM]);
    add(Slip::Decimetre, &[100.0, -100.0]);
    add(Slip::Inch, &[-INCH_MM]);
    add(Slip::HalfInch, &[INCH_MM / 2.0, -INCH_MM / 2.0]);
    add(Slip::Fraction, &neighbouring_marks(subject));
    if subject.reading.kind == Kind::Tape {
        ways.push(Way::bent(BEND_MM));
    }
    ways
}

/// How far off a neighbouring mark is: of the instrument's graduation, of the fraction that was typed, and on the
/// other side of the long mark between, as 3/8 read for 5/8.
fn neighbouring_marks(subject: &Subject<'_>) -> Vec<f64> {
    let mut steps: Vec<f64> = Vec::new();
    let mut amounts: Vec<f64> = Vec::new();
    if let Some(instrument) = subject.instrument() {
        steps.push(instrument.graduation_mm);
    }
    if let Some((top, bottom)) = marks_to_an_inch(&subject.reading.typed) {
        steps.push(INCH_MM / f64::from(bottom));
        // Odd marks stand beside a long one: 7/16 and 9/16 beside the half inch, 3/8 and 5/8 too.
        if bottom >= 8 && top % 2 == 1 {
            let past = if top % 4 == 1 { 2.0 } else { -2.0 };
            amounts.push(past * INCH_MM / f64::from(bottom));
        }
    }
    for step in steps {
        for amount in [step, -step] {
            if step > 0.0 && !amounts.iter().any(|a| (a - amount).abs() < 1e-6) {
                amounts.push(amount);
            }
        }
    }
    amounts
}
