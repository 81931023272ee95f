//! How answers and help look: 80 columns, examples, no control characters.

use crate::device::{Device, lines_fit};

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
    device.write("\u{1b}[31m.jpg", &crate::device::photo_with_position());
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
        of("serve", &[]),
    ];
    for command in commands.concat() {
        let help = device.done(&[&command[..], &["--help"]].concat());
        let example = format!("  trammel {}", command.join(" "));
        assert!(help.out.contains(&example), "{command:?}: {}", help.out);
        assert!(help.out.contains("Example"), "{command:?}");
        lines_fit(&help.out);
    }
}
