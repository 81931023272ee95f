//! What two epochs have in common: their points, with places and joint covariance.

use super::{CannotCompare, NotCompared, WhyNotCompared};
use crate::adjustment::{Adjustment, Solution};
use crate::frames::Placed;
use crate::rigid::{Rigid, fit_rigid};
use nalgebra::{DMatrix, Matrix3};
use survey::Survey;

/// A point that is held worse than this is not compared.
const LARGEST_SD_MM: f64 = 20.0;

/// The common points that are pinned down in both, by their indices before and after, in the order of their labels so
/// that the order of entry changes nothing; and the others.
pub(super) fn common(
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
pub(super) struct Epoch {
    pub(super) places: Vec<[f64; 3]>,
    pub(super) covariance: DMatrix<f64>,
}

impl Epoch {
    pub(super) fn new(
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

    pub(super) fn of(&self, points: &[usize]) -> Vec<[f64; 3]> {
        points.iter().map(|&p| self.places[p]).collect()
    }
}

pub(super) fn rotation(rigid: &Rigid) -> Matrix3<f64> {
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
pub(super) fn refuse_mirror_images(from: &Epoch, to: &Epoch) -> Result<(), CannotCompare> {
    let as_it_is = fit_rigid(&from.places, &to.places).ok_or(CannotCompare::InLine)?;
    let mirrored: Vec<[f64; 3]> = from.places.iter().map(|&[x, y, z]| [x, -y, z]).collect();
    let other = fit_rigid(&mirrored, &to.places).ok_or(CannotCompare::InLine)?;
    // Beyond 10 mm it is no matter of a few points that moved a little.
    if as_it_is.mean_square_error > 100.0 && other.mean_square_error < 0.1 * as_it_is.mean_square_error {
        return Err(CannotCompare::MirrorImages);
    }
    Ok(())
}
