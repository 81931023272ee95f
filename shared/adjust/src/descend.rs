//! Damped Gauss–Newton descent: the core of every solve, whatever the model.
//!
//! Levenberg's damping with Marquardt's scaling (D. W. Marquardt, SIAM J. Appl. Math. 11, 1963): each step solves
//! (N + λ diag N) dx = −g. A step that lowers the cost is taken, and λ falls the more the better the step kept the
//! promise of the linear model; one that does not is refused, and λ grows faster each time (H. B. Nielsen,
//! *Damping parameter in Marquardt's method*, 1999).

use crate::sparse::Pattern;

/// In a descent the damping decides; only a pivot lost to rounding is left out.
const ROUNDING: f64 = 1e-15;

/// What descends: a cost with its normal equations.
pub(crate) trait Model {
    /// A configuration of the unknowns.
    type At: Clone;
    /// The structure of the normal matrix.
    fn pattern(&self) -> &Pattern;
    /// The cost of a configuration.
    fn cost(&self, at: &Self::At) -> f64;
    /// Normal matrix and gradient (half that of the cost) at a configuration.
    fn normal_equations(&self, at: &Self::At) -> (Vec<f64>, Vec<f64>);
    /// The configuration after a step.
    fn moved(&self, at: &Self::At, step: &[f64]) -> Self::At;
    /// How large a step is, in the measure of [`Effort::close`].
    fn size(&self, at: &Self::At, step: &[f64]) -> f64;
}

/// How hard to try.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Effort {
    /// The first λ. From a bad start it must be large enough to keep the matrix regular.
    pub(crate) first_damping: f64,
    /// The most factorisations.
    pub(crate) most: usize,
    /// A step smaller than this is arrival.
    pub(crate) close: f64,
}

/// How a descent ended.
#[derive(Debug, Clone)]
pub(crate) struct Solved<At> {
    pub(crate) at: At,
    pub(crate) cost: f64,
    pub(crate) converged: bool,
}

/// Descends from a configuration. Never fails: an end that is no minimum says so.
pub(crate) fn descend<M: Model>(model: &M, start: M::At, effort: Effort) -> Solved<M::At> {
    let pattern = model.pattern();
    let mut at = start;
    let mut now = model.cost(&at);
    let mut damping = effort.first_damping;
    let mut growth = 2.0;
    let (mut matrix, mut gradient) = model.normal_equations(&at);
    for _ in 0..effort.most {
        let diagonal = pattern.diagonal(&matrix);
        let largest = diagonal.iter().copied().fold(0.0, f64::max);
        let mut damped = matrix.clone();
        // An unknown that no row touches must still be damped.
        let amounts: Vec<f64> = diagonal
            .iter()
            .map(|&d| damping * if d > 0.0 { d } else { largest.max(1.0) })
            .collect();
        pattern.add_diagonal(&mut damped, &amounts);
        let factor = pattern.factor(&damped, ROUNDING);
        let mut step: Vec<f64> = gradient.iter().map(|g| -g).collect();
        pattern.solve(&factor, &mut step);
        let size = model.size(&at, &step);
        if !pattern.pinned_unknowns(&factor).is_empty() && damping < 1e-2 {
            // Too little damping to keep the matrix regular: an unknown was left out of the step.
            damping = damping.max(1e-15) * growth;
            growth *= 2.0;
            continue;
        }
        if !size.is_finite() {
            damping = (damping * 10.0).max(1e-6);
            continue;
        }
        let to = model.moved(&at, &step);
        let then = model.cost(&to);
        if size < effort.close && damping < 1e-2 {
            // At the minimum rounding decides: a step that short is arrival whatever the last digit says.
            let better = then <= now;
            return Solved {
                at: if better { to } else { at },
                cost: then.min(now),
                converged: true,
            };
        }
        let level = (then - now).abs() <= 1e-13 * now && size < 1e4 * effort.close;
        if then < now || level {
            let promised: f64 = step
                .iter()
                .zip(&gradient)
                .zip(&amounts)
                .map(|((s, g), amount)| s * (amount * s - g))
                .sum();
            let kept = if promised > 0.0 {
                (now - then) / promised
            } else {
                1.0
            };
            at = to;
            now = then;
            damping = (damping * (1.0 - (2.0 * kept - 1.0).powi(3)).clamp(0.05, 2.0)).max(1e-17);
            growth = 2.0;
            (matrix, gradient) = model.normal_equations(&at);
        } else {
            damping = damping.max(1e-15) * growth;
            growth *= 2.0;
            if damping > 1e20 {
                break;
            }
        }
    }
    Solved {
        at,
        cost: now,
        converged: false,
    }
}

#[cfg(test)]
mod nist;
