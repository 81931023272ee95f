//! Readings that make slips show where they would not.
//!
//! A reading i with row a and deviation σ has the redundancy r = 1 − a Q aᵀ/σ². One more reading with row c and
//! deviation s adds (a Q cᵀ)²/(σ² (s² + c Q cᵀ)) to it. Which lines are worth working out is estimated at each
//! point by itself, as if the points around it were exact.

use super::gain::Gain;
use super::lines::{Line, Lines};
use super::{After, LARGE, Serves, State, TAPE_FIRST, Wish, id, listed};
use crate::fit::Prediction;
use crate::observe::{Predicted, Vec3};
use crate::quantiles::critical_w;
use crate::report::{CHECKED, smallest_visible_slip, unchecked_limit};
use crate::result::Purpose;
use crate::solve::{design_row, predicted};
use nalgebra::Matrix3;
use survey::Kind;

/// How many lines are worked out in full; fewer where a solve takes long.
const MOST_TRIED: usize = 36;
const MOST_TRIED_LARGE: usize = 10;
/// Of one point so many lines.
const TRIED_AT_A_POINT: usize = 3;
/// Ids told in one reason.
const NAMED: usize = 4;

/// A reading that nothing checks.
struct Unchecked {
    index: usize,
    row: Vec<(usize, f64)>,
    variance: f64,
    sd: f64,
    limit: f64,
}

impl Unchecked {
    /// The smallest slip that would show in it with this much taken off its variance.
    fn smallest(&self, taken: f64, z: f64) -> Option<f64> {
        let redundancy = 1.0 - (self.variance - taken) / (self.sd * self.sd);
        smallest_visible_slip(self.sd, redundancy.clamp(0.0, 1.0), z).filter(|_| redundancy >= CHECKED)
    }
}

/// The readings that check most of what is unchecked, one after the other.
pub(crate) fn wishes(state: &State<'_>, lines: &Lines<'_>, gain: &Gain<'_>) -> Vec<Wish> {
    let mut open = unchecked(state);
    if open.is_empty() {
        return Vec::new();
    }
    let checked = state
        .fit
        .rows
        .iter()
        .zip(&state.fit.active)
        .filter(|(row, active)| **active && row.redundancy.is_some_and(|r| r >= CHECKED))
        .count();
    let z = critical_w(checked + 1);
    let tried: Vec<(Line, Prediction, f64)> = candidates(state, lines, &open)
        .into_iter()
        .filter_map(|line| {
            let found = state
                .fit
                .predict(state.network, line.kind, &[line.a, line.b], lines.stand())?;
            let sd = lines.sd(line.kind, found.value);
            Some((line, found, sd))
        })
        .collect();
    let mut used: Vec<usize> = Vec::new();
    let mut found: Vec<Wish> = Vec::new();
    while !open.is_empty() {
        let mut best: Option<(f64, usize, Vec<usize>)> = None;
        for (n, (line, prediction, sd)) in tried.iter().enumerate() {
            if used.contains(&n) {
                continue;
            }
            let (score, served) = served(&open, prediction, *sd, z);
            let score = score
                / if line.kind == Kind::Tape {
                    1.0
                } else {
                    TAPE_FIRST.sqrt()
                };
            if !served.is_empty() && best.as_ref().is_none_or(|(most, ..)| score > most * (1.0 + 1e-9)) {
                best = Some((score, n, served));
            }
        }
        let Some((_, n, served)) = best else { break };
        used.push(n);
        let ids: Vec<&str> = served.iter().map(|&index| id(state, index)).collect();
        found.push(Wish {
            line: tried[n].0,
            purpose: Purpose::Checks,
            serves: Serves::readings(&served),
            why: why(&ids),
            after: gain
                .after_predicted(&tried[n].0, &tried[n].1)
                .map_or(After::Open, After::Known),
        });
        open.retain(|reading| !served.contains(&reading.index));
    }
    found
}

fn why(ids: &[&str]) -> String {
    let told = match ids.len() {
        more if more > NAMED => format!("{} and {} more", ids[..NAMED - 1].join(", "), more - NAMED + 1),
        _ => listed(ids),
    };
    format!("makes a slip show in {told}, where nothing would show it now")
}

