//! What is told of a job: by the names that its people know, and with what to do next.

use crate::device::{Device, words};
use crate::logged_shell;

#[test]
fn what_a_job_cannot_use_is_told_by_the_name_of_the_reading() {
    let device = Device::new();
    device.done(&["job", "new", "shell", "--by", "Anna"]);
    device.done(&["read", "tape", "A", "B", "1 m", "--note", "bent\nand read again"]);
    device.done(&["read", "tape", "A", "C", "1 m"]);
    device.done(&["read", "tape", "C", "D", "1 m"]);
    device.done(&["point", "join", "D", "C"]);
    let shown = device.trammel(&["job", "show"]);
    assert!(
        words(&shown.out).contains("r003, b: \"C\" stands twice in this reading"),
        "{}",
        shown.out
    );
    for foreign in ["row", "sheet"] {
        assert!(!words(&shown.out).contains(foreign), "{}", shown.out);
    }
}

#[test]
fn a_reading_that_is_refused_says_what_to_do_with_the_job() {
    let device = Device::new();
    device.done(&["job", "new", "shell", "--by", "Anna"]);
    for (typed, told) in [
        (
            &["read", "tape", "A", "B", "1 m", "--instrument", "long"][..],
            "instrument: \"long\" is not described in this job: describe the instrument first",
        ),
        (
            &["read", "tape", "A", "B", "1 m", "--from", "case"][..],
            "from: case needs an instrument: describe it with its case_length first",
        ),
        (
            &["read", "slope", "A", "B", "1 deg", "--add", "1 mm"][..],
            "add: a length cannot be added to a slope, which is an angle: leave it empty",
        ),
        (
            &["read", "tape", "A", "B", "40"][..],
            "has no unit: write 1032 mm or 40 5/8 in, or say the unit of bare numbers",
        ),
    ] {
        let refused = device.trammel(typed);
        assert_eq!(refused.code, 2, "{typed:?}: {}", refused.err);
        let err = words(&refused.err);
        assert!(err.contains(told), "{typed:?}: {err}");
        assert!(
            !err.contains("sheet") && !err.contains(" row"),
            "{typed:?}: {err}"
        );
    }
    device.done(&["instrument", "describe", "long", "--kind", "tape"]);
    device.done(&["read", "tape", "A", "B", "1 m", "--instrument", "long"]);
}

#[test]
fn the_list_tells_how_a_job_stands_once_it_was_shown() {
    let device = Device::new();
    logged_shell(&device);
    let before = device.done(&["job", "list"]).out;
    assert!(!before.contains("Solved: "), "{before}");
    device.done(&["job", "show"]);
    let list = device.done(&["job", "list"]).out;
    assert!(list.contains("Solved: Held out 0, "), "{list}");
}

#[test]
fn a_folder_without_jobs_says_how_to_make_one_and_stays_as_it_is() {
    let device = Device::new();
    std::fs::create_dir(device.store()).expect("a folder can be made");
    for typed in [&["job", "list"][..], &["job", "show"], &["photo", "list"]] {
        let refused = device.trammel(typed);
        assert_eq!(refused.code, 2, "{typed:?}: {}", refused.err);
        let err = words(&refused.err);
        assert!(
            err.contains("trammel job new NAME") && err.contains("trammel demo"),
            "{err}"
        );
        assert!(!err.contains("for writing"), "{err}");
    }
    let left = std::fs::read_dir(device.store()).expect("the folder is there");
    assert_eq!(left.count(), 0);
}

#[test]
fn a_look_at_an_emptied_store_recovers_what_can_be_read() {
    for spoil in [
        (|path: &std::path::Path| std::fs::write(path, b"")) as fn(&std::path::Path) -> std::io::Result<()>,
        |path| std::fs::remove_file(path),
    ] {
        for typed in [&["job", "list"][..], &["job", "show"]] {
            let device = Device::new();
            logged_shell(&device);
            spoil(&device.store().join("trammel.sqlite")).expect("the database can be spoilt");
            let looked = device.trammel(typed);
            assert!(
                words(&looked.err).contains("The store on this device was damaged"),
                "{typed:?}: {}{}",
                looked.out,
                looked.err
            );
        }
    }
}

#[test]
fn several_settings_are_one_change_and_one_undo() {
    let device = Device::new();
    logged_shell(&device);
    let set = device.done(&[
        "job",
        "set",
        "--unit",
        "mm",
        "--frame",
        "three:A,B,C",
        "--above",
        "D",
        "--name",
        "rear",
    ]);
    assert_eq!(
        words(&set.out),
        "Named the job rear; set the unit to mm; set the axes to three:A,B,C; said that D is above"
    );
    let undone = device.done(&["job", "undo"]);
    assert!(words(&undone.out).starts_with("Undid: named the job rear; set the unit"));
    let shown = device.done(&["job", "show"]).out;
    assert!(
        shown.starts_with("shell\n") && shown.contains("Unit: in") && !shown.contains("Axes: "),
        "{shown}"
    );
    device.done(&["job", "redo"]);
    assert!(device.done(&["job", "show"]).out.starts_with("rear\n"));
    // One that cannot be used leaves all of them as they were.
    let refused = device.trammel(&["job", "set", "--unit", "in", "--above", "nowhere"]);
    assert_eq!(refused.code, 2);
    assert!(device.done(&["job", "show"]).out.contains("Unit: mm"));
    let open = device.done(&["job", "set", "--frame", "open", "--above", ""]);
    assert_eq!(
        words(&open.out),
        "Left the axes open; left open which point is above"
    );
}

#[test]
fn the_history_says_which_photo_which_point_and_which_line() {
    let device = Device::new();
    logged_shell(&device);
    device.write("foot.jpg", &crate::device::photo_with_position());
    device.done(&["photo", "add", "foot.jpg"]);
    let list = device.json(&["photo", "list", "--json"]);
    let id = list[0]["id"].as_str().expect("an id")[..8].to_owned();
    for (typed, told) in [
        (
            &["photo", "pin", &id, "B", "0.25", "0.5"][..],
            "Pinned B on the photo foot.jpg",
        ),
        (
            &["photo", "unpin", &id, "B"],
            "Took the pin of B off the photo foot.jpg",
        ),
        (
            &["job", "undo"],
            "Undid: took the pin of B off the photo foot.jpg",
        ),
        (&["job", "undo"], "Undid: pinned B on the photo foot.jpg"),
        (
            &["photo", "about", &id, "--point", "A"],
            "Said that the photo foot.jpg is of A",
        ),
        (
            &["photo", "caption", &id, "the foot"],
            "Wrote under the photo foot.jpg: the foot",
        ),
        (
            &["photo", "remove", &id],
            "Took out the photo \u{201c}the foot\u{201d}",
        ),
        (
            &["photo", "bring-back", &id],
            "Brought back the photo \u{201c}the foot\u{201d}",
        ),
        (
            &["photo", "caption", &id, ""],
            "Took away what was written under the photo foot.jpg",
        ),
        (
            &["point", "block", "A", "D"],
            "Marked the line from A to D as not to be taped",
        ),
        (
            &["point", "unblock", "D", "A"],
            "Said that the line from A to D can be taped",
        ),
    ] {
        let done = words(&device.done(typed).out);
        assert_eq!(done, told, "{typed:?}");
    }
    let history = words(&device.done(&["job", "history"]).out);
    for told in [
        "Anna added the photo foot.jpg",
        "Anna pinned B on the photo foot.jpg",
        "Anna said that the line from A to D can be taped",
    ] {
        assert!(history.contains(told), "{told:?} is not in\n{history}");
    }
}
