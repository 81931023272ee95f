//! Seeded damage of every kind. After it, everything is there or the report says that something may not be.

use std::path::PathBuf;

use super::*;
use crate::store::files::hex;
use crate::store::{DATABASE, Lost, RecoveryReport, Thumbnail, Wrong};

/// How many damaged stores are tried; `TRAMMEL_DAMAGES` sets another number.
const DAMAGES: u64 = 120;

/// A store as a killed program leaves it: some of it in the database, some in the log.
struct Template {
    folder: tempfile::TempDir,
    logs: Vec<Log>,
    photos: Vec<(u8, [u8; 32])>,
    settings: Vec<(String, String)>,
}

fn template() -> Template {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let mut logs: Vec<Log> = (1..=3).map(|number| Log::make(&mut store, number)).collect();
    logs.iter_mut().for_each(|log| log.log(&mut store, 40));
    store.compact(logs[0].job).unwrap();
    store.compact(logs[1].job).unwrap();
    logs.iter_mut().for_each(|log| log.log(&mut store, 12));
    store.compact(logs[1].job).unwrap();
    let mut photos: Vec<(u8, [u8; 32])> = (1..=3).map(|n| (n, put_picture(&mut store, n))).collect();
    let mut settings = Vec::new();
    for number in 0..6 {
        let (key, value) = (format!("key {number}"), format!("value {number}"));
        store.set_setting(&key, &value).unwrap();
        settings.push((key, value));
    }
    drop(store);
    let mut store = open_whole(folder.path());
    for _ in 0..6 {
        logs.iter_mut().for_each(|log| log.log(&mut store, 2));
    }
    photos.push((4, put_picture(&mut store, 4)));
    store.set_setting("last", "one").unwrap();
    settings.push(("last".to_owned(), "one".to_owned()));
    logs[0].log(&mut store, 1);
    let killed = tempfile::tempdir().unwrap();
    copy_folder(folder.path(), killed.path());
    Template {
        folder: killed,
        logs,
        photos,
        settings,
    }
}

/// Does one thing to one file and says what.
fn damage(folder: &Path, random: &mut fastrand::Rng) -> String {
    let mut files: Vec<PathBuf> = Vec::new();
    for part in ["", "photos", "copies"] {
        for entry in std::fs::read_dir(folder.join(part)).unwrap() {
            let path = entry.unwrap().path();
            if path.is_file() && !path.ends_with("lock") {
                files.push(path);
            }
        }
    }
    files.sort();
    // Mostly the database and its log: the rest is small.
    let path = if random.u8(..10) < 7 {
        let ending = ["", "", "-wal"][random.usize(..3)];
        folder.join(format!("{DATABASE}{ending}"))
    } else {
        files[random.usize(..files.len())].clone()
    };
    let Ok(mut bytes) = std::fs::read(&path) else {
        return "nothing, as the file is gone".to_owned();
    };
    let name = path.strip_prefix(folder).unwrap().display().to_string();
    let length = bytes.len();
    if length == 0 {
        return format!("nothing to the empty {name}");
    }
    let at = random.usize(..length);
    let page = at / 4096 * 4096;
    let what = match random.u8(..10) {
        0..=3 => {
            let count = random.usize(1..=4);
            for _ in 0..count {
                let at = random.usize(..length);
                bytes[at] ^= 1 << random.u8(..8);
            }
            format!("{count} flipped bits")
        }
        4 => {
            bytes.truncate(at);
            format!("cut to {at}")
        }
        5 => {
            let end = (page + 4096).min(length);
            bytes[page..end].fill(0);
            format!("page at {page} zeroed")
        }
        6 => {
            let end = (at / 512 * 512 + 512).min(length);
            bytes[at / 512 * 512..end]
                .iter_mut()
                .for_each(|byte| *byte = random.u8(..));
            format!("sector at {} of noise", at / 512 * 512)
        }
        7 if length >= 2 * 4096 => {
            let from = random.usize(..length / 4096) * 4096;
            let other = bytes[from..from + 4096].to_vec();
            let end = (page + 4096).min(length);
            bytes[page..end].copy_from_slice(&other[..end - page]);
            format!("page from {from} written over that at {page}")
        }
        8 => {
            std::fs::remove_file(&path).unwrap();
            return format!("{name}: removed");
        }
        _ => {
            let end = (at + 8).min(length);
            bytes[at..end].iter_mut().for_each(|byte| *byte = random.u8(..));
            format!("8 bytes at {at} of noise")
        }
    };
    std::fs::write(&path, bytes).unwrap();
    format!("{name}: {what}")
}