/// The readings in use in which no slip would show.
fn unchecked(state: &State<'_>) -> Vec<Unchecked> {
    let network = state.network;
    let mut row = Vec::new();
    let mut found = Vec::new();
    for (index, o) in network.observations.iter().enumerate() {
        let Some(variance) = state.fit.rows[index].variance else {
            continue;
        };
        if !state.fit.active[index] || !state.readings[o.reading].unchecked {
            continue;
        }
        design_row(network, o, &predicted(o, &state.fit.at), &state.fit.at, &mut row);
        let columns = &state.fit.system.columns[index];
        found.push(Unchecked {
            index,
            row: columns.iter().copied().zip(row.iter().copied()).collect(),
            variance,
            sd: o.sd,
            limit: unchecked_limit(o.kind),
        });
    }
    found
}

/// What a line does for the unchecked readings: a score, and those that it brings under their limit; where it
/// brings none, the one in which it shows the smallest slip.
fn served(open: &[Unchecked], prediction: &Prediction, sd: f64, z: f64) -> (f64, Vec<usize>) {
    let total = sd * sd + prediction.variance;
    let mut under = Vec::new();
    let mut best: Option<(f64, usize)> = None;
    let mut score = 0.0;
    for reading in open {
        let with: f64 = reading.row.iter().map(|&(c, e)| prediction.column[c] * e).sum();
        let Some(smallest) = reading.smallest(with * with / total, z) else {
            continue;
        };
        let share = reading.limit / smallest;
        if share >= 1.0 {
            under.push(reading.index);
            score += 1.0 + 0.1 * (1.0 - 1.0 / share);
        } else if best.is_none_or(|(most, _)| share > most * (1.0 + 1e-9)) {
            best = Some((share, reading.index));
        }
    }
    match best {
        Some((share, index)) if under.is_empty() => (0.1 * share, vec![index]),
        _ => (score, under),
    }
}

/// The lines that look best from each point that has unchecked readings, and for plumb readings from the stand.
fn candidates(state: &State<'_>, lines: &Lines<'_>, open: &[Unchecked]) -> Vec<Line> {
    let network = state.network;
    let mut count = vec![0usize; network.point_count()];
    for reading in open {
        for &p in network.observations[reading.index].points() {
            count[p] += 1;
        }
    }
    let most = if network.unknowns > LARGE {
        MOST_TRIED_LARGE
    } else {
        MOST_TRIED
    };
    // A point that is not pinned down has other worries first.
    let mut points: Vec<usize> = (0..count.len())
        .filter(|&p| count[p] > 0 && state.covariance[p].is_some())
        .collect();
    points.sort_by_key(|&p| (std::cmp::Reverse(count[p]), p));
    points.truncate(most);
    let mut by_point: Vec<Vec<(f64, Line)>> = points
        .iter()
        .map(|&p| at_a_point(state, lines, open, p))
        .collect();
    by_point.insert(0, at_the_stand(state, lines, open));
    let mut chosen: Vec<Line> = Vec::new();
    for rank in 0..TRIED_AT_A_POINT {
        for list in &by_point {
            if let Some((_, line)) = list.get(rank)
                && !chosen.iter().any(|known| known.same(line))
                && chosen.len() < most
            {
                chosen.push(*line);
            }
        }
    }
    chosen
}

