//! The start trial in its long form: a thousand surveys without rough positions and without slips, and a thousand
//! with three slips. `cargo run --release -p trials --example start_trials [how many]`

use trials::start::{StartOutcome, start_trial};

fn main() {
    let count: u64 = std::env::args()
        .nth(1)
        .and_then(|n| n.parse().ok())
        .unwrap_or(1000);
    println!("| slips | surveys | right | told as open | wrong |");
    println!("| --- | --- | --- | --- | --- |");
    let mut stories = Vec::new();
    for slips in [0, 3] {
        let (mut right, mut told, mut wrong) = (0, 0, 0);
        for seed in 0..count {
            match start_trial(10_000 + seed, slips) {
                StartOutcome::Right => right += 1,
                StartOutcome::AmbiguousReported => told += 1,
                StartOutcome::Wrong(story) => {
                    wrong += 1;
                    stories.push(format!("{slips} slips, {story}"));
                }
            }
        }
        println!("| {slips} | {count} | {right} | {told} | {wrong} |");
    }
    for story in stories {
        println!("{story}");
    }
}
