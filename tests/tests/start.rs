//! The shape of a shell is found from the readings alone: no rough positions, with and without slips. The long
//! form, a thousand of each, is the example `start_trials`.

use trials::start::{StartOutcome, start_trial};

/// Right and told-as-open, and the stories of the wrong ones.
fn trial(seeds: std::ops::Range<u64>, slips: usize) -> (usize, usize, Vec<String>) {
    let (mut right, mut told, mut wrong) = (0, 0, Vec::new());
    for seed in seeds {
        match start_trial(seed, slips) {
            StartOutcome::Right => right += 1,
            StartOutcome::AmbiguousReported => told += 1,
            StartOutcome::Wrong(story) => wrong.push(story),
        }
    }
    (right, told, wrong)
}

#[test]
fn without_slips_every_shape_is_found() {
    let (right, told, wrong) = trial(0..60, 0);
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
    assert!(right >= 54, "{right} right, {told} told as open");
}

#[test]
fn with_three_slips_every_shape_is_found_or_the_doubt_is_told() {
    let (right, told, wrong) = trial(1000..1060, 3);
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
    assert!(right >= 48, "{right} right, {told} told as open");
}
