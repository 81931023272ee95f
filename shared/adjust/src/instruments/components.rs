//! Variance components: what each group of readings scatters by itself, although all of them share the unknowns.
//!
//! The residuals of one solution mix the errors of all readings, so that a careless group makes the careful one look
//! careless. Least-squares variance component estimation takes them apart: with M the projector on the residuals (each
//! in units of its deviation under the factors so far), q_k = Σ v²/σ² and r_k = Σ r over group k, and H_kl the sum of
//! M_ij² over i in k and j in l, the factors change by H⁻¹ q, and the solution is weighted anew until that is 1
//! (A. R. Amiri-Simkooei, *Least-squares variance component estimation: theory and GPS applications*, Delft 2007;
//! P. J. G. Teunissen, A. R. Amiri-Simkooei, Journal of Geodesy 82, 2008; of normal readings it is the restricted
//! maximum likelihood). There q_k = r_k, which is where the almost unbiased estimate σ_k² ← σ_k² q_k / r_k of
//! W. Förstner (*Ein Verfahren zur Schätzung von Varianz- und Kovarianzkomponenten*, 1979) ends as well, in many more
//! steps. The covariance of the factors is 2 H⁻¹.
//!
//! H is found without M: Σ_l H_kl = r_k as M is a projector, and H_kl = −∂r_k/∂ln σ_l² for k ≠ l, the change of the
//! sum of redundancies when group l is weighted a little less. So it takes one factor of the normal matrix for each
//! group, and nothing beyond the pattern of the factor. Where that takes too long, what the diagonal of M leaves over
//! is spread over the groups by their redundancies, which is right where everyone reads everywhere; the factors are
//! then still those with q_k = r_k, and only their bands are rough.
//!
//! With some ten degrees of freedom beside a group that reads twice as badly, an honest one comes out beyond its band
//! in seven or eight surveys of a hundred, with thirty in six: the covariance is that of large groups.

mod weighted;

use crate::fit::Fit;
use crate::network::Network;
use nalgebra::{DMatrix, DVector};
use weighted::Weighted;

/// The variance factor of one group.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Component {
    /// Found over stated variance.
    pub(crate) ratio: f64,
    /// The degrees of freedom of the chi-square that an honest group's ratio scatters like: at most the sum of its
    /// redundancies, and less by what the other groups share with it.
    pub(crate) freedom: f64,
}

/// With less than this nothing is said of a group.
const LEAST_FREEDOM: f64 = 0.5;
/// The readings of no group are weighted anew only with as much as this; with less they stay as they were said to be.
const LEAST_FREEDOM_OF_REST: f64 = 3.0;
/// A group reads at best ten times as well, and at worst a hundred times as badly, as was said.
const BOUNDS: [f64; 2] = [0.01, 1e4];
/// How often the solution is weighted anew at most.
const ROUNDS: usize = 8;
/// A change of less than this share of its own deviation is the last one.
const STABLE: f64 = 0.1;
/// So many deviations away, what the groups share is another.
const FAR: f64 = 0.8;
/// Beyond so many groups each is weighed by its own residuals alone.
const MOST_GROUPS: usize = 32;
/// Multiplications until H is taken from the diagonal of M: some 20 ms.
const EXACT_WORK: usize = 8_000_000;
/// Multiplications at most, to an order of magnitude: about a second.
const MOST_WORK: usize = 400_000_000;

