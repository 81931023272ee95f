use super::*;
use crate::told::ToldComparison;
use crate::wire::comparison_to_json;

fn demo(change: impl Fn(&str) -> String) -> CompareRequest {
    let [readings, points, instruments] = crate::demo::SHEETS.map(|(name, text)| SheetBytes {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    });
    let after = change(std::str::from_utf8(&readings.bytes).unwrap());
    CompareRequest {
        before: readings,
        after: SheetBytes {
            name: "after.csv".to_owned(),
            bytes: after.into_bytes(),
        },
        points: Some(points),
        instruments: Some(instruments),
        frame: Some(crate::demo::FRAME.to_owned()),
        unit: None,
    }
}

/// The demo with everything that touches a point taken to be 40 mm longer or shorter than it would be in place: the
/// point moved by as much, far along one axis.
fn with_a_moved_header() -> CompareAnswer {
    let solved = crate::adjust(crate::demo::request()).unwrap();
    let place = |p: usize| {
        solved.adjustment.points[p]
            .coordinates_mm
            .map(|x| x.unwrap_or(f64::NAN))
    };
    let header = solved
        .survey
        .points
        .iter()
        .position(|p| p.label.as_str() == "roof-front")
        .unwrap();
    compare(demo(|readings| {
        let mut lines = readings.lines();
        let head = lines.next().unwrap();
        let columns: Vec<&str> = head.split(',').collect();
        let (id, value) = (
            columns.iter().position(|c| *c == "id").unwrap(),
            columns.iter().position(|c| *c == "value").unwrap(),
        );
        let mut out = format!("{head}\n");
        for line in lines {
            let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
            let reading = solved.survey.readings.iter().find(|r| r.id == cells[id]);
            if let Some(reading) =
                reading.filter(|r| r.kind == survey::Kind::Tape && r.points.contains(&header))
            {
                let other = place(reading.points[usize::from(reading.points[0] == header)]);
                let from = place(header);
                let length = |z: f64| {
                    let d = [from[0] - other[0], from[1] - other[1], from[2] + z - other[2]];
                    d.iter().map(|x| x * x).sum::<f64>().sqrt()
                };
                // Typed in millimetres, with what it was read from kept.
                cells[value] = format!("{:.1} mm", reading.read + length(-40.0) - length(0.0));
            }
            out.push_str(&cells.join(","));
            out.push('\n');
        }
        out
    }))
    .unwrap()
}

#[test]
fn nothing_moved_between_a_sheet_and_itself() {
    let answer = compare(demo(str::to_owned)).unwrap();
    let told = ToldComparison::of(&answer);
    assert_eq!(told.headline.verdict, "No point is seen to have moved.");
    assert!(
        answer
            .comparison
            .points
            .iter()
            .all(|p| p.distance_mm.value < 1e-6)
    );
    assert!(
        told.stamp.starts_with("Before: 3 readings held out"),
        "{}",
        told.stamp
    );
}

#[test]
fn a_point_that_came_down_is_named_with_how_far() {
    let answer = with_a_moved_header();
    let told = ToldComparison::of(&answer);
    assert_eq!(told.headline.verdict, "1 point moved.");
    let item = &told.sections[0].items[0];
    assert!(item.head.starts_with("roof-front: moved 1.5"), "{}", item.head);
    assert!(item.said[0].contains("down"), "{:?}", item.said);
    let json: serde_json::Value = serde_json::from_str(&comparison_to_json(&answer)).unwrap();
    let moved: Vec<&str> = json["points"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|p| p["moved"] == true)
        .map(|p| p["label"].as_str().unwrap())
        .collect();
    assert_eq!(moved, ["roof-front"]);
    assert!((json["points"][0]["shift_mm"][0].as_f64().unwrap()).abs() < 1.0);
}

#[test]
fn points_that_cannot_be_told_apart_are_told_together() {
    let mut answer = with_a_moved_header();
    let points = &mut answer.comparison.points;
    let header = points.iter().position(|p| p.moved).unwrap();
    let other = (header + 1) % points.len();
    for p in [header, other] {
        points[p].unclear = true;
    }
    let told = ToldComparison::of(&answer);
    assert_eq!(
        told.headline.verdict,
        "1 of 2 points moved; the readings do not tell which."
    );
    assert!(told.headline.doubt);
    assert_eq!(told.sections[0].title, "Cannot tell which of these moved");
    let heads: Vec<&str> = told.sections[0]
        .items
        .iter()
        .map(|item| item.head.as_str())
        .collect();
    assert_eq!(heads.len(), 2);
    assert!(
        heads
            .iter()
            .any(|head| head.starts_with("roof-front: if it moved, by 1.5")),
        "{heads:?}"
    );
    let json: serde_json::Value = serde_json::from_str(&comparison_to_json(&answer)).unwrap();
    let unclear = json["points"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|p| p["unclear"] == true);
    assert_eq!(unclear.count(), 2);
    let third = answer.comparison.points.iter_mut().find(|p| !p.unclear).unwrap();
    third.moved = true;
    let told = ToldComparison::of(&answer);
    assert_eq!(
        told.headline.verdict,
        "1 point moved, and 1 of 2 points besides; the readings do not tell which."
    );
}

#[test]
fn without_a_frame_a_shift_has_no_direction() {
    let mut request = demo(str::to_owned);
    request.frame = None;
    let answer = compare(request).unwrap();
    assert!(!answer.frame_is_said);
    assert_eq!(answer.before.adjustment.frame, answer.after.adjustment.frame);
}

#[test]
fn what_is_wrong_with_one_of_the_sheets_is_told_with_which() {
    let error = compare(demo(|_| "id,kind,a,b,value\nr1,tape,A,B,forty\n".to_owned())).unwrap_err();
    assert_eq!(error.code(), "unusable-sheets");
    assert!(
        error
            .to_string()
            .starts_with("the readings after: the sheets cannot be used"),
        "{error}"
    );
    assert!(!error.problems().is_empty());
    let error = compare(demo(|readings| {
        readings.replace("-L,", "-X,").replace("-R,", "-Y,")
    }))
    .unwrap_err();
    assert!(
        matches!(error, CompareError::Epoch { .. } | CompareError::CannotCompare(_)),
        "{error}"
    );
}

#[test]
fn a_frame_is_typed_as_it_is_read() {
    let label = |text| survey::Label::new(text).unwrap();
    let frame = Frame::Centreline {
        origin: label("a, b"),
        ahead: label("c \"d\""),
        above: label("e"),
    };
    assert_eq!(survey::parse_frame(&typed(&frame)).unwrap(), frame);
    assert_eq!(survey::parse_frame(&typed(&Frame::Bench)).unwrap(), Frame::Bench);
}
