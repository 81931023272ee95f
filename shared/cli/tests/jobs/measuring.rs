//! Readings logged, corrected and taken back, and what is said of points and instruments.

use crate::device::{Device, words};
use crate::{SHELL, logged_shell};

#[test]
fn a_first_job_goes_from_nothing_to_a_solved_shell() {
    let device = Device::new();
    let nothing = device.trammel(&["job", "list"]);
    assert_eq!(nothing.code, 2);
    assert!(
        words(&nothing.err).contains("make one with trammel job new NAME"),
        "{}",
        nothing.err
    );

    let made = device.done(&["job", "new", "shell", "--unit", "in", "--by", "Anna"]);
    assert!(made.out.starts_with("Made the job shell."), "{}", made.out);
    assert_eq!(
        made.err,
        "Remembered: Anna works here, unless --by says otherwise.\n"
    );

    let first = device.done(&["read", "tape", "A", "B", "40", "5/8", "in"]);
    assert_eq!(
        first.out,
        "Logged r001: tape from A to B, 40 5/8 in\nNothing to compare it with yet.\n"
    );
    let early = device.trammel(&["job", "show"]);
    assert_eq!(early.code, 3);
    assert!(early.out.contains("Nothing can be solved: "), "{}", early.out);
    assert!(early.out.contains("r001  tape A, B: 40 5/8 in"), "{}", early.out);

    device.done(&[
        "reading",
        "correct",
        "r001",
        "--value",
        "40 in",
        "--why",
        "read again",
    ]);
    for reading in &SHELL[1..] {
        device.done(&[&["read"], *reading].concat());
    }
    let again = device.done(&["read", "tape", "D", "A", "20", "1/16", "in"]);
    assert!(again.out.contains("Fits: within"), "{}", again.out);
    let off = device.done(&["read", "tape", "B", "A", "41", "in"]);
    assert!(off.out.contains("! 1 in long."), "{}", off.out);

    let shown = device.done(&["job", "show"]);
    for told in [
        "shell\n  11 readings, 4 points, 0 photos.\n  Unit: in\n  Crew: Anna\n",
        "Something is off, and the readings",
        "Points (in). Each ± is 95 %, rounded up.",
        "r011: tape from B to A",
        "Measured, not approved.",
        "A cage holds a life.",
    ] {
        assert!(shown.out.contains(told), "{told:?} is not in\n{}", shown.out);
    }
    device.done(&["reading", "set-aside", "r011", "--why", "hook was off"]);
    let shown = device.done(&["job", "show"]);
    assert!(
        shown.out.starts_with("shell") && shown.out.contains("0 readings held out"),
        "{}",
        shown.out
    );
    assert!(!shown.out.contains("Something is off"), "{}", shown.out);
    assert!(
        device
            .done(&["job", "readings"])
            .out
            .contains("set aside: hook was off")
    );
    device.stayed_in_its_store();
}

#[test]
fn a_value_may_be_negative_and_a_fraction() {
    let device = Device::new();
    device.done(&["job", "new", "shell", "--by", "Anna"]);
    for (typed, kept) in [
        (&["z", "A", "-5/8", "in"][..], "z of A, -5/8 in"),
        (
            &["slope", "A", "B", "-1.2 deg"][..],
            "slope from A to B, -1.2 deg",
        ),
        (
            &["rise", "A", "B", "-3", "mm", "--add", "-1 mm"][..],
            "rise from A to B, -3 mm",
        ),
    ] {
        let logged = device.done(&[&["read"], typed].concat());
        assert!(logged.out.contains(kept), "{}", logged.out);
    }
}

#[test]
fn what_is_typed_wrong_is_refused_with_2_and_logs_nothing() {
    let device = Device::new();
    device.done(&["job", "new", "shell", "--by", "Anna"]);
    for (typed, told) in [
        (
            &["read", "tape", "A", "B"][..],
            "a tape needs 2 points and a value after them",
        ),
        (&["read", "hop", "A", "B", "1 m"][..], "hop"),
        (&["read", "tape", "A", "A", "1 m"][..], "A"),
        (&["read", "tape", "A", "B", "C", "40", "in"][..], "C 40 in"),
        (&["read", "blocked", "A", "B"][..], "trammel point block A B"),
        (&["reading", "set-aside", "r9"][..], "there is no reading `r9`"),
        (&["job", "show", "other"][..], "no job here is called `other`"),
        (&["job", "set", "--frame", "square:a,b"][..], "square"),
        (&["job", "import"][..], "name a job file or a sheet to take in"),
        (&["job", "set"][..], "say what is to be set"),
        (&["reading", "correct", "r001"][..], "say what is to be corrected"),
        (&["job", "undo", "--by", "Ben"][..], "nothing of yours to undo"),
        (&["point", "split", "A"][..], "there is no point `A`"),
    ] {
        let refused = device.trammel(typed);
        assert_eq!(refused.code, 2, "{typed:?}: {}", refused.err);
        assert_eq!(refused.out, "", "{typed:?}");
        assert!(words(&refused.err).contains(told), "{typed:?}: {}", refused.err);
    }
    assert!(
        device
            .trammel(&["job", "show"])
            .out
            .contains("0 readings, 0 points")
    );
}

