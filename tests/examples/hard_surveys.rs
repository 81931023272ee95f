//! What becomes of eight slips at once: the joint search beside one-at-a-time snooping on the same surveys.
//! `cargo run --release -p trials --example hard_surveys -- [SURVEYS [FIRST SEED]]`
//!
//! Snooping begins at the true positions and takes most of the time. Each survey in which something is missed or a
//! good reading accused is told, with what someone would find who knew the slips.

use adjust::{Adjustment, Settings, Verdict};
use std::time::Instant;
use trials::hard::{Tally, hard_survey, knowing, snooped};
use trials::shell::Simulated;

fn main() {
    let mut said = std::env::args()
        .skip(1)
        .filter_map(|text| text.parse::<u64>().ok());
    let surveys = said.next().unwrap_or(200);
    let first = said.next().unwrap_or(0);
    let (mut joint, mut snooping) = (Tally::default(), Tally::default());
    let mut times: Vec<f64> = Vec::new();
    for seed in first..first + surveys {
        let made = hard_survey(seed, 8);
        let planted: Vec<usize> = made.slips.iter().map(|&(i, _)| i).collect();
        let settings = Settings {
            frame: Some(made.frame()),
            ..Settings::default()
        };
        let start = Instant::now();
        let solved = adjust::adjust(&made.survey, &settings);
        times.push(start.elapsed().as_secs_f64() * 1e3);
        let (Ok(solved), Some(known)) = (solved, knowing(&made, &planted)) else {
            println!("seed {seed}: not solved");
            continue;
        };
        let one = Tally::of(&made, &known, |i| solved.readings[i].verdict);
        if one.missed + one.accused > 0 {
            tell(seed, &made, &solved, &known);
        }
        joint += one;
        let out = snooped(&made);
        snooping += Tally::of(&made, &known, |i| {
            if out.contains(&i) {
                Verdict::Suspect
            } else {
                Verdict::Fits
            }
        });
    }
    times.sort_by(f64::total_cmp);
    println!("joint search: {joint:?}");
    println!("snooping:     {snooping:?}");
    if let (Some(median), Some(slowest)) = (times.get(times.len() / 2), times.last()) {
        println!("adjust: median {median:.1} ms, slowest {slowest:.1} ms");
    }
}

fn tell(seed: u64, made: &Simulated, solved: &Adjustment, known: &Adjustment) {
    let of = |verdict| -> Vec<usize> {
        (0..solved.readings.len())
            .filter(|&i| solved.readings[i].verdict == verdict)
            .collect()
    };
    println!(
        "seed {seed}: {:?}, chi-square {:.1}, knowing {:.1}; planted {:?}; suspects {:?}; unclear {:?}",
        solved.outcome,
        solved.summary.chi_square,
        known.summary.chi_square,
        made.slips
            .iter()
            .map(|&(i, by)| (i, by.round()))
            .collect::<Vec<_>>(),
        of(Verdict::Suspect),
        of(Verdict::Unclear)
    );
}
