//! What a drawing of the shell needs, out of an answer: places with how sure they are, readings as lines, and which
//! points hang together. It draws nothing and rounds nothing; screens and papers put it on their plane.

mod lines;
mod outline;
mod points;
mod rough;

use std::collections::BTreeMap;

use adjust::{Handedness, PointStatus};
use survey::Survey;

use crate::AdjustAnswer;
use crate::wire::{
    Doubt, DoubtKind, Extent, FrameWire, PlaneWire, ShapeLine, ShapePoint, ShapeShown, ShapeStatus,
};

/// A survey to be drawn.
pub(crate) struct Drawn<'a> {
    /// The points and the readings.
    pub(crate) survey: &'a Survey,
    /// What the readings say; nothing where they determine nothing.
    pub(crate) answer: Option<&'a AdjustAnswer>,
    /// What is in doubt, the gravest first.
    pub(crate) doubts: &'a [Doubt],
    /// How many photos show a point, by its label.
    pub(crate) photos: &'a BTreeMap<String, usize>,
}

impl Drawn<'_> {
    /// Everything but the epochs, and why nothing is solved.
    pub(crate) fn shown(&self) -> ShapeShown {
        let mut points = self.points();
        let lines = self.lines(&points);
        let places: BTreeMap<String, usize> = (points.iter().map(|point| point.label.clone()))
            .zip(0..)
            .collect();
        for line in &lines {
            for at in line.points.iter().filter_map(|label| places.get(label)) {
                let point = &mut points[*at];
                // One that names a point twice cannot be used, and is one reading all the same.
                if point.readings.last() != Some(&line.reading) {
                    point.readings.push(line.reading.clone());
                    point.held_out += usize::from(line.held_out);
                }
            }
        }
        let adjustment = self.answer.map(|answer| &answer.adjustment);
        let symmetry = adjustment.and_then(|adjustment| adjustment.symmetry.as_ref());
        ShapeShown {
            outline: self.outline(&points),
            plane: symmetry.map(|symmetry| PlaneWire {
                point: symmetry.plane.point_mm,
                normal: symmetry.plane.normal,
            }),
            worst: self
                .answer
                .and_then(crate::doubts::worst)
                .map(|worst| worst.point),
            frame: adjustment.map(|adjustment| FrameWire::of(&adjustment.frame)),
            extent: extent(&points),
            epochs: Vec::new(),
            epoch: String::new(),
            people: in_order(&lines, |line| &line.by),
            stands: in_order(&lines, |line| &line.stand),
            instruments: in_order(&lines, |line| &line.instrument),
            unsolved: None,
            points,
            lines,
        }
    }

    /// The edges between points that have one place, by their labels. Where nothing tells the shell from its mirror
    /// image, its shape is known all the same.
    fn outline(&self, points: &[ShapePoint]) -> Vec<[String; 2]> {
        let either_hand = self
            .answer
            .is_some_and(|answer| answer.adjustment.handedness == Handedness::Unresolved);
        let held = |point: &ShapePoint| match point.status {
            ShapeStatus::Fixed => true,
            ShapeStatus::TwoValued => either_hand,
            ShapeStatus::Loose | ShapeStatus::Unsolved => false,
        };
        let places: Vec<Option<[f64; 3]>> = points
            .iter()
            .map(|point| point.place.filter(|_| held(point)))
            .collect();
        let images: Vec<Option<usize>> = self
            .survey
            .points
            .iter()
            .enumerate()
            .map(|(at, point)| match point.side {
                Some(survey::Side::Centre) => Some(at),
                _ => point.mirror,
            })
            .collect();
        outline::edges(&places, &images)
            .into_iter()
            .map(|edge| edge.map(|point| points[point].label.clone()))
            .collect()
    }

    /// The gravest doubt that names a point.
    fn doubt(&self, label: &str) -> Option<DoubtKind> {
        let names = |doubt: &&Doubt| doubt.points.iter().any(|point| point == label);
        self.doubts.iter().find(names).map(|doubt| doubt.kind)
    }

    fn status(&self, point: usize, ended_at: Option<[f64; 3]>) -> ShapeStatus {
        let found = self.answer.map(|answer| answer.adjustment.points[point].status);
        match found {
            Some(PointStatus::Fixed) => ShapeStatus::Fixed,
            Some(PointStatus::TwoValued) => ShapeStatus::TwoValued,
            Some(PointStatus::Loose) if ended_at.is_some() => ShapeStatus::Loose,
            Some(PointStatus::Loose) | None => ShapeStatus::Unsolved,
        }
    }
}

/// What occurs in the lines, each once, in the order in which it comes first.
fn in_order(lines: &[ShapeLine], field: fn(&ShapeLine) -> &String) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for said in lines.iter().map(field).filter(|said| !said.is_empty()) {
        if !found.contains(said) {
            found.push(said.clone());
        }
    }
    found
}

fn extent(points: &[ShapePoint]) -> Option<Extent> {
    let both = |point: &ShapePoint| {
        point
            .places
            .into_iter()
            .flatten()
            .chain(point.place)
            .collect::<Vec<_>>()
    };
    let places: Vec<[f64; 3]> = points.iter().flat_map(both).collect();
    let along = |k: usize, start: f64, pick: fn(f64, f64) -> f64| {
        places.iter().map(|place| place[k]).fold(start, pick)
    };
    (!places.is_empty()).then(|| Extent {
        low: [0, 1, 2].map(|k| along(k, f64::INFINITY, f64::min)),
        high: [0, 1, 2].map(|k| along(k, f64::NEG_INFINITY, f64::max)),
    })
}
