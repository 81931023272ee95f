//! The readings of a drawing.

use adjust::Verdict;
use survey::{Kind, Reading, State};

use super::Drawn;
use crate::told::{is_unchecked, is_used};
use crate::wire::{LineState, ShapeLine, ShapePoint, shown};

type Place = [f64; 3];

impl Drawn<'_> {
    /// The readings in their order.
    pub(super) fn lines(&self, points: &[ShapePoint]) -> Vec<ShapeLine> {
        let off = match self.answer {
            Some(answer) => answer.adjustment.off(self.survey),
            None => vec![None; self.survey.readings.len()],
        };
        let line = |(at, said): (usize, &Reading)| {
            let places: Option<Vec<Place>> = said.points.iter().map(|&point| points[point].place).collect();
            let quantity = said.kind.quantity();
            ShapeLine {
                reading: said.id.clone(),
                kind: said.kind.word(),
                points: said
                    .points
                    .iter()
                    .map(|&point| points[point].label.clone())
                    .collect(),
                by: said.by.clone(),
                stand: said.stand.clone(),
                instrument: said
                    .instrument
                    .map(|instrument| self.survey.instruments[instrument].name.clone())
                    .unwrap_or_default(),
                epoch: said.epoch.clone(),
                state: self.state(at, said),
                group: self
                    .answer
                    .and_then(|answer| answer.adjustment.readings[at].group),
                held_out: self.is_held_out(at),
                off: off[at].map(|off| shown(quantity, off)),
                quantity: quantity.into(),
                path: places.map_or_else(Vec::new, |places| path(said.kind, &places)),
            }
        };
        self.survey.readings.iter().enumerate().map(line).collect()
    }

    fn state(&self, at: usize, said: &Reading) -> LineState {
        if said.state == State::SetAside {
            return LineState::SetAside;
        }
        let Some(answer) = self.answer else {
            return LineState::Unused;
        };
        match answer.adjustment.readings[at].verdict {
            Verdict::SetAside => LineState::SetAside,
            Verdict::Suspect => LineState::Suspect,
            Verdict::Unclear => LineState::Unclear,
            Verdict::LookAgain => LineState::LookAgain,
            Verdict::Fits if is_unchecked(answer, at) => LineState::Unchecked,
            Verdict::Fits => LineState::Fits,
        }
    }

    fn is_held_out(&self, at: usize) -> bool {
        let Some(answer) = self.answer else { return false };
        let found = &answer.adjustment.readings[at];
        match found.verdict {
            Verdict::Suspect => !is_used(answer, at),
            Verdict::Unclear => found
                .group
                .and_then(|group| answer.adjustment.unclear.get(group - 1))
                .is_some_and(|group| group.held_out),
            Verdict::Fits | Verdict::LookAgain | Verdict::SetAside => false,
        }
    }
}

/// The way of a reading between the places of its points.
fn path(kind: Kind, places: &[Place]) -> Vec<Place> {
    match (kind, places) {
        (Kind::Tape | Kind::Slope | Kind::Rise, &[a, b]) => vec![a, b],
        (Kind::Corner, &[a, b, c]) => vec![a, b, c],
        (Kind::String, &[a, b, c]) => foot_on_line(a, b, c).map_or_else(Vec::new, |foot| vec![a, foot]),
        (Kind::Face, &[a, b, c, d]) => {
            foot_on_plane(a, [b, c, d]).map_or_else(Vec::new, |foot| vec![a, foot])
        }
        _ => Vec::new(),
    }
}

/// The point of the line through b and c that is nearest to a; nothing where b and c are one.
fn foot_on_line(a: Place, b: Place, c: Place) -> Option<Place> {
    let along = less(c, b);
    let share = dot(less(a, b), along) / dot(along, along);
    let foot = [0, 1, 2].map(|k| b[k] + share * along[k]);
    foot.iter().all(|x| x.is_finite()).then_some(foot)
}

/// The point of the plane through three that is nearest to a; nothing where they are in line.
fn foot_on_plane(a: Place, [b, c, d]: [Place; 3]) -> Option<Place> {
    let (u, v) = (less(c, b), less(d, b));
    let across = [
        u[1] * v[2] - u[2] * v[1],
        u[2] * v[0] - u[0] * v[2],
        u[0] * v[1] - u[1] * v[0],
    ];
    let share = dot(less(a, b), across) / dot(across, across);
    let foot = [0, 1, 2].map(|k| a[k] - share * across[k]);
    foot.iter().all(|x| x.is_finite()).then_some(foot)
}

fn less(a: Place, b: Place) -> Place {
    [0, 1, 2].map(|k| a[k] - b[k])
}

fn dot(a: Place, b: Place) -> f64 {
    (0..3).map(|k| a[k] * b[k]).sum()
}

#[cfg(test)]
mod tests;
