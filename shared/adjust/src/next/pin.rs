//! Readings that hold what can move.
//!
//! Motions that share a point belong to one body: a point with two tapes is one, a group of points that hang
//! together but not with the rest is one. A body with k free motions needs k readings, each across what the ones
//! before leave open, and one more so that a point with three tapes does not keep two places and something checks
//! the new readings.

use super::gain::motions;
use super::lines::{Line, Lines};
use super::{After, Serves, State, TAPE_FIRST, Wish, label};
use crate::observe::{Predicted, Vec3};
use crate::result::Purpose;
use nalgebra::{DMatrix, DVector, Matrix3};
use survey::Kind;

/// A motion moves a point that shifts by more than this share of what it shifts most.
const MOVES: f64 = 1e-4;
/// Bodies that are looked at, points of each, and points around each that are tried.
const BODIES: usize = 20;
const POINTS: usize = 40;

/// What moves together.
struct Body {
    points: Vec<usize>,
    motions: Vec<Vec<f64>>,
}

/// The readings that hold every body.
pub(crate) fn wishes(state: &State<'_>, lines: &Lines<'_>) -> Vec<Wish> {
    bodies(state)
        .iter()
        .take(BODIES)
        .flat_map(|body| held(state, lines, body))
        .collect()
}

fn shift(state: &State<'_>, motion: &[f64], p: usize) -> Vec3 {
    Vec3::from_fn(|k, _| state.network.point_column[p][k].map_or(0.0, |c| motion[c]))
}

/// The bodies, those with the fewest free motions first.
fn bodies(state: &State<'_>) -> Vec<Body> {
    let mut bodies: Vec<Body> = Vec::new();
    for motion in motions(state) {
        let mut body = Body {
            points: (0..state.network.point_count())
                .filter(|&p| shift(state, &motion, p).norm() > MOVES)
                .collect(),
            motions: vec![motion],
        };
        let (touching, rest): (Vec<Body>, Vec<Body>) = bodies
            .into_iter()
            .partition(|other| other.points.iter().any(|p| body.points.contains(p)));
        bodies = rest;
        for other in touching {
            body.points.extend(other.points);
            body.motions.extend(other.motions);
        }
        body.points.sort_unstable();
        body.points.dedup();
        bodies.push(body);
    }
    bodies.sort_by_key(|body| (body.motions.len(), body.points[0]));
    bodies
}

fn held(state: &State<'_>, lines: &Lines<'_>, body: &Body) -> Vec<Wish> {
    let basis = orthonormal(state, body);
    let k = basis.len();
    let tried = candidates(state, lines, body);
    let rows: Vec<(Line, DVector<f64>, f64)> = tried
        .iter()
        .map(|line| {
            let predicted = lines.predicted(line, &state.fit.at);
            let by_motion = DVector::from_fn(k, |m, _| along(state, &basis[m], line, &predicted));
            let sd = lines.sd(line.kind, predicted.value);
            let dear = if line.kind == Kind::Tape { 1.0 } else { TAPE_FIRST };
            (*line, by_motion, 1.0 / (sd * sd * dear))
        })
        .collect();
    let mut open = DMatrix::<f64>::identity(k, k);
    let mut chosen: Vec<Line> = Vec::new();
    for _ in 0..k {
        let mut best: Option<(f64, usize)> = None;
        for (n, (line, row, weight)) in rows.iter().enumerate() {
            let score = row.dot(&(&open * row)) * weight;
            let fresh = !chosen.iter().any(|other| other.same(line));
            if fresh && best.is_none_or(|(most, _)| score > most * (1.0 + 1e-9)) {
                best = Some((score, n));
            }
        }
        let Some((score, n)) = best else { break };
        let across = &open * &rows[n].1;
        let size = rows[n].1.dot(&across);
        if score <= 0.0 || size < 1e-6 {
            break;
        }
        open -= &across * across.transpose() / size;
        chosen.push(rows[n].0);
    }
    let mut found: Vec<Wish> = chosen
        .iter()
        .enumerate()
        .map(|(n, line)| wish(why_pinned(state, body, line, n, chosen.len()), *line, body))
        .collect();
    if chosen.len() == k {
        found.extend(checked(state, lines, body, &chosen, &tried).map(|line| {
            let name = label(state, line.a);
            wish(
                format!("checks {name} once it is held, and tells on which side of the others it lies"),
                line,
                body,
            )
        }));
    }
    found
}

fn wish(why: String, line: Line, body: &Body) -> Wish {
    Wish {
        line,
        purpose: Purpose::Pins,
        serves: Serves::points(&body.points),
        why,
        after: After::Here,
    }
}

