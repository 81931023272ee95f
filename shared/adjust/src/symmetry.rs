//! Is the shell straight? Mirror pairs against their own best mid-plane, the diagonals between pairs, and how far
//! the whole is racked and twisted.
//!
//! **Mid-plane.** The plane whose mirror brings the left points nearest to their right partners, by least squares
//! over all pairs. It comes from the pairs alone, so no frame changes it.
//!
//! **Axes.** y is across the mid-plane, to the left. x is the frame's x laid into the mid-plane where the crew
//! asked for a frame or has a bench; otherwise, and where the frame's x runs across the shell, it is the line
//! along which the middles of the pairs spread most. z = x × y. Frames with the same ahead give the same digits;
//! the length of an offset, its y, every verdict and the diagonals do not depend on the choice at all.
//!
//! **Offset of a pair.** With H the mirror, off = r − H l: where the right point lies, seen from where the mirror
//! image of the left one is. x > 0: the right one is further ahead. y > 0: the pair as a whole is moved to the
//! left, each by half. z > 0: the right one is higher.
//!
//! **How sure.** The mid-plane is itself estimated from the pairs. Shifting and turning it changes the offsets by
//! G a with three amounts a; at the best plane Gᵀ off = 0, so to first order the offsets are (I − G (GᵀG)⁻¹ Gᵀ)
//! times those against a plane that stands still: linear forms of the unknowns, whose covariance takes one solve
//! each. About y the axes turn with the mean of all pairs, so that the datum drops out; how surely the frame's x lies
//! in the shell would change an offset by a thousandth of itself, and is left out.
//!
//! **Racked.** The shear that makes a parallelogram of the plan: how far the left side is ahead of the right one
//! over the mean width of the pairs. The fore-aft offsets are fitted in proportion to the width, the middles of
//! the pairs by a straight line in x (and height); the angle between the two less 90° is the shear. The line of
//! the middles must be in it: a racked shell turns its own best mid-plane.
//!
//! **Twisted.** The turn about x of the foremost pairs against the rearmost ones: the slope over x of the height
//! differences per width, times the length from the first pair to the last. Positive where the left side rises
//! against the right one towards the front.
//!
//! **Diagonals.** From the left point of the one pair to the right point of the other, less the crossing one: what
//! a crew tapes to see whether a frame is square. It needs no mid-plane.
//!
//! **Significant** is what an exactly straight shell shows in one verdict of twenty: a pair by chi-square of its
//! offset with as many degrees of freedom as its covariance has, a single amount beyond 1.96 standard deviations. Among
//! twenty pairs one is significant by chance; a pair stands out where it is so at 5 % over their number.

mod amounts;
mod offsets;
mod plane;

use crate::fit::Fit;
use crate::frames::Placed;
use crate::network::Network;
use crate::observe::Vec3;
use crate::result::Tested;
use nalgebra::Matrix3;
use offsets::is_off;
pub(crate) use plane::mid_plane;
use survey::Survey;

/// Mirror pairs against the best mid-plane. Angles in radians.
#[derive(Debug, Clone, PartialEq)]
pub struct Symmetry {
    /// The best mid-plane.
    pub plane: MidPlane,
    /// Every pair of which both points are pinned down, in the order of the survey's points.
    pub pairs: Vec<PairOff>,
    /// How far the left side is ahead of the right one, over the mean width of the pairs, mm; `None` where all
    /// pairs stand at one place along the shell.
    pub racked_mm: Option<Tested>,
    /// How far the front is turned about x against the rear, over the length that the pairs span, radians;
    /// positive where the left side rises towards the front.
    pub twisted: Option<Tested>,
    /// The longest pairs of crossing diagonals, at most ten, no pair of points in more than two of them.
    pub diagonals: Vec<Diagonal>,
}

/// The best mid-plane of the mirror pairs, in the frame of the coordinates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MidPlane {
    /// A point of it: the middle of all pairs, mm.
    pub point_mm: [f64; 3],
    /// Across it, to the left; of length 1.
    pub normal: [f64; 3],
}

/// One mirror pair.
#[derive(Debug, Clone, PartialEq)]
pub struct PairOff {
    /// Index into the survey's points: the one on the left of the mid-plane.
    pub left: usize,
    /// Its partner.
    pub right: usize,
    /// Where the right point lies from the mirror image of the left one: x ahead, y left, z up.
    pub off_mm: [f64; 3],
    /// Covariance of `off_mm`.
    pub covariance_mm2: [[f64; 3]; 3],
    /// Whether that is more than the readings leave open, at 5 %.
    pub significant: bool,
    /// Whether it is so with all pairs in view: in one straight shell of twenty, one pair or more stands out.
    pub stands_out: bool,
}

