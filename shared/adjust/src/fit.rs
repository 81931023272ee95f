//! A least-squares solution with its statistics: residuals, redundancy, what is free, variances of anything.

use crate::network::{Configuration, Network, Observation};
use crate::observe::{Predicted, Vec3, predict};
use crate::solve::{EXACT, Loss, System, design_row, factored, minimise, misfit, predicted};
use crate::sparse::{Factor, SelectedInverse};
use crate::start::system_for;
use nalgebra::Matrix3;
use survey::Kind;

/// What the solution says of one reading, in use or not.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Row {
    /// Adjusted minus observed.
    pub(crate) misfit: f64,
    /// Variance of the predicted value; `None` where the readings do not determine it.
    pub(crate) variance: Option<f64>,
    pub(crate) redundancy: Option<f64>,
    pub(crate) w: Option<f64>,
}

/// A solution with these readings in use.
#[derive(Debug, Clone)]
pub(crate) struct Fit {
    pub(crate) active: Vec<bool>,
    pub(crate) at: Configuration,
    pub(crate) system: System,
    pub(crate) factor: Factor,
    inverse: SelectedInverse,
    pub(crate) chi_square: f64,
    pub(crate) converged: bool,
    pub(crate) rows: Vec<Row>,
    /// Motions that no reading in use resists, beyond the six of the whole, as vectors over the unknowns.
    pub(crate) free: Vec<Vec<f64>>,
    /// How many unknowns are pinned, those of no consequence to points included.
    pinned: usize,
}

/// A reading that was not taken, predicted.
#[derive(Debug, Clone)]
pub(crate) struct Prediction {
    pub(crate) value: f64,
    pub(crate) variance: f64,
    /// Its design row, by unknown.
    pub(crate) entries: Vec<(usize, f64)>,
    /// N⁻¹ times that row.
    pub(crate) column: Vec<f64>,
}

/// Below this redundancy (rounding) nothing can be said about a reading.
pub(crate) const NO_REDUNDANCY: f64 = 1e-6;

impl Fit {
    /// Solves from a configuration near the minimum.
    pub(crate) fn new(network: &Network, active: &[bool], start: Configuration) -> Fit {
        let system = system_for(network, active, &start.positions);
        Fit::with_system(network, active, start, system)
    }

    /// The same with a system at hand that was made for these readings in use.
    pub(crate) fn with_system(
        network: &Network,
        active: &[bool],
        start: Configuration,
        system: System,
    ) -> Fit {
        let solved = minimise(network, &system, active, start, Loss::Square, EXACT);
        // The datum follows the configuration that was found.
        let (factor, matrix) = factored(network, &system, active, &solved.at);
        let pinned = system.pattern.pinned_unknowns(&factor);
        let free = pinned
            .iter()
            .map(|&unknown| {
                let mut unit = vec![0.0; network.unknowns];
                unit[unknown] = 1.0;
                let mut motion: Vec<f64> = system
                    .pattern
                    .multiply(&matrix, &unit)
                    .iter()
                    .map(|x| -x)
                    .collect();
                for &other in &pinned {
                    motion[other] = 0.0;
                }
                system.pattern.solve(&factor, &mut motion);
                motion[unknown] = 1.0;
                without_rounding(network, motion)
            })
            .collect();
        let inverse = system.pattern.selected_inverse(&factor);
        let mut fit = Fit {
            active: active.to_vec(),
            at: solved.at,
            system,
            factor,
            inverse,
            chi_square: solved.cost,
            converged: solved.converged,
            rows: Vec::new(),
            free,
            pinned: pinned.len(),
        };
        fit.rows = fit.all_rows(network);
        fit
    }

    fn all_rows(&self, network: &Network) -> Vec<Row> {
        let mut entries = Vec::new();
        let mut rows = Vec::with_capacity(network.observations.len());
        for (index, o) in network.observations.iter().enumerate() {
            let p = predicted(o, &self.at);
            let v = misfit(o, p.value, &self.at);
            design_row(network, o, &p, &self.at, &mut entries);
            let columns = &self.system.columns[index];
            let variance = (self.active[index] || self.determined(columns, &entries)).then(|| {
                let mut sum = 0.0;
                for (n, &a) in columns.iter().enumerate() {
                    for (m, &b) in columns[..=n].iter().enumerate() {
                        let q = self
                            .system
                            .pattern
                            .inverse_entry(&self.factor, &self.inverse, a, b);
                        sum += if m == n { 1.0 } else { 2.0 } * entries[n] * entries[m] * q;
                    }
                }
                sum.max(0.0)
            });
            let square = o.sd * o.sd;
            let redundancy = variance.map(|q| {
                if self.active[index] {
                    (1.0 - q / square).clamp(0.0, 1.0)
                } else {
                    square / (square + q)
                }
            });
            let w = redundancy.filter(|r| *r >= NO_REDUNDANCY).map(|r| {
                if self.active[index] {
                    v / (o.sd * r.sqrt())
                } else {
                    v * r.sqrt() / o.sd
                }
            });
            rows.push(Row {
                misfit: v,
                variance,
                redundancy,
                w,
            });
        }
        rows
    }

