//! Other arrangements to begin from: a point that several readings speak against may lie elsewhere.
//!
//! A linearised survey only sees explanations near the arrangement it was linearised at. A slip of a hand's width
//! can carry a point to another place altogether, where the slip fits and good readings do not: often near the
//! mirror image of the place in the plane of the other ends.

use crate::ambiguity::readings_of;
use crate::fit::Fit;
use crate::network::{Configuration, Network};
use crate::observe::Vec3;
use crate::start::other_places;

/// Arrangements tried.
const MOST: usize = 12;
/// Another place must be this far away, mm.
const ELSEWHERE_MM: f64 = 10.0;

/// Configurations with one point at another place that its readings speak for about as well: the points of what
/// is held out, each at its best other places, the best of all first.
pub(crate) fn arrangements(
    network: &Network,
    all: &Fit,
    at: &Configuration,
    out: &[usize],
) -> Vec<Configuration> {
    let of = readings_of(network, &all.active);
    let mut points: Vec<usize> = out
        .iter()
        .flat_map(|&index| network.observations[index].points().to_vec())
        .filter(|&p| !network.fixed[p].contains(&true))
        .collect();
    points.sort_unstable();
    points.dedup();
    let mut places: Vec<(f64, usize, Vec3)> = Vec::new();
    for p in points {
        let others = other_places(network, &all.active, &of[p], p, at, ELSEWHERE_MM);
        places.extend(others.into_iter().map(|(cost, place)| (cost, p, place)));
    }
    places.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    places
        .into_iter()
        .take(MOST)
        .map(|(_, p, place)| {
            let mut there = at.clone();
            there.positions[p] = place;
            there
        })
        .collect()
}
