//! Sheets and job files in and out, and what two devices disagree about.

use crate::device::{Device, words};
use crate::logged_shell;

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
