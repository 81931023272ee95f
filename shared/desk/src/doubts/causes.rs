//! One cause that several readings share: one doubt, with one action.

use adjust::{SharedCause, Slip};
use survey::{INCH_MM, ReadFrom};

use super::{Found, bare};
use crate::wire::{Doubt, DoubtKind, Settle};

/// A mark explains an amount that is no further from it.
const NEAR_MM: f64 = 1.0;

impl Found<'_> {
    /// What several readings have in common that are off, each with how far that reaches in mm.
    pub(super) fn causes(&self) -> Vec<(f64, Doubt)> {
        let causes = self.answer.adjustment.causes.iter();
        causes
            .filter_map(|cause| Some(self.cause(cause, *cause.readings.first()?)))
            .collect()
    }

    fn cause(&self, cause: &SharedCause, first: usize) -> (f64, Doubt) {
        let off = |reading: usize| {
            self.answer.adjustment.readings[reading]
                .residual
                .unwrap_or_default()
        };
        let reach = match cause.amount {
            Some(amount) => self.reach_mm(first, amount.value),
            None => cause
                .readings
                .iter()
                .map(|&reading| self.reach_mm(reading, off(reading)))
                .fold(0.0, f64::max),
        };
        let doubt = Doubt {
            readings: self.names(&cause.readings),
            points: cause.points.iter().map(|&point| self.label(point)).collect(),
            quantity: self.quantity(first).into(),
            amount: cause.amount.map(|amount| self.shown(first, amount.value.abs())),
            way: cause.amount.map(|amount| self.way(first, amount.value)),
            held_out: cause.held_out && self.answer.adjustment.summary.held_out > 0,
            cause: Some(cause.slip.word()),
            ..bare(DoubtKind::SharedCause, self.undo(cause))
        };
        (reach, doubt)
    }

    fn undo(&self, cause: &SharedCause) -> Settle {
        let readings = self.names(&cause.readings);
        match (cause.slip, cause.points.as_slice()) {
            (Slip::LabelsExchanged | Slip::MirrorPoint | Slip::WrongPoint, &[a, b, ..]) => Settle::UndoSwap {
                a: self.label(a),
                b: self.label(b),
                readings,
            },
            (Slip::MovedMark | Slip::LabelsExchanged | Slip::MirrorPoint | Slip::WrongPoint, _) => {
                Settle::ReadAgain { readings }
            }
            _ => Settle::SayFrom {
                from: self.really_from(cause),
                readings,
            },
        }
    }

    /// The mark from which all of them were really read, where one explains the amount.
    fn really_from(&self, cause: &SharedCause) -> Option<&'static str> {
        let survey = &self.answer.survey;
        let first = &survey.readings[*cause.readings.first()?];
        if !cause
            .readings
            .iter()
            .all(|&reading| survey.readings[reading].from == first.from)
        {
            return None;
        }
        let case = survey
            .instrument_of(first)
            .and_then(|instrument| instrument.case_length_mm);
        let added = |from: ReadFrom| match from {
            ReadFrom::Hook => Some(0.0),
            ReadFrom::BurnInch => Some(-INCH_MM),
            ReadFrom::Burn100mm => Some(-100.0),
            ReadFrom::Case => case,
        };
        let really = added(first.from)? - cause.amount?.value;
        let marks = [
            (ReadFrom::Hook, "hook"),
            (ReadFrom::BurnInch, "burn-1in"),
            (ReadFrom::Burn100mm, "burn-100mm"),
            (ReadFrom::Case, "case"),
        ];
        let others = marks.into_iter().filter(|(from, _)| *from != first.from);
        let near = |from: ReadFrom| added(from).is_some_and(|added| (added - really).abs() < NEAR_MM);
        others
            .into_iter()
            .find(|(from, _)| near(*from))
            .map(|(_, word)| word)
    }
}
