//! That nothing lies on anything else, or beyond the paper.

use super::*;
use crate::drawing::{CAP, Item, Text, width_mm};
use crate::wall::space::{Box2, boxes_meet, grown, lies_in, segment_meets_box};

/// All items of a page, out of their groups.
fn flat(items: &[Item]) -> Vec<&Item> {
    items
        .iter()
        .flat_map(|item| match item {
            Item::Group { items, .. } => flat(items),
            other => vec![other],
        })
        .collect()
}

fn texts(page: &Page) -> Vec<&Text> {
    flat(&page.items)
        .into_iter()
        .filter_map(|item| match item {
            Item::Text(text) => Some(text),
            _ => None,
        })
        .collect()
}

/// From the baseline to the top of capitals, and a little below for what hangs down.
fn box_of(text: &Text) -> Box2 {
    let left = text.left();
    let [_, base] = text.at;
    [
        left,
        base - CAP * text.size,
        left + width_mm(text.face, text.size, &text.says),
        base + 0.1 * text.size,
    ]
}

/// No two texts of a page lie on each other, none leaves the margins, and none lies on a mark.
fn nothing_lies_on_anything(drawing: &Drawing) {
    let [width, height] = drawing.paper.size_mm();
    let margins = [9.0, 9.0, width - 9.0, height - 9.0];
    for (number, page) in drawing.pages.iter().enumerate() {
        let texts: Vec<(&Text, Box2)> = texts(page).into_iter().map(|text| (text, box_of(text))).collect();
        assert!(texts.len() > 10);
        for (place, (text, within)) in texts.iter().enumerate() {
            assert!(
                lies_in(*within, margins),
                "page {}: {:?} leaves the margins",
                number + 1,
                text.says
            );
            for (other, theirs) in &texts[..place] {
                assert!(
                    !boxes_meet(*within, *theirs),
                    "page {}: {:?} lies on {:?}",
                    number + 1,
                    text.says,
                    other.says
                );
            }
        }
        for item in flat(&page.items) {
            if let Item::Disc {
                centre: [x, y],
                radius,
                name: Some(name),
                ..
            } = item
            {
                let disc = [x - radius, y - radius, x + radius, y + radius];
                assert!(lies_in(disc, margins), "{name}");
                for (text, within) in &texts {
                    assert!(
                        !boxes_meet(disc, *within),
                        "page {}: {:?} lies on {name}",
                        number + 1,
                        text.says
                    );
                }
            }
        }
    }
}

#[test]
fn names_lie_neither_on_each_other_nor_on_marks_nor_beyond_the_paper() {
    let mut letters = shell();
    letters.unit = LengthUnit::Inch;
    for wall in [shell(), letters, with_doubts()]
        .into_iter()
        .chain((0..6).map(|seed| random(100, seed)))
    {
        for paper in [Paper::A4, Paper::Letter] {
            nothing_lies_on_anything(&wall_sheet(&wall, paper).unwrap());
        }
    }
}

#[test]
fn a_shell_of_usual_size_has_every_name_in_every_view() {
    for (wall, paper) in [
        (shell(), Paper::A4),
        (shell(), Paper::Letter),
        (with_doubts(), Paper::A4),
    ] {
        let drawing = wall_sheet(&wall, paper).unwrap();
        for (number, page) in drawing.pages.iter().take(3).enumerate() {
            let texts = texts(page);
            let by_number: Vec<&str> = texts
                .iter()
                .map(|text| text.says.as_str())
                .filter(|says| says.contains("of the table") || says.contains("no room"))
                .collect();
            assert_eq!(by_number, [""; 0], "page {} on {paper:?}", number + 1);
        }
        let plan = texts(&drawing.pages[0]);
        for point in wall.points.iter().filter(|point| point.place != Place::Nowhere) {
            assert!(
                plan.iter().any(|text| text.says.starts_with(&point.label)),
                "{}",
                point.label
            );
        }
    }
}

#[test]
fn no_leader_runs_through_a_name_or_a_mark_of_another() {
    let drawing = wall_sheet(&random(100, 3), Paper::A4).unwrap();
    let mut leaders = 0;
    for page in drawing.pages.iter().take(3) {
        let names: Vec<Box2> = texts(page).into_iter().map(box_of).collect();
        for item in flat(&page.items) {
            if let Item::Line { points, pen } = item
                && pen.dashes.is_empty()
                && pen.width == 0.18
            {
                let leader = [points[0], points[1]];
                leaders += 1;
                let crossed = names
                    .iter()
                    .filter(|name| segment_meets_box(leader, grown(**name, -0.05)));
                assert_eq!(crossed.count(), 0, "{leader:?}");
            }
        }
    }
    assert!(leaders > 20, "{leaders}");
}

