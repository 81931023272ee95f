//! The survey linearised at one configuration, where holding readings out is arithmetic on a small matrix.
//!
//! With misfits v, deviations σ and all readings in use, u = K v/σ are the normalised residuals of least squares,
//! and K = I − AQAᵀ (rows of A divided by σ) is the matrix of redundancies: r = diag K, w = u/√r. Holding reading
//! i out is adding an unknown to it alone (the mean-shift model): K loses q qᵀ with q = K e/√(eᵀK e), chi-square
//! falls by exactly w². So the search among thousands of sets costs no solve; only what it finds is solved in full.

use crate::fit::NO_REDUNDANCY;
use crate::network::{Configuration, Network};
use crate::quantiles::critical_w;
use crate::solve::{design_row, factored, misfit, predicted};
use crate::start::system_for;
use crate::stop;
use std::rc::Rc;

/// Redundancy from which a reading counts among the tested.
const TESTED: f64 = 1e-3;
/// Below Φ⁻¹(1 − 0.01/2), the critical value of one reading.
const LEAST_CRITICAL: f64 = 2.57;

/// The linearised survey over the readings that are looked at.
#[derive(Debug, Clone)]
pub(crate) struct Linear {
    /// Observation index of each reading looked at, ascending.
    pub(crate) readings: Vec<usize>,
    /// Whether it may be held out.
    pub(crate) removable: Vec<bool>,
    /// How many tested readings are not looked at: they count for the critical value.
    elsewhere: usize,
    /// Square of the critical value with nothing held out: the highest there is.
    highest: f64,
    /// K over the readings looked at.
    matrix: Vec<Vec<f64>>,
    /// u with everything in.
    residuals: Vec<f64>,
}

impl Linear {
    /// Linearises at a configuration with these readings in use, over those of them that are looked at.
    /// `elsewhere` is how many other readings in use are tested.
    pub(crate) fn new(
        network: &Network,
        active: &[bool],
        at: &Configuration,
        readings: Vec<usize>,
        elsewhere: usize,
    ) -> Linear {
        let system = system_for(network, active, &at.positions);
        let (factor, _) = factored(network, &system, active, at);
        // The least-squares step from here; the rest is linear.
        let mut step = vec![0.0; network.unknowns];
        let mut row = Vec::new();
        let mut rows: Vec<Vec<f64>> = Vec::with_capacity(readings.len());
        let mut misfits: Vec<f64> = Vec::with_capacity(readings.len());
        let mut looked_at = readings.iter().peekable();
        for (index, o) in network.observations.iter().enumerate() {
            if !active[index] {
                continue;
            }
            let p = predicted(o, at);
            let u = misfit(o, p.value, at) / o.sd;
            design_row(network, o, &p, at, &mut row);
            for (&column, &a) in system.columns[index].iter().zip(&row) {
                step[column] -= a / o.sd * u;
            }
            if looked_at.next_if(|&&looked| looked == index).is_some() {
                rows.push(row.iter().map(|a| a / o.sd).collect());
                misfits.push(u);
            }
        }
        system.pattern.solve(&factor, &mut step);
        let residuals = readings
            .iter()
            .zip(&rows)
            .zip(&misfits)
            .map(|((&index, row), u)| {
                let moved: f64 = system.columns[index]
                    .iter()
                    .zip(row)
                    .map(|(&c, a)| a * step[c])
                    .sum();
                u + moved
            })
            .collect();

        // Q over the unknowns that the readings looked at touch, one solve each.
        let mut place = vec![usize::MAX; network.unknowns];
        let mut touched: Vec<usize> = readings
            .iter()
            .flat_map(|&i| system.columns[i].iter().copied())
            .collect();
        touched.sort_unstable();
        touched.dedup();
        for (n, &unknown) in touched.iter().enumerate() {
            place[unknown] = n;
        }
        let mut inverse: Vec<Vec<f64>> = Vec::with_capacity(touched.len());
        for &unknown in &touched {
            let mut unit = vec![0.0; network.unknowns];
            unit[unknown] = 1.0;
            system.pattern.solve(&factor, &mut unit);
            inverse.push(touched.iter().map(|&other| unit[other]).collect());
        }
        let mut matrix = Vec::with_capacity(readings.len());
        let mut share = vec![0.0; touched.len()];
        for (i, &index) in readings.iter().enumerate() {
            share.fill(0.0);
            for (&column, &a) in system.columns[index].iter().zip(&rows[i]) {
                for (sum, q) in share.iter_mut().zip(&inverse[place[column]]) {
                    *sum += a * q;
                }
            }
            let mut line: Vec<f64> = readings
                .iter()
                .zip(&rows)
                .map(|(&other, row)| {
                    -system.columns[other]
                        .iter()
                        .zip(row)
                        .map(|(&c, b)| b * share[place[c]])
                        .sum::<f64>()
                })
                .collect();
            line[i] += 1.0;
            matrix.push(line);
        }
        Linear {
            removable: readings.iter().map(|&i| !network.observations[i].kept).collect(),
            highest: critical_w(readings.len() + elsewhere).powi(2),
            readings,
            elsewhere,
            matrix,
            residuals,
        }
    }

