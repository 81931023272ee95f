//! Replays every file in the folders of `crashers/`: awkward sheets and hostile bytes, and whatever the fuzzer once
//! found. Each folder has its feeder.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use std::path::Path;

use trials::hostile::mutate::repaired;
use trials::{hostile, sheets};

/// Feeds every file of a folder, in order, and gives their names with what was said.
fn replay(folder: &str, feed: fn(&[u8]) -> String) -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("crashers")
        .join(folder);
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    let told = |file: &Path| {
        let said = feed(&std::fs::read(file).unwrap());
        assert!(!said.is_empty(), "{}: nothing was said", file.display());
        println!("{}: {said}", file.display());
        (file.file_name().unwrap().to_str().unwrap().to_owned(), said)
    };
    files.iter().map(|file| told(file)).collect()
}

/// Only what is called whole is taken.
fn holds(said: &[(String, String)], taken: &str) {
    assert!(said.iter().any(|(name, _)| name.starts_with("whole")));
    for (name, said) in said {
        assert_eq!(said.contains(taken), name.starts_with("whole"), "{name}: {said}");
    }
}

#[test]
fn no_sheet_panics() {
    assert!(replay("sheets", sheets::feed).len() >= 5);
}

#[test]
fn no_document_does_harm() {
    let said = replay("documents", hostile::feed_document);
    assert!(said.len() >= 20);
    holds(&said, "loaded: taken");
    replay("documents", |bytes| hostile::feed_document(&repaired(bytes)));
}

#[test]
fn no_message_does_harm() {
    let said = replay("sync_messages", hostile::feed_message);
    assert!(said.len() >= 10);
    holds(&said, "received: new changes");
    replay("sync_messages", |bytes| hostile::feed_message(&repaired(bytes)));
}

#[test]
fn no_job_file_does_harm() {
    let said = replay("job_files", hostile::feed_job_file);
    assert!(said.len() >= 15);
    holds(&said, "bytes of document");
}

#[test]
fn every_folder_is_replayed() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("crashers");
    let mut folders: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    folders.sort();
    assert_eq!(folders, ["documents", "job_files", "sheets", "sync_messages"]);
}
