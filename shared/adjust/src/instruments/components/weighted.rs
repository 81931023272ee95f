//! The linear equations at a solution, group by group, so that each group can be weighted anew without its readings.

use crate::fit::Fit;
use crate::network::Network;
use crate::solve::{design_row, misfit, predicted};
use crate::sparse::{Factor, SelectedInverse, VANISHING_PIVOT};

/// What each group adds to the linear equations; the last one is that of the readings of no group.
pub(super) struct Weighted<'a> {
    fit: &'a Fit,
    /// For each group, its part of the normal matrix.
    matrix: Vec<Vec<f64>>,
    /// Its part of the gradient.
    gradient: Vec<Vec<f64>>,
    /// Σ (v/σ)² of its readings.
    square: Vec<f64>,
    count: Vec<usize>,
    /// The rows that hold the datum.
    datum: Vec<f64>,
    /// Where the entries of a normal matrix stand in the inverse.
    places: Vec<usize>,
}

impl Weighted<'_> {
    pub(super) fn new<'a>(
        network: &Network,
        fit: &'a Fit,
        group: &[Option<usize>],
        groups: usize,
    ) -> Weighted<'a> {
        let pattern = &fit.system.pattern;
        let mut weighted = Weighted {
            fit,
            matrix: vec![pattern.zeros(); groups + 1],
            gradient: vec![vec![0.0; network.unknowns]; groups + 1],
            square: vec![0.0; groups + 1],
            count: vec![0; groups + 1],
            datum: pattern.zeros(),
            places: pattern.places_in_inverse(&fit.factor),
        };
        let mut row = Vec::new();
        for (index, o) in network.observations.iter().enumerate() {
            if !fit.active[index] {
                continue;
            }
            let k = group[index].unwrap_or(groups);
            let p = predicted(o, &fit.at);
            let v = misfit(o, p.value, &fit.at);
            let weight = 1.0 / (o.sd * o.sd);
            design_row(network, o, &p, &fit.at, &mut row);
            pattern.add_row(&mut weighted.matrix[k], index, &row, weight);
            for (&column, &a) in fit.system.columns[index].iter().zip(&row) {
                weighted.gradient[k][column] += weight * a * v;
            }
            weighted.square[k] += weight * v * v;
            weighted.count[k] += 1;
        }
        let first = network.observations.len();
        let gauge = &fit.system.gauge;
        for (n, row) in gauge.rows(network, &fit.at.positions).iter().enumerate() {
            pattern.add_row(&mut weighted.datum, first + n, row, gauge.weight());
        }
        weighted
    }

    /// Multiplications that one weighting takes, more or less.
    pub(super) fn work(&self) -> usize {
        self.fit.system.pattern.work()
    }

    /// Σ r of each group with the variances multiplied by these factors.
    pub(super) fn redundancy(&self, factors: &[f64]) -> Vec<f64> {
        let (_, inverse) = self.solved(factors);
        self.redundancy_from(&inverse, factors)
    }

    /// Σ v²/σ² and Σ r of each group with the variances multiplied by these factors.
    pub(super) fn sums(&self, factors: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let pattern = &self.fit.system.pattern;
        let (factor, inverse) = self.solved(factors);
        let mut step = vec![0.0; pattern.unknowns()];
        for (part, factor) in self.gradient.iter().zip(factors) {
            for (sum, entry) in step.iter_mut().zip(part) {
                *sum -= entry / factor;
            }
        }
        pattern.solve(&factor, &mut step);
        let along = |it: &[f64]| it.iter().zip(&step).map(|(a, b)| a * b).sum::<f64>();
        let square = (0..factors.len())
            .map(|k| {
                let bent = along(&pattern.multiply(&self.matrix[k], &step));
                (self.square[k] + 2.0 * along(&self.gradient[k]) + bent).max(0.0) / factors[k]
            })
            .collect();
        (square, self.redundancy_from(&inverse, factors))
    }

    fn redundancy_from(&self, inverse: &SelectedInverse, factors: &[f64]) -> Vec<f64> {
        let pattern = &self.fit.system.pattern;
        (0..factors.len())
            .map(|k| {
                let held = pattern.trace(&self.matrix[k], inverse, &self.places) / factors[k];
                self.count[k] as f64 - held
            })
            .collect()
    }

    fn solved(&self, factors: &[f64]) -> (Factor, SelectedInverse) {
        let pattern = &self.fit.system.pattern;
        let mut matrix = self.datum.clone();
        for (part, factor) in self.matrix.iter().zip(factors) {
            for (sum, entry) in matrix.iter_mut().zip(part) {
                *sum += entry / factor;
            }
        }
        let factor = pattern.factor(&matrix, VANISHING_PIVOT);
        let inverse = pattern.selected_inverse(&factor);
        (factor, inverse)
    }
}
