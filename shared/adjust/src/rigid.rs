//! The best rigid motion between two sets of points.

use nalgebra::{Matrix3, Vector3};

/// A proper rigid motion: `to ≈ rotation · from + translation`.
#[derive(Debug, Clone, PartialEq)]
pub struct Rigid {
    /// Rows of the rotation; its determinant is +1.
    pub rotation: [[f64; 3]; 3],
    /// mm.
    pub translation: [f64; 3],
    /// Mean squared distance left over, mm².
    pub mean_square_error: f64,
}

/// Fits a rotation (never a reflection) and a translation by least squares.
///
/// By singular values of the cross-covariance with the sign correction of S. Umeyama, IEEE PAMI 13(4), 1991,
/// 376–380, eq. 39–43. `None` where the points do not fix a rotation: fewer than three, or all in line.
pub fn fit_rigid(from: &[[f64; 3]], to: &[[f64; 3]]) -> Option<Rigid> {
    let n = from.len();
    if n != to.len() || n < 3 {
        return None;
    }
    let mean = |set: &[[f64; 3]]| set.iter().map(|p| Vector3::from(*p)).sum::<Vector3<f64>>() / n as f64;
    let (from_mean, to_mean) = (mean(from), mean(to));
    let mut cross = Matrix3::zeros();
    let mut spread = Matrix3::zeros();
    for (f, t) in from.iter().zip(to) {
        let (f, t) = (Vector3::from(*f) - from_mean, Vector3::from(*t) - to_mean);
        cross += t * f.transpose();
        spread += f * f.transpose();
    }
    let mut spreads: Vec<f64> = spread.symmetric_eigenvalues().iter().copied().collect();
    spreads.sort_by(f64::total_cmp);
    if spreads[1] <= 1e-12 * spreads[2] || !spreads[2].is_finite() {
        return None;
    }
    let svd = cross.svd(true, true);
    let (u, v_t) = (svd.u?, svd.v_t?);
    let mut sign = Matrix3::identity();
    if (u.determinant() * v_t.determinant()) < 0.0 {
        // The least singular value gives up its sign.
        let least = svd.singular_values.imin();
        sign[(least, least)] = -1.0;
    }
    let rotation = u * sign * v_t;
    let translation = to_mean - rotation * from_mean;
    let error = from
        .iter()
        .zip(to)
        .map(|(f, t)| (rotation * Vector3::from(*f) + translation - Vector3::from(*t)).norm_squared())
        .sum::<f64>()
        / n as f64;
    let rows = [0, 1, 2].map(|i| [rotation[(i, 0)], rotation[(i, 1)], rotation[(i, 2)]]);
    Some(Rigid {
        rotation: rows,
        translation: translation.into(),
        mean_square_error: error,
    })
}
