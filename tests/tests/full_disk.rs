//! Disks that are full or fail. The crew is told so, goes on where it can, and nothing it was told to be kept is lost.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use ledger::store::{Access, Documents, Store};
use trials::crew_log::CrewLog;

/// How many faults are tried; `TRAMMEL_FAULTS` sets another number.
const FAULTS: u64 = 60;
/// How many entries a crew logs on a disk that fails.
const ENTRIES: &str = "60";

fn number_from(variable: &str) -> Option<u64> {
    let text = std::env::var(variable).ok()?;
    Some(
        text.parse()
            .unwrap_or_else(|_| panic!("{variable} must be a whole number, not {text:?}")),
    )
}

fn said(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// Opens the store and holds it against what the crews were told.
fn look(folder: &Path, log: &CrewLog, told: &str) {
    let opened =
        Store::open(folder, &Documents, Access::Write).unwrap_or_else(|error| panic!("{told}: {error}"));
    assert_eq!(opened.report, None, "{told}");
    let amiss = log.amiss(&opened.store);
    assert!(amiss.is_empty(), "{told}: {amiss:#?}");
}

/// Compiles the library that makes writes and syncs fail.
fn shim(folder: &Path) -> PathBuf {
    let library = folder.join("failing_io.so");
    let made = Command::new("cc")
        .args(["-shared", "-fPIC", "-O1", "-Wall", "-o"])
        .arg(&library)
        .arg(Path::new(env!("CARGO_MANIFEST_DIR")).join("faults/failing_io.c"))
        .arg("-ldl")
        .output()
        .unwrap();
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    library
}

/// One fault: what fails, when, and how the crew takes it.
#[derive(Debug)]
struct Fault {
    settings: Vec<(&'static str, String)>,
    /// The crew drops dead at the first refusal, so that nothing can be put right afterwards.
    abort: bool,
}

fn fault(seed: u64) -> Fault {
    let mut random = fastrand::Rng::with_seed(seed);
    let error = ["EIO", "ENOSPC"][random.usize(..2)];
    let mut settings = vec![("FAULT_ERROR", error.to_owned())];
    if seed.is_multiple_of(3) {
        settings[0].1 = "ENOSPC".to_owned();
        settings.push(("FAULT_BYTES", random.u32(..1_500_000).to_string()));
    } else {
        // Syncs are fewer than writes, so they are aimed at more closely.
        let (calls, span) = [("sync", 150), ("write", 600), ("any", 700)][random.usize(..3)];
        settings.push(("FAULT_CALLS", calls.to_owned()));
        settings.push(("FAULT_AT", random.u32(1..span).to_string()));
        settings.push(("FAULT_COUNT", ["1", "2", "7", "0"][random.usize(..4)].to_owned()));
    }
    Fault {
        settings,
        abort: random.bool(),
    }
}

#[test]
fn nothing_acknowledged_is_lost_when_writes_and_syncs_fail() {
    let first = number_from("TRAMMEL_SEED").unwrap_or(7);
    let faults = number_from("TRAMMEL_FAULTS").unwrap_or(FAULTS);
    println!("{faults} faults from seed {first}");
    let tools = tempfile::tempdir().unwrap();
    let library = shim(tools.path());
    let (mut hit, mut acknowledged, mut refused, mut doubtful) = (0, 0, 0, 0);
    for seed in first..first + faults {
        let fault = fault(seed);
        let told = format!("seed {seed}, {fault:?}");
        let folder = tempfile::tempdir().unwrap();
        let mut log = CrewLog::default();
        // Something is there already when the disk begins to fail, half of the time.
        if seed.is_multiple_of(2) {
            let before = crew(folder.path(), seed << 1, ENTRIES).output().unwrap();
            assert!(before.status.success(), "{told}");
            log.add(&said(&before));
        }
        let mut failing = crew(folder.path(), (seed << 1) + 1, ENTRIES);
        if fault.abort {
            failing.arg("abort");
        }
        let output = failing
            .env("LD_PRELOAD", &library)
            .envs(fault.settings.iter().map(|(name, value)| (*name, value.as_str())))
            .output()
            .unwrap();
        let ended = output.status.code();
        let expected = matches!(ended, Some(0 | 7 | 8)) || (fault.abort && ended.is_none());
        let errors = String::from_utf8_lossy(&output.stderr);
        assert!(expected, "{told}: ended with {ended:?}: {errors}");
        log.add(&said(&output));
        hit += u64::from(log.refused() > 0 || log.doubtful > 0);
        refused += log.refused();
        doubtful += log.doubtful;
        look(folder.path(), &log, &told);
        // The disk works again: so does the store.
        let after = crew(folder.path(), (seed << 1) + 1_000_000_000, "10")
            .output()
            .unwrap();
        assert!(after.status.success(), "{told}: {}", said(&after));
        log.add(&said(&after));
        look(folder.path(), &log, &told);
        acknowledged += log.acknowledged();
    }
    println!(
        "{hit} of {faults} faults hit: {refused} things refused and not there, {doubtful} in doubt, {acknowledged} \
         acknowledged and all there"
    );
    assert!(faults < 20 || hit > 0);
}

#[test]
fn a_recovery_that_a_failing_disk_cuts_short_is_finished_later() {
    let first = number_from("TRAMMEL_SEED").unwrap_or(7);
    let faults = number_from("TRAMMEL_FAULTS").unwrap_or(FAULTS) / 2;
    println!("{faults} faults from seed {first}");
    let tools = tempfile::tempdir().unwrap();
    let library = shim(tools.path());
    let (mut cut_short, mut finished) = (0, 0);
    for seed in first..first + faults {
        let mut random = fastrand::Rng::with_seed(seed);
        let folder = tempfile::tempdir().unwrap();
        let mut log = CrewLog::default();
        log.add(&said(&crew(folder.path(), 1, ENTRIES).output().unwrap()));
        // A first page of noughts costs nothing where the recovery is let to do its work.
        let database = folder.path().join("trammel.sqlite");
        let mut bytes = std::fs::read(&database).unwrap();
        bytes[..4096].fill(0);
        std::fs::write(&database, bytes).unwrap();
        let output = crew(folder.path(), 2, "0")
            .env("LD_PRELOAD", &library)
            .env("FAULT_CALLS", "any")
            .env("FAULT_COUNT", "0")
            .env("FAULT_AT", random.u32(1..80).to_string())
            .env("FAULT_ERROR", ["EIO", "ENOSPC"][random.usize(..2)])
            .output()
            .unwrap();
        let errors = String::from_utf8_lossy(&output.stderr);
        match output.status.code() {
            Some(0) => finished += 1,
            Some(8) => cut_short += 1,
            other => panic!("seed {seed}: ended with {other:?}: {errors}"),
        }
        let opened = Store::open(folder.path(), &Documents, Access::Write).unwrap();
        let lacks = opened.report.is_some_and(|report| report.may_lack());
        assert!(!lacks, "seed {seed}");
        let amiss = log.amiss(&opened.store);
        assert!(amiss.is_empty(), "seed {seed}: {amiss:#?}");
    }
    println!("{cut_short} recoveries cut short, {finished} not; everything there after each");
    assert!(faults < 20 || cut_short > 0);
}

#[test]
fn nothing_acknowledged_is_lost_when_the_disk_is_full() {
    let Some(enter) = namespace() else {
        println!(
            "this machine lets no small disk be mounted, not even in a namespace of its own: only the failing writes \
             of the other test stand for a full disk here"
        );
        return;
    };
    let first = number_from("TRAMMEL_SEED").unwrap_or(7);
    for seed in first..first + 3 {
        let folder = tempfile::tempdir().unwrap();
        let script = r#"
            mount -t tmpfs -o size="$SIZE" tmpfs "$HERE/disk"
            head -c 1000000 /dev/zero > "$HERE/disk/ballast"
            status() { set +e; "$@"; echo "$?" >> "$HERE/status"; set -e; }
            status "$CREW" "$HERE/disk/store" "${SEED}1" > "$HERE/until-full"
            status "$CREW" "$HERE/disk/store" "${SEED}2" > "$HERE/still-full"
            rm "$HERE/disk/ballast"
            status "$CREW" "$HERE/disk/store" "${SEED}3" 20 > "$HERE/room-again"
            cp -a "$HERE/disk/store" "$HERE/store"
        "#;
        std::fs::create_dir(folder.path().join("disk")).unwrap();
        let output = Command::new("unshare")
            .args(enter)
            .args(["sh", "-eu", "-c", script])
            .env("HERE", folder.path())
            .env("CREW", env!("CARGO_BIN_EXE_busy_crew"))
            .env("SEED", seed.to_string())
            .env("SIZE", format!("{}k", 3_000 + 517 * (seed % 7)))
            .output()
            .unwrap();
        assert!(
            output.status.success(),
            "seed {seed}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        let read = |name: &str| std::fs::read_to_string(folder.path().join(name)).unwrap();
        let ends = read("status");
        let ends: Vec<&str> = ends.lines().collect();
        assert_eq!(ends[0], "7", "seed {seed}: {}", read("until-full"));
        assert!(
            ["7", "8"].contains(&ends[1]),
            "seed {seed}: {}",
            read("still-full")
        );
        assert_eq!(ends[2], "0", "seed {seed}: {}", read("room-again"));
        let until_full = read("until-full");
        let refusals: Vec<&str> = until_full
            .lines()
            .filter(|line| line.starts_with("refused"))
            .collect();
        let full = "the disk is full: make room and try again; nothing of this was kept";
        assert!(
            refusals.iter().all(|line| line.ends_with(full)),
            "seed {seed}: {refusals:?}"
        );
        let mut log = CrewLog::default();
        for said in ["until-full", "still-full", "room-again"] {
            log.add(&read(said));
        }
        look(&folder.path().join("store"), &log, &format!("seed {seed}"));
        println!(
            "seed {seed}: {} acknowledged and all there, {} refused on the full disk",
            log.acknowledged(),
            log.refused()
        );
    }
}

fn crew(folder: &Path, seed: u64, count: &str) -> Command {
    let mut crew = Command::new(env!("CARGO_BIN_EXE_busy_crew"));
    crew.arg(folder).arg(seed.to_string()).arg(count);
    crew
}

/// How a file system of one's own can be had here, if at all.
fn namespace() -> Option<&'static [&'static str]> {
    const WAYS: [&[&str]; 2] = [&["--user", "--map-root-user", "--mount"], &["--mount"]];
    let folder = tempfile::tempdir().unwrap();
    WAYS.into_iter().find(|way| {
        Command::new("unshare")
            .args(*way)
            .args(["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs"])
            .arg(folder.path())
            .output()
            .is_ok_and(|output| output.status.success())
    })
}
