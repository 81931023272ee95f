//! What all readings but one predict, by a change of rank one: nothing is solved again.
//!
//! With normal matrix N, a reading with design row a, standard deviation σ and misfit v, and q = aN⁻¹aᵀ: without
//! it the unknowns move by N⁻¹aᵀ v/(σ² − q), and the covariance is N⁻¹ + N⁻¹aᵀaN⁻¹/(σ² − q) (the formula of
//! Sherman and Morrison, 1950).

use crate::fit::{Fit, NO_REDUNDANCY};
use crate::network::{Network, Observation};
use crate::solve::{design_row, misfit, predicted};

/// The readings in use, less one.
pub(crate) struct Others<'a> {
    pub(crate) network: &'a Network,
    fit: &'a Fit,
    left_out: Option<LeftOut>,
}

struct LeftOut {
    /// N⁻¹aᵀ.
    column: Vec<f64>,
    /// v/(σ² − q).
    pull: f64,
    /// σ² − q.
    spare: f64,
}

impl<'a> Others<'a> {
    /// The readings in use without this one, where it is one of them. `None` where no other checks it.
    pub(crate) fn without(network: &'a Network, fit: &'a Fit, index: Option<usize>) -> Option<Others<'a>> {
        let left_out = match index.filter(|&index| fit.active[index]) {
            None => None,
            Some(index) => {
                let row = &fit.rows[index];
                let r = row.redundancy.filter(|r| *r >= NO_REDUNDANCY)?;
                let o = &network.observations[index];
                let mut entries = Vec::new();
                design_row(network, o, &predicted(o, &fit.at), &fit.at, &mut entries);
                let sparse: Vec<(usize, f64)> = network.columns(o).into_iter().zip(entries).collect();
                let spare = o.sd * o.sd * r;
                Some(LeftOut {
                    column: fit.inverse_times(&sparse),
                    pull: row.misfit / spare,
                    spare,
                })
            }
        };
        Some(Others {
            network,
            fit,
            left_out,
        })
    }

    /// What an observation would be, in its own terms; the variance is [`predict`](Others::predict)'s.
    pub(crate) fn value(&self, o: &Observation) -> f64 {
        self.row(o).0
    }

    /// What an observation would be, in its own terms, and the variance of that; `None` where the readings do not
    /// determine it.
    pub(crate) fn predict(&self, o: &Observation) -> Option<(f64, f64)> {
        let (value, entries) = self.row(o);
        let (columns, values): (Vec<usize>, Vec<f64>) = entries.iter().copied().unzip();
        if !self.fit.determined(&columns, &values) {
            return None;
        }
        let column = self.fit.inverse_times(&entries);
        let mut variance: f64 = entries.iter().map(|&(c, e)| column[c] * e).sum();
        if let Some(out) = &self.left_out {
            let shared: f64 = entries.iter().map(|&(c, e)| out.column[c] * e).sum();
            variance += shared * shared / out.spare;
        }
        Some((value, variance.max(0.0)))
    }

    fn row(&self, o: &Observation) -> (f64, Vec<(usize, f64)>) {
        let at = &self.fit.at;
        let there = predicted(o, at);
        let mut row = Vec::new();
        design_row(self.network, o, &there, at, &mut row);
        let entries: Vec<(usize, f64)> = self.network.columns(o).into_iter().zip(row).collect();
        let mut value = o.value + misfit(o, there.value, at);
        if let Some(out) = &self.left_out {
            value += out.pull * entries.iter().map(|&(c, e)| out.column[c] * e).sum::<f64>();
        }
        (value, entries)
    }
}
