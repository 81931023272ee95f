//! Best rigid fit of one set of points on another, and small symmetric eigenvalue problems: written apart from
//! the solver on purpose, so that it can judge it.

use crate::observe::{V3, dot, sub};

/// Eigenvalues and eigenvectors (columns) of a symmetric matrix, by Jacobi rotations, smallest value first.
pub fn eigen<const N: usize>(mut a: [[f64; N]; N]) -> ([f64; N], [[f64; N]; N]) {
    let mut v = [[0.0; N]; N];
    for i in 0..N {
        v[i][i] = 1.0;
    }
    for _ in 0..60 {
        for p in 0..N {
            for q in p + 1..N {
                if a[p][q] == 0.0 {
                    continue;
                }
                let theta = (a[q][q] - a[p][p]) / (2.0 * a[p][q]);
                let t = theta.signum() / (theta.abs() + (theta * theta + 1.0).sqrt());
                let t = if theta == 0.0 { 1.0 } else { t };
                let c = 1.0 / (t * t + 1.0).sqrt();
                let s = t * c;
                for k in 0..N {
                    let (x, y) = (a[k][p], a[k][q]);
                    a[k][p] = c * x - s * y;
                    a[k][q] = s * x + c * y;
                }
                for k in 0..N {
                    let (x, y) = (a[p][k], a[q][k]);
                    a[p][k] = c * x - s * y;
                    a[q][k] = s * x + c * y;
                }
                for row in v.iter_mut() {
                    let (x, y) = (row[p], row[q]);
                    row[p] = c * x - s * y;
                    row[q] = s * x + c * y;
                }
            }
        }
    }
    let mut order: [usize; N] = std::array::from_fn(|i| i);
    order.sort_by(|&i, &j| a[i][i].total_cmp(&a[j][j]));
    (
        std::array::from_fn(|i| a[order[i]][order[i]]),
        v.map(|row| std::array::from_fn(|i| row[order[i]])),
    )
}

/// Turns and shifts `from` (never mirrors it) so that it lies best on `to`, and gives the moved points of `all`.
/// Horn's quaternion method (J. Opt. Soc. Am. A 4(4), 1987).
pub fn lay_on(from: &[V3], to: &[V3], all: &[V3]) -> Vec<V3> {
    let (from_mid, to_mid) = (mean(from), mean(to));
    let mut s = [[0.0; 3]; 3];
    for (&a, &b) in from.iter().zip(to) {
        let (a, b) = (sub(a, from_mid), sub(b, to_mid));
        for i in 0..3 {
            for j in 0..3 {
                s[i][j] += a[i] * b[j];
            }
        }
    }
    let [[xx, xy, xz], [yx, yy, yz], [zx, zy, zz]] = s;
    let horn = [
        [xx + yy + zz, yz - zy, zx - xz, xy - yx],
        [yz - zy, xx - yy - zz, xy + yx, zx + xz],
        [zx - xz, xy + yx, yy - xx - zz, yz + zy],
        [xy - yx, zx + xz, yz + zy, zz - xx - yy],
    ];
    let (_, vectors) = eigen(horn);
    let [w, x, y, z] = vectors.map(|row| row[3]);
    let rotation = [
        [
            w * w + x * x - y * y - z * z,
            2.0 * (x * y - w * z),
            2.0 * (x * z + w * y),
        ],
        [
            2.0 * (x * y + w * z),
            w * w - x * x + y * y - z * z,
            2.0 * (y * z - w * x),
        ],
        [
            2.0 * (x * z - w * y),
            2.0 * (y * z + w * x),
            w * w - x * x - y * y + z * z,
        ],
    ];
    all.iter()
        .map(|&p| {
            let d = sub(p, from_mid);
            std::array::from_fn(|i| to_mid[i] + dot(rotation[i], d))
        })
        .collect()
}

fn mean(points: &[V3]) -> V3 {
    let n = points.len().max(1) as f64;
    std::array::from_fn(|i| points.iter().map(|p| p[i]).sum::<f64>() / n)
}

/// d'·C⁻¹·d, or nothing where the matrix cannot be inverted.
pub fn mahalanobis(c: [[f64; 3]; 3], d: V3) -> Option<f64> {
    let (values, vectors) = eigen(c);
    if values[0] <= 1e-12 * values[2] {
        return None;
    }
    Some(
        (0..3)
            .map(|k| {
                let along = (0..3).map(|i| vectors[i][k] * d[i]).sum::<f64>();
                along * along / values[k]
            })
            .sum(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_turned_and_shifted_set_is_laid_back() {
        let to = [
            [0.0, 0.0, 0.0],
            [900.0, 10.0, 0.0],
            [30.0, 700.0, 5.0],
            [1.0, 2.0, 300.0],
        ];
        let from = to.map(|[x, y, z]| [z + 10.0, x + 20.0, y + 30.0]);
        for (p, q) in lay_on(&from, &to, &from).iter().zip(&to) {
            assert!(crate::observe::distance(*p, *q) < 1e-9);
        }
    }

    #[test]
    fn a_mirrored_set_is_not_laid_on() {
        let to = [
            [0.0, 0.0, 0.0],
            [900.0, 10.0, 0.0],
            [30.0, 700.0, 5.0],
            [1.0, 2.0, 300.0],
        ];
        let from = to.map(|[x, y, z]| [x, -y, z]);
        assert!(
            lay_on(&from, &to, &from)
                .iter()
                .zip(&to)
                .any(|(p, q)| crate::observe::distance(*p, *q) > 50.0)
        );
    }

    #[test]
    fn the_eigenvalues_of_a_known_matrix() {
        // Exact: 1, 2 and 4 for this arrowhead-free matrix.
        let (values, _) = eigen([[3.0, 1.0, 0.0], [1.0, 3.0, 0.0], [0.0, 0.0, 1.0]]);
        for (found, exact) in values.iter().zip([1.0, 2.0, 4.0]) {
            assert!((found - exact).abs() < 1e-12);
        }
    }
}
