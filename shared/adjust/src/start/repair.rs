//! Putting single points right: each is tried at every place that three of its tapes allow.

use crate::network::{Configuration, Network};
use crate::observe::Vec3;
use crate::solve::{Loss, Solved, misfit, predicted};
use survey::Kind;

/// Scale of the robust cost of one point's readings, in standard deviations.
const LOCAL: f64 = 6.0;
/// Places so near each other are one to begin from.
const BESIDE_MM: f64 = 5.0;
/// What one reading that is far off costs by it.
const SLIP_COST: f64 = LOCAL * LOCAL;

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
            Loss::Robust(LOCAL)
                .at(misfit(o, predicted(o, at).value, at) / o.sd)
                .0
        })
        .sum()
}

/// Where else the readings of one point could have it, at least `apart_mm` from where it is and from each other: at
/// most two places, best first, whose robust cost is no more than half a slip above that of the place it has, each with
/// the difference.
pub(crate) fn other_places(
    network: &Network,
    active: &[bool],
    of: &[usize],
    p: usize,
    at: &Configuration,
    apart_mm: f64,
) -> Vec<(f64, Vec3)> {
    let tapes: Vec<(usize, usize)> = of
        .iter()
        .filter(|&&index| active[index] && network.observations[index].kind == Kind::Tape)
        .map(|&index| {
            let [a, b, ..] = network.observations[index].points;
            (if a == p { b } else { a }, index)
        })
        .collect();
    let placed: Vec<Option<Vec3>> = at.positions.iter().copied().map(Some).collect();
    let now = local_cost(network, of, at);
    let limit = now + 0.5 * SLIP_COST;
    let mut there = at.clone();
    // Most triples lead to the place that it has.
    let mut begun: Vec<Vec3> = vec![at.positions[p]];
    let mut ranked: Vec<(f64, Vec3)> = Vec::new();
    for place in places(network, &tapes, &placed, 84) {
        if begun.iter().any(|other| (place - other).norm() < BESIDE_MM) {
            continue;
        }
        begun.push(place);
        there.positions[p] = place;
        settle_with_all(network, of, p, &mut there);
        let cost = local_cost(network, of, &there);
        if cost <= limit {
            ranked.push((cost, there.positions[p]));
        }
    }
    ranked.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut found: Vec<(f64, Vec3)> = Vec::new();
    for (cost, place) in ranked {
        let new = (place - at.positions[p]).norm() > apart_mm
            && found.iter().all(|(_, other)| (place - other).norm() > apart_mm);
        if new && found.len() < 2 {
            found.push((cost - now, place));
        }
    }
    found
}

