//! Readings that are all off by one amount: an instrument, a person's sheet, a run of rows.

use super::{Cause, OFF, odds};
use crate::doubts::linear::Linear;
use crate::doubts::robust;
use crate::doubts::set::{ALL_TOGETHER, Found, explained, smallest_set};
use crate::fit::Fit;
use crate::network::{Configuration, Network, takes_offset};
use crate::result::{Estimate, Slip};
use crate::slips::{NONE_OF_THESE, prior};
use crate::solve::{misfit, predicted};
use std::collections::BTreeMap;
use survey::{INCH_MM, Quantity, ReadFrom, Survey};

/// Fewer readings are no sheet.
const LEAST: usize = 4;
/// So many single slips must be there to be explained, unless nothing explains them.
const WORTH_IT: usize = 3;
/// No sheet is off by more.
const MOST_MM: f64 = 60.0;
const MOST_RAD: f64 = 0.1;
/// An amount must lower chi-square by so much to be looked at.
const LEAST_GAIN: f64 = 30.0;
/// Groups solved in full.
const MOST_TRIED: usize = 4;
/// A misfit counts for no more than this many squared deviations when a run is looked for.
const CLIP: f64 = 25.0;
/// Two amounts are one within so many deviations.
const ALIKE: f64 = 4.0;
/// "None of these" lies anywhere within ±2 m, or ±90°.
const ANYWHERE_MM: f64 = 4000.0;

/// A survey with one offset that some readings share, solved.
pub(crate) struct Shared {
    /// The network with the offset as an unknown.
    pub(crate) network: Network,
    /// Everything in.
    pub(crate) all: Fit,
    pub(crate) found: Found,
    pub(crate) cause: Cause,
}

/// The group whose common amount leaves the fewest removals, where that is fewer than single slips need: `plain` is
/// what those need, `at` a robust solution without any offset.
pub(crate) fn shared(
    network: &Network,
    survey: &Survey,
    all: &Fit,
    at: &Configuration,
    plain: Option<&Found>,
) -> Option<Shared> {
    let at = plain.map_or(at, |plain| &plain.fit.at);
    if !network.offset_column.is_empty() {
        return None;
    }
    // What is off by more than any sheet is stays out of the question.
    let far = |index: &usize| {
        let o = &network.observations[*index];
        let off = predicted(o, at).value - o.value;
        let most = if o.kind.quantity() == Quantity::Angle {
            MOST_RAD
        } else {
            MOST_MM
        };
        all.active[*index] && !o.kept && off.abs() > most
    };
    let big: Vec<usize> = (0..network.observations.len()).filter(far).collect();
    let limit = plain.map_or(usize::MAX, |plain| plain.out.len());
    let open = plain.map_or(usize::MAX, |plain| {
        plain.out.iter().filter(|i| !big.contains(i)).count()
    });
    if open < WORTH_IT {
        return None;
    }
    let mut tried = ranked(network, survey, all, at, &big);
    tried.retain(|(gain, _)| *gain > LEAST_GAIN);
    tried.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    tried.dedup_by(|a, b| a.1 == b.1);
    let mut best: Option<Shared> = None;
    for (_, group) in tried.into_iter().take(MOST_TRIED) {
        let mut group = group;
        for _ in 0..3 {
            let Some(shared) = solved(network, survey, all, &group, at) else {
                break;
            };
            let again = whole_run(network, &shared, &group);
            let fewer = |a: &Shared, b: &Shared| {
                let rank = |s: &Shared| (s.found.out.len(), s.found.fit.chi_square);
                rank(a) < rank(b)
            };
            if shared.found.out.len() + 1 < limit && best.as_ref().is_none_or(|b| fewer(&shared, b)) {
                best = Some(shared);
            }
            match again {
                Some(run) => group = run,
                None => break,
            }
        }
    }
    best
}

