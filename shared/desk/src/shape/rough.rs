//! Rough places for points that the readings do not place.
//!
//! A crew types rough places in whatever axes come to hand, and the answer may stand in others. The points that have
//! both a rough place and one from the readings tell how the two lie to each other.

use adjust::PointStatus;
use adjust::rigid::{Rigid, fit_rigid};
use survey::{Frame, Point, Survey};

use crate::AdjustAnswer;

/// How rough places lie in the frame of the answer.
pub(super) struct Rough(Option<Rigid>);

impl Rough {
    pub(super) fn of(survey: &Survey, answer: Option<&AdjustAnswer>) -> Rough {
        // On a bench, rough places are in its frame, and where nothing is solved there is no other.
        let Some(answer) = answer.filter(|answer| answer.adjustment.frame != Frame::Bench) else {
            return Rough(None);
        };
        let known = survey.points.iter().zip(&answer.adjustment.points);
        let (from, to): (Vec<[f64; 3]>, Vec<[f64; 3]>) = known
            .filter(|(_, found)| found.status == PointStatus::Fixed)
            .filter_map(|(said, found)| Some((whole(said.rough_mm)?, whole(found.coordinates_mm)?)))
            .unzip();
        Rough(fit_rigid(&from, &to))
    }

    /// The rough place of a point, where all of it was typed.
    pub(super) fn place(&self, said: &Point) -> Option<[f64; 3]> {
        let typed = whole(said.rough_mm)?;
        Some(match &self.0 {
            None => typed,
            Some(Rigid {
                rotation,
                translation,
                ..
            }) => [0, 1, 2].map(|i| {
                let turned: f64 = (0..3).map(|k| rotation[i][k] * typed[k]).sum();
                turned + translation[i]
            }),
        })
    }
}

fn whole([x, y, z]: [Option<f64>; 3]) -> Option<[f64; 3]> {
    Some([x?, y?, z?])
}
