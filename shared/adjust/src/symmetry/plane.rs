//! The mid-plane of the pairs, and the axes that it gives.

use super::Mirror;
use crate::network::Configuration;
use crate::observe::Vec3;
use nalgebra::{Matrix3, SymmetricEigen};
use survey::Side;

impl Mirror<'_> {
    /// The centre of the pairs, and the rows x, y, z of the mid-plane's axes.
    pub(super) fn axes(&self, pairs: &[[usize; 2]]) -> Option<(Vec3, Matrix3<f64>)> {
        let at = &self.fit.at.positions;
        let (mean, eigen) = mid_plane(&self.fit.at, pairs);
        let least = eigen.eigenvalues.imin();
        let second = (0..3)
            .filter(|&k| k != least)
            .map(|k| eigen.eigenvalues[k])
            .fold(f64::MAX, f64::min);
        let size: f64 = pairs
            .iter()
            .flatten()
            .map(|&p| (at[p] - mean).norm_squared())
            .sum();
        // Without a width in the pairs any plane through their middles is as good.
        if eigen.eigenvalues[least] > -1e-6 * size || second - eigen.eigenvalues[least] < 1e-6 * size {
            return None;
        }
        let mut left: Vec3 = eigen.eigenvectors.column(least).into_owned();
        let side = |p: usize| match self.survey.points[self.network.survey_point[p]].side {
            Some(Side::Left) => 1.0,
            Some(Side::Right) => -1.0,
            _ => 0.0,
        };
        let by_sides: f64 = pairs
            .iter()
            .map(|&[p, q]| (side(p) - side(q)) * (at[p] - at[q]).dot(&left).signum())
            .sum();
        if by_sides < 0.0 || by_sides == 0.0 && left.dot(&self.placed.axis(1)) < 0.0 {
            left = -left;
        }
        let laid = |v: Vec3| v - left * left.dot(&v);
        let said = laid(self.placed.axis(0));
        let ahead = if self.ahead_is_said && said.norm() > 0.5 {
            said.normalize()
        } else {
            let mut spread = Matrix3::zeros();
            for &[p, q] in pairs {
                let middle = laid((at[p] + at[q]) * 0.5 - mean);
                spread += middle * middle.transpose();
            }
            let spread = spread.symmetric_eigen();
            let most = spread.eigenvalues.imax();
            if spread.eigenvalues[most] <= 1e-6 * size {
                return None;
            }
            let along = laid(spread.eigenvectors.column(most).into_owned()).normalize();
            let up = match self.network.first_stand {
                Some(stand) => self.fit.at.ups[stand],
                None => self.placed.axis(2),
            };
            if along.cross(&left).dot(&up) < 0.0 {
                -along
            } else {
                along
            }
        };
        let up = ahead.cross(&left);
        Some((
            mean,
            Matrix3::from_rows(&[ahead.transpose(), left.transpose(), up.transpose()]),
        ))
    }
}

/// The best mid-plane: minimising Σ|H l − r|² over reflections H leaves nᵀ S n with S = Σ sym(l rᵀ) about the
/// mean of all. The normal is the eigenvector of its least eigenvalue.
pub(crate) fn mid_plane(
    at: &Configuration,
    pairs: &[[usize; 2]],
) -> (Vec3, SymmetricEigen<f64, nalgebra::U3>) {
    let place = |p: usize| at.positions[p];
    let count = pairs.len() as f64;
    let mean = pairs
        .iter()
        .map(|&[l, r]| (place(l) + place(r)) * 0.5)
        .sum::<Vec3>()
        / count;
    let mut shape = Matrix3::zeros();
    for &[l, r] in pairs {
        let (l, r) = (place(l) - mean, place(r) - mean);
        shape += (l * r.transpose() + r * l.transpose()) * 0.5;
    }
    (mean, shape.symmetric_eigen())
}
