//! How large surveys grow.
use adjust::{Settings, Verdict};
use std::time::Instant;
fn main() {
    for (rings, slips) in [(240usize, 0usize), (600, 0)] {
        let mut made = trials::hull::hull(3, rings, 10);
        let n = made.survey.readings.len();
        let mut rng = fastrand::Rng::with_seed(5);
        let mut planted = Vec::new();
        while planted.len() < slips {
            let i = rng.usize(200..n);
            if planted.contains(&i) {
                continue;
            }
            let by = 25.0 + 280.0 * rng.f64();
            made.survey.readings[i].observed += by;
            planted.push(i);
        }
        planted.sort_unstable();
        let settings = Settings {
            frame: Some(made.frame()),
            ..Settings::default()
        };
        let t = Instant::now();
        let solved = adjust::adjust(&made.survey, &settings);
        let took = t.elapsed();
        match solved {
            Ok(s) => {
                let of = |v| (0..n).filter(|&i| s.readings[i].verdict == v).collect::<Vec<_>>();
                println!(
                    "{} points {} readings {slips} slips: {took:?} {:?} chi {:.0} dof {}\n  planted {planted:?}\n  suspects {:?}\n unclear {:?}",
                    made.survey.points.len(),
                    n,
                    s.outcome,
                    s.summary.chi_square,
                    s.summary.degrees_of_freedom,
                    of(Verdict::Suspect),
                    of(Verdict::Unclear)
                );
            }
            Err(e) => println!("{e}"),
        }
        let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
        println!(
            "  {}",
            status.lines().find(|l| l.starts_with("VmHWM")).unwrap_or("")
        );
    }
}
