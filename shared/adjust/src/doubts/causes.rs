//! Causes that several readings share: one removal, one doubt, one action.
//!
//! A whole sheet or instrument that is off by one amount ([`offsets`]) is looked for as one more unknown of the
//! survey, and taken where it leaves fewer removals than single slips do. A mark that moved ([`marks`]) and labels
//! that were exchanged ([`labels`]) are looked for among what is held out. Where single slips explain the same
//! readings, Bayes' rule decides: one cause with its prior against one slip for each reading, each with its own.

pub(crate) mod labels;
pub(crate) mod marks;
pub(crate) mod offsets;

use crate::fit::Fit;
use crate::network::Network;
use crate::result::{Estimate, Slip};
use survey::Survey;

/// How often a reading is off, or a cause at work: judgement of the trade, no source.
const OFF: f64 = 0.02;
/// So much likelier, as a logarithm, convinces where the number of removals does not: 100 to 1.
const CONVINCING: f64 = 4.6;

/// One cause with all that it explains.
#[derive(Debug, Clone)]
pub(crate) struct Cause {
    pub(crate) slip: Slip,
    /// Observation indices, ascending.
    pub(crate) readings: Vec<usize>,
    /// Canonical points that it is about.
    pub(crate) points: Vec<usize>,
    /// What it adds to each reading, where that is one amount.
    pub(crate) amount: Option<Estimate>,
    /// Canonical points that each reading belongs to, in the order of `readings`; empty where it is not that.
    pub(crate) belongs_to: Vec<Vec<usize>>,
    /// Probability against as many single slips.
    pub(crate) odds: f64,
    /// Logarithm of its prior times the density of its readings, what single slips are weighed against.
    pub(crate) log_density: f64,
    /// Whether its readings are held out; else they are in, with the amount as an unknown.
    pub(crate) held_out: bool,
}

/// Logarithm of the density of a reading that is held out, if it has a slip of its own.
fn slip_alone(network: &Network, survey: &Survey, fit: &Fit, index: usize) -> f64 {
    let evidence =
        crate::slips::weighed(network, survey, fit, index).map_or(0.0, |weighed| weighed.evidence());
    (OFF * evidence).max(f64::MIN_POSITIVE).ln()
}

/// Logarithm of the normal density of `x` with this variance.
fn log_normal(x: f64, variance: f64) -> f64 {
    -0.5 * (x * x / variance + (2.0 * std::f64::consts::PI * variance).ln())
}

/// Probability of a cause, from the logarithms of what it and single slips make of the readings.
fn odds(cause: f64, alone: f64) -> f64 {
    1.0 / (1.0 + (alone - cause).exp())
}
