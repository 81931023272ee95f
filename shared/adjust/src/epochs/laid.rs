//! One epoch laid on the other.

use super::CannotCompare;
use super::common::{Epoch, rotation};
use crate::observe::Vec3;
use crate::rigid::fit_rigid;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn, Matrix3};

/// A shift of one point against the others.
#[derive(Debug, Clone)]
pub(super) struct Shift {
    pub(super) by: Vec3,
    pub(super) covariance: Matrix3<f64>,
    pub(super) square: f64,
}

/// Some points of one epoch laid on the other.
pub(super) struct Laid {
    reduced: DMatrix<f64>,
    gradient: DVector<f64>,
    /// Chi-square of all of them lying as they did.
    pub(super) total: f64,
}

impl Laid {
    /// Lays `points`, with the motion that fits `by` as the place to start from.
    pub(super) fn new(
        from: &Epoch,
        to: &Epoch,
        points: &[usize],
        by: &[usize],
    ) -> Result<Laid, CannotCompare> {
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
    pub(super) fn with(
        from: &Epoch,
        to: &Epoch,
        still: &[usize],
        p: usize,
    ) -> Result<Option<Shift>, CannotCompare> {
        let mut points = still.to_vec();
        points.push(p);
        Ok(Laid::new(from, to, &points, still)?.shift(still.len()))
    }

    /// The best shift of the point at that place of the list if it is let go; `None` where the others do not hold it.
    pub(super) fn shift(&self, n: usize) -> Option<Shift> {
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
