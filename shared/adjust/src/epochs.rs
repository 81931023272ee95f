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
//! where nothing moved, a point is accused. All this is linear, so points that are held so badly that the bend of the
//! equations shows, by more than 20 mm in the free net, are left out: over a metre, 20 mm bend by 0.2 mm. The errors of the two epochs are taken as independent; an error of scale
//! that is not the same in both, such as another tape, is not in them.

use crate::adjustment::{Adjustment, Solution};
use crate::frames::Placed;
use crate::observe::Vec3;
use crate::quantiles::chi_square_quantile;
use crate::result::Estimate;
use crate::rigid::{Rigid, fit_rigid};
use nalgebra::{Cholesky, DMatrix, DVector, Dyn, Matrix3};
use survey::{Label, Survey};

/// A point that is held worse than this is not compared.
const LARGEST_SD_MM: f64 = 20.0;

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
    /// Whether it moved.
    pub moved: bool,
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
    let everyone: Vec<usize> = (0..m).collect();
    let (still, stands_still) = that_stand_still(&from, &to, critical)?;
    let laid = Laid::new(&from, &to, &still, &still)?;
    let degrees = (3 * still.len() - 6) as f64;
    let rest_agrees = laid.total <= chi_square_quantile(0.99, degrees);
    let mut shifts: Vec<Option<Shift>> = vec![None; m];
    for (n, &p) in still.iter().enumerate() {
        shifts[p] = laid.shift(n);
    }
    for &p in everyone.iter().filter(|p| !still.contains(p)) {
        shifts[p] = Laid::with(&from, &to, &still, p)?;
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

/// The common points that are pinned down in both, by their indices before and after, in the order of their labels so
/// that the order of entry changes nothing; and the others.
fn common(
    before: &Survey,
    one: &Solution,
    after: &Survey,
    other: &Solution,
) -> (Vec<[usize; 2]>, Vec<NotCompared>) {
    let (held_before, held_after) = (held_well(one), held_well(other));
    let mut common = Vec::new();
    let mut not_compared = Vec::new();
    for (p, point) in before.points.iter().enumerate() {
        let why = match after.point_index(&point.label) {
            None => WhyNotCompared::OnlyBefore,
            Some(q) => match (held_before[p], held_after[q]) {
                (true, true) => {
                    common.push([p, q]);
                    continue;
                }
                (false, true) => WhyNotCompared::OpenBefore,
                (true, false) => WhyNotCompared::OpenAfter,
                (false, false) => WhyNotCompared::OpenInBoth,
            },
        };
        not_compared.push(NotCompared {
            label: point.label.clone(),
            why,
        });
    }
    let new = after
        .points
        .iter()
        .filter(|point| before.point_index(&point.label).is_none());
    not_compared.extend(new.map(|point| NotCompared {
        label: point.label.clone(),
        why: WhyNotCompared::OnlyAfter,
    }));
    common.sort_by(|a, b| before.points[a[0]].label.cmp(&before.points[b[0]].label));
    (common, not_compared)
}

/// Whether each point is pinned down, and well enough for covariances to tell what it can do.
fn held_well(solution: &Solution) -> Vec<bool> {
    let Solution {
        network, fit, scale, ..
    } = solution;
    let free_net = Placed::free_net(network, fit).carry(fit);
    (0..solution.pinned_down.len())
        .map(|p| {
            let covariance = free_net.covariance(network, fit, network.canonical_point[p]) * *scale;
            solution.pinned_down[p] && covariance.symmetric_eigenvalues().max().sqrt() <= LARGEST_SD_MM
        })
        .collect()
}

/// One epoch's common points in its own frame, with their joint covariance in some datum.
struct Epoch {
    places: Vec<[f64; 3]>,
    covariance: DMatrix<f64>,
}

impl Epoch {
    fn new(
        adjustment: &Adjustment,
        solution: &Solution,
        points: impl Iterator<Item = usize>,
    ) -> Result<Epoch, CannotCompare> {
        let Solution {
            network, fit, scale, ..
        } = solution;
        let points: Vec<usize> = points.collect();
        let place = |p: usize| adjustment.points[p].coordinates_mm.map(|x| x.unwrap_or(f64::NAN));
        let places: Vec<[f64; 3]> = points.iter().map(|&p| place(p)).collect();
        // The frame's axes in the inner frame: covariances need no more than the turn.
        let inner: Vec<[f64; 3]> = points
            .iter()
            .map(|&p| fit.at.positions[network.canonical_point[p]].into())
            .collect();
        let turn = rotation(&fit_rigid(&inner, &places).ok_or(CannotCompare::InLine)?);
        let columns: Vec<[Option<usize>; 3]> = points
            .iter()
            .map(|&p| network.point_column[network.canonical_point[p]])
            .collect();
        let n = 3 * points.len();
        let mut covariance = DMatrix::zeros(n, n);
        for (q, axes) in columns.iter().enumerate() {
            for k in 0..3 {
                let Some(column) = axes[k] else { continue };
                let with = fit.inverse_times(&[(column, 1.0)]);
                for (p, axes) in columns.iter().enumerate() {
                    for j in 0..3 {
                        covariance[(3 * p + j, 3 * q + k)] = axes[j].map_or(0.0, |c| with[c] * scale);
                    }
                }
            }
        }
        Ok(Epoch {
            places,
            covariance: turned(&covariance, &turn),
        })
    }

    fn of(&self, points: &[usize]) -> Vec<[f64; 3]> {
        points.iter().map(|&p| self.places[p]).collect()
    }
}

fn rotation(rigid: &Rigid) -> Matrix3<f64> {
    Matrix3::from_fn(|i, j| rigid.rotation[i][j])
}

/// Every block of a joint covariance turned into other axes.
fn turned(covariance: &DMatrix<f64>, turn: &Matrix3<f64>) -> DMatrix<f64> {
    let mut to = covariance.clone();
    for p in 0..covariance.nrows() / 3 {
        for q in 0..covariance.nrows() / 3 {
            let block = covariance.fixed_view::<3, 3>(3 * p, 3 * q);
            to.fixed_view_mut::<3, 3>(3 * p, 3 * q)
                .copy_from(&(turn * block * turn.transpose()));
        }
    }
    to
}

/// Mirror images fit far better when one of them is mirrored. A flat survey fits either way, and is its own.
fn refuse_mirror_images(from: &Epoch, to: &Epoch) -> Result<(), CannotCompare> {
    let as_it_is = fit_rigid(&from.places, &to.places).ok_or(CannotCompare::InLine)?;
    let mirrored: Vec<[f64; 3]> = from.places.iter().map(|&[x, y, z]| [x, -y, z]).collect();
    let other = fit_rigid(&mirrored, &to.places).ok_or(CannotCompare::InLine)?;
    // Beyond 10 mm it is no matter of a few points that moved a little.
    if as_it_is.mean_square_error > 100.0 && other.mean_square_error < 0.1 * as_it_is.mean_square_error {
        return Err(CannotCompare::MirrorImages);
    }
    Ok(())
}

/// The points that kept their places against each other, and whether they are most of all; else all of them.
fn that_stand_still(from: &Epoch, to: &Epoch, critical: f64) -> Result<(Vec<usize>, bool), CannotCompare> {
    let m = from.places.len();
    let mut still: Vec<usize> = (0..m).collect();
    loop {
        let laid = Laid::new(from, to, &still, &still)?;
        let worst = (0..still.len())
            .filter_map(|n| Some((n, laid.shift(n)?.square)))
            .fold(None, |worst: Option<(usize, f64)>, one| match worst {
                Some(worst) if worst.1 >= one.1 => Some(worst),
                _ => Some(one),
            });
        match worst {
            Some((n, square)) if square > critical => {
                if 2 * (still.len() - 1) <= m || still.len() <= 4 {
                    return Ok(((0..m).collect(), false));
                }
                still.remove(n);
            }
            _ => break,
        }
    }
    // What was taken out while others still pulled at the fit may belong to those that stayed.
    let gone: Vec<usize> = (0..m).filter(|p| !still.contains(p)).collect();
    let mut back = Vec::new();
    for p in gone {
        if Laid::with(from, to, &still, p)?.is_some_and(|shift| shift.square <= critical) {
            back.push(p);
        }
    }
    for p in back {
        let mut more = still.clone();
        more.push(p);
        more.sort_unstable();
        let laid = Laid::new(from, to, &more, &more)?;
        if (0..more.len()).all(|n| laid.shift(n).is_none_or(|shift| shift.square <= critical)) {
            still = more;
        }
    }
    Ok((still, true))
}

/// A shift of one point against the others.
#[derive(Debug, Clone)]
struct Shift {
    by: Vec3,
    covariance: Matrix3<f64>,
    square: f64,
}

/// Some points of one epoch laid on the other.
struct Laid {
    reduced: DMatrix<f64>,
    gradient: DVector<f64>,
    total: f64,
}

impl Laid {
    /// Lays `points`, with the motion that fits `by` as the place to start from.
    fn new(from: &Epoch, to: &Epoch, points: &[usize], by: &[usize]) -> Result<Laid, CannotCompare> {
        let rigid = fit_rigid(&from.of(by), &to.of(by)).ok_or(CannotCompare::InLine)?;
        let turn = rotation(&rigid);
        let shift = Vec3::from(rigid.translation);
        let n = points.len();
        let places: Vec<Vec3> = points.iter().map(|&p| to.places[p].into()).collect();
        let centre = places.iter().sum::<Vec3>() / n as f64;
        let radius = places.iter().map(|p| (p - centre).norm()).fold(1.0, f64::max);
        let mut difference = DVector::zeros(3 * n);
        let mut motions = DMatrix::zeros(3 * n, 6);
        let mut covariance = DMatrix::zeros(3 * n, 3 * n);
        for (a, &p) in points.iter().enumerate() {
            let d = places[a] - (turn * Vec3::from(from.places[p]) + shift);
            difference.fixed_rows_mut::<3>(3 * a).copy_from(&d);
            let own = crate::gauge::rigid_motions(&places[a], &centre, radius);
            for (k, motion) in own.iter().enumerate() {
                motions.fixed_view_mut::<3, 1>(3 * a, k).copy_from(motion);
            }
            for (b, &q) in points.iter().enumerate() {
                let block = to.covariance.fixed_view::<3, 3>(3 * p, 3 * q)
                    + turn * from.covariance.fixed_view::<3, 3>(3 * p, 3 * q) * turn.transpose();
                covariance.fixed_view_mut::<3, 3>(3 * a, 3 * b).copy_from(&block);
            }
        }
        // Coordinates that are exact in both epochs have no variance: a hundredth of a millimetre is none to a tape.
        for k in 0..3 * n {
            covariance[(k, k)] += 1e-4;
        }
        let covariance = (&covariance + covariance.transpose()) * 0.5;
        let weights = factor(covariance)?.inverse();
        let weighted = &weights * &motions;
        let normal = factor(motions.transpose() * &weighted)?;
        let reduced = &weights - &weighted * normal.solve(&weighted.transpose());
        let gradient = &reduced * &difference;
        let total = difference.dot(&gradient);
        Ok(Laid {
            reduced,
            gradient,
            total,
        })
    }

    /// How one more point lies against these.
    fn with(from: &Epoch, to: &Epoch, still: &[usize], p: usize) -> Result<Option<Shift>, CannotCompare> {
        let mut points = still.to_vec();
        points.push(p);
        Ok(Laid::new(from, to, &points, still)?.shift(still.len()))
    }

    /// The best shift of the point at that place of the list if it is let go; `None` where the others do not hold it.
    fn shift(&self, n: usize) -> Option<Shift> {
        let block: Matrix3<f64> = self.reduced.fixed_view::<3, 3>(3 * n, 3 * n).into_owned();
        let gradient: Vec3 = self.gradient.fixed_rows::<3>(3 * n).into_owned();
        let covariance = (0.5 * (block + block.transpose())).cholesky()?.inverse();
        let by = covariance * gradient;
        Some(Shift {
            by,
            covariance,
            square: by.dot(&gradient),
        })
    }
}

/// A covariance that cannot be factored belongs to points that do not hold the shell.
fn factor(matrix: DMatrix<f64>) -> Result<Cholesky<f64, Dyn>, CannotCompare> {
    matrix.cholesky().ok_or(CannotCompare::InLine)
}
