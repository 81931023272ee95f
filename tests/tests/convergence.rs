//! Copies of a job that have the same changes are the same, whatever happened on the way.
//!
//! `TRAMMEL_SEED` replays one seed; `TRAMMEL_RUNS` says how many are tried.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use std::collections::BTreeMap;

use ledger::{CorrectionText, Edit, Stage, Value};
use trials::every::every;
use trials::replicas::{Replicas, sheets};

const STEPS: usize = 120;

fn seeds(default: u64) -> std::ops::Range<u64> {
    let number = |name: &str| {
        std::env::var(name)
            .ok()
            .map(|text| text.parse().expect("a number"))
    };
    match number("TRAMMEL_SEED") {
        Some(seed) => seed..seed + 1,
        None => 1..1 + number("TRAMMEL_RUNS").unwrap_or(default),
    }
}

/// A small shell with tapes enough to be solved.
fn start(seed: u64) -> Replicas {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("data/cases/plain");
    let readings = std::fs::read(folder.join("readings.csv")).unwrap();
    let points = std::fs::read(folder.join("points.csv")).unwrap();
    Replicas::of(seed, &sheets(&readings, &points))
}

/// Everything that two copies could differ in.
fn told(job: &ledger::Job) -> String {
    let sheets = job.records().sheets(&Stage::All);
    format!("{sheets:?}\n{:?}\n{:?}", job.disputes(), job.changes())
}

/// The digits of the adjustment, to the last.
fn digits(job: &ledger::Job) -> String {
    let survey = job.records().survey(&Stage::All);
    match adjust::adjust(&survey.survey, &adjust::Settings::default()) {
        Ok(solved) => format!("{:?} {:?} {:?}", solved.points, solved.readings, solved.outcome),
        Err(why) => why.to_string(),
    }
}

#[test]
fn the_same_changes_make_the_same_job() {
    let runs = every(seeds(12), |seed| {
        let mut replicas = start(seed);
        let mut by_heads = BTreeMap::new();
        for _ in 0..STEPS {
            replicas.step();
            for copy in &replicas.copies {
                let sheets = copy.job.records().sheets(&Stage::All);
                let known = by_heads.entry(copy.job.heads()).or_insert_with(|| sheets.clone());
                assert_eq!(*known, sheets, "seed {seed}: the same heads, other sheets");
            }
        }
        replicas.meet();
        let [a, b, c] = [0, 1, 2].map(|n| &replicas.copies[n].job);
        assert_eq!((a.heads(), b.heads()), (b.heads(), c.heads()), "seed {seed}");
        assert_eq!(a.records(), b.records(), "seed {seed}");
        assert_eq!(told(a), told(b), "seed {seed}");
        assert_eq!(told(a), told(c), "seed {seed}");
        // A copy that never was anywhere: saved and read. A solve takes long after so many slips, so not all do it.
        let again = ledger::Job::open_foreign(&a.save(), uuid::Uuid::from_u128(1)).unwrap();
        assert_eq!(told(a), told(&again), "seed {seed}");
        if seed % 3 == 1 {
            assert_eq!(digits(b), digits(&again), "seed {seed}");
        }
        (replicas.made, replicas.refused, a.disputes().len())
    });
    let (made, refused, disputes) = runs.iter().fold((0, 0, 0), |all, run| {
        (all.0 + run.0, all.1 + run.1, all.2 + run.2)
    });
    println!(
        "{} runs: {made} edits, {refused} refused, {disputes} disputes at the end",
        runs.len()
    );
    assert!(made > refused, "most edits should mean something");
    assert!(disputes > 0 || runs.len() < 5, "some edits should have met");
}

#[test]
fn what_was_written_at_once_is_in_dispute_everywhere() {
    every(seeds(12), |seed| {
        let mut replicas = start(seed);
        for _ in 0..40 {
            replicas.step();
        }
        replicas.meet();
        let reading = replicas.common_reading().unwrap();
        let mut said = Vec::new();
        for who in 0..3 {
            let value = format!("{} mm", 5000 + 10 * who);
            let text = CorrectionText {
                value: Some(value.clone()),
                ..CorrectionText::default()
            };
            let edit = Edit::Correct {
                reading: reading.clone(),
                text,
                why: "looked again".into(),
            };
            replicas.make(who, &edit).unwrap();
            said.push(Value::Text(value));
        }
        replicas.meet();
        for copy in &replicas.copies {
            let disputes = copy.job.disputes();
            let dispute = disputes
                .iter()
                .find(|dispute| dispute.key.entry == reading && dispute.key.field == "now.value");
            let dispute = dispute.unwrap_or_else(|| panic!("seed {seed}: nothing in dispute"));
            let mut held: Vec<String> = dispute.values.iter().map(|said| said.value.to_string()).collect();
            held.sort();
            assert_eq!(held, ["5000 mm", "5010 mm", "5020 mm"], "seed {seed}");
        }
        // One chooses, and it is settled for all.
        let dispute = replicas.copies[1]
            .job
            .disputes()
            .into_iter()
            .find(|dispute| dispute.key.entry == reading);
        let key = dispute.unwrap().key;
        replicas
            .make(
                1,
                &Edit::Choose {
                    key: key.clone(),
                    value: said[2].clone(),
                },
            )
            .unwrap();
        replicas.meet();
        for copy in &replicas.copies {
            assert!(
                copy.job.disputes().iter().all(|dispute| dispute.key != key),
                "seed {seed}"
            );
            assert_eq!(
                copy.job.records().readings[&reading].now.value,
                "5020 mm",
                "seed {seed}"
            );
        }
    });
}
