//! What becomes of eight slips at once. `cargo run --release -p trials --example hard_surveys -- [SURVEYS [FIRST]]`

use adjust::{Settings, Verdict};
use std::time::Instant;
use trials::hard::{Tally, hard_survey, knowing, snooped};

fn main() {
    let mut said = std::env::args()
        .skip(1)
        .filter_map(|text| text.parse::<u64>().ok());
    let surveys = said.next().unwrap_or(200);
    let first = said.next().unwrap_or(0);
    let (mut joint, mut snooping) = (Tally::default(), Tally::default());
    let mut slowest = 0.0f64;
    let mut total = 0.0;
    for seed in first..first + surveys {
        let made = hard_survey(seed, 8);
        let planted: Vec<usize> = made.slips.iter().map(|&(i, _)| i).collect();
        let Some(known) = knowing(&made, &planted) else {
            continue;
        };
        let settings = Settings {
            frame: Some(made.frame()),
            ..Settings::default()
        };
        let start = Instant::now();
        let solved = adjust::adjust(&made.survey, &settings);
        let took = start.elapsed().as_secs_f64() * 1e3;
        slowest = slowest.max(took);
        total += took;
        let Ok(solved) = solved else {
            println!("seed {seed}: not solved");
            continue;
        };
        let one = Tally::of(&made, &known, |i| solved.readings[i].verdict);
        if one.missed + one.accused > 0 || took > 500.0 {
            let of = |verdict| -> Vec<usize> {
                (0..solved.readings.len())
                    .filter(|&i| solved.readings[i].verdict == verdict)
                    .collect()
            };
            println!(
                "seed {seed}: {took:.0} ms, {one:?}\n   {:?} chi-square {:.1}, knowing {:.1}; planted {:?}\n   suspects {:?}, unclear {:?}",
                solved.outcome,
                solved.summary.chi_square,
                known.summary.chi_square,
                made.slips,
                of(Verdict::Suspect),
                of(Verdict::Unclear)
            );
            let beyond: Vec<(usize, f64)> = known
                .readings
                .iter()
                .enumerate()
                .filter(|(i, r)| {
                    !planted.contains(i) && r.w.is_some_and(|w| w.abs() > known.summary.critical_w)
                })
                .map(|(i, r)| (i, r.w.unwrap_or(0.0)))
                .collect();
            println!("   beyond with the truth: {beyond:?}");
            let of = |verdict| -> Vec<usize> {
                (0..solved.readings.len())
                    .filter(|&i| solved.readings[i].verdict == verdict)
                    .collect()
            };
            for i in of(Verdict::Suspect)
                .into_iter()
                .chain(of(Verdict::Unclear))
                .chain(planted.iter().copied())
            {
                let r = &solved.readings[i];
                println!(
                    "      {i} {:?} {:?}: w {:.1?} residual {:.1?} r {:.4?}; truth w {:.1?} r {:.3?}",
                    made.survey.readings[i].kind,
                    made.survey.readings[i].points,
                    r.w,
                    r.residual,
                    r.redundancy,
                    known.readings[i].w,
                    known.readings[i].redundancy
                );
            }
            println!("   {:?}", solved.problems);
        }
        joint += one;
        if std::env::args().nth(4).is_some() {
            continue;
        }
        for rival in trials::hard::rivals(&made) {
            let unclear = |i: &usize| solved.readings[*i].verdict == Verdict::Unclear;
            let told = rival.slips.iter().all(unclear);
            println!(
                "seed {seed}: rival {rival:?}, told {told}, {:?}, held out {}",
                solved.outcome, solved.summary.held_out
            );
        }

        if std::env::args().nth(3).is_some() {
            continue;
        }
        let out = snooped(&made);
        snooping += Tally::of(&made, &known, |i| {
            if out.contains(&i) {
                Verdict::Suspect
            } else {
                Verdict::Fits
            }
        });
    }
    println!("joint search: {joint:?}");
    println!("snooping:     {snooping:?}");
    println!(
        "adjust: {:.1} ms on average, slowest {slowest:.1} ms",
        total / surveys as f64
    );
}
