//! Replays every file of `crashers/`: awkward sheets, and whatever the fuzzer once found.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use trials::sheets::feed;

#[test]
fn nothing_in_the_folder_panics() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("crashers");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    assert!(files.len() >= 5, "{files:?}");
    for file in files {
        let bytes = std::fs::read(&file).unwrap();
        let said = feed(&bytes);
        assert!(!said.is_empty(), "{}: nothing was said", file.display());
    }
}