/// The components of groups of readings: `group` names the one of each observation, `None` where it belongs to none.
/// `None` comes back for a group of which the readings do not tell.
pub(crate) fn components(
    network: &Network,
    fit: &Fit,
    group: &[Option<usize>],
    groups: usize,
) -> Vec<Option<Component>> {
    let tally = Tally::new(network, fit, group, groups);
    let mut told = vec![None; groups];
    let mut free: Vec<usize> = (0..groups)
        .filter(|&k| tally.redundancy[k] > LEAST_FREEDOM)
        .collect();
    let alone = free.len() == 1 && tally.count.iter().filter(|count| **count > 0).count() == 1;
    if alone || free.len() > MOST_GROUPS {
        for k in free {
            // Nobody shares the residuals, or so many do that they can only be taken as they are.
            let freedom = if alone { tally.redundancy[k] } else { tally.own[k] };
            told[k] = (freedom > LEAST_FREEDOM).then(|| Component {
                ratio: tally.square[k] / tally.redundancy[k],
                freedom,
            });
        }
        return told;
    }
    if free.is_empty() {
        return told;
    }
    if tally.redundancy[groups] > LEAST_FREEDOM_OF_REST {
        free.push(groups);
    }
    let weighted = Weighted::new(network, fit, group, groups);
    while free.iter().any(|&k| k < groups) {
        let estimate = Estimate {
            tally: &tally,
            weighted: &weighted,
            free: &free,
        };
        match estimate.found() {
            Ok(found) => {
                for (&k, component) in free.iter().zip(found).filter(|(k, _)| **k < groups) {
                    told[k] = Some(component);
                }
                break;
            }
            // What cannot be told apart from the others stays as it was said.
            Err(worst) => {
                free.remove(worst);
            }
        }
    }
    told
}

/// Each group's readings in the solution with the stated deviations; the last one is that of no group.
struct Tally {
    count: Vec<usize>,
    /// Σ (v/σ)².
    square: Vec<f64>,
    /// Σ r.
    redundancy: Vec<f64>,
    /// Σ r².
    own: Vec<f64>,
}

impl Tally {
    fn new(network: &Network, fit: &Fit, group: &[Option<usize>], groups: usize) -> Tally {
        let mut tally = Tally {
            count: vec![0; groups + 1],
            square: vec![0.0; groups + 1],
            redundancy: vec![0.0; groups + 1],
            own: vec![0.0; groups + 1],
        };
        for (index, o) in network.observations.iter().enumerate() {
            if fit.active[index] {
                let k = group[index].unwrap_or(groups);
                let r = fit.rows[index].redundancy.unwrap_or(0.0);
                tally.count[k] += 1;
                tally.square[k] += (fit.rows[index].misfit / o.sd).powi(2);
                tally.redundancy[k] += r;
                tally.own[k] += r * r;
            }
        }
        tally
    }
}

/// What the groups share with each other under some factors; by place in the list of free groups.
#[derive(Clone)]
struct Shared {
    factors: Vec<f64>,
    /// H⁻¹.
    inverse: DMatrix<f64>,
}

impl Shared {
    fn freedom(&self, n: usize) -> f64 {
        1.0 / self.inverse[(n, n)]
    }

    /// The deviation of a factor, as a share of it.
    fn sd(&self, n: usize) -> f64 {
        (2.0 * self.inverse[(n, n)]).sqrt()
    }

    /// From H; the place of a group that cannot be told apart from the others where there is one.
    fn new(factors: Vec<f64>, information: DMatrix<f64>) -> Result<Shared, usize> {
        let count = factors.len();
        let smallest = |of: &dyn Fn(usize) -> f64| {
            (0..count).fold(0, |worst, n| if of(n) < of(worst) { n } else { worst })
        };
        let Some(cholesky) = information.clone().cholesky() else {
            return Err(smallest(&|n| information[(n, n)]));
        };
        let inverse = cholesky.inverse();
        let shared = Shared { factors, inverse };
        let worst = smallest(&|n| shared.freedom(n));
        if shared.freedom(worst) > LEAST_FREEDOM {
            Ok(shared)
        } else {
            Err(worst)
        }
    }
}

/// The estimation with these groups free and the others held as they were said.
struct Estimate<'a> {
    tally: &'a Tally,
    weighted: &'a Weighted<'a>,
    free: &'a [usize],
}

