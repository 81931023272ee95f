//! The command line through its binary: help, files, streams, exit status.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn trammel(dir: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_trammel"))
        .args(args)
        .current_dir(dir)
        .output()
        .expect("trammel runs")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("standard output is UTF-8")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("standard error is UTF-8")
}

/// An empty folder for one test.
fn folder(name: &str) -> PathBuf {
    let dir = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&dir);
    std::fs::create_dir_all(&dir).expect("a folder can be made");
    dir
}

/// A folder with the demo job in it.
fn demo_folder(name: &str) -> PathBuf {
    let dir = folder(name);
    for (sheet, text) in desk::demo::SHEETS {
        std::fs::write(dir.join(sheet), text).expect("a sheet can be written");
    }
    dir
}

const DEMO: [&str; 8] = [
    "adjust",
    "readings.csv",
    "--points",
    "points.csv",
    "--instruments",
    "instruments.csv",
    "--frame",
    desk::demo::FRAME,
];

fn with<'a>(args: &[&'a str]) -> Vec<&'a str> {
    DEMO.iter().chain(args).copied().collect()
}

#[test]
fn help_teaches_by_example_within_80_columns() {
    let dir = folder("help");
    for (args, example) in [
        (&["--help"][..], "trammel adjust readings.csv"),
        (&["adjust", "--help"][..], "trammel adjust readings.csv"),
        (&["order", "--help"][..], "trammel order points.csv"),
    ] {
        let help = trammel(&dir, args);
        assert!(help.status.success());
        let text = out(&help);
        assert!(
            text.matches(example).count() >= if args[0] == "order" { 3 } else { 4 },
            "{text}"
        );
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    }
}

#[test]
fn two_sheets_are_compared_and_the_moved_point_is_named() {
    let dir = demo_folder("compare");
    let options = [
        "--points",
        "points.csv",
        "--instruments",
        "instruments.csv",
        "--frame",
        desk::demo::FRAME,
    ];
    let compare = |after: &str, more: &[&str]| {
        let args: Vec<&str> = ["compare", "readings.csv", after]
            .iter()
            .chain(&options)
            .chain(more)
            .copied()
            .collect();
        trammel(&dir, &args)
    };
    let same = compare("readings.csv", &[]);
    assert!(same.status.success(), "{}", err(&same));
    assert!(
        out(&same).starts_with("No point is seen to have moved."),
        "{}",
        out(&same)
    );
    assert!(out(&same).lines().all(|line| line.chars().count() <= 80));
    let json: serde_json::Value =
        serde_json::from_str(&out(&compare("readings.csv", &["--json", "-"]))).expect("only JSON");
    assert_eq!(json["stands_still"], true);

    let few = "id,kind,a,b,value\nr1,tape,A,B,1 m\nr2,tape,B,C,1 m\nr3,tape,A,C,1 m\n";
    std::fs::write(dir.join("few.csv"), few).expect("written");
    let refused = trammel(
        &dir,
        &[
            "compare",
            "readings.csv",
            "few.csv",
            "--instruments",
            "instruments.csv",
        ],
    );
    assert_eq!(refused.status.code(), Some(3), "{}", err(&refused));
    assert!(err(&refused).contains("cannot be compared"), "{}", err(&refused));
}

#[test]
fn an_unknown_option_is_refused_with_2() {
    let output = trammel(
        &folder("option"),
        &["adjust", "readings.csv", "--unit", "furlong"],
    );
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("furlong"));
}

