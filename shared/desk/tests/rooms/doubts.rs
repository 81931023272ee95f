//! What stands between the crew and an order for tube, and that each action settles its doubt.

use std::io::Cursor;

use serde_json::{Value, json};

use crate::{acts, does, fresh, tape, with_demo};

fn of_kind<'a>(doubts: &'a Value, kind: &str) -> Vec<&'a Value> {
    doubts["doubts"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|doubt| doubt["kind"] == kind)
        .collect()
}

#[test]
fn the_demo_has_its_three_slips_and_its_loose_point_each_with_the_action_that_settles_it() {
    let (_folder, mut desk) = with_demo();
    let doubts = does(&mut desk, "doubts", json!({}));
    let suspects = of_kind(&doubts, "suspect");
    let told: Vec<(&Value, &Value, &Value)> = suspects
        .iter()
        .map(|it| (&it["readings"][0], &it["way"], &it["slips"][0]["name"]))
        .collect();
    // By how far off: 27 1/4 in to the mirror point, 3 9/16 in of swapped digits, 15/16 in of a burned inch.
    assert_eq!(
        told,
        [
            (&json!("r112"), &json!("long"), &json!("mirror-point")),
            (&json!("r088"), &json!("short"), &json!("digits-swapped")),
            (&json!("r065"), &json!("long"), &json!("burned-inch")),
        ]
    );
    for suspect in &suspects {
        assert_eq!(
            suspect["settle"],
            json!({"do": "read-again", "readings": suspect["readings"]})
        );
        assert_eq!(suspect["held_out"], true);
        let number = |field: &str| suspect[field].as_f64().unwrap();
        assert!(number("amount") > 20.0 && number("expected") > 0.0 && number("expected_sd") > 0.0);
    }
    let loose = of_kind(&doubts, "loose");
    assert_eq!(loose.len(), 1);
    assert_eq!(
        (&loose[0]["points"], &loose[0]["tapes"], &loose[0]["others"]),
        (&json!(["seat-bolt-rear-R"]), &json!(2), &json!(0))
    );
    let settle = &loose[0]["settle"];
    assert_eq!(
        (&settle["do"], &settle["kind"]),
        (&json!("read-next"), &json!("tape"))
    );
    assert!(settle["a"] == "seat-bolt-rear-R" || settle["b"] == "seat-bolt-rear-R");
    // The order of the kinds: off, open, then what is worth a look.
    let place = |kind: &str| {
        let all = doubts["doubts"].as_array().unwrap();
        all.iter().position(|doubt| doubt["kind"] == kind)
    };
    assert!(place("suspect") < place("loose") && place("loose") < place("unchecked"));
    let unchecked: usize = of_kind(&doubts, "unchecked")
        .iter()
        .map(|it| it["readings"].as_array().unwrap().len())
        .sum();
    let checked = &doubts["checked"];
    assert_eq!(checked["unchecked"], unchecked);
    let count = |field: &str| checked[field].as_u64().unwrap();
    assert_eq!(
        (count("readings"), count("held_out"), count("points")),
        (230, 3, 44)
    );
    assert_eq!(count("used"), count("checked") + count("unchecked"));
    assert_eq!(
        count("used") + count("held_out") + count("set_aside"),
        count("readings")
    );
    assert!(checked["least_checked"]["slip"].as_f64().unwrap() > 0.0);
    assert!(doubts["worst"]["sd_mm"].as_f64().unwrap() > 0.0);
    assert_eq!(doubts["blind"][0], checked["least_checked"]["reading"]);
    assert_eq!(doubts["blind"].as_array().unwrap().len(), 5);
    let next = doubts["next"].as_array().unwrap();
    assert_eq!(
        (&next[0]["why"], &next[0]["point"]),
        (&json!("pins"), &json!("seat-bolt-rear-R"))
    );
    let again: Vec<&Value> = next
        .iter()
        .filter(|it| it["why"] == "read-again")
        .map(|it| &it["reading"])
        .collect();
    assert!(again.contains(&&json!("r088")));
    assert_eq!(doubts["unsolved"], Value::Null);
}

#[test]
fn the_worst_point_is_as_uncertain_as_the_next_reading_finds_it() {
    let (_folder, mut desk) = with_demo();
    let doubts = does(&mut desk, "doubts", json!({}));
    let next = doubts["next"].as_array().unwrap();
    let before = next
        .iter()
        .find_map(|it| it["worst_sd_before_mm"].as_f64())
        .unwrap();
    let worst = doubts["worst"]["sd_mm"].as_f64().unwrap();
    assert!((before - worst).abs() < 1e-4 * worst, "{before} {worst}");
}

