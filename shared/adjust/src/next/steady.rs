//! Readings that make the least certain point more certain.

use super::gain::Gain;
use super::lines::{Line, Lines};
use super::{After, LARGE, MOST, Serves, State, TAPE_FIRST, Wish, label};
use crate::observe::Vec3;
use crate::result::Purpose;
use nalgebra::Matrix3;
use survey::Kind;

/// How many lines are worked out in full; fewer where a solve takes long.
const MOST_TRIED: usize = 36;
const MOST_TRIED_LARGE: usize = 8;
/// Less gain than one part in two hundred is none.
const GAIN: f64 = 0.995;

/// The readings that most shrink the worst uncertainty of any point in the frame.
pub(crate) fn wishes(state: &State<'_>, lines: &Lines<'_>, gain: &Gain<'_>) -> Vec<Wish> {
    let (Some(&(worst, _)), Some(before)) = (gain.sizes().first(), gain.before()) else {
        return Vec::new();
    };
    let mut found: Vec<(f64, Line)> = candidates(state, lines, gain)
        .into_iter()
        .filter_map(|line| Some((gain.after(&line)?, line)))
        .filter(|(after, _)| *after < before * GAIN)
        .collect();
    // A crew tapes first: another kind must gain half as much again.
    let order = |(after, line): &(f64, Line)| {
        (before - after)
            / if line.kind == Kind::Tape {
                1.0
            } else {
                TAPE_FIRST.sqrt()
            }
    };
    found.sort_by(|a, b| order(b).total_cmp(&order(a)));
    let name = label(state, worst);
    found
        .into_iter()
        .take(MOST)
        .map(|(after, line)| Wish {
            line,
            purpose: Purpose::Steadies,
            serves: Serves::points(&[worst]),
            why: format!("holds {name}, the least certain point, better"),
            after: After::Known(after),
        })
        .collect()
}

/// Lines at the least certain points that look best from there: what they tell of a point along its worst axis,
/// were the other end independent of it.
fn candidates(state: &State<'_>, lines: &Lines<'_>, gain: &Gain<'_>) -> Vec<Line> {
    let large = state.network.unknowns > LARGE;
    let mut scored: Vec<(f64, Line)> = Vec::new();
    for &(p, _) in gain.sizes().iter().take(if large { 1 } else { 3 }) {
        let Some(axis) = state.covariance[p].as_ref().map(worst_axis) else {
            continue;
        };
        let own = state.fit.point_covariance(state.network, p);
        for q in lines.around(p) {
            if state.covariance[q].is_none() {
                continue;
            }
            let other = state.fit.point_covariance(state.network, q);
            for &kind in lines.kinds() {
                let line = Line { kind, a: p, b: q };
                if !lines.open(&line) || scored.iter().any(|(_, known)| known.same(&line)) {
                    continue;
                }
                let predicted = lines.predicted(&line, &state.fit.at);
                let row = predicted.by_point[0];
                let sd = lines.sd(kind, predicted.value);
                let along = state.carried.placed.direction(&row).dot(&axis);
                let spread = row.dot(&((own + other) * row));
                let dear = if kind == Kind::Tape { 1.0 } else { TAPE_FIRST };
                scored.push((along * along / (sd * sd * dear + spread), line));
            }
        }
    }
    scored.sort_by(|a, b| {
        let place = |line: &Line| (line.kind, line.a, line.b);
        b.0.total_cmp(&a.0).then(place(&a.1).cmp(&place(&b.1)))
    });
    scored.truncate(if large { MOST_TRIED_LARGE } else { MOST_TRIED });
    scored.into_iter().map(|(_, line)| line).collect()
}

/// The direction in which a point is least certain.
fn worst_axis(covariance: &Matrix3<f64>) -> Vec3 {
    let eigen = covariance.symmetric_eigen();
    eigen.eigenvectors.column(eigen.eigenvalues.imax()).into_owned()
}
