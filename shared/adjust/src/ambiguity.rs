//! Other arrangements that fit as well: points with two places, and the two hands of the whole.
//!
//! Three tapes leave a point two places, mirrored in the plane of their other ends; more tapes whose ends lie in
//! one plane do the same. Each point is tried at its mirror place, settled there by itself, and where that is not
//! absurd the whole is solved from there. What then fits within [`AS_GOOD`] is a second candidate. It is never
//! guessed which: only rough positions may choose.

use crate::fit::Fit;
use crate::network::{Configuration, Network};
use crate::observe::Vec3;
use crate::solve::{EXACT_FROM_AFAR, Loss, NEAR, minimise, misfit, predicted};
use crate::start::system_for;
use nalgebra::{Matrix3, Vector3};

/// A difference in chi-square that one good survey in a thousand exceeds: less does not choose.
pub(crate) const AS_GOOD: f64 = 10.8;

/// Surveys with more points are tried in a part first.
const LARGE: usize = 300;
/// What the points that stand still in a part may make worse.
const LEEWAY: f64 = 100.0;

/// Another arrangement that fits.
#[derive(Debug, Clone)]
pub(crate) struct Alternative {
    pub(crate) at: Configuration,
    pub(crate) chi_square: f64,
    /// Canonical points that lie elsewhere in it.
    pub(crate) moved: Vec<usize>,
}

/// Looks for the second place of each of these points.
pub(crate) fn second_places(network: &Network, fit: &Fit, points: &[usize]) -> Vec<Alternative> {
    let of = readings_of(network, &fit.active);
    let mut found: Vec<Alternative> = Vec::new();
    for &p in points {
        if found.iter().any(|a| a.moved.contains(&p)) || !fit.directions(network, p).is_empty() {
            continue;
        }
        let alternative =
            mirror_place(network, fit, &of[p], p).and_then(|place| try_place(network, fit, &of[p], p, place));
        found.extend(alternative.filter(|a| !found.iter().any(|other| other.moved == a.moved)));
    }
    found
}

/// The readings in use at each point.
pub(crate) fn readings_of(network: &Network, active: &[bool]) -> Vec<Vec<usize>> {
    let mut of = vec![Vec::new(); network.point_count()];
    for (index, o) in network.observations.iter().enumerate() {
        if active[index] {
            for &p in o.points() {
                of[p].push(index);
            }
        }
    }
    of
}

/// Where a point would lie if it were on the other side of the plane, or in a plane survey the line, through the
/// points that its readings go to.
fn mirror_place(network: &Network, fit: &Fit, of: &[usize], p: usize) -> Option<Vec3> {
    let fixed = network.fixed[p];
    if fixed.iter().filter(|exact| **exact).count() > 1 {
        return None;
    }
    let mut ends: Vec<Vec3> = Vec::new();
    for &index in of {
        let o = &network.observations[index];
        ends.extend(
            o.points()
                .iter()
                .filter(|&&q| q != p)
                .map(|&q| fit.at.positions[q]),
        );
    }
    if ends.len() < 2 {
        return None;
    }
    let mean = ends.iter().sum::<Vec3>() / ends.len() as f64;
    let here = fit.at.positions[p];
    let mut spread = Matrix3::zeros();
    for end in &ends {
        spread += (end - mean) * (end - mean).transpose();
    }
    if let Some(k) = (0..3).find(|&k| fixed[k]) {
        // In a plane survey the mirror stands upright on the plane.
        spread[(k, k)] += 1e12 * spread.trace().max(1.0);
    }
    let eigen = spread.symmetric_eigen();
    // Across the flattest direction of the ends.
    let normal: Vec3 = eigen.eigenvectors.column(eigen.eigenvalues.imin()).into_owned();
    let place = here - normal * (2.0 * normal.dot(&(here - mean)));
    ((place - here).norm() > 1e-3).then_some(place)
}

/// Settles the point alone at the other place, then the whole; `None` where that does not fit or is no other
/// place.
fn try_place(network: &Network, fit: &Fit, of: &[usize], p: usize, place: Vec3) -> Option<Alternative> {
    let mut at = fit.at.clone();
    at.positions[p] = place;
    let alone = settle_alone(network, of, p, &mut at);
    let now: f64 = of
        .iter()
        .map(|&index| (fit.rows[index].misfit / network.observations[index].sd).powi(2))
        .sum();
    // Alone it fits worse than when the others give way; beyond this no giving way has been seen to help.
    if alone > now + 400.0 || (at.positions[p] - fit.at.positions[p]).norm() < 1e-2 {
        return None;
    }
    if network.point_count() > LARGE && !fits_in_part(network, fit, p, &at) {
        return None;
    }
    let solved = minimise(
        network,
        &fit.system,
        &fit.active,
        at,
        Loss::Square,
        EXACT_FROM_AFAR,
    );
    if solved.cost > fit.chi_square + AS_GOOD || only_the_other_hand(network, fit, &solved.at) {
        return None;
    }
    let moved: Vec<usize> = (0..network.point_count())
        .filter(|&q| {
            let shift = (solved.at.positions[q] - fit.at.positions[q]).norm();
            let sd = fit.point_covariance(network, q).trace().max(0.0).sqrt();
            shift > 1.0_f64.min(1e-2 + sd) && (q == p || shift > 3.0 * sd + 0.5)
        })
        .collect();
    moved.contains(&p).then_some(Alternative {
        at: solved.at,
        chi_square: solved.cost,
        moved,
    })
}

