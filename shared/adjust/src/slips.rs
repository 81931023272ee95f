//! Likely slips: the human mistakes that would explain a reading, with their odds.
//!
//! The odds are Bayes' rule, given that the reading is off: the prior of a slip ([`PRIORS`]) times the density of
//! what it leaves unexplained, with the variance of the reading and of what the others predict for it, against
//! "none of these", which lies anywhere within ±2 m or ±90°. What is physically possible decides which slips are
//! weighed at all: a laser has no marks to mistake, and a fraction of an inch was never meant as centimetres. The
//! ways in which a slip of one name can have happened share its prior, and their odds add up.

mod angles;
mod from;
mod marks;
mod points;
mod priors;
mod typed;

use crate::fit::Fit;
use crate::network::{Network, Observation};
use crate::result::{LikelySlip, LikelySlips, Slip};
use crate::without::Others;
pub(crate) use priors::prior;
pub use priors::{NONE_OF_THESE, PRIORS, RAISED};
use std::f64::consts::{PI, SQRT_2};
use survey::{Instrument, Kind, Quantity, Reading, Survey};

/// The range, in mm, over which "none of these" is equally likely everywhere: ±2 m.
const ANYWHERE_MM: f64 = 4000.0;
/// The same for angles: ±90°.
const ANYWHERE_RAD: f64 = PI;
/// Slips that are less likely than this are not told.
const WORTH_TELLING: f64 = 0.01;

/// A reading that is off, and what the others expect of it.
pub(crate) struct Subject<'a> {
    pub(crate) survey: &'a Survey,
    pub(crate) reading: &'a Reading,
    /// The reading as the solver sees it.
    pub(crate) observation: Observation,
    pub(crate) others: &'a Others<'a>,
    /// What the others expect, in the solver's terms, and the variance of that.
    pub(crate) expected: (f64, f64),
}

/// Everything that may be behind a reading that is off, each with its prior times its density.
pub(crate) struct Weighed {
    /// One for each name, its likeliest way standing for all of them; the odds are yet to be worked out.
    names: Vec<(f64, LikelySlip)>,
    none: f64,
}

impl Weighed {
    /// The density of the reading over all that may be behind it, 1/mm or 1/rad: what a set of readings that are
    /// off is weighed by against another set.
    pub(crate) fn evidence(&self) -> f64 {
        self.none + self.names.iter().map(|(weight, _)| weight).sum::<f64>()
    }

    /// The odds, best first.
    pub(crate) fn odds(self) -> LikelySlips {
        let total = self.evidence();
        let mut slips: Vec<LikelySlip> = self
            .names
            .into_iter()
            .map(|(weight, name)| LikelySlip {
                odds: weight / total,
                ..name
            })
            .filter(|likely| likely.odds >= WORTH_TELLING)
            .collect();
        slips.sort_by(|a, b| b.odds.total_cmp(&a.odds).then(a.slip.cmp(&b.slip)));
        LikelySlips {
            slips,
            none_of_these: self.none / total,
        }
    }
}

/// Weighs what may be behind a reading of the network, given what the other readings in `fit` predict for it; `None`
/// where they predict nothing.
pub(crate) fn weighed(network: &Network, survey: &Survey, fit: &Fit, index: usize) -> Option<Weighed> {
    let others = Others::without(network, fit, Some(index))?;
    let observation = network.observations[index].clone();
    let expected = others.predict(&observation)?;
    Some(weigh(&Subject {
        survey,
        reading: &survey.readings[observation.reading],
        observation,
        others: &others,
        expected,
    }))
}

/// Weighs the whole catalogue.
pub(crate) fn weigh(subject: &Subject<'_>) -> Weighed {
    let mut ways = typed::ways(subject);
    if subject.reading.kind.quantity() == Quantity::Length {
        ways.extend(marks::ways(subject));
        ways.extend(from::ways(subject));
    }
    ways.extend(angles::ways(subject));
    ways.extend(points::ways(subject));

    let anywhere = match subject.reading.kind.quantity() {
        Quantity::Length => ANYWHERE_MM,
        Quantity::Angle => ANYWHERE_RAD,
    };
    let mut names: Vec<(f64, f64, LikelySlip)> = Vec::new();
    for way in ways {
        let weight = prior(way.slip) * way.share * subject.density(&way.then);
        let (corrected, belongs_to) = match way.then {
            Then::Corrected(value) => (Some(value), None),
            Then::BelongsTo { points, .. } => (None, Some(points)),
            Then::Bent { .. } => (None, None),
        };
        let likely = LikelySlip {
            slip: way.slip,
            corrected,
            belongs_to,
            odds: 0.0,
        };
        match names.iter_mut().find(|(_, _, name)| name.slip == way.slip) {
            Some((sum, best, name)) => {
                *sum += weight;
                if weight > *best {
                    (*best, *name) = (weight, likely);
                }
            }
            None => names.push((weight, weight, likely)),
        }
    }
    Weighed {
        names: names.into_iter().map(|(sum, _, name)| (sum, name)).collect(),
        none: NONE_OF_THESE / anywhere,
    }
}

