//! Which readings may share an offset: what carries one name in the sheet, and runs of rows.

use super::Shared;
use crate::doubts::linear::Linear;
use crate::doubts::set::ALL_TOGETHER;
use crate::fit::Fit;
use crate::network::{Configuration, Network, takes_offset};
use crate::solve::predicted;
use std::collections::BTreeMap;
use survey::{Quantity, Survey};

/// Fewer readings are no sheet.
const LEAST: usize = 4;
/// So many readings must be off alike for a run to be looked for.
const ALIKE_READINGS: usize = 3;
/// A misfit counts for no more than this many squared deviations when a run is looked for.
const CLIP: f64 = 25.0;
/// Two amounts are one within so many deviations.
const ALIKE: f64 = 4.0;

/// Readings that may share an amount.
pub(super) struct Candidate {
    /// By how much chi-square falls when they do.
    pub(super) gain: f64,
    /// Observation indices, ascending.
    pub(super) group: Vec<usize>,
    /// Whether the sheet sets them apart; else they are a run of rows that could begin and end anywhere.
    pub(super) named: bool,
}

/// Groups that may share an amount, each with how much chi-square falls when it does, without these readings: the
/// named ones, and runs of rows. `plain` is what is held out where nothing is shared.
pub(super) fn ranked(
    network: &Network,
    survey: &Survey,
    all: &Fit,
    at: &Configuration,
    without: &[usize],
    plain: &[usize],
) -> Vec<Candidate> {
    let used: Vec<usize> = (0..network.observations.len())
        .filter(|&i| all.active[i])
        .collect();
    let named = named(network, survey, all).into_iter().map(|group| (group, true));
    let runs = runs(network, &all.active, at)
        .into_iter()
        .map(|group| (group, false));
    let groups = named.chain(runs);
    if used.len() > ALL_TOGETHER {
        return groups
            .map(|(group, named)| Candidate {
                gain: gain(network, all, &group),
                group,
                named,
            })
            .collect();
    }
    let linear = Linear::new(network, &all.active, at, used, 0);
    let place = |index: usize| linear.readings.binary_search(&index).ok();
    let out: Vec<usize> = without.iter().filter_map(|&i| place(i)).collect();
    let rest = linear.without(&out);
    let sd = |i: usize| network.observations[linear.readings[i]].sd;
    // What the amount must explain, by and large: what is held out without it.
    let mut all_out: Vec<usize> = plain
        .iter()
        .filter_map(|&i| place(i))
        .chain(out.iter().copied())
        .collect();
    all_out.sort_unstable();
    all_out.dedup();
    let needed = 0.5 * (linear.without(&all_out).gain - rest.gain);
    let mut found: Vec<Candidate> = groups
        .map(|(group, named)| {
            let places: Vec<usize> = group
                .iter()
                .filter_map(|&i| place(i))
                .filter(|i| !out.contains(i))
                .collect();
            Candidate {
                gain: rest.gain_of_shared(&linear, &places, &sd),
                group,
                named,
            }
        })
        .collect();
    let mut order: Vec<usize> = in_order(network, &all.active, at)
        .iter()
        .filter_map(|(i, _)| place(*i))
        .filter(|i| !out.contains(i))
        .collect();
    // The best run, and the best of the rows before and after it.
    for _ in 0..2 {
        let Some((run, gain)) = rest.best_run(&linear, &order, LEAST, &sd) else {
            break;
        };
        let mut group: Vec<usize> = order.drain(run).map(|i| linear.readings[i]).collect();
        group.sort_unstable();
        found.push(Candidate {
            gain,
            group,
            named: false,
        });
    }
    found.retain(|candidate| candidate.gain > needed);
    found
}

/// Readings of one instrument, of one person, of one day, of a person's day or instrument, lengths and angles apart,
/// and rows that were read from the same end.
fn named(network: &Network, survey: &Survey, all: &Fit) -> Vec<Vec<usize>> {
    let mut groups: BTreeMap<(u8, String, String, bool), Vec<usize>> = BTreeMap::new();
    for (index, o) in network.observations.iter().enumerate() {
        let angle = o.kind.quantity() == Quantity::Angle;
        if !all.active[index] || o.kept || !(angle || takes_offset(o.kind)) {
            continue;
        }
        let reading = &survey.readings[o.reading];
        let instrument = survey.instrument_of(reading).map_or("", |i| i.name.as_str());
        let day = reading.at.get(..10).unwrap_or(&reading.at);
        let keys = [instrument, reading.by.as_str(), day];
        for (n, key) in keys.iter().enumerate().filter(|(_, key)| !key.is_empty()) {
            groups
                .entry((n as u8, (*key).to_owned(), String::new(), angle))
                .or_default()
                .push(index);
            for (m, other) in keys
                .iter()
                .enumerate()
                .skip(n + 1)
                .filter(|(_, other)| !other.is_empty())
            {
                let both = (
                    10 + (3 * n + m) as u8,
                    (*key).to_owned(),
                    (*other).to_owned(),
                    angle,
                );
                groups.entry(both).or_default().push(index);
            }
        }
    }
    let mut found: Vec<Vec<usize>> = groups.into_values().collect();
    found.extend(read_alike(network, survey, all));
    found.retain(|group| group.len() >= LEAST);
    found
}

