//! The offset of each pair, as linear forms of the unknowns, and whether it is more than the readings leave open.

use super::{Form, Mirror, Pair, condensed, value};
use crate::observe::Vec3;
use crate::quantiles::chi_square_quantile;
use nalgebra::Matrix3;

/// An offset direction less sure than this share of the surest is no rounding; in variance.
const RANK: f64 = 1e-4;
/// Below this nothing lies between two places, mm.
const NOTHING_MM: f64 = 1e-6;

impl Mirror<'_> {
    /// The pairs with their offsets; `None` where they do not hold a plane.
    pub(super) fn pairs(&self, pairs: &[[usize; 2]], mean: &Vec3, axes: &Matrix3<f64>) -> Option<Vec<Pair>> {
        let mut found: Vec<Pair> = pairs
            .iter()
            .map(|&[p, q]| {
                let place = |p: usize| axes * (self.fit.at.positions[p] - mean);
                let (left, right) = if place(p).y >= place(q).y { (p, q) } else { (q, p) };
                let (l, r) = (place(left), place(right));
                let image = Vec3::new(l.x, -l.y, l.z);
                let forms = [0, 1, 2].map(|k| {
                    let axis: Vec3 = axes.row(k).transpose();
                    let mut form = Form::new();
                    self.add(&mut form, right, axis);
                    self.add(&mut form, left, if k == 1 { axis } else { -axis });
                    form
                });
                Pair {
                    left,
                    right,
                    at: (r + image) * 0.5,
                    width: l.y - r.y,
                    off: r - image,
                    forms,
                    covariance: Matrix3::zeros(),
                }
            })
            .collect();
        let pitch = self.pitch(&found, mean, axes)?;
        for pair in &mut found {
            let pitched = Vec3::y().cross(&pair.off);
            for (k, form) in pair.forms.iter_mut().enumerate() {
                form.extend(pitch.iter().map(|&(c, e)| (c, -e * pitched[k])));
            }
        }
        // What the plane's own shift, yaw and roll do to each offset.
        let modes: Vec<Matrix3<f64>> = found
            .iter()
            .map(|pair| {
                Matrix3::from_columns(&[-Vec3::y(), Vec3::z().cross(&pair.at), Vec3::x().cross(&pair.at)])
            })
            .collect();
        let inverse = modes
            .iter()
            .map(|mode| mode.transpose() * mode)
            .sum::<Matrix3<f64>>()
            .try_inverse()?;
        let plane: Vec<Form> = (0..3)
            .map(|amount| {
                let mut form = Form::new();
                for (pair, mode) in found.iter().zip(&modes) {
                    let share = inverse * mode.transpose();
                    for (k, own) in pair.forms.iter().enumerate() {
                        form.extend(own.iter().map(|&(c, e)| (c, e * share[(amount, k)])));
                    }
                }
                condensed(form)
            })
            .collect();
        for (pair, mode) in found.iter_mut().zip(&modes) {
            for (k, form) in pair.forms.iter_mut().enumerate() {
                for (amount, of_plane) in plane.iter().enumerate() {
                    form.extend(of_plane.iter().map(|&(c, e)| (c, -e * mode[(k, amount)])));
                }
                *form = condensed(std::mem::take(form));
            }
            let columns = pair.forms.each_ref().map(|form| self.fit.inverse_times(form));
            let raw = Matrix3::from_fn(|i, j| value(&pair.forms[i], &columns[j]) * self.scale);
            pair.covariance = 0.5 * (raw + raw.transpose());
        }
        Some(found)
    }

    /// The form of the turn about y of all pairs together: of ω = I⁻¹ Σ p × dp with the moment of inertia I.
    fn pitch(&self, pairs: &[Pair], mean: &Vec3, axes: &Matrix3<f64>) -> Option<Form> {
        let points = || pairs.iter().flat_map(|pair| [pair.left, pair.right]);
        let place = |p: usize| axes * (self.fit.at.positions[p] - mean);
        let inertia: Matrix3<f64> = points()
            .map(|p| {
                let v = place(p);
                Matrix3::identity() * v.norm_squared() - v * v.transpose()
            })
            .sum();
        let row = inertia.try_inverse()? * Vec3::y();
        let mut form = Form::new();
        for p in points() {
            self.add(&mut form, p, axes.transpose() * row.cross(&place(p)));
        }
        Some(form)
    }
}

/// Whether an offset is beyond chance at this level: its chi-square over the directions that its covariance spans. Two pairs share three degrees of freedom,
/// so that a covariance may span fewer than three.
pub(super) fn is_off(off: &Vec3, covariance: &Matrix3<f64>, level: f64) -> bool {
    let eigen = covariance.symmetric_eigen();
    let most = eigen.eigenvalues.max();
    if most <= NOTHING_MM * NOTHING_MM {
        return off.norm() > 1e-3;
    }
    let mut rank = 0.0;
    let mut square = 0.0;
    for k in 0..3 {
        if eigen.eigenvalues[k] > RANK * most {
            rank += 1.0;
            square += eigen.eigenvectors.column(k).dot(off).powi(2) / eigen.eigenvalues[k];
        }
    }
    square > chi_square_quantile(1.0 - level, rank)
}
