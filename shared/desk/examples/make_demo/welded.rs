//! The shell of the demo after welding: the hoop pulled the rear of its roof down and inwards, and it stood on other
//! stands. The crew read 24 of its marks again.

use crate::shell::{Dice, Mark, V, dot, norm, sub, unit};
use crate::{cell, inches, lines};

/// The marks that were read again: pairs by their names, then single ones.
const AGAIN: [&str; 10] = [
    "sill-rear",
    "sill-mid",
    "sill-front",
    "floor-front",
    "floor-rear",
    "hoop-foot",
    "lock-pillar",
    "roof-rear",
    "screen-foot",
    "screen-top",
];
const SINGLE: [&str; 4] = ["roof-front", "roof-back", "shelf", "dash-bar"];
/// What was pulled, by how much in mm, and which way: ahead, left, up.
const PULLED: [(&str, f64, V); 2] = [
    ("roof-rear-L", 9.0, [0.1, -0.4, -0.9]),
    ("roof-rear-R", 7.0, [0.1, 0.4, -0.9]),
];
const TAPES: usize = 102;
const STAND: &str = "tall stands";
const EPOCH: &str = "after welding";

/// The sheet of its readings.
pub(crate) fn sheet(marks: &[Mark]) -> String {
    let mut dice = Dice(2203);
    let marks = read_again(marks);
    let at = |label: &str| {
        let mark = marks.iter().find(|mark| mark.label == label);
        mark.expect("a mark of the list").at
    };
    let mut text = "id,kind,a,b,value,instrument,stand,epoch,by,at\n".to_owned();
    let mut rows = 0;
    let mut log = |kind: &str, [a, b]: [&str; 2], value: &str, instrument: &str| {
        rows += 1;
        let by = if rows % 40 < 20 { "Book" } else { "Tape" };
        let minutes = 9 * 60 + rows * 2;
        let (id, time) = (
            format!("w{rows:03}"),
            format!("day 9 {:02}:{:02}", minutes / 60, minutes % 60),
        );
        let row = [&id, kind, a, b, value, instrument, STAND, EPOCH, by, &time];
        text.push_str(&row.map(cell).join(","));
        text.push('\n');
    };
    for (n, [a, b]) in lines(&marks, &[], TAPES).into_iter().enumerate() {
        let length = norm(sub(marks[b].at, marks[a].at)) + dice.normal(0.7);
        let ends = [marks[a].label.as_str(), marks[b].label.as_str()];
        match n % 8 < 5 {
            true => log("tape", ends, &inches(length, n), "inch tape 5 m"),
            // The metric tape reads 1 mm short, as its zero offset says.
            false => log(
                "tape",
                ends,
                &format!("{:.0} mm", length - 1.0),
                "metric tape 8 m",
            ),
        }
    }
    let up = unit([(-1.9_f64).to_radians().tan(), 0.8_f64.to_radians().tan(), 1.0]);
    for (a, b) in [
        ("sill-rear-R", "sill-front-R"),
        ("sill-rear-L", "sill-front-L"),
        ("sill-rear-R", "sill-rear-L"),
        ("hoop-foot-R", "roof-rear-R"),
        ("hoop-foot-L", "roof-rear-L"),
    ] {
        let d = sub(at(b), at(a));
        let degrees = (dot(d, up) / norm(d)).asin().to_degrees() + dice.normal(0.2);
        log("slope", [a, b], &format!("{degrees:.1} deg"), "angle finder");
    }
    for (a, b) in [
        ("sill-mid-R", "roof-front"),
        ("sill-rear-R", "roof-rear-R"),
        ("sill-rear-L", "roof-rear-L"),
    ] {
        let rise = dot(sub(at(b), at(a)), up) + dice.normal(1.5);
        log("rise", [a, b], &format!("{rise:.0} mm"), "water level");
    }
    text
}

/// The marks that were read again, where welding left them.
fn read_again(marks: &[Mark]) -> Vec<Mark> {
    let is_again = |mark: &&Mark| {
        let name = mark.label.strip_suffix("-L").or(mark.label.strip_suffix("-R"));
        name.is_some_and(|name| AGAIN.contains(&name)) || SINGLE.contains(&mark.label.as_str())
    };
    let pulled = |mark: &Mark| {
        let Some((_, mm, way)) = PULLED.iter().find(|(label, ..)| *label == mark.label) else {
            return mark.at;
        };
        let way = unit(*way);
        [0, 1, 2].map(|k| mark.at[k] + mm * way[k])
    };
    marks
        .iter()
        .filter(is_again)
        .map(|mark| Mark {
            label: mark.label.clone(),
            side: mark.side,
            mirror: None,
            at: pulled(mark),
        })
        .collect()
}
