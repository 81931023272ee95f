//! The sheet for the wall as files.

use crate::device::{Device, words};
use crate::logged_shell;

#[test]
fn the_sheet_is_one_pdf_or_a_file_for_each_page() {
    let device = Device::new();
    logged_shell(&device);
    let wrote = device.done(&["wall", "--paper", "letter"]);
    assert!(
        words(&wrote.out).starts_with("Wrote shell-wall.pdf: the job shell, 4 pages."),
        "{}",
        wrote.out
    );
    assert!(
        words(&wrote.out).contains("Measured, not approved."),
        "{}",
        wrote.out
    );
    assert!(device.read("shell-wall.pdf").starts_with(b"%PDF-"));

    device.done(&["wall", "shell", "--form", "svg", "--out", "on the wall.svg"]);
    for page in 1..=4 {
        let svg = String::from_utf8(device.read(&format!("on the wall-{page}.svg"))).expect("SVG is text");
        assert!(svg.contains("width=\"210mm\" height=\"297mm\""));
        assert!(svg.contains("Measured, not approved."));
    }
    let json = device.json(&["wall", "--json", "--out", "again.pdf"]);
    assert_eq!(
        (&json["pages"], &json["problems"]),
        (&4.into(), &serde_json::json!([]))
    );
    let again = device.json(&["wall", "--paper", "letter", "--json", "--out", "letter.pdf"]);
    assert_eq!(again["pages"], 4);
    assert_eq!(
        device.read("letter.pdf"),
        device.read("shell-wall.pdf"),
        "the same job gives the same bytes"
    );
    device.stayed_in_its_store();
}

#[test]
fn nothing_is_overwritten_unless_told_and_no_half_sheet_is_left() {
    let device = Device::new();
    logged_shell(&device);
    device.write("shell-3.svg", b"mine");
    let refused = device.trammel(&["wall", "--form", "svg", "--out", "shell.svg"]);
    assert_eq!(refused.code, 2);
    assert!(
        words(&refused.err).contains("shell-3.svg is there already"),
        "{}",
        refused.err
    );
    assert_eq!(device.read("shell-3.svg"), b"mine");
    assert!(!device.files().contains(&"shell-1.svg".to_owned()));
    device.done(&["wall", "--form", "svg", "--out", "shell.svg", "--force"]);
    assert!(device.read("shell-3.svg").starts_with(b"<?xml"));
    assert_eq!(device.trammel(&["wall", "--out", "no/such/folder.pdf"]).code, 2);
    assert!(
        device.files().iter().all(|name| !name.contains(".part")),
        "{:?}",
        device.files()
    );
}

#[test]
fn a_job_without_points_has_nothing_to_draw() {
    let device = Device::new();
    device.done(&["job", "new", "shell", "--unit", "mm", "--by", "Anna"]);
    let refused = device.trammel(&["wall"]);
    assert_eq!(refused.code, 3, "{}{}", refused.out, refused.err);
    assert!(device.files().iter().all(|name| !name.ends_with(".pdf")));
}