/// A few robust Gauss–Newton steps of one point with all its readings, the others held.
fn settle_with_all(network: &Network, of: &[usize], p: usize, at: &mut Configuration) {
    for _ in 0..8 {
        let mut normal = nalgebra::Matrix3::identity() * 1e-9;
        let mut pull = Vec3::zeros();
        for &index in of {
            let o = &network.observations[index];
            let there = predicted(o, at);
            let u = misfit(o, there.value, at) / o.sd;
            let weight = Loss::Robust(LOCAL).at(u).1;
            for slot in (0..o.points().len()).filter(|&slot| o.points()[slot] == p) {
                let row = there.by_point[slot] / o.sd;
                normal += row * row.transpose() * weight;
                pull += row * (u * weight);
            }
        }
        let Some(inverse) = normal.try_inverse() else {
            break;
        };
        let step = inverse * pull;
        if step.norm().is_nan() || step.norm() > 300.0 {
            break;
        }
        at.positions[p] -= step;
        if step.norm() < 1e-3 {
            break;
        }
    }
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

/// Grows the arrangement again from the part of it that holds together: points whose tapes to each other fit stay,
/// the others are placed anew, the most decided first. `None` where nothing holds together.
pub(crate) fn regrow(
    network: &Network,
    active: &[bool],
    at: &Configuration,
    turn: usize,
) -> Option<Vec<Vec3>> {
    let tapes = tapes(network, active);
    let sound = sound_part(network, &tapes, &at.positions);
    // Every other turn what touches the unsound part is grown again too: a wrong point can look sound among its
    // likes.
    let inner: Vec<bool> = (0..sound.len())
        .map(|p| sound[p] && (turn.is_multiple_of(2) || tapes[p].iter().all(|&(q, _)| sound[q])))
        .collect();
    let stays = if inner.iter().filter(|stays| **stays).count() >= 6 {
        &inner
    } else {
        &sound
    };
    grow_from(network, active, at, &tapes, stays, turn / 2)
}

/// Places the ends of every reading that is far off anew, and, when `wide`, what is taped to them and has little
/// to spare: two points on the wrong side can agree with each other and look like one slip elsewhere.
pub(crate) fn regrow_doubtful(
    network: &Network,
    active: &[bool],
    at: &Configuration,
    wide: bool,
    turn: usize,
) -> Option<Vec<Vec3>> {
    let tapes = tapes(network, active);
    let mut stays = vec![true; network.point_count()];
    for (o, _) in network
        .observations
        .iter()
        .zip(active)
        .filter(|(_, active)| **active)
    {
        if (misfit(o, predicted(o, at).value, at) / o.sd).abs() > 5.0 {
            o.points().iter().for_each(|&p| stays[p] = false);
        }
    }
    if wide {
        let ends: Vec<usize> = (0..stays.len()).filter(|&p| !stays[p]).collect();
        for p in ends {
            for &(q, _) in tapes[p].iter().filter(|(q, _)| tapes[*q].len() <= 8) {
                stays[q] = false;
            }
        }
    }
    grow_from(network, active, at, &tapes, &stays, turn)
}

/// Places every point that does not stay, the most decided first; the bits of `choices` take the second best
/// where little decides.
fn grow_from(
    network: &Network,
    active: &[bool],
    at: &Configuration,
    tapes: &[Vec<(usize, usize)>],
    stays: &[bool],
    choices: usize,
) -> Option<Vec<Vec3>> {
    let anchored = |p: usize| network.fixed[p].iter().all(|exact| *exact);
    let mut placed: Vec<Option<Vec3>> = (0..network.point_count())
        .map(|p| (stays[p] || anchored(p)).then_some(at.positions[p]))
        .collect();
    if placed.iter().flatten().count() < 4 {
        return None;
    }
    let mut undecided = 0;
    loop {
        let mut best: Option<(f64, usize, Vec3)> = None;
        for p in (0..placed.len()).filter(|&p| placed[p].is_none()) {
            let Some((decision, place)) = decide(
                network,
                &tapes[p],
                &placed,
                (choices >> undecided.min(8)) & 1 == 1,
            ) else {
                continue;
            };
            if best.as_ref().is_none_or(|(most, _, _)| decision > *most) {
                best = Some((decision, p, place));
            }
        }
        let Some((decision, p, place)) = best else { break };
        undecided += usize::from(decision < 20.0);
        placed[p] = Some(settled(network, &tapes[p], &placed, place));
    }
    let rough: Vec<[Option<f64>; 3]> = placed
        .iter()
        .map(|p| p.map_or([None; 3], |p| [Some(p.x), Some(p.y), Some(p.z)]))
        .collect();
    Some(fill_in(network, active, &rough))
}

/// The points that hold together: each with at least four fitting tapes to others of them.
fn sound_part(network: &Network, tapes: &[Vec<(usize, usize)>], positions: &[Vec3]) -> Vec<bool> {
    let fits = |p: usize, q: usize, index: usize| {
        let o = &network.observations[index];
        (((positions[p] - positions[q]).norm() - o.value) / o.sd).abs() < 8.0
    };
    let mut sound = vec![true; positions.len()];
    loop {
        let weak: Vec<usize> = (0..positions.len())
            .filter(|&p| sound[p])
            .filter(|&p| {
                let among: Vec<bool> = tapes[p]
                    .iter()
                    .filter(|(q, _)| sound[*q])
                    .map(|&(q, index)| fits(p, q, index))
                    .collect();
                let good = among.iter().filter(|fit| **fit).count();
                good < 4 || 3 * good < 2 * among.len()
            })
            .collect();
        // One by one, the worst first, so that a wrong point does not take its neighbours along.
        let misfit = |p: usize| {
            let bad = tapes[p]
                .iter()
                .filter(|&&(q, index)| sound[q] && !fits(p, q, index))
                .count();
            bad as f64 / tapes[p].len().max(1) as f64
        };
        let worst = weak
            .into_iter()
            .max_by(|&a, &b| misfit(a).total_cmp(&misfit(b)).then(b.cmp(&a)));
        match worst {
            Some(p) => sound[p] = false,
            None => return sound,
        }
    }
}

/// The best place of a point against those placed, and how decided it is: how much worse the best place elsewhere
/// is. `second` takes the second best where little speaks between them.
fn decide(
    network: &Network,
    tapes: &[(usize, usize)],
    placed: &[Option<Vec3>],
    second: bool,
) -> Option<(f64, Vec3)> {
    let cost = |place: &Vec3| -> f64 {
        tapes
            .iter()
            .filter_map(|&(q, index)| {
                let o = &network.observations[index];
                Some(
                    Loss::Robust(6.0)
                        .at(((place - placed[q]?).norm() - o.value) / (3.0 * o.sd))
                        .0,
                )
            })
            .sum()
    };
    let mut ranked: Vec<(f64, Vec3)> = places(network, tapes, placed, 80)
        .into_iter()
        .map(|place| settled(network, tapes, placed, place))
        .map(|place| (cost(&place), place))
        .collect();
    ranked.sort_by(|a, b| a.0.total_cmp(&b.0));
    let &(least, here) = ranked.first()?;
    let elsewhere = ranked.iter().find(|(_, place)| (place - here).norm() > 30.0);
    let decision = elsewhere.map_or(200.0, |(cost, _)| cost - least) - least;
    match elsewhere {
        Some(&(_, there)) if second && decision < 20.0 => Some((decision, there)),
        _ => Some((decision, here)),
    }
}

/// A few robust Gauss–Newton steps of one point against those placed.
fn settled(network: &Network, tapes: &[(usize, usize)], placed: &[Option<Vec3>], place: Vec3) -> Vec3 {
    let mut at = place;
    for _ in 0..6 {
        let mut normal = nalgebra::Matrix3::identity() * 1e-6;
        let mut pull = Vec3::zeros();
        for &(q, index) in tapes {
            let Some(from) = placed[q] else { continue };
            let o = &network.observations[index];
            let line = at - from;
            let length = line.norm().max(1e-6);
            let misfit = length - o.value;
            let weight = Loss::Robust(10.0).at(misfit / o.sd).1;
            let unit = line / length;
            normal += unit * unit.transpose() * weight;
            pull += unit * (misfit * weight);
        }
        let Some(inverse) = normal.try_inverse() else {
            break;
        };
        let step = inverse * pull;
        if step.norm().is_nan() || step.norm() > 300.0 {
            break;
        }
        at -= step;
    }
    at
}
