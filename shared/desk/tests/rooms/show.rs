//! A job laid open, points added from a list, the order, the sheets.

use desk::Code;
use serde_json::{Value, json};

use crate::{acts, code, does, fresh, one, tape, with_demo};

#[test]
fn a_job_is_laid_open_with_everything_that_was_typed() {
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell", "unit": "in"}));
    acts(
        &mut desk,
        json!({"do": "describe-instrument", "name": "tape 1", "kind": "tape", "class": "II", "graduation": "1/16"}),
    );
    acts(
        &mut desk,
        json!({"do": "add", "what": "stand", "name": "on blocks"}),
    );
    acts(
        &mut desk,
        json!({"do": "describe-point", "point": "A", "side": "left", "mirror": "B", "y": "27", "note": "rusty"}),
    );
    let reading = json!({
        "kind": "tape", "points": ["A", "B"], "value": "41 5/8", "sd": "1/8", "instrument": "tape 1", "from": "burn-1in",
        "add": "1/2", "note": "windy"
    });
    does(&mut desk, "log-reading", json!({"by": "Ana", "reading": reading}));
    acts(
        &mut desk,
        json!({"do": "correct-reading", "reading": "r001", "why": "looked again", "value": "42"}),
    );
    acts(
        &mut desk,
        json!({"do": "block-line", "a": "A", "b": "C", "why": "engine"}),
    );
    acts(&mut desk, json!({"do": "set-job", "above": "C"}));
    let shown = does(&mut desk, "show", json!({}));
    assert_eq!(
        (&shown["above"], &shown["stand"], &shown["epoch"]),
        (&json!("C"), &json!("on blocks"), &json!(""))
    );
    assert_eq!(shown["blocked"], json!([{"a": "A", "b": "C", "why": "engine"}]));
    let instrument = &shown["instruments"][0];
    assert_eq!(
        (
            &instrument["name"],
            &instrument["class"],
            &instrument["graduation"],
            &instrument["readings"]
        ),
        (&json!("tape 1"), &json!("II"), &json!("1/16 in"), &json!(1))
    );
    let point = one(&shown["points"], "label", "A");
    assert_eq!(
        (
            &point["side"],
            &point["mirror"],
            &point["rough"],
            &point["note"],
            &point["readings"]
        ),
        (
            &json!("left"),
            &json!("B"),
            &json!(["", "27 in", ""]),
            &json!("rusty"),
            &json!(1)
        )
    );
    assert_eq!(one(&shown["points"], "label", "C")["readings"], 0);
    let reading = &shown["readings"][0];
    let said = json!({
        "instrument": "tape 1", "from": "burn-1in", "add": "1/2 in", "sd": "1/8 in", "stand": "on blocks",
        "quantity": "length", "value": "42 in", "mm_or_deg": 1066.8, "logged": "41 5/8 in", "logged_mm_or_deg": 41.625 * 25.4,
        "note": "windy", "by": "Ana"
    });
    for (field, value) in said.as_object().unwrap() {
        assert_eq!(&reading[field], value, "{field}");
    }
}

#[test]
fn the_starting_list_is_added_in_one_change_in_its_order_and_taken_back_in_one() {
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell", "unit": "mm"}));
    let list = does(&mut desk, "starting-list", json!({}));
    let chosen: Vec<&Value> = list["points"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|point| point["doors"].as_array().unwrap().contains(&json!(2)))
        .collect();
    let points: Vec<Value> = chosen
        .iter()
        .map(|point| {
            json!({
                "label": point["label"], "side": point["side"], "mirror": point["mirror"].as_str().unwrap_or(""),
                "x": point["x_mm"].to_string(), "y": point["y_mm"].to_string(), "z": point["z_mm"].to_string()
            })
        })
        .collect();
    acts(&mut desk, json!({"do": "add-points", "points": points}));
    let shown = does(&mut desk, "show", json!({}));
    let labels = |points: &Value| -> Vec<Value> {
        points
            .as_array()
            .unwrap()
            .iter()
            .map(|point| point["label"].clone())
            .collect()
    };
    let wanted: Vec<Value> = chosen.iter().map(|point| point["label"].clone()).collect();
    assert_eq!(labels(&shown["points"]), wanted);
    let sill = one(&shown["points"], "label", "sill rear R");
    assert_eq!(
        (&sill["side"], &sill["mirror"], &sill["rough"]),
        (
            &json!("right"),
            &json!("sill rear L"),
            &json!(["380.0 mm", "-690.0 mm", "310.0 mm"])
        )
    );
    let order = does(&mut desk, "order", json!({}));
    assert!(order["steps"].as_array().unwrap().len() >= 4 * (wanted.len() - 4));
    // What is left to read is less once something is read.
    let step = &order["steps"][0];
    tape(
        &mut desk,
        step["a"].as_str().unwrap(),
        step["b"].as_str().unwrap(),
        "1520",
        "",
    );
    let left = does(&mut desk, "order", json!({}));
    assert_ne!(left["steps"][0], *step);
    does(&mut desk, "undo", json!({"by": "Ana"}));
    does(&mut desk, "undo", json!({"by": "Ana"}));
    assert_eq!(does(&mut desk, "show", json!({}))["points"], json!([]));
}

#[test]
fn points_that_cannot_be_used_are_all_told_and_none_is_added() {
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell", "unit": "mm"}));
    let add = |points: Value| json!({"act": {"do": "add-points", "points": points}});
    let bad = add(json!([{"label": "A", "x": "1,2"}, {"label": "B", "side": "port"}, {"label": "C"}]));
    let refused = desk
        .call(
            "act",
            desk::Call {
                ask: bad,
                bytes: vec![],
            },
        )
        .unwrap_err();
    assert_eq!(refused.code, Code::Unusable);
    let told: Vec<&str> = refused
        .problems
        .iter()
        .map(|problem| problem.reason.as_str())
        .collect();
    assert!(
        told.len() == 2 && told[0].starts_with("A: ") && told[1].starts_with("B: "),
        "{told:?}"
    );
    let twice = add(json!([{"label": "A"}, {"label": " A "}]));
    assert_eq!(code(&mut desk, "act", twice), Code::Unusable);
    assert_eq!(does(&mut desk, "show", json!({}))["points"], json!([]));
    assert_eq!(code(&mut desk, "order", json!({})), Code::NothingToSolve);
}

#[test]
fn sheets_are_given_as_text_with_coordinates_where_there_are_any() {
    let (_folder, mut desk) = with_demo();
    let sheets = does(&mut desk, "sheets", json!({}));
    // 230 readings, 5 lines that cannot be taped, 44 points, and a header each.
    let lines = |sheet: &str| sheets[sheet].as_str().unwrap().lines().count();
    assert_eq!(
        (lines("readings"), lines("points"), lines("coordinates")),
        (236, 45, 45)
    );
    assert_eq!(
        sheets["stamp"],
        "3 readings held out, 2 unchecked. Measured, not approved."
    );
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell"}));
    assert_eq!(does(&mut desk, "sheets", json!({}))["coordinates"], Value::Null);
}
