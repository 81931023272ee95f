//! What of a shell is crooked and taken as it is.

use ledger::{CrookedRecord, Edit, EntryId, Room};

use crate::crew::{Tablet, one_of};

#[test]
fn what_is_taken_as_it_is_stands_in_the_job_until_it_is_undone() {
    let mut ana = Tablet::first();
    ana.tape("a", "b", "1 m");
    let points: Vec<EntryId> = ana.job.records().points.keys().cloned().collect();
    let crooked = CrookedRecord {
        racked: true,
        twisted: false,
        pairs: vec![[points[0].clone(), points[1].clone()]],
        why: "an old hit".into(),
    };
    let applied = ana.does(Edit::TakeCrooked(crooked.clone()));
    one_of(&applied, Room::Job);
    assert_eq!(ana.job.records().job.crooked.as_ref(), Some(&crooked));
    let ben = ana.copy("Ben", 2);
    assert_eq!(ben.job.records().job.crooked, Some(crooked));
    let stamp = ana.stamp();
    ana.job.undo(&stamp).unwrap();
    assert_eq!(ana.job.records().job.crooked, None);
}
