use std::collections::{BTreeMap, BTreeSet};

use super::*;
use crate::jobs::{Act, Desk, Device, NewPoint};
use survey::{Kind, LengthUnit};

fn of_doors(doors: u8) -> Vec<StartingPoint> {
    let all = StartingList::new().points;
    all.into_iter()
        .filter(|point| point.doors.contains(&doors))
        .collect()
}

fn added(points: &[StartingPoint]) -> Act {
    let mm = |mm: f64| format!("{mm} mm");
    let points = points.iter().map(|point| NewPoint {
        label: point.label.clone(),
        side: point.side.to_owned(),
        mirror: point.mirror.clone().unwrap_or_default(),
        x: mm(point.x_mm),
        y: mm(point.y_mm),
        z: mm(point.z_mm),
        note: String::new(),
    });
    Act::AddPoints {
        points: points.collect(),
    }
}

#[test]
fn partners_are_mutual_and_mirrored_in_every_shell() {
    for doors in [2, 4] {
        let points = of_doors(doors);
        assert!((40..=56).contains(&points.len()), "{}", points.len());
        let by_label: BTreeMap<&str, &StartingPoint> =
            points.iter().map(|point| (point.label.as_str(), point)).collect();
        assert_eq!(by_label.len(), points.len(), "a label stands twice");
        for point in &points {
            match &point.mirror {
                Some(partner) => {
                    let partner = by_label[partner.as_str()];
                    assert_eq!(partner.mirror.as_deref(), Some(point.label.as_str()));
                    assert_eq!(
                        [partner.x_mm, partner.y_mm, partner.z_mm],
                        [point.x_mm, -point.y_mm, point.z_mm]
                    );
                    assert_eq!(point.side, if point.y_mm > 0.0 { "left" } else { "right" });
                }
                None => assert_eq!((point.side, point.y_mm), ("centre", 0.0)),
            }
            assert!(!point.hint.is_empty());
        }
    }
}

#[test]
fn the_groups_are_those_of_the_points_with_the_floor_first() {
    let list = StartingList::new();
    let groups: BTreeSet<&str> = list.groups.iter().map(|group| group.key).collect();
    let named: BTreeSet<&str> = list.points.iter().map(|point| point.group).collect();
    assert_eq!(groups, named);
    assert_eq!(list.groups[0].key, "floor");
    assert_eq!(list.points[0].group, "floor");
}

/// At least four tapes to a point, from different heights: common practice, no source.
#[test]
fn the_untouched_list_has_an_order_that_tapes_every_point_four_times_from_different_heights() {
    for doors in [2, 4] {
        let folder = tempfile::tempdir().unwrap();
        let mut desk = Desk::open(folder.path(), Box::new(Device)).unwrap();
        desk.new_job("shell", Some(LengthUnit::Millimetre), None).unwrap();
        let points = of_doors(doors);
        let acted = desk.act(None, &added(&points), None).unwrap();
        assert_eq!(
            acted.words,
            format!(
                "added {} points: sill rear L, sill rear R, sill mid L and {} more",
                points.len(),
                points.len() - 3
            )
        );
        let answer = desk.order(None).unwrap();
        let order = &answer.order;
        assert_eq!((order.left_out.len(), order.open.len()), (0, 0), "{doors} doors");
        assert_eq!(answer.survey.points.len(), points.len());
        for (at, point) in answer.survey.points.iter().enumerate() {
            assert_eq!(point.label.as_str(), points[at].label, "in the order of the list");
            let others = order
                .steps
                .iter()
                .filter(|step| step.kind == Kind::Tape)
                .filter_map(|step| {
                    [(step.a, step.b), (step.b, step.a)]
                        .into_iter()
                        .find(|(own, _)| *own == at)
                });
            let heights: Vec<f64> = others
                .map(|(_, other)| answer.survey.points[other].rough_mm[2].unwrap())
                .collect();
            let spread = heights.iter().fold(f64::MIN, |a, b| a.max(*b))
                - heights.iter().fold(f64::MAX, |a, b| a.min(*b));
            assert!(heights.len() >= 4, "{}: {} tapes", point.label, heights.len());
            assert!(
                spread >= 100.0,
                "{}: from one height, {spread:.0} mm",
                point.label
            );
        }
    }
}
