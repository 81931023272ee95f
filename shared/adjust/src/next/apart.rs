//! Readings that tell which of an unclear group is off.
//!
//! Each explanation of the group is solved by itself and predicts every line; the line on whose value they differ
//! most is the one to read. Reading one of the group again is such a line, too.

use super::lines::{Line, Lines};
use super::{After, LARGE, OpenGroup, Serves, State, TAPE_FIRST, Wish, agreed, id, listed};
use crate::fit::Fit;
use crate::result::Purpose;
use survey::Kind;

/// A difference of so many standard deviations tells two explanations apart.
const TELLS: f64 = 5.0;
/// More than this counts no more.
const ENOUGH: f64 = 10.0;
/// How many lines are worked out in full for one group, and how many are named.
const TRIED: usize = 8;
const NAMED: usize = 3;
/// How many explanations are solved in all; a survey with many unknowns takes long.
const SOLVES: usize = 24;
const SOLVES_LARGE: usize = 4;
/// An explanation that fits worse than the best by more than this is none: what leads to a group allows 10.8, and
/// groups that share a reading are one.
const FITS: f64 = 25.0;

/// The readings that tell the explanations of each group apart.
pub(crate) fn wishes(state: &State<'_>, lines: &Lines<'_>) -> Vec<Wish> {
    let mut left = if state.network.unknowns > LARGE {
        SOLVES_LARGE
    } else {
        SOLVES
    };
    let mut found = Vec::new();
    for group in state.groups {
        let count = group.explanations.len().min(left);
        left -= count;
        let fits = solved(state, group, count);
        let chosen = if fits.len() > 1 {
            told_apart(state, lines, group, &fits)
        } else {
            Vec::new()
        };
        // Where nothing tells more, the readings themselves are read again.
        let lines: Vec<Line> = if chosen.is_empty() {
            group
                .readings
                .iter()
                .filter_map(|&index| lines.repeat(index))
                .collect()
        } else {
            chosen
        };
        found.extend(lines.into_iter().map(|line| wish(state, group, line, &fits)));
    }
    found
}

fn wish(state: &State<'_>, group: &OpenGroup, line: Line, fits: &[Fit]) -> Wish {
    let again = group.readings.iter().find(|&&index| {
        let o = &state.network.observations[index];
        o.kind == line.kind && o.points().contains(&line.a) && o.points().contains(&line.b)
    });
    let ids: Vec<&str> = group.readings.iter().map(|&index| id(state, index)).collect();
    let which = format!("shows which of {} is off", listed(&ids));
    Wish {
        line,
        purpose: Purpose::TellsApart,
        serves: Serves::readings(&group.readings),
        why: match again {
            Some(&index) => {
                format!(
                    "read it again, without looking at the first number ({}): it {which}",
                    id(state, index)
                )
            }
            None => which,
        },
        after: if state.network.unknowns > LARGE {
            After::Open
        } else {
            agreed(
                state,
                &line,
                &fits.iter().chain([state.fit]).collect::<Vec<_>>(),
                &[],
            )
        },
    }
}

/// The survey as each explanation has it, those that do not fit left out.
fn solved(state: &State<'_>, group: &OpenGroup, count: usize) -> Vec<Fit> {
    let mut fits: Vec<Fit> = group.explanations[..count]
        .iter()
        .map(|(out, at)| {
            let mut active = state.fit.active.clone();
            for &index in &group.readings {
                active[index] = true;
            }
            for &index in out {
                active[index] = false;
            }
            Fit::new(state.network, &active, at.clone())
        })
        .collect();
    let best = fits
        .iter()
        .map(|fit| fit.chi_square)
        .fold(f64::INFINITY, f64::min);
    if fits.iter().filter(|fit| fit.chi_square <= best + FITS).count() > 1 {
        fits.retain(|fit| fit.chi_square <= best + FITS);
    }
    fits
}

