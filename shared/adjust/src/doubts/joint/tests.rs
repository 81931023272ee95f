//! The search against every set there is, where there are few enough of them.
//!
//! What holding a set S out does is taken from the textbook, not from [`Removal`]: chi-square falls by
//! u_Sᵀ K_SS⁻¹ u_S, the residuals become u − K_:S K_SS⁻¹ u_S and K becomes K − K_:S K_SS⁻¹ K_S: (the mean-shift
//! model; R. D. Cook and S. Weisberg, *Residuals and Influence in Regression*, 1982, from memory).

use super::{Removal, smallest};
use crate::ambiguity::AS_GOOD;
use crate::doubts::linear::Linear;
use crate::doubts::linear::tests::{Small, small};
use crate::fit::NO_REDUNDANCY;
use crate::quantiles::critical_w;
use nalgebra::{DMatrix, DVector};

/// A set that explains everything else, with the fall of chi-square.
#[derive(Debug, Clone)]
struct Explains {
    out: Vec<usize>,
    gain: f64,
}

/// Every set of the smallest size that explains the rest, up to this size; the most gain first.
fn exhaustive(linear: &Linear, most: usize) -> Vec<Explains> {
    let (k, u) = linear.dense();
    for size in 0..=most {
        let mut found: Vec<Explains> = Vec::new();
        let mut set: Vec<usize> = (0..size).collect();
        loop {
            if set.iter().all(|&i| linear.removable[i])
                && let Some(gain) = gain_if_explained(&k, &u, &linear.removable, &set)
            {
                found.push(Explains {
                    out: set.clone(),
                    gain,
                });
            }
            if !next_subset(&mut set, linear.len()) {
                break;
            }
        }
        if !found.is_empty() {
            found.sort_by(|a, b| b.gain.total_cmp(&a.gain));
            return found;
        }
    }
    Vec::new()
}

/// The next subset in order of its digits.
fn next_subset(set: &mut [usize], n: usize) -> bool {
    let size = set.len();
    let Some(place) = (0..size).rev().find(|&p| set[p] < n - size + p) else {
        return false;
    };
    set[place] += 1;
    for p in place + 1..size {
        set[p] = set[p - 1] + 1;
    }
    true
}

fn gain_if_explained(k: &DMatrix<f64>, u: &DVector<f64>, removable: &[bool], out: &[usize]) -> Option<f64> {
    let n = u.len();
    let of = |i: usize, j: usize| k[(out[i], out[j])];
    let inverse = match out.len() {
        0 => DMatrix::zeros(0, 0),
        size => {
            let own = DMatrix::from_fn(size, size, of);
            // A set that leaves an unknown open is none.
            own.clone().cholesky().filter(|root| {
                root.l()
                    .diagonal()
                    .iter()
                    .all(|pivot| pivot * pivot >= NO_REDUNDANCY)
            })?;
            own.try_inverse()?
        }
    };
    let own = DVector::from_fn(out.len(), |i, _| u[out[i]]);
    let shift = &inverse * &own;
    let gain = own.dot(&shift);
    let mut tested = 0;
    let mut worst = 0.0f64;
    for i in (0..n).filter(|i| !out.contains(i)) {
        let row = DVector::from_fn(out.len(), |j, _| k[(i, out[j])]);
        let r = k[(i, i)] - row.dot(&(&inverse * &row));
        tested += usize::from(r >= 1e-3);
        if removable[i] && r >= NO_REDUNDANCY {
            worst = worst.max((u[i] - row.dot(&shift)).abs() / r.sqrt());
        }
    }
    (worst <= critical_w(tested)).then_some(gain)
}

/// How often the search fell short of what is there.
#[derive(Debug, Default)]
struct Shortfall {
    searched: usize,
    with_removals: usize,
    larger: usize,
    less_gain: usize,
    rivals: usize,
    rivals_missed: usize,
    /// Searches that would tell of at most six readings, and leave out one of a rival.
    readings_missed: usize,
}

