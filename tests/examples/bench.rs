//! What a solve takes: medians and the peak of memory. `cargo run --release -p trials --example bench`
//!
//! The machine decides the figures, so nothing here passes or fails.

use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use adjust::{Adjustment, Settings};
use survey::Kind;
use trials::cases::{CaseSheets, load};
use trials::causes::{Shared, plant};
use trials::hard::hard_survey;
use trials::hull::hull;
use trials::shell::{Options, Simulated, simulate};

fn median(runs: usize, mut work: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed()
        })
        .collect();
    times.sort();
    times[runs / 2]
}

/// The most memory that this process ever had in use, in MB.
fn peak_mb() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    Some(line.split_whitespace().nth(1)?.parse::<f64>().ok()? / 1024.0)
}

fn row(what: &str, runs: usize, time: Duration) {
    let memory = peak_mb().map_or("unknown".to_owned(), |mb| format!("{mb:.0} MB"));
    println!(
        "| {what} | {runs} | {:.3} ms | {memory} |",
        time.as_secs_f64() * 1e3
    );
}

/// From bytes to an adjustment; says so where it ends without one.
fn full(sheets: &CaseSheets, settings: &Settings) -> Option<Adjustment> {
    let (survey, _) = sheets.read();
    match adjust::adjust(&survey?, settings) {
        Ok(adjustment) => Some(adjustment),
        Err(why) => {
            eprintln!("no adjustment: {why}");
            None
        }
    }
}

fn case(name: &str, runs: usize) -> Option<Adjustment> {
    let settings = Settings {
        frame: Some(load(name).frame()),
        ..Settings::default()
    };
    let sheets = CaseSheets::of(name);
    let solved = full(&sheets, &settings)?;
    let time = median(runs, || {
        std::hint::black_box(full(&sheets, &settings));
    });
    row(&format!("`{name}`: sheets to adjustment"), runs, time);
    Some(solved)
}

/// One reading that was just logged an inch too long, compared with all the others, likely slips and all.
fn at_the_tape(name: &str, solved: &Adjustment) {
    let (survey, _) = CaseSheets::of(name).read();
    let Some(survey) = survey else { return };
    let Some(mut reading) = survey.readings.iter().rfind(|r| r.kind == Kind::Tape).cloned() else {
        return;
    };
    reading.observed += 25.4;
    let time = median(501, || {
        std::hint::black_box(solved.just_logged(&survey, &reading));
    });
    row(
        &format!("`{name}`: a reading just logged, with its likely slips"),
        501,
        time,
    );
}

fn main() {
    println!("| what | runs | median | peak memory so far |");
    println!("| --- | --- | --- | --- |");
    if let Some(solved) = case("plain", 51) {
        let last = solved.points.len() - 1;
        let time = median(1001, || {
            std::hint::black_box(solved.predict(Kind::Tape, &[0, last], ""));
        });
        row("`plain`: what the others predict for one new reading", 1001, time);
        at_the_tape("plain", &solved);
    }
    case("no-hints", 21);
    case("three-slips", 21);
    if let Some(solved) = case("hull-1200", 5) {
        at_the_tape("hull-1200", &solved);
    }
    eight_slips();
    orders();
    large();
    scipy();
}

/// The joint search: 21 surveys with eight slips each, and one whose readings carry an offset besides.
fn eight_slips() {
    let surveys: Vec<_> = (0..21).map(|seed| hard_survey(seed, 8)).collect();
    let mut next = surveys.iter().cycle();
    let time = median(63, || {
        if let Some(made) = next.next() {
            std::hint::black_box(solved(made));
        }
    });
    row(
        "43 points with eight slips: survey to adjustment, over 21 surveys",
        63,
        time,
    );
    let slowest = surveys.iter().map(|made| median(3, || drop(solved(made)))).max();
    row("the slowest of them", 3, slowest.unwrap_or_default());
    let shared = plant(1, Shared::Person);
    row(
        "43 points, one person reads from the 1 inch mark",
        9,
        median(9, || drop(solved(&shared))),
    );
}

fn solved(made: &Simulated) -> Option<Adjustment> {
    let settings = Settings {
        frame: Some(made.frame()),
        ..Settings::default()
    };
    adjust::adjust(&made.survey, &settings).ok()
}

/// How it grows: a hull that gets longer, ten points to a ring, with covariance.
fn large() {
    for (rings, slips, runs) in [(240, 0, 5), (240, 8, 3), (1000, 0, 1)] {
        let mut made = hull(3, rings, 10);
        let readings = made.survey.readings.len();
        for n in 0..slips {
            made.survey.readings[(n + 1) * readings / (slips + 2)].observed += 60.0 + 10.0 * n as f64;
        }
        let time = median(runs, || drop(solved(&made)));
        let points = made.survey.points.len();
        row(
            &format!("{points} points, {readings} readings, {slips} slips: survey to adjustment"),
            runs,
            time,
        );
    }
}

/// The order in which to survey, from rough places alone.
fn orders() {
    let shell = simulate(1, &Options::default());
    for (what, made, runs) in [("shell of 43", shell, 21), ("hull of 200", hull(1, 20, 10), 3)] {
        let mut survey = made.survey;
        survey.readings.clear();
        let time = median(runs, || {
            std::hint::black_box(adjust::order(&survey, &Settings::default())).ok();
        });
        row(&format!("order to survey a {what} points"), runs, time);
    }
}

/// The same 43-point survey by SciPy, for comparison.
fn scipy() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR"));
    let python = tests.join("../.venv/bin/python");
    if !python.exists() {
        println!(
            "SciPy: not measured, there is no .venv/bin/python (python3 -m venv .venv, pip install scipy)"
        );
        return;
    }
    let script = tests.join("scipy_bench.py");
    match Command::new(python)
        .arg(script)
        .arg(tests.join("data/cases/plain"))
        .output()
    {
        Ok(out) if out.status.success() => print!("{}", String::from_utf8_lossy(&out.stdout)),
        Ok(out) => println!("SciPy: failed: {}", String::from_utf8_lossy(&out.stderr)),
        Err(why) => println!("SciPy: could not be run: {why}"),
    }
}
