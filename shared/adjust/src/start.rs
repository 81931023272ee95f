//! Where to begin: positions near enough that least squares finds the true minimum.
//!
//! From rough positions where there are some; otherwise from the distances alone. The distances-only start
//! ([`relaxed`]) works in more than three dimensions first, where a point that sits on the wrong side of a flat
//! floor can swing round instead of being stuck behind it; the extra dimensions are then squeezed out. What is
//! still on the wrong side afterwards is put right point by point ([`repair`]). Every start ends in a robust
//! least-squares refinement, and the start with the lowest robust cost wins.

mod bench;
mod relaxed;
mod repair;

use crate::gauge::{Gauge, well_shaped};
use crate::network::{Configuration, Network};
use crate::observe::Vec3;
use crate::solve::{Loss, NEAR, Solved, System, cost, minimise, misfit, predicted};
use nalgebra::Matrix3;
pub(crate) use repair::other_places;
use survey::Kind;

/// Beginnings tried before the best so far is taken as it is.
const ATTEMPTS: usize = 10;
/// The same where rough positions lead near enough but for an offset that many readings may share.
const ATTEMPTS_NEAR: usize = 2;
/// Regrowths tried from each beginning.
const GROWTHS: usize = 8;

/// The share of readings far off up to which a start from whole rough positions is taken.
const FEW: f64 = 0.08;
/// Off by this much is no matter of one offset, mm.
const FAR_MM: f64 = 40.0;

/// Scale of the robust cost that starts are compared by, in standard deviations.
const COMPARE: Loss = Loss::Robust(4.0);

/// The points on which the datum rests: those that enough readings hold, in the largest group.
pub(crate) fn anchors(network: &Network, active: &[bool], positions: &[Vec3]) -> Vec<usize> {
    let Some(group) = network.components(active).into_iter().next() else {
        return Vec::new();
    };
    for spare in [1, 0] {
        let core = core(network, active, &group, spare);
        let chosen = well_shaped(positions, &core);
        if chosen.len() == 3 {
            return chosen;
        }
    }
    well_shaped(positions, &group)
}

/// What is left of a group when points with fewer readings than free coordinates plus `spare` are peeled off,
/// again and again.
fn core(network: &Network, active: &[bool], group: &[usize], spare: usize) -> Vec<usize> {
    let mut inside = vec![false; network.point_count()];
    for &p in group {
        inside[p] = true;
    }
    loop {
        let mut count = vec![0usize; network.point_count()];
        for (o, _) in network
            .observations
            .iter()
            .zip(active)
            .filter(|(_, active)| **active)
        {
            if o.points().iter().all(|&p| inside[p]) {
                for &p in o.points() {
                    count[p] += 1;
                }
            }
        }
        let free = |p: usize| network.fixed[p].iter().filter(|exact| !**exact).count();
        let weak: Vec<usize> = (0..inside.len())
            .filter(|&p| inside[p] && free(p) > 0 && count[p] < free(p) + spare)
            .collect();
        if weak.is_empty() {
            break;
        }
        for p in weak {
            inside[p] = false;
        }
    }
    (0..inside.len()).filter(|&p| inside[p]).collect()
}

/// A system whose datum rests on well-held points of this configuration.
pub(crate) fn system_for(network: &Network, active: &[bool], positions: &[Vec3]) -> System {
    let anchors = anchors(network, active, positions);
    System::new(network, Gauge::new(network, active, positions, &anchors))
}

/// Where to begin, and the system it was found with where it serves further.
#[derive(Debug)]
pub(crate) struct Found {
    pub(crate) at: Configuration,
    pub(crate) system: Option<System>,
}

/// Finds a start and refines it robustly. Every start worth comparing is tried; the lowest robust cost wins.
pub(crate) fn find(network: &Network, active: &[bool]) -> Found {
    let mut best: Option<Solved> = None;
    let mut attempts = ATTEMPTS;
    let mut consider = |solved: Solved| {
        if best.as_ref().is_none_or(|b| solved.cost < b.cost * (1.0 - 1e-9)) {
            best = Some(solved);
        }
        best.as_ref().is_some_and(|b| convincing(network, active, &b.at))
    };
    let known = network
        .rough
        .iter()
        .filter(|xyz| xyz.iter().all(Option::is_some))
        .count();
    if known >= 3 || known == network.point_count() {
        let positions = repair::fill_in(network, active, &network.rough);
        let system = system_for(network, active, &positions);
        let at = with_plumb(network, active, positions.clone());
        let solved = minimise(network, &system, active, at, Loss::Square, NEAR);
        let robust = cost(network, active, &solved.at, COMPARE);
        let solved = Solved {
            cost: robust,
            ..solved
        };
        let solved = repair::repair(network, active, solved);
        // Where every point has a rough position, a point on the wrong side is looked for among the doubts.
        let whole = known == network.point_count();
        let few = disagreement(network, active, &solved.at).share <= FEW;
        if consider(solved.clone()) || whole && few {
            return Found {
                at: solved.at,
                system: Some(system),
            };
        }
        let refined = refine(network, active, positions, &[100.0, 10.0]);
        let few = disagreement(network, active, &refined.at).share <= FEW;
        let mut done = consider(refined.clone()) || whole && few;
        if whole && !done {
            let looked = look_behind(network, active, refined);
            // A sheet that is off by an inch upsets many readings, a wrong arrangement some by far more.
            if disagreement(network, active, &looked.at).far_share <= FEW {
                attempts = ATTEMPTS_NEAR;
            }
            done = consider(looked);
        }
        if done {
            return Found {
                at: finish(network, active, best),
                system: None,
            };
        }
    }
    for attempt in 0..attempts {
        let positions = relaxed::positions(network, active, attempt);
        let positions = bench::align(network, active, positions);
        let mut solved = refine(network, active, positions, &[100.0, 30.0, 8.0]);
        // What holds together is kept and the rest grown again from it, each time with other choices where
        // nothing decides.
        for turn in 0..GROWTHS {
            if convincing(network, active, &solved.at) {
                break;
            }
            let Some(grown) = repair::regrow(network, active, &solved.at, turn) else {
                break;
            };
            let grown = refine(network, active, grown, &[60.0, 12.0]);
            if grown.cost < solved.cost {
                solved = grown;
            }
        }
        let solved = repair::repair(network, active, solved);
        if consider(look_behind(network, active, solved)) {
            break;
        }
    }
    Found {
        at: finish(network, active, best),
        system: None,
    }
}