impl Estimate<'_> {
    /// The components by place in the list of free groups; else the place of one that cannot be told apart.
    fn found(&self) -> Result<Vec<Component>, usize> {
        let Estimate {
            tally,
            weighted,
            free,
        } = self;
        let work = weighted.work().max(1);
        let exact = (2 * free.len() + 3) * work <= EXACT_WORK;
        let mut factors = vec![1.0; tally.count.len()];
        let mut square = tally.square.clone();
        let mut redundancy = tally.redundancy.clone();
        let as_said = if exact {
            self.shared(&factors, &redundancy)?
        } else {
            self.roughly_shared()?
        };
        let mut shared = as_said.clone();
        for round in 0..ROUNDS {
            let excess = DVector::from_fn(free.len(), |n, _| square[free[n]] - redundancy[free[n]]);
            let change = &shared.inverse * excess;
            let mut stable = true;
            for (n, &k) in free.iter().enumerate() {
                let before = factors[k];
                factors[k] = (before * (1.0 + change[n]).clamp(0.1, 10.0)).clamp(BOUNDS[0], BOUNDS[1]);
                stable &= (factors[k] / before - 1.0).abs() < STABLE * shared.sd(n);
            }
            if stable || (round + 1) * work > MOST_WORK {
                break;
            }
            (square, redundancy) = weighted.sums(&factors);
            let far =
                |(n, &k): (usize, &usize)| (factors[k] / shared.factors[n]).ln().abs() > FAR * shared.sd(n);
            if exact && free.iter().enumerate().any(far) {
                shared = self.shared(&factors, &redundancy)?;
            }
        }
        let component = |(n, &k): (usize, &usize)| Component {
            ratio: factors[k],
            freedom: honest_freedom(n, &as_said, &shared),
        };
        Ok(free.iter().enumerate().map(component).collect())
    }

    /// H under these factors, which lead to these redundancies.
    fn shared(&self, factors: &[f64], redundancy: &[f64]) -> Result<Shared, usize> {
        // So small that the bend does not show, and large against rounding.
        const STEP: f64 = 1e-4;
        let Estimate {
            tally,
            weighted,
            free,
        } = self;
        let count = free.len();
        let mut information = DMatrix::zeros(count, count);
        // The rows sum to the redundancies, which gives the last column where no group is held.
        let all = (0..tally.count.len()).all(|k| tally.count[k] == 0 || free.contains(&k));
        let columns = if all { count - 1 } else { count };
        for (m, &l) in free[..columns].iter().enumerate() {
            let mut other = factors.to_vec();
            other[l] *= STEP.exp();
            let there = weighted.redundancy(&other);
            for (n, &k) in free.iter().enumerate() {
                let slope = (there[k] - redundancy[k]) / STEP;
                information[(n, m)] = if n == m { redundancy[k] - slope } else { -slope };
            }
        }
        if all {
            let last = count - 1;
            let mut own = redundancy[free[last]];
            for n in 0..last {
                information[(n, last)] = information[(last, n)];
                own -= information[(last, n)];
            }
            information[(last, last)] = own;
        }
        let symmetric = 0.5 * (&information + information.transpose());
        Shared::new(free.iter().map(|&k| factors[k]).collect(), symmetric)
    }

    /// H under the stated deviations from the diagonal of M: what it leaves over of each row is spread over the groups
    /// by their redundancies.
    fn roughly_shared(&self) -> Result<Shared, usize> {
        let Estimate { tally, free, .. } = self;
        let all: f64 = tally.redundancy.iter().sum();
        let spread = |k: usize, l: usize| (tally.redundancy[k] - tally.own[k]) * tally.redundancy[l] / all;
        let information = DMatrix::from_fn(free.len(), free.len(), |n, m| {
            let (k, l) = (free[n], free[m]);
            let own = if n == m { tally.own[k] } else { 0.0 };
            own + 0.5 * (spread(k, l) + spread(l, k))
        });
        Shared::new(vec![1.0; free.len()], information)
    }
}

/// The degrees of freedom of a group if it is as was said and the others read as they were found to. Only the ratios
/// to the others count: on the way from all factors 1 to those found, that is nearest to where the group was left at 1.
fn honest_freedom(n: usize, as_said: &Shared, found: &Shared) -> f64 {
    let own = found.factors[n].ln();
    let (mut along, mut length) = (0.0, 0.0);
    for (_, factor) in found.factors.iter().enumerate().filter(|(m, _)| *m != n) {
        let way = factor.ln() - own;
        along += way * factor.ln();
        length += way * way;
    }
    let share = if length > 1e-6 {
        (along / length).clamp(0.0, 2.0)
    } else {
        0.0
    };
    let [from, to] = [as_said, found].map(|it| it.freedom(n).ln());
    (from + share * (to - from)).exp()
}

#[cfg(test)]
mod tests;
