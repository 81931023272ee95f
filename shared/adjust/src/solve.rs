//! Damped weighted least squares on the sparse normal equations.
//!
//! Levenberg's damping with Marquardt's scaling (D. W. Marquardt, SIAM J. Appl. Math. 11, 1963): each step solves
//! (JᵀWJ + GᵀG + λ diag) dx = −JᵀWv. GᵀG are the datum rows of [`crate::gauge`]; they fix exactly what distances
//! leave open and change no residual.

use crate::gauge::Gauge;
use crate::network::{Configuration, Network, Observation};
use crate::observe::{Predicted, Vec3, predict};
use crate::sparse::{Factor, Pattern};

/// How misfits count.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Loss {
    /// Squared: least squares.
    Square,
    /// Geman–McClure with this scale in standard deviations: far misfits cost no more than scale². Used only to
    /// search, never for a result.
    Robust(f64),
}

impl Loss {
    /// Cost and weight factor of a misfit of `u` standard deviations.
    pub(crate) fn at(self, u: f64) -> (f64, f64) {
        match self {
            Loss::Square => (u * u, 1.0),
            Loss::Robust(scale) => {
                let t = 1.0 / (1.0 + (u / scale) * (u / scale));
                (u * u * t, t * t)
            }
        }
    }
}

/// The structure of the normal equations: one row for each observation, then the datum rows.
#[derive(Debug, Clone)]
pub(crate) struct System {
    pub(crate) pattern: Pattern,
    pub(crate) columns: Vec<Vec<usize>>,
    pub(crate) gauge: Gauge,
}

impl System {
    pub(crate) fn new(network: &Network, gauge: Gauge) -> System {
        let columns: Vec<Vec<usize>> = network.observations.iter().map(|o| network.columns(o)).collect();
        let mut rows = columns.clone();
        let anchors = gauge.columns(network);
        rows.extend((0..gauge.row_count()).map(|_| anchors.clone()));
        System {
            pattern: Pattern::new(network.unknowns, &rows),
            columns,
            gauge,
        }
    }
}

/// Two unit vectors across a direction.
pub(crate) fn across(up: &Vec3) -> [Vec3; 2] {
    let axis = up.iamin();
    let mut seed = Vec3::zeros();
    seed[axis] = 1.0;
    let first = up.cross(&seed).normalize();
    [first, up.cross(&first)]
}

/// What an observation would be in a configuration.
pub(crate) fn predicted(observation: &Observation, at: &Configuration) -> Predicted {
    let mut places = [Vec3::zeros(); 4];
    for (place, &p) in places.iter_mut().zip(observation.points()) {
        *place = at.positions[p];
    }
    let up = if observation.kind.needs_plumb() {
        at.ups[observation.stand]
    } else {
        Vec3::z()
    };
    predict(observation.kind, &places, &up)
}

/// Adjusted minus observed.
pub(crate) fn misfit(observation: &Observation, value: f64, at: &Configuration) -> f64 {
    let offset = observation.offset.map_or(0.0, |o| at.offsets[o]);
    value - offset - observation.value
}

/// Entries of the design row, in the order of [`Network::columns`].
pub(crate) fn design_row(
    network: &Network,
    observation: &Observation,
    predicted: &Predicted,
    at: &Configuration,
    row: &mut Vec<f64>,
) {
    row.clear();
    for (slot, &p) in observation.points().iter().enumerate() {
        for k in 0..3 {
            if network.point_column[p][k].is_some() {
                row.push(predicted.by_point[slot][k]);
            }
        }
    }
    if observation.kind.needs_plumb() {
        row.extend(across(&at.ups[observation.stand]).map(|turn| predicted.by_plumb.dot(&turn)));
    }
    if observation.offset.is_some() {
        row.push(-1.0);
    }
}

/// How a solve ended.
#[derive(Debug, Clone)]
pub(crate) struct Solved {
    pub(crate) at: Configuration,
    pub(crate) cost: f64,
    pub(crate) converged: bool,
}

/// Cost of a configuration.
pub(crate) fn cost(network: &Network, active: &[bool], at: &Configuration, loss: Loss) -> f64 {
    let mut total = 0.0;
    for (o, _) in network
        .observations
        .iter()
        .zip(active)
        .filter(|(_, active)| **active)
    {
        total += loss.at(misfit(o, predicted(o, at).value, at) / o.sd).0;
    }
    total
}