#[test]
fn a_doubt_is_gone_once_its_action_is_carried_out() {
    let (_folder, mut desk) = with_demo();
    let doubts = does(&mut desk, "doubts", json!({}));
    let solved = does(&mut desk, "solve", json!({}));
    let shown = does(&mut desk, "show", json!({}));
    // Each slip is read again, with what the others expect.
    for suspect in of_kind(&doubts, "suspect") {
        let name = suspect["readings"][0].as_str().unwrap();
        let line = crate::one(&shown["readings"], "name", name);
        let found = crate::one(&solved["readings"], "id", name);
        let value = format!("{:.1} mm", found["adjusted"].as_f64().unwrap());
        let logged = tape(
            &mut desk,
            line["points"][0].as_str().unwrap(),
            line["points"][1].as_str().unwrap(),
            &value,
            name,
        );
        assert_eq!(logged["again"]["set_aside"], true, "{name}");
    }
    let left = does(&mut desk, "doubts", json!({}));
    assert_eq!(of_kind(&left, "suspect").len(), 0);
    assert_eq!(left["checked"]["set_aside"], 3);
    // The loose point is taped along the line that is named; where its partner is, it is mirrored.
    let point = "seat-bolt-rear-R";
    for _ in 0..4 {
        let now = does(&mut desk, "doubts", json!({}));
        let Some(open) = of_kind(&now, "loose")
            .into_iter()
            .chain(of_kind(&now, "two-places"))
            .next()
            .cloned()
        else {
            break;
        };
        let (a, b) = (
            open["settle"]["a"].as_str().unwrap(),
            open["settle"]["b"].as_str().unwrap(),
        );
        let other = if a == point { b } else { a };
        let mirrored = |label: &str| match label.strip_suffix("-L") {
            Some(stem) => format!("{stem}-R"),
            None => label
                .strip_suffix("-R")
                .map_or(label.to_owned(), |stem| format!("{stem}-L")),
        };
        let place = |label: &str| {
            let point = crate::one(&solved["points"], "label", label);
            ["x_mm", "y_mm", "z_mm"].map(|axis| point[axis].as_f64().unwrap())
        };
        let [one, two] = [place("seat-bolt-rear-L"), place(&mirrored(other))];
        let far = (0..3).map(|k| (one[k] - two[k]).powi(2)).sum::<f64>().sqrt();
        tape(&mut desk, a, b, &format!("{far:.0} mm"), "");
    }
    let left = does(&mut desk, "doubts", json!({}));
    assert_eq!(
        (of_kind(&left, "loose").len(), of_kind(&left, "two-places").len()),
        (0, 0)
    );
}

#[test]
fn an_unchecked_reading_is_settled_by_the_line_that_is_named() {
    let (_folder, mut desk) = with_demo();
    let doubts = does(&mut desk, "doubts", json!({}));
    for doubt in of_kind(&doubts, "unchecked") {
        match doubt["settle"]["do"].as_str().unwrap() {
            "read-next" => {
                assert!(
                    doubts["next"].as_array().unwrap().iter().any(|next| {
                        next["a"] == doubt["settle"]["a"] && next["b"] == doubt["settle"]["b"]
                    })
                )
            }
            other => assert_eq!(
                (other, &doubt["settle"]["readings"]),
                ("read-again", &doubt["readings"])
            ),
        }
    }
}

#[test]
fn an_empty_job_has_no_doubts_and_says_what_is_missing() {
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell"}));
    let doubts = does(&mut desk, "doubts", json!({}));
    assert_eq!(doubts["doubts"], json!([]));
    assert!(
        doubts["unsolved"].as_str().unwrap().contains("log some tapes"),
        "{}",
        doubts["unsolved"]
    );
    assert_eq!(
        (&doubts["checked"]["used"], &doubts["worst"]),
        (&json!(0), &Value::Null)
    );
    tape(&mut desk, "A", "B", "1 m", "");
    let doubts = does(&mut desk, "doubts", json!({}));
    assert_eq!(
        (&doubts["checked"]["used"], &doubts["checked"]["unchecked"]),
        (&json!(1), &json!(1))
    );
    assert!(!doubts["unsolved"].is_null());
}

