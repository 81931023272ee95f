//! Slips of an angle finder and of signs: the angle to the other axis, on the other side, above taken for below.

use super::{Subject, Way};
use crate::result::Slip;
use std::f64::consts::{FRAC_PI_2, PI};
use survey::Kind;

/// What such a slip would make of this reading.
pub(super) fn ways(subject: &Subject<'_>) -> Vec<Way> {
    let observed = subject.reading.observed;
    match subject.reading.kind {
        Kind::Slope => vec![
            Way::corrected(
                Slip::Complement,
                observed.signum() * (FRAC_PI_2 - observed.abs()),
                1.0,
            ),
            Way::corrected(Slip::Sign, -observed, 1.0),
        ],
        // A finder that is set to square shows how far a corner is from square, either way.
        Kind::Corner if observed <= FRAC_PI_2 => vec![
            Way::corrected(Slip::Complement, FRAC_PI_2 - observed, 0.5),
            Way::corrected(Slip::Complement, FRAC_PI_2 + observed, 0.5),
            Way::corrected(Slip::Supplement, PI - observed, 1.0),
        ],
        Kind::Corner => vec![Way::corrected(Slip::Supplement, PI - observed, 1.0)],
        Kind::Rise | Kind::X | Kind::Y | Kind::Z => {
            vec![Way::corrected(Slip::Sign, -observed, 1.0)]
        }
        Kind::Tape | Kind::String | Kind::Face => Vec::new(),
    }
}
