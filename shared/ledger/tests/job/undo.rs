//! Undo and redo of one's own edits, alone and between other people's.

use ledger::{Edit, EditError, PointText};
use survey::State;

use crate::crew::{Tablet, name_job};

fn undo(tablet: &mut Tablet) -> Result<ledger::Undone, EditError> {
    let stamp = tablet.stamp();
    tablet.job.undo(&stamp)
}

fn redo(tablet: &mut Tablet) -> Result<ledger::Undone, EditError> {
    let stamp = tablet.stamp();
    tablet.job.redo(&stamp)
}

#[test]
fn all_the_way_back_and_all_the_way_forward() {
    let mut ana = Tablet::first();
    let mut states = vec![ana.job.records().clone()];
    let reading = ana.tape("A", "B", "1 m");
    states.push(ana.job.records().clone());
    let a = ana.point("A");
    for edit in [
        Edit::SetAside {
            reading: reading.clone(),
            why: "bent".into(),
        },
        Edit::RenamePoint {
            point: a,
            label: "sill".into(),
        },
        Edit::BlockLine {
            a: "sill".into(),
            b: "C".into(),
            why: String::new(),
        },
        name_job("Another"),
    ] {
        ana.does(edit);
        states.push(ana.job.records().clone());
    }
    for state in states.iter().rev().skip(1) {
        undo(&mut ana).unwrap();
        assert_eq!(ana.job.records().marks().len(), state.marks().len());
        assert_eq!(
            ana.job.records().sheets(&ledger::Stage::All),
            state.sheets(&ledger::Stage::All)
        );
        assert_eq!(ana.job.records().job, state.job);
    }
    assert!(matches!(undo(&mut ana), Err(EditError::NothingToUndo)));
    for state in states.iter().skip(1) {
        redo(&mut ana).unwrap();
        assert_eq!(
            ana.job.records().sheets(&ledger::Stage::All),
            state.sheets(&ledger::Stage::All)
        );
    }
    assert!(matches!(redo(&mut ana), Err(EditError::NothingToRedo)));
    // And once more, across what was done again.
    undo(&mut ana).unwrap();
    undo(&mut ana).unwrap();
    assert_eq!(
        ana.job.records().sheets(&ledger::Stage::All),
        states[3].sheets(&ledger::Stage::All)
    );
    // Who edits after an undo has nothing to do again.
    ana.tape("B", "C", "2 m");
    assert!(matches!(redo(&mut ana), Err(EditError::NothingToRedo)));
}

#[test]
fn ones_own_edit_after_another_persons() {
    let mut ana = Tablet::first();
    let reading = ana.tape("A", "B", "1 m");
    let mut ben = ana.copy("Ben", 2);
    ana.does(Edit::SetAside {
        reading: reading.clone(),
        why: "bent".into(),
    });
    ben.tape("A", "C", "2 m");
    ben.tape("B", "C", "2.5 m");
    ana.meet(&mut ben);
    // Ana's newest is the setting aside, though Ben's readings came in later.
    undo(&mut ana).unwrap();
    assert_eq!(ana.job.records().readings[&reading].state, State::Used);
    assert_eq!(ana.job.records().readings.len(), 3);
    redo(&mut ana).unwrap();
    assert_eq!(ana.job.records().readings[&reading].state, State::SetAside);
    // Ben undoes his own, not hers.
    ana.meet(&mut ben);
    undo(&mut ben).unwrap();
    assert_eq!(ben.job.records().readings.len(), 2);
    assert_eq!(ben.job.records().readings[&reading].state, State::SetAside);
}

