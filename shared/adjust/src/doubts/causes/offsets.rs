//! Readings that are all off by one amount: an instrument, a person's sheet, a run of rows.

pub(crate) mod amount;
mod groups;

use super::{CONVINCING, Cause, OFF, odds, slip_alone};
use crate::doubts::robust;
use crate::doubts::set::{Found, explained, smallest_set};
use crate::fit::Fit;
use crate::network::{Configuration, Network};
use crate::result::Estimate;
use crate::slips::prior;
use crate::solve::{System, misfit, predicted};
use amount::{MOST_MM, MOST_RAD};
use groups::{ranked, whole_run};
use survey::{Quantity, Survey};

/// So many removals must be there for a run of rows to be looked for, and so many readings to share an amount.
const WORTH_IT: usize = 3;
/// An amount must lower chi-square by so much to be looked at.
const LEAST_GAIN: f64 = 30.0;
/// An amount stands out from zero by so many deviations.
const SIGNIFICANT: f64 = 5.0;
/// Groups solved in full.
const MOST_TRIED: usize = 4;

/// A survey with one offset that some readings share, solved.
pub(crate) struct Shared {
    /// The network with the offset as an unknown.
    pub(crate) network: Network,
    /// Everything in.
    pub(crate) all: Fit,
    pub(crate) found: Found,
    pub(crate) cause: Cause,
    /// Logarithm of the density of the whole survey with it.
    log_density: f64,
}

/// The group whose common amount leaves the fewest removals, where that is no more than are needed without, and
/// likelier: `plain` is what is held out then and the causes in it, each of which counts once; `at` a robust solution
/// without any offset.
pub(crate) fn shared(
    network: &Network,
    survey: &Survey,
    all: &Fit,
    at: &Configuration,
    plain: Option<&(Found, Vec<Cause>)>,
) -> Option<Shared> {
    let at = plain.map_or(at, |(found, _)| &found.fit.at);
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
    let removals = |(found, causes): &(Found, Vec<Cause>), counts: &dyn Fn(&usize) -> bool| {
        let explained = |i: &usize| causes.iter().any(|cause| cause.readings.contains(i));
        causes.len() + found.out.iter().filter(|i| !explained(i) && counts(i)).count()
    };
    let limit = plain.map_or(usize::MAX, |plain| removals(plain, &|_| true));
    let open = plain.map_or(usize::MAX, |plain| removals(plain, &|i| !big.contains(i)));
    if open == 0 {
        return None;
    }
    let held_out = plain.map_or(&[][..], |(found, _)| &found.out);
    let mut tried = ranked(network, survey, all, at, &big, held_out);
    // A sheet can look like marks that moved.
    let caused: usize = plain.map_or(0, |(_, causes)| {
        causes.iter().map(|cause| cause.readings.len()).sum()
    });
    let fails = plain.is_none_or(|(found, _)| {
        let dof = found.fit.degrees_of_freedom(network) as f64;
        found.fit.chi_square > crate::quantiles::chi_square_quantile(0.995, dof)
    });
    tried.retain(|candidate| open >= WORTH_IT || caused >= WORTH_IT || fails || candidate.named);
    tried.retain(|candidate| candidate.gain > LEAST_GAIN);
    tried.sort_by(|a, b| {
        b.gain
            .total_cmp(&a.gain)
            .then_with(|| a.group.cmp(&b.group))
            .then(b.named.cmp(&a.named))
    });
    tried.dedup_by(|a, b| a.group == b.group);
    let plain_density = plain.map(|(found, causes)| {
        let fit = Fit::with_system(
            network,
            &found.fit.active,
            found.fit.at.clone(),
            all.system.clone(),
        );
        let alone = |i: &&usize| !causes.iter().any(|cause| cause.readings.contains(i));
        let slips = found
            .out
            .iter()
            .filter(alone)
            .map(|&i| slip_alone(network, survey, &found.fit, i));
        fit.log_likelihood(network) + slips.sum::<f64>() + causes.iter().map(|c| c.log_density).sum::<f64>()
    });
    let mut best: Option<Shared> = None;
    for candidate in tried.into_iter().take(MOST_TRIED) {
        let (mut group, named) = (candidate.group, candidate.named);
        for _ in 0..3 {
            let Some(shared) = solved(network, survey, all, &group, named, at) else {
                break;
            };
            let again = whole_run(network, &shared, &group).filter(|_| !named);
            // With as many removals as without it, a cause must be much likelier.
            let fewer = shared.found.out.len() + 1 < limit;
            let lead = if fewer { 0.0 } else { CONVINCING };
            let likelier = |than: f64| shared.log_density > than;
            let fits =
                shared.found.out.len() < limit && plain_density.is_none_or(|plain| likelier(plain + lead));
            if fits && best.as_ref().is_none_or(|best| likelier(best.log_density)) {
                best = Some(shared);
            }
            match again {
                Some(run) => group = run,
                None => break,
            }
        }
    }
    if let (Some(shared), Some(plain)) = (&mut best, plain_density) {
        shared.cause.odds = odds(shared.log_density, plain);
    }
    best.filter(|shared| shared.cause.odds > 0.5)
}

/// The survey with one offset for a group, searched for single slips besides.
fn solved(
    network: &Network,
    survey: &Survey,
    all: &Fit,
    group: &[usize],
    named: bool,
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
        let (at, far) = robust::solution(&with, &everything, everything.at.clone(), &robust::SCALES);
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
    if readings.len() < WORTH_IT || amount.value.abs() < SIGNIFICANT * amount.sd {
        return None;
    }
    let angle = network.observations[readings[0]].kind.quantity() == Quantity::Angle;
    let rows: Vec<usize> = readings
        .iter()
        .map(|&i| network.observations[i].reading)
        .collect();
    let slip = amount::name(network, survey, &readings, amount);
    // A run can begin and end anywhere, a name stands in the sheet.
    let choices = if named {
        1.0
    } else {
        (all.readings() * all.readings()) as f64 / 2.0
    };
    let log_density = (OFF * prior(slip) / choices).ln() + amount::log_density(survey, &rows, amount, angle);
    let compared = {
        let system = System::new(&with, all.system.gauge.clone());
        Fit::with_system(&with, &found.fit.active, found.fit.at.clone(), system).log_likelihood(&with)
    };
    let slips: f64 = found
        .out
        .iter()
        .map(|&i| slip_alone(&with, survey, &found.fit, i))
        .sum();
    // Where no single slips explain the survey, they would have to be as many as the group has readings.
    let alone = readings.len() as f64 * OFF.ln();
    let cause = Cause {
        slip,
        points: Vec::new(),
        amount: Some(amount),
        belongs_to: Vec::new(),
        odds: odds(log_density, alone),
        log_density,
        held_out: true,
        readings,
    };
    Some(Shared {
        network: with,
        all: everything,
        found,
        cause,
        log_density: log_density + compared + slips,
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
