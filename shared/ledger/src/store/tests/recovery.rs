use rusqlite::Connection;

use super::*;
use crate::store::{DATABASE, JobRecovery, Lost, RecoveryReport, StoreError};

/// Changes the database as no call of the store would.
fn tamper(folder: &Path, sql: &str) {
    let connection = Connection::open(folder.join(DATABASE)).unwrap();
    connection.execute_batch("PRAGMA foreign_keys = OFF").unwrap();
    connection.execute_batch(sql).unwrap();
}

fn recover(folder: &Path) -> (Store, RecoveryReport) {
    let opened = open(folder);
    (
        opened.store,
        opened.report.expect("a damaged store gives a report"),
    )
}

fn recovery_of(report: &RecoveryReport, log: &Log) -> JobRecovery {
    report.jobs.iter().find(|job| job.job == log.job).unwrap().clone()
}

/// Two jobs with ten entries each, closed.
fn two_jobs(folder: &Path) -> (Log, Log) {
    let mut store = open_whole(folder);
    let (mut first, mut second) = (Log::make(&mut store, 1), Log::make(&mut store, 2));
    first.log(&mut store, 10);
    second.log(&mut store, 10);
    (first, second)
}

/// A copy of a store as a killed program leaves it.
fn as_if_killed(folder: &Path) -> tempfile::TempDir {
    let copy = tempfile::tempdir().unwrap();
    copy_folder(folder, copy.path());
    copy
}

#[test]
fn a_changed_chunk_costs_its_own_job_only() {
    let folder = tempfile::tempdir().unwrap();
    let (mut first, second) = two_jobs(folder.path());
    // The first chunk is 1, so entry n has the number n + 2.
    tamper(
        folder.path(),
        "UPDATE chunk SET bytes = zeroblob(length(bytes)) WHERE job = (SELECT min(job) FROM chunk) AND place = 7",
    );
    let (mut store, report) = recover(folder.path());
    let recovery = recovery_of(&report, &first);
    assert_eq!(recovery.lost, Lost::Entries(1));
    assert_eq!((recovery.chunks, recovery.missing, recovery.waiting), (10, 1, 3));
    assert_eq!(first.entries(&store), [0, 1, 2, 3, 4, 5]);
    assert_eq!(recovery_of(&report, &second).lost, Lost::Nothing);
    second.assert_whole(&store);
    assert_nothing_wrong(&store);

    // The other device still has the lost change: with it the waiting ones show.
    let chunk = first.document.save();
    store
        .append(first.job, &chunk, &heads(&mut first.document))
        .unwrap();
    first.assert_whole(&store);
    store.compact(first.job).unwrap();
    drop(store);
    let store = open_whole(folder.path());
    first.assert_whole(&store);
    assert_nothing_wrong(&store);
}

#[test]
fn a_lost_base_is_made_good_by_the_copy_or_the_generation_before() {
    for without_copy in [false, true] {
        let folder = tempfile::tempdir().unwrap();
        let mut store = open_whole(folder.path());
        let mut log = Log::make(&mut store, 1);
        log.log(&mut store, 10);
        store.compact(log.job).unwrap();
        log.log(&mut store, 5);
        if without_copy {
            std::fs::remove_file(store.copy_path(log.job)).unwrap();
        }
        drop(store);
        tamper(
            folder.path(),
            "UPDATE chunk SET heads = zeroblob(32) WHERE kind = 'base' AND generation = 1",
        );
        let (store, report) = recover(folder.path());
        assert_eq!(recovery_of(&report, &log).lost, Lost::Nothing);
        assert!(!report.may_lack());
        log.assert_whole(&store);
        assert_nothing_wrong(&store);
    }
}

#[test]
fn a_chunk_that_is_missing_is_noticed() {
    let folder = tempfile::tempdir().unwrap();
    let (first, second) = two_jobs(folder.path());
    tamper(
        folder.path(),
        "DELETE FROM chunk WHERE job = (SELECT max(job) FROM chunk) AND place = 4",
    );
    let (store, report) = recover(folder.path());
    assert_eq!(recovery_of(&report, &second).lost, Lost::NotKnown);
    first.assert_whole(&store);
    assert_eq!(second.entries(&store), [0, 1, 2]);
}

#[test]
fn without_its_log_the_database_is_older_and_that_is_noticed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut first, second) = two_jobs(folder.path());
    let mut store = open_whole(folder.path());
    first.log(&mut store, 3);
    let killed = as_if_killed(folder.path());
    std::fs::remove_file(killed.path().join("trammel.sqlite-wal")).unwrap();

    let (store, report) = recover(killed.path());
    assert_eq!(report.newest, Lost::Entries(3));
    assert!(report.may_lack());
    assert_eq!(first.entries(&store).len(), 10);
    second.assert_whole(&store);
    drop(store);
    open_whole(killed.path());
}

