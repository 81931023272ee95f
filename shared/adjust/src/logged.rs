//! At the tape: a reading that was just logged, against what all the others predict for it, without solving again.
//!
//! It is for after the reading is logged. Who knows what is expected reads what they expect.

use crate::adjustment::{Adjustment, Solution};
use crate::doubts::LOOK_AGAIN;
use crate::network::Observation;
use crate::quantiles::critical_w;
use crate::report::{is_unchecked, smallest_visible_slip};
use crate::result::{Estimate, LikelySlips};
use crate::slips::{Subject, weigh};
use crate::without::Others;
use survey::{Reading, Survey};

/// What the other readings say of one that was just logged.
#[derive(Debug, Clone, PartialEq)]
pub struct Logged {
    /// What is so.
    pub verdict: LoggedVerdict,
    /// What the others expect, and how surely; mm or radians.
    pub expected: Option<Estimate>,
    /// Expected minus observed.
    pub residual: Option<f64>,
    /// The residual over its own standard deviation.
    pub w: Option<f64>,
    /// Share of the reading that the others check, 0 to 1.
    pub redundancy: Option<f64>,
    /// The smallest slip in it that would have been seen.
    pub smallest_visible_slip: Option<f64>,
    /// The slips that would explain it, where it is off.
    pub slips: Option<LikelySlips>,
}

/// How a reading that was just logged stands to the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoggedVerdict {
    /// Nothing is seen against it.
    Fits,
    /// Further off than one in a thousand, and no further than one in a big survey may be.
    LookAgain,
    /// Off: beyond the critical value.
    Off,
    /// The others have nothing to say.
    NothingToCompare(Incomparable),
}

/// Why a reading cannot be compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Incomparable {
    /// No other reading has this point (index into the survey's points).
    NewPoint(usize),
    /// The others do not pin this point down, or leave it two places.
    OpenPoint(usize),
    /// No slope or rise was read in this stand yet.
    NewStand,
    /// The others do not determine this value.
    NothingElse,
    /// The others know it so poorly that an everyday slip would not show.
    TooUncertain,
}

impl Adjustment {
    /// Compares a reading that was just logged with what all others in use predict for it, at once.
    ///
    /// `survey` is the one that was solved, or that one with points and readings added at its end. Where the
    /// solution has a reading of the same id, it is compared without that. The critical value counts the readings
    /// in use and this one; w, verdict and slips are then those that solving again would find, as far as no other
    /// verdict changes by it.
    pub fn just_logged(&self, survey: &Survey, reading: &Reading) -> Logged {
        self.compared(survey, reading).unwrap_or_else(|why| Logged {
            verdict: LoggedVerdict::NothingToCompare(why),
            expected: None,
            residual: None,
            w: None,
            redundancy: None,
            smallest_visible_slip: None,
            slips: None,
        })
    }

    /// By how much each reading of the solved survey is off: observed less what all others in use predict for it, mm or
    /// radians; `None` where they predict nothing. It is the residual of [`just_logged`](Adjustment::just_logged) the
    /// other way round, for all readings at once.
    pub fn off(&self, survey: &Survey) -> Vec<Option<f64>> {
        let mut off = vec![None; survey.readings.len()];
        let Some(Solution { network, fit, .. }) = self.solution.as_deref() else {
            return off;
        };
        // What a cause adds that is kept as an unknown is still wrong with its readings.
        let of_a_cause = |o: &Observation| o.offset == Some(network.offsets.len());
        for (index, (o, row)) in network.observations.iter().zip(&fit.rows).enumerate() {
            let too_little = if of_a_cause(o) {
                self.just_logged(survey, &survey.readings[o.reading]).residual
            } else if fit.active[index] {
                // Without it, what it is adjusted to moves away from it by all that it pulled: Sherman and Morrison, as
                // in `without`.
                row.redundancy
                    .filter(|_| fit.checks(index))
                    .map(|redundancy| row.misfit / redundancy)
            } else {
                row.variance.map(|_| row.misfit)
            };
            off[o.reading] = too_little.map(|residual| -residual);
        }
        off
    }

    fn compared(&self, survey: &Survey, reading: &Reading) -> Result<Logged, Incomparable> {
        let solution = self.solution.as_deref().ok_or(Incomparable::NothingElse)?;
        let (network, fit) = (&solution.network, &solution.fit);
        for &point in &reading.points {
            match solution.knows(reading.kind, point) {
                None => return Err(Incomparable::NewPoint(point)),
                Some(false) => return Err(Incomparable::OpenPoint(point)),
                Some(true) => {}
            }
        }
        if reading.kind.needs_plumb() && !network.stands.contains(&reading.stand) {
            return Err(Incomparable::NewStand);
        }
        let number = survey.reading_index(&reading.id);
        let known = number.and_then(|n| network.observations.iter().position(|o| o.reading == n));
        let others = Others::without(network, fit, known).ok_or(Incomparable::NothingElse)?;
        let observation = network.observation(number.unwrap_or(survey.readings.len()), reading);
        let expected = others.predict(&observation).ok_or(Incomparable::NothingElse)?;

        let (value, variance) = expected;
        let square = observation.sd * observation.sd;
        let residual = value - observation.value;
        let w = residual / (square + variance).sqrt();
        let redundancy = square / (square + variance);
        let checked = (0..fit.rows.len()).filter(|&i| Some(i) != known && fit.checks(i));
        let z = critical_w(checked.count() + usize::from(redundancy >= 1e-3));
        let smallest = smallest_visible_slip(observation.sd, redundancy, z);
        let verdict = if w.abs() > z {
            LoggedVerdict::Off
        } else if w.abs() > LOOK_AGAIN {
            LoggedVerdict::LookAgain
        } else if is_unchecked(observation.kind, Some(redundancy), smallest) {
            LoggedVerdict::NothingToCompare(Incomparable::TooUncertain)
        } else {
            LoggedVerdict::Fits
        };
        let slips = (verdict == LoggedVerdict::Off).then(|| {
            weigh(&Subject {
                survey,
                reading,
                observation,
                others: &others,
                expected,
            })
            .odds()
        });
        Ok(Logged {
            verdict,
            expected: Some(Estimate {
                value: reading.observed + residual,
                sd: (variance * solution.scale).sqrt(),
            }),
            residual: Some(residual),
            w: Some(w),
            redundancy: Some(redundancy),
            smallest_visible_slip: smallest,
            slips,
        })
    }
}
