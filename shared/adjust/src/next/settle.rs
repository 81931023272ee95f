//! Readings that tell two places apart: of a point, or of the whole shell from its mirror image.

use super::lines::{Line, Lines};
use super::pin::other_side;
use super::{After, LARGE, Serves, State, TAPE_FIRST, Wish, agreed, label};
use crate::ambiguity::Alternative;
use crate::fit::Fit;
use crate::observe::Vec3;
use crate::result::Purpose;
use survey::Kind;

/// Below this many standard deviations a difference does not choose.
const TELLS: f64 = 5.0;
/// How many lines are worked out in full for one point.
const TRIED: usize = 6;
/// Slopes that tell the hand: two make the plumb line known, the third checks them.
const SLOPES: usize = 3;
/// The longest line along which an angle finder is laid with a straightedge: common practice, no source.
const STRAIGHTEDGE_MM: f64 = 1500.0;
/// Of so many points the lines are looked at.
const LOOKED_AT: usize = 60;

/// A reading for every point with two places, and slopes where nothing tells the shell from its mirror image.
pub(crate) fn wishes(state: &State<'_>, lines: &Lines<'_>) -> Vec<Wish> {
    let mut found = Vec::new();
    if state.other_hand.is_some() && state.network.stands.is_empty() {
        found.extend(hand(state, lines));
    }
    for other in state.two_places {
        if other.moved.len() < state.network.point_count() {
            found.extend(place(state, lines, other));
        }
    }
    found
}

/// The reading that differs most between the two arrangements, in standard deviations. Where the ends of the
/// point's readings lie nearly in line it can almost swing, and no single reading tells: then one that holds it
/// and one across that.
fn place(state: &State<'_>, lines: &Lines<'_>, other: &Alternative) -> Vec<Wish> {
    let dear = |line: &Line| {
        if line.kind == Kind::Tape {
            1.0
        } else {
            TAPE_FIRST.sqrt()
        }
    };
    let mut scored: Vec<(f64, Line)> = Vec::new();
    for line in candidates(state, lines, other) {
        let here = lines.predicted(&line, &state.fit.at).value;
        let there = lines.predicted(&line, &other.at).value;
        let told = (here - there).abs() / lines.sd(line.kind, here);
        // Beyond twenty deviations anything tells: a tape that does is as good as any.
        let counts = if line.kind == Kind::Tape {
            told
        } else {
            told.min(20.0)
        };
        scored.push((counts / dear(&line), line));
    }
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then((a.1.a, a.1.b).cmp(&(b.1.a, b.1.b))));
    let worked_out: Vec<(f64, f64, Line)> = scored
        .iter()
        .take(TRIED)
        .filter_map(|&(_, line)| {
            let found = state
                .fit
                .predict(state.network, line.kind, &[line.a, line.b], lines.stand())?;
            let there = lines.predicted(&line, &other.at).value;
            let sd = lines.sd(line.kind, found.value);
            let told = (found.value - there).abs() / (sd * sd + found.variance).sqrt();
            Some((
                told / dear(&line),
                found.variance.sqrt() / (sd * dear(&line)),
                line,
            ))
        })
        .collect();
    let best = worked_out.iter().max_by(|a, b| a.0.total_cmp(&b.0));
    if let Some(&(_, _, line)) = best.filter(|(told, ..)| *told > TELLS) {
        let why = format!("tells the two places of {} apart", label(state, line.a));
        return vec![wish(line, &other.moved, why, after(state, other, &line))];
    }
    let Some(&(_, _, first)) = worked_out.iter().max_by(|a, b| a.1.total_cmp(&b.1)) else {
        return Vec::new();
    };
    let name = label(state, first.a);
    let tried: Vec<Line> = scored
        .iter()
        .map(|(_, line)| *line)
        .filter(|line| line.a == first.a)
        .collect();
    let second = other_side(state, lines, first.a, &[first], &tried);
    let hold = format!("holds {name}, which its readings let swing almost freely");
    let tell = format!("with the one before tells the two places of {name} apart");
    std::iter::once(wish(first, &other.moved, hold, After::Open))
        .chain(second.map(|line| wish(line, &other.moved, tell, After::Open)))
        .collect()
}

fn wish(line: Line, points: &[usize], why: String, after: After) -> Wish {
    Wish {
        line,
        purpose: Purpose::Settles,
        serves: Serves::points(points),
        why,
        after,
    }
}

/// Open lines from the points that lie elsewhere to those that do not.
fn candidates(state: &State<'_>, lines: &Lines<'_>, other: &Alternative) -> Vec<Line> {
    let mut found = Vec::new();
    for &p in &other.moved {
        if !state.fit.directions(state.network, p).is_empty() {
            continue;
        }
        for q in lines.around(p) {
            if state.covariance[q].is_some() && !other.moved.contains(&q) {
                let of = |&kind: &Kind| Line { kind, a: p, b: q };
                found.extend(lines.kinds().iter().map(of).filter(|line| lines.open(line)));
            }
        }
    }
    found
}

/// The worst standard deviation afterwards, if it is the same with either place.
fn after(state: &State<'_>, other: &Alternative, line: &Line) -> After {
    if state.network.unknowns > LARGE {
        return After::Open;
    }
    let there = Fit::new(state.network, &state.fit.active, other.at.clone());
    agreed(state, line, &[state.fit, &there], &other.moved)
}

/// Lines whose slope tells up from down: long, and in directions of their own. Where only tapes were read nobody
/// knows the plumb line, so only the shape says which lines those are.
fn hand(state: &State<'_>, lines: &Lines<'_>) -> Vec<Wish> {
    let at = &state.fit.at.positions;
    let mut taken: Vec<(Line, Vec3)> = Vec::new();
    let held: Vec<usize> = (0..state.network.point_count())
        .filter(|&p| state.fit.directions(state.network, p).is_empty())
        .take(LOOKED_AT)
        .collect();
    for _ in 0..SLOPES {
        let mut best: Option<(f64, Line)> = None;
        for (n, &p) in held.iter().enumerate() {
            for &q in &held[n + 1..] {
                let line = Line {
                    kind: Kind::Slope,
                    a: p,
                    b: q,
                };
                let run = at[q] - at[p];
                if !lines.open(&line) || run.norm() > STRAIGHTEDGE_MM {
                    continue;
                }
                let across = taken
                    .iter()
                    .map(|(_, other)| run.normalize().cross(&other.normalize()).norm())
                    .fold(1.0, f64::min);
                let fresh = !taken
                    .iter()
                    .any(|(other, _)| [other.a, other.b].contains(&p) && [other.a, other.b].contains(&q));
                let score = across * run.norm();
                if fresh && best.as_ref().is_none_or(|(most, _)| score > most * (1.0 + 1e-9)) {
                    best = Some((score, line));
                }
            }
        }
        let Some((_, line)) = best else { break };
        taken.push((line, at[line.b] - at[line.a]));
    }
    taken
        .into_iter()
        .map(|(line, _)| {
            let why = "with two other slopes tells the shell from its mirror image";
            wish(line, &[], why.to_owned(), After::Open)
        })
        .collect()
}