impl Shortfall {
    /// Compares one search with all there is; what must hold always is asserted.
    fn add(&mut self, linear: &Linear, most: usize, what: &str) {
        let all = exhaustive(linear, most);
        let Some(best) = all.first() else { return };
        let found = smallest(linear, &[], true, linear.len(), AS_GOOD).unwrap();
        self.searched += 1;
        self.with_removals += usize::from(!best.out.is_empty());
        let chosen = listed(&all, &found.set);
        if found.set.out.len() > best.out.len() {
            self.larger += 1;
            println!("{what}: {:?} found, {best:?} is smaller", found.set.out);
            return;
        }
        let chosen = chosen.unwrap_or_else(|| panic!("{what}: {:?} explains nothing", found.set.out));
        if chosen.gain < best.gain - 1e-6 * (1.0 + best.gain) {
            self.less_gain += 1;
            println!("{what}: {chosen:?} found, {best:?} is better");
            return;
        }
        // Rivals, within rounding of the limit on either side.
        let within = |rival: &Explains, slack: f64| rival.gain >= best.gain - AS_GOOD - slack;
        for rival in &found.rivals {
            let listed = listed(&all, rival).unwrap_or_else(|| panic!("{what}: {:?} is no rival", rival.out));
            assert!(
                within(listed, 1e-6),
                "{what}: {listed:?} is too far above {best:?}"
            );
            assert_ne!(rival.out, found.set.out, "{what}: a set is not its own rival");
        }
        let rivals = all
            .iter()
            .filter(|e| e.out != chosen.out && within(e, -1e-6) && needs_each(linear, &e.out));
        let mut asked = chosen.out.clone();
        let mut missed = Vec::new();
        for rival in rivals {
            self.rivals += 1;
            asked.extend(&rival.out);
            if !found.rivals.iter().any(|other| other.out == rival.out) {
                missed.push(rival);
            }
        }
        self.rivals_missed += missed.len();
        // Rivals that add no reading to the question change nothing, nor where nobody can tell anyway.
        let told = questions(found.rivals.iter().map(|r| &r.out[..]).chain([&chosen.out[..]]));
        if told.len() <= 6 && asked.iter().any(|i| !told.contains(i)) {
            self.readings_missed += 1;
            println!("{what}: {chosen:?} found without its rivals {missed:?}, {told:?} told");
        }
    }
}

/// All readings of these sets.
fn questions<'a>(sets: impl Iterator<Item = &'a [usize]>) -> Vec<usize> {
    let mut readings: Vec<usize> = sets.flatten().copied().collect();
    readings.sort_unstable();
    readings.dedup();
    readings
}

/// A set in the list, with the same gain.
fn listed<'a>(all: &'a [Explains], set: &Removal) -> Option<&'a Explains> {
    let same = all.iter().find(|e| e.out == set.out)?;
    assert!(
        (same.gain - set.gain).abs() < 1e-6 * (1.0 + same.gain),
        "{same:?} gains {} by the search",
        set.gain
    );
    Some(same)
}

/// Whether every reading of a set is far off when the others are held out: what gains less than four is no removal.
fn needs_each(linear: &Linear, set: &[usize]) -> bool {
    set.iter().all(|&one| {
        let others: Vec<usize> = set.iter().copied().filter(|&i| i != one).collect();
        linear
            .without(&others)
            .w_square(one)
            .is_some_and(|square| square >= super::LEAST_GAIN)
    })
}

fn gauss(rng: &mut fastrand::Rng) -> f64 {
    (-2.0 * (1.0 - rng.f64()).ln()).sqrt() * (std::f64::consts::TAU * rng.f64()).cos()
}

/// Readings that each lean on a few of the unknowns, with slips among them.
fn random(rng: &mut fastrand::Rng, readings: usize, unknowns: usize, slips: usize) -> Linear {
    loop {
        let rows = DMatrix::from_fn(readings, unknowns, |_, _| {
            if rng.u8(..3) == 0 { 0.0 } else { gauss(rng) }
        });
        if rows.clone().svd(false, false).singular_values.min() < 0.05 {
            continue;
        }
        let mut off = DVector::from_fn(readings, |_, _| gauss(rng));
        for _ in 0..slips {
            let size = 4.0 + 30.0 * rng.f64();
            off[rng.usize(..readings)] += if rng.bool() { size } else { -size };
        }
        let removable = (0..readings).map(|_| rng.u8(..20) > 0).collect();
        return Linear::of_design(&rows, &off, removable);
    }
}

