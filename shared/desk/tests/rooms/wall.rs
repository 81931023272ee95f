//! The sheet for the wall: what of a job stands on it.

use desk::{Call, Code, Desk, Reply};
use serde_json::{Value, json};

use crate::{acts, code, does, fresh, tape, with_demo};

fn sheet(desk: &mut Desk, ask: Value) -> Reply {
    desk.call("wall-sheet", Call { ask, bytes: vec![] }).unwrap()
}

fn svg(desk: &mut Desk, page: usize, paper: &str) -> String {
    let reply = sheet(desk, json!({"paper": paper, "form": "svg", "page": page}));
    assert_eq!(reply.media_type, Some("image/svg+xml"));
    String::from_utf8(reply.bytes).unwrap()
}

/// Every text of a page, in the order in which it is drawn.
fn texts(svg: &str) -> Vec<String> {
    let document = roxmltree::Document::parse(svg).unwrap();
    let drawn = document
        .descendants()
        .filter(|node| node.attribute("role") == Some("img"));
    drawn
        .filter_map(|node| node.attribute("aria-label"))
        .map(str::to_owned)
        .collect()
}

#[test]
fn the_demo_is_on_the_sheet_point_for_point_and_to_scale() {
    let (_folder, mut desk) = with_demo();
    let shape = does(&mut desk, "shape", json!({}));
    for paper in ["a4", "letter"] {
        let plan = svg(&mut desk, 1, paper);
        let document = roxmltree::Document::parse(&plan).unwrap();
        let view = document
            .descendants()
            .find(|node| {
                node.attribute("aria-label")
                    .is_some_and(|name| name.starts_with("From above, 1:"))
            })
            .unwrap();
        let scale: f64 = view
            .attribute("aria-label")
            .unwrap()
            .rsplit_once(':')
            .unwrap()
            .1
            .parse()
            .unwrap();
        let mut marks = Vec::new();
        for circle in view.descendants().filter(|node| node.has_tag_name("circle")) {
            let label = circle.first_element_child().unwrap().text().unwrap();
            let number = |attribute| circle.attribute(attribute).unwrap().parse::<f64>().unwrap();
            let points = shape["points"].as_array().unwrap();
            // The others are the flags of readings.
            if let Some(point) = points.iter().find(|point| point["label"] == label) {
                let place = |axis: usize| point["place"][axis].as_f64().unwrap();
                marks.push((
                    [number("cx"), number("cy")],
                    [-place(1) / scale, -place(0) / scale],
                ));
            }
        }
        assert_eq!(marks.len(), 44);
        for (on_paper, place) in &marks {
            for axis in [0, 1] {
                let off = (on_paper[axis] - marks[0].0[axis]) - (place[axis] - marks[0].1[axis]);
                assert!(off.abs() < 0.01, "{off}");
            }
        }
        let texts = texts(&plan);
        for point in shape["points"].as_array().unwrap() {
            let label = point["label"].as_str().unwrap();
            let with_its_state = |text: &String| *text == label || *text == format!("{label}, loose");
            assert!(texts.iter().any(with_its_state), "{label} has no name on {paper}");
        }
    }
}

#[test]
fn the_table_has_the_coordinates_as_the_crew_reads_them() {
    let (_folder, mut desk) = with_demo();
    let reply = sheet(&mut desk, json!({"paper": "a4", "form": "pdf"}));
    assert_eq!(reply.media_type, Some("application/pdf"));
    assert!(reply.bytes.starts_with(b"%PDF-"));
    let pages = usize::try_from(reply.answer["pages"].as_u64().unwrap()).unwrap();
    assert_eq!(reply.answer["problems"], json!([]));
    let stamp = does(&mut desk, "sheets", json!({}))["stamp"].clone();
    assert_eq!(reply.answer["stamp"], stamp);
    let all = |desk: &mut Desk| -> Vec<String> {
        (4..=pages)
            .flat_map(|page| texts(&svg(desk, page, "a4")))
            .collect()
    };
    let inches = all(&mut desk);
    assert!(inches.contains(&"x, in".to_owned()) && inches.contains(&stamp.as_str().unwrap().to_owned()));
    assert!(inches.iter().any(|text| text == "16"), "fractions are built up");
    assert!(inches.iter().any(|text| text.contains("held out.")));
    assert!(inches.iter().any(|text| text.starts_with("Loose: moves ")));

    let point = does(&mut desk, "shape", json!({}))["points"][0].clone();
    acts(&mut desk, json!({"do": "set-job", "unit": "mm"}));
    does(&mut desk, "set-device", json!({"numbers": "comma"}));
    let written = |mm: f64| match format!("{mm:.1}").replace('.', ",").replace('-', "\u{2212}") {
        nothing if nothing == "\u{2212}0,0" => "0,0".to_owned(),
        text => text,
    };
    let millimetres = all(&mut desk);
    assert!(millimetres.contains(&"x, mm".to_owned()));
    for axis in 0..3 {
        let mm = written(point["place"][axis].as_f64().unwrap());
        assert!(millimetres.contains(&mm), "{mm} is not in {millimetres:?}");
        // ± at 95 % is 1.96 standard deviations (JCGM 100:2008, table G.1 for a normal distribution), never rounded down.
        let half = 1.96 * point["sd_mm"][axis].as_f64().unwrap();
        let up = written((half * 10.0 - 1e-5).ceil() / 10.0);
        assert!(millimetres.contains(&up), "± {up} is not in {millimetres:?}");
    }
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let (_folder, mut desk) = with_demo();
    let ask = json!({"paper": "letter", "form": "pdf"});
    let once = sheet(&mut desk, ask.clone());
    assert_eq!(once, sheet(&mut desk, ask));
}

#[test]
fn what_cannot_be_drawn_is_refused_in_words() {
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell", "unit": "mm"}));
    let ask = json!({"paper": "a4", "form": "pdf"});
    assert_eq!(code(&mut desk, "wall-sheet", ask.clone()), Code::NothingToSolve);
    for (a, b, value) in [
        ("A", "B", "1000"),
        ("A", "C", "1000"),
        ("B", "C", "1000"),
        ("A", "D", "1000"),
        ("B", "D", "1000"),
        ("C", "D", "1000"),
    ] {
        tape(&mut desk, a, b, value, "");
    }
    // Six tapes hold four points, and leave open which hand the shell has: the sheet says so.
    let drawn = sheet(&mut desk, json!({"paper": "a4", "form": "svg"}));
    assert_eq!(drawn.answer["pages"], 4);
    let table = texts(&svg(&mut desk, 4, "a4")).join(" ");
    assert!(table.contains("mirror image"), "{table}");
    let beyond = json!({"paper": "a4", "form": "svg", "page": 9});
    assert_eq!(code(&mut desk, "wall-sheet", beyond), Code::NotThere);
    assert_eq!(
        code(&mut desk, "wall-sheet", json!({"paper": "a3", "form": "svg"})),
        Code::BadRequest
    );
}
