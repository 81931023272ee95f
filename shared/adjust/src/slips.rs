//! Likely slips: the human mistakes that would explain a reading, with their odds.
//!
//! The odds are Bayes' rule: the prior of a slip times the density of what it leaves unexplained, against "none
//! of these", an error anywhere within ±2 m. The priors stand in one table, [`PRIORS`].

use crate::fit::Fit;
use crate::network::Network;
use crate::result::{LikelySlip, Slip};
use survey::{Quantity, Survey};

/// How often a slip of each name is behind a reading that is off: judgement of the trade, no source. They need
/// only be of the right order, since a slip that fits beats one that does not by many orders.
pub const PRIORS: [(Slip, f64); 11] = [
    (Slip::BurnedInch, 0.20),
    (Slip::Foot, 0.12),
    (Slip::Decimetre, 0.12),
    (Slip::HalfInch, 0.10),
    (Slip::DigitsSwapped, 0.13),
    (Slip::MirrorPoint, 0.13),
    (Slip::WrongPoint, 0.05),
    (Slip::FromForgotten, 0.05),
    (Slip::MovedMark, 0.02),
    (Slip::LabelsExchanged, 0.01),
    (Slip::WholeSheet, 0.01),
];

/// What is left for "none of these".
pub(crate) const NONE_OF_THESE: f64 = 0.20;

/// The range, in mm, over which "none of these" is equally likely everywhere: ±2 m.
const ANYWHERE_MM: f64 = 4000.0;

struct Candidate {
    slip: Slip,
    corrected: Option<f64>,
    belongs_to: Option<Vec<usize>>,
    weight: f64,
}

/// The density of a reading that is off, over all that may be behind it.
pub(crate) fn evidence(network: &Network, survey: &Survey, fit: &Fit, index: usize) -> Option<f64> {
    weighed(network, survey, fit, index)
        .map(|(candidates, none)| none + candidates.iter().map(|c| c.weight).sum::<f64>())
}

/// The slip that explains an observation best, given what the readings in `fit` predict for it without itself.
pub(crate) fn likely(network: &Network, survey: &Survey, fit: &Fit, index: usize) -> Option<LikelySlip> {
    let (candidates, none) = weighed(network, survey, fit, index)?;
    let total: f64 = none + candidates.iter().map(|c| c.weight).sum::<f64>();
    // The odds are those of the name: its ways of explaining the reading add up.
    let best = candidates.iter().max_by(|a, b| a.weight.total_cmp(&b.weight))?;
    let of_name: f64 = candidates
        .iter()
        .filter(|c| c.slip == best.slip)
        .map(|c| c.weight)
        .sum();
    (of_name > none).then(|| LikelySlip {
        slip: best.slip,
        corrected: best.corrected,
        belongs_to: best.belongs_to.clone(),
        odds: of_name / total,
    })
}

