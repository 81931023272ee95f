//! Jobs on a device through the binary: the store, the readings, photos, job files, what is refused and how.

mod device;

use device::{Device, lines_fit, words};

/// A shell of four points on three tapes and more, with a slope to tell it from its mirror image.
const SHELL: [&[&str]; 9] = [
    &["tape", "A", "B", "40", "in"],
    &["tape", "A", "C", "30", "in"],
    &["tape", "B", "C", "50", "in"],
    &["tape", "A", "D", "20", "in"],
    &["tape", "B", "D", "44.7214", "in"],
    &["tape", "C", "D", "36.0555", "in"],
    &["rise", "A", "B", "0", "in"],
    &["rise", "A", "C", "0", "in"],
    &["rise", "A", "D", "20", "in"],
];

fn logged_shell(device: &Device) {
    device.done(&["job", "new", "shell", "--unit", "in", "--by", "Anna"]);
    for reading in SHELL {
        device.done(&[&["read"], reading].concat());
    }
}

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
fn sheets_come_in_by_their_first_row_and_twice_adds_nothing() {
    let device = Device::new();
    device.write_demo_sheets();
    device.done(&["job", "new", "shell", "--unit", "in", "--by", "Anna"]);
    let bare = ["job", "import", "points.csv", "instruments.csv", "readings.csv"];
    let first = device.done(&bare);
    assert_eq!(
        first.out,
        "Took in 230 new readings, 44 new points, 4 new instruments, 5 new lines that\ncannot be taped.\n"
    );
    let named = [
        "job",
        "import",
        "--readings",
        "readings.csv",
        "--points",
        "points.csv",
        "--instruments",
        "instruments.csv",
    ];
    let again = device.done(&named);
    assert_eq!(
        again.out,
        "The sheets brought nothing new.\n230 readings were there already.\n"
    );
    let json: serde_json::Value = device.json(&[&bare[..], &["--json"]].concat());
    assert_eq!(json["sheets"][0]["already"], 230);

    device.write("list.csv", b"what,how many\nnuts,4\n");
    let unknown = device.trammel(&["job", "import", "list.csv"]);
    assert_eq!(unknown.code, 2);
    assert!(
        words(&unknown.err).contains("say what it is with --readings"),
        "{}",
        unknown.err
    );

    device.write(
        "more.csv",
        b"id,kind,a,b,value\nn1,tape,sill-rear-L,new,1 m\nn2,hop,a,b,1 m\n",
    );
    let refused = device.trammel(&["job", "import", "more.csv"]);
    assert_eq!(refused.code, 2);
    assert!(words(&refused.err).contains("row 3"), "{}", refused.err);
    let kept = device.done(&["job", "import", "more.csv", "--keep-going"]);
    assert!(
        kept.out.starts_with("Took in 1 new reading, 1 new point."),
        "{}",
        kept.out
    );
    assert!(
        words(&kept.out).contains("more.csv, row 3, column kind: "),
        "{}",
        kept.out
    );
    device.stayed_in_its_store();
}

#[test]
fn two_devices_exchange_job_files_and_choose_what_they_disagree_about() {
    let (anna, ben) = (Device::new(), Device::new());
    logged_shell(&anna);
    let file = anna.at("from-anna.zip");
    let wrote = anna.done(&["job", "export", "--out", &file]);
    assert!(
        wrote.out.contains("the job shell, 9 readings, 0 photos."),
        "{}",
        wrote.out
    );
    let taken = ben.done(&["job", "import", &file, "--by", "Ben"]);
    assert!(words(&taken.out).contains("it is new here"), "{}", taken.out);

    anna.done(&["reading", "correct", "r001", "--value", "40 1/8 in"]);
    ben.done(&["reading", "correct", "r001", "--value", "40 1/4 in"]);
    anna.done(&["job", "set", "--frame", "three:A,B,C"]);
    ben.done(&["job", "set", "--frame", "three:B,A,C"]);
    ben.done(&["read", "tape", "A", "B", "40", "1/16", "in"]);
    let back = ben.at("from-ben.zip");
    ben.done(&["job", "export", "shell", "--out", &back]);
    let merged = anna.done(&["job", "import", &back]);
    assert!(
        words(&merged.out).contains("3 new changes, 0 new pictures."),
        "{}",
        merged.out
    );
    let twice = anna.done(&["job", "import", &back]);
    assert!(
        words(&twice.out).contains("is new to the job shell"),
        "{}",
        twice.out
    );

    let shown = anna.done(&["job", "show"]).out;
    for told in [
        "Devices disagree",
        "! frame of the job",
        "three:B,A,C by Ben",
        "! value of r001",
        "40 1/8 in by Anna",
        "40 1/4 in by Ben",
    ] {
        assert!(shown.contains(told), "{told:?} is not in\n{shown}");
    }
    assert!(
        anna.done(&["job", "list"])
            .out
            .contains("disagree about 2 values")
    );
    let json = anna.json(&["job", "show", "--json"]);
    let register = json["job"]["disputes"][1]["register"]
        .as_str()
        .expect("a register")
        .to_owned();
    assert!(shown.contains(&register), "{shown}");
    let chosen = anna.done(&["job", "choose", &register, "40 1/8 in"]);
    assert_eq!(chosen.out, "Chose 40 1/8 in for value of r001\n");
    let axes = anna.done(&["job", "choose", "job/-/frame", "three:A,B,C"]);
    assert_eq!(axes.out, "Chose three:A,B,C for frame of the job\n");
    assert!(!anna.done(&["job", "show"]).out.contains("Devices disagree"));
    anna.done(&["job", "export", "--out", &file, "--force"]);
    ben.done(&["job", "import", &file]);
    assert!(!ben.done(&["job", "show"]).out.contains("Devices disagree"));
    assert!(
        ben.done(&["job", "readings"])
            .out
            .contains("r001  tape A, B: 40 1/8 in")
    );
    assert_eq!(
        anna.json(&["job", "show", "--json"])["job"]["readings"],
        ben.json(&["job", "show", "--json"])["job"]["readings"]
    );
}