#[test]
fn too_many_names_become_the_numbers_of_the_table() {
    let wall = random(2400, 1);
    let drawing = wall_sheet(&wall, Paper::A4).unwrap();
    let plan = texts(&drawing.pages[0]);
    let said = plan
        .iter()
        .find(|text| text.says.contains("Numbers are those of the table."))
        .unwrap();
    assert!(said.says.contains("names found no room."), "{}", said.says);
    assert!(!plan.iter().any(|text| text.says.starts_with("point-")));
    let numbers = plan.iter().filter(|text| text.says.parse::<usize>().is_ok());
    assert!(numbers.clone().count() > 100, "{}", numbers.count());
    nothing_lies_on_anything(&Drawing {
        pages: drawing.pages[..5].to_vec(),
        ..drawing.clone()
    });
    // The table has every one, with its heads and the stamp on every page.
    let table: Vec<&Page> = drawing.pages.iter().skip(3).collect();
    let rows: usize = table
        .iter()
        .map(|page| {
            texts(page)
                .iter()
                .filter(|text| text.says.starts_with("point-"))
                .count()
        })
        .sum();
    assert_eq!(rows, 2400);
    for (place, page) in drawing.pages.iter().enumerate() {
        let says = |what: &str| texts(page).iter().any(|text| text.says == what);
        assert!(says(&wall.stamp));
        assert!(says(&format!("Page {} of {}", place + 1, drawing.pages.len())));
        assert!(place < 3 || says("x, mm"));
    }
}

#[test]
fn long_names_go_by_their_numbers_and_stand_whole_in_the_table() {
    let mut wall = shell();
    let long = "the lower rear bolt hole of the outer seat rail on the side of the driver";
    wall.points[2].label = long.to_owned();
    wall.points[3].label = "x".repeat(90);
    wall.points[5].label = "пол впереди справа".to_owned();
    wall.job = "a job whose name is as long as that of the longest point that anybody ever typed".to_owned();
    wall.cells.epoch = "before the second time that it was tacked".to_owned();
    let drawing = wall_sheet(&wall, Paper::A4).unwrap();
    nothing_lies_on_anything(&drawing);
    let plan = texts(&drawing.pages[0]);
    assert!(plan.iter().any(|text| text.says == "3"));
    assert!(
        plan.iter()
            .any(|text| text.says == "Numbers are those of the table.")
    );
    assert!(plan.iter().any(|text| text.says == "пол впереди справа"));
    let texts_of_table: Vec<String> = drawing.pages[3..]
        .iter()
        .flat_map(texts)
        .map(|text| text.says.clone())
        .collect();
    let table = texts_of_table.join(" ");
    assert!(long.split(' ').all(|word| table.contains(word)));
    let rest = texts_of_table
        .iter()
        .filter(|text| text.chars().all(|letter| letter == 'x'));
    assert_eq!(rest.map(String::len).sum::<usize>(), 90);
    assert!(drawing.problems.is_empty());
}

#[test]
fn letters_that_no_font_has_are_told() {
    let mut wall = shell();
    wall.points[0].label = "左の床".to_owned();
    let drawing = wall_sheet(&wall, Paper::Letter).unwrap();
    assert_eq!(drawing.problems.len(), 1);
    assert!(
        drawing.problems[0].contains("の 左 床"),
        "{}",
        drawing.problems[0]
    );
}

#[test]
fn each_doubt_has_its_own_silhouette() {
    let wall = with_doubts();
    let drawing = wall_sheet(&wall, Paper::A4).unwrap();
    let plan = flat(&drawing.pages[0].items);
    let named = |wanted: &str| -> Vec<&Item> {
        let is = |item: &&Item| matches!(item, Item::Disc { name: Some(name), .. } if name == wanted);
        plan.iter().copied().filter(is).collect()
    };
    let rings = named(&wall.points[13].label);
    assert_eq!(rings.len(), 2, "a ring at each place");
    assert!(rings.iter().all(|ring| matches!(
        ring,
        Item::Disc {
            ink: crate::drawing::Ink::White,
            ..
        }
    )));
    let Item::Disc { centre, .. } = named(&wall.points[10].label)[0] else {
        panic!()
    };
    // Along the only way in which it can move, seen from above: 0.6 ahead and 0.8 to the left.
    let tips = plan.iter().filter(|item| match item {
        Item::Line { points, .. } if points.len() == 2 => {
            let [x, y] = [points[1][0] - centre[0], points[1][1] - centre[1]];
            let along = x * -0.8 + y * -0.6;
            (x.hypot(y) - 7.0).abs() < 1e-9 && (along.abs() - 7.0).abs() < 1e-9
        }
        _ => false,
    });
    assert_eq!(tips.count(), 2, "an arrow each way");
    let dashed = plan
        .iter()
        .filter(|item| matches!(item, Item::Line { pen, .. } if pen.dashes == [4.0, 1.6]));
    assert_eq!(dashed.count(), 2, "the reading, and its sign in the key");
    assert!(named(&wall.points[15].label).is_empty());
    let says = |what: &str| texts(&drawing.pages[0]).iter().any(|text| text.says == what);
    assert!(
        says("seat-bolt-rear-L, loose") && says("seat-bolt-front-R, two places") && says("r041, suspect")
    );
}
