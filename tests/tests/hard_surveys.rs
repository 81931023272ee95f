//! Eight slips at once, of any size, in tapes taken at random: what becomes of them, what becomes of the good
//! readings, and whether what nobody can know is told as such.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use adjust::{AdjustedReading, Adjustment, Settings, Verdict};
use trials::every::every;
use trials::hard::{Tally, hard_survey, knowing, rivals, snooped};
use trials::shell::Simulated;

const FIRST: u64 = 5000;
const SURVEYS: u64 = 200;
/// Snooping solves each survey a dozen times over, and listing what could be known some hundred times.
const SNOOPED: u64 = 20;
const WITH_RIVALS: u64 = 40;
const SLIPS: usize = 8;
/// A group of more readings is cut.
const LARGEST_GROUP: usize = 6;

fn solved(made: &Simulated) -> Adjustment {
    let settings = Settings {
        frame: Some(made.frame()),
        ..Settings::default()
    };
    adjust::adjust(&made.survey, &settings).unwrap()
}

fn planted(made: &Simulated) -> Vec<usize> {
    made.slips.iter().map(|&(i, _)| i).collect()
}

fn of_snooping(made: &Simulated, known: &Adjustment) -> Tally {
    let out = snooped(made);
    Tally::of(made, known, |i| {
        if out.contains(&i) {
            Verdict::Suspect
        } else {
            Verdict::Fits
        }
    })
}

#[test]
fn what_can_be_seen_is_seen_and_good_readings_are_left_alone() {
    let tallies = every(FIRST..FIRST + SURVEYS, |seed| {
        let made = hard_survey(seed, SLIPS);
        let known = knowing(&made, &planted(&made)).unwrap();
        let found = solved(&made);
        let joint = Tally::of(&made, &known, |i| found.readings[i].verdict);
        if joint.missed + joint.accused > 0 {
            println!(
                "seed {seed}: {} missed, {} accused, {:?}",
                joint.missed, joint.accused, found.outcome
            );
        }
        (
            joint,
            (seed < FIRST + SNOOPED).then(|| of_snooping(&made, &known)),
        )
    });
    let mut all = Tally::default();
    let (mut same, mut snooping) = (Tally::default(), Tally::default());
    for (joint, other) in tallies {
        all += joint;
        if let Some(other) = other {
            same += joint;
            snooping += other;
        }
    }
    println!("joint search, {SURVEYS} surveys: {all:?}");
    println!("joint search, {SNOOPED} surveys: {same:?}");
    println!("snooping, {SNOOPED} surveys: {snooping:?}");
    assert_eq!(all.planted, SURVEYS as usize * SLIPS);
    // The aims: of what can be seen at most one in two hundred is missed, and at most two surveys in a hundred
    // hold out a good reading as a suspect.
    assert!(all.missed * 200 <= all.planted, "{all:?}");
    assert!(all.surveys_accused * 50 <= SURVEYS as usize, "{all:?}");
    // A tool that calls everything unclear, or nothing visible, would pass the above.
    assert!(all.invisible * 50 <= all.planted, "{all:?}");
    assert!((all.unclear + all.good_unclear) * 5 <= all.planted, "{all:?}");
    // One at a time does worse on the same surveys.
    let wrong = |tally: &Tally| tally.missed + tally.accused;
    assert!(
        wrong(&same) < wrong(&snooping),
        "joint {same:?}, snooping {snooping:?}"
    );
}

/// What became of the slips that another explanation leaves in.
#[derive(Debug, Default)]
struct Undecidable {
    slips: usize,
    unclear: usize,
    smaller_set: usize,
    group_cut: usize,
    not_told: usize,
}

#[test]
fn what_nobody_can_know_is_told_as_unclear() {
    let found = every(FIRST..FIRST + WITH_RIVALS, |seed| {
        let made = hard_survey(seed, SLIPS);
        let rivals = rivals(&made);
        if rivals.is_empty() {
            return Undecidable::default();
        }
        let found = solved(&made);
        let mut left_in: Vec<usize> = rivals.iter().flat_map(|rival| rival.slips.clone()).collect();
        left_in.sort_unstable();
        left_in.dedup();
        // Fewer readings are told than have a slip: a smaller set explains the survey.
        let told = |r: &&AdjustedReading| matches!(r.verdict, Verdict::Suspect | Verdict::Unclear);
        let smaller = found.readings.iter().filter(told).count() < SLIPS;
        let cut = found
            .unclear
            .iter()
            .any(|group| group.readings.len() >= LARGEST_GROUP);
        let mut tally = Undecidable {
            slips: left_in.len(),
            ..Undecidable::default()
        };
        for slip in left_in {
            if found.readings[slip].verdict == Verdict::Unclear {
                tally.unclear += 1;
            } else if smaller {
                tally.smaller_set += 1;
            } else if cut {
                tally.group_cut += 1;
            } else {
                tally.not_told += 1;
                let verdict = found.readings[slip].verdict;
                println!(
                    "seed {seed}: slip {slip} is {verdict:?}, {:?}; rivals {rivals:?}, unclear {:?}",
                    found.outcome, found.unclear
                );
            }
        }
        tally
    });
    let mut all = Undecidable::default();
    for one in found {
        all.slips += one.slips;
        all.unclear += one.unclear;
        all.smaller_set += one.smaller_set;
        all.group_cut += one.group_cut;
        all.not_told += one.not_told;
    }
    println!("undecidable slips of {WITH_RIVALS} surveys: {all:?}");
    assert!(all.slips >= 8, "too few to say anything: {all:?}");
    assert!(2 * all.unclear > all.slips, "{all:?}");
    assert_eq!(all.not_told, 0, "{all:?}");
}
