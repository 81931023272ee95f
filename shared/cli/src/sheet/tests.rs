use desk::told::{Headline, Item, PointLine, Section, Told};

use super::laid_out;
use crate::look::Look;

fn told(label: &str) -> Told {
    let known = |text: &str| Some(text.to_owned());
    Told {
        headline: Headline {
            verdict: "1 reading held out, 1 doubt open.".to_owned(),
            action: "They stand between you and an order for tube.".to_owned(),
            doubt: true,
        },
        frame: vec!["Zero is sill.".to_owned()],
        unit: "in",
        points: vec![
            PointLine {
                label: "sill".to_owned(),
                coordinates: [known("0"), known("-12 13/16"), known("7 1/2")],
                half_widths: [known("0"), known("1/16"), known("1/8")],
                doubt: None,
            },
            PointLine {
                label: label.to_owned(),
                coordinates: [None, known("3"), None],
                half_widths: [None, None, None],
                doubt: Some("can move"),
            },
        ],
        sections: vec![Section {
            title: "Off, and held out",
            intro: None,
            items: vec![Item {
                doubt: true,
                head: format!("r2: tape from sill to {label}"),
                said: vec!["Off by 1 in long.".to_owned()],
            }],
        }],
        stamp: "1 reading held out, 0 unchecked. Measured, not approved.".to_owned(),
    }
}

#[test]
fn a_sheet_reads_from_the_verdict_to_the_caution() {
    let text = laid_out(&told("roof"), Look::plain());
    let expected = "\
1 reading held out, 1 doubt open.
They stand between you and an order for tube.

Frame
  Zero is sill.

Points (in). Each ± is 95 %, rounded up.
        x  ±          y     ±      z    ±
  sill  0  0  -12 13/16  1/16  7 1/2  1/8
  roof  ?  ?          3     ?      ?    ?  ! can move

Off, and held out
  ! r2: tape from sill to roof
    Off by 1 in long.

1 reading held out, 0 unchecked. Measured, not approved.
A cage holds a life.";
    assert!(text.starts_with(expected), "{text}");
}

#[test]
fn no_label_is_too_long_for_80_columns() {
    let text = laid_out(&told(&"Bodenblech-vorn-links-".repeat(12)), Look::plain());
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
}

#[test]
fn a_label_cannot_drive_the_terminal() {
    let text = laid_out(&told("roof\u{1b}[2J"), Look::plain());
    assert!(!text.contains('\u{1b}'), "{text:?}");
}