/// A few readings far off may be slips, or points on the wrong side that agree with each other: the ends of those
/// readings are placed anew, and the better arrangement stays.
fn look_behind(network: &Network, active: &[bool], solved: Solved) -> Solved {
    let mut best = solved;
    for turn in 0..4 {
        let doubtful = network.observations.iter().zip(active).any(|(o, active)| {
            *active && (misfit(o, predicted(o, &best.at).value, &best.at) / o.sd).abs() > 5.0
        });
        if !doubtful {
            break;
        }
        let grown = repair::regrow_doubtful(network, active, &best.at, turn % 2 == 1, turn / 2);
        let Some(grown) = grown else { continue };
        let grown = refine(network, active, grown, &[60.0, 12.0]);
        if grown.cost < best.cost * (1.0 - 1e-9) {
            best = grown;
        }
    }
    best
}

fn finish(network: &Network, active: &[bool], best: Option<Solved>) -> Configuration {
    best.map_or_else(
        || with_plumb(network, active, vec![Vec3::zeros(); network.point_count()]),
        |solved| solved.at,
    )
}

/// Robust refinement with falling scales; the cost is the one that starts are compared by.
fn refine(network: &Network, active: &[bool], positions: Vec<Vec3>, scales: &[f64]) -> Solved {
    let system = system_for(network, active, &positions);
    let mut at = with_plumb(network, active, positions);
    let mut converged = false;
    for &scale in scales.iter().chain(&[4.0]) {
        let solved = minimise(network, &system, active, at, Loss::Robust(scale), NEAR);
        at = solved.at;
        converged = solved.converged;
    }
    Solved {
        cost: cost(network, active, &at, COMPARE),
        at,
        converged,
    }
}

/// Whether so few readings disagree that another arrangement need not be looked for: a wrongly placed point
/// upsets most of its readings.
fn convincing(network: &Network, active: &[bool], at: &Configuration) -> bool {
    let found = disagreement(network, active, at);
    found.share <= 0.05 && !found.crowded
}

/// How a configuration disagrees with the readings in use.
struct Disagreement {
    /// The share of readings that are off.
    share: f64,
    /// The share of readings that are off by more than [`FAR_MM`].
    far_share: f64,
    /// Whether some point has several that are off among few.
    crowded: bool,
}

fn disagreement(network: &Network, active: &[bool], at: &Configuration) -> Disagreement {
    let mut off_at = vec![0usize; network.point_count()];
    let mut of = vec![0usize; network.point_count()];
    let (mut off, mut far, mut total) = (0u32, 0u32, 0u32);
    for (o, _) in network
        .observations
        .iter()
        .zip(active)
        .filter(|(_, active)| **active)
    {
        let by = misfit(o, predicted(o, at).value, at).abs();
        let bad = by / o.sd > 5.0;
        total += 1;
        off += u32::from(bad);
        far += u32::from(bad && (by > FAR_MM || o.kind.quantity() == survey::Quantity::Angle && by > 0.1));
        for &p in o.points() {
            of[p] += 1;
            off_at[p] += usize::from(bad);
        }
    }
    let total = f64::from(total.max(1));
    Disagreement {
        share: f64::from(off) / total,
        far_share: f64::from(far) / total,
        crowded: off_at
            .iter()
            .zip(&of)
            .any(|(&bad, &all)| bad >= 2 && 3 * bad > all),
    }
}

/// Positions with the plumb directions that fit them best.
pub(crate) fn with_plumb(network: &Network, active: &[bool], positions: Vec<Vec3>) -> Configuration {
    let ups = (0..network.stands.len())
        .map(|stand| plumb(network, active, &positions, stand))
        .collect();
    Configuration {
        positions,
        ups,
        offsets: vec![0.0; network.offset_column.len()],
    }
}

/// The plumb direction of one stand by linear least squares: up · (b − a) is the rise, or length times the sine
/// of the slope. Where that is not determined, the z axis helps out.
fn plumb(network: &Network, active: &[bool], positions: &[Vec3], stand: usize) -> Vec3 {
    let mut normal = Matrix3::zeros();
    let mut right = Vec3::zeros();
    for (o, _) in network
        .observations
        .iter()
        .zip(active)
        .filter(|(_, active)| **active)
    {
        if !o.kind.needs_plumb() || o.stand != stand {
            continue;
        }
        let line = positions[o.points[1]] - positions[o.points[0]];
        let rise = if o.kind == Kind::Slope {
            line.norm() * o.value.sin()
        } else {
            o.value
        };
        normal += line * line.transpose();
        right += line * rise;
    }
    let hold = 1e-6 * normal.trace().max(1e-3);
    normal += Matrix3::identity() * hold;
    right += Vec3::z() * hold;
    let up = normal.try_inverse().map_or(Vec3::z(), |inverse| inverse * right);
    if up.norm() > 1e-6 {
        up.normalize()
    } else {
        Vec3::z()
    }
}
