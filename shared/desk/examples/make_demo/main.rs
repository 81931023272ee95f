//! Writes the sheets of the demo job: an invented shell, measured by an invented crew, with three planted slips
//! and one point that only two tapes hold. Run it with `cargo run -p desk --example make_demo`; it writes the
//! same bytes every time. Beside it, for `tests/data/epochs`, it writes what the same crew read of the same shell after
//! welding.

mod shell;
mod welded;

use std::fmt::Write as _;
use std::path::Path;

use shell::{Dice, Mark, cross, dot, ignorance, marks, norm, sub, unit};

const LOOSE: &str = "seat-bolt-rear-R";
const INCH: f64 = 25.4;

/// Picks the lines to tape: always the pair that teaches its two ends most, short lines first.
fn lines(marks: &[Mark], blocked: &[[usize; 2]], count: usize) -> Vec<[usize; 2]> {
    let mut known = vec![[[0.02, 0.0, 0.0], [0.0, 0.02, 0.0], [0.0, 0.0, 0.02]]; marks.len()];
    let mut lines: Vec<[usize; 2]> = Vec::new();
    while lines.len() < count {
        let mut best = (0.0, [0, 0]);
        for a in 0..marks.len() {
            for b in a + 1..marks.len() {
                let d = sub(marks[b].at, marks[a].at);
                let length = norm(d);
                let busy = |p: usize| lines.iter().filter(|line| line.contains(&p)).count();
                let full = |p: usize| busy(p) >= if marks[p].label == LOOSE { 2 } else { 14 };
                if !(150.0..3900.0).contains(&length)
                    || full(a)
                    || full(b)
                    || blocked.contains(&[a, b])
                    || lines.contains(&[a, b])
                {
                    continue;
                }
                let gain =
                    (ignorance(known[a], unit(d)) + ignorance(known[b], unit(d))) / (0.6 + length / 1000.0);
                if gain > best.0 {
                    best = (gain, [a, b]);
                }
            }
        }
        let [a, b] = best.1;
        let u = unit(sub(marks[b].at, marks[a].at));
        for p in [a, b] {
            for i in 0..3 {
                for j in 0..3 {
                    known[p][i][j] += u[i] * u[j];
                }
            }
        }
        lines.push([a, b]);
    }
    lines
}

/// A length as it is read off the inch tape: to the nearest 1/16, in one of three ways of writing.
fn inches(mm: f64, style: usize) -> String {
    let sixteenths = (mm / INCH * 16.0).round() as i64;
    let (whole, mut part, mut of) = (sixteenths / 16, sixteenths % 16, 16);
    while part != 0 && part % 2 == 0 {
        (part, of) = (part / 2, of / 2);
    }
    match (style % 3, part) {
        (_, 0) => format!("{whole} in"),
        (0, _) => format!("{whole} {part}/{of} in"),
        (1, _) => format!("{whole}-{part}/{of}\""),
        (_, _) if whole < 24 => format!("{whole} {part}/{of} in"),
        _ => format!("{}' {} {part}/{of}\"", whole / 12, whole % 12),
    }
}

/// Two neighbouring digits exchanged, where that makes a slip of more than 80 mm.
fn swapped(mm: i64) -> Option<i64> {
    let digits: Vec<char> = mm.to_string().chars().collect();
    (0..digits.len() - 1).find_map(|i| {
        let mut other = digits.clone();
        other.swap(i, i + 1);
        let slipped: i64 = other.into_iter().collect::<String>().parse().ok()?;
        ((80..600).contains(&(slipped - mm).abs()) && slipped > 200).then_some(slipped)
    })
}