fn weighed(network: &Network, survey: &Survey, fit: &Fit, index: usize) -> Option<(Vec<Candidate>, f64)> {
    let o = &network.observations[index];
    let (expected, variance) = without_itself(fit, network, index)?;
    let deviation = (o.sd * o.sd + variance).sqrt();
    // Bench coordinates are compared where they were read.
    let observed = o.value;
    let density = |left_over: f64, deviation: f64| {
        (-0.5 * (left_over / deviation).powi(2)).exp() / (deviation * (2.0 * std::f64::consts::PI).sqrt())
    };
    let mut candidates = Vec::new();
    if o.kind.quantity() == Quantity::Length {
        let shifts: [(Slip, &[f64]); 4] = [
            (Slip::BurnedInch, &[25.4]),
            (Slip::Foot, &[304.8, -304.8]),
            (Slip::Decimetre, &[100.0, -100.0]),
            (Slip::HalfInch, &[12.7, -12.7]),
        ];
        for (slip, amounts) in shifts {
            for amount in amounts {
                let corrected = observed - amount;
                candidates.push(Candidate {
                    slip,
                    corrected: Some(corrected),
                    belongs_to: None,
                    weight: prior(slip) / amounts.len() as f64 * density(expected - corrected, deviation),
                });
            }
        }
    }
    let swaps = swapped_values(survey, o.reading);
    for change in &swaps {
        let corrected = observed + change;
        candidates.push(Candidate {
            slip: Slip::DigitsSwapped,
            corrected: Some(corrected),
            belongs_to: None,
            weight: prior(Slip::DigitsSwapped) / swaps.len() as f64
                * density(expected - corrected, deviation),
        });
    }
    let partners = mirrored_points(network, survey, index);
    for points in &partners {
        let stand = o.kind.needs_plumb().then_some(o.stand);
        let Some(there) = fit.predict(network, o.kind, points, stand) else {
            continue;
        };
        let deviation = (o.sd * o.sd + there.variance).sqrt();
        candidates.push(Candidate {
            slip: Slip::MirrorPoint,
            corrected: None,
            belongs_to: Some(points.iter().map(|&p| network.survey_point[p]).collect()),
            weight: prior(Slip::MirrorPoint) / partners.len() as f64
                * density(there.value - observed, deviation),
        });
    }
    let range = match o.kind.quantity() {
        Quantity::Length => ANYWHERE_MM,
        Quantity::Angle => std::f64::consts::PI,
    };
    let none = NONE_OF_THESE / range;
    Some((candidates, none))
}

pub(crate) fn prior(slip: Slip) -> f64 {
    PRIORS
        .iter()
        .find(|(name, _)| *name == slip)
        .map_or(0.0, |(_, prior)| *prior)
}

/// What the other readings predict for this one, and the variance of that.
fn without_itself(fit: &Fit, network: &Network, index: usize) -> Option<(f64, f64)> {
    let row = &fit.rows[index];
    let o = &network.observations[index];
    let square = o.sd * o.sd;
    if !fit.active[index] {
        return Some((row.value, row.variance?));
    }
    let r = row.redundancy.filter(|r| *r >= crate::fit::NO_REDUNDANCY)?;
    // Taking a reading out moves its prediction by misfit (1 − r)/r further away.
    Some((o.value + row.misfit / r, square * (1.0 - r) / r))
}

/// How the value would change if two neighbouring digits of the typed text were exchanged, each once.
fn swapped_values(survey: &Survey, reading: usize) -> Vec<f64> {
    let reading = &survey.readings[reading];
    let parse = |text: &str| match reading.kind.quantity() {
        Quantity::Length => survey::parse_length(text, survey.unit).ok(),
        Quantity::Angle => survey::parse_angle(text, true).ok(),
    };
    let Some(typed) = parse(&reading.typed) else {
        return Vec::new();
    };
    let digits: Vec<char> = reading.typed.chars().collect();
    let mut changes: Vec<f64> = Vec::new();
    for i in 0..digits.len().saturating_sub(1) {
        let (a, b) = (digits[i], digits[i + 1]);
        if a == b || !a.is_ascii_digit() || !b.is_ascii_digit() {
            continue;
        }
        let mut swapped = digits.clone();
        swapped.swap(i, i + 1);
        if let Some(value) = parse(&swapped.into_iter().collect::<String>()) {
            let change = (value.abs() - typed.abs()) * if reading.observed < 0.0 { -1.0 } else { 1.0 };
            if change != 0.0 && !changes.contains(&change) {
                changes.push(change);
            }
        }
    }
    changes
}

/// The points of an observation with one of them, or all, exchanged for the mirror partner.
fn mirrored_points(network: &Network, survey: &Survey, index: usize) -> Vec<Vec<usize>> {
    let points = network.observations[index].points().to_vec();
    let partner = |p: usize| {
        survey.points[network.survey_point[p]]
            .mirror
            .map(|survey_index| network.canonical_point[survey_index])
    };
    let mut found = Vec::new();
    for slot in 0..points.len() {
        if let Some(other) = partner(points[slot]).filter(|other| !points.contains(other)) {
            let mut exchanged = points.clone();
            exchanged[slot] = other;
            found.push(exchanged);
        }
    }
    found
}
