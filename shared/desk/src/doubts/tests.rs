use super::*;
use crate::{AdjustRequest, SheetBytes, adjust};

fn solved(readings: &str, points: Option<&str>) -> AdjustAnswer {
    let sheet = |name: &str, text: &str| SheetBytes {
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    };
    let request = AdjustRequest {
        points: points.map(|text| sheet("points.csv", text)),
        ..AdjustRequest::of(sheet("readings.csv", readings))
    };
    adjust(request).unwrap()
}

/// Four corners of a table of 3 by 4 by 5: Pythagoras.
const TABLE: &str = "id,kind,a,b,value\n\
    1,tape,A,B,3000 mm\n2,tape,B,C,4000 mm\n3,tape,C,D,3000 mm\n4,tape,D,A,4000 mm\n\
    5,tape,A,C,5000 mm\n6,tape,B,D,5000 mm\n";

#[test]
fn a_shape_of_tapes_alone_may_be_its_mirror_image_and_somebody_says_what_is_above() {
    let raised = format!(
        "{TABLE}7,tape,E,A,2000 mm\n8,tape,E,B,3605.55 mm\n9,tape,E,C,5385.16 mm\n10,tape,E,D,4472.14 mm\n"
    );
    let doubts = of_the_whole(&solved(&raised, None));
    let kinds: Vec<DoubtKind> = doubts.iter().map(|doubt| doubt.kind).collect();
    assert_eq!(kinds, [DoubtKind::MirrorImage]);
    assert_eq!(doubts[0].settle, Settle::SayAbove);
}

#[test]
fn a_group_that_nothing_joins_is_one_doubt_with_a_line_across() {
    let apart = format!("{TABLE}7,tape,P,Q,1000 mm\n8,tape,Q,R,1000 mm\n9,tape,R,P,1000 mm\n");
    let answer = solved(&apart, None);
    let islands: Vec<Doubt> = of_the_whole(&answer)
        .into_iter()
        .filter(|doubt| doubt.kind == DoubtKind::Islands)
        .collect();
    assert_eq!(islands.len(), 1);
    assert_eq!(islands[0].points, ["P", "Q", "R"]);
    let Settle::ReadNext { a, b, .. } = &islands[0].settle else {
        panic!("{:?}", islands[0].settle)
    };
    let of_the_island = [a, b]
        .iter()
        .filter(|end| ["P", "Q", "R"].contains(&end.as_str()))
        .count();
    assert_eq!(of_the_island, 1, "{a} to {b}");
    let loose = off_or_open(&answer);
    let told_twice = loose
        .iter()
        .flat_map(|doubt| &doubt.points)
        .any(|point| islands[0].points.contains(point));
    assert!(!told_twice, "{loose:?}");
}

#[test]
fn what_holds_a_point_is_a_line_that_was_not_taped_and_can_be() {
    let readings = format!("{TABLE}7,tape,E,A,2000 mm\n8,tape,E,B,3605.55 mm\n9,blocked,E,C,\n");
    let answer = solved(
        &readings,
        Some(
            "label,x,y,z\nA,0 mm,0 mm,0 mm\nB,3 m,0 mm,0 mm\nC,3 m,4 m,0 mm\nD,0 mm,4 m,0 mm\nE,0 mm,0 mm,2 m\n",
        ),
    );
    let doubts = off_or_open(&answer);
    let loose = doubts
        .iter()
        .find(|doubt| doubt.kind == DoubtKind::Loose)
        .unwrap();
    assert_eq!(
        (loose.points.as_slice(), loose.tapes, loose.others),
        (&["E".to_owned()][..], 2, 0)
    );
    assert_eq!(loose.directions.len(), 1);
    let Settle::ReadNext { kind, a, b } = &loose.settle else {
        panic!("{:?}", loose.settle)
    };
    assert!([a, b].contains(&&"E".to_owned()), "{a} to {b}");
    assert!(*kind != "tape" || [a, b].contains(&&"D".to_owned()), "{a} to {b}");
}

