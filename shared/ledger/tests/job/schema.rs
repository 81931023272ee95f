//! The schema: what may stand in a document, and what is refused.

use automerge::transaction::Transactable;
use automerge::{AutoCommit, ROOT};
use ledger::{Job, LoadError};
use uuid::Uuid;

use crate::crew::Tablet;

#[test]
fn a_document_from_a_newer_trammel_is_refused_by_name() {
    let mut ana = Tablet::first();
    ana.tape("A", "B", "1 m");
    let mut newer = AutoCommit::load(&ana.job.save()).unwrap();
    newer.put(ROOT, "job/-/format", 2).unwrap();
    let error = Job::open(&newer.save(), Uuid::from_u128(5)).unwrap_err();
    assert!(matches!(error, LoadError::Newer { found: 2 }), "{error:?}");
    assert!(error.to_string().contains("update Trammel"), "{error}");
    let heads = ana.job.heads();
    assert!(ana.job.merge(&newer.save()).is_err());
    assert_eq!(ana.job.heads(), heads);
}

#[test]
fn what_is_no_job_or_another_job_is_refused() {
    let mut other = AutoCommit::new();
    other.put(ROOT, "title", "a shopping list").unwrap();
    let error = Job::open(&other.save(), Uuid::from_u128(5)).unwrap_err();
    assert!(matches!(error, LoadError::NotAJob), "{error:?}");

    let mut ana = Tablet::first();
    let stamp = ana.stamp();
    let stranger = Job::new(
        ledger::JobId(Uuid::from_u128(99)),
        "Other shell",
        Uuid::from_u128(6),
        &stamp,
    );
    let heads = ana.job.heads();
    match ana.job.merge(&stranger.save()) {
        Err(LoadError::OtherJob { .. }) => {}
        other => panic!("{other:?}"),
    }
    assert_eq!(ana.job.heads(), heads);
}

#[test]
fn rooms_and_registers_of_a_later_trammel_survive() {
    let mut ana = Tablet::first();
    let reading = ana.tape("A", "B", "1 m");
    let mut later = AutoCommit::load(&ana.job.save()).unwrap();
    later.put(ROOT, "mockups/1/name", "bump stop").unwrap();
    later
        .put(ROOT, format!("readings/{reading}/mood"), "fine")
        .unwrap();
    let mut job = Job::open(&later.save(), Uuid::from_u128(5)).unwrap();
    assert_eq!(job.records().readings.len(), 1);
    let stamp = ana.stamp();
    job.apply(
        &ledger::Edit::SetAside {
            reading: reading.clone(),
            why: String::new(),
        },
        &stamp,
    )
    .unwrap();
    let again = AutoCommit::load(&job.save()).unwrap();
    use automerge::ReadDoc;
    assert!(again.get(ROOT, "mockups/1/name").unwrap().is_some());
    assert!(
        again
            .get(ROOT, format!("readings/{reading}/mood"))
            .unwrap()
            .is_some()
    );
}