/// The normal matrix and the gradient JᵀWv at a configuration.
fn normal_equations(
    network: &Network,
    system: &System,
    active: &[bool],
    at: &Configuration,
    loss: Loss,
) -> (Vec<f64>, Vec<f64>) {
    let mut matrix = system.pattern.zeros();
    let mut gradient = vec![0.0; network.unknowns];
    let mut row = Vec::new();
    for (index, o) in network.observations.iter().enumerate() {
        if !active[index] {
            continue;
        }
        let p = predicted(o, at);
        let v = misfit(o, p.value, at);
        let weight = loss.at(v / o.sd).1 / (o.sd * o.sd);
        design_row(network, o, &p, at, &mut row);
        system.pattern.add_row(&mut matrix, index, &row, weight);
        for (&column, &a) in system.columns[index].iter().zip(&row) {
            gradient[column] += weight * a * v;
        }
    }
    let first = network.observations.len();
    for (n, row) in system.gauge.rows(network, &at.positions).iter().enumerate() {
        system
            .pattern
            .add_row(&mut matrix, first + n, row, system.gauge.weight());
    }
    (matrix, gradient)
}

/// The factor of the undamped normal matrix, and the matrix.
pub(crate) fn factored(
    network: &Network,
    system: &System,
    active: &[bool],
    at: &Configuration,
) -> (Factor, Vec<f64>) {
    let (matrix, _) = normal_equations(network, system, active, at, Loss::Square);
    (system.pattern.factor(&matrix), matrix)
}

/// Moves a configuration by a step of the unknowns.
fn moved(network: &Network, at: &Configuration, step: &[f64]) -> Configuration {
    let mut to = at.clone();
    for (p, columns) in network.point_column.iter().enumerate() {
        for k in 0..3 {
            if let Some(column) = columns[k] {
                to.positions[p][k] += step[column];
            }
        }
    }
    for (s, &column) in network.stand_column.iter().enumerate() {
        let [first, second] = across(&at.ups[s]);
        to.ups[s] = (at.ups[s] + first * step[column] + second * step[column + 1]).normalize();
    }
    for (o, &column) in network.offset_column.iter().enumerate() {
        to.offsets[o] += step[column];
    }
    to
}

/// Minimises the cost from a configuration. `most` bounds the number of factorisations.
pub(crate) fn minimise(
    network: &Network,
    system: &System,
    active: &[bool],
    start: Configuration,
    loss: Loss,
    first_damping: f64,
    most: usize,
) -> Solved {
    let mut at = start;
    let mut now = cost(network, active, &at, loss);
    let mut damping = first_damping;
    let (mut matrix, mut gradient) = normal_equations(network, system, active, &at, loss);
    let points = network.stand_column.first().copied().unwrap_or(network.unknowns);
    let close = match loss {
        Loss::Square => 1e-8,
        Loss::Robust(_) => 1e-3,
    };
    for _ in 0..most {
        let diagonal = system.pattern.diagonal(&matrix);
        let largest = diagonal.iter().copied().fold(0.0, f64::max);
        let mut damped = matrix.clone();
        // A diagonal that is small must still be damped: the first damping keeps the matrix regular.
        let amounts: Vec<f64> = diagonal.iter().map(|d| damping * d.max(1e-9 * largest)).collect();
        system.pattern.add_diagonal(&mut damped, &amounts);
        let factor = system.pattern.factor(&damped);
        let mut step: Vec<f64> = gradient.iter().map(|g| -g).collect();
        system.pattern.solve(&factor, &mut step);
        let longest = step[..points].iter().map(|s| s.abs()).fold(0.0, f64::max);
        if !longest.is_finite() {
            damping = (damping * 10.0).max(1e-6);
            continue;
        }
        let to = moved(network, &at, &step);
        let then = cost(network, active, &to, loss);
        // At the minimum rounding decides: a step that short is taken as arrival whatever the last digit says.
        if longest < close && damping < 1e-2 {
            let better = then <= now;
            return Solved {
                at: if better { to } else { at },
                cost: then.min(now),
                converged: true,
            };
        }
        if then < now || (then - now).abs() <= 1e-13 * now && longest < 1e-4 {
            at = to;
            now = then;
            damping = (damping * 0.1).max(1e-12);
            (matrix, gradient) = normal_equations(network, system, active, &at, loss);
        } else {
            damping = (damping * 8.0).max(1e-9);
            if damping > 1e12 {
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
