//! A store of every released format opens for ever, with everything in it.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use std::path::Path;

use ledger::store::{Access, Store, Thumbnail};
use ledger::{JobId, Keep};
use trials::plain::{JUDGE, PlainLog};
use uuid::Uuid;

/// A store must not be opened where it is kept: opening writes to it.
fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &target);
        } else {
            std::fs::copy(&path, &target).unwrap();
        }
    }
}

#[test]
fn a_store_of_format_1_opens_with_everything_in_it() {
    let folder = tempfile::tempdir().unwrap();
    copy(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("data/stores/1"),
        folder.path(),
    );
    let opened = Store::open(folder.path(), &JUDGE, Access::Write).unwrap();
    assert_eq!(opened.report, None);
    let mut store = opened.store;
    let jobs = store.jobs().unwrap();
    let found: Vec<_> = jobs
        .iter()
        .map(|job| (job.id.0.as_u128(), job.made_ms, job.added))
        .collect();
    assert_eq!(
        found,
        [(1, Some(1_700_000_000_001), 10), (2, Some(1_700_000_000_002), 4)]
    );
    for (job, entries) in jobs.iter().zip([30, 4]) {
        let log = PlainLog::read(job.id, &store.bytes(job.id).unwrap(), 99).unwrap();
        for entry in 0..entries {
            assert_eq!(log.get(&format!("entry-{entry}")), Some(entry));
        }
        let solved = store.solved(job.id, &job.heads, "solver 1").unwrap();
        assert_eq!(solved.as_deref(), Some("a solve"));
    }
    let photos = store.photos().unwrap();
    assert_eq!(photos.len(), 1);
    let photo = store.photo(&photos[0]).unwrap();
    assert_eq!(
        (photo.media_type.as_str(), photo.width, photo.height),
        ("image/png", 16, 9)
    );
    assert_eq!(store.thumbnail(&photos[0], Thumbnail::Small).unwrap(), b"small");
    assert_eq!(store.thumbnail(&photos[0], Thumbnail::Large).unwrap(), b"large");
    assert_eq!(store.setting("crew").unwrap().as_deref(), Some("Ash and Bo"));
    assert_eq!(store.check().unwrap().wrong, []);

    // And can be worked with.
    let job = JobId(Uuid::from_u128(2));
    let mut log = PlainLog::read(job, &store.bytes(job).unwrap(), 99).unwrap();
    let (chunk, heads) = log.put("further", 1).unwrap();
    store.append(job, &chunk, &heads).unwrap();
    store.compact(job).unwrap();
    assert_eq!(store.check().unwrap().wrong, []);
}