#[test]
fn an_export_overwrites_nothing_unless_told_and_leaves_no_half_file() {
    let device = Device::new();
    device.done(&["job", "new", "shell / rear, left", "--by", "Anna"]);
    device.done(&["job", "export"]);
    let name = "shell-rear-left.zip";
    device.write(name, b"mine");
    let refused = device.trammel(&["job", "export"]);
    assert_eq!(refused.code, 2);
    assert!(
        words(&refused.err).contains("is there already"),
        "{}",
        refused.err
    );
    assert_eq!(device.read(name), b"mine");
    device.done(&["job", "export", "--force", "--json"]);
    assert!(device.read(name).starts_with(b"PK"));
    assert_eq!(
        device
            .trammel(&["job", "export", "--out", "no/such/folder.zip"])
            .code,
        2
    );
    assert!(
        device.files().iter().all(|name| !name.contains(".part")),
        "{:?}",
        device.files()
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
            "Said that a line can be taped",
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
            "Said that roof is above",
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
fn a_photo_is_added_pinned_and_saved_without_where_it_was_taken() {
    let device = Device::new();
    device.done(&["job", "new", "shell", "--by", "Anna"]);
    device.done(&["read", "tape", "A", "B", "1 m"]);
    device.write("foot.jpg", &device::photo_with_position());
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

    device.done(&["photo", "save", &id, "away.jpg"]);
    device.done(&["photo", "save", &id, "whole.jpg", "--size", "original"]);
    assert_eq!(device.read("whole.jpg"), device.read("foot.jpg"));
    assert!(device::has_position(&device.read("whole.jpg")));
    assert!(!device::has_position(&device.read("away.jpg")));
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
    device.write("foot.jpg", &device::photo_with_position());
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

#[test]
fn answers_fit_80_columns_and_labels_cannot_drive_the_terminal() {
    let device = Device::new();
    let long = "Bodenblech-vorn-links-".repeat(5);
    device.done(&["job", "new", &long, "--unit", "in", "--by", "Anna"]);
    device.done(&["read", "tape", &long, "B", "40 in", "--note", &long]);
    device.done(&[
        "reading",
        "correct",
        "r001",
        "--value",
        "41 in",
        "--why",
        &"read it again ".repeat(9),
    ]);
    device.write("\u{1b}[31m.jpg", &device::photo_with_position());
    device.done(&["photo", "add", "\u{1b}[31m.jpg", "--caption", &long]);
    for typed in [
        &["job", "list"][..],
        &["job", "show"],
        &["job", "readings"],
        &["job", "history"],
        &["job", "check"],
        &["job", "export"],
        &["photo", "list"],
        &["demo"],
        &["job", "show", "demo"],
        &["job", "history", "demo"],
    ] {
        let answer = device.trammel(typed);
        assert!([0, 3].contains(&answer.code), "{typed:?}: {}", answer.err);
        assert!(
            !answer.out.contains('\u{1b}') && !answer.err.contains('\u{1b}'),
            "{typed:?}"
        );
        lines_fit(&answer.out);
    }
}

#[test]
fn every_help_fits_80_columns_and_has_an_example() {
    let device = Device::new();
    let of = |command: &'static str, below: &[&'static str]| {
        let mut all = vec![vec![command]];
        all.extend(below.iter().map(|what| vec![command, *what]));
        all
    };
    let commands = [
        of(
            "job",
            &[
                "new", "list", "show", "readings", "import", "export", "check", "history", "undo", "redo",
                "set", "choose", "add", "rename",
            ],
        ),
        of("read", &[]),
        of("reading", &["set-aside", "keep", "bring-back", "correct"]),
        of(
            "point",
            &["describe", "rename", "join", "split", "block", "unblock"],
        ),
        of("instrument", &["describe", "rename"]),
        of(
            "photo",
            &[
                "add",
                "list",
                "pin",
                "unpin",
                "caption",
                "about",
                "remove",
                "bring-back",
                "save",
            ],
        ),
        of("demo", &[]),
    ];
    for command in commands.concat() {
        let help = device.done(&[&command[..], &["--help"]].concat());
        let example = format!("  trammel {}", command.join(" "));
        assert!(help.out.contains(&example), "{command:?}: {}", help.out);
        assert!(help.out.contains("Example"), "{command:?}");
        lines_fit(&help.out);
    }
}
