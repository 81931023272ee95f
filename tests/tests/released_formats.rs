//! Stores, job files and documents of every released format open for ever, with everything in them.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use std::collections::BTreeSet;
use std::io::Cursor;
use std::path::{Path, PathBuf};

use automerge::{AutoCommit, ROOT, ReadDoc};
use desk::{Act, Desk};
use ledger::{Job, Key, SCHEMA};
use serde_json::Value;
use trials::released::{Counted, told};
use uuid::Uuid;

fn formats() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/released");
    let mut formats: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir())
        .collect();
    formats.sort();
    assert!(!formats.is_empty());
    formats
}

fn expected(format: &Path) -> Value {
    serde_json::from_str(&std::fs::read_to_string(format.join("told.json")).unwrap()).unwrap()
}

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

/// What the released program told must be told; what a later one tells besides may come to it.
fn holds(expected: &Value, found: &Value, place: &str) {
    match (expected, found) {
        (Value::Object(expected), Value::Object(found)) => {
            for (key, value) in expected {
                let place = format!("{place}/{key}");
                holds(
                    value,
                    found.get(key).unwrap_or_else(|| panic!("{place} is gone")),
                    &place,
                );
            }
        }
        (Value::Array(expected), Value::Array(found)) => {
            assert_eq!(expected.len(), found.len(), "{place}");
            for (at, (expected, found)) in expected.iter().zip(found).enumerate() {
                holds(expected, found, &format!("{place}/{at}"));
            }
        }
        // What was told by its name alone.
        (Value::String(name), Value::Object(found)) => {
            assert_eq!(found.get("name"), Some(&Value::from(name.as_str())), "{place}")
        }
        _ => assert_eq!(expected, found, "{place}"),
    }
}

#[test]
fn every_released_store_opens_with_everything_in_it() {
    for format in formats() {
        let folder = tempfile::tempdir().unwrap();
        copy(&format.join("store"), folder.path());
        let mut desk = Desk::open(folder.path(), Counted::from(1 << 40)).unwrap();
        assert_eq!(desk.recovery(), None, "{}", format.display());
        holds(&expected(&format), &told(&mut desk).unwrap(), "");
        assert_eq!(desk.check().unwrap().wrong, [""; 0]);
        assert_eq!(desk.person().unwrap().as_deref(), Some("Ana"));

        // And can be worked with.
        let act = Act::BringBack { reading: "3".into() };
        assert!(desk.act(None, &act, None).unwrap().change.is_some());
        desk.undo(None, None).unwrap();
        assert_eq!(desk.check().unwrap().wrong, [""; 0]);
    }
}

#[test]
fn every_released_job_file_is_taken_in_with_everything_in_it() {
    for format in formats() {
        let folder = tempfile::tempdir().unwrap();
        let mut desk = Desk::open(folder.path(), Counted::from(1 << 40)).unwrap();
        let file = std::fs::read(format.join("job.zip")).unwrap();
        let taken = desk.take_in(Cursor::new(&file)).unwrap();
        assert!(
            taken.new && taken.photos == 2 && taken.refused.is_empty(),
            "{taken:?}"
        );
        holds(&expected(&format), &told(&mut desk).unwrap(), "");
        let again = desk.take_in(Cursor::new(&file)).unwrap();
        assert!(!again.new && again.changes == 0 && again.photos == 0, "{again:?}");
    }
}

/// What the crate docs say of the schema is all there is.
#[test]
fn every_register_is_one_of_the_schema() {
    for format in formats() {
        let document = AutoCommit::load(&std::fs::read(format.join("job.automerge")).unwrap()).unwrap();
        let mut rooms = BTreeSet::new();
        for text in document.keys(ROOT) {
            let key = Key::parse(&text).unwrap_or_else(|| panic!("{text} is no key"));
            let (_, fields) = SCHEMA.iter().find(|(room, _)| *room == key.room).unwrap();
            assert!(
                fields.contains(&key.field.as_str()),
                "{text} is not in the schema"
            );
            rooms.insert(key.room);
        }
        assert_eq!(
            rooms.len(),
            SCHEMA.len(),
            "the released job has something of everything"
        );
    }
}

#[test]
fn every_released_document_is_read() {
    for format in formats() {
        let bytes = std::fs::read(format.join("job.automerge")).unwrap();
        for job in [
            Job::open(&bytes, Uuid::from_u128(1)),
            Job::open_foreign(&bytes, Uuid::from_u128(2)),
        ] {
            let job = job.unwrap();
            let expected = expected(&format);
            let readings = expected["shown"]["readings"].as_array().unwrap().len();
            assert_eq!(job.records().readings.len(), readings);
            assert_eq!(
                job.disputes().len(),
                expected["shown"]["disputes"].as_array().unwrap().len()
            );
            assert_eq!(job.changes().len(), expected["history"].as_array().unwrap().len());
        }
    }
}