#[test]
fn of_several_jobs_one_must_be_named() {
    let device = Device::new();
    device.done(&["job", "new", "one", "--by", "Anna"]);
    device.done(&["job", "new", "two"]);
    let which = device.trammel(&["read", "tape", "A", "B", "1 m"]);
    assert_eq!(which.code, 2);
    assert!(which.err.contains("say which job: "), "{}", which.err);
    device.done(&["read", "tape", "A", "B", "1 m", "--job", "two"]);
    assert!(device.trammel(&["job", "show", "one"]).out.contains("0 readings"));
    assert!(
        device
            .trammel(&["--job", "two", "job", "show"])
            .out
            .contains("1 reading,")
    );
    let list = device.done(&["job", "list"]).out;
    assert!(
        list.contains("one\n  0 readings") && list.contains("two\n  1 reading,"),
        "{list}"
    );
}

#[test]
fn undo_and_redo_are_each_persons_own() {
    let device = Device::new();
    device.done(&["job", "new", "shell", "--by", "Anna"]);
    device.done(&["read", "tape", "A", "B", "1 m"]);
    device.done(&["read", "tape", "A", "C", "2 m", "--by", "Ben"]);
    let undone = device.done(&["job", "undo"]);
    assert_eq!(undone.out, "Undid: logged r001: tape from A to B, 1 m\n");
    let readings = device.done(&["job", "readings"]).out;
    assert!(
        !readings.contains("1 m") && readings.contains("tape A, C: 2 m"),
        "{readings}"
    );
    device.done(&["job", "redo"]);
    assert!(device.done(&["job", "readings"]).out.contains("tape A, B: 1 m"));

    let history = device.json(&["job", "history", "--json"]);
    let changes = history.as_array().expect("a list");
    assert_eq!(changes.len(), 5);
    assert_eq!(changes[2]["by"], "Ben");
    let first_reading = &changes[3]["change"].as_str().expect("a change")[..8];
    let stood = device.done(&["job", "show", "--at", first_reading]).out;
    assert!(stood.contains("Readings (1)"), "{stood}");
    assert!(device.done(&["job", "history"]).out.contains(first_reading));
    assert_eq!(device.trammel(&["job", "show", "--at", "yesterday"]).code, 2);
}

#[test]
fn points_instruments_and_the_rest_of_a_job_are_described() {
    let device = Device::new();
    logged_shell(&device);
    for (typed, told) in [
        (
            &[
                "point", "describe", "A", "--side", "right", "--mirror", "new", "--x", "-5 in",
            ][..],
            "Described the point A",
        ),
        (
            &["point", "rename", "D", "roof"][..],
            "Renamed the point D to roof",
        ),
        (
            &["point", "block", "A", "roof", "--why", "a seat"][..],
            "Marked the line from A to roof as not to be taped",
        ),
        (
            &["point", "unblock", "A", "roof"][..],
            "Said that the line from A to roof can be taped",
        ),
        (&["point", "join", "C", "B"][..], "Joined C with B"),
        (&["point", "split", "C"][..], "Took C apart again"),
        (
            &[
                "instrument",
                "describe",
                "tape",
                "--kind",
                "tape",
                "--class",
                "II",
            ][..],
            "Described the instrument tape",
        ),
        (
            &["instrument", "rename", "tape", "long tape"][..],
            "Renamed tape to long tape",
        ),
        (&["job", "add", "person", "Ben"][..], "Added Ben to the crew"),
        (&["job", "add", "epoch", "tacked"][..], "Began the epoch tacked"),
        (
            &["job", "rename", "epoch", "tacked", "after tacking"][..],
            "Renamed tacked to after tacking",
        ),
        (
            &["job", "set", "--frame", "three:A,B,C"][..],
            "Set the axes to three:A,B,C",
        ),
        (
            &["job", "set", "--above", "roof", "--unit", "mm"][..],
            "Set the unit to mm; said that roof is above",
        ),
        (
            &["reading", "keep", "r001", "--why", "twice"][..],
            "Kept r001: twice",
        ),
        (&["reading", "bring-back", "r001"][..], "Brought back r001"),
        (
            &["job", "set", "--name", "rear shell"][..],
            "Named the job rear shell",
        ),
    ] {
        let done = device.done(typed);
        assert!(done.out.contains(told), "{typed:?}: {}", done.out);
    }
    let shown = device.done(&["job", "show"]).out;
    for told in [
        "rear shell",
        "Axes: three:A,B,C",
        "Unit: mm",
        "Crew: Anna, Ben",
        "Epochs: after tacking",
    ] {
        assert!(shown.contains(told), "{told:?} is not in\n{shown}");
    }
}

#[test]
fn what_moved_between_two_epochs_of_a_job_is_told_as_between_two_sheets() {
    let device = Device::new();
    device.done(&["demo"]);
    let welded = include_bytes!("../../../../tests/data/epochs/after-welding.csv");
    device.write("welded.csv", welded);
    device.done(&["job", "import", "welded.csv", "--by", "Anna"]);
    let compared = device.done(&["job", "compare", "", "after welding"]).out;
    assert!(compared.starts_with("2 points moved."), "{compared}");
    for told in [
        "! roof-rear-L: moved 0.3",
        "! roof-rear-R: moved 0.2",
        "Measured, not approved.",
    ] {
        assert!(compared.contains(told), "{told:?} is not in\n{compared}");
    }
    let json = device.json(&["job", "compare", "", "after welding", "--json"]);
    assert_eq!(
        (&json["before"], &json["after"]),
        (&"".into(), &"after welding".into())
    );
    assert_eq!(json["points"].as_array().map(Vec::len), Some(24));
    let same = device.trammel(&["job", "compare", "after welding", "after welding"]);
    assert_eq!(same.code, 2);
    assert!(words(&same.err).contains("choose two"), "{}", same.err);
}