#[test]
fn points_that_nobody_has_read_are_one_doubt_after_those_that_are_begun() {
    let points = "label,x,y,z\nA,0 mm,0 mm,0 mm\nB,3 m,0 mm,0 mm\nC,3 m,4 m,0 mm\nD,0 mm,4 m,0 mm\n\
        P,0 mm,0 mm,1 m\nQ,3 m,0 mm,1 m\nE,0 mm,0 mm,2 m\nF,3 m,4 m,2 m\n";
    let readings = format!("{TABLE}7,tape,E,A,2000 mm\n8,tape,E,B,3605.55 mm\n");
    let set_aside = format!("{readings}9,tape,F,C,2000 mm\n").replace("value\n", "value,state\n");
    let set_aside = set_aside
        .replace(" mm\n", " mm,\n")
        .replace("F,C,2000 mm,", "F,C,2000 mm,set aside");
    let answer = solved(&set_aside, Some(points));
    let doubts = off_or_open(&answer);
    let told: Vec<(DoubtKind, Vec<&str>)> = doubts
        .iter()
        .map(|doubt| (doubt.kind, doubt.points.iter().map(String::as_str).collect()))
        .filter(|(_, points): &(_, Vec<_>)| !points.is_empty())
        .collect();
    assert_eq!(
        told,
        [
            (DoubtKind::Loose, vec!["E"]),
            (DoubtKind::Loose, vec!["F"]),
            (DoubtKind::NotRead, vec!["P", "Q"]),
        ],
        "what was set aside was read"
    );
    let Settle::ReadNext { kind: "tape", a, b } = &doubts.last().unwrap().settle else {
        panic!("{:?}", doubts.last())
    };
    assert!(
        [a, b].iter().any(|end| ["P", "Q"].contains(&end.as_str())),
        "{a} to {b}"
    );

    let told = crate::told::Told::of(&answer);
    let can_move = told
        .sections
        .iter()
        .find(|section| section.title == "Points that can move")
        .unwrap();
    let heads: Vec<&str> = can_move.items.iter().map(|item| item.head.as_str()).collect();
    assert_eq!(heads.len(), 3);
    assert_eq!(heads[2], "2 points are not read yet.");
    assert_eq!(can_move.items[2].said[0], "P, Q");
    let open =
        doubts.iter().chain(&of_the_whole(&answer)).count() + to_look_at(&answer, &Crooked::default()).len();
    assert!(
        told.headline.verdict.contains(&format!("{open} doubts open")),
        "{} in words, {open} in figures",
        told.headline.verdict
    );
}

#[test]
fn the_names_of_doubts_are_a_promise() {
    let answer = crate::hand_made::answer();
    let doubts = [
        of_the_whole(&answer),
        off_or_open(&answer),
        to_look_at(&answer, &Crooked::default()),
    ]
    .concat();
    let told = crate::wire::Doubts {
        doubts,
        checked: checked(&answer),
        worst: worst(&answer),
        next: next(&answer),
        blind: blind(&answer),
        unsolved: None,
    };
    let written = serde_json::to_string_pretty(&told).unwrap() + "\n";
    let golden = include_str!("golden.json");
    assert_eq!(written, golden, "a change here is a change of the format");
}

#[test]
fn what_is_crooked_is_no_doubt_only_where_all_of_it_was_taken_as_it_is() {
    let answer = crate::hand_made::answer();
    let crooked = Crooked::of(&answer);
    let told = |taken: &Crooked| {
        to_look_at(&answer, taken)
            .iter()
            .any(|doubt| doubt.kind == DoubtKind::NotStraight)
    };
    assert!(crooked.racked && crooked.pairs.len() == 1);
    assert!(!told(&crooked));
    let [left, right] = crooked.pairs[0].clone();
    let turned = Crooked {
        twisted: true,
        pairs: vec![[right, left], ["a".to_owned(), "b".to_owned()]],
        ..crooked.clone()
    };
    assert!(!told(&turned), "more may be taken, and either way round");
    for less in [
        Crooked {
            racked: false,
            ..crooked.clone()
        },
        Crooked {
            pairs: Vec::new(),
            ..crooked.clone()
        },
        Crooked::default(),
    ] {
        assert!(told(&less), "{less:?}");
    }
}
