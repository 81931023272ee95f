//! What a drawing of the shell is given, held against what `solve` and `doubts` say of the same job.

use std::collections::BTreeMap;

use desk::{Code, Desk};
use serde_json::{Value, json};

use crate::photos::added;
use crate::{acts, code, does, fresh, one, with_demo};

type Place = [f64; 3];

fn list(value: &Value) -> &Vec<Value> {
    value.as_array().unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn vector(value: &Value) -> Place {
    [0, 1, 2].map(|k| number(&value[k]))
}

fn near(a: Place, b: Place, mm: f64) -> bool {
    (0..3).all(|k| (a[k] - b[k]).abs() < mm)
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap()
}

/// Logs tapes between points of which the places are known, to a hundredth of a mm.
fn taped(desk: &mut Desk, places: &[(&str, Place)], pairs: &[(&str, &str)]) {
    let places: BTreeMap<&str, Place> = places.iter().copied().collect();
    for (a, b) in pairs {
        let [p, q] = [places[a], places[b]];
        let long = (0..3).map(|k| (p[k] - q[k]).powi(2)).sum::<f64>().sqrt();
        let reading = json!({"kind": "tape", "points": [a, b], "value": format!("{long:.2} mm")});
        does(desk, "log-reading", json!({"by": "Ana", "reading": reading}));
    }
}

/// Four corners of a shell, all six tapes between them, and which side is up.
const CORNERS: [(&str, Place); 4] = [
    ("A", [0.0, 0.0, 0.0]),
    ("B", [1000.0, 0.0, 0.0]),
    ("C", [0.0, 900.0, 0.0]),
    ("D", [300.0, 350.0, 800.0]),
];
const ALL_SIX: [(&str, &str); 6] = [
    ("A", "B"),
    ("A", "C"),
    ("A", "D"),
    ("B", "C"),
    ("B", "D"),
    ("C", "D"),
];

fn with_corners() -> (tempfile::TempDir, Desk) {
    let (folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell", "unit": "mm"}));
    taped(&mut desk, &CORNERS, &ALL_SIX);
    acts(
        &mut desk,
        json!({"do": "set-job", "frame": "three:A,B,C", "above": "D"}),
    );
    (folder, desk)
}

#[test]
fn points_of_the_demo_are_where_the_solve_has_them_and_as_sure() {
    let (_folder, mut desk) = with_demo();
    let solved = does(&mut desk, "solve", json!({}));
    let shape = does(&mut desk, "shape", json!({}));
    let (points, found) = (list(&shape["points"]), list(&solved["points"]));
    assert_eq!((points.len(), found.len()), (44, 44));
    let mut fixed = 0;
    for (point, found) in points.iter().zip(found) {
        let label = text(&point["label"]);
        assert_eq!(point["label"], found["label"]);
        assert_eq!(point["status"], found["status"], "{label}");
        assert_eq!(point["is_rough"], false);
        if point["status"] != "fixed" {
            assert!(point["axes_95_mm"].is_null() && point["sd_mm"].is_null() && point["weakest"].is_null());
            continue;
        }
        fixed += 1;
        let place = ["x_mm", "y_mm", "z_mm"].map(|field| number(&found[field]));
        assert_eq!(vector(&point["place"]), place, "{label}");
        let sd = ["sd_x_mm", "sd_y_mm", "sd_z_mm"].map(|field| number(&found[field]));
        assert_eq!(vector(&point["sd_mm"]), sd, "{label}");

        // The axes are those of xᵀ C⁻¹ x = 7.815, the 0.95 quantile of chi-square with 3 degrees of freedom
        // (NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.4): A Aᵀ = 7.815 C.
        let axes = [0, 1, 2].map(|n| vector(&point["axes_95_mm"][n]));
        let covariance = [0, 1, 2].map(|n| vector(&found["covariance_mm2"][n]));
        let largest = (0..3).map(|k| covariance[k][k]).fold(0.0, f64::max);
        for i in 0..3 {
            for j in 0..3 {
                let product: f64 = axes.iter().map(|axis| axis[i] * axis[j]).sum();
                let off = (product - 7.815 * covariance[i][j]).abs();
                assert!(off <= 5e-4 * largest + 1e-12, "{label} {i} {j}: {off}");
            }
        }
        // At right angles, the longest first, as long as `solve` says.
        let dot = |a: Place, b: Place| (0..3).map(|k| a[k] * b[k]).sum::<f64>();
        let lengths = axes.map(|axis| dot(axis, axis).sqrt());
        assert!(lengths[0] >= lengths[1] && lengths[1] >= lengths[2]);
        for (i, j) in [(0, 1), (0, 2), (1, 2)] {
            assert!(dot(axes[i], axes[j]).abs() <= 1e-9 * lengths[0] * lengths[0] + 1e-12);
        }
        assert!(near(lengths, vector(&found["ellipsoid_95_mm"]), 1e-9));

        // The weakest way is that of the longest axis, ± 1.96 of the standard deviation that way.
        if lengths[0] < 1e-3 {
            assert!(point["weakest"].is_null() || label != "sill-rear-R");
            continue;
        }
        let k = ["along", "across", "up"]
            .iter()
            .position(|way| point["weakest"]["way"] == *way)
            .unwrap();
        assert!((0..3).all(|other| axes[0][other].abs() <= axes[0][k].abs()));
        assert!((number(&point["weakest"]["half_width_95_mm"]) - 1.96 * sd[k]).abs() < 1e-12);
    }
    assert_eq!(fixed, 43);
    let doubts = does(&mut desk, "doubts", json!({}));
    assert_eq!(shape["worst"], doubts["worst"]["point"]);
    assert_eq!(shape["frame"], solved["frame"]);
    assert_eq!((&shape["unsolved"], &shape["epoch"]), (&Value::Null, &json!("")));
    assert_eq!(shape["epochs"], json!([""]));
    let [low, high] = ["low", "high"].map(|end| vector(&shape["box"][end]));
    for point in points {
        let place = vector(&point["place"]);
        assert!((0..3).all(|k| low[k] <= place[k] && place[k] <= high[k]));
    }
}

#[test]
fn lines_of_the_demo_say_what_the_solve_and_the_doubts_say_of_their_readings() {
    let (_folder, mut desk) = with_demo();
    let solved = does(&mut desk, "solve", json!({}));
    let doubts = does(&mut desk, "doubts", json!({}));
    let shape = does(&mut desk, "shape", json!({}));
    let of_doubt = |kind: &str| -> Vec<&Value> {
        let all = list(&doubts["doubts"]).iter();
        all.filter(|doubt| doubt["kind"] == kind)
            .flat_map(|doubt| list(&doubt["readings"]))
            .collect()
    };
    let lines = list(&shape["lines"]);
    assert_eq!(lines.len(), list(&solved["readings"]).len());
    for (line, found) in lines.iter().zip(list(&solved["readings"])) {
        let name = &line["reading"];
        assert_eq!((name, &line["kind"]), (&found["id"], &found["kind"]));
        let state = match text(&found["verdict"]) {
            "fits" if of_doubt("unchecked").contains(&name) => "unchecked".to_owned(),
            verdict => verdict.replace(' ', "-"),
        };
        assert_eq!(line["state"], state, "{name}");
        assert_eq!(line["state"] == "suspect", of_doubt("suspect").contains(&name));
        let held_out = of_doubt("suspect").contains(&name) && line["held_out"] == true;
        assert_eq!(line["held_out"], held_out, "{name}");

        // Without the reading itself, the others miss it by its residual over its redundancy.
        let (residual, redundancy) = (found["residual"].as_f64(), found["redundancy"].as_f64());
        let expected = match line["held_out"] == true {
            true => residual.map(|residual| -residual),
            false => residual
                .zip(redundancy.filter(|redundancy| *redundancy >= 1e-3))
                .map(|(residual, redundancy)| -residual / redundancy),
        };
        match (line["off"].as_f64(), expected) {
            (Some(off), Some(expected)) => assert!((off - expected).abs() < 1e-9 * (1.0 + expected.abs())),
            (off, expected) => assert_eq!(off, expected, "{name}"),
        }
    }
    let held_out = lines.iter().filter(|line| line["held_out"] == true).count();
    assert_eq!(json!(held_out), solved["summary"]["held_out"]);
    for doubt in list(&doubts["doubts"]) {
        if doubt["kind"] == "suspect" || doubt["kind"] == "look-again" {
            let off = number(&one(&shape["lines"], "reading", text(&doubt["readings"][0]))["off"]);
            assert!((off.abs() - number(&doubt["amount"])).abs() < 1e-6, "{doubt}");
            let over = matches!(text(&doubt["way"]), "long" | "wide" | "more");
            assert_eq!(off > 0.0, over, "{doubt}");
        }
    }
    let points = list(&shape["points"]);
    let held_out_at = |label: &str| number(&one(&shape["points"], "label", label)["held_out"]);
    let [a, b] = [0, 1].map(|n| text(&one(&shape["lines"], "reading", "r065")["points"][n]));
    assert!(held_out_at(a) >= 1.0 && held_out_at(b) >= 1.0);
    let named: usize = points.iter().map(|point| list(&point["readings"]).len()).sum();
    let names: usize = lines.iter().map(|line| list(&line["points"]).len()).sum();
    assert_eq!(named, names);
    assert_eq!(shape["people"], json!(["Tape", "Book"]));
    assert_eq!(shape["stands"], json!(["low stands", "high stands"]));
    assert_eq!(list(&shape["instruments"]).len(), 4);
}

#[test]
fn lines_run_between_the_places_of_their_points_and_feet_lie_where_the_length_says() {
    let (_folder, mut desk) = with_demo();
    let shape = does(&mut desk, "shape", json!({}));
    let place = |label: &Value| vector(&one(&shape["points"], "label", text(label))["place"]);
    let apart = |a: Place, b: Place| (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>().sqrt();
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    let shown = does(&mut desk, "show", json!({}));
    for line in list(&shape["lines"]) {
        let path: Vec<Place> = list(&line["path"]).iter().map(vector).collect();
        let ends: Vec<Place> = list(&line["points"]).iter().map(place).collect();
        let kind = text(&line["kind"]);
        *kinds.entry(kind).or_default() += 1;
        match kind {
            "tape" | "slope" | "rise" | "corner" => assert_eq!(path, ends),
            "string" | "face" => {
                assert_eq!((path.len(), path[0]), (2, ends[0]));
                // Its length is what was read, but for what it is off by.
                let read = one(&shown["readings"], "name", text(&line["reading"]));
                let left = number(&read["mm_or_deg"]) - apart(path[0], path[1]);
                assert!(left.abs() < number(&line["off"]).abs() + 1.0, "{line}");
            }
            kind => panic!("the demo has no {kind}"),
        }
    }
    assert_eq!(kinds.len(), 6, "{kinds:?}");
}

#[test]
fn mirror_pairs_say_how_far_off_and_how_far_apart_they_are() {
    let (_folder, mut desk) = with_demo();
    let solved = does(&mut desk, "solve", json!({}));
    let shape = does(&mut desk, "shape", json!({}));
    let plane = (
        vector(&shape["plane"]["point"]),
        vector(&shape["plane"]["normal"]),
    );
    assert!((plane.1.iter().map(|x| x * x).sum::<f64>() - 1.0).abs() < 1e-12);
    let pairs = list(&solved["symmetry"]["pairs"]);
    assert!(pairs.len() > 10);
    for pair in pairs {
        let left = one(&shape["points"], "label", text(&pair["left"]));
        let right = one(&shape["points"], "label", text(&pair["right"]));
        assert_eq!((&left["mirror"], &left["side"]), (&pair["right"], &json!("left")));
        let off = &left["off_mirror"];
        assert_eq!(off, &right["off_mirror"]);
        assert_eq!((&off["off_mm"], &off["sd_mm"]), (&pair["off_mm"], &pair["sd_mm"]));
        assert_eq!(off["significant"], pair["significant"]);
        let long = |v: Place| v.iter().map(|x| x * x).sum::<f64>().sqrt();
        assert!((number(&off["distance_mm"]) - long(vector(&off["off_mm"]))).abs() < 1e-9);
        let [l, r] = [left, right].map(|point| vector(&point["place"]));
        let apart = [0, 1, 2].map(|k| l[k] - r[k]);
        assert!((number(&off["apart_mm"]) - long(apart)).abs() < 1e-6);
        // The right point less the mirror image of the left one in this very plane is as long as the offset.
        let above: f64 = (0..3).map(|k| (l[k] - plane.0[k]) * plane.1[k]).sum();
        assert!(above > 0.0, "the normal points to the left");
        let from_image = [0, 1, 2].map(|k| r[k] - (l[k] - 2.0 * above * plane.1[k]));
        assert!(
            (long(from_image) - number(&off["distance_mm"])).abs() < 1e-6,
            "{pair}"
        );
    }
}

#[test]
fn the_outline_of_the_demo_joins_all_points_and_is_the_same_mirrored() {
    let (_folder, mut desk) = with_demo();
    let shape = does(&mut desk, "shape", json!({}));
    let edges: Vec<[&str; 2]> = list(&shape["outline"])
        .iter()
        .map(|edge| [text(&edge[0]), text(&edge[1])])
        .collect();
    let fixed: Vec<&Value> = list(&shape["points"])
        .iter()
        .filter(|point| point["status"] == "fixed")
        .collect();
    let image = |label: &str| -> Option<String> {
        let point = one(&shape["points"], "label", label);
        let image = if point["side"] == "centre" {
            &point["label"]
        } else {
            &point["mirror"]
        };
        let image = image.as_str()?;
        (one(&shape["points"], "label", image)["status"] == "fixed").then(|| image.to_owned())
    };
    for [a, b] in &edges {
        if let (Some(c), Some(d)) = (image(a), image(b)) {
            let there = |x: &str, y: &str| edges.contains(&[x, y]) || edges.contains(&[y, x]);
            assert!(there(&c, &d), "{a} {b} but not {c} {d}");
        }
    }
    let mut reached = vec![text(&fixed[0]["label"])];
    let mut at = 0;
    while at < reached.len() {
        for [a, b] in &edges {
            for (from, to) in [(a, b), (b, a)] {
                if *from == reached[at] && !reached.contains(to) {
                    reached.push(to);
                }
            }
        }
        at += 1;
    }
    assert_eq!(reached.len(), fixed.len());
    assert!(edges.len() < 2 * fixed.len(), "{} edges", edges.len());
}

#[test]
fn a_loose_point_is_drawn_where_the_solve_ended_with_the_ways_in_which_it_can_move() {
    let (_folder, mut desk) = with_demo();
    let solved = does(&mut desk, "solve", json!({}));
    let shape = does(&mut desk, "shape", json!({}));
    let loose = one(&shape["points"], "label", "seat-bolt-rear-R");
    assert_eq!(
        (&loose["status"], &loose["doubt"]),
        (&json!("loose"), &json!("loose"))
    );
    assert_eq!(loose["directions"], solved["loose"][0]["directions"]);
    // Its mirror partner is across the shell: the place is one that its two tapes allow, and no other.
    let place = vector(&loose["place"]);
    for line in list(&shape["lines"]) {
        if list(&line["points"]).contains(&loose["label"]) && line["kind"] == "tape" {
            let shown = does(&mut desk, "show", json!({}));
            let read = number(&one(&shown["readings"], "name", text(&line["reading"]))["mm_or_deg"]);
            let [a, b] = [0, 1].map(|n| vector(&line["path"][n]));
            assert!(a == place || b == place);
            let long = (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>().sqrt();
            assert!((long - read).abs() < 3.0, "{line}");
        }
    }
    assert!(
        list(&shape["outline"])
            .iter()
            .all(|edge| !list(edge).contains(&loose["label"]))
    );
}

#[test]
fn a_point_with_two_places_has_both_and_is_drawn_at_the_first() {
    let (_folder, mut desk) = with_corners();
    let [a, b, c, d] = CORNERS;
    let places = [
        a,
        b,
        c,
        d,
        ("E", [600.0, 500.0, 400.0]),
        ("F", [900.0, 850.0, 600.0]),
    ];
    // F holds D on its side of the floor; E could be on either.
    let pairs = ["A", "B", "C", "D"].map(|corner| (corner, "F"));
    taped(&mut desk, &places, &pairs);
    taped(&mut desk, &places, &[("A", "E"), ("B", "E"), ("C", "E")]);
    let solved = does(&mut desk, "solve", json!({}));
    let shape = does(&mut desk, "shape", json!({}));
    let point = one(&shape["points"], "label", "E");
    assert_eq!(
        (&point["status"], &point["doubt"]),
        (&json!("two-valued"), &json!("two-places"))
    );
    assert_eq!(
        point["places"],
        one(&solved["two_valued"], "label", "E")["candidates"]
    );
    assert_eq!(one(&shape["points"], "label", "D")["status"], "fixed");
    assert_eq!(point["place"], point["places"][0]);
    let both = [0, 1].map(|n| vector(&point["places"][n]));
    for up in [400.0, -400.0] {
        assert!(
            both.iter().any(|place| near(*place, [600.0, 500.0, up], 0.5)),
            "{both:?}"
        );
    }
    assert!(number(&shape["box"]["low"][2]) < -399.0);
    assert!(point["axes_95_mm"].is_null());
}

#[test]
fn where_nothing_tells_the_shell_from_its_mirror_image_its_outline_is_known_all_the_same() {
    let (_folder, mut desk) = with_corners();
    acts(&mut desk, json!({"do": "set-job", "above": ""}));
    let shape = does(&mut desk, "shape", json!({}));
    assert_eq!(one(&shape["points"], "label", "D")["status"], "two-valued");
    assert!(
        list(&shape["outline"])
            .iter()
            .any(|edge| list(edge).contains(&json!("D")))
    );
}

#[test]
fn a_point_with_a_rough_place_alone_is_laid_on_those_that_have_both() {
    let (_folder, mut desk) = with_corners();
    // Rough places were typed from the floor, 250 mm below A, and from a wall 1,000 mm behind it.
    for (label, [x, y, z]) in CORNERS.into_iter().chain([("roof", [500.0, 450.0, 1100.0])]) {
        let rough = [x + 1000.0, y, z + 250.0].map(|x| format!("{x} mm"));
        acts(
            &mut desk,
            json!({"do": "describe-point", "point": label, "x": rough[0], "y": rough[1], "z": rough[2]}),
        );
    }
    acts(
        &mut desk,
        json!({"do": "describe-point", "point": "half", "x": "100 mm"}),
    );
    let shape = does(&mut desk, "shape", json!({}));
    let roof = one(&shape["points"], "label", "roof");
    assert_eq!(
        (&roof["status"], &roof["is_rough"]),
        (&json!("unsolved"), &json!(true))
    );
    assert!(
        near(vector(&roof["place"]), [500.0, 450.0, 1100.0], 0.1),
        "{roof}"
    );
    assert_eq!(one(&shape["points"], "label", "A")["is_rough"], false);
    let half = one(&shape["points"], "label", "half");
    assert_eq!((&half["place"], &half["is_rough"]), (&Value::Null, &json!(false)));
    assert!(
        list(&shape["outline"])
            .iter()
            .all(|edge| !list(edge).contains(&json!("roof")))
    );
}

#[test]
fn points_that_no_reading_ties_to_the_others_are_not_drawn_where_chance_put_them() {
    let (_folder, mut desk) = with_corners();
    let apart = [("P", [0.0, 0.0, 0.0]), ("Q", [500.0, 0.0, 0.0])];
    taped(&mut desk, &apart, &[("P", "Q")]);
    let shape = does(&mut desk, "shape", json!({}));
    for label in ["P", "Q"] {
        let point = one(&shape["points"], "label", label);
        assert_eq!(
            (&point["status"], &point["place"]),
            (&json!("unsolved"), &Value::Null)
        );
        assert_eq!(point["doubt"], "islands");
    }
    let line = one(&shape["lines"], "reading", "r007");
    assert_eq!(line["path"], json!([]));
}

#[test]
fn a_job_of_which_nothing_is_determined_is_drawn_from_its_rough_places_and_says_why() {
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell", "unit": "mm"}));
    for (label, x) in [("A", "0"), ("B", "1000")] {
        acts(
            &mut desk,
            json!({"do": "describe-point", "point": label, "x": x, "y": "20", "z": "30"}),
        );
    }
    let empty = does(&mut desk, "shape", json!({}));
    assert_eq!((&empty["lines"], &empty["epochs"]), (&json!([]), &json!([])));
    taped(&mut desk, &CORNERS, &[("A", "B")]);
    let shape = does(&mut desk, "shape", json!({}));
    let doubts = does(&mut desk, "doubts", json!({}));
    assert!(shape["unsolved"].is_string());
    assert_eq!(shape["unsolved"], doubts["unsolved"]);
    let b = one(&shape["points"], "label", "B");
    assert_eq!(
        (&b["status"], &b["is_rough"], &b["place"]),
        (&json!("unsolved"), &json!(true), &json!([1000.0, 20.0, 30.0]))
    );
    assert_eq!(b["readings"], json!(["r001"]));
    let line = &shape["lines"][0];
    assert_eq!(
        (&line["state"], &line["off"], &line["path"]),
        (
            &json!("unused"),
            &Value::Null,
            &json!([[0.0, 20.0, 30.0], [1000.0, 20.0, 30.0]])
        )
    );
    for field in ["frame", "plane", "worst"] {
        assert!(shape[field].is_null(), "{field}");
    }
    assert_eq!(shape["outline"], json!([]));
}

#[test]
fn readings_that_are_set_aside_or_cannot_be_used_are_lines_too() {
    let (_folder, mut desk) = with_corners();
    taped(
        &mut desk,
        &[("A", [0.0; 3]), ("a", [5.0, 0.0, 0.0])],
        &[("A", "a"), ("A", "a")],
    );
    acts(
        &mut desk,
        json!({"do": "set-aside", "reading": "r002", "why": "windy"}),
    );
    acts(&mut desk, json!({"do": "join-points", "point": "a", "into": "A"}));
    let shape = does(&mut desk, "shape", json!({}));
    let state = |name: &str| one(&shape["lines"], "reading", name)["state"].clone();
    assert_eq!(
        (state("r002"), state("r007")),
        (json!("set-aside"), json!("unused"))
    );
    assert_eq!(
        one(&shape["lines"], "reading", "r007")["points"],
        json!(["A", "A"])
    );
    // What is set aside is predicted by the others too; here nothing but it holds that line.
    assert_eq!(
        one(&shape["points"], "label", "C")["readings"],
        json!(["r002", "r004", "r006"])
    );
}

#[test]
fn each_epoch_is_drawn_by_itself_and_what_came_before_any_by_an_empty_name() {
    let (_folder, mut desk) = with_corners();
    acts(
        &mut desk,
        json!({"do": "add", "what": "epoch", "name": "nobody read in it"}),
    );
    acts(
        &mut desk,
        json!({"do": "add", "what": "epoch", "name": "after welding"}),
    );
    let mut later = CORNERS;
    later[3].1[2] += 7.0;
    taped(&mut desk, &later, &ALL_SIX);
    let newest = does(&mut desk, "shape", json!({}));
    assert_eq!(newest["epochs"], json!(["", "after welding"]));
    assert_eq!(newest["epoch"], "after welding");
    let before = does(&mut desk, "shape", json!({"epoch": ""}));
    assert_eq!((&before["epoch"], list(&before["lines"]).len()), (&json!(""), 6));
    let height = |shape: &Value| number(&one(&shape["points"], "label", "D")["place"][2]);
    assert!((height(&newest) - height(&before) - 7.0).abs() < 0.1);
    assert!(
        list(&newest["lines"])
            .iter()
            .all(|line| line["epoch"] == "after welding")
    );
    assert_eq!(
        code(&mut desk, "shape", json!({"epoch": "tacked"})),
        Code::NotThere
    );
}

#[test]
fn photos_of_a_point_are_counted_once_each_whether_it_is_their_subject_or_has_a_pin() {
    let (_folder, mut desk) = with_corners();
    let of_d = added(&mut desk, 10, Some("D"));
    let other = added(&mut desk, 200, None);
    for (photo, point) in [(&of_d, "D"), (&of_d, "A"), (&other, "D"), (&other, "D")] {
        acts(
            &mut desk,
            json!({"do": "pin-photo", "photo": photo, "point": point, "x": 0.5, "y": 0.5}),
        );
    }
    let photos = |desk: &mut Desk| {
        let shape = does(desk, "shape", json!({}));
        ["A", "B", "D"].map(|label| number(&one(&shape["points"], "label", label)["photos"]))
    };
    assert_eq!(photos(&mut desk), [1.0, 0.0, 2.0]);
    acts(&mut desk, json!({"do": "remove-photo", "photo": of_d}));
    assert_eq!(photos(&mut desk), [0.0, 0.0, 1.0]);
}