    /// How many readings are looked at.
    pub(crate) fn len(&self) -> usize {
        self.readings.len()
    }

    /// The places of these observations, of those that are looked at.
    pub(crate) fn places(&self, observations: &[usize]) -> Vec<usize> {
        observations
            .iter()
            .filter_map(|i| self.readings.binary_search(i).ok())
            .collect()
    }

    /// The observations at these places.
    pub(crate) fn observations(&self, places: &[usize]) -> Vec<usize> {
        places.iter().map(|&i| self.readings[i]).collect()
    }

    /// Everything in.
    pub(crate) fn whole(&self) -> Removal {
        Removal {
            out: Vec::new(),
            directions: Vec::new(),
            residuals: self.residuals.clone(),
            redundancies: (0..self.len()).map(|i| self.matrix[i][i].max(0.0)).collect(),
            gain: 0.0,
        }
    }

    /// These readings (places in `readings`) held out.
    pub(crate) fn without(&self, out: &[usize]) -> Removal {
        let mut removal = self.whole();
        for &i in out {
            removal.hold_out(self, i);
        }
        removal
    }

    /// Whether every reading that is left fits.
    pub(crate) fn explained(&self, removal: &Removal) -> bool {
        let mut worst = 0.0f64;
        for i in (0..self.len()).filter(|&i| self.removable[i]) {
            if let Some(square) = removal.w_square(i) {
                worst = worst.max(square);
                if worst > self.highest {
                    return false;
                }
            }
        }
        // The critical value of a single reading is the least there is.
        if worst <= LEAST_CRITICAL * LEAST_CRITICAL {
            return true;
        }
        let tested = removal.redundancies.iter().filter(|r| **r >= TESTED).count();
        worst.sqrt() <= critical_w(tested + self.elsewhere)
    }
}

/// What is left when some readings are held out.
#[derive(Debug, Clone)]
pub(crate) struct Removal {
    /// Places in [`Linear::readings`] of what is held out, ascending.
    pub(crate) out: Vec<usize>,
    /// The directions that K has lost, orthonormal in its metric.
    directions: Vec<Rc<[f64]>>,
    residuals: Vec<f64>,
    redundancies: Vec<f64>,
    /// By how much chi-square has fallen.
    pub(crate) gain: f64,
}

impl Removal {
    /// Square of w of a reading; `None` for what is held out and where nothing is left to check it.
    pub(crate) fn w_square(&self, i: usize) -> Option<f64> {
        (self.redundancies[i] >= NO_REDUNDANCY)
            .then(|| self.residuals[i] * self.residuals[i] / self.redundancies[i])
    }

