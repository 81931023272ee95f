use super::*;
use crate::told::OrderTold;
use crate::wire::order_to_json;

/// A box of eight corners, two metres long, with a roof point.
const POINTS: &str = "label,side,x,y,z\n\
    floor-FL,left,2000 mm,500 mm,0 mm\nfloor-FR,right,2000 mm,-500 mm,10 mm\n\
    floor-RL,left,0 mm,500 mm,5 mm\nfloor-RR,right,0 mm,-500 mm,0 mm\n\
    sill-L,left,1000 mm,700 mm,200 mm\nsill-R,right,1000 mm,-700 mm,200 mm\n\
    header-L,left,900 mm,500 mm,1100 mm\nheader-R,right,900 mm,-500 mm,1100 mm\nroof,centre,400 mm,0 mm,1250 mm\n";

fn sheet(name: &str, text: &str) -> SheetBytes {
    SheetBytes {
        name: name.into(),
        bytes: text.as_bytes().to_vec(),
    }
}

fn request(points: &str, readings: Option<&str>) -> OrderRequest {
    OrderRequest {
        readings: readings.map(|text| sheet("readings.csv", text)),
        ..OrderRequest::of(sheet("points.csv", points))
    }
}

#[test]
fn an_order_is_told_point_by_point_in_numbered_lines() {
    let told = OrderTold::of(&order(request(POINTS, None)).unwrap());
    let heads: Vec<&str> = told.groups.iter().map(|group| group.head.as_str()).collect();
    assert!(heads[0].starts_with("First the base"), "{heads:?}");
    assert!(heads[1].starts_with("Then the level"), "{heads:?}");
    assert!(
        heads[2..]
            .iter()
            .all(|head| head.starts_with("Now ") && head.ends_with(": tape it from")),
        "{heads:?}"
    );
    let numbers: Vec<usize> = told
        .groups
        .iter()
        .flat_map(|group| group.lines.iter().map(|line| line.number))
        .collect();
    assert_eq!(numbers, (1..=numbers.len()).collect::<Vec<_>>());
    assert!(told.sections.is_empty() && !told.headline.doubt, "{told:?}");
}

#[test]
fn blocked_lines_are_taken_from_the_sheet_and_never_told() {
    let blocked = "id,kind,a,b,value\nb1,blocked,floor-FL,floor-RR,\nb2,blocked,roof,header-L,\n";
    let answer = order(request(POINTS, Some(blocked))).unwrap();
    let json = order_to_json(&answer);
    let written: serde_json::Value = serde_json::from_str(&json).unwrap();
    let steps = written["steps"].as_array().unwrap();
    assert!(steps.len() > 30);
    for step in steps {
        let ends = [step["a"].as_str().unwrap(), step["b"].as_str().unwrap()];
        for line in [["floor-FL", "floor-RR"], ["roof", "header-L"]] {
            assert!(!line.iter().all(|end| ends.contains(end)), "{step}");
        }
    }
    assert!(written["expected_worst_sd_mm"].as_f64().unwrap() > 0.1);
    assert_eq!(written["format"], 1);
}

#[test]
fn what_is_missing_is_said() {
    let bare = order(request("label\na\nb\n", None)).unwrap_err();
    assert_eq!(bare.code(), "no-order");
    assert!(
        bare.to_string().contains("only 0 points have a rough place"),
        "{bare}"
    );
    let bad = order(request("label,x\na,twelve\n", None)).unwrap_err();
    assert_eq!(bad.code(), "unusable-sheets");
    assert!(!bad.problems().is_empty());
    let frame = OrderRequest {
        frame: Some("three:floor-FL,floor-FR,nowhere".into()),
        ..request(POINTS, None)
    };
    assert_eq!(order(frame).unwrap_err().code(), "unusable-sheets");

    let lost = format!("{POINTS}mast,,9000 mm,0 mm,0 mm\nnote,,,,\n");
    let told = OrderTold::of(&order(request(&lost, None)).unwrap());
    let left = told
        .sections
        .iter()
        .find(|section| section.title == "Left out")
        .unwrap();
    assert_eq!(left.items.len(), 2);
    assert!(told.headline.doubt);
}

#[test]
fn the_names_of_an_order_are_a_promise() {
    let answer = order(request(POINTS, None)).unwrap();
    let written: serde_json::Value = serde_json::from_str(&order_to_json(&answer)).unwrap();
    let names: Vec<&str> = written.as_object().unwrap().keys().map(String::as_str).collect();
    let mut expected = vec![
        "format",
        "frame",
        "steps",
        "left_out",
        "open",
        "unchecked_readings",
        "expected_worst_sd_mm",
        "worst_point",
        "problems",
    ];
    expected.sort_unstable();
    let mut found = names;
    found.sort_unstable();
    assert_eq!(found, expected);
    let step: Vec<&str> = written["steps"][0]
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    for name in ["kind", "a", "b", "point", "why", "unchecked"] {
        assert!(step.contains(&name), "{name}");
    }
}
