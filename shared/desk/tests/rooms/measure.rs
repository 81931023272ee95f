//! At the tape: what is typed, what is logged, what is read again.

use desk::Code;
use serde_json::{Value, json};

use crate::{acts, code, does, fresh, one, tape, with_demo};

#[test]
fn what_fits_is_told_with_what_the_others_expect() {
    let (_folder, mut desk) = with_demo();
    does(&mut desk, "solve", json!({}));
    let logged = tape(&mut desk, "floor-front-R", "roof-front", "48 9/16", "");
    assert_eq!(
        (&logged["name"], &logged["changes"], &logged["again"]),
        (&json!("r231"), &json!(1), &Value::Null)
    );
    assert!(logged["at"].as_str().unwrap().ends_with('Z'));
    let compared = &logged["compared"];
    assert_eq!(
        (&compared["verdict"], &compared["quantity"]),
        (&json!("fits"), &json!("length"))
    );
    let number = |field: &str| compared[field].as_f64().unwrap();
    assert_eq!(number("observed"), 48.5625 * 25.4);
    assert!((number("expected") - number("observed") - number("residual")).abs() < 1e-9);
    assert!(number("expected_sd") > 0.0 && number("residual").abs() < 2.0);
    assert_eq!(
        (&compared["slips"], &compared["hard_to_see"]),
        (&json!([]), &json!(false))
    );
}

#[test]
fn an_inch_too_many_is_off_with_its_slips_and_a_new_point_has_nothing_to_compare() {
    let (_folder, mut desk) = with_demo();
    let off = tape(&mut desk, "floor-front-R", "roof-front", "49 9/16", "");
    let compared = &off["compared"];
    assert_eq!(compared["verdict"], "off");
    assert!(compared["residual"].as_f64().unwrap() < -20.0);
    let names: Vec<&Value> = compared["slips"]
        .as_array()
        .unwrap()
        .iter()
        .map(|slip| &slip["name"])
        .collect();
    assert_eq!(names[0], "burned-inch");
    let new = tape(&mut desk, "floor-front-R", "mirror-bolt", "20", "");
    let compared = &new["compared"];
    assert_eq!(
        (
            &compared["verdict"],
            &compared["why"],
            &compared["point"],
            &compared["expected"]
        ),
        (
            &json!("nothing-to-compare"),
            &json!("new-point"),
            &json!("mirror-bolt"),
            &Value::Null
        )
    );
}

#[test]
fn a_slip_that_is_read_again_is_set_aside_and_undo_takes_both_back() {
    let (_folder, mut desk) = with_demo();
    does(&mut desk, "solve", json!({}));
    let logged = tape(&mut desk, "roof-front", "floor-front-R", "48 9/16", "r065");
    assert_eq!(logged["changes"], 2);
    let again = &logged["again"];
    assert_eq!(
        (&again["name"], &again["agree"], &again["set_aside"]),
        (&json!("r065"), &json!(false), &json!(true))
    );
    assert_eq!(again["earlier"], 49.5 * 25.4);
    assert!((again["apart"].as_f64().unwrap() + 15.0 / 16.0 * 25.4).abs() < 1e-9);
    let shown = does(&mut desk, "show", json!({}));
    let earlier = one(&shown["readings"], "name", "r065");
    assert_eq!(
        (&earlier["state"], &earlier["why"]),
        (&json!("set aside"), &json!("read again: r231"))
    );
    for _ in 0..2 {
        does(&mut desk, "undo", json!({"by": "Ana"}));
    }
    let shown = does(&mut desk, "show", json!({}));
    assert_eq!(one(&shown["readings"], "name", "r065")["state"], "");
    assert!(
        shown["readings"]
            .as_array()
            .unwrap()
            .iter()
            .all(|reading| reading["name"] != "r231")
    );
}

#[test]
fn a_good_reading_that_is_read_again_stays_whatever_the_second_one_says() {
    let (_folder, mut desk) = with_demo();
    does(&mut desk, "solve", json!({}));
    let shown = does(&mut desk, "show", json!({}));
    let solved = does(&mut desk, "solve", json!({}));
    let good = solved["readings"].as_array().unwrap();
    let good = good
        .iter()
        .find(|it| it["kind"] == "tape" && it["verdict"] == "fits" && it["unchecked"] == false)
        .unwrap();
    let line = one(&shown["readings"], "name", good["id"].as_str().unwrap());
    let (a, b) = (
        line["points"][0].as_str().unwrap(),
        line["points"][1].as_str().unwrap(),
    );
    let name = good["id"].as_str().unwrap();
    let observed = good["observed"].as_f64().unwrap();
    let same = tape(&mut desk, a, b, &format!("{observed} mm"), name);
    assert_eq!(
        (&same["again"]["agree"], &same["again"]["set_aside"]),
        (&json!(true), &json!(false))
    );
    let other = tape(&mut desk, a, b, &format!("{} mm", observed + 25.4), name);
    assert_eq!(
        (&other["again"]["agree"], &other["again"]["set_aside"]),
        (&json!(false), &json!(false))
    );
    assert_eq!(other["changes"], 1);
}

