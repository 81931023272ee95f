//! What one more reading does to the worst standard deviation.
//!
//! A reading with row c and deviation s takes Q cᵀ(s² + c Q cᵀ)⁻¹ c Q off the covariance Q. Where it resists a
//! motion m that was free it tells nothing about anything else: what it says goes into the share t of that motion,
//! t = (l − c x)/(c m), and with it the covariance of the points that m moves.

use super::State;
use super::lines::{Line, Lines};
use crate::fit::Prediction;
use crate::observe::Vec3;
use nalgebra::Matrix3;

/// A point that becomes pinned at a place that is only roughly known must stay this far below the worst of the
/// others, or the worst is not told.
const WELL_BELOW: f64 = 0.7;
/// A motion that moves a point by less than this share of what it moves most leaves it held.
const MOVES: f64 = 1e-4;

/// Works out what readings would give.
pub(crate) struct Gain<'a> {
    state: &'a State<'a>,
    lines: &'a Lines<'a>,
    /// The points that are pinned down with their longest axes (mm), the longest first.
    sizes: Vec<(usize, f64)>,
    /// Free motions that move points, the largest shift of each 1.
    motions: Vec<Vec<f64>>,
}

impl<'a> Gain<'a> {
    pub(crate) fn new(state: &'a State<'a>, lines: &'a Lines<'a>) -> Gain<'a> {
        let mut sizes: Vec<(usize, f64)> = state
            .covariance
            .iter()
            .enumerate()
            .filter_map(|(p, covariance)| Some((p, longest_axis(covariance.as_ref()?))))
            .collect();
        sizes.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        Gain {
            state,
            lines,
            sizes,
            motions: motions(state),
        }
    }

    /// The points that are pinned down with their longest axes, without any scale factor, the longest first.
    pub(crate) fn sizes(&self) -> &[(usize, f64)] {
        &self.sizes
    }

    /// The worst standard deviation now.
    pub(crate) fn before(&self) -> Option<f64> {
        let worst = self
            .sizes
            .first()
            .map(|(_, size)| *size)
            .filter(|size| *size > 0.0)?;
        Some(worst * self.scale(0)?)
    }

    /// The worst standard deviation with one reading more.
    pub(crate) fn after(&self, line: &Line) -> Option<f64> {
        let prediction = self.state.fit.predict_held(
            self.state.network,
            line.kind,
            &[line.a, line.b],
            self.lines.stand(),
        )?;
        self.after_predicted(line, &prediction)
    }

    /// The same where the reading has been predicted already.
    pub(crate) fn after_predicted(&self, line: &Line, prediction: &Prediction) -> Option<f64> {
        let sd = self.lines.sd(line.kind, prediction.value);
        if self.state.fit.determines(prediction) {
            Some(self.shrunk(prediction, sd)? * self.scale(1)?)
        } else {
            Some(self.pinned(prediction, sd)? * self.scale(0)?)
        }
    }

    /// The factor on standard deviations with this many readings more to spare, which read what is expected.
    fn scale(&self, more: usize) -> Option<f64> {
        if !self.state.scale {
            return Some(1.0);
        }
        let spare = self.state.fit.degrees_of_freedom(self.state.network);
        Some(if spare > 0 {
            (self.state.fit.chi_square / (spare + more) as f64).sqrt()
        } else if more > 0 {
            return None;
        } else {
            1.0
        })
    }

    fn shrunk(&self, prediction: &Prediction, sd: f64) -> Option<f64> {
        let State {
            network,
            carried,
            fit,
            ..
        } = *self.state;
        let total = sd * sd + prediction.variance;
        let mut after = 0.0f64;
        for &(r, size) in &self.sizes {
            // The largest are visited first: what is smaller than the worst so far cannot become the worst.
            if size <= after {
                break;
            }
            let with = carried.with_combination(network, fit, r, prediction);
            if let Some(covariance) = &self.state.covariance[r] {
                // Nothing of note is taken off: no need for its axes.
                let kept = with.norm_squared() < 1e-12 * total * size * size;
                after = after.max(if kept {
                    size
                } else {
                    longest_axis(&(covariance - with * with.transpose() / total))
                });
            }
        }
        (after > 0.0).then_some(after)
    }

    /// The reading resists a free motion: the points that only this motion moves become pinned.
    fn pinned(&self, prediction: &Prediction, sd: f64) -> Option<f64> {
        let State {
            network,
            carried,
            fit,
            ..
        } = *self.state;
        let share = |motion: &[f64]| -> f64 { prediction.entries.iter().map(|&(c, e)| motion[c] * e).sum() };
        let shares: Vec<f64> = self.motions.iter().map(|motion| share(motion)).collect();
        let largest = shares.iter().map(|s| s.abs()).fold(0.0, f64::max);
        let resisted = shares.iter().position(|s| s.abs() == largest)?;
        if largest < 1e-6 {
            return None;
        }
        let shift = |motion: &[f64], p: usize| {
            Vec3::from_fn(|k, _| network.point_column[p][k].map_or(0.0, |c| motion[c]))
        };
        let after = self.sizes.first().map(|(_, size)| *size)?;
        for p in 0..network.point_count() {
            let own = shift(&self.motions[resisted], p);
            let still_moves = self
                .motions
                .iter()
                .zip(&shares)
                .enumerate()
                .any(|(m, (motion, s))| {
                    m != resisted && (shift(motion, p) - own * (s / shares[resisted])).norm() > MOVES
                });
            if own.norm() <= MOVES || still_moves {
                continue;
            }
            let lever = carried.placed.direction(&own) / shares[resisted];
            let with = carried.with_combination(network, fit, p, prediction);
            let cross = with * lever.transpose();
            let covariance = carried.covariance(network, fit, p) - cross - cross.transpose()
                + lever * lever.transpose() * (sd * sd + prediction.variance);
            // Where the point is free to be, the figure is only as good as its place.
            if longest_axis(&covariance) > WELL_BELOW * after {
                return None;
            }
        }
        (after > 0.0).then_some(after)
    }
}

/// The free motions that move points, scaled so that the largest shift is 1.
pub(crate) fn motions(state: &State<'_>) -> Vec<Vec<f64>> {
    let columns = || state.network.point_column.iter().flatten().flatten();
    state
        .fit
        .free
        .iter()
        .filter_map(|motion| {
            let size = columns().map(|&c| motion[c].abs()).fold(0.0, f64::max);
            (size > 0.0).then(|| motion.iter().map(|x| x / size).collect())
        })
        .collect()
}

/// The longest axis of a covariance as a standard deviation.
pub(crate) fn longest_axis(covariance: &Matrix3<f64>) -> f64 {
    covariance.symmetric_eigenvalues().max().max(0.0).sqrt()
}