#[test]
fn a_missing_file_is_named() {
    let output = trammel(&folder("missing"), &["adjust", "not-here.csv"]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(
        err(&output),
        "trammel: there is no file not-here.csv: check the path\n"
    );
    assert_eq!(out(&output), "");
}

#[test]
fn a_file_too_large_to_be_a_sheet_is_refused_unread() {
    let dir = folder("large");
    let file = std::fs::File::create(dir.join("film.mp4")).expect("a file can be made");
    file.set_len((64 << 20) + 1).expect("a file can be sparse");
    let output = trammel(&dir, &["adjust", "film.mp4"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("film.mp4 is larger than 64 MB"));
}

#[test]
fn a_folder_is_no_sheet() {
    let output = trammel(&folder("folder"), &["adjust", "."]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("is a folder"));
}

#[test]
fn rows_that_cannot_be_used_are_listed_with_2() {
    let dir = folder("rows");
    std::fs::write(
        dir.join("r.csv"),
        "id,kind,a,b,value\nr1,tape,A,B,40\nr2,hop,A,B,1 m\n",
    )
    .expect("written");
    let output = trammel(&dir, &["adjust", "r.csv", "--json", "-"]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(out(&output), "", "no JSON where there is no result");
    let told = err(&output);
    assert!(told.contains("r.csv, row 2, column value: "), "{told}");
    assert!(told.contains("r.csv, row 3, column kind: "), "{told}");
}

#[test]
fn nothing_to_solve_is_told_with_3() {
    let dir = folder("nothing");
    std::fs::write(dir.join("r.csv"), "id,kind,a,b,value\n").expect("written");
    let output = trammel(&dir, &["adjust", "r.csv"]);
    assert_eq!(output.status.code(), Some(3));
    assert!(
        err(&output).starts_with("trammel: nothing can be solved: "),
        "{}",
        err(&output)
    );
}

#[test]
fn control_characters_of_a_sheet_never_reach_the_terminal() {
    let dir = folder("control");
    std::fs::write(dir.join("r.csv"), "id,kind,a,b,value\nr1,tape,A,B,\u{1b}[31m40\n").expect("written");
    let output = trammel(&dir, &["adjust", "r.csv"]);
    assert!(!err(&output).contains('\u{1b}'));
}

#[test]
fn json_on_standard_output_is_json_alone() {
    let output = trammel(&demo_folder("json"), &with(&["--json", "-"]));
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    let result: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON and nothing else");
    assert_eq!(result["format"], 1);
    assert_eq!(result["points"].as_array().map(Vec::len), Some(44));
    assert_eq!(result["frame"]["origin"], "sill-rear-R");
}

#[test]
fn json_in_a_file_leaves_the_sheet_on_standard_output() {
    let dir = demo_folder("json-file");
    let output = trammel(&dir, &with(&["--json", "result.json"]));
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(out(&output).contains("Measured, not approved."));
    let written = std::fs::read(dir.join("result.json")).expect("the file is there");
    let result: serde_json::Value = serde_json::from_slice(&written).expect("JSON");
    assert_eq!(result["format"], 1);
}

#[test]
fn the_sheet_fits_80_columns_and_has_no_colour_off_a_terminal() {
    for no_colour in ["", "1"] {
        let dir = demo_folder(&format!("plain-{no_colour}"));
        let output = Command::new(env!("CARGO_BIN_EXE_trammel"))
            .args(DEMO)
            .env("NO_COLOR", no_colour)
            .current_dir(&dir)
            .output()
            .expect("trammel runs");
        let text = out(&output);
        assert_eq!(output.status.code(), Some(0), "{}", err(&output));
        assert!(!text.contains('\u{1b}'));
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    }
}

#[test]
fn an_order_goes_on_from_the_demo_job_and_fits_on_paper() {
    let dir = demo_folder("order");
    let from_the_start = trammel(&dir, &["order", "points.csv", "--unit", "in"]);
    assert!(from_the_start.status.success(), "{}", err(&from_the_start));
    let text = out(&from_the_start);
    assert!(
        text.contains("First the base") && text.contains(": tape it from"),
        "{text}"
    );
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    assert!(text.contains("Nothing in it is measured or approved."));

    let half_done = [
        "order",
        "points.csv",
        "--readings",
        "readings.csv",
        "--instruments",
        "instruments.csv",
    ];
    let goes_on = trammel(&dir, &half_done);
    assert!(goes_on.status.success(), "{}", err(&goes_on));
    assert!(
        out(&goes_on).contains("First read these again"),
        "{}",
        out(&goes_on)
    );
    let json = trammel(&dir, &[&half_done[..], &["--json", "-"]].concat());
    let written: serde_json::Value = serde_json::from_str(&out(&json)).expect("JSON alone");
    assert_eq!(written["steps"][0]["why"], "read again");
}

#[test]
fn an_order_without_places_says_what_is_missing() {
    let dir = folder("no-places");
    std::fs::write(dir.join("points.csv"), "label\na\nb\n").expect("a sheet can be written");
    let asked = trammel(&dir, &["order", "points.csv"]);
    assert_eq!(asked.status.code(), Some(3));
    assert!(err(&asked).contains("rough place"), "{}", err(&asked));
    let unusable = trammel(&dir, &["order", "points.csv", "--frame", "square:a,b"]);
    assert_eq!(unusable.status.code(), Some(2));
}
