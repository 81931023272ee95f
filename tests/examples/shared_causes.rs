//! What becomes of causes that several readings share. `cargo run --release -p trials --example shared_causes -- [N]`
use adjust::{Settings, Verdict};
use trials::causes::{Shared, plant};
fn main() {
    let n: u64 = std::env::args().nth(1).and_then(|t| t.parse().ok()).unwrap_or(50);
    let only = std::env::args().nth(2);
    for shared in Shared::ALL {
        if only.as_ref().is_some_and(|o| *o != format!("{shared:?}")) {
            continue;
        }
        let (mut named, mut accused, mut missed, mut cannot, mut unexplained, mut slow) =
            (0, 0, 0, 0, 0, 0.0f64);
        for seed in 0..n {
            let made = plant(seed, shared);
            let settings = Settings {
                frame: Some(made.frame()),
                ..Settings::default()
            };
            let t = std::time::Instant::now();
            let solved = adjust::adjust(&made.survey, &settings);
            slow = slow.max(t.elapsed().as_secs_f64() * 1e3);
            if only.is_some() && t.elapsed().as_millis() > 400 {
                println!("slow {seed} {:?}", t.elapsed());
            }
            let Ok(solved) = solved else {
                println!("{shared:?} {seed} unsolved");
                continue;
            };
            let right = solved.causes.iter().any(|c| {
                c.slip == shared.slip() && c.readings.iter().any(|i| made.slips.iter().any(|(j, _)| i == j))
            });
            let bad = (0..solved.readings.len())
                .filter(|&i| {
                    solved.readings[i].verdict == Verdict::Suspect && !made.slips.iter().any(|&(j, _)| i == j)
                })
                .count();
            let miss = made
                .slips
                .iter()
                .filter(|&&(i, by)| {
                    by.abs() / solved.readings[i].sd * solved.readings[i].redundancy.unwrap_or(0.0).sqrt()
                        > 8.0
                        && matches!(solved.readings[i].verdict, Verdict::Fits | Verdict::LookAgain)
                })
                .count();
            named += u32::from(right);
            accused += u32::from(bad > 0);
            missed += u32::from(miss > 0);
            cannot += u32::from(solved.outcome == adjust::Outcome::CannotTell);
            unexplained += u32::from(
                solved
                    .problems
                    .iter()
                    .any(|p| p.contains("more readings disagree")),
            );
            if only.is_some() && (!right || bad > 0 || miss > 0) {
                println!(
                    "{shared:?} seed {seed}: named {right}, accused {bad}, missed {miss}, {:?}, causes {:?}",
                    solved.outcome, solved.causes
                );
                println!(
                    "    planted {:?}",
                    made.slips
                        .iter()
                        .map(|(i, b)| (*i, b.round()))
                        .collect::<Vec<_>>()
                );
                println!(
                    "    suspects {:?}",
                    (0..solved.readings.len())
                        .filter(|&i| solved.readings[i].verdict == Verdict::Suspect)
                        .collect::<Vec<_>>()
                );
                println!(
                    "    unclear {:?}",
                    (0..solved.readings.len())
                        .filter(|&i| solved.readings[i].verdict == Verdict::Unclear)
                        .collect::<Vec<_>>()
                );
            }
        }
        println!(
            "{shared:?}: of {n} named {named}, surveys with accused {accused}, with missed {missed}, cannot tell {cannot}, unexplained {unexplained}, slowest {slow:.0} ms"
        );
    }
}
