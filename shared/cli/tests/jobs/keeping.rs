//! The store: who else works in it, where it is, what is wrong with it, and the demo in it.

use crate::device::{Device, words};
use crate::logged_shell;

#[test]
fn a_photo_is_added_pinned_and_saved_without_where_it_was_taken() {
    let device = Device::new();
    device.done(&["job", "new", "shell", "--by", "Anna"]);
    device.done(&["read", "tape", "A", "B", "1 m"]);
    device.write("foot.jpg", &crate::device::photo_with_position());
    let added = device.done(&[
        "photo",
        "add",
        "foot.jpg",
        "--point",
        "A",
        "--caption",
        "the foot",
    ]);
    assert!(
        added.out.contains("the foot") && added.out.contains("Of A."),
        "{}",
        added.out
    );
    assert!(
        device
            .done(&["photo", "add", "foot.jpg"])
            .out
            .contains("was there already")
    );

    let list = device.json(&["photo", "list", "--json"]);
    let id = list[0]["id"].as_str().expect("an id")[..8].to_owned();
    device.done(&["photo", "pin", &id, "B", "0.25", "0.5"]);
    assert_eq!(device.trammel(&["photo", "pin", &id, "B", "1.5", "0.5"]).code, 2);
    device.done(&["photo", "caption", &id, "from behind"]);
    device.done(&["photo", "about", &id, "--reading", "r001"]);
    device.done(&["photo", "remove", &id]);
    assert!(device.done(&["photo", "list"]).out.contains("Taken out."));
    device.done(&["photo", "bring-back", &id]);
    let list = device.done(&["photo", "list"]).out;
    for told in ["1 photo:", "from behind", "Of r001.", "Pinned: B at 0.25, 0.5."] {
        assert!(list.contains(told), "{told:?} is not in\n{list}");
    }

    device.done(&["photo", "unpin", &id, "B"]);
    assert!(!device.done(&["photo", "list"]).out.contains("Pinned"));
    assert_eq!(device.trammel(&["photo", "unpin", &id, "B"]).code, 2);

    device.done(&[
        "photo",
        "pin",
        &id,
        "",
        "0.5",
        "0.5",
        "--note",
        "bracket, no mark yet",
    ]);
    let list = device.done(&["photo", "list"]).out;
    assert!(
        words(&list).contains("\u{201c}bracket, no mark yet\u{201d}, not tied to a point yet, at 0.5, 0.5."),
        "{list}"
    );
    let tied = device
        .done(&["photo", "tie", &id, "bracket, no mark yet", "C"])
        .out;
    assert!(words(&tied).contains("to C"), "{tied}");
    assert!(
        device
            .done(&["photo", "list"])
            .out
            .contains("Pinned: C at 0.5, 0.5.")
    );
    assert_eq!(device.trammel(&["photo", "pin", &id, "", "0.5", "0.5"]).code, 2);

    device.done(&["photo", "save", &id, "away.jpg"]);
    device.done(&["photo", "save", &id, "whole.jpg", "--size", "original"]);
    assert_eq!(device.read("whole.jpg"), device.read("foot.jpg"));
    assert!(crate::device::has_position(&device.read("whole.jpg")));
    assert!(!crate::device::has_position(&device.read("away.jpg")));
    let there = device.trammel(&["photo", "save", &id, "away.jpg"]);
    assert_eq!(there.code, 2);
    assert!(there.err.contains("is there already"), "{}", there.err);

    let export = device.done(&["job", "export"]).out;
    assert!(export.contains("1 photo."), "{export}");
    device.write("phone.heic", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic");
    let refused = device.trammel(&["photo", "add", "phone.heic"]);
    assert_eq!(refused.code, 2);
    assert!(
        refused.err.contains("HEIC") && refused.err.contains("JPEG"),
        "{}",
        refused.err
    );
    device.stayed_in_its_store();
}

#[test]
fn while_another_program_writes_the_job_is_shown_and_nothing_else_is_written() {
    let device = Device::new();
    logged_shell(&device);
    let writer = desk::Desk::open(&device.store(), Box::new(desk::Device)).expect("the store opens");
    let refused = device.trammel(&["read", "tape", "A", "B", "40 in"]);
    assert_eq!(refused.code, 4);
    assert!(
        words(&refused.err).contains("another window or program works in"),
        "{}",
        refused.err
    );
    let shown = device.done(&["job", "show"]);
    assert!(shown.out.contains("9 readings"), "{}", shown.out);
    device.done(&["job", "history"]);
    device.done(&["job", "export"]);
    drop(writer);
    device.done(&["read", "tape", "A", "B", "40 in"]);
}

#[test]
fn a_folder_that_is_no_store_is_refused_with_4() {
    let device = Device::new();
    device.write("store", b"a file where the folder should be");
    assert_eq!(device.trammel(&["job", "new", "shell"]).code, 4);
}

#[test]
fn a_check_says_what_it_looked_at_and_finds_a_photo_that_is_gone() {
    let device = Device::new();
    device.done(&["job", "new", "shell", "--by", "Anna"]);
    device.write("foot.jpg", &crate::device::photo_with_position());
    device.done(&["photo", "add", "foot.jpg"]);
    let checked = device.done(&["job", "check"]);
    assert!(checked.out.starts_with("Looked at 1 job, "), "{}", checked.out);
    assert!(checked.out.contains("and 1 photo."), "{}", checked.out);
    assert_eq!(
        device.json(&["job", "check", "--json"])["wrong"],
        serde_json::json!([])
    );

    device.spoil_photos();
    let found = device.trammel(&["job", "check"]);
    assert_eq!(found.code, 4);
    assert!(
        words(&found.out).contains("1 fault found. ! the file of photo")
            && words(&found.out).contains("is not as it was kept"),
        "{}",
        found.out
    );
}

#[test]
fn what_was_recovered_is_told_beside_the_answer() {
    let device = Device::new();
    logged_shell(&device);
    device.spoil_database();
    let list = device.done(&["job", "list"]);
    let told = words(&list.err);
    assert!(
        told.contains("was damaged. What could be read was recovered"),
        "{told}"
    );
    assert!(told.contains("set aside in"), "{told}");
    assert!(told.contains("Job shell: "), "{told}");
    assert!(!list.out.contains("damaged"), "{}", list.out);
    assert_eq!(device.done(&["job", "list"]).err, "");
}

#[test]
fn the_demo_is_a_job_like_any_other() {
    let device = Device::new();
    let demo = device.done(&["demo"]);
    assert!(demo.out.starts_with("Made the job demo in "), "{}", demo.out);
    for told in [
        "3 readings held out",
        "r065: tape from floor-front-R to roof-front",
        "Likely read from the 1 inch mark.",
        "Likely two digits swapped on paper.",
        "Likely taken to the mirror point",
        "seat-bolt-rear-R can swing.",
        "Only two tapes hold it.",
        "trammel reading set-aside r065 --store ",
    ] {
        assert!(demo.out.contains(told), "{told:?} is not in\n{}", demo.out);
    }
    device.done(&["reading", "set-aside", "r065"]);
    let again = device.done(&["demo"]);
    assert!(
        words(&again.out).contains("already, and left as it is."),
        "{}",
        again.out
    );
    assert!(again.out.contains("2 readings held out"), "{}", again.out);
    device.done(&["job", "undo"]);
    assert!(device.done(&["job", "show"]).out.contains("3 readings held out"));
    device.stayed_in_its_store();
}

#[test]
fn where_no_store_is_named_it_is_in_the_data_folder() {
    let device = Device::new();
    let made = device.without_store(&["job", "new", "shell"], &[]);
    assert_eq!(made.code, 0, "{}", made.err);
    assert!(!device.data_folder_is_empty());
    let elsewhere = device.at("elsewhere");
    let named = device.without_store(
        &["job", "new", "other"],
        &[("TRAMMEL_STORE", &elsewhere), ("TRAMMEL_BY", "Ben")],
    );
    assert_eq!(named.code, 0, "{}", named.err);
    let history = device.without_store(&["job", "history"], &[("TRAMMEL_STORE", &elsewhere)]);
    assert!(
        words(&history.out).contains("Ben made the job other"),
        "{}",
        history.out
    );
}
