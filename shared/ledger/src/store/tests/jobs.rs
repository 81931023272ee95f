use super::*;
use crate::store::{COMPACT_AFTER, JobError};

#[test]
fn what_was_appended_is_there_after_opening_again() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let mut first = Log::make(&mut store, 1);
    let mut second = Log::make(&mut store, 2);
    first.log(&mut store, 20);
    second.log(&mut store, 3);
    first.log(&mut store, 5);
    drop(store);

    let store = open_whole(folder.path());
    first.assert_whole(&store);
    second.assert_whole(&store);
    assert_nothing_wrong(&store);
    let jobs = store.jobs().unwrap();
    assert_eq!(jobs.len(), 2);
    assert_eq!(
        (jobs[0].id, jobs[0].made_ms, jobs[0].added),
        (first.job, Some(1_000), 25)
    );
    assert_eq!(jobs[0].heads, heads(&mut first.document));
}

#[test]
fn a_job_is_made_once() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let mut log = Log::make(&mut store, 1);
    log.log(&mut store, 1);
    let again = store.create(log.job, 5, b"other", &Heads::default());
    assert!(matches!(again, Err(JobError::AlreadyThere { job }) if job == log.job));
    log.assert_whole(&store);
    assert_nothing_wrong(&store);
}

#[test]
fn a_job_that_is_not_there_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let job = JobId(Uuid::from_u128(7));
    let heads = Heads::default();
    assert!(matches!(
        store.append(job, b"x", &heads),
        Err(JobError::NoSuchJob { .. })
    ));
    assert!(matches!(store.bytes(job), Err(JobError::NoSuchJob { .. })));
    assert!(matches!(store.compact(job), Err(JobError::NoSuchJob { .. })));
    assert!(matches!(
        store.wants_compaction(job),
        Err(JobError::NoSuchJob { .. })
    ));
    assert!(matches!(
        store.set_solved(job, &heads, "1", "x"),
        Err(JobError::NoSuchJob { .. })
    ));
}

#[test]
fn compacting_changes_nothing_that_can_be_read() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let mut log = Log::make(&mut store, 1);
    let mut other = Log::make(&mut store, 2);
    for round in 0..4 {
        log.log(&mut store, 30);
        other.log(&mut store, 1);
        let before = store.bytes(log.job).unwrap().len();
        store.compact(log.job).unwrap();
        assert!(store.bytes(log.job).unwrap().len() < before, "round {round}");
        log.assert_whole(&store);
        other.assert_whole(&store);
        assert_nothing_wrong(&store);
        let copy = std::fs::read(store.copy_path(log.job)).unwrap();
        assert_eq!(JUDGE.whole(&copy).unwrap().0, heads(&mut log.document));
    }
    log.log(&mut store, 3);
    drop(store);
    let store = open_whole(folder.path());
    log.assert_whole(&store);
    // This generation with its three entries and the one before with its thirty, nothing older.
    let chunks: i64 = store
        .connection
        .query_row(
            "SELECT count(*) FROM chunk WHERE job = ?1",
            [log.job.0.as_bytes()],
            |row| row.get(0),
        )
        .unwrap();
    assert_eq!(chunks, 1 + 3 + 1 + 30);
}

#[test]
fn a_document_that_reads_with_other_heads_is_not_compacted() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let mut log = Log::make(&mut store, 1);
    let (chunk, _) = log.next();
    store.append(log.job, &chunk, &Heads(vec![[7; 32]])).unwrap();
    assert!(matches!(
        store.compact(log.job),
        Err(JobError::HeadsDiffer { .. })
    ));
    log.assert_whole(&store);
}

#[test]
fn a_document_that_cannot_be_read_is_not_compacted() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let log = Log::make(&mut store, 1);
    store.append(log.job, b"nonsense", &Heads::default()).unwrap();
    let before = store.bytes(log.job).unwrap();
    assert!(matches!(store.compact(log.job), Err(JobError::Unreadable { .. })));
    assert_eq!(store.bytes(log.job).unwrap(), before);
    assert!(!store.copy_path(log.job).exists());
}

#[test]
fn compaction_is_wanted_after_so_many_chunks() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let mut log = Log::make(&mut store, 1);
    log.log(&mut store, COMPACT_AFTER - 1);
    assert!(!store.wants_compaction(log.job).unwrap());
    log.log(&mut store, 1);
    assert!(store.wants_compaction(log.job).unwrap());
    store.compact(log.job).unwrap();
    assert!(!store.wants_compaction(log.job).unwrap());
    log.assert_whole(&store);
}

#[test]
fn settings_and_solves_are_kept() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let mut log = Log::make(&mut store, 1);
    store.set_setting("crew", "Ash and Bo").unwrap();
    store.set_setting("crew", "Bo and Ash").unwrap();
    let heads_then = heads(&mut log.document);
    store
        .set_solved(log.job, &heads_then, "solver 1", "fits")
        .unwrap();
    drop(store);

    let mut store = open_whole(folder.path());
    assert_eq!(store.setting("crew").unwrap().as_deref(), Some("Bo and Ash"));
    assert_eq!(store.setting("unit").unwrap(), None);
    assert_eq!(
        store.solved(log.job, &heads_then, "solver 1").unwrap().as_deref(),
        Some("fits")
    );
    assert_eq!(store.solved(log.job, &heads_then, "solver 2").unwrap(), None);
    log.log(&mut store, 1);
    assert_eq!(
        store
            .solved(log.job, &heads(&mut log.document), "solver 1")
            .unwrap(),
        None
    );
    store.drop_solved().unwrap();
    assert_eq!(store.solved(log.job, &heads_then, "solver 1").unwrap(), None);
    assert_nothing_wrong(&store);
}

#[test]
fn the_pragmas_are_as_they_must_be() {
    let folder = tempfile::tempdir().unwrap();
    let store = open_whole(folder.path());
    let read = |name: &str| -> String {
        let value: rusqlite::types::Value = store
            .connection
            .pragma_query_value(None, name, |row| row.get(0))
            .unwrap();
        format!("{value:?}")
    };
    assert_eq!(read("journal_mode"), "Text(\"wal\")");
    for (name, wanted) in [
        ("synchronous", 2),
        ("foreign_keys", 1),
        ("trusted_schema", 0),
        ("cell_size_check", 1),
        ("fullfsync", 1),
        ("checkpoint_fullfsync", 1),
        ("busy_timeout", 5000),
    ] {
        assert_eq!(read(name), format!("Integer({wanted})"), "{name}");
    }
}