fn cell(text: &str) -> String {
    if text.contains(['"', ',']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

/// The readings sheet as it grows; ids and times follow from its length.
struct Page {
    text: String,
    rows: usize,
}

impl Page {
    fn log(&mut self, kind: &str, points: &[&str], value: &str, rest: [&str; 5]) {
        let [instrument, from, add, stand, note] = rest;
        self.rows += 1;
        let (n, minutes) = (self.rows, 8 * 60 + 30 + self.rows * 2);
        let point = |i: usize| points.get(i).copied().unwrap_or_default();
        let by = if n % 40 < 20 { "Tape" } else { "Book" };
        let row = [
            &format!("r{n:03}"),
            kind,
            point(0),
            point(1),
            point(2),
            point(3),
            value,
            instrument,
            from,
            add,
            stand,
            by,
            &format!("day 1 {:02}:{:02}", minutes / 60, minutes % 60),
            note,
        ];
        self.text.push_str(&row.map(cell).join(","));
        self.text.push('\n');
    }
}

fn main() -> std::io::Result<()> {
    let mut dice = Dice(1907);
    let marks = marks(&mut dice);
    let find = |label: &str| {
        marks
            .iter()
            .position(|m| m.label == label)
            .expect("a mark of the list")
    };
    let at = |label: &str| marks[find(label)].at;
    let blocked_names = [
        ("firewall-low-L", "rail-tip-front-L"),
        ("firewall-low-R", "rail-tip-front-R"),
        ("tunnel-front", "cowl"),
        ("floor-front-L", "strut-front-L"),
        ("hoop-foot-R", "strut-rear-R"),
    ];
    let blocked = blocked_names.map(|(a, b)| {
        let mut pair = [find(a), find(b)];
        pair.sort_unstable();
        pair
    });
    let taped = lines(&marks, &blocked, 205);
    let busy = |p: usize| taped.iter().filter(|line| line.contains(&p)).count();
    let checked = |[a, b]: [usize; 2]| busy(a) >= 9 && busy(b) >= 9;

    let mut page = Page {
        text: "id,kind,a,b,c,d,value,instrument,from,add,stand,by,at,note\n".to_owned(),
        rows: 0,
    };
    let (mut burned, mut exchanged, mut mirrored) = (false, false, false);
    for (n, &[a, b]) in taped.iter().enumerate() {
        let stand = if n < 120 { "low stands" } else { "high stands" };
        let inch_tape = n % 8 < 5;
        let (mut true_end, mut extra, mut from, mut add, mut note) = (b, 0.0, "", "", "");
        if inch_tape && n % 13 == 4 {
            (extra, from) = (INCH, "burn-1in");
        } else if inch_tape && n % 29 == 3 {
            (extra, add, note) = (-0.75 * INCH, "3/4 in", "to the skin of a 1 1/2 in tube");
        } else if !inch_tape && n % 17 == 5 {
            (extra, from) = (-78.0, "case");
        } else if !inch_tape && n % 31 == 6 {
            (extra, from) = (100.0, "burn-100mm");
        } else if n > 60 && checked([a, b]) {
            // The planted slips: nothing in the sheet tells them.
            let to_mirror = marks[b].mirror.filter(|&m| {
                m != a
                    && (norm(sub(marks[m].at, marks[a].at)) - norm(sub(marks[b].at, marks[a].at))).abs()
                        > 90.0
            });
            if inch_tape && !burned {
                (extra, burned) = (INCH, true);
            } else if n > 100
                && let Some(m) = to_mirror.filter(|_| !mirrored)
            {
                (true_end, mirrored) = (m, true);
            }
        }
        let length = norm(sub(marks[true_end].at, marks[a].at)) + dice.normal(0.7) + extra;
        let (value, instrument) = if inch_tape {
            (inches(length, n), "inch tape 5 m")
        } else {
            let mut read = (length - 1.0).round() as i64;
            if n > 80
                && extra == 0.0
                && true_end == b
                && !exchanged
                && checked([a, b])
                && let Some(slipped) = swapped(read)
            {
                (read, exchanged) = (slipped, true);
            }
            let value = if n % 7 == 2 {
                format!("{}.{} cm", read / 10, read % 10)
            } else {
                format!("{read} mm")
            };
            (value, "metric tape 8 m")
        };
        page.log(
            "tape",
            &[&marks[a].label, &marks[b].label],
            &value,
            [instrument, from, add, stand, note],
        );
    }
    assert!(burned && exchanged && mirrored, "every slip is planted");

    // Two stands, each with a plumb line of its own.
    let leaning = |roll: f64, pitch: f64| unit([pitch.to_radians().tan(), roll.to_radians().tan(), 1.0]);
    for (stand, up) in [
        ("low stands", leaning(0.7, -1.2)),
        ("high stands", leaning(-0.4, 2.3)),
    ] {
        for (a, b) in [
            ("sill-rear-R", "sill-front-R"),
            ("sill-rear-L", "sill-front-L"),
            ("sill-rear-R", "sill-rear-L"),
            ("screen-foot-L", "screen-top-L"),
            ("hoop-foot-R", "roof-rear-R"),
            ("rear-arch-L", "strut-rear-L"),
        ] {
            let d = sub(at(b), at(a));
            let degrees = (dot(d, up) / norm(d)).asin().to_degrees() + dice.normal(0.2);
            page.log(
                "slope",
                &[a, b],
                &format!("{degrees:.1} deg"),
                ["angle finder", "", "", stand, ""],
            );
        }
        for (a, b) in [
            ("sill-rear-R", "rail-tip-rear-R"),
            ("sill-front-L", "strut-front-L"),
            ("sill-mid-R", "roof-front"),
        ] {
            let rise = dot(sub(at(b), at(a)), up) + dice.normal(1.5);
            page.log(
                "rise",
                &[a, b],
                &format!("{rise:.0} mm"),
                ["water level", "", "", stand, ""],
            );
        }
    }
    for (a, b, c) in [
        ("sill-rear-L", "sill-rear-R", "sill-front-R"),
        ("screen-top-R", "screen-foot-R", "sill-front-R"),
        ("roof-rear-L", "hoop-foot-L", "sill-front-L"),
    ] {
        let (p, q) = (unit(sub(at(a), at(b))), unit(sub(at(c), at(b))));
        let degrees = dot(p, q).acos().to_degrees() + dice.normal(0.2);
        page.log(
            "corner",
            &[a, b, c],
            &format!("{degrees:.1}°"),
            ["angle finder", "", "", "high stands", ""],
        );
    }
    for (a, b, c) in [
        ("tunnel-rear", "sill-rear-L", "sill-rear-R"),
        ("dash-bar", "screen-foot-L", "screen-foot-R"),
    ] {
        let mm = norm(cross(sub(at(a), at(b)), unit(sub(at(c), at(b))))) + dice.normal(1.5);
        page.log(
            "string",
            &[a, b, c],
            &format!("{mm:.0} mm"),
            ["metric tape 8 m", "", "", "high stands", "string pulled tight"],
        );
    }
    for (a, b, c, d) in [
        ("roof-front", "sill-rear-L", "sill-rear-R", "sill-front-R"),
        ("shelf", "sill-rear-L", "sill-rear-R", "sill-front-L"),
    ] {
        let across = unit(cross(sub(at(c), at(b)), sub(at(d), at(b))));
        let mm = dot(sub(at(a), at(b)), across).abs() + dice.normal(1.5);
        page.log(
            "face",
            &[a, b, c, d],
            &format!("{mm:.0} mm"),
            [
                "metric tape 8 m",
                "",
                "",
                "high stands",
                "straight edge across the sills",
            ],
        );
    }
    for (a, b) in blocked_names {
        page.log("blocked", &[a, b], "", ["", "", "", "", "sheet metal in the way"]);
    }

    let mut points = "label,side,mirror,x,y,z,note\n".to_owned();
    for mark in &marks {
        let rough = mark
            .at
            .map(|mm| format!("{:.0} in", (mm / INCH + dice.normal(1.2).clamp(-2.0, 2.0))));
        let mirror = mark.mirror.map_or("", |m| marks[m].label.as_str());
        let _ = writeln!(
            points,
            "{},{},{mirror},{},",
            mark.label,
            mark.side,
            rough.join(",").replace("-0 in", "0 in")
        );
    }
    let instruments = "name,kind,class,graduation,zero_offset,case_length,point_sd,sd\n\
        inch tape 5 m,tape,II,1/16 in,0 mm,,0.5 mm,\n\
        metric tape 8 m,tape,II,1 mm,1 mm,78 mm,0.5 mm,\n\
        angle finder,finder,,,,,,0.2 deg\n\
        water level,level,,,,,,1.5 mm\n";

    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo");
    std::fs::write(demo.join("readings.csv"), page.text)?;
    std::fs::write(demo.join("points.csv"), points)?;
    std::fs::write(demo.join("instruments.csv"), instruments)?;
    let epochs = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/epochs");
    std::fs::create_dir_all(&epochs)?;
    std::fs::write(epochs.join("after-welding.csv"), welded::sheet(&marks))
}