    /// Whether a combination of unknowns with these entries keeps its value under every free motion.
    pub(crate) fn determined(&self, columns: &[usize], entries: &[f64]) -> bool {
        self.free.iter().all(|motion| {
            let size = motion.iter().map(|x| x.abs()).fold(0.0, f64::max);
            let change: f64 = columns.iter().zip(entries).map(|(&c, &e)| motion[c] * e).sum();
            let scale: f64 = entries.iter().map(|e| e.abs()).sum();
            change.abs() <= 1e-6 * size * scale
        })
    }

    /// Logarithm of the density of the readings in use with the unknowns integrated out over a flat prior, up to what
    /// solutions with one [`System`] share: what one explanation is weighed by against another.
    pub(crate) fn log_likelihood(&self, network: &Network) -> f64 {
        let two_pi = (2.0 * std::f64::consts::PI).ln();
        let noise: f64 = network
            .observations
            .iter()
            .zip(&self.active)
            .filter(|(_, active)| **active)
            .map(|(o, _)| o.sd.ln() + 0.5 * two_pi)
            .sum();
        -0.5 * (self.chi_square + self.factor.log_determinant()) - noise
    }

    /// Readings in use.
    pub(crate) fn readings(&self) -> usize {
        self.active.iter().filter(|active| **active).count()
    }

    /// Unknowns that the readings determine.
    pub(crate) fn rank(&self, network: &Network) -> usize {
        network
            .unknowns
            .saturating_sub(self.system.gauge.row_count() + self.pinned)
    }

    /// Readings in use less unknowns.
    pub(crate) fn degrees_of_freedom(&self, network: &Network) -> usize {
        self.readings().saturating_sub(self.rank(network))
    }

    /// The critical value for w: over the readings in use that something checks.
    pub(crate) fn critical_w(&self) -> f64 {
        crate::quantiles::critical_w((0..self.rows.len()).filter(|&i| self.checks(i)).count())
    }

    /// Whether a reading is in use and something checks it.
    pub(crate) fn checks(&self, index: usize) -> bool {
        self.active[index] && self.rows[index].redundancy.is_some_and(|r| r >= 1e-3)
    }

    /// N⁻¹ times a vector given by a few entries.
    pub(crate) fn inverse_times(&self, entries: &[(usize, f64)]) -> Vec<f64> {
        let mut column = vec![0.0; self.system.pattern.unknowns()];
        for &(c, e) in entries {
            column[c] += e;
        }
        self.system.pattern.solve(&self.factor, &mut column);
        column
    }

    /// Covariance of one point in the inner frame.
    pub(crate) fn point_covariance(&self, network: &Network, p: usize) -> Matrix3<f64> {
        let columns = network.point_column[p];
        Matrix3::from_fn(|i, j| match (columns[i], columns[j]) {
            (Some(a), Some(b)) => self
                .system
                .pattern
                .inverse_entry(&self.factor, &self.inverse, a, b),
            _ => 0.0,
        })
    }

    /// Predicts any reading between these canonical points, with the variance of the prediction; `None` where the
    /// readings in use do not determine it.
    pub(crate) fn predict(
        &self,
        network: &Network,
        kind: Kind,
        points: &[usize],
        stand: Option<usize>,
    ) -> Option<Prediction> {
        self.predict_held(network, kind, points, stand)
            .filter(|found| self.determines(found))
    }

    /// Whether the readings in use determine what was predicted.
    pub(crate) fn determines(&self, prediction: &Prediction) -> bool {
        let (columns, values): (Vec<usize>, Vec<f64>) = prediction.entries.iter().copied().unzip();
        self.determined(&columns, &values)
    }

    /// The same where whatever is free is held where it lies.
    pub(crate) fn predict_held(
        &self,
        network: &Network,
        kind: Kind,
        points: &[usize],
        stand: Option<usize>,
    ) -> Option<Prediction> {
        let mut places = [Vec3::zeros(); 4];
        for (place, &p) in places.iter_mut().zip(points) {
            *place = self.at.positions[p];
        }
        let up = match stand {
            Some(s) => self.at.ups[s],
            None if kind.needs_plumb() => return None,
            None => Vec3::z(),
        };
        let p = predict(kind, &places, &up);
        let entries = self.entries(network, &p, points, stand.filter(|_| kind.needs_plumb()), &up);
        let column = self.inverse_times(&entries);
        let variance: f64 = entries.iter().map(|&(c, e)| column[c] * e).sum();
        Some(Prediction {
            value: p.value,
            variance: variance.max(0.0),
            entries,
            column,
        })
    }

