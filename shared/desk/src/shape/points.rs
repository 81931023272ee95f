//! The points of a drawing.

use std::collections::BTreeMap;

use adjust::{AdjustedPoint, PairOff};
use survey::Side;

use super::Drawn;
use super::rough::Rough;
use crate::AdjustAnswer;
use crate::told::HALF_WIDTH_95;
use crate::wire::{FrameWay, OffMirror, ShapePoint, ShapeStatus, SideWord, Weakest};

/// Shorter than this an axis is rounding, mm.
const NOTHING_MM: f64 = 1e-6;

impl Drawn<'_> {
    /// The points in the order of the job, without the readings that name them.
    pub(super) fn points(&self) -> Vec<ShapePoint> {
        let ended_at = match self.answer {
            Some(answer) => answer.adjustment.ended_at(),
            None => vec![None; self.survey.points.len()],
        };
        let rough = Rough::of(self.survey, self.answer);
        let off_mirror = self.off_mirror();
        let two_places: BTreeMap<usize, [[f64; 3]; 2]> = self
            .answer
            .iter()
            .flat_map(|answer| &answer.adjustment.two_valued)
            .map(|two| (two.point, two.candidates))
            .collect();
        let directions: BTreeMap<usize, &Vec<[f64; 3]>> = self
            .answer
            .iter()
            .flat_map(|answer| &answer.adjustment.loose)
            .map(|loose| (loose.point, &loose.directions))
            .collect();
        let point = |(at, said): (usize, &survey::Point)| {
            let label = said.label.to_string();
            let status = self.status(at, ended_at[at]);
            let found = self.answer.map(|answer| &answer.adjustment.points[at]);
            let places = two_places.get(&at).copied();
            let solved = match status {
                ShapeStatus::Fixed => found.and_then(whole),
                ShapeStatus::TwoValued => places.map(|[first, _]| first),
                ShapeStatus::Loose => ended_at[at],
                ShapeStatus::Unsolved => None,
            };
            let place = solved.or_else(|| rough.place(said));
            ShapePoint {
                side: said.side.map(|side| match side {
                    Side::Left => SideWord::Left,
                    Side::Right => SideWord::Right,
                    Side::Centre => SideWord::Centre,
                }),
                mirror: said
                    .mirror
                    .map(|partner| self.survey.points[partner].label.to_string()),
                status,
                place,
                is_rough: solved.is_none() && place.is_some(),
                places,
                sd_mm: found.and_then(sd_mm),
                axes_95_mm: found.and_then(|found| found.axes_95_mm),
                directions: directions
                    .get(&at)
                    .filter(|_| status == ShapeStatus::Loose)
                    .map_or_else(Vec::new, |directions| directions.to_vec()),
                weakest: found.and_then(weakest),
                off_mirror: off_mirror.get(&at).cloned(),
                doubt: self.doubt(&label),
                readings: Vec::new(),
                held_out: 0,
                photos: self.photos.get(&label).copied().unwrap_or_default(),
                label,
            }
        };
        self.survey.points.iter().enumerate().map(point).collect()
    }

    /// How the points of mirror pairs lie to their partners.
    fn off_mirror(&self) -> BTreeMap<usize, OffMirror> {
        let mut found = BTreeMap::new();
        let symmetry = self.answer.and_then(|answer| {
            let symmetry = answer.adjustment.symmetry.as_ref()?;
            Some((answer, symmetry))
        });
        for (answer, pair) in symmetry
            .into_iter()
            .flat_map(|(answer, symmetry)| symmetry.pairs.iter().map(move |pair| (answer, pair)))
        {
            if let Some(off) = off(answer, pair) {
                found.insert(pair.left, off.clone());
                found.insert(pair.right, off);
            }
        }
        found
    }
}

fn whole(found: &AdjustedPoint) -> Option<[f64; 3]> {
    let [x, y, z] = found.coordinates_mm;
    Some([x?, y?, z?])
}

fn sd_mm(found: &AdjustedPoint) -> Option<[f64; 3]> {
    let covariance = found.covariance_mm2?;
    Some([0, 1, 2].map(|k| covariance[k][k].max(0.0).sqrt()))
}

fn weakest(found: &AdjustedPoint) -> Option<Weakest> {
    let [longest, ..] = found.axes_95_mm?;
    let sd_mm = sd_mm(found)?;
    // Of two axes that are as near, the first.
    let nearest = (1..3).fold(0, |best, k| match longest[k].abs() > longest[best].abs() {
        true => k,
        false => best,
    });
    (longest[nearest].abs() > NOTHING_MM).then(|| Weakest {
        way: [FrameWay::Along, FrameWay::Across, FrameWay::Up][nearest],
        half_width_95_mm: HALF_WIDTH_95 * sd_mm[nearest],
    })
}

fn off(answer: &AdjustAnswer, pair: &PairOff) -> Option<OffMirror> {
    let apart = answer.adjustment.distance(pair.left, pair.right)?;
    let [x, y, z] = pair.off_mm;
    let distance = x.hypot(y).hypot(z);
    let way = match distance > 0.0 {
        true => pair.off_mm.map(|off| off / distance),
        false => [1.0, 0.0, 0.0],
    };
    let covariance = pair.covariance_mm2;
    let variance: f64 = (0..3)
        .flat_map(|i| (0..3).map(move |j| (i, j)))
        .map(|(i, j)| way[i] * covariance[i][j] * way[j])
        .sum();
    Some(OffMirror {
        off_mm: pair.off_mm,
        sd_mm: [0, 1, 2].map(|k| covariance[k][k].max(0.0).sqrt()),
        distance_mm: distance,
        distance_sd_mm: variance.max(0.0).sqrt(),
        apart_mm: apart.value,
        apart_sd_mm: apart.sd,
        significant: pair.significant,
        stands_out: pair.stands_out,
    })
}
