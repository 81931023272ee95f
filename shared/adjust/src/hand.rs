//! Which of two mirror images: distances never tell.

use crate::ambiguity::Alternative;
use crate::frames::{Axes, Placed};
use crate::network::{Configuration, Network};
use crate::result::{Handedness, Settings};
use crate::rigid::fit_rigid;
use survey::{Side, Survey};

/// The hand chosen, and what is to be told about it.
pub(crate) struct Chosen {
    pub(crate) by: Handedness,
    /// Whether the other image is the right one.
    pub(crate) other: bool,
    pub(crate) problems: Vec<String>,
}

/// Decides between a configuration and its mirror image by, in this order: fixed or bench coordinates, the point
/// said to be above, the plumb line, sides, rough positions. Two that disagree are told.
pub(crate) fn choose(
    network: &Network,
    survey: &Survey,
    settings: &Settings,
    axes: Axes,
    pairs: &[[usize; 2]],
    at: &Configuration,
    other: Option<&Alternative>,
) -> Chosen {
    let Some(other) = other else {
        return Chosen {
            by: Handedness::Fixed,
            other: false,
            problems: Vec::new(),
        };
    };
    let hands: Vec<(&Configuration, Option<Placed>)> = [at, &other.at]
        .into_iter()
        .map(|hand| (hand, Placed::new(network, survey, hand, axes, pairs).ok()))
        .collect();
    let votes = [
        (
            Handedness::Above,
            "the point said to be above",
            above(network, survey, settings, &hands),
        ),
        (Handedness::Plumb, "the plumb line", plumb(network, axes, &hands)),
        (
            Handedness::Sides,
            "the sides of the points",
            sides(network, survey, &hands),
        ),
        (
            Handedness::RoughPositions,
            "the rough positions",
            rough(network, &hands),
        ),
    ];
    let cast: Vec<_> = votes
        .iter()
        .filter_map(|(by, name, vote)| vote.map(|v| (*by, *name, v)))
        .collect();
    let Some(&(by, name, first)) = cast.first() else {
        return Chosen {
            by: Handedness::Unresolved,
            other: false,
            problems: Vec::new(),
        };
    };
    let problems = cast
        .iter()
        .filter(|(_, _, vote)| *vote != first)
        .map(|(_, against, _)| {
            format!(
                "{name} and {against} disagree on which mirror image of the shell is the right one; {name} was \
                 followed: check the order of the frame's points, the sides and the rough positions"
            )
        })
        .collect();
    Chosen {
        by,
        other: first,
        problems,
    }
}

type Hands<'a> = [(&'a Configuration, Option<Placed>)];

/// Compares a score that is good when positive; decides only where the two hands differ in sign.
fn by_sign(scores: [Option<f64>; 2]) -> Option<bool> {
    match scores {
        [Some(a), Some(b)] if a > 0.0 && b < 0.0 => Some(false),
        [Some(a), Some(b)] if a < 0.0 && b > 0.0 => Some(true),
        _ => None,
    }
}

fn above(network: &Network, survey: &Survey, settings: &Settings, hands: &Hands<'_>) -> Option<bool> {
    let label = settings.above.as_ref()?;
    let p = network.canonical_point[survey.point_index(label)?];
    let height = |(at, placed): &(&Configuration, Option<Placed>)| {
        placed
            .as_ref()
            .map(|placed| placed.coordinates(&at.positions[p]).z)
    };
    by_sign([height(&hands[0]), height(&hands[1])])
}

/// Within 60° of +z; in a plumb frame, whose z is the plumb line itself, LEFT must come to lie at y > 0.
fn plumb(network: &Network, axes: Axes, hands: &Hands<'_>) -> Option<bool> {
    let stand = network.first_stand?;
    let score = |(at, placed): &(&Configuration, Option<Placed>)| {
        let placed = placed.as_ref()?;
        match axes {
            Axes::Plumb { left, .. } => Some(placed.coordinates(&at.positions[left]).y),
            _ => {
                let upright = placed.direction(&at.ups[stand]).z;
                (upright.abs() > 0.5).then_some(upright)
            }
        }
    };
    by_sign([score(&hands[0]), score(&hands[1])])
}

fn sides(network: &Network, survey: &Survey, hands: &Hands<'_>) -> Option<bool> {
    let score = |(at, placed): &(&Configuration, Option<Placed>)| {
        let placed = placed.as_ref()?;
        let mut mean = [(0.0, 0.0); 2];
        for (p, place) in at.positions.iter().enumerate() {
            let slot = match survey.points[network.survey_point[p]].side {
                Some(Side::Left) => 0,
                Some(Side::Right) => 1,
                _ => continue,
            };
            mean[slot].0 += placed.coordinates(place).y;
            mean[slot].1 += 1.0;
        }
        (mean[0].1 > 0.0 && mean[1].1 > 0.0).then(|| mean[0].0 / mean[0].1 - mean[1].0 / mean[1].1)
    };
    by_sign([score(&hands[0]), score(&hands[1])])
}

/// The hand whose shape lies nearer to the rough positions after the best rigid motion; a difference of less than
/// a tenth does not decide.
fn rough(network: &Network, hands: &Hands<'_>) -> Option<bool> {
    let known: Vec<(usize, [f64; 3])> = network
        .rough
        .iter()
        .enumerate()
        .filter_map(|(p, r)| Some((p, [r[0]?, r[1]?, r[2]?])))
        .collect();
    let to: Vec<[f64; 3]> = known.iter().map(|(_, place)| *place).collect();
    let error = |at: &Configuration| {
        let from: Vec<[f64; 3]> = known.iter().map(|(p, _)| at.positions[*p].into()).collect();
        fit_rigid(&from, &to).map(|fit| fit.mean_square_error)
    };
    let (a, b) = (error(hands[0].0)?, error(hands[1].0)?);
    let floor = 1e-6;
    if a < 0.81 * b - floor {
        Some(false)
    } else if b < 0.81 * a - floor {
        Some(true)
    } else {
        None
    }
}