#[test]
fn what_devices_disagree_about_is_a_doubt_even_where_nothing_can_be_solved() {
    let (_here, mut ana) = fresh();
    let (_there, mut ben) = fresh();
    does(&mut ana, "new-job", json!({"name": "shell", "unit": "mm"}));
    tape(&mut ana, "A", "B", "1 m", "");
    let file = |desk: &mut desk::Desk| {
        let mut file = Cursor::new(Vec::new());
        desk.export(None, &mut file).unwrap();
        file
    };
    ben.take_in(file(&mut ana)).unwrap();
    let correct =
        |value: &str| json!({"do": "correct-reading", "reading": "r001", "why": "looked", "value": value});
    acts(&mut ana, correct("1001"));
    acts(&mut ben, correct("1002"));
    ana.take_in(file(&mut ben)).unwrap();
    let doubts = does(&mut ana, "doubts", json!({}));
    assert!(!doubts["unsolved"].is_null());
    let differs = of_kind(&doubts, "differs");
    assert_eq!(differs.len(), 1);
    let doubt = differs[0];
    assert_eq!(
        (&doubt["readings"], &doubt["said"]),
        (&json!(["r001"]), &json!("value of r001"))
    );
    let mut values: Vec<&str> = doubt["values"]
        .as_array()
        .unwrap()
        .iter()
        .map(|it| it["shown"].as_str().unwrap())
        .collect();
    values.sort_unstable();
    assert_eq!(values, ["1001 mm", "1002 mm"]);
    assert_eq!(
        doubt["settle"],
        json!({"do": "choose", "register": doubt["register"]})
    );
    acts(
        &mut ana,
        json!({"do": "choose", "register": doubt["register"], "value": "1002 mm"}),
    );
    assert_eq!(does(&mut ana, "doubts", json!({}))["doubts"], json!([]));
}

#[test]
fn a_crooked_shell_is_one_doubt_until_it_is_taken_as_it_is() {
    let (_folder, mut desk) = with_demo();
    let doubts = does(&mut desk, "doubts", json!({}));
    let crooked = of_kind(&doubts, "not-straight");
    assert_eq!(crooked.len(), 1);
    let doubt = crooked[0];
    assert_eq!(doubt["settle"], json!({"do": "accept"}));
    let pairs = doubt["pairs"].as_array().unwrap();
    assert!(pairs.len() > 1 && pairs[0] == doubt["pair"]);
    assert_eq!(doubt["points"].as_array().unwrap().len(), 2 * pairs.len());
    let solved = does(&mut desk, "solve", json!({}));
    for amount in ["racked", "twisted"] {
        let unit = if amount == "racked" {
            "racked_mm"
        } else {
            "twisted_deg"
        };
        let tested = &solved["symmetry"][unit];
        let told = &doubt[amount];
        assert!(
            if tested["significant"] == true {
                told == tested
            } else {
                told.is_null()
            },
            "{amount}"
        );
    }
    assert_eq!(doubts["checked"]["accepted"], Value::Null);

    let acted = acts(
        &mut desk,
        json!({"do": "accept-straight", "why": "an old hit, the tube is made to fit"}),
    );
    let words = acted["words"].as_str().unwrap();
    assert!(
        words.starts_with("took the shell as it is (")
            && words.ends_with("): an old hit, the tube is made to fit"),
        "{words}"
    );
    assert!(words.contains(" and "), "{words}");
    // Points are kept by what they are, not by what they are called.
    let left = pairs[0]["left"].as_str().unwrap();
    acts(
        &mut desk,
        json!({"do": "rename-point", "point": left, "to": "elsewhere"}),
    );
    let after = does(&mut desk, "doubts", json!({}));
    assert_eq!(of_kind(&after, "not-straight").len(), 0);
    let accepted = &after["checked"]["accepted"];
    assert_eq!(accepted["why"], "an old hit, the tube is made to fit");
    assert_eq!(accepted["pairs"].as_array().unwrap().len(), pairs.len());
    assert!(accepted["pairs"].to_string().contains("elsewhere"));

    does(&mut desk, "undo", json!({"by": "Ana"}));
    does(&mut desk, "undo", json!({"by": "Ana"}));
    let back = does(&mut desk, "doubts", json!({}));
    assert_eq!(
        (of_kind(&back, "not-straight").len(), &back["checked"]["accepted"]),
        (1, &Value::Null)
    );
    let (_folder, mut empty) = fresh();
    does(&mut empty, "new-job", json!({"name": "shell"}));
    let nothing = json!({"act": {"do": "accept-straight", "why": ""}});
    assert_eq!(
        crate::code(&mut empty, "act", nothing),
        desk::Code::NothingToSolve
    );
}

