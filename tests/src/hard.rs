//! Hard surveys: many slips at once, anywhere, and what could be known about them.

use adjust::{Adjustment, Settings, Suspects, Verdict};
use survey::{Kind, State, Survey};

use crate::shell::{Options, Simulated, simulate};

/// The smallest and the largest slip, mm.
const SLIP_MM: [f64; 2] = [25.0, 305.0];

/// A simulated survey of the shell with slips of any size between 25 and 305 mm, either way, in any tapes.
pub fn hard_survey(seed: u64, slips: usize) -> Simulated {
    let mut made = simulate(seed, &Options::default());
    let mut rng = fastrand::Rng::with_seed(seed ^ 0x51_1b5);
    let tapes: Vec<usize> = (0..made.survey.readings.len())
        .filter(|&i| made.survey.readings[i].kind == Kind::Tape)
        .collect();
    while made.slips.len() < slips {
        let i = tapes[rng.usize(..tapes.len())];
        let size = SLIP_MM[0] + (SLIP_MM[1] - SLIP_MM[0]) * rng.f64();
        let change = if rng.bool() { size } else { -size };
        let one = &mut made.survey.readings[i];
        if made.slips.iter().any(|&(j, _)| i == j) || one.observed + change < 100.0 {
            continue;
        }
        one.observed += change;
        one.read = one.observed;
        made.slips.push((i, change));
    }
    made.slips.sort_by_key(|&(i, _)| i);
    made
}

/// The survey with these readings set aside and the true positions as the start: what someone would find who
/// knew.
pub fn knowing(made: &Simulated, out: &[usize]) -> Option<Adjustment> {
    let mut survey = made.survey.clone();
    for &i in out {
        survey.readings[i].state = State::SetAside;
    }
    for (point, place) in survey.points.iter_mut().zip(&made.truth_mm) {
        point.rough_mm = place.map(Some);
    }
    keep_all(made, &survey)
}

fn keep_all(made: &Simulated, survey: &Survey) -> Option<Adjustment> {
    let settings = Settings {
        frame: Some(made.frame()),
        suspects: Suspects::Keep,
        ..Settings::default()
    };
    adjust::adjust(survey, &settings).ok()
}

/// Whether a planted slip is too small to be seen: its expected w, with the other slips out, is below the
/// critical value.
pub fn invisible(knowing: &Adjustment, reading: usize, change: f64) -> bool {
    let found = &knowing.readings[reading];
    let expected = found
        .redundancy
        .map_or(0.0, |r| change.abs() * r.sqrt() / found.sd);
    expected < knowing.summary.critical_w
}

/// One-at-a-time snooping: the largest w beyond the critical value goes, again and again, and what fits again is
/// put back. It begins at the true positions. The readings it ends up without.
pub fn snooped(made: &Simulated) -> Vec<usize> {
    let mut out: Vec<usize> = Vec::new();
    for _ in 0..40 {
        let Some(found) = knowing(made, &out) else { break };
        let z = found.summary.critical_w;
        let w = |i: usize| found.readings[i].w.map_or(0.0, f64::abs);
        if let Some(back) = out
            .iter()
            .copied()
            .filter(|&i| w(i) <= z)
            .min_by(|&a, &b| w(a).total_cmp(&w(b)))
        {
            out.retain(|&i| i != back);
            continue;
        }
        let worst = (0..made.survey.readings.len())
            .filter(|i| !out.contains(i))
            .max_by(|&a, &b| w(a).total_cmp(&w(b)));
        match worst.filter(|&i| w(i) > z) {
            Some(i) => out.push(i),
            None => break,
        }
    }
    out.sort_unstable();
    out
}

/// What became of the planted slips and of the good readings.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// Slips planted.
    pub planted: usize,
    /// Slips too small to be seen.
    pub invisible: usize,
    /// Slips that could be seen and were neither held out nor called unclear.
    pub missed: usize,
    /// Good readings held out as suspects.
    pub accused: usize,
    /// Slips called unclear.
    pub unclear: usize,
    /// Good readings called unclear.
    pub good_unclear: usize,
    /// Surveys with an accused good reading.
    pub surveys_accused: usize,
    /// Surveys with a missed slip.
    pub surveys_missed: usize,
}

