//! How often each slip is behind a reading that is off.

use crate::result::Slip;

/// How often a slip of each name is behind a reading that is off. Together with [`NONE_OF_THESE`] they make 1.
///
/// Judgement of the trade, no source. They need only be of the right order: a slip that fits beats one that does
/// not by many orders. The last three are causes that several readings share; no single reading is explained by
/// them, and the joint search weighs them.
///
/// Two slips can leave the same number, such as the 1 inch mark by mistake and the 1 inch mark on purpose without
/// saying so. There the sheet decides: see [`RAISED`].
pub const PRIORS: [(Slip, f64); 19] = [
    (Slip::BurnedInch, 0.11),
    (Slip::Foot, 0.08),
    (Slip::Decimetre, 0.08),
    (Slip::Inch, 0.04),
    (Slip::HalfInch, 0.05),
    (Slip::Fraction, 0.08),
    (Slip::DigitsSwapped, 0.08),
    (Slip::CaseLength, 0.05),
    (Slip::CmForInch, 0.02),
    (Slip::FromForgotten, 0.05),
    (Slip::Complement, 0.03),
    (Slip::Supplement, 0.03),
    (Slip::Sign, 0.03),
    (Slip::MirrorPoint, 0.06),
    (Slip::WrongPoint, 0.05),
    (Slip::TapeBent, 0.02),
    (Slip::MovedMark, 0.02),
    (Slip::LabelsExchanged, 0.01),
    (Slip::WholeSheet, 0.01),
];

/// What is left for "none of these": an error anywhere within ±2 m, or ±90°.
pub const NONE_OF_THESE: f64 = 0.10;

/// How many times likelier a forgotten `from` is where a reading near it in the sheet, by the same person with the
/// same instrument, was read in just that way. Judgement of the trade, no source.
pub const RAISED: f64 = 20.0;

/// The prior of a slip.
pub(crate) fn prior(slip: Slip) -> f64 {
    PRIORS
        .iter()
        .find(|(name, _)| *name == slip)
        .map_or(0.0, |(_, prior)| *prior)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_slip_has_a_prior_and_together_they_are_certain() {
        for slip in Slip::ALL {
            let times = PRIORS.iter().filter(|(name, _)| *name == slip).count();
            assert_eq!(times, 1, "{slip:?}");
            assert!(prior(slip) > 0.0, "{slip:?}");
        }
        let total: f64 = PRIORS.iter().map(|(_, prior)| prior).sum();
        assert!((total + NONE_OF_THESE - 1.0).abs() < 1e-12, "{total}");
    }
}