    /// Holds one more reading out; it must have redundancy left.
    pub(crate) fn hold_out(&mut self, linear: &Linear, i: usize) {
        stop::place();
        let mut column = linear.matrix[i].clone();
        for q in &self.directions {
            let share = q[i];
            for (c, q) in column.iter_mut().zip(q.iter()) {
                *c -= share * q;
            }
        }
        self.lose(column, self.redundancies[i], self.residuals[i]);
        self.redundancies[i] = 0.0;
        let place = self.out.partition_point(|&other| other < i);
        self.out.insert(place, i);
    }

    fn lose(&mut self, mut column: Vec<f64>, own: f64, along: f64) {
        let root = own.sqrt();
        for c in &mut column {
            *c /= root;
        }
        let t = along / root;
        for ((u, r), q) in self.residuals.iter_mut().zip(&mut self.redundancies).zip(&column) {
            *u -= q * t;
            *r -= q * q;
        }
        self.gain += t * t;
        self.directions.push(column.into());
    }

    /// By how much chi-square would fall if these readings (places in [`Linear::readings`]) shared one unknown amount;
    /// `sd` is the deviation of each.
    pub(crate) fn gain_of_shared(&self, linear: &Linear, group: &[usize], sd: &dyn Fn(usize) -> f64) -> f64 {
        let mut along = 0.0;
        let mut own = 0.0;
        for (n, &i) in group.iter().enumerate() {
            along += self.residuals[i] / sd(i);
            for &j in &group[..=n] {
                own += if i == j { 1.0 } else { 2.0 } * self.entry(linear, i, j) / (sd(i) * sd(j));
            }
        }
        let size: f64 = group.iter().map(|&i| 1.0 / (sd(i) * sd(i))).sum();
        if own > 1e-4 * size {
            along * along / own
        } else {
            0.0
        }
    }

    /// The run of at least `least` places of this order that gains most by sharing one unknown amount, and its gain.
    pub(crate) fn best_run(
        &self,
        linear: &Linear,
        order: &[usize],
        least: usize,
        sd: &dyn Fn(usize) -> f64,
    ) -> Option<(std::ops::Range<usize>, f64)> {
        let n = order.len();
        // Sums over all rectangles from the corner, so that every run costs a few additions.
        let mut sums = vec![vec![0.0; n + 1]; n + 1];
        let mut along = vec![0.0; n + 1];
        let mut size = vec![0.0; n + 1];
        for (a, &i) in order.iter().enumerate() {
            along[a + 1] = along[a] + self.residuals[i] / sd(i);
            size[a + 1] = size[a] + 1.0 / (sd(i) * sd(i));
            for (b, &j) in order.iter().enumerate() {
                let own = self.entry(linear, i, j) / (sd(i) * sd(j));
                sums[a + 1][b + 1] = own + sums[a][b + 1] + sums[a + 1][b] - sums[a][b];
            }
        }
        let mut best: Option<(std::ops::Range<usize>, f64)> = None;
        for start in 0..n {
            for end in start + least..=n {
                let own = sums[end][end] - sums[start][end] - sums[end][start] + sums[start][start];
                if own <= 1e-4 * (size[end] - size[start]) {
                    continue;
                }
                let gain = (along[end] - along[start]).powi(2) / own;
                if best.as_ref().is_none_or(|(_, most)| gain > *most) {
                    best = Some((start..end, gain));
                }
            }
        }
        best
    }

    /// An entry of what is left of K.
    fn entry(&self, linear: &Linear, i: usize, j: usize) -> f64 {
        linear.matrix[i][j] - self.directions.iter().map(|q| q[i] * q[j]).sum::<f64>()
    }

    /// How much one more removal of `j` says about `i`: the correlation of their tests, 0 to 1.
    pub(crate) fn correlation(&self, linear: &Linear, i: usize, j: usize) -> f64 {
        let k = self.entry(linear, i, j);
        let size = (self.redundancies[i] * self.redundancies[j]).sqrt();
        if size > NO_REDUNDANCY {
            (k / size).abs()
        } else {
            0.0
        }
    }
}

#[cfg(test)]
pub(crate) mod tests;
