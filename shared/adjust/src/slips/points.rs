//! Slips of the place: the tape went to the mirror partner of a point, or to another point altogether.

use super::{Subject, Way};
use crate::network::Observation;
use crate::result::Slip;
use crate::without::Others;
use survey::Quantity;

/// How far off, in standard deviations of the reading and beside what the other point may move, a reading can be
/// and still belong to another point.
const NEAR_SD: f64 = 8.0;
const MAY_MOVE_MM: f64 = 30.0;
const MAY_MOVE_RAD: f64 = 0.05;
/// At most so many other points are worth working out; in a big survey the nearest.
const MOST: usize = 40;

/// The points that this reading may belong to instead.
pub(super) fn ways(subject: &Subject<'_>) -> Vec<Way> {
    let points = &subject.reading.points;
    let partner = |slot: usize| {
        subject.survey.points[points[slot]]
            .mirror
            .filter(|other| !points.contains(other))
    };
    let mut mirrored = Vec::new();
    let mut other = Vec::new();
    for slot in 0..points.len() {
        let exchanged = |with: usize| {
            let mut exchanged = points.clone();
            exchanged[slot] = with;
            exchanged
        };
        mirrored.extend(partner(slot).map(exchanged));
        for with in 0..subject.survey.points.len() {
            if !points.contains(&with) && partner(slot) != Some(with) {
                other.push(exchanged(with));
            }
        }
    }
    let mut ways = of(subject, Slip::MirrorPoint, mirrored);
    ways.extend(of(subject, Slip::WrongPoint, other));
    ways
}

/// Each of these is as likely as the next; only those that the number comes near to are worked out.
fn of(subject: &Subject<'_>, slip: Slip, all: Vec<Vec<usize>>) -> Vec<Way> {
    let share = 1.0 / all.len().max(1) as f64;
    let observation = &subject.observation;
    let may_move = match observation.kind.quantity() {
        Quantity::Length => MAY_MOVE_MM,
        Quantity::Angle => MAY_MOVE_RAD,
    };
    let mut near: Vec<(f64, Vec<usize>, Observation)> = all
        .into_iter()
        .filter_map(|points| {
            let there = elsewhere(subject.others, observation, &points)?;
            let off = (subject.others.value(&there) - observation.value).abs();
            (off <= NEAR_SD * observation.sd + may_move).then_some((off, points, there))
        })
        .collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
    near.truncate(MOST);
    near.into_iter()
        .filter_map(|(_, points, there)| {
            let (value, variance) = subject.others.predict(&there)?;
            Some(Way::belongs_to(
                slip,
                points,
                value - observation.value,
                variance,
                share,
            ))
        })
        .collect()
}

/// The same observation between other points; `None` where one of them is not in the solution.
fn elsewhere(others: &Others<'_>, observation: &Observation, points: &[usize]) -> Option<Observation> {
    let mut there = observation.clone();
    for (slot, &point) in there.points.iter_mut().zip(points) {
        *slot = *others.network.canonical_point.get(point)?;
    }
    Some(there)
}