/// The demo's sheets with the readings put through `change`, cell by cell: id, kind, a, b, c, d, value, instrument,
/// from, add, stand and so on.
fn demo_with(change: impl Fn(&mut Vec<String>)) -> (tempfile::TempDir, desk::Desk) {
    let [(_, readings), (_, points), (_, instruments)] = desk::demo::SHEETS;
    let mut lines = readings.lines();
    let mut changed = vec![lines.next().unwrap().to_owned()];
    for line in lines {
        let mut cells: Vec<String> = Vec::new();
        let mut quoted = false;
        for part in line.split(',') {
            match (quoted, cells.last_mut()) {
                (true, Some(cell)) => *cell = format!("{cell},{part}"),
                _ => cells.push(part.to_owned()),
            }
            quoted = cells.last().unwrap().matches('"').count() % 2 == 1;
        }
        change(&mut cells);
        changed.push(cells.join(","));
    }
    let (folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell", "unit": "in"}));
    let sheets = json!({
        "by": "Ana", "readings": changed.join("\n"), "points": points, "instruments": instruments
    });
    does(&mut desk, "import-sheets", sheets);
    (folder, desk)
}

#[test]
fn an_inch_that_a_run_of_readings_shares_is_one_doubt_and_gone_when_all_are_said_to_be_read_from_there() {
    let run: Vec<String> = (133..=146).map(|number| format!("r{number}")).collect();
    let (_folder, mut desk) = demo_with(|cells| {
        if run.contains(&cells[0]) && cells[1] == "tape" {
            match cells[8].as_str() {
                "burn-1in" => cells[8].clear(),
                "" if cells[9].is_empty() => cells[9] = "1 in".to_owned(),
                _ => {}
            }
        }
    });
    let doubts = does(&mut desk, "doubts", json!({}));
    let shared = of_kind(&doubts, "shared-cause");
    assert_eq!(shared.len(), 1, "{doubts:#}");
    assert_eq!(
        (&shared[0]["cause"], &shared[0]["way"]),
        (&json!("whole-sheet"), &json!("long"))
    );
    assert!((shared[0]["amount"].as_f64().unwrap() - 25.4).abs() < 1.0);
    let settle = &shared[0]["settle"];
    assert_eq!(
        (&settle["do"], &settle["from"]),
        (&json!("say-from"), &json!("burn-1in"))
    );
    let readings = settle["readings"].as_array().unwrap();
    assert!(readings.len() > 8 && readings.iter().all(|name| run.iter().any(|own| name == own)));
    for reading in readings {
        acts(
            &mut desk,
            json!({"do": "correct-reading", "reading": reading, "why": "from there", "from": settle["from"]}),
        );
    }
    let left = does(&mut desk, "doubts", json!({}));
    assert_eq!(of_kind(&left, "shared-cause").len(), 0);
    assert_eq!(of_kind(&left, "suspect").len(), 3);
}

#[test]
fn labels_that_were_swapped_in_several_readings_are_one_doubt_and_gone_when_they_are_swapped_back() {
    let pair = ["lock-pillar-L", "lock-pillar-R"];
    let swapped = |label: &str| match pair.iter().position(|known| *known == label) {
        Some(at) => pair[1 - at].to_owned(),
        None => label.to_owned(),
    };
    let run: Vec<String> = (100..=190).map(|number| format!("r{number}")).collect();
    let (_folder, mut desk) = demo_with(|cells| {
        if run.contains(&cells[0]) {
            cells[2..6].iter_mut().for_each(|cell| *cell = swapped(cell));
        }
    });
    let doubts = does(&mut desk, "doubts", json!({}));
    let shared = of_kind(&doubts, "shared-cause");
    assert_eq!(shared.len(), 1, "{doubts:#}");
    let settle = &shared[0]["settle"];
    assert_eq!(
        (&settle["do"], &shared[0]["points"]),
        (&json!("undo-swap"), &json!(pair))
    );
    let shown = does(&mut desk, "show", json!({}));
    for reading in settle["readings"].as_array().unwrap() {
        let line = crate::one(&shown["readings"], "name", reading.as_str().unwrap());
        let points = line["points"].as_array().unwrap().iter();
        let points: Vec<String> = points.map(|label| swapped(label.as_str().unwrap())).collect();
        acts(
            &mut desk,
            json!({"do": "correct-reading", "reading": reading, "why": "swapped", "points": points}),
        );
    }
    let left = does(&mut desk, "doubts", json!({}));
    assert_eq!(of_kind(&left, "shared-cause").len(), 0);
    assert_eq!(of_kind(&left, "suspect").len(), 3);
}
