//! Mirror pairs as JSON.

use adjust::{Symmetry, Tested};
use serde::Serialize;

/// Mirror pairs against the best mid-plane; lengths in mm, the twist in degrees.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct SymmetryWire {
    /// The pairs in the order of the sheets.
    pub pairs: Vec<PairWire>,
    /// How far the left side is ahead of the right one, over the mean width of the pairs.
    pub racked_mm: Option<TestedWire>,
    /// How far the front is turned against the rear, positive where the left side rises towards the front.
    pub twisted_deg: Option<TestedWire>,
    /// The longest crossing diagonals.
    pub diagonals: Vec<DiagonalWire>,
}

/// One pair: where the right point lies from the mirror image of the left one, x ahead, y left, z up.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(missing_docs, reason = "told in the type's docs")]
pub struct PairWire {
    pub left: String,
    pub right: String,
    pub off_mm: [f64; 3],
    pub sd_mm: [f64; 3],
    pub significant: bool,
}

/// Two crossing distances by their ends, and the first less the second.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(missing_docs, reason = "told in the type's docs")]
pub struct DiagonalWire {
    pub one: [String; 2],
    pub other: [String; 2],
    pub lengths_mm: [f64; 2],
    pub difference_mm: TestedWire,
}

/// An amount that would be nothing in a perfect world.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(
    missing_docs,
    reason = "the same fields as `adjust::Tested`, which documents them"
)]
pub struct TestedWire {
    pub value: f64,
    pub sd: f64,
    pub significant: bool,
}

impl TestedWire {
    /// The twin of an amount, in its own unit times `factor`.
    pub(crate) fn of(tested: Tested, factor: f64) -> TestedWire {
        TestedWire {
            value: tested.value * factor,
            sd: tested.sd * factor,
            significant: tested.significant,
        }
    }
}

impl SymmetryWire {
    pub(super) fn of(symmetry: &Symmetry, label: &impl Fn(usize) -> String) -> SymmetryWire {
        SymmetryWire {
            pairs: symmetry
                .pairs
                .iter()
                .map(|pair| PairWire {
                    left: label(pair.left),
                    right: label(pair.right),
                    off_mm: pair.off_mm,
                    sd_mm: [0, 1, 2].map(|k| pair.covariance_mm2[k][k].max(0.0).sqrt()),
                    significant: pair.significant,
                })
                .collect(),
            racked_mm: symmetry.racked_mm.map(|it| TestedWire::of(it, 1.0)),
            twisted_deg: symmetry.twisted.map(|it| TestedWire::of(it, 1f64.to_degrees())),
            diagonals: symmetry
                .diagonals
                .iter()
                .map(|it| DiagonalWire {
                    one: it.one.map(label),
                    other: it.other.map(label),
                    lengths_mm: it.lengths_mm,
                    difference_mm: TestedWire::of(it.difference_mm, 1.0),
                })
                .collect(),
        }
    }
}