/// Open lines from a point by how much they would add to the redundancies of its unchecked readings, best first.
fn at_a_point(state: &State<'_>, lines: &Lines<'_>, open: &[Unchecked], p: usize) -> Vec<(f64, Line)> {
    let network = state.network;
    let slot = |points: &[usize]| points.iter().position(|&q| q == p);
    let mut normal = Matrix3::zeros();
    for (o, _) in network
        .observations
        .iter()
        .zip(&state.fit.active)
        .filter(|(_, active)| **active)
    {
        if let Some(slot) = slot(o.points()) {
            let g = predicted(o, &state.fit.at).by_point[slot];
            normal += g * g.transpose() / (o.sd * o.sd);
        }
    }
    for k in (0..3).filter(|&k| network.fixed[p][k]) {
        normal[(k, k)] += 1e9;
    }
    // A point that hangs on others through few readings is not held by itself; a metre keeps it finite.
    let Some(spread) = (normal + Matrix3::identity() * 1e-6).try_inverse() else {
        return Vec::new();
    };
    let rows: Vec<(Vec3, f64)> = open
        .iter()
        .filter_map(|reading| {
            let o = &network.observations[reading.index];
            let g = predicted(o, &state.fit.at).by_point[slot(o.points())?];
            Some((spread * g, reading.sd))
        })
        .collect();
    let mut scored: Vec<(f64, Line)> = Vec::new();
    for q in lines.around(p) {
        if state.covariance[q].is_none() {
            continue;
        }
        for &kind in lines.kinds() {
            let line = Line { kind, a: p, b: q };
            if !lines.open(&line) {
                continue;
            }
            let there = lines.predicted(&line, &state.fit.at);
            let own = there.by_point[0];
            let sd = lines.sd(kind, there.value);
            let total = sd * sd + own.dot(&(spread * own));
            let dear = if kind == Kind::Tape { 1.0 } else { TAPE_FIRST };
            let score: f64 = rows
                .iter()
                .map(|(row, own_sd)| (row.dot(&own) / own_sd).powi(2) / total)
                .sum();
            scored.push((score / dear, line));
        }
    }
    best_first(scored)
}

/// The same for the plumb line of the stand, where slopes and rises are unchecked.
fn at_the_stand(state: &State<'_>, lines: &Lines<'_>, open: &[Unchecked]) -> Vec<(f64, Line)> {
    let Some(stand) = lines.stand() else {
        return Vec::new();
    };
    let network = state.network;
    let plumb = |index: usize| network.observations[index].kind.needs_plumb();
    if !open.iter().any(|reading| plumb(reading.index)) {
        return Vec::new();
    }
    let turns = crate::solve::across(&state.fit.at.ups[stand]);
    let tilt = |there: &Predicted| {
        nalgebra::Vector2::new(there.by_plumb.dot(&turns[0]), there.by_plumb.dot(&turns[1]))
    };
    let mut normal = nalgebra::Matrix2::zeros();
    let mut ends: Vec<usize> = Vec::new();
    for (index, o) in network.observations.iter().enumerate() {
        if state.fit.active[index] && o.kind.needs_plumb() {
            let g = tilt(&predicted(o, &state.fit.at));
            normal += g * g.transpose() / (o.sd * o.sd);
            ends.extend(o.points());
        }
    }
    let Some(spread) = (normal + nalgebra::Matrix2::identity() * 1e-6).try_inverse() else {
        return Vec::new();
    };
    let rows: Vec<_> = open
        .iter()
        .filter(|reading| plumb(reading.index))
        .map(|reading| {
            (
                spread * tilt(&predicted(&network.observations[reading.index], &state.fit.at)),
                reading.sd,
            )
        })
        .collect();
    ends.sort_unstable();
    ends.dedup();
    ends.truncate(MOST_TRIED);
    let mut scored: Vec<(f64, Line)> = Vec::new();
    for &p in &ends {
        for q in lines
            .around(p)
            .into_iter()
            .filter(|&q| state.covariance[q].is_some())
        {
            for kind in [Kind::Slope, Kind::Rise] {
                let line = Line { kind, a: p, b: q };
                if !lines.open(&line) {
                    continue;
                }
                let there = lines.predicted(&line, &state.fit.at);
                let own = tilt(&there);
                let sd = lines.sd(kind, there.value);
                let total = sd * sd + own.dot(&(spread * own));
                let score: f64 = rows
                    .iter()
                    .map(|(row, own_sd)| (row.dot(&own) / own_sd).powi(2) / total)
                    .sum();
                scored.push((score, line));
            }
        }
    }
    best_first(scored)
}

fn best_first(mut scored: Vec<(f64, Line)>) -> Vec<(f64, Line)> {
    let place = |line: &Line| (line.kind, line.a, line.b);
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(place(&a.1).cmp(&place(&b.1))));
    scored
}