#[test]
fn random_linear_problems_are_searched_as_if_every_set_were_tried() {
    let mut short = Shortfall::default();
    for seed in 0..600 {
        let mut rng = fastrand::Rng::with_seed(seed);
        let unknowns = 2 + rng.usize(..5);
        let readings = unknowns + 5 + rng.usize(..6);
        let slips = rng.usize(..4);
        let linear = random(&mut rng, readings, unknowns, slips);
        short.add(&linear, 4, &format!("seed {seed}"));
    }
    println!("random linear problems: {short:?}");
    assert!(short.with_removals >= 300, "{short:?}");
    assert_eq!(short.larger + short.less_gain, 0, "{short:?}");
    assert!(short.rivals >= 100, "{short:?}");
    assert_eq!(short.readings_missed, 0, "{short:?}");
}

#[test]
fn small_nets_are_searched_as_if_every_set_were_tried() {
    let mut short = Shortfall::default();
    for seed in 0..120 {
        let mut rng = fastrand::Rng::with_seed(9000 + seed);
        let like = Small {
            points: 8 + rng.usize(..2),
            blocked_in: 6,
            plumb: rng.u8(..4) == 0,
            sd: 1.0,
        };
        let slips: Vec<f64> = (0..1 + rng.usize(..3))
            .map(|_| if rng.bool() { 1.0 } else { -1.0 } * (6.0 + 40.0 * rng.f64()))
            .collect();
        let (network, fit, _) = small(&mut rng, &like, &slips);
        let used: Vec<usize> = (0..network.observations.len()).collect();
        let linear = Linear::new(&network, &fit.active, &fit.at, used, 0);
        short.add(&linear, 3, &format!("seed {seed}"));
    }
    println!("small nets: {short:?}");
    assert!(short.with_removals >= 100, "{short:?}");
    assert_eq!(short.larger + short.less_gain, 0, "{short:?}");
    assert!(short.rivals >= 50, "{short:?}");
    // The exchange keeps a narrow beam: where three slips meet ten or so redundant readings, a rival of three other
    // readings may lie outside. Last run: 1 in 120.
    assert!(short.readings_missed <= 3, "{short:?}");
}

/// Where it begins must not decide what it finds.
#[test]
fn a_bad_beginning_leads_to_the_same_set() {
    for seed in 0..200 {
        let mut rng = fastrand::Rng::with_seed(20_000 + seed);
        let linear = random(&mut rng, 14, 4, 2);
        let plain = smallest(&linear, &[], true, 14, AS_GOOD).map(|found| found.set.out);
        let mut first: Vec<usize> = (0..14)
            .filter(|&i| linear.removable[i] && rng.u8(..3) == 0)
            .take(5)
            .collect();
        rng.shuffle(&mut first);
        let again = smallest(&linear, &first, true, 14, AS_GOOD).map(|found| found.set.out);
        assert_eq!(again, plain, "seed {seed}, from {first:?}");
    }
}

#[test]
fn what_must_stay_in_is_never_in_a_set() {
    let mut bound = 0;
    for seed in 0..300 {
        let mut rng = fastrand::Rng::with_seed(30_000 + seed);
        let linear = random(&mut rng, 14, 4, 3);
        bound += linear.removable.iter().filter(|free| !**free).count();
        let Some(found) = smallest(&linear, &[], true, 6, AS_GOOD) else {
            continue;
        };
        for set in std::iter::once(&found.set).chain(&found.rivals) {
            assert!(set.out.iter().all(|&i| linear.removable[i]), "seed {seed}");
            assert!(set.out.len() <= 6, "seed {seed}");
        }
    }
    assert!(bound > 100);
}
