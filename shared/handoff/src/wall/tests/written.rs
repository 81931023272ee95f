//! The files: sizes of paper, what can be read back, colours, bytes.

use lopdf::content::Content;
use lopdf::{Document as Pdf, Object};

use super::*;

fn number(object: &Object) -> f64 {
    match object {
        Object::Integer(whole) => *whole as f64,
        Object::Real(real) => f64::from(*real),
        other => panic!("{other:?} is no number"),
    }
}

fn read(drawing: &Drawing) -> Pdf {
    Pdf::load_mem(&drawing.pdf().unwrap()).unwrap()
}

#[test]
fn paper_is_exactly_as_large_as_its_standard_says() {
    // A4: ISO 216, 210 by 297 mm. Letter: ANSI/ASME Y14.1 size A, 8.5 by 11 in. A PDF's unit is 1/72 in (ISO 32000).
    let sizes = [
        (
            Paper::A4,
            [210.0, 297.0],
            [210.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0],
        ),
        (Paper::Letter, [215.9, 279.4], [612.0, 792.0]),
    ];
    for (paper, mm, points) in sizes {
        let drawing = wall_sheet(&shell(), paper).unwrap();
        let svg = drawing.svg(1).unwrap();
        let document = Document::parse(&svg).unwrap();
        let root = document.root_element();
        assert_eq!(root.attribute("width"), Some(&*format!("{}mm", mm[0])));
        assert_eq!(root.attribute("height"), Some(&*format!("{}mm", mm[1])));
        assert_eq!(
            root.attribute("viewBox"),
            Some(&*format!("0 0 {} {}", mm[0], mm[1]))
        );
        let pdf = read(&drawing);
        assert_eq!(pdf.get_pages().len(), drawing.pages());
        for page in pdf.get_pages().values() {
            let media = pdf
                .get_dictionary(*page)
                .unwrap()
                .get(b"MediaBox")
                .unwrap()
                .as_array()
                .unwrap();
            let media: Vec<f64> = media.iter().map(number).collect();
            let should = [0.0, 0.0, points[0], points[1]];
            assert!(
                media
                    .iter()
                    .zip(should)
                    .all(|(is, should)| (is - should).abs() < 1e-3),
                "{media:?}"
            );
        }
    }
}

#[test]
fn every_name_and_the_stamp_can_be_found_in_the_pdf() {
    let mut wall = with_doubts();
    wall.points[7].label = "пол спереди".to_owned();
    wall.points[8].label = "ärmel ő 1".to_owned();
    let pdf = read(&wall_sheet(&wall, Paper::A4).unwrap());
    let pages: Vec<u32> = pdf.get_pages().keys().copied().collect();
    let plain = |text: &str| text.split_whitespace().collect::<String>();
    let text = plain(&pdf.extract_text(&pages).unwrap());
    for point in &wall.points {
        assert!(
            text.contains(&plain(&point.label)),
            "{} is not in\n{text}",
            point.label
        );
    }
    assert_eq!(text.matches(&plain(&wall.stamp)).count(), pages.len());
    assert_eq!(text.matches(&plain("A cage holds a life.")).count(), 1);
    assert!(
        text.contains(&plain("−1010.0")) || text.contains(&plain("−1008.7")),
        "{text}"
    );
}

#[test]
fn everything_is_black_or_white() {
    let drawing = wall_sheet(&with_doubts(), Paper::Letter).unwrap();
    let pdf = read(&drawing);
    let (mut colours, mut spaces) = (0, 0);
    for page in pdf.get_pages().values() {
        let content = Content::decode(&pdf.get_page_content(*page)).unwrap();
        for operation in content.operations {
            match operation.operator.as_str() {
                "g" | "G" | "sc" | "SC" | "scn" | "SCN" => {
                    colours += 1;
                    let all: Vec<f64> = operation.operands.iter().map(number).collect();
                    assert!(all == [0.0] || all == [1.0], "{all:?}");
                }
                "cs" | "CS" => {
                    spaces += 1;
                    assert_eq!(operation.operands, [Object::Name(b"DeviceGray".to_vec())]);
                }
                "rg" | "RG" | "k" | "K" | "sh" | "Do" => {
                    panic!("{} has a colour or a picture", operation.operator)
                }
                _ => {}
            }
        }
    }
    assert!(colours > 0, "{spaces}");
    for page in 1..=drawing.pages() {
        let svg = drawing.svg(page).unwrap();
        for node in Document::parse(&svg).unwrap().descendants() {
            for attribute in ["fill", "stroke"] {
                let colour = node.attribute(attribute).unwrap_or("none");
                assert!(["none", "#000", "#fff"].contains(&colour), "{colour}");
            }
        }
    }
}

#[test]
fn an_svg_needs_nothing_from_outside() {
    let drawing = wall_sheet(&shell(), Paper::A4).unwrap();
    for page in 1..=drawing.pages() {
        let svg = drawing.svg(page).unwrap();
        let document = Document::parse(&svg).unwrap();
        let ids: Vec<&str> = document
            .descendants()
            .filter_map(|node| node.attribute("id"))
            .collect();
        for node in document.descendants() {
            assert!(!node.has_tag_name("text") && !node.has_tag_name("image") && !node.has_tag_name("style"));
            if node.has_tag_name("use") {
                let link = node.attribute(("http://www.w3.org/1999/xlink", "href")).unwrap();
                assert!(ids.contains(&link.strip_prefix('#').unwrap()), "{link}");
            }
        }
    }
    assert_eq!(drawing.svg(0), None);
    assert_eq!(drawing.svg(drawing.pages() + 1), None);
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    let once = wall_sheet(&with_doubts(), Paper::A4).unwrap();
    let again = wall_sheet(&with_doubts(), Paper::A4).unwrap();
    assert_eq!(once, again);
    assert_eq!(once.pdf(), again.pdf());
    assert_eq!(once.svg(2), again.svg(2));
    assert_ne!(once.pdf(), wall_sheet(&shell(), Paper::A4).unwrap().pdf());
}

#[test]
fn hostile_names_stay_text() {
    let mut wall = shell();
    wall.points[0].label = "<script>&\"\u{1}\u{7}\n".to_owned();
    wall.points[1].label = String::new();
    wall.points[2].label = "רצפה L".to_owned();
    let drawing = wall_sheet(&wall, Paper::A4).unwrap();
    let svg = drawing.svg(1).unwrap();
    let document = Document::parse(&svg).unwrap();
    assert!(!document.descendants().any(|node| node.has_tag_name("script")));
    assert!(document.descendants().any(|node| {
        node.attribute("aria-label")
            .is_some_and(|says| says.contains("<script>&"))
    }));
    assert!(drawing.pdf().is_ok());
}