/// Readings of one instrument, of one person, of one day, and of a person's day or instrument, lengths and angles
/// apart.
fn named(network: &Network, survey: &Survey, all: &Fit) -> Vec<Vec<usize>> {
    let mut groups: BTreeMap<(u8, String, String, bool), Vec<usize>> = BTreeMap::new();
    for (index, o) in network.observations.iter().enumerate() {
        let angle = o.kind.quantity() == Quantity::Angle;
        if !all.active[index] || !(angle || takes_offset(o.kind)) {
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
    groups
        .into_values()
        .filter(|group| group.len() >= LEAST)
        .collect()
}

/// Groups that may share an amount, each with how much chi-square falls when it does, without these readings: the
/// named ones, and runs of rows.
fn ranked(
    network: &Network,
    survey: &Survey,
    all: &Fit,
    at: &Configuration,
    without: &[usize],
) -> Vec<(f64, Vec<usize>)> {
    let used: Vec<usize> = (0..network.observations.len())
        .filter(|&i| all.active[i])
        .collect();
    let mut groups = named(network, survey, all);
    groups.extend(runs(network, &all.active, at));
    if used.len() > ALL_TOGETHER {
        return groups
            .into_iter()
            .map(|group| (gain(network, all, &group), group))
            .collect();
    }
    let linear = Linear::new(network, &all.active, at, used, 0);
    let place = |index: usize| linear.readings.binary_search(&index).ok();
    let out: Vec<usize> = without.iter().filter_map(|&i| place(i)).collect();
    let rest = linear.without(&out);
    let sd = |i: usize| network.observations[linear.readings[i]].sd;
    let mut found: Vec<(f64, Vec<usize>)> = groups
        .into_iter()
        .map(|group| {
            let places: Vec<usize> = group
                .iter()
                .filter_map(|&i| place(i))
                .filter(|i| !out.contains(i))
                .collect();
            (rest.gain_of_shared(&linear, &places, &sd), group)
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
        found.push((gain, group));
    }
    found
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
        .filter(|&i| active[i] && takes_offset(network.observations[i].kind))
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
        .filter(|(like, _)| *like >= WORTH_IT)
        .collect();
    amounts.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.total_cmp(&b.1)));
    let mut found: Vec<Vec<usize>> = Vec::new();
    for (_, amount) in amounts.into_iter().take(8) {
        found.extend(
            best_run(network, &order, amount).filter(|run| run.len() >= WORTH_IT && !found.contains(run)),
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

/// Where the group of a solution is a run of rows that should be longer or shorter: that run.
fn whole_run(network: &Network, shared: &Shared, group: &[usize]) -> Option<Vec<usize>> {
    let amount = -shared.found.fit.at.offsets.last()?;
    let order = in_order(network, &shared.all.active, &shared.found.fit.at);
    let place = |i: &usize| order.iter().position(|(j, _)| j == i);
    let mut places: Vec<usize> = group.iter().filter_map(place).collect();
    places.sort_unstable();
    let is_run = places.len() == group.len() && places.windows(2).all(|pair| pair[0] + 1 == pair[1]);
    let run = best_run(network, &order, -amount)?;
    (is_run && run != group && run.len() >= WORTH_IT).then_some(run)
}

/// The survey with one offset for a group, searched for single slips besides.
fn solved(
    network: &Network,
    survey: &Survey,
    all: &Fit,
    group: &[usize],
    at: &Configuration,
) -> Option<Shared> {
    let with = network.with_shared_offset(group);
    // Single slips that were held out in vain may have bent the arrangement: the undisturbed one is tried too.
    let everything = [at, &all.at]
        .map(|at| Fit::new(&with, &all.active, with_median_offset(network, group, at)))
        .into_iter()
        .min_by(|a, b| a.chi_square.total_cmp(&b.chi_square))?;
    if everything.free_motions(&with) > all.free_motions(network) {
        return None;
    }
    let found = if explained(&with, &everything) {
        Found {
            out: Vec::new(),
            fit: everything.clone(),
            rivals: Vec::new(),
        }
    } else {
        let (at, far) = robust::solution(&with, &everything, everything.at.clone(), &[10.0, 4.0, 2.5]);
        if robust::hopeless(&everything, &far) {
            return None;
        }
        smallest_set(&with, &everything, at, far)?
    };
    let readings: Vec<usize> = group.iter().copied().filter(|i| !found.out.contains(i)).collect();
    let unknown = with.offset_column.last()?;
    let column = found.fit.inverse_times(&[(*unknown, 1.0)]);
    let amount = Estimate {
        value: -*found.fit.at.offsets.last()?,
        sd: column[*unknown].max(0.0).sqrt(),
    };
    let (slip, known) = name(network, survey, &readings, amount);
    let shared = (OFF * prior(slip)).ln();
    let alone: f64 = readings
        .iter()
        .map(|&i| {
            let o = &network.observations[i];
            let flat = NONE_OF_THESE / ANYWHERE_MM * o.sd * (2.0 * std::f64::consts::PI).sqrt();
            (OFF * known.map_or(flat, |single| prior(single).max(flat))).ln()
        })
        .sum();
    let cause = Cause {
        slip,
        points: Vec::new(),
        amount: Some(amount),
        belongs_to: Vec::new(),
        odds: odds(shared, alone),
        held_out: true,
        readings,
    };
    (cause.readings.len() >= WORTH_IT).then_some(Shared {
        network: with,
        all: everything,
        found,
        cause,
    })
}

/// A configuration with one more offset: the median of what the group is off by.
fn with_median_offset(network: &Network, group: &[usize], at: &Configuration) -> Configuration {
    let mut offs: Vec<f64> = group
        .iter()
        .map(|&i| {
            let o = &network.observations[i];
            misfit(o, predicted(o, at).value, at)
        })
        .collect();
    offs.sort_by(f64::total_cmp);
    let mut with = at.clone();
    with.offsets
        .push(offs.get(offs.len() / 2).copied().unwrap_or(0.0));
    with
}

/// What an amount that readings share is called, and the single slip that would do the same: a toggle that was
/// forgotten where it was on before or after, else a whole sheet.
fn name(network: &Network, survey: &Survey, readings: &[usize], amount: Estimate) -> (Slip, Option<Slip>) {
    let close = |known: f64| (amount.value - known).abs() < ALIKE * amount.sd.max(0.25);
    let rows: Vec<usize> = readings
        .iter()
        .map(|&i| network.observations[i].reading)
        .collect();
    let (Some(first), Some(last)) = (rows.iter().min(), rows.iter().max()) else {
        return (Slip::WholeSheet, None);
    };
    let from_of = |row: usize| survey.readings.get(row).map(|reading| reading.from);
    let beside = [first.checked_sub(1).and_then(from_of), from_of(last + 1)];
    let own = survey.readings[*first].from;
    let forgotten = [(ReadFrom::BurnInch, INCH_MM), (ReadFrom::Burn100mm, 100.0)]
        .into_iter()
        .any(|(from, length)| {
            beside.contains(&Some(from)) && own == ReadFrom::Hook && close(length)
                || own == from && beside.contains(&Some(ReadFrom::Hook)) && close(-length)
        });
    if forgotten {
        return (Slip::FromForgotten, Some(Slip::FromForgotten));
    }
    let known = [
        (Slip::BurnedInch, INCH_MM),
        (Slip::Decimetre, 100.0),
        (Slip::Decimetre, -100.0),
        (Slip::Inch, -INCH_MM),
        (Slip::HalfInch, INCH_MM / 2.0),
        (Slip::HalfInch, -INCH_MM / 2.0),
    ];
    (
        Slip::WholeSheet,
        known
            .into_iter()
            .find(|(_, length)| close(*length))
            .map(|(slip, _)| slip),
    )
}
