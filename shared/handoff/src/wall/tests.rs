//! What stands on the sheet: where, how large, and that nothing lies on anything else.

mod invented;
mod layout;
mod written;

use roxmltree::{Document, Node};

use super::view::Kind;
use super::*;
use invented::{random, shell, with_doubts};

/// Page x to the right and page y down of each view, as they are looked at, written apart from the code: a car seen
/// from above has its left at the left; from its left side its front is at the left; from ahead its left is at the right.
fn seen(view: &str, [x, y, z]: [f64; 3]) -> [f64; 2] {
    match view {
        "From above" => [-y, -x],
        "From the left" => [-x, -z],
        "From the right" => [x, -z],
        "From ahead" => [y, -z],
        "From behind" => [-y, -z],
        other => panic!("no view is called {other}"),
    }
}

/// A mark with what it names.
type Marked = (String, [f64; 2]);

/// The views on a page of SVG: name, denominator of the scale, and marks.
fn views(svg: &str) -> Vec<(String, f64, Vec<Marked>)> {
    let document = Document::parse(svg).unwrap();
    let groups = document
        .descendants()
        .filter(|node| node.attribute("role") == Some("group"));
    groups
        .filter_map(|group| {
            let (name, scale) = group.attribute("aria-label")?.split_once(", 1:")?;
            let marks = group.descendants().filter(|node| node.has_tag_name("circle"));
            let named = |mark: Node| {
                let number = |attribute| mark.attribute(attribute).unwrap().parse::<f64>().unwrap();
                let title = mark.first_element_child()?.text()?.to_owned();
                Some((title, [number("cx"), number("cy")])).filter(|(title, _)| title != "r041")
            };
            Some((
                name.to_owned(),
                scale.parse().unwrap(),
                marks.filter_map(named).collect(),
            ))
        })
        .collect()
}

#[test]
fn marks_are_an_exact_similarity_of_the_places_at_the_stated_scale() {
    for (wall, paper) in [
        (shell(), Paper::A4),
        (random(100, 7), Paper::Letter),
        (with_doubts(), Paper::A4),
    ] {
        let drawing = wall_sheet(&wall, paper).unwrap();
        let mut seen_views = Vec::new();
        for page in 1..=drawing.pages() {
            for (view, scale, marks) in views(&drawing.svg(page).unwrap()) {
                assert!(!marks.is_empty(), "{view}");
                let place = |label: &str, nth: usize| {
                    let point = wall.points.iter().find(|point| point.label == label).unwrap();
                    seen(&view, point.place.each()[nth])
                };
                let mut before: Vec<&str> = Vec::new();
                let first = (place(&marks[0].0, 0), marks[0].1);
                for (label, at) in &marks {
                    let nth = before.iter().filter(|known| *known == label).count();
                    before.push(label);
                    let should = place(label, nth);
                    for axis in [0, 1] {
                        let on_paper = at[axis] - first.1[axis];
                        let true_mm = (should[axis] - first.0[axis]) / scale;
                        assert!(
                            (on_paper - true_mm).abs() < 0.01,
                            "{view}, {label}: {on_paper} for {true_mm}"
                        );
                    }
                }
                seen_views.push(view);
            }
        }
        assert_eq!(
            seen_views,
            [
                "From above",
                "From the left",
                "From the right",
                "From ahead",
                "From behind"
            ]
        );
    }
}

#[test]
fn every_point_is_in_the_plan_and_on_its_own_side() {
    let wall = shell();
    let drawing = wall_sheet(&wall, Paper::A4).unwrap();
    let all: Vec<_> = (1..=drawing.pages())
        .flat_map(|page| views(&drawing.svg(page).unwrap()))
        .collect();
    let of = |view: &str| -> Vec<String> {
        let (_, _, marks) = all.iter().find(|(name, ..)| name == view).unwrap();
        marks.iter().map(|(label, _)| label.clone()).collect()
    };
    assert_eq!(of("From above").len(), wall.points.len());
    for label in of("From the left") {
        assert!(!label.ends_with("-R"), "{label}");
    }
    for label in of("From the right") {
        assert!(!label.ends_with("-L"), "{label}");
    }
    let ends = of("From ahead").len() + of("From behind").len();
    assert_eq!(ends, wall.points.len(), "each point is seen from one end");
}

#[test]
fn the_scale_is_the_largest_round_one_that_fits() {
    let largest = |unit, length: f64| {
        let mut wall = Wall {
            unit,
            ..Wall::default()
        };
        wall.points = vec![
            invented::fixed("a", [0.0; 3]),
            invented::fixed("b", [length, 0.0, 0.0]),
        ];
        let views = view::pages(&wall).remove(0);
        view::scale(unit, &views, &wall, [100.0, 200.0])
    };
    // ISO 5455 has 1:2, 1:5, 1:10, 1:20, 1:50; 1:25 is on rules too. Inches: 1:12 is an inch to the foot.
    assert_eq!(largest(LengthUnit::Millimetre, 199.0), 1.0);
    assert_eq!(largest(LengthUnit::Millimetre, 2000.0), 10.0);
    assert_eq!(largest(LengthUnit::Millimetre, 2001.0), 20.0);
    assert_eq!(largest(LengthUnit::Millimetre, 4500.0), 25.0);
    assert_eq!(largest(LengthUnit::Inch, 2400.0), 12.0);
    assert_eq!(largest(LengthUnit::Inch, 2401.0), 16.0);
    assert_eq!(largest(LengthUnit::Inch, 1e6), 10_000.0);
}

#[test]
fn the_outline_of_an_ellipsoid_is_as_wide_as_the_ellipsoid_in_every_direction() {
    let axes = [[9.0, 2.0, 1.0], [-1.0, 3.0, 3.0], [0.3, -1.0, 1.5]];
    for kind in [Kind::Plan, Kind::LeftSide, Kind::Rear] {
        let ([long, short], angle) = kind.outline(&axes);
        for step in 0..12 {
            let (sin, cos) = (f64::from(step) * 0.3).sin_cos();
            // Half the width along a direction is the root of the sum of squares of the axes along it.
            let solid = axes.iter().map(|axis| {
                let [x, y] = kind.flat(*axis);
                (x * cos + y * sin).powi(2)
            });
            let turned = f64::from(step) * 0.3 - angle;
            let flat = (long * turned.cos()).hypot(short * turned.sin());
            assert!((solid.sum::<f64>().sqrt() - flat).abs() < 1e-9, "{kind:?} {step}");
        }
    }
}

#[test]
fn without_a_place_there_is_nothing_to_draw() {
    assert_eq!(
        wall_sheet(&Wall::default(), Paper::A4),
        Err(WallError::NothingToDraw)
    );
    let mut wall = shell();
    wall.points
        .iter_mut()
        .for_each(|point| point.place = Place::Nowhere);
    let refused = wall_sheet(&wall, Paper::A4).unwrap_err();
    assert!(
        refused.to_string().starts_with("nothing to draw yet: "),
        "{refused}"
    );
    wall.points[0].place = Place::Fixed {
        at: [f64::NAN, 0.0, 0.0],
        axes_95_mm: None,
    };
    assert_eq!(wall_sheet(&wall, Paper::A4), Err(WallError::NoPlaceOnPaper));
}
