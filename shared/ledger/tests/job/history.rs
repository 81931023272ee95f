//! The history, and the job as it stood.

use ledger::{Edit, Value};

use crate::crew::{START_MS, Tablet};

#[test]
fn every_change_says_who_what_and_when() {
    let mut ana = Tablet::first();
    let reading = ana.tape("A", "B", "1 m");
    ana.does(Edit::SetAside {
        reading: reading.clone(),
        why: "bent".into(),
    });
    let stamp = ana.stamp();
    ana.job.undo(&stamp).unwrap();
    let changes = ana.job.changes();
    let entries: Vec<_> = changes
        .iter()
        .map(|change| ana.job.entry(change).unwrap())
        .collect();
    let did: Vec<&str> = entries.iter().map(|entry| entry.did.as_str()).collect();
    assert_eq!(did, ["new-job", "log-reading", "set-aside", "undo"]);
    assert!(entries.iter().all(|entry| entry.by == "Ana"));
    assert_eq!(entries[1].at_s, START_MS / 1000 + 1);
    assert_eq!(entries[3].of, Some(changes[2]));
    let state = entries[2]
        .writes
        .iter()
        .find(|write| write.key.field == "state")
        .unwrap();
    assert_eq!(
        (&state.key.entry, &state.before, &state.after),
        (&reading, &None, &Some(Value::from("set aside")))
    );
    let back = entries[3]
        .writes
        .iter()
        .find(|write| write.key.field == "state")
        .unwrap();
    assert_eq!(
        (&back.before, &back.after),
        (&Some(Value::from("set aside")), &None)
    );
}

#[test]
fn the_job_as_it_stood_at_any_moment() {
    let mut ana = Tablet::first();
    let mut stood = vec![ana.job.records().clone()];
    for n in 0..20 {
        ana.tape("A", &format!("P{n}"), "1 m");
        stood.push(ana.job.records().clone());
    }
    for (change, then) in ana.job.changes().iter().zip(&stood) {
        assert_eq!(ana.job.as_it_stood(change).unwrap(), *then);
    }
    for (n, then) in stood.iter().enumerate() {
        let at_s = START_MS / 1000 + i64::try_from(n).unwrap();
        assert_eq!(ana.job.as_it_stood_at(at_s), *then);
    }
    assert_eq!(ana.job.as_it_stood_at(0), ledger::Records::default());
}

#[test]
fn two_copies_tell_one_history() {
    let mut ana = Tablet::first();
    ana.tape("A", "B", "1 m");
    let mut ben = ana.copy("Ben", 2);
    for n in 0..5 {
        ana.tape("A", &format!("P{n}"), "1 m");
        ben.tape("B", &format!("Q{n}"), "1 m");
    }
    // Each learns of the other's in another order.
    ana.meet(&mut ben);
    assert_eq!(ana.job.changes(), ben.job.changes());
    let middle = ana.job.changes()[6];
    assert_eq!(ana.job.as_it_stood(&middle), ben.job.as_it_stood(&middle));
    assert_eq!(ana.job.as_it_stood(&middle).unwrap().readings.len(), 6);
}
