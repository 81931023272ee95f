//! What stands between the crew and an order for tube, as figures: each doubt with the one action that settles it.
//! [`told`](crate::told) is the same in words.

mod causes;
mod checked;
mod readings;
mod settle;
mod shape;

use adjust::NextReading;
use survey::{Kind, Quantity};

use crate::AdjustAnswer;
use crate::wire::{Doubt, DoubtKind, Next, QuantityWord, Settle, Way, shown};

pub(crate) use checked::{blind, checked, worst};
pub(crate) use shape::Crooked;

/// What spoils every number of the result.
pub(crate) fn of_the_whole(answer: &AdjustAnswer) -> Vec<Doubt> {
    let found = Found { answer };
    found.mirror_image().into_iter().chain(found.islands()).collect()
}

/// What is off or open, by how much it matters to an order for tube.
pub(crate) fn off_or_open(answer: &AdjustAnswer) -> Vec<Doubt> {
    let found = Found { answer };
    let mut off: Vec<(f64, Doubt)> = found.causes().into_iter().chain(found.suspects()).collect();
    off.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    off.into_iter()
        .map(|(_, doubt)| doubt)
        .chain(found.unclear())
        .chain(found.loose())
        .chain(found.two_places())
        .chain(found.not_read())
        .collect()
}

/// What is only worth a look. What is crooked and taken as it is, is none.
pub(crate) fn to_look_at(answer: &AdjustAnswer, taken: &Crooked) -> Vec<Doubt> {
    let found = Found { answer };
    let look_again = found.look_again().into_iter();
    look_again
        .chain(found.unchecked())
        .chain(found.not_straight(taken))
        .collect()
}

/// What to read next.
pub(crate) fn next(answer: &AdjustAnswer) -> Vec<Next> {
    let found = Found { answer };
    let next = |it: &NextReading| {
        let ends = [it.a, it.b];
        let own = ends
            .iter()
            .find(|end| it.points.contains(end))
            .or(it.points.first());
        Next {
            kind: it.kind.word(),
            a: found.label(it.a),
            b: found.label(it.b),
            worst_sd_before_mm: it.worst_sd_before_mm,
            worst_sd_after_mm: it.worst_sd_after_mm,
            why: it.purpose.into(),
            point: own.map(|&point| found.label(point)),
            reading: it.readings.first().map(|&reading| found.name(reading)),
        }
    };
    answer.adjustment.next.iter().map(next).collect()
}

/// A doubt of which nothing is said but its kind and its action.
pub(crate) fn bare(kind: DoubtKind, settle: Settle) -> Doubt {
    Doubt {
        kind,
        readings: Vec::new(),
        points: Vec::new(),
        quantity: QuantityWord::Length,
        amount: None,
        way: None,
        expected: None,
        expected_sd: None,
        slips: Vec::new(),
        none_of_these: None,
        directions: Vec::new(),
        places: None,
        moves: Vec::new(),
        held_out: false,
        cause: None,
        register: None,
        values: Vec::new(),
        tapes: 0,
        others: 0,
        slip: None,
        pair: None,
        pairs: Vec::new(),
        racked: None,
        twisted: None,
        said: None,
        settle,
    }
}

/// An answer that is asked for its doubts.
struct Found<'a> {
    answer: &'a AdjustAnswer,
}

impl Found<'_> {
    fn label(&self, point: usize) -> String {
        self.answer.survey.points[point].label.to_string()
    }

    fn name(&self, reading: usize) -> String {
        self.answer.survey.readings[reading].id.clone()
    }

    fn names(&self, readings: &[usize]) -> Vec<String> {
        readings.iter().map(|&reading| self.name(reading)).collect()
    }

    fn quantity(&self, reading: usize) -> Quantity {
        self.answer.survey.readings[reading].kind.quantity()
    }

    /// A number of a reading as it goes out.
    fn shown(&self, reading: usize, value: f64) -> f64 {
        shown(self.quantity(reading), value)
    }

    /// How far an amount in a reading shifts something, in mm: an angle by the length of its line.
    fn reach_mm(&self, reading: usize, amount: f64) -> f64 {
        /// Where a point has no place.
        const UNKNOWN_MM: f64 = 1000.0;
        let said = &self.answer.survey.readings[reading];
        match (said.kind.quantity(), said.points.as_slice()) {
            (Quantity::Angle, &[a, b, ..]) => {
                let line = self.answer.adjustment.distance(a, b);
                amount.abs() * line.map_or(UNKNOWN_MM, |line| line.value)
            }
            _ => amount.abs(),
        }
    }

    /// Which way a reading is off that is too much by this.
    fn way(&self, reading: usize, too_much: f64) -> Way {
        let (over, under) = match self.answer.survey.readings[reading].kind {
            Kind::Tape | Kind::String | Kind::Face => (Way::Long, Way::Short),
            Kind::Corner => (Way::Wide, Way::Narrow),
            Kind::Slope | Kind::Rise | Kind::X | Kind::Y | Kind::Z => (Way::More, Way::Less),
        };
        if too_much > 0.0 { over } else { under }
    }
}

#[cfg(test)]
mod tests;
