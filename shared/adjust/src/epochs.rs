//! Two epochs of one shell: which points moved between them, and how much.
//!
//! Neither epoch says where the shell stood, so the one is laid on the other by the rigid motion that fits the points
//! which kept their places, and which points those are is part of the question. This is the congruence test of
//! deformation analysis (H. Pelzer, *Zur Analyse geodätischer Deformationsmessungen*, 1971), with one point at a time
//! taken out.
//!
//! With d the differences of the coordinates after laying, C the sum of both epochs' covariances over all common
//! points (joint, not point by point), P = C⁻¹ and G the six rigid motions: R = P − PG (GᵀPG)⁻¹ GᵀP. Then dᵀRd is
//! chi-square with 3m − 6 degrees of freedom if nothing moved, whatever the datum of either epoch. A point p that is
//! let go by itself lowers it by qᵀR_pp⁻¹q with q = (R d)_p, chi-square with three; its best shift is R_pp⁻¹ q with
//! covariance R_pp⁻¹. As long as the largest of these is beyond the critical value, that point has moved and is taken
//! out; at the end each is tried again against those that stayed.
//!
//! The critical value grows with the number of points as the one of the readings does: in one comparison of a hundred
//! where nothing moved, a point is accused. Where another set of moved points as small explains both epochs within 10.8
//! of chi-square (odds of 1 to 220 or better), the readings do not tell which of them moved: the points in which the
//! two differ are told as unclear. Such sets are reached from each other by exchanging one point at a time.
//!
//! All this is linear, so points that are held so badly that the bend of the
//! equations shows, by more than 20 mm in the free net, are left out: over a metre, 20 mm bend by 0.2 mm. The errors of the two epochs are taken as independent; an error of scale
//! that is not the same in both, such as another tape, is not in them.

mod common;
mod laid;
mod moved;

use crate::adjustment::Adjustment;
use crate::observe::Vec3;
use crate::quantiles::chi_square_quantile;
use crate::result::Estimate;
use common::{Epoch, common, refuse_mirror_images};
use laid::{Laid, Shift};
use moved::explain;
use survey::{Label, Survey};

/// What moved between two epochs.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// The points that can be compared, in the order of the survey after.
    pub points: Vec<Compared>,
    /// The others: first those of the survey before in its order, then those that only the survey after has.
    pub not_compared: Vec<NotCompared>,
    /// Whether most points kept their places against each other. Where not, nothing stands still: no point is said to
    /// have moved, and the shifts are against the best fit of all.
    pub stands_still: bool,
    /// Whether the points that are not said to have moved lie taken together as the readings allow, at 1 %.
    pub rest_agrees: bool,
    /// The critical value for [`Compared::chi_square`].
    pub critical: f64,
}

/// One point in both epochs.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// Index into the points of the survey before.
    pub before: usize,
    /// Index into the points of the survey after.
    pub after: usize,
    /// From before to after, in the frame of the adjustment after, mm.
    pub shift_mm: [f64; 3],
    /// Its covariance.
    pub covariance_mm2: [[f64; 3]; 3],
    /// Its length, with the standard deviation along its own direction.
    pub distance_mm: Estimate,
    /// The shift squared against its covariance: chi-square with three degrees of freedom.
    pub chi_square: f64,
    /// Whether it moved, by the explanation with as few moved points as can be that fits best.
    pub moved: bool,
    /// Whether another explanation with as many moved points has this one the other way round, and fits nearly as well.
    /// The shift is the one it made if it is the one that moved.
    pub unclear: bool,
}

/// A point that cannot be compared.
#[derive(Debug, Clone, PartialEq)]
pub struct NotCompared {
    /// Which.
    pub label: Label,
    /// Why.
    pub why: WhyNotCompared,
}