    /// What a reading would leave over if it were one between these points, and the variance of the prediction;
    /// `None` where that is beyond this many deviations at the least, or not determined.
    pub(crate) fn predict_near(
        &self,
        network: &Network,
        o: &Observation,
        points: &[usize],
        stand: Option<usize>,
        within: f64,
    ) -> Option<(f64, f64)> {
        let mut moved = o.clone();
        moved.points[..points.len()].copy_from_slice(points);
        let left_over = misfit(&moved, predicted(&moved, &self.at).value, &self.at);
        // No prediction that says anything is less certain than this.
        let most = if o.kind.quantity() == survey::Quantity::Angle {
            0.1
        } else {
            100.0
        };
        if left_over.abs() > within * (o.sd + most) {
            return None;
        }
        let there = self.predict(network, o.kind, points, stand)?;
        Some((left_over, there.variance))
    }

    fn entries(
        &self,
        network: &Network,
        p: &Predicted,
        points: &[usize],
        stand: Option<usize>,
        up: &Vec3,
    ) -> Vec<(usize, f64)> {
        let mut entries = Vec::new();
        for (slot, &point) in points.iter().enumerate() {
            for k in 0..3 {
                if let Some(column) = network.point_column[point][k] {
                    entries.push((column, p.by_point[slot][k]));
                }
            }
        }
        if let Some(s) = stand {
            for (n, turn) in crate::solve::across(up).iter().enumerate() {
                entries.push((network.stand_column[s] + n, p.by_plumb.dot(turn)));
            }
        }
        entries
    }

    /// The directions in which a point can move against the bench, where the bench does not hold the whole.
    pub(crate) fn off_bench(&self, p: usize) -> Vec<Vec3> {
        let mut spread = Matrix3::zeros();
        for shift in self.system.gauge.open_at(&self.at.positions[p]) {
            spread += shift * shift.transpose();
        }
        axes_of(spread)
    }

    /// The directions in which a point can move: an orthonormal basis in the inner frame.
    pub(crate) fn directions(&self, network: &Network, p: usize) -> Vec<Vec3> {
        let mut spread = Matrix3::zeros();
        for motion in &self.free {
            let size = self.largest_shift(network, motion);
            if size == 0.0 {
                continue;
            }
            let shift = Vec3::from_fn(|k, _| network.point_column[p][k].map_or(0.0, |c| motion[c] / size));
            spread += shift * shift.transpose();
        }
        axes_of(spread)
    }

    fn largest_shift(&self, network: &Network, motion: &[f64]) -> f64 {
        network
            .point_column
            .iter()
            .flatten()
            .flatten()
            .map(|&c| motion[c].abs())
            .fold(0.0, f64::max)
    }

    /// How many of the free motions move a point at all.
    pub(crate) fn free_motions(&self, network: &Network) -> usize {
        self.free
            .iter()
            .filter(|motion| self.largest_shift(network, motion) > 0.0)
            .count()
    }
}

/// A free motion that only turns a plumb line which too few readings hold moves no point. The pinned unknown moves by 1
/// in it (mm or radian): a point that hangs on it moves by as much or by the length of its lever, and less is rounding.
fn without_rounding(network: &Network, mut motion: Vec<f64>) -> Vec<f64> {
    let points = || network.point_column.iter().flatten().flatten();
    if points().all(|&c| motion[c].abs() < 0.05) {
        for &column in points().chain(&network.offset_column) {
            if motion[column] != 1.0 {
                motion[column] = 0.0;
            }
        }
    }
    motion
}

/// The directions of a sum of squared shifts. One that moves less than a ten-thousandth of what moves most is
/// held; the rest is rounding.
fn axes_of(spread: Matrix3<f64>) -> Vec<Vec3> {
    let eigen = spread.symmetric_eigen();
    let mut axes: Vec<(f64, Vec3)> = (0..3)
        .map(|i| (eigen.eigenvalues[i], eigen.eigenvectors.column(i).into_owned()))
        .collect();
    axes.sort_by(|a, b| b.0.total_cmp(&a.0));
    axes.into_iter()
        .filter(|(square, _)| *square > 1e-8)
        .map(|(_, axis)| axis)
        .collect()
}
