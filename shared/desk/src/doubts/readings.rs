//! Doubts of single readings and of groups of them.

use adjust::Verdict;

use super::{Found, bare};
use crate::told::{explained_by_a_cause, is_unchecked};
use crate::wire::{Doubt, DoubtKind, LikelySlipWire, MovedPoint, Settle};

impl Found<'_> {
    /// Readings that are off, each with how far that reaches in mm.
    pub(super) fn suspects(&self) -> Vec<(f64, Doubt)> {
        let suspects = self.with_verdict(Verdict::Suspect);
        let alone = suspects.filter(|&reading| !explained_by_a_cause(self.answer, reading));
        alone
            .map(|reading| {
                let off = self.answer.adjustment.readings[reading]
                    .residual
                    .unwrap_or_default();
                (
                    self.reach_mm(reading, off),
                    self.of_reading(DoubtKind::Suspect, reading),
                )
            })
            .collect()
    }

    /// Groups of readings of which some are off.
    pub(super) fn unclear(&self) -> Vec<Doubt> {
        let groups = self
            .answer
            .adjustment
            .unclear
            .iter()
            .filter(|group| group.cause.is_none());
        groups
            .map(|group| {
                let moves: Vec<MovedPoint> = group
                    .moves
                    .iter()
                    .map(|moved| MovedPoint {
                        point: self.label(moved.point),
                        places: moved.places,
                    })
                    .collect();
                let begun = match group.readings.as_slice() {
                    [only] => self.of_reading(DoubtKind::Unclear, *only),
                    all => {
                        let readings = self.names(all);
                        bare(DoubtKind::Unclear, Settle::ReadAgain { readings })
                    }
                };
                Doubt {
                    readings: self.names(&group.readings),
                    points: moves.iter().map(|moved| moved.point.clone()).collect(),
                    quantity: group
                        .readings
                        .first()
                        .map_or(begun.quantity, |&first| self.quantity(first).into()),
                    moves,
                    held_out: group.held_out,
                    ..begun
                }
            })
            .collect()
    }

    /// Readings that are worth a second look, the worst first.
    pub(super) fn look_again(&self) -> Vec<Doubt> {
        let mut readings: Vec<usize> = self.with_verdict(Verdict::LookAgain).collect();
        let off = |&reading: &usize| {
            self.answer.adjustment.readings[reading]
                .w
                .unwrap_or_default()
                .abs()
        };
        readings.sort_by(|a, b| off(b).total_cmp(&off(a)));
        readings
            .into_iter()
            .map(|reading| self.of_reading(DoubtKind::LookAgain, reading))
            .collect()
    }

    /// Readings in which nothing would show a slip, those that one line settles together; the largest slip first.
    pub(super) fn unchecked(&self) -> Vec<Doubt> {
        let hides = |reading: usize| {
            let slip = self.answer.adjustment.readings[reading].smallest_visible_slip;
            slip.map_or(f64::INFINITY, |slip| self.reach_mm(reading, slip))
        };
        let readings = 0..self.answer.survey.readings.len();
        let mut readings: Vec<usize> = readings
            .filter(|&reading| is_unchecked(self.answer, reading))
            .collect();
        readings.sort_by(|&a, &b| hides(b).total_cmp(&hides(a)));
        let mut doubts: Vec<Doubt> = Vec::new();
        for reading in readings {
            let settle = self.check(reading);
            let quantity = self.quantity(reading).into();
            let same = doubts
                .iter_mut()
                .find(|doubt| doubt.settle == settle && doubt.quantity == quantity);
            match same {
                Some(known) => known.readings.push(self.name(reading)),
                None => doubts.push(Doubt {
                    readings: vec![self.name(reading)],
                    quantity,
                    slip: self.answer.adjustment.readings[reading]
                        .smallest_visible_slip
                        .map(|slip| self.shown(reading, slip)),
                    ..bare(DoubtKind::Unchecked, settle)
                }),
            }
        }
        doubts
    }

    fn with_verdict(&self, verdict: Verdict) -> impl Iterator<Item = usize> {
        let readings = self.answer.adjustment.readings.iter().enumerate();
        readings
            .filter(move |(_, reading)| reading.verdict == verdict)
            .map(|(at, _)| at)
    }

    /// A doubt of one reading, held against what all others say of it.
    fn of_reading(&self, kind: DoubtKind, reading: usize) -> Doubt {
        let answer = self.answer;
        let (said, found) = (
            &answer.survey.readings[reading],
            &answer.adjustment.readings[reading],
        );
        let compared = answer.adjustment.just_logged(&answer.survey, said);
        let residual = compared.residual.or(found.residual);
        let shown = |value: f64| self.shown(reading, value);
        Doubt {
            readings: vec![self.name(reading)],
            quantity: self.quantity(reading).into(),
            amount: residual.map(|residual| shown(residual.abs())),
            way: residual.map(|residual| self.way(reading, -residual)),
            expected: residual.map(|residual| shown(found.observed + residual)),
            expected_sd: compared.expected.map(|expected| shown(expected.sd)),
            slips: found.slips.as_ref().map_or_else(Vec::new, |slips| {
                let slips = slips.slips.iter();
                slips
                    .map(|slip| LikelySlipWire::of(&answer.survey, self.quantity(reading), slip))
                    .collect()
            }),
            none_of_these: found.slips.as_ref().map(|slips| slips.none_of_these),
            held_out: found.verdict == Verdict::Suspect && answer.adjustment.summary.held_out > 0,
            ..bare(
                kind,
                Settle::ReadAgain {
                    readings: vec![self.name(reading)],
                },
            )
        }
    }
}
