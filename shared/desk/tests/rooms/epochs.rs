//! The distance between two points, and two epochs compared: did it pull?

use std::sync::Mutex;
use std::thread;

use desk::{Code, Desk, Device, SharedDesk, envelope};
use serde_json::{Value, json};

use crate::{acts, code, does, fresh, one, with_demo};

const AFTER_WELDING: &str = include_str!("../../../../tests/data/epochs/after-welding.csv");

fn vector(value: &Value) -> [f64; 3] {
    [0, 1, 2].map(|k| value[k].as_f64().unwrap())
}

/// The demo job, and what was read of it after welding.
fn welded() -> (tempfile::TempDir, Desk) {
    let (folder, mut desk) = with_demo();
    does(
        &mut desk,
        "import-sheets",
        json!({"readings": AFTER_WELDING, "by": "Ana"}),
    );
    (folder, desk)
}

const BOTH: [&str; 2] = ["", "after welding"];

#[test]
fn just_the_two_points_that_welding_pulled_are_found_with_how_far() {
    let (_folder, mut desk) = welded();
    let compared = does(
        &mut desk,
        "compare-epochs",
        json!({"before": BOTH[0], "after": BOTH[1]}),
    );
    assert_eq!(
        (&compared["before"], &compared["after"]),
        (&json!(""), &json!("after welding"))
    );
    assert_eq!(
        (&compared["stands_still"], &compared["rest_agrees"]),
        (&json!(true), &json!(true))
    );
    let points = compared["points"].as_array().unwrap();
    assert_eq!(points.len(), 24);
    let moved: Vec<&Value> = points.iter().filter(|point| point["moved"] == true).collect();
    let labels: Vec<&Value> = moved.iter().map(|point| &point["label"]).collect();
    assert_eq!(labels, ["roof-rear-L", "roof-rear-R"]);
    assert!(points.iter().all(|point| point["unclear"] == false));
    // As the sheet was made: 9 and 7 mm, down and inwards.
    for (point, [mm, inwards]) in moved.iter().zip([[9.0, -1.0], [7.0, 1.0]]) {
        let (distance, sd) = (&point["distance_mm"], point["distance_sd_mm"].as_f64().unwrap());
        assert!((distance.as_f64().unwrap() - mm).abs() < 3.0 * sd, "{point}");
        let [_, across, up] = vector(&point["shift_mm"]);
        assert!(across * inwards > 0.0 && up < 0.0, "{point}");
    }
    for point in points {
        let [before, after, shift] = ["before", "after", "shift_mm"].map(|field| vector(&point[field]));
        for k in 0..3 {
            assert!((before[k] + shift[k] - after[k]).abs() < 1e-9);
        }
        let drawn = one(
            &compared["shape"]["points"],
            "label",
            point["label"].as_str().unwrap(),
        );
        assert_eq!(vector(&drawn["place"]), after);
    }
    let left_out = compared["not_compared"].as_array().unwrap();
    assert_eq!(left_out.len(), 44 - 24);
    assert_eq!(
        compared["shape"],
        does(&mut desk, "shape", json!({"epoch": "after welding"}))
    );
    assert_eq!(compared["shape"]["epochs"], json!(BOTH));
}

#[test]
fn epochs_that_cannot_be_compared_are_refused_in_words() {
    let (_folder, mut desk) = with_demo();
    acts(&mut desk, json!({"do": "add", "what": "epoch", "name": "tacked"}));
    let refused = |desk: &mut Desk, before: &str, after: &str| {
        let ask = json!({"before": before, "after": after});
        let call = desk::Call { ask, bytes: vec![] };
        desk.call("compare-epochs", call).unwrap_err()
    };
    assert_eq!(refused(&mut desk, "", "").code, Code::Unusable);
    assert_eq!(refused(&mut desk, "", "driven").code, Code::NotThere);
    let unsolved = refused(&mut desk, "", "tacked");
    assert_eq!(unsolved.code, Code::NothingToSolve);
    assert!(
        unsolved
            .message
            .starts_with("the readings of `tacked`: nothing can be solved"),
        "{unsolved}"
    );
    // Three points are too few to compare.
    for (a, b) in [
        ("sill-rear-L", "sill-rear-R"),
        ("sill-rear-L", "sill-front-R"),
        ("sill-rear-R", "sill-front-R"),
    ] {
        let reading = json!({"kind": "tape", "points": [a, b], "value": "1500 mm"});
        does(&mut desk, "log-reading", json!({"by": "Ana", "reading": reading}));
    }
    let too_few = refused(&mut desk, "", "tacked");
    assert_eq!(too_few.code, Code::NothingToSolve);
    assert!(too_few.message.contains("at least four"), "{too_few}");
}