/// Why a point cannot be compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyNotCompared {
    /// It is only in the survey before.
    OnlyBefore,
    /// It is only in the survey after.
    OnlyAfter,
    /// It is not pinned down before, or not to 20 mm.
    OpenBefore,
    /// It is not pinned down after, or not to 20 mm.
    OpenAfter,
    /// Neither before nor after.
    OpenInBoth,
}

/// Why two epochs cannot be compared at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CannotCompare {
    /// An adjustment that was put together by hand has no covariances.
    #[error("one of the results was not solved here: solve its readings first")]
    NotSolved,
    /// Too little in common.
    #[error("only {common} points are held well enough in both: it takes at least four with the same labels")]
    TooFewPoints {
        /// How many are.
        common: usize,
    },
    /// The common points do not hold the shell.
    #[error("the points that are pinned down in both lie in one line")]
    InLine,
    /// The one is the mirror image of the other.
    #[error(
        "one is the mirror image of the other: tapes alone do not tell which is right. Log a slope or a rise in both, \
         give rough positions, or say which point is above"
    )]
    MirrorImages,
}

/// Compares two epochs by the labels of their points. Each keeps its own frame.
///
/// # Errors
/// [`CannotCompare`] where fewer than four points are pinned down in both, where these do not hold the shell, or where
/// the one result is the mirror image of the other.
pub fn compare(
    before: &Survey,
    solved_before: &Adjustment,
    after: &Survey,
    solved_after: &Adjustment,
) -> Result<Comparison, CannotCompare> {
    let (Some(one), Some(other)) = (&solved_before.solution, &solved_after.solution) else {
        return Err(CannotCompare::NotSolved);
    };
    let (common, not_compared) = common(before, one, after, other);
    let m = common.len();
    if m < 4 {
        return Err(CannotCompare::TooFewPoints { common: m });
    }
    let from = Epoch::new(solved_before, one, common.iter().map(|c| c[0]))?;
    let to = Epoch::new(solved_after, other, common.iter().map(|c| c[1]))?;
    refuse_mirror_images(&from, &to)?;

    let critical = chi_square_quantile(1.0 - 0.01 / m as f64, 3.0);
    let explained = explain(&from, &to, critical)?;
    let still = &explained.still;
    let stands_still = explained.stands_still;
    let laid = Laid::new(&from, &to, still, still)?;
    let degrees = (3 * still.len() - 6) as f64;
    let rest_agrees = laid.total <= chi_square_quantile(0.99, degrees);
    let mut shifts: Vec<Option<Shift>> = vec![None; m];
    for (n, &p) in still.iter().enumerate() {
        shifts[p] = laid.shift(n);
    }
    for p in (0..m).filter(|p| !still.contains(p)) {
        shifts[p] = Laid::with(&from, &to, still, p)?;
    }
    for (p, others) in &explained.unclear {
        if still.contains(p) {
            shifts[*p] = Laid::with(&from, &to, others, *p)?;
        }
    }
    let mut points: Vec<Compared> = common
        .iter()
        .zip(shifts)
        .enumerate()
        .filter_map(|(p, (index, shift))| {
            let shift = shift?;
            let length = shift.by.norm();
            let along = if length > 0.0 {
                shift.by / length
            } else {
                Vec3::x()
            };
            let variance = (along.transpose() * shift.covariance * along)[0];
            Some(Compared {
                before: index[0],
                after: index[1],
                shift_mm: shift.by.into(),
                covariance_mm2: [0, 1, 2].map(|i| [0, 1, 2].map(|j| shift.covariance[(i, j)])),
                distance_mm: Estimate {
                    value: length,
                    sd: variance.max(0.0).sqrt(),
                },
                chi_square: shift.square,
                moved: !still.contains(&p),
                unclear: explained.unclear.iter().any(|(q, _)| *q == p),
            })
        })
        .collect();
    points.sort_by_key(|point| point.after);
    Ok(Comparison {
        points,
        not_compared,
        stands_still,
        rest_agrees,
        critical,
    })
}