impl Tally {
    /// What became of one survey, by its verdicts.
    pub fn of(made: &Simulated, knowing: &Adjustment, verdict: impl Fn(usize) -> Verdict) -> Tally {
        let mut tally = Tally::default();
        for i in 0..made.survey.readings.len() {
            let slip = made.slips.iter().find(|&&(j, _)| i == j);
            match (slip, verdict(i)) {
                (Some(_), Verdict::Suspect) => {}
                (Some(_), Verdict::Unclear) => tally.unclear += 1,
                (Some(&(_, change)), _) if invisible(knowing, i, change) => tally.invisible += 1,
                (Some(_), _) => tally.missed += 1,
                (None, Verdict::Suspect) => tally.accused += 1,
                (None, Verdict::Unclear) => tally.good_unclear += 1,
                (None, _) => {}
            }
        }
        tally.planted = made.slips.len();
        tally.surveys_accused = usize::from(tally.accused > 0);
        tally.surveys_missed = usize::from(tally.missed > 0);
        tally
    }
}

impl std::ops::AddAssign for Tally {
    fn add_assign(&mut self, other: Tally) {
        self.planted += other.planted;
        self.invisible += other.invisible;
        self.missed += other.missed;
        self.accused += other.accused;
        self.unclear += other.unclear;
        self.good_unclear += other.good_unclear;
        self.surveys_accused += other.surveys_accused;
        self.surveys_missed += other.surveys_missed;
    }
}

/// Another explanation of a survey: as many readings held out as have a slip, everything else fits, and chi-square is
/// no more than 10.8 above that of the truth. The readings in which they differ.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rival {
    /// Slips that it leaves in.
    pub slips: Vec<usize>,
    /// Good readings that it holds out.
    pub good: Vec<usize>,
}

/// The rivals of the truth that exchange one slip, or two that share a point, for others: each solved in full from
/// the true positions with every reading kept in, so that nothing of the search is used.
pub fn rivals(made: &Simulated) -> Vec<Rival> {
    let planted: Vec<usize> = made.slips.iter().map(|&(i, _)| i).collect();
    let Some(truth) = knowing(made, &planted).filter(|truth| fits(truth, &planted)) else {
        return Vec::new();
    };
    let points = |i: usize| &made.survey.readings[i].points;
    let mut found: Vec<Rival> = Vec::new();
    for (n, &a) in planted.iter().enumerate() {
        exchange(made, &truth, &planted, &[a], &mut found);
        for &b in planted[..n]
            .iter()
            .filter(|&&b| points(a).iter().any(|p| points(b).contains(p)))
        {
            exchange(made, &truth, &planted, &[a, b], &mut found);
        }
    }
    found
}

fn fits(found: &Adjustment, out: &[usize]) -> bool {
    let z = found.summary.critical_w;
    found
        .readings
        .iter()
        .enumerate()
        .all(|(i, r)| out.contains(&i) || r.w.is_none_or(|w| w.abs() <= z))
}

/// Puts these slips back and holds out as many others.
fn exchange(made: &Simulated, truth: &Adjustment, planted: &[usize], back: &[usize], found: &mut Vec<Rival>) {
    let mut open: Vec<Vec<usize>> = vec![planted.iter().copied().filter(|i| !back.contains(i)).collect()];
    for step in 0..back.len() {
        let last = step + 1 == back.len();
        let mut next: Vec<Vec<usize>> = Vec::new();
        for out in &open {
            let Some(solved) = knowing(made, out) else {
                continue;
            };
            // Holding one out lowers chi-square by the square of its w, up to what is not linear.
            let need = if last {
                solved.summary.chi_square - truth.summary.chi_square - 100.0
            } else {
                16.0
            };
            let mut candidates: Vec<(f64, usize)> = (0..made.survey.readings.len())
                .filter(|i| !out.contains(i))
                .filter_map(|i| Some((solved.readings[i].w?.powi(2), i)))
                .filter(|(square, _)| *square >= need)
                .collect();
            candidates.sort_by(|a, b| b.0.total_cmp(&a.0));
            for (_, i) in candidates.into_iter().take(6) {
                let mut set = out.clone();
                set.push(i);
                set.sort_unstable();
                if !next.contains(&set) {
                    next.push(set);
                }
            }
        }
        open = next;
    }
    for set in open {
        let rival = Rival {
            slips: planted.iter().copied().filter(|i| !set.contains(i)).collect(),
            good: set.iter().copied().filter(|i| !planted.contains(i)).collect(),
        };
        if rival.slips.is_empty() || found.contains(&rival) {
            continue;
        }
        let Some(solved) = knowing(made, &set) else {
            continue;
        };
        if solved.loose.is_empty()
            && solved.summary.chi_square <= truth.summary.chi_square + 10.8
            && fits(&solved, &set)
        {
            found.push(rival);
        }
    }
}