/// Whether the points around `p` come near to what they fit now when all others stand still: where not even that is
/// so, a large survey need not be solved in full.
fn fits_in_part(network: &Network, fit: &Fit, p: usize, at: &Configuration) -> bool {
    let of = readings_of(network, &fit.active);
    let free = network.around(&of, &network.around(&of, &[p]));
    let mut observations: Vec<usize> = free.iter().flat_map(|&q| of[q].iter().copied()).collect();
    observations.sort_unstable();
    observations.dedup();
    let now: f64 = observations
        .iter()
        .map(|&index| (fit.rows[index].misfit / network.observations[index].sd).powi(2))
        .sum();
    let part = network.part(&free, &observations, &at.positions);
    let active = vec![true; observations.len()];
    let system = system_for(&part, &active, &at.positions);
    let solved = minimise(&part, &system, &active, at.clone(), Loss::Square, NEAR);
    solved.cost <= now + AS_GOOD + LEEWAY
}

/// Whether an arrangement is the mirror image of the whole and nothing else: that is a question of the hand.
fn only_the_other_hand(network: &Network, fit: &Fit, at: &Configuration) -> bool {
    if network.has_bench() {
        return false;
    }
    let image = mirrored(&fit.at, &Vec3::zeros(), &Vec3::x());
    let plain = |positions: &[Vec3]| positions.iter().map(|p| [p.x, p.y, p.z]).collect::<Vec<_>>();
    crate::rigid::fit_rigid(&plain(&image.positions), &plain(&at.positions))
        .is_some_and(|fit| fit.mean_square_error < 1e-4)
}

/// Damped Gauss–Newton for one point with all others held; returns the chi-square of its readings.
fn settle_alone(network: &Network, of: &[usize], p: usize, at: &mut Configuration) -> f64 {
    let mut damping = 1e-3;
    let local = |at: &Configuration| -> f64 {
        of.iter()
            .map(|&i| {
                let o = &network.observations[i];
                (misfit(o, predicted(o, at).value, at) / o.sd).powi(2)
            })
            .sum()
    };
    let mut now = local(at);
    for _ in 0..25 {
        let mut normal = Matrix3::zeros();
        let mut gradient = Vector3::zeros();
        for &i in of {
            let o = &network.observations[i];
            let predicted = predicted(o, at);
            let slot = o.points().iter().position(|&q| q == p).unwrap_or(0);
            let g = predicted.by_point[slot];
            let weight = 1.0 / (o.sd * o.sd);
            normal += g * g.transpose() * weight;
            gradient += g * (misfit(o, predicted.value, at) * weight);
        }
        for k in 0..3 {
            if network.fixed[p][k] {
                gradient[k] = 0.0;
                for other in 0..3 {
                    normal[(k, other)] = 0.0;
                    normal[(other, k)] = 0.0;
                }
                normal[(k, k)] = 1.0;
            }
        }
        let hold = normal.trace().max(1e-12) * damping;
        let Some(inverse) = (normal + Matrix3::identity() * hold).try_inverse() else {
            break;
        };
        let step = -inverse * gradient;
        let before = at.positions[p];
        at.positions[p] += step;
        let then = local(at);
        if then <= now {
            now = then;
            damping *= 0.1;
            if step.norm() < 1e-5 {
                break;
            }
        } else {
            at.positions[p] = before;
            damping = damping.max(1e-9) * 10.0;
            if damping > 1e6 {
                break;
            }
        }
    }
    now
}

/// A configuration mirrored in the plane through `through` with this normal.
pub(crate) fn mirrored(at: &Configuration, through: &Vec3, normal: &Vec3) -> Configuration {
    let flip = |v: &Vec3| v - normal * (2.0 * normal.dot(v));
    Configuration {
        positions: at
            .positions
            .iter()
            .map(|p| through + flip(&(p - through)))
            .collect(),
        ups: at.ups.iter().map(flip).collect(),
        offsets: at.offsets.clone(),
    }
}

/// The other hand of the whole, where it fits as well: always, when nothing is said in the bench frame;
/// otherwise when the known points lie in one plane (or on one line) and the mirror image still fits.
pub(crate) fn other_hand(network: &Network, fit: &Fit) -> Option<Alternative> {
    let known = network.bench_coordinates(&fit.active);
    if known.is_empty() {
        let at = mirrored(&fit.at, &Vec3::zeros(), &Vec3::x());
        let moved = (0..network.point_count()).collect();
        return Some(Alternative {
            at,
            chi_square: fit.chi_square,
            moved,
        });
    }
    let mut points: Vec<usize> = known.iter().map(|k| k.0).collect();
    points.sort_unstable();
    points.dedup();
    let mean = points.iter().map(|&p| fit.at.positions[p]).sum::<Vec3>() / points.len() as f64;
    let mut spread = Matrix3::zeros();
    for &p in &points {
        let r = fit.at.positions[p] - mean;
        spread += r * r.transpose();
    }
    let eigen = spread.symmetric_eigen();
    for i in 0..3 {
        let normal: Vec3 = eigen.eigenvectors.column(i).into_owned();
        let mut at = mirrored(&fit.at, &mean, &normal);
        for (p, fixed) in network.fixed.iter().enumerate() {
            for k in (0..3).filter(|&k| fixed[k]) {
                at.positions[p][k] = fit.at.positions[p][k];
            }
        }
        if crate::solve::cost(network, &fit.active, &at, Loss::Square) > fit.chi_square + 1e5 {
            continue;
        }
        let solved = minimise(
            network,
            &fit.system,
            &fit.active,
            at,
            Loss::Square,
            EXACT_FROM_AFAR,
        );
        if solved.cost > fit.chi_square + AS_GOOD {
            continue;
        }
        let moved: Vec<usize> = (0..network.point_count())
            .filter(|&q| (solved.at.positions[q] - fit.at.positions[q]).norm() > 1.0)
            .collect();
        if !moved.is_empty() {
            return Some(Alternative {
                at: solved.at,
                chi_square: solved.cost,
                moved,
            });
        }
    }
    None
}