#[test]
fn a_compaction_in_a_lost_log_is_made_good_by_the_copy() {
    let folder = tempfile::tempdir().unwrap();
    let (mut first, _) = two_jobs(folder.path());
    let mut store = open_whole(folder.path());
    first.log(&mut store, 3);
    store.compact(first.job).unwrap();
    let killed = as_if_killed(folder.path());
    std::fs::remove_file(killed.path().join("trammel.sqlite-wal")).unwrap();
    let (store, report) = recover(killed.path());
    first.assert_whole(&store);
    assert!(recovery_of(&report, &first).from_copy);
    assert_nothing_wrong(&store);
}

#[test]
fn a_flipped_bit_early_in_the_log_does_not_take_the_rest_with_it() {
    let folder = tempfile::tempdir().unwrap();
    let (mut first, mut second) = two_jobs(folder.path());
    let mut store = open_whole(folder.path());
    first.log(&mut store, 8);
    second.log(&mut store, 8);
    let killed = as_if_killed(folder.path());
    let log = killed.path().join("trammel.sqlite-wal");
    let mut bytes = std::fs::read(&log).unwrap();
    bytes[32 + 24 + 4096 + 24 + 100] ^= 4; // in the second frame
    std::fs::write(&log, bytes).unwrap();
    let (store, report) = recover(killed.path());
    assert_eq!(report.reasons, ["the newest 16 entries are missing"]);
    assert!(!report.may_lack(), "{report}");
    first.assert_whole(&store);
    second.assert_whole(&store);
    assert_nothing_wrong(&store);
}

#[test]
fn a_first_page_of_nothing_costs_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let (first, second) = two_jobs(folder.path());
    let path = folder.path().join(DATABASE);
    let mut bytes = std::fs::read(&path).unwrap();
    bytes[..4096].fill(0);
    std::fs::write(&path, &bytes).unwrap();
    let (store, report) = recover(folder.path());
    assert_eq!(report.reasons, ["the file is no database"]);
    assert!(!report.may_lack(), "{report}");
    first.assert_whole(&store);
    second.assert_whole(&store);
    // What was set aside is what was found.
    let aside = report.set_aside.unwrap();
    assert_eq!(std::fs::read(aside.join(DATABASE)).unwrap(), bytes);
    let why = std::fs::read_to_string(aside.join("why.txt")).unwrap();
    assert_eq!(
        why,
        "things that were kept, by the tally: 22\nthe file is no database"
    );
}

#[test]
fn without_a_database_the_copies_and_photos_are_what_remains() {
    let folder = tempfile::tempdir().unwrap();
    let (mut first, second) = two_jobs(folder.path());
    let mut store = open_whole(folder.path());
    store.compact(first.job).unwrap();
    first.log(&mut store, 2);
    let id = put_picture(&mut store, 1);
    drop(store);
    std::fs::remove_file(folder.path().join(DATABASE)).unwrap();

    let (mut store, report) = recover(folder.path());
    assert_eq!(first.entries(&store).len(), 10);
    assert_eq!(recovery_of(&report, &first).lost, Lost::NotKnown);
    assert!(report.jobs.iter().all(|job| job.job != second.job));
    assert_eq!(report.newest, Lost::Entries(26));
    assert_eq!(report.photos.remade, [id]);
    assert_eq!(store.photo(&id).unwrap().bytes, picture(1));
    assert_eq!(store.jobs().unwrap()[0].made_ms, None);
    put_picture(&mut store, 1);
    assert_nothing_wrong(&store);
}

#[test]
fn a_lost_count_is_told_and_made_anew() {
    let folder = tempfile::tempdir().unwrap();
    let (first, _) = two_jobs(folder.path());
    for damage in ["remove", "change"] {
        let tally = folder.path().join("tally");
        if damage == "remove" {
            std::fs::remove_file(&tally).unwrap();
        } else {
            std::fs::write(&tally, b"tally  1 nonsense").unwrap();
        }
        let (store, report) = recover(folder.path());
        assert_eq!((report.newest, report.set_aside.clone()), (Lost::NotKnown, None));
        first.assert_whole(&store);
        drop(store);
        open_whole(folder.path());
    }
}

#[test]
fn rows_of_settings_and_photos_that_are_not_as_they_were_kept_are_named() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    store.set_setting("crew", "Ash").unwrap();
    store.set_setting("unit", "mm").unwrap();
    let (kept, changed, gone) = (
        put_picture(&mut store, 1),
        put_picture(&mut store, 2),
        put_picture(&mut store, 3),
    );
    let path = folder.path().join("photos").join(crate::store::files::hex(&gone));
    drop(store);
    std::fs::remove_file(path).unwrap();
    tamper(
        folder.path(),
        "UPDATE setting SET value = 'Bo' WHERE key = 'crew';
         UPDATE photo SET width = 99 WHERE rowid IN (2, 3);
         UPDATE thumbnail SET bytes = x'00' WHERE photo = (SELECT id FROM photo WHERE rowid = 1) AND edge = 256;",
    );
    let (store, report) = recover(folder.path());
    assert_eq!(report.settings_lost, ["crew"]);
    assert_eq!(store.setting("crew").unwrap(), None);
    assert_eq!(store.setting("unit").unwrap().as_deref(), Some("mm"));
    assert_eq!(report.photos.kept, 1);
    assert_eq!(report.photos.remade, [changed]);
    assert_eq!(report.photos.lost, [gone]);
    assert_eq!(report.photos.without_thumbnails, [kept]);
    assert_eq!(store.photo(&changed).unwrap().bytes, picture(2));
}

