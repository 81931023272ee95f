//! A crew that logs is killed at random moments, over and over on one store. Nothing it was told to be kept is lost.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use ledger::store::{Access, Documents, Store};
use trials::crew_log::CrewLog;

/// How often the crew is killed; `TRAMMEL_KILLS` sets another number.
const KILLS: u64 = 40;

fn number_from(variable: &str) -> Option<u64> {
    let text = std::env::var(variable).ok()?;
    Some(
        text.parse()
            .unwrap_or_else(|_| panic!("{variable} must be a whole number, not {text:?}")),
    )
}

#[test]
fn nothing_acknowledged_is_lost_when_the_crew_is_killed() {
    let first = number_from("TRAMMEL_SEED").unwrap_or(7);
    let kills = number_from("TRAMMEL_KILLS").unwrap_or(KILLS);
    println!("{kills} kills from seed {first}");
    let folder = tempfile::tempdir().unwrap();
    let mut log = CrewLog::default();
    for round in 0..kills {
        let seed = first + round;
        let mut random = fastrand::Rng::with_seed(seed);
        // Half of the kills come when something slow has just begun, the others at any time, opening included.
        let moment = ["", "compacting", "", "photographing"][(round % 4) as usize];
        let delay = if moment.is_empty() {
            Duration::from_micros(random.u64(1_000..80_000))
        } else {
            Duration::from_micros(random.u64(..12_000))
        };
        log.add(&run_and_kill(folder.path(), seed, moment, delay));
        let opened = Store::open(folder.path(), &Documents, Access::Write).unwrap();
        assert_eq!(opened.report, None, "seed {seed}");
        let amiss = log.amiss(&opened.store);
        assert!(amiss.is_empty(), "seed {seed}: {amiss:#?}");
        if (round + 1).is_multiple_of(100) {
            println!("{} kills, {} acknowledged", round + 1, log.acknowledged());
        }
    }
    println!(
        "{kills} kills, {} entries and photos acknowledged and all there, {} kills in a compaction or a photo",
        log.acknowledged(),
        log.cut_short
    );
    assert!(log.acknowledged() > 0 && log.refused() == 0);
}

/// Gives what the crew said. It is killed so long after it began, or after it said the word.
fn run_and_kill(folder: &Path, seed: u64, word: &str, delay: Duration) -> String {
    let mut crew = Command::new(env!("CARGO_BIN_EXE_busy_crew"))
        .arg(folder)
        .arg(seed.to_string())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let (send, lines): (_, Receiver<String>) = channel();
    let mut out = BufReader::new(crew.stdout.take().unwrap());
    let listener = std::thread::spawn(move || {
        let mut line = String::new();
        while out.read_line(&mut line).unwrap() > 0 {
            send.send(std::mem::take(&mut line)).unwrap();
        }
    });
    let mut said = String::new();
    if !word.is_empty() {
        for line in &lines {
            said.push_str(&line);
            if line.starts_with(word) {
                break;
            }
        }
    }
    std::thread::sleep(delay);
    // SIGKILL on Unix: the crew cannot tidy up.
    crew.kill().unwrap();
    crew.wait().unwrap();
    said.extend(lines.iter());
    listener.join().unwrap();
    said
}
