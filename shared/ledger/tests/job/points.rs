//! Points that are added together.

use ledger::{Edit, EditError, Job, PointText, Stage};

use crate::crew::Tablet;

fn pair() -> Edit {
    let text = |side: &str, mirror: &str| PointText {
        side: Some(side.into()),
        mirror: Some(mirror.into()),
        ..PointText::default()
    };
    Edit::AddPoints(vec![
        ("b".to_owned(), text("left", "a")),
        ("a".to_owned(), text("right", "b")),
    ])
}

fn labels(job: &Job) -> Vec<String> {
    let marks = job.records().marks().into_iter();
    marks.map(|(_, point)| point.label.to_string()).collect()
}

#[test]
fn points_are_added_in_one_change_in_their_order_with_partners_that_come_later() {
    let mut ana = Tablet::first();
    let before = ana.job.changes().len();
    ana.does(pair());
    assert_eq!(ana.job.changes().len(), before + 1);
    assert_eq!(labels(&ana.job), ["b", "a"]);
    let survey = ana.job.records().survey(&Stage::All).survey;
    assert_eq!(
        (survey.points[0].mirror, survey.points[1].mirror),
        (Some(1), Some(0))
    );

    let stamp = ana.stamp();
    ana.job.undo(&stamp).unwrap();
    assert_eq!(labels(&ana.job), [""; 0]);
}

#[test]
fn points_that_two_tablets_add_are_the_same_points() {
    let mut ana = Tablet::first();
    let mut ben = ana.copy("Ben", 2);
    ana.does(pair());
    ben.does(pair());
    ana.job.merge(&ben.job.save()).unwrap();
    assert_eq!(labels(&ana.job), ["b", "a"]);
}

#[test]
fn a_label_that_stands_twice_is_refused_and_nothing_is_added() {
    let mut ana = Tablet::first();
    let twice = ["a", " a "].map(|label| (label.to_owned(), PointText::default()));
    let refused = ana.tries(Edit::AddPoints(twice.to_vec()));
    assert_eq!(refused, Err(EditError::SamePoint("a".into())));
    assert_eq!(labels(&ana.job), [""; 0]);
}