impl Subject<'_> {
    fn instrument(&self) -> Option<&Instrument> {
        self.survey.instrument_of(self.reading)
    }

    /// The slip that added this to what was read, undone: the number on the tape is a magnitude, and the sign
    /// stands before it. `None` where nothing would be left.
    fn undone(&self, slip: Slip, added: f64, share: f64) -> Option<Way> {
        let observed = self.reading.observed;
        let magnitude = observed.abs() - added;
        let possible = match self.reading.kind {
            Kind::Tape => magnitude > 0.0,
            Kind::Corner => (0.0..=PI).contains(&magnitude),
            Kind::Slope => (0.0..=PI / 2.0).contains(&magnitude),
            _ => magnitude >= 0.0,
        };
        let sign = if observed < 0.0 { -1.0 } else { 1.0 };
        possible.then(|| Way::corrected(slip, sign * magnitude, share))
    }

    /// The density of what an explanation leaves over.
    fn density(&self, then: &Then) -> f64 {
        // Bench coordinates are observed from an origin of the solver's own.
        let shift = self.reading.observed - self.observation.value;
        let (expected, variance) = (self.expected.0 + shift, self.expected.1);
        let square = self.observation.sd * self.observation.sd;
        match then {
            Then::Corrected(value) => normal(expected - value, (square + variance).sqrt()),
            Then::BelongsTo {
                left_over, variance, ..
            } => normal(*left_over, (square + variance).sqrt()),
            Then::Bent { scale } => one_sided(
                self.reading.observed - expected,
                (square + variance).sqrt(),
                *scale,
            ),
        }
    }
}

/// One way in which a slip can have happened.
struct Way {
    slip: Slip,
    /// Of the prior of its name.
    share: f64,
    then: Then,
}

/// What would be so then.
enum Then {
    /// The observed value with the slip undone.
    Corrected(f64),
    /// It is a reading of other points (indices into the survey's points), and this is left over there.
    BelongsTo {
        points: Vec<usize>,
        left_over: f64,
        variance: f64,
    },
    /// Too long by an unknown amount, exponential with this scale.
    Bent { scale: f64 },
}

impl Way {
    fn corrected(slip: Slip, value: f64, share: f64) -> Way {
        Way {
            slip,
            share,
            then: Then::Corrected(value),
        }
    }

    fn belongs_to(slip: Slip, points: Vec<usize>, left_over: f64, variance: f64, share: f64) -> Way {
        let then = Then::BelongsTo {
            points,
            left_over,
            variance,
        };
        Way { slip, share, then }
    }

    fn bent(scale: f64) -> Way {
        Way {
            slip: Slip::TapeBent,
            share: 1.0,
            then: Then::Bent { scale },
        }
    }
}

fn normal(x: f64, deviation: f64) -> f64 {
    (-0.5 * (x / deviation).powi(2)).exp() / (deviation * (2.0 * PI).sqrt())
}

/// The density of the sum of a normal and an exponential variable (E. Grushka, *Analytical Chemistry* 44, 1972).
fn one_sided(x: f64, deviation: f64, scale: f64) -> f64 {
    let ratio = deviation / scale;
    // Wide against its scale, the exponential part is a shift; the exact form would overflow.
    if ratio > 20.0 {
        return normal(x - scale, deviation.hypot(scale));
    }
    let below = 0.5 * statrs::function::erf::erfc((ratio - x / deviation) / SQRT_2);
    (0.5 * ratio * ratio - x / scale).exp() * below / scale
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn densities_sum_to_one() {
        for (deviation, scale) in [(1.0, 5.0), (3.0, 5.0), (20.0, 5.0), (150.0, 5.0)] {
            let step = deviation / 50.0;
            let (mut all, mut negative) = (0.0, 0.0);
            let mut x = -12.0 * deviation;
            while x < 12.0 * deviation + 30.0 * scale {
                all += one_sided(x, deviation, scale) * step;
                negative += f64::from(x < -3.0 * deviation) * one_sided(x, deviation, scale) * step;
                x += step;
            }
            assert!((all - 1.0).abs() < 1e-3, "{deviation} {scale}: {all}");
            assert!(negative < 1.4e-3, "a bent tape reads long: {negative}");
        }
    }
}
