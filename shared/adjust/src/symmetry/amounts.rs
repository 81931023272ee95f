//! What the offsets of all pairs come to: racked, twisted, and the diagonals between them.

use super::{Diagonal, Form, Mirror, Pair};
use crate::result::Tested;
use nalgebra::{DMatrix, DVector};

/// At most so many diagonals are told.
const DIAGONALS: usize = 10;

impl Mirror<'_> {
    /// Fore-aft offsets in proportion to the width, and the line of the middles.
    pub(super) fn racked(&self, pairs: &[Pair], width: f64) -> Option<Tested> {
        let across = regression(pairs, |pair| vec![pair.width])?;
        let with_height = (pairs.len() > 2)
            .then(|| regression(pairs, |pair| vec![pair.at.x, 1.0, pair.at.z]))
            .flatten();
        let middle = match with_height {
            Some(row) => row,
            None => regression(pairs, |pair| vec![pair.at.x, 1.0])?,
        };
        // off_x = (yaw − shear) width, off_y = 2 yaw x: what is left when the yaw of the plane is taken out.
        let mut shear = 0.0;
        let mut form = Form::new();
        for (n, pair) in pairs.iter().enumerate() {
            for (k, share) in [(0, -across[n]), (1, 0.5 * middle[n])] {
                shear += share * pair.off[k];
                form.extend(pair.forms[k].iter().map(|&(c, e)| (c, e * share * width)));
            }
        }
        Some(self.tested(shear * width, &form))
    }

    /// Height differences per width, over x.
    pub(super) fn twisted(&self, pairs: &[Pair], length: f64) -> Option<Tested> {
        let slope = regression(pairs, |pair| vec![pair.width * pair.at.x, pair.width])?;
        let mut turn = 0.0;
        let mut form = Form::new();
        for (pair, slope) in pairs.iter().zip(&slope) {
            let share = -slope * length;
            turn += share * pair.off.z;
            form.extend(pair.forms[2].iter().map(|&(c, e)| (c, e * share)));
        }
        Some(self.tested(turn, &form))
    }

    /// The longest crossing diagonals. Two pairs at one place along the shell have none that a rack would show in.
    pub(super) fn diagonals(&self, pairs: &[Pair]) -> Vec<Diagonal> {
        let at = &self.fit.at.positions;
        let mut candidates = Vec::new();
        for a in 0..pairs.len() {
            for b in 0..a {
                let (front, rear) = if pairs[a].at.x >= pairs[b].at.x {
                    (a, b)
                } else {
                    (b, a)
                };
                let (f, r) = (&pairs[front], &pairs[rear]);
                let lengths = [[f.left, r.right], [f.right, r.left]].map(|[p, q]| (at[p] - at[q]).norm());
                if f.at.x - r.at.x > 0.25 * (f.width + r.width) {
                    candidates.push((front, rear, lengths));
                }
            }
        }
        candidates.sort_by(|a, b| (b.2[0] + b.2[1]).total_cmp(&(a.2[0] + a.2[1])));
        let mut used = vec![0; pairs.len()];
        candidates.retain(|&(front, rear, _)| {
            let fresh = used[front] < 2 && used[rear] < 2;
            if fresh {
                used[front] += 1;
                used[rear] += 1;
            }
            fresh
        });
        candidates.truncate(DIAGONALS);
        candidates
            .into_iter()
            .map(|(front, rear, lengths)| {
                let (f, r) = (&pairs[front], &pairs[rear]);
                let mut form = Form::new();
                for (p, q, sign) in [(f.left, r.right, 1.0), (f.right, r.left, -1.0)] {
                    let along = (at[p] - at[q]).normalize() * sign;
                    self.add(&mut form, p, along);
                    self.add(&mut form, q, -along);
                }
                let told = |p: usize| self.network.survey_point[p];
                Diagonal {
                    one: [told(f.left), told(r.right)],
                    other: [told(f.right), told(r.left)],
                    lengths_mm: lengths,
                    difference_mm: self.tested(lengths[0] - lengths[1], &form),
                }
            })
            .collect()
    }
}

/// The row that gives the first coefficient of a weighted linear regression on these columns; `None` where the
/// columns cannot be told apart. A pair counts by how sure its offset is.
fn regression(pairs: &[Pair], columns: impl Fn(&Pair) -> Vec<f64>) -> Option<Vec<f64>> {
    let rows: Vec<DVector<f64>> = pairs.iter().map(|pair| columns(pair).into()).collect();
    let weights: Vec<f64> = pairs
        .iter()
        .map(|pair| 1.0 / (pair.covariance.trace() + 1e-2))
        .collect();
    let n = rows.first()?.len();
    let mut normal = DMatrix::zeros(n, n);
    for (row, weight) in rows.iter().zip(&weights) {
        normal += row * row.transpose() * *weight;
    }
    let root: Vec<f64> = (0..n).map(|k| normal[(k, k)].sqrt()).collect();
    if root.iter().any(|r| *r <= 0.0 || !r.is_finite()) {
        return None;
    }
    let scaled = DMatrix::from_fn(n, n, |i, j| normal[(i, j)] / (root[i] * root[j]));
    let least = scaled
        .symmetric_eigenvalues()
        .iter()
        .copied()
        .fold(f64::MAX, f64::min);
    if least < 1e-2 {
        return None;
    }
    let inverse = scaled.try_inverse()?;
    Some(
        rows.iter()
            .zip(&weights)
            .map(|(row, weight)| {
                (0..n)
                    .map(|k| inverse[(0, k)] / (root[0] * root[k]) * row[k] * weight)
                    .sum()
            })
            .collect(),
    )
}
