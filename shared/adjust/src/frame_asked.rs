//! The frame that is asked for, and the one that is taken where none is: through which points its axes run.

use crate::ambiguity::second_places;
use crate::fit::Fit;
use crate::frames::Axes;
use crate::gauge::well_shaped;
use crate::network::Network;
use crate::observe::Vec3;
use crate::result::*;
use survey::{Frame, Label, Side, Survey};

/// The points that the settings name.
pub(crate) fn frame_labels(settings: &Settings) -> Vec<&Label> {
    let mut labels = match &settings.frame {
        Some(Frame::Three { origin, ahead, left } | Frame::Plumb { origin, ahead, left }) => {
            vec![origin, ahead, left]
        }
        Some(Frame::Centreline { origin, ahead, above }) => vec![origin, ahead, above],
        Some(Frame::Bench) | None => Vec::new(),
    };
    labels.extend(&settings.above);
    labels
}

/// The axes of a frame, through points of the network.
pub(crate) fn axes(survey: &Survey, network: &Network, frame: &Frame) -> Result<Axes, Unsolvable> {
    let find = |label: &Label| {
        let index = survey
            .point_index(label)
            .ok_or_else(|| Unsolvable::UnknownFramePoint(label.clone()))?;
        Ok(network.canonical_point[index])
    };
    Ok(match frame {
        Frame::Three { origin, ahead, left } => Axes::Three {
            origin: find(origin)?,
            ahead: find(ahead)?,
            left: find(left)?,
        },
        Frame::Plumb { origin, ahead, left } => {
            let stand = network.first_stand.ok_or_else(|| {
                Unsolvable::BadFrame(
                    "there is no slope or rise in use, so the plumb line is not known".into(),
                )
            })?;
            Axes::Plumb {
                origin: find(origin)?,
                ahead: find(ahead)?,
                left: find(left)?,
                stand,
            }
        }
        Frame::Centreline { origin, ahead, above } => Axes::Centreline {
            origin: find(origin)?,
            ahead: find(ahead)?,
            above: find(above)?,
        },
        Frame::Bench if network.has_bench() => Axes::Bench,
        Frame::Bench => {
            return Err(Unsolvable::BadFrame(
                "nothing is fixed and no x, y or z was read, so there is no bench frame".into(),
            ));
        }
    })
}

/// The bench frame where something is fixed there and the whole hangs on it, else three well-shaped points that are pinned down.
pub(crate) fn default_frame(survey: &Survey, network: &Network, fit: &Fit) -> Result<Frame, Unsolvable> {
    if network.has_bench() && fit.system.gauge.row_count() == 0 {
        return Ok(Frame::Bench);
    }
    let group = network
        .components(&fit.active)
        .into_iter()
        .next()
        .unwrap_or_default();
    let mut held: Vec<usize> = group
        .iter()
        .copied()
        .filter(|&p| fit.directions(network, p).is_empty())
        .collect();
    let doubtful: Vec<usize> = second_places(network, fit, &held)
        .into_iter()
        .flat_map(|other| other.moved)
        .collect();
    if held.len() - doubtful.len().min(held.len()) >= 3 {
        held.retain(|p| !doubtful.contains(p));
    }
    let chosen = well_shaped(&fit.at.positions, &held);
    let [mut origin, mut ahead, mut left] = chosen[..] else {
        if network.has_bench() {
            return Ok(Frame::Bench);
        }
        return Err(Unsolvable::BadFrame(format!(
            "only {} of the points are pinned down and not in line: a frame needs three",
            chosen.len()
        )));
    };
    if let Some(order) = upright_by_rough(network, [origin, ahead, left]) {
        [origin, ahead, left] = order;
    } else {
        // Where sides are told, +y must not point to the right.
        let side = |p: usize| survey.points[network.survey_point[p]].side;
        if side(left) == Some(Side::Right) && side(origin) == Some(Side::Left) {
            std::mem::swap(&mut origin, &mut left);
        }
    }
    let label = |p: usize| survey.points[network.survey_point[p]].label.clone();
    Ok(Frame::Three {
        origin: label(origin),
        ahead: label(ahead),
        left: label(left),
    })
}

/// The order of three points in which z points up and x ahead as far as the rough positions tell: a frame that nobody
/// asked for must not turn the plumb line against them. `None` where they are not known or stand upright.
fn upright_by_rough(network: &Network, points: [usize; 3]) -> Option<[usize; 3]> {
    let place = |p: usize| {
        let [x, y, z] = network.rough[p];
        Some(Vec3::new(x?, y?, z?))
    };
    let orders =
        [[0, 1, 2], [1, 2, 0], [2, 0, 1], [0, 2, 1], [2, 1, 0], [1, 0, 2]].map(|o| o.map(|n| points[n]));
    let mut best: Option<([usize; 3], f64)> = None;
    for order in orders {
        let [origin, ahead, left] = [place(order[0])?, place(order[1])?, place(order[2])?];
        let x = ahead - origin;
        let normal = x.cross(&(left - origin));
        let along = x.x / x.norm().max(1e-6);
        if normal.z > 0.1 * normal.norm() && best.is_none_or(|(_, most)| along > most + 1e-9) {
            best = Some((order, along));
        }
    }
    best.map(|(order, _)| order)
}

/// The points of a frame must themselves be pinned down.
pub(crate) fn frame_is_held(
    survey: &Survey,
    network: &Network,
    fit: &Fit,
    axes: Axes,
) -> Result<(), Unsolvable> {
    let points = match axes {
        Axes::Three { origin, ahead, left }
        | Axes::Plumb {
            origin, ahead, left, ..
        } => {
            vec![origin, ahead, left]
        }
        Axes::Centreline { origin, ahead, above } => vec![origin, ahead, above],
        Axes::Bench => Vec::new(),
    };
    match points
        .into_iter()
        .find(|&p| !fit.directions(network, p).is_empty())
    {
        Some(p) => Err(Unsolvable::BadFrame(format!(
            "`{}` is not pinned down by the readings: tape it from more points, or choose another",
            survey.points[network.survey_point[p]].label
        ))),
        None => Ok(()),
    }
}

/// Mirror pairs by canonical index, the left point first where sides are told.
pub(crate) fn mirror_pairs(survey: &Survey, network: &Network) -> Vec<[usize; 2]> {
    let mut pairs = Vec::new();
    for (p, &original) in network.survey_point.iter().enumerate() {
        let Some(partner) = survey.points[original].mirror else {
            continue;
        };
        let q = network.canonical_point[partner];
        let pair = if survey.points[original].side == Some(Side::Right) {
            [q, p]
        } else {
            [p, q]
        };
        if p != q && !pairs.contains(&pair) && !pairs.contains(&[pair[1], pair[0]]) {
            pairs.push(pair);
        }
    }
    pairs
}