#[test]
fn after_any_damage_everything_is_there_or_the_report_says_so() {
    let first = seed();
    let count = number_from("TRAMMEL_DAMAGES").unwrap_or(DAMAGES);
    println!("seeds {first} to {}", first + count - 1);
    let template = template();
    let (mut reported, mut lacking, mut losses) = (0, 0, 0);
    for seed in first..first + count {
        let mut random = fastrand::Rng::with_seed(seed);
        let folder = tempfile::tempdir().unwrap();
        copy_folder(template.folder.path(), folder.path());
        let done: Vec<String> = (0..random.usize(1..=2))
            .map(|_| damage(folder.path(), &mut random))
            .collect();
        let told = format!("seed {seed}, {}", done.join("; "));
        let opened = Store::open(folder.path(), &JUDGE, Access::Write)
            .unwrap_or_else(|error| panic!("{told}: {error}"));
        let lost = look(&template, &opened.store, opened.report.as_ref(), &told);
        losses += u32::from(lost);
        reported += u32::from(opened.report.is_some());
        lacking += u32::from(opened.report.is_some_and(|report| report.may_lack()));
        go_on(&template, opened.store, folder.path(), &told);
    }
    println!(
        "{count} damaged, {reported} reported, {lacking} told as lacking something, {losses} lacking an entry"
    );
    assert!(count < 100 || (reported > 0 && lacking > 0 && losses > 0));
}

/// Holds everything that was kept against what is there and what was told. True where an entry is lost.
fn look(template: &Template, store: &Store, report: Option<&RecoveryReport>, told: &str) -> bool {
    let newest_lost = report.is_some_and(|report| report.newest != Lost::Nothing);
    let stray = report.is_some_and(|report| newest_lost || !report.lists_whole || report.nameless_lost > 0);
    let mut lost = false;
    for log in &template.logs {
        if log.entries(store).len() as u64 == log.logged {
            continue;
        }
        lost = true;
        let recovery = report.and_then(|report| report.jobs.iter().find(|job| job.job == log.job));
        let job_told = recovery.is_some_and(|job| job.lost != Lost::Nothing || job.heads.is_none());
        assert!(
            job_told || newest_lost,
            "{told}: job {} lacks entries in silence: {report:?}",
            log.job
        );
    }
    let wrong = store.check().unwrap().wrong;
    for (number, id) in &template.photos {
        let photo = hex(id);
        match store.photo(id) {
            Ok(found) => assert_eq!(found.bytes, picture(*number), "{told}"),
            Err(_) => {
                let named = report.is_some_and(|report| report.photos.lost.contains(id))
                    || wrong.contains(&Wrong::PhotoMissing { photo: photo.clone() })
                    || wrong.contains(&Wrong::PhotoDamaged { photo: photo.clone() });
                assert!(
                    named || stray,
                    "{told}: photo {photo} is lost in silence: {report:?}"
                );
            }
        }
        let needs = store.photos_without_thumbnails().unwrap().contains(id);
        for thumbnail in Thumbnail::EVERY {
            match store.thumbnail(id, thumbnail) {
                Ok(bytes) => assert!(bytes.iter().all(|byte| byte == number), "{told}"),
                Err(_) => assert!(
                    needs || store.photo(id).is_err(),
                    "{told}: photo {photo} lacks a picture in silence"
                ),
            }
        }
    }
    for (key, value) in &template.settings {
        match store.setting(key).unwrap() {
            Some(found) => assert_eq!(found, *value, "{told}"),
            None => {
                let named = report.is_some_and(|report| report.settings_lost.contains(key));
                assert!(
                    named || stray,
                    "{told}: setting {key} is lost in silence: {report:?}"
                );
            }
        }
    }
    lost
}

/// What was opened can be worked with, and is sound when it is opened again.
fn go_on(template: &Template, mut store: Store, folder: &Path, told: &str) {
    let mut log = Log::make(&mut store, 99);
    log.log(&mut store, 3);
    for (number, _) in &template.photos {
        put_picture(&mut store, *number);
    }
    let jobs = store.jobs().unwrap();
    drop(store);
    let opened = Store::open(folder, &JUDGE, Access::Write).unwrap();
    assert_eq!(opened.report, None, "{told}");
    assert_eq!(opened.store.jobs().unwrap(), jobs, "{told}");
    log.assert_whole(&opened.store);
    let wrong = opened.store.check().unwrap().wrong;
    // A copy is made anew at the next compaction; a document of which nothing is left stays unreadable.
    let rest: Vec<&Wrong> = wrong
        .iter()
        .filter(|wrong| !matches!(wrong, Wrong::Copy { .. } | Wrong::Document { .. }))
        .collect();
    assert!(rest.is_empty(), "{told}: {rest:?}");
}