#[test]
fn a_job_that_no_document_can_be_made_of_is_kept_and_stands_in_nobodys_way() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let mut good = Log::make(&mut store, 1);
    good.log(&mut store, 5);
    let bad = JobId(Uuid::from_u128(2));
    store.create(bad, 0, b"no document", &Heads::default()).unwrap();
    store.append(bad, b"nor this", &Heads::default()).unwrap();
    store.append(bad, b"nor that", &Heads::default()).unwrap();
    drop(store);
    tamper(
        folder.path(),
        "UPDATE chunk SET bytes = x'00' WHERE bytes = CAST('nor this' AS BLOB)",
    );
    let (store, report) = recover(folder.path());
    good.assert_whole(&store);
    let recovery = report.jobs.iter().find(|job| job.job == bad).unwrap();
    assert_eq!((recovery.heads.clone(), recovery.chunks), (None, 2));
    assert_eq!(store.bytes(bad).unwrap(), b"no documentnor that");
    drop(store);
    let store = open_whole(folder.path());
    let wrong = store.check().unwrap().wrong;
    assert!(matches!(wrong[..], [crate::store::Wrong::Document { job, .. }] if job == bad));
}

#[test]
fn reading_repairs_nothing_and_says_so() {
    let folder = tempfile::tempdir().unwrap();
    two_jobs(folder.path());
    tamper(folder.path(), "UPDATE chunk SET bytes = x'00' WHERE seq = 5");
    let refused = Store::open(folder.path(), &JUDGE, Access::ReadOnly).unwrap_err();
    assert!(matches!(refused, StoreError::Damaged { .. }));
    assert_eq!(
        refused.to_string(),
        format!(
            "the store in `{}` is damaged: open it for writing, which sets the damaged file aside and recovers what \
             can be read: entry 5 of job `00000000000000000000000000000001` is missing or not as it was kept",
            folder.path().display()
        )
    );
    assert!(!folder.path().join("damaged-1").exists());
}

#[test]
fn a_recovery_that_was_cut_short_is_finished_at_the_next_opening() {
    // How a plug pulled at each step leaves the folder.
    let whole = tempfile::tempdir().unwrap();
    let (first, second) = two_jobs(whole.path());
    let mut store = open_whole(whole.path());
    put_picture(&mut store, 1);
    let killed = as_if_killed(whole.path());
    drop(store);
    let wal = "trammel.sqlite-wal";
    for cut in 0..5 {
        let folder = as_if_killed(killed.path());
        let at = |name: &str| folder.path().join(name);
        let aside = at("damaged-1");
        std::fs::create_dir(&aside).unwrap();
        std::fs::write(
            aside.join("unfinished"),
            "things that were kept, by the tally: 23\nit was damaged",
        )
        .unwrap();
        if cut >= 1 {
            std::fs::rename(at(DATABASE), aside.join(DATABASE)).unwrap();
        }
        if cut >= 2 {
            std::fs::rename(at(wal), aside.join(wal)).unwrap();
        }
        if cut == 3 {
            std::fs::write(at("making.sqlite"), b"half of it").unwrap();
        }
        if cut == 4 {
            // The new one was in place, here one that lacks everything.
            std::fs::write(at(DATABASE), b"half of it").unwrap();
        }
        let (store, report) = recover(folder.path());
        assert_eq!(report.reasons, ["it was damaged"], "cut {cut}");
        assert!(!report.may_lack(), "cut {cut}: {report}");
        first.assert_whole(&store);
        second.assert_whole(&store);
        assert_nothing_wrong(&store);
        assert!(!aside.join("unfinished").exists());
        assert!(!at("making.sqlite").exists());
        drop(store);
        open_whole(folder.path());
    }
}

#[test]
fn the_report_says_what_is_so_and_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let (mut first, _) = two_jobs(folder.path());
    let mut store = open_whole(folder.path());
    first.log(&mut store, 2);
    drop(store);
    tamper(
        folder.path(),
        "DELETE FROM chunk WHERE seq = 24; UPDATE chunk SET hash = zeroblob(32) WHERE seq = 15",
    );
    let (_store, report) = recover(folder.path());
    let aside = folder.path().join("damaged-1");
    let wanted = format!(
        "The store on this device was damaged. What could be read was recovered; the damaged files were set aside in \
         {}.\n\
         Found: entry 15 of job `00000000000000000000000000000002` is missing or not as it was kept.\n\
         Found: the newest entry is missing.\n\
         Job 00000000000000000000000000000001: all there.\n\
         Job 00000000000000000000000000000002: recovered, 1 entry lost; 7 changes are there and wait for 1 that is lost.\n\
         The newest entry, photo or setting is lost; of which job is not known.\n\
         Take in what is lost from the other device or from a job file.\n",
        aside.display()
    );
    assert_eq!(report.to_string(), wanted);
    assert_eq!(std::fs::read_to_string(aside.join("report.txt")).unwrap(), wanted);
}
