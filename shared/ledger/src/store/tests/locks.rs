use super::*;
use crate::store::{DiskError, JobError, StoreError};

#[test]
fn a_second_writer_is_refused_with_words() {
    let folder = tempfile::tempdir().unwrap();
    let store = open_whole(folder.path());
    let second = Store::open(folder.path(), &JUDGE, Access::Write).unwrap_err();
    assert!(matches!(second, StoreError::InUse { .. }));
    assert_eq!(
        second.to_string(),
        format!(
            "another window or program works in `{}`: close it there, or open it here for reading only",
            folder.path().display()
        )
    );
    drop(store);
    open_whole(folder.path());
}

#[test]
fn a_reader_beside_a_writer_sees_what_is_written_and_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut writer = open_whole(folder.path());
    let mut log = Log::make(&mut writer, 1);
    let mut reader = Store::open(folder.path(), &JUDGE, Access::ReadOnly)
        .unwrap()
        .store;
    log.log(&mut writer, 5);
    log.assert_whole(&reader);
    assert_nothing_wrong(&reader);
    writer.compact(log.job).unwrap();
    log.assert_whole(&reader);

    let (chunk, heads) = log.next();
    let refused = reader.append(log.job, &chunk, &heads);
    assert!(matches!(refused, Err(JobError::Disk(DiskError::ReadOnly))));
    assert!(matches!(
        reader.compact(log.job),
        Err(JobError::Disk(DiskError::ReadOnly))
    ));
    assert!(matches!(reader.set_setting("a", "b"), Err(DiskError::ReadOnly)));
    let refused = reader.create(JobId(Uuid::from_u128(2)), 0, &chunk, &heads);
    assert!(matches!(refused, Err(JobError::Disk(DiskError::ReadOnly))));
    writer.append(log.job, &chunk, &heads).unwrap();
    log.assert_whole(&reader);
}

#[test]
fn reading_makes_no_store() {
    let folder = tempfile::tempdir().unwrap();
    let missing = Store::open(folder.path(), &JUDGE, Access::ReadOnly);
    assert!(matches!(missing, Err(StoreError::Missing { .. })));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn a_reader_alone_leaves_the_store_to_be_read() {
    let folder = tempfile::tempdir().unwrap();
    let mut writer = open_whole(folder.path());
    let mut log = Log::make(&mut writer, 1);
    log.log(&mut writer, 5);
    drop(writer);
    let reader = Store::open(folder.path(), &JUDGE, Access::ReadOnly)
        .unwrap()
        .store;
    log.assert_whole(&reader);
    drop(reader);
    log.assert_whole(&open_whole(folder.path()));
}

#[test]
fn a_folder_that_cannot_be_made_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    std::fs::write(&file, b"x").unwrap();
    let refused = Store::open(&file.join("store"), &JUDGE, Access::Write);
    assert!(matches!(refused, Err(StoreError::Disk(DiskError::File { .. }))));
}

#[test]
fn a_store_can_be_handed_to_another_thread() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let mut log = Log::make(&mut store, 1);
    let (chunk, heads) = log.next();
    let job = log.job;
    let store = std::thread::spawn(move || {
        store.append(job, &chunk, &heads).unwrap();
        store
    });
    log.assert_whole(&store.join().unwrap());
}