/// Two crossing distances between two mirror pairs. In a straight shell they are the same.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagonal {
    /// From the left point of the front pair to the right point of the rear pair: indices into the survey's points.
    pub one: [usize; 2],
    /// From the right point of the front pair to the left point of the rear pair.
    pub other: [usize; 2],
    /// Their lengths.
    pub lengths_mm: [f64; 2],
    /// The first less the second, mm. Of a racked shell, the one that starts on the side that is ahead is longer.
    pub difference_mm: Tested,
}

/// What the pairs are held against each other with.
pub(crate) struct Mirror<'a> {
    pub(crate) network: &'a Network,
    pub(crate) survey: &'a Survey,
    pub(crate) fit: &'a Fit,
    pub(crate) placed: &'a Placed,
    /// Whether the crew said what is ahead.
    pub(crate) ahead_is_said: bool,
    /// Factor on every covariance.
    pub(crate) scale: f64,
}

/// A linear form of the unknowns.
type Form = Vec<(usize, f64)>;

/// A pair in the mid-plane's axes.
struct Pair {
    left: usize,
    right: usize,
    /// The middle of the right point and the left one's image, from the centre of all.
    at: Vec3,
    width: f64,
    off: Vec3,
    /// The forms of `off` against the estimated plane.
    forms: [Form; 3],
    covariance: Matrix3<f64>,
}

impl Mirror<'_> {
    /// Compares mirror pairs (canonical, both pinned down). `None` for fewer than two, or where they show no plane.
    pub(crate) fn symmetry(&self, pairs: &[[usize; 2]]) -> Option<Symmetry> {
        if pairs.len() < 2 {
            return None;
        }
        let (mean, axes) = self.axes(pairs)?;
        let plane = MidPlane {
            point_mm: self.placed.coordinates(&mean).into(),
            normal: self.placed.direction(&axes.row(1).transpose()).into(),
        };
        let pairs = self.pairs(pairs, &mean, &axes)?;
        let width = pairs.iter().map(|p| p.width).sum::<f64>() / pairs.len() as f64;
        let along = pairs.iter().map(|p| p.at.x);
        let length = along.clone().fold(f64::MIN, f64::max) - along.fold(f64::MAX, f64::min);
        let spread_out = length > 0.1 * width;
        let told = |p: usize| self.network.survey_point[p];
        let mut off: Vec<PairOff> = pairs
            .iter()
            .map(|pair| PairOff {
                left: told(pair.left),
                right: told(pair.right),
                off_mm: pair.off.into(),
                covariance_mm2: [0, 1, 2].map(|i| [0, 1, 2].map(|j| pair.covariance[(i, j)])),
                significant: is_off(&pair.off, &pair.covariance, 0.05),
                stands_out: is_off(&pair.off, &pair.covariance, 0.05 / pairs.len() as f64),
            })
            .collect();
        off.sort_by_key(|pair| pair.left.min(pair.right));
        Some(Symmetry {
            plane,
            pairs: off,
            racked_mm: self.racked(&pairs, width).filter(|_| spread_out),
            twisted: self.twisted(&pairs, length).filter(|_| spread_out),
            diagonals: self.diagonals(&pairs),
        })
    }

    fn add(&self, form: &mut Form, p: usize, by: Vec3) {
        for k in 0..3 {
            if let Some(column) = self.network.point_column[p][k] {
                form.push((column, by[k]));
            }
        }
    }

    fn tested(&self, amount: f64, form: &Form) -> Tested {
        let variance = value(form, &self.fit.inverse_times(form)) * self.scale;
        Tested::of(amount, variance.max(0.0).sqrt())
    }
}

/// The value of a form.
fn value(form: &Form, unknowns: &[f64]) -> f64 {
    form.iter().map(|&(c, e)| unknowns[c] * e).sum()
}

/// The same form with each unknown once.
fn condensed(mut form: Form) -> Form {
    form.sort_by_key(|(column, _)| *column);
    form.dedup_by(|later, first| {
        let same = later.0 == first.0;
        if same {
            first.1 += later.1;
        }
        same
    });
    form
}