#[test]
fn what_others_changed_since_is_left() {
    let mut ana = Tablet::first();
    ana.tape("A", "B", "1 m");
    let said = |side: &str, note: &str| Edit::DescribePoint {
        label: "A".into(),
        text: PointText {
            side: Some(side.into()),
            note: Some(note.into()),
            ..PointText::default()
        },
    };
    ana.does(said("left", "rusty"));
    let mut ben = ana.copy("Ben", 2);
    ben.does(Edit::DescribePoint {
        label: "A".into(),
        text: PointText {
            side: Some("right".into()),
            ..PointText::default()
        },
    });
    ana.meet(&mut ben);
    let undone = undo(&mut ana).unwrap();
    assert_eq!(undone.left.len(), 1);
    assert_eq!(
        (undone.left[0].key.field.as_str(), undone.left[0].by.as_str()),
        ("side", "Ben")
    );
    let point = &ana.job.records().points[&ana.point("A")];
    assert_eq!((point.side.as_str(), point.note.as_str()), ("right", ""));

    // All of it changed since: refused, with the name.
    ana.does(said("left", "very rusty"));
    ana.meet(&mut ben);
    ben.does(said("centre", "sanded"));
    ana.meet(&mut ben);
    match undo(&mut ana) {
        Err(EditError::ChangedSince { by }) => assert_eq!(by, ["Ben"]),
        other => panic!("{other:?}"),
    }
}

#[test]
fn an_undone_reading_that_somebody_worked_on_comes_back_whole() {
    let mut ana = Tablet::first();
    let reading = ana.tape("A", "B", "1 m");
    let mut ben = ana.copy("Ben", 2);
    undo(&mut ana).unwrap();
    ben.does(Edit::SetAside {
        reading: reading.clone(),
        why: "slack".into(),
    });
    ben.tape("A", "C", "1 m");
    ana.meet(&mut ben);
    assert!(!ana.job.records().readings.contains_key(&reading));
    // A is a point all the same: Ben's reading names it. B is not: only the undone reading did.
    let labels: Vec<String> = ana.job.records().labels().into_values().collect();
    assert_eq!(labels.len(), 2, "{labels:?}");
    redo(&mut ana).unwrap();
    let record = &ana.job.records().readings[&reading];
    assert_eq!((record.state, record.why.as_str()), (State::SetAside, "slack"));
    assert_eq!(ana.job.records().marks().len(), 3);
}

#[test]
fn joining_is_undone_like_anything_else() {
    let mut ana = Tablet::first();
    ana.tape("A", "B", "1 m");
    ana.tape("A2", "C", "1 m");
    let (from, into) = (ana.point("A2"), ana.point("A"));
    ana.does(Edit::JoinPoints { point: from, into });
    assert_eq!(ana.job.records().marks().len(), 3);
    undo(&mut ana).unwrap();
    assert_eq!(ana.job.records().marks().len(), 4);
}

#[test]
fn edits_of_one_thing_are_undone_one_after_the_other_and_done_again() {
    let mut ana = Tablet::first();
    let reading = ana.tape("A", "B", "1 m");
    let why = |ana: &Tablet| ana.job.records().readings[&reading].why.clone();
    for said in ["windy", "the hook slipped", "the mark moved"] {
        ana.does(Edit::SetAside {
            reading: reading.clone(),
            why: said.into(),
        });
    }
    for expected in ["the hook slipped", "windy", ""] {
        let undone = undo(&mut ana).unwrap();
        assert!(undone.left.is_empty());
        assert_eq!(why(&ana), expected);
    }
    for expected in ["windy", "the hook slipped", "the mark moved"] {
        let stamp = ana.stamp();
        ana.job.redo(&stamp).unwrap();
        assert_eq!(why(&ana), expected);
    }
    // What somebody else says since stays, and what was said before it can no longer be reached.
    let mut ben = ana.copy("Ben", 2);
    ben.does(Edit::SetAside {
        reading: reading.clone(),
        why: "bent hook".into(),
    });
    ana.meet(&mut ben);
    assert!(matches!(undo(&mut ana), Err(EditError::ChangedSince { .. })));
    assert_eq!(why(&ana), "bent hook");
}