/// The fewest lines, at most three, that between them tell every two explanations apart.
fn told_apart(state: &State<'_>, lines: &Lines<'_>, group: &OpenGroup, fits: &[Fit]) -> Vec<Line> {
    let differences: Vec<(Line, Vec<f64>)> = candidates(state, lines, group, fits)
        .into_iter()
        .map(|line| (line, differences(state, lines, &line, fits)))
        .collect();
    let pairs = fits.len() * (fits.len() - 1) / 2;
    let mut told = vec![0.0f64; pairs];
    let mut chosen: Vec<Line> = Vec::new();
    while chosen.len() < NAMED && told.iter().any(|t| *t < TELLS) {
        let mut best: Option<(f64, usize)> = None;
        for (n, (line, by_pair)) in differences.iter().enumerate() {
            let more: f64 = by_pair
                .iter()
                .zip(&told)
                .map(|(new, old)| (new.min(ENOUGH) - old.min(ENOUGH)).max(0.0))
                .sum();
            let more = more
                / if line.kind == Kind::Tape {
                    1.0
                } else {
                    TAPE_FIRST.sqrt()
                };
            if more > 1.0 && best.is_none_or(|(most, _)| more > most * (1.0 + 1e-9)) {
                best = Some((more, n));
            }
        }
        let Some((_, n)) = best else { break };
        for (old, new) in told.iter_mut().zip(&differences[n].1) {
            *old = old.max(*new);
        }
        chosen.push(differences[n].0);
    }
    chosen
}

/// The lines from the group's points on which the explanations differ most, and the group's own lines.
fn candidates(state: &State<'_>, lines: &Lines<'_>, group: &OpenGroup, fits: &[Fit]) -> Vec<Line> {
    let mut points: Vec<usize> = group
        .readings
        .iter()
        .flat_map(|&index| state.network.observations[index].points().to_vec())
        .collect();
    points.sort_unstable();
    points.dedup();
    let mut scored: Vec<(f64, Line)> = Vec::new();
    for &p in &points {
        for q in lines.around(p) {
            for &kind in lines.kinds() {
                let line = Line { kind, a: p, b: q };
                if !lines.open(&line) || scored.iter().any(|(_, known)| known.same(&line)) {
                    continue;
                }
                let values: Vec<f64> = fits
                    .iter()
                    .map(|fit| lines.predicted(&line, &fit.at).value)
                    .collect();
                let sd = lines.sd(kind, values[0]);
                let mean = values.iter().sum::<f64>() / values.len() as f64;
                let spread: f64 = values
                    .iter()
                    .map(|v| ((v - mean) / sd).abs().min(2.0 * ENOUGH))
                    .sum();
                scored.push((spread, line));
            }
        }
    }
    scored.sort_by(|a, b| {
        let place = |line: &Line| (line.kind, line.a, line.b);
        b.0.total_cmp(&a.0).then(place(&a.1).cmp(&place(&b.1)))
    });
    scored.truncate(TRIED);
    let mut candidates: Vec<Line> = group
        .readings
        .iter()
        .filter_map(|&index| lines.repeat(index))
        .collect();
    candidates.extend(scored.into_iter().map(|(_, line)| line));
    candidates
}

/// How many standard deviations every two explanations differ by on a line; 0 where one of them leaves it open.
fn differences(state: &State<'_>, lines: &Lines<'_>, line: &Line, fits: &[Fit]) -> Vec<f64> {
    let predicted: Vec<Option<(f64, f64)>> = fits
        .iter()
        .map(|fit| {
            let found = fit.predict(state.network, line.kind, &[line.a, line.b], lines.stand())?;
            Some((found.value, found.variance))
        })
        .collect();
    let mut apart = Vec::new();
    for (n, one) in predicted.iter().enumerate() {
        for other in &predicted[..n] {
            apart.push(match (one, other) {
                (Some((a, va)), Some((b, vb))) => {
                    let sd = lines.sd(line.kind, *a);
                    (a - b).abs() / (sd * sd + va.max(*vb)).sqrt()
                }
                _ => 0.0,
            });
        }
    }
    apart
}
