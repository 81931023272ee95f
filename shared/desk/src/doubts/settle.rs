//! Which line to read to settle a doubt: one of those that are worth reading next, where one serves it.

use adjust::{NextReading, PointStatus, Purpose};
use survey::Kind;

use super::Found;
use crate::wire::Settle;

impl Found<'_> {
    /// What checks a reading: a line that does, else the reading itself once more.
    pub(super) fn check(&self, reading: usize) -> Settle {
        let checks =
            |next: &&NextReading| next.purpose != Purpose::ReadAgain && next.readings.contains(&reading);
        match self.answer.adjustment.next.iter().find(checks) {
            Some(next) => self.read(next),
            None => Settle::ReadAgain {
                readings: vec![self.name(reading)],
            },
        }
    }

    /// What holds a point, or tells its two places apart.
    pub(super) fn hold(&self, point: usize) -> Settle {
        self.join(&[point], &self.pinned_down())
    }

    /// What ties some points to others: a line that is worth reading next, else the first that can be taped and was not.
    pub(super) fn join(&self, points: &[usize], others: &[usize]) -> Settle {
        let ties = |next: &&NextReading| {
            matches!(next.purpose, Purpose::Pins | Purpose::Settles)
                && next.points.iter().any(|point| points.contains(point))
                && points.iter().any(|point| [next.a, next.b].contains(point))
        };
        if let Some(next) = self.answer.adjustment.next.iter().find(ties) {
            return self.read(next);
        }
        let lines = || points.iter().flat_map(|&a| others.iter().map(move |&b| (a, b)));
        let free = |kind: Kind| lines().find(|&(a, b)| a != b && self.is_free(kind, a, b));
        // A tape first; where every line is taped, what is left is up or down.
        match [Kind::Tape, Kind::Rise]
            .into_iter()
            .find_map(|kind| Some((kind, free(kind)?)))
        {
            Some((kind, (a, b))) => Settle::ReadNext {
                kind: kind.word(),
                a: self.label(a),
                b: self.label(b),
            },
            None => Settle::Look,
        }
    }

    fn read(&self, next: &NextReading) -> Settle {
        Settle::ReadNext {
            kind: next.kind.word(),
            a: self.label(next.a),
            b: self.label(next.b),
        }
    }

    /// The points that have a place.
    pub(super) fn pinned_down(&self) -> Vec<usize> {
        let points = self.answer.adjustment.points.iter().enumerate();
        points
            .filter(|(_, point)| point.status == PointStatus::Fixed)
            .map(|(at, _)| at)
            .collect()
    }

    /// Whether a line was not read so yet, and is not blocked where it is to be taped.
    fn is_free(&self, kind: Kind, a: usize, b: usize) -> bool {
        let survey = &self.answer.survey;
        let line = |points: &[usize]| points == [a, b] || points == [b, a];
        let read = |reading: &survey::Reading| reading.kind == kind && line(&reading.points);
        let blocked = kind == Kind::Tape && survey.blocked.iter().any(|ends| line(ends));
        !blocked && !survey.readings.iter().any(read)
    }
}