#[test]
fn two_epochs_are_solved_while_others_come_to_the_desk_and_both_stay_solved() {
    let (folder, desk) = welded();
    drop(desk);
    let path = folder.path().to_owned();
    let shared = SharedDesk::new(move || Desk::open(&path, Box::new(Device)));
    let asked = |command: &str, ask: Value| {
        let answer = shared
            .answer(command, &envelope::sealed(&ask, b"").unwrap(), None)
            .unwrap();
        envelope::opened(&answer).unwrap().0["answer"].clone()
    };
    let ask = json!({"before": BOTH[0], "after": BOTH[1]});
    let others = Mutex::new(0);
    let compared = thread::scope(|scope| {
        let compared = scope.spawn(|| asked("compare-epochs", ask.clone()));
        while !compared.is_finished() {
            asked("jobs", json!({}));
            *others.lock().unwrap() += 1;
        }
        compared.join().unwrap()
    });
    assert!(*others.lock().unwrap() > 0);
    assert_eq!(compared["points"].as_array().unwrap().len(), 24);
    // What is solved of both is used again: nothing is computed anew, and the words are the same.
    let solved = |epoch: &str| shared.with(|desk| desk.solve(None, Some(epoch))).unwrap();
    for epoch in BOTH.iter().chain(&BOTH) {
        assert!(std::sync::Arc::ptr_eq(&solved(epoch), &solved(epoch)));
    }
    let [before, after] = BOTH.map(solved);
    asked("compare-epochs", ask);
    assert!(std::sync::Arc::ptr_eq(&before, &solved("")));
    assert!(std::sync::Arc::ptr_eq(&after, &solved("after welding")));
}

#[test]
fn the_distance_between_two_points_is_told_with_how_sure_and_who_measured_it() {
    let (_folder, mut desk) = with_demo();
    let solved = does(&mut desk, "solve", json!({}));
    let place = |label: &str| {
        let point = one(&solved["points"], "label", label);
        ["x_mm", "y_mm", "z_mm"].map(|field| point[field].as_f64().unwrap())
    };
    let between = |desk: &mut Desk, a: &str, b: &str| does(desk, "distance", json!({"a": a, "b": b}));
    let taped = between(&mut desk, "floor-rear-L", "hoop-foot-L");
    assert_eq!(taped["readings"], json!(["r001"]));
    let [from, to] = ["floor-rear-L", "hoop-foot-L"].map(place);
    let along = vector(&taped["along_mm"]);
    for k in 0..3 {
        assert!((along[k] - (to[k] - from[k])).abs() < 1e-9);
    }
    let long = along.iter().map(|x| x * x).sum::<f64>().sqrt();
    assert!((taped["mm"].as_f64().unwrap() - long).abs() < 1e-6);
    // Surer than the tape itself, which was read to 1/16 in: the others help.
    let sd = taped["sd_mm"].as_f64().unwrap();
    assert!(sd > 0.0 && sd < one(&solved["readings"], "id", "r001")["sd"].as_f64().unwrap());
    // The other way round it is as long.
    let back = between(&mut desk, "hoop-foot-L", "floor-rear-L");
    assert!((back["mm"].as_f64().unwrap() - long).abs() < 1e-6);
    assert_eq!(vector(&back["along_mm"]), along.map(|x| -x));
    // Nobody taped this one.
    let never = between(&mut desk, "rail-tip-front-L", "rail-tip-rear-R");
    assert_eq!((&never["readings"], &never["why"]), (&json!([]), &Value::Null));
    assert!(never["mm"].as_f64().unwrap() > 3500.0);
}

#[test]
fn a_distance_that_is_not_determined_says_why_and_what_to_do() {
    let (_folder, mut desk) = with_demo();
    let open = does(
        &mut desk,
        "distance",
        json!({"a": "seat-bolt-rear-R", "b": "sill-rear-R"}),
    );
    assert!(open["mm"].is_null() && open["sd_mm"].is_null() && open["along_mm"].is_null());
    assert_eq!(
        open["why"],
        "`seat-bolt-rear-R` can move: tape it from another point"
    );
    for (a, b, expected) in [
        ("sill-rear-R", "sill-rear-R", Code::Unusable),
        ("sill-rear-R", "nowhere", Code::NotThere),
    ] {
        assert_eq!(code(&mut desk, "distance", json!({"a": a, "b": b})), expected);
    }

    // A box of 3 by 4 by 5 has a diagonal of the root of 50, whichever mirror image it is.
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "box", "unit": "mm"}));
    let corners = [
        ("A", [0, 0, 0]),
        ("B", [3000, 0, 0]),
        ("C", [3000, 4000, 0]),
        ("D", [0, 4000, 0]),
        ("E", [0, 0, 5000]),
        ("F", [3000, 4000, 5000]),
    ];
    for (index, (a, at)) in corners.iter().enumerate() {
        for (b, other) in &corners[..index] {
            let squares = (0..3).map(|k| f64::from(at[k] - other[k]).powi(2));
            let value = format!("{:.1}", squares.sum::<f64>().sqrt());
            let reading = json!({"kind": "tape", "points": [a, b], "value": value});
            if (*a, *b) != ("F", "A") {
                does(&mut desk, "log-reading", json!({"by": "Ana", "reading": reading}));
            }
        }
    }
    let diagonal = does(&mut desk, "distance", json!({"a": "A", "b": "F"}));
    let doubts = does(&mut desk, "doubts", json!({}));
    assert_eq!(doubts["doubts"][0]["kind"], "mirror-image", "{doubts} {diagonal}");
    assert!(diagonal["along_mm"].is_null(), "{diagonal}");
    assert!(
        (diagonal["mm"].as_f64().unwrap() - 50e6_f64.sqrt()).abs() < 0.5,
        "{diagonal}"
    );

    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell", "unit": "mm"}));
    let reading = json!({"kind": "tape", "points": ["A", "B"], "value": "1000"});
    does(&mut desk, "log-reading", json!({"by": "Ana", "reading": reading}));
    let unsolved = does(&mut desk, "distance", json!({"a": "A", "b": "B"}));
    assert_eq!(unsolved["readings"], json!(["r001"]));
    assert!(
        unsolved["why"]
            .as_str()
            .unwrap()
            .starts_with("nothing can be solved"),
        "{unsolved}"
    );
}