fn why_pinned(state: &State<'_>, body: &Body, line: &Line, n: usize, of: usize) -> String {
    let name = label(state, line.a);
    match (body.points.len(), of) {
        (1, 1) => format!("holds {name}, which can move"),
        (1, _) if n + 1 == of => format!("holds {name} together with the one before"),
        (1, _) => format!("holds {name}, which can move, in one direction of {of}"),
        (points, _) => format!(
            "ties {points} points that hang loose, {name} among them, to the others: {} of {of}",
            n + 1
        ),
    }
}

/// What a motion does to a reading.
fn along(state: &State<'_>, motion: &[f64], line: &Line, predicted: &Predicted) -> f64 {
    predicted.by_point[0].dot(&shift(state, motion, line.a))
        + predicted.by_point[1].dot(&shift(state, motion, line.b))
}

/// The motions of a body, made independent of each other and of one size.
fn orthonormal(state: &State<'_>, body: &Body) -> Vec<Vec<f64>> {
    let product = |a: &[f64], b: &[f64]| -> f64 {
        body.points
            .iter()
            .map(|&p| shift(state, a, p).dot(&shift(state, b, p)))
            .sum()
    };
    let mut basis: Vec<Vec<f64>> = Vec::new();
    for motion in &body.motions {
        let mut own = motion.clone();
        for other in &basis {
            let share = product(&own, other);
            own.iter_mut().zip(other).for_each(|(x, y)| *x -= share * y);
        }
        let size = product(&own, &own).sqrt();
        if size > 1e-9 {
            own.iter_mut().for_each(|x| *x /= size);
            basis.push(own);
        }
    }
    basis
}

/// Open lines from the body to points that are pinned down.
fn candidates(state: &State<'_>, lines: &Lines<'_>, body: &Body) -> Vec<Line> {
    let mut found = Vec::new();
    for &p in body.points.iter().take(POINTS) {
        for q in lines.around(p) {
            if state.covariance[q].is_none() {
                continue;
            }
            let open = |&kind: &Kind| {
                let line = Line { kind, a: p, b: q };
                lines.open(&line).then_some(line)
            };
            found.extend(lines.kinds().iter().filter_map(open));
        }
    }
    found
}

/// One line more. For a single point the tape that tells the sides of the others apart; for a body whatever lies
/// farthest from the lines chosen.
fn checked(
    state: &State<'_>,
    lines: &Lines<'_>,
    body: &Body,
    chosen: &[Line],
    tried: &[Line],
) -> Option<Line> {
    if let [p] = body.points[..] {
        return other_side(state, lines, p, chosen, tried);
    }
    let at = &state.fit.at.positions;
    let far = |line: &Line| {
        chosen
            .iter()
            .map(|other| (at[line.a] - at[other.a]).norm() + (at[line.b] - at[other.b]).norm())
            .fold(f64::INFINITY, f64::min)
    };
    tried
        .iter()
        .filter(|line| line.kind == Kind::Tape && !chosen.iter().any(|other| other.same(line)))
        .copied()
        .max_by(|a, b| far(a).total_cmp(&far(b)).then((b.a, b.b).cmp(&(a.a, a.b))))
}

/// Of the tapes tried, the one that differs most between the two sides of the plane through the other ends of a
/// point's readings and of the lines chosen: they leave the point just those two places.
pub(super) fn other_side(
    state: &State<'_>,
    lines: &Lines<'_>,
    p: usize,
    chosen: &[Line],
    tried: &[Line],
) -> Option<Line> {
    let at = &state.fit.at.positions;
    let mut ends: Vec<Vec3> = chosen.iter().map(|line| at[line.b]).collect();
    for (o, active) in state.network.observations.iter().zip(&state.fit.active) {
        if *active && o.points().contains(&p) {
            ends.extend(o.points().iter().filter(|&&q| q != p).map(|&q| at[q]));
        }
    }
    let mean = ends.iter().sum::<Vec3>() / ends.len().max(1) as f64;
    let spread: Matrix3<f64> = ends
        .iter()
        .map(|end| (end - mean) * (end - mean).transpose())
        .sum();
    let eigen = spread.symmetric_eigen();
    let normal: Vec3 = eigen.eigenvectors.column(eigen.eigenvalues.imin()).into_owned();
    let mut mirrored = state.fit.at.clone();
    mirrored.positions[p] -= normal * (2.0 * normal.dot(&(at[p] - mean)));
    let told = |line: &Line| {
        let here = lines.predicted(line, &state.fit.at).value;
        let there = lines.predicted(line, &mirrored).value;
        (here - there).abs() / lines.sd(line.kind, here)
    };
    tried
        .iter()
        .filter(|line| line.kind == Kind::Tape && !chosen.iter().any(|other| other.same(line)))
        .copied()
        .max_by(|a, b| told(a).total_cmp(&told(b)).then((b.a, b.b).cmp(&(a.a, a.b))))
}