#[test]
fn a_slip_read_again_the_same_way_stays_for_the_crew_to_keep() {
    let (_folder, mut desk) = with_demo();
    does(&mut desk, "solve", json!({}));
    let logged = tape(&mut desk, "floor-front-R", "roof-front", "49 1/2", "r065");
    assert_eq!(logged["compared"]["verdict"], "off");
    assert_eq!(
        (&logged["again"]["agree"], &logged["again"]["set_aside"]),
        (&json!(true), &json!(false))
    );
}

#[test]
fn what_is_read_again_must_be_of_the_same_line() {
    let (_folder, mut desk) = with_demo();
    let again = |kind: &str, points: [&str; 2], name: &str, value: &str| json!({"reading": {"kind": kind, "points": points, "value": value, "again": name}});
    let elsewhere = again("tape", ["sill-rear-L", "roof-front"], "r065", "48");
    assert_eq!(code(&mut desk, "log-reading", elsewhere), Code::Unusable);
    let other_kind = again("rise", ["floor-front-R", "roof-front"], "r065", "48");
    assert_eq!(code(&mut desk, "log-reading", other_kind), Code::Unusable);
    let nobody = again("tape", ["floor-front-R", "roof-front"], "r999", "48");
    assert_eq!(code(&mut desk, "log-reading", nobody), Code::NotThere);
    assert_eq!(
        does(&mut desk, "show", json!({}))["readings"]
            .as_array()
            .unwrap()
            .len(),
        230
    );
}

#[test]
fn what_is_typed_is_told_as_it_would_be_logged_and_changes_nothing() {
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell", "unit": "in"}));
    acts(
        &mut desk,
        json!({"do": "describe-instrument", "name": "inside tape", "kind": "tape", "case_length": "3", "zero_offset": "1 mm"}),
    );
    let before = does(&mut desk, "history", json!({}));
    let typed = |desk: &mut desk::Desk, reading: Value| does(desk, "typed", json!({"reading": reading}));
    let burned = typed(
        &mut desk,
        json!({"kind": "tape", "points": [], "value": "41 5/8", "from": "burn-1in"}),
    );
    assert_eq!(
        (&burned["quantity"], &burned["problem"]),
        (&json!("length"), &Value::Null)
    );
    assert_eq!(burned["read"], 41.625 * 25.4);
    assert!((burned["observed"].as_f64().unwrap() - 40.625 * 25.4).abs() < 1e-9);
    let inside = json!({"kind": "tape", "points": [], "value": "1000 mm", "from": "case", "instrument": "inside tape"});
    assert_eq!(typed(&mut desk, inside)["observed"], 1000.0 + 76.2 + 1.0);
    let slope = typed(
        &mut desk,
        json!({"kind": "slope", "points": [], "value": "12°24'"}),
    );
    assert_eq!(slope["quantity"], "angle");
    assert!((slope["observed"].as_f64().unwrap() - 12.4).abs() < 1e-12);
    for (value, place) in [
        ("40 5/", json!(5)),
        ("1,032", json!(2)),
        ("40.5 5/8", json!(1)),
        ("", Value::Null),
    ] {
        let half = typed(&mut desk, json!({"kind": "tape", "points": [], "value": value}));
        assert_eq!(
            (&half["read"], &half["problem"]["place"]),
            (&Value::Null, &place),
            "{value}"
        );
        assert!(!half["problem"]["reason"].as_str().unwrap().is_empty());
    }
    let nothing_left = typed(
        &mut desk,
        json!({"kind": "tape", "points": [], "value": "1/2", "from": "burn-1in"}),
    );
    assert_eq!(
        (&nothing_left["read"], &nothing_left["observed"]),
        (&json!(12.7), &Value::Null)
    );
    let added = typed(
        &mut desk,
        json!({"kind": "tape", "points": [], "value": "10", "add": "1 furlong"}),
    );
    assert!(added["problem"]["reason"].as_str().unwrap().starts_with("add: "));
    assert_eq!(does(&mut desk, "history", json!({})), before);
}
