//! Putting single points right: each is tried at every place that three of its tapes allow.

use crate::network::{Configuration, Network};
use crate::observe::Vec3;
use crate::solve::{Loss, Solved, misfit, predicted};
use survey::Kind;

/// The two places at these distances from three others, mirrored in their plane; none where the three are in
/// line or the distances do not meet. Distances that miss each other by little meet in the plane.
fn trilaterate(from: [(Vec3, f64); 3]) -> Option<[Vec3; 2]> {
    let [(a, ra), (b, rb), (c, rc)] = from;
    let ab = b - a;
    let d = ab.norm();
    if d < 1e-6 {
        return None;
    }
    let ex = ab / d;
    let ac = c - a;
    let i = ex.dot(&ac);
    let across = ac - ex * i;
    let j = across.norm();
    if j < 1e-3 * d {
        return None;
    }
    let ey = across / j;
    let ez = ex.cross(&ey);
    let x = (ra * ra - rb * rb + d * d) / (2.0 * d);
    let y = (ra * ra - rc * rc + i * i + j * j - 2.0 * i * x) / (2.0 * j);
    let height = (ra * ra - x * x - y * y).max(0.0).sqrt();
    let foot = a + ex * x + ey * y;
    Some([foot + ez * height, foot - ez * height])
}

/// The tapes in use at each point: the other end and the reading's index.
fn tapes(network: &Network, active: &[bool]) -> Vec<Vec<(usize, usize)>> {
    let mut tapes = vec![Vec::new(); network.point_count()];
    for (index, o) in network.observations.iter().enumerate() {
        if active[index] && o.kind == Kind::Tape {
            tapes[o.points[0]].push((o.points[1], index));
            tapes[o.points[1]].push((o.points[0], index));
        }
    }
    tapes
}

/// Places that triples of tapes to placed points allow for `p`, at most `most` triples.
fn places(network: &Network, tapes: &[(usize, usize)], at: &[Option<Vec3>], most: usize) -> Vec<Vec3> {
    let ends: Vec<(Vec3, f64)> = tapes
        .iter()
        .filter_map(|&(q, index)| Some((at[q]?, network.observations[index].value)))
        .collect();
    let mut found = Vec::new();
    let mut tried = 0;
    for i in 0..ends.len() {
        for j in 0..i {
            for k in 0..j {
                if tried == most {
                    return found;
                }
                tried += 1;
                found.extend(trilaterate([ends[i], ends[j], ends[k]]).into_iter().flatten());
            }
        }
    }
    found
}

/// Fills in the points that have no whole position, from those that have: best place first served.
pub(crate) fn fill_in(network: &Network, active: &[bool], rough: &[[Option<f64>; 3]]) -> Vec<Vec3> {
    let mut at: Vec<Option<Vec3>> = rough
        .iter()
        .map(|r| Some(Vec3::new(r[0]?, r[1]?, r[2]?)))
        .collect();
    let tapes = tapes(network, active);
    loop {
        let next = (0..at.len()).filter(|&p| at[p].is_none()).max_by_key(|&p| {
            (
                tapes[p].iter().filter(|(q, _)| at[*q].is_some()).count(),
                usize::MAX - p,
            )
        });
        let Some(p) = next else { break };
        let candidates = places(network, &tapes[p], &at, 60);
        let fit = |place: &Vec3| -> f64 {
            tapes[p]
                .iter()
                .filter_map(|&(q, index)| {
                    let o = &network.observations[index];
                    Some(
                        Loss::Robust(50.0)
                            .at(((place - at[q]?).norm() - o.value) / o.sd)
                            .0,
                    )
                })
                .sum()
        };
        let best = candidates.into_iter().min_by(|a, b| fit(a).total_cmp(&fit(b)));
        let beside = || {
            let known: Vec<Vec3> = at.iter().flatten().copied().collect();
            let near = tapes[p]
                .iter()
                .find_map(|&(q, index)| Some((at[q]?, network.observations[index].value)));
            let centre = known.iter().sum::<Vec3>() / known.len().max(1) as f64;
            let turn = p as f64 * 2.399_963;
            let off = Vec3::new(turn.cos(), turn.sin(), 0.3);
            near.map_or(centre + off * 300.0, |(q, length)| q + off.normalize() * length)
        };
        at[p] = Some(best.unwrap_or_else(beside));
    }
    let mut positions: Vec<Vec3> = at.into_iter().flatten().collect();
    for (p, r) in rough.iter().enumerate() {
        for k in 0..3 {
            // What is known of a position in part is kept.
            if let Some(x) = r[k] {
                positions[p][k] = x;
            }
        }
    }
    positions
}

/// Cost of the readings of one point.
fn local_cost(network: &Network, of: &[usize], at: &Configuration) -> f64 {
    of.iter()
        .map(|&index| {
            let o = &network.observations[index];
            Loss::Robust(6.0)
                .at(misfit(o, predicted(o, at).value, at) / o.sd)
                .0
        })
        .sum()
}

/// Moves points to better places as long as that lowers the robust cost of the whole.
pub(crate) fn repair(network: &Network, active: &[bool], solved: Solved) -> Solved {
    let tapes = tapes(network, active);
    let mut of: Vec<Vec<usize>> = vec![Vec::new(); network.point_count()];
    for (index, o) in network.observations.iter().enumerate() {
        if active[index] {
            for &p in o.points() {
                of[p].push(index);
            }
        }
    }
    let mut best = solved;
    for _ in 0..6 {
        let mut at = best.at.clone();
        let mut changed = false;
        let mut order: Vec<usize> = (0..network.point_count()).collect();
        let costs: Vec<f64> = order.iter().map(|&p| local_cost(network, &of[p], &at)).collect();
        order.sort_by(|&a, &b| costs[b].total_cmp(&costs[a]).then(a.cmp(&b)));
        for p in order {
            let now = local_cost(network, &of[p], &at);
            if now < 30.0 || network.fixed[p].contains(&true) {
                continue;
            }
            let all: Vec<Option<Vec3>> = at.positions.iter().copied().map(Some).collect();
            let here = at.positions[p];
            let mut least = (now * 0.9 - 5.0, here);
            for place in places(network, &tapes[p], &all, 60) {
                at.positions[p] = place;
                let there = local_cost(network, &of[p], &at);
                if there < least.0 {
                    least = (there, place);
                }
            }
            changed |= least.1 != here;
            at.positions[p] = least.1;
        }
        if !changed {
            break;
        }
        let tried = super::refine(network, active, at.positions, &[30.0, 8.0]);
        if tried.cost >= best.cost * (1.0 - 1e-6) {
            break;
        }
        best = tried;
        if super::convincing(network, active, &best.at) {
            break;
        }
    }
    best
}
