//! Damped weighted least squares on the sparse normal equations.
//!
//! The normal matrix is AᵀPA + GᵀG: the datum rows G of [`crate::gauge`] fix exactly what distances leave open
//! and change no residual. The descent itself is [`crate::descend`].

use crate::descend::{Effort, Model, descend};
use crate::gauge::Gauge;
use crate::network::{Configuration, Network, Observation};
use crate::observe::{Predicted, Vec3, predict};
use crate::sparse::{Factor, Pattern, VANISHING_PIVOT};

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

/// A descent over configurations of a network.
pub(crate) type Solved = crate::descend::Solved<Configuration>;

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
    (system.pattern.factor(&matrix, VANISHING_PIVOT), matrix)
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

/// A network with the readings in use and how misfits count, ready to descend.
struct Weighted<'a> {
    network: &'a Network,
    system: &'a System,
    active: &'a [bool],
    loss: Loss,
}

impl Model for Weighted<'_> {
    type At = Configuration;

    fn pattern(&self) -> &Pattern {
        &self.system.pattern
    }

    fn cost(&self, at: &Configuration) -> f64 {
        cost(self.network, self.active, at, self.loss)
    }

    fn normal_equations(&self, at: &Configuration) -> (Vec<f64>, Vec<f64>) {
        normal_equations(self.network, self.system, self.active, at, self.loss)
    }

    fn moved(&self, at: &Configuration, step: &[f64]) -> Configuration {
        moved(self.network, at, step)
    }

    /// The farthest that any point moves along an axis, mm.
    fn size(&self, _: &Configuration, step: &[f64]) -> f64 {
        let points = self
            .network
            .stand_column
            .first()
            .copied()
            .unwrap_or(self.network.unknowns);
        step[..points].iter().map(|s| s.abs()).fold(0.0, f64::max)
    }
}

/// Minimises the cost from a configuration.
pub(crate) fn minimise(
    network: &Network,
    system: &System,
    active: &[bool],
    start: Configuration,
    loss: Loss,
    effort: Effort,
) -> Solved {
    descend(
        &Weighted {
            network,
            system,
            active,
            loss,
        },
        start,
        effort,
    )
}

/// As exact as it gets, from a configuration near the minimum: the step that is close is still taken, and leaves
/// far less than itself.
pub(crate) const EXACT: Effort = Effort {
    first_damping: 1e-9,
    most: 120,
    close: 1e-6,
};
/// To the last digit, from further away.
pub(crate) const EXACT_FROM_AFAR: Effort = Effort {
    first_damping: 1e-4,
    most: 80,
    close: 1e-6,
};
/// Near enough for a start.
pub(crate) const NEAR: Effort = Effort {
    first_damping: 1e-3,
    most: 40,
    close: 0.5,
};