/// Lengths that follow each other in the sheet and were read from the same end, where not all of the sheet was.
fn read_alike(network: &Network, survey: &Survey, all: &Fit) -> Vec<Vec<usize>> {
    let order = in_order(network, &all.active, &all.at);
    let from = |i: usize| survey.readings[network.observations[i].reading].from;
    let mut runs: Vec<Vec<usize>> = Vec::new();
    for (i, _) in order {
        match runs.last_mut() {
            Some(run) if from(run[0]) == from(i) => run.push(i),
            _ => runs.push(vec![i]),
        }
    }
    if runs.len() < 2 {
        return Vec::new();
    }
    runs.iter_mut().for_each(|run| run.sort_unstable());
    runs
}

/// By how much one offset for the group lowers chi-square with everything in, solved in full.
fn gain(network: &Network, all: &Fit, group: &[usize]) -> f64 {
    let with = network.with_shared_offset(group);
    let mut at = all.at.clone();
    at.offsets.push(0.0);
    let fit = Fit::new(&with, &all.active, at);
    if fit.free_motions(&with) > all.free_motions(network) {
        return 0.0;
    }
    all.chi_square - fit.chi_square
}

/// Lengths in the order of the sheet, with what they are off by here.
fn in_order(network: &Network, active: &[bool], at: &Configuration) -> Vec<(usize, f64)> {
    let mut order: Vec<usize> = (0..network.observations.len())
        .filter(|&i| active[i] && !network.observations[i].kept && takes_offset(network.observations[i].kind))
        .collect();
    order.sort_by_key(|&i| network.observations[i].reading);
    order
        .into_iter()
        .map(|i| {
            let o = &network.observations[i];
            (i, predicted(o, at).value - o.value)
        })
        .collect()
}

/// Runs of rows that one amount explains best: for each amount that several readings are off by, the run with the
/// greatest sum of what it explains (J. Kadane's scan).
fn runs(network: &Network, active: &[bool], at: &Configuration) -> Vec<Vec<usize>> {
    let order = in_order(network, active, at);
    let sd = |i: usize| network.observations[i].sd;
    let far: Vec<(usize, f64)> = order
        .iter()
        .copied()
        .filter(|&(i, off)| off.abs() > 5.0 * sd(i))
        .collect();
    let mut amounts: Vec<(usize, f64)> = far
        .iter()
        .map(|&(i, off)| {
            let like = far
                .iter()
                .filter(|&&(j, other)| (other - off).abs() < ALIKE * sd(i).hypot(sd(j)))
                .count();
            (like, off)
        })
        .filter(|(like, _)| *like >= ALIKE_READINGS)
        .collect();
    amounts.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.total_cmp(&b.1)));
    let mut found: Vec<Vec<usize>> = Vec::new();
    for (_, amount) in amounts.into_iter().take(8) {
        found.extend(
            best_run(network, &order, amount).filter(|run| run.len() >= LEAST && !found.contains(run)),
        );
    }
    found
}

fn best_run(network: &Network, order: &[(usize, f64)], amount: f64) -> Option<Vec<usize>> {
    let mut best = (0.0, 0..0);
    let (mut sum, mut start) = (0.0, 0);
    for (n, &(i, off)) in order.iter().enumerate() {
        let sd = network.observations[i].sd;
        let square = |x: f64| (x / sd).powi(2).min(CLIP);
        sum += square(off) - square(off - amount);
        if sum <= 0.0 {
            (sum, start) = (0.0, n + 1);
        } else if sum > best.0 {
            best = (sum, start..n + 1);
        }
    }
    let mut run: Vec<usize> = order[best.1].iter().map(|(i, _)| *i).collect();
    run.sort_unstable();
    (!run.is_empty()).then_some(run)
}

/// Whether a group is a run of rows: no length between its first and its last is left out.
pub(super) fn is_run(network: &Network, all: &Fit, group: &[usize]) -> bool {
    let order = in_order(network, &all.active, &all.at);
    let mut places: Vec<usize> = group
        .iter()
        .filter_map(|i| order.iter().position(|(j, _)| j == i))
        .collect();
    places.sort_unstable();
    places.len() == group.len() && places.windows(2).all(|pair| pair[0] + 1 == pair[1])
}

/// Where the group of a solution is a run of rows that should be longer or shorter: that run.
pub(super) fn whole_run(network: &Network, shared: &Shared, group: &[usize]) -> Option<Vec<usize>> {
    let amount = -shared.found.fit.at.offsets.last()?;
    let order = in_order(network, &shared.all.active, &shared.found.fit.at);
    let run = best_run(network, &order, -amount)?;
    (is_run(network, &shared.all, group) && run != group && run.len() >= LEAST).then_some(run)
}
