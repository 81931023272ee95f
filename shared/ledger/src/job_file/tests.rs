#![allow(clippy::unwrap_used, reason = "tests: a panic is how they fail")]

use std::io::{Cursor, Write};
use std::ops::ControlFlow;

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use super::{
    Contents, DOCUMENT, JobFileError, LARGEST_DOCUMENT, MOST_ENTRIES, PackError, PhotoName, Writer, read,
};

type Photos = Vec<(PhotoName, Vec<u8>)>;

fn opened(bytes: &[u8]) -> Result<(Contents, Photos), JobFileError> {
    let mut photos = Vec::new();
    let contents = read(Cursor::new(bytes), &mut |name, bytes| {
        photos.push((name, bytes));
        ControlFlow::Continue(())
    })?;
    Ok((contents, photos))
}

fn refused(bytes: &[u8]) -> JobFileError {
    opened(bytes).map(drop).unwrap_err()
}

fn hash(digit: char) -> String {
    digit.to_string().repeat(64)
}

fn job_file() -> Vec<u8> {
    let mut writer = Writer::new(Cursor::new(Vec::new()));
    writer.text("README.txt", "What this is.\n").unwrap();
    writer.document(b"the document").unwrap();
    writer
        .text("readings.csv", &"from,to,tape\n".repeat(500))
        .unwrap();
    writer.photo(&hash('a'), "jpg", &[7; 3000]).unwrap();
    writer.photo(&hash('b'), "webp", b"").unwrap();
    writer.finish().unwrap().into_inner()
}

/// A zip of somebody else: names and contents as they are, stored.
fn foreign(entries: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let plain = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    for (name, bytes) in entries {
        zip.start_file(*name, plain).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// Replaces bytes by others of the same length wherever they stand: in the list and at the entry.
fn replaced(mut bytes: Vec<u8>, from: &[u8], to: &[u8]) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let found: Vec<usize> = (0..=bytes.len() - from.len())
        .filter(|&at| &bytes[at..at + from.len()] == from)
        .collect();
    assert!(!found.is_empty());
    for at in found {
        bytes[at..at + to.len()].copy_from_slice(to);
    }
    bytes
}

/// Where the entry of this name begins in the list at the end.
fn listed(bytes: &[u8], name: &str) -> usize {
    (0..bytes.len())
        .rev()
        .find(|&at| bytes[at..].starts_with(b"PK\x01\x02") && bytes[at + 46..].starts_with(name.as_bytes()))
        .unwrap()
}

fn put(bytes: &mut [u8], at: usize, value: &[u8]) {
    bytes[at..at + value.len()].copy_from_slice(value);
}

#[test]
fn what_is_put_in_comes_out() {
    let (contents, photos) = opened(&job_file()).unwrap();
    assert_eq!(contents.document, b"the document");
    assert_eq!(
        contents.texts[0],
        ("README.txt".to_owned(), "What this is.\n".to_owned())
    );
    assert_eq!(contents.texts[1].1.len(), 13 * 500);
    assert_eq!(contents.texts.len(), 2);
    assert!(contents.ignored.is_empty());
    let names: Vec<String> = photos.iter().map(|(name, _)| name.to_string()).collect();
    assert_eq!(
        names,
        [format!("{}.jpg", hash('a')), format!("{}.webp", hash('b'))]
    );
    assert_eq!(photos[0].1, [7; 3000]);
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let bytes = job_file();
    assert_eq!(bytes, job_file());
    // Texts are packed, photos are not, and no entry bears a date of its own: 1980-01-01 is 0x0021.
    assert!(bytes.len() < 5000, "{}", bytes.len());
    let at = listed(&bytes, "readings.csv");
    assert_eq!(bytes[at + 12..at + 16], [0, 0, 0x21, 0]);
}

#[test]
fn what_could_not_be_read_is_not_written() {
    let mut writer = Writer::new(Cursor::new(Vec::new()));
    for name in [
        "",
        "a",
        ".csv",
        "a.exe",
        "../a.csv",
        "a b.csv",
        "ä.csv",
        "photos/a.csv",
        "a.csv\n",
        "a.csv.zip",
    ] {
        let error = writer.text(name, "").unwrap_err();
        assert!(matches!(error, PackError::BadName { .. }), "{name:?}");
    }
    for (hash, extension) in [
        (hash('A'), "jpg"),
        (hash('a'), "gif"),
        ("a".repeat(63), "jpg"),
        ("../".repeat(22), "jpg"),
    ] {
        assert!(matches!(
            writer.photo(&hash, extension, b""),
            Err(PackError::BadName { .. })
        ));
    }
    writer.text("a.csv", "").unwrap();
    assert!(matches!(writer.text("a.csv", ""), Err(PackError::Twice { .. })));
    let large = vec![0; LARGEST_DOCUMENT as usize + 1];
    assert!(matches!(writer.document(&large), Err(PackError::TooLarge { .. })));
    assert!(matches!(writer.finish(), Err(PackError::NoDocument)));
}

#[test]
fn what_others_put_in_is_named_and_not_opened() {
    let bytes = foreign(&[
        ("notes/Tuesday.docx", b"x"),
        (DOCUMENT, b"d"),
        ("photos/", b""),
        ("photos/front.jpg", b"x"),
        ("__MACOSX/._job", b""),
        ("plan.CSV", b"x"),
    ]);
    let (contents, photos) = opened(&bytes).unwrap();
    assert_eq!(
        contents.ignored,
        [
            "notes/Tuesday.docx",
            "photos/front.jpg",
            "__MACOSX/._job",
            "plan.CSV"
        ]
    );
    assert!(photos.is_empty() && contents.texts.is_empty());
}

#[test]
fn names_that_climb_out_are_refused() {
    for name in [
        "../readings.csv",
        "photos/../../x",
        "/etc/readings.csv",
        "C:readings.csv",
        "c:/readings.csv",
        "photos\\x.jpg",
        "..\\x",
        "a\0.csv",
        "a\u{7f}.csv",
        "./a.csv",
        "photos/..",
    ] {
        let error = refused(&foreign(&[(DOCUMENT, b"d"), (name, b"x")]));
        assert!(
            matches!(error, JobFileError::Climbs { .. }),
            "{name:?}: {error:?}"
        );
    }
    let told = refused(&foreign(&[(DOCUMENT, b"d"), ("..\\x\n", b"")])).to_string();
    assert!(told.starts_with("`..\\\\x\\n` in the file leads out"), "{told}");
}

#[test]
fn links_are_refused() {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    zip.start_file(DOCUMENT, SimpleFileOptions::default()).unwrap();
    zip.add_symlink("readings.csv", "/etc/passwd", SimpleFileOptions::default())
        .unwrap();
    let bytes = zip.finish().unwrap().into_inner();
    assert!(matches!(refused(&bytes), JobFileError::Link { .. }));
}

#[test]
fn one_name_twice_is_refused() {
    let bytes = foreign(&[(DOCUMENT, b"d"), ("a.csv", b"1"), ("b.csv", b"2")]);
    let error = refused(&replaced(bytes, b"b.csv", b"a.csv"));
    assert!(matches!(error, JobFileError::Twice), "{error:?}");
}

#[test]
fn locked_entries_are_refused() {
    let mut bytes = job_file();
    let at = listed(&bytes, "readings.csv");
    bytes[at + 8] |= 1;
    assert!(matches!(refused(&bytes), JobFileError::Locked { .. }));
}

#[test]
fn other_packings_are_refused() {
    for method in [9u8, 12, 14, 93, 99, 200] {
        let mut bytes = job_file();
        let at = listed(&bytes, "readings.csv");
        bytes[at + 10] = method;
        let error = refused(&bytes);
        assert!(
            matches!(error, JobFileError::UnknownPacking { .. }),
            "{method}: {error:?}"
        );
    }
}

#[test]
fn claimed_sizes_over_the_limit_are_refused_before_unpacking() {
    let mut bytes = job_file();
    let at = listed(&bytes, DOCUMENT);
    put(&mut bytes, at + 24, &(LARGEST_DOCUMENT as u32 + 1).to_le_bytes());
    let error = refused(&bytes);
    assert!(
        matches!(&error, JobFileError::TooLarge { name, limit: LARGEST_DOCUMENT } if name == DOCUMENT),
        "{error:?}"
    );
}

#[test]
fn an_entry_that_unpacks_to_more_than_it_claims_is_refused() {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let packed = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    zip.start_file(DOCUMENT, packed).unwrap();
    let zeros = vec![0; 1 << 20];
    for _ in 0..=LARGEST_DOCUMENT >> 20 {
        zip.write_all(&zeros).unwrap();
    }
    let mut bytes = zip.finish().unwrap().into_inner();
    assert!(bytes.len() < 1 << 20);
    assert!(matches!(refused(&bytes), JobFileError::TooLarge { .. }));
    // The same with a claim of one byte, in the list and at the entry.
    let at = listed(&bytes, DOCUMENT);
    put(&mut bytes, at + 24, &1u32.to_le_bytes());
    put(&mut bytes, 22, &1u32.to_le_bytes());
    let error = refused(&bytes);
    assert!(
        matches!(
            error,
            JobFileError::TooLarge { .. } | JobFileError::Damaged { .. } | JobFileError::Inconsistent { .. }
        ),
        "{error:?}"
    );
}

#[test]
fn a_wrong_checksum_is_told_with_the_name() {
    let bytes = replaced(job_file(), b"the document", b"the dokument");
    let told = refused(&bytes).to_string();
    assert_eq!(
        told,
        "`job.automerge` in the file is damaged, so copy the file again from the device it came from: Invalid checksum"
    );
}

#[test]
fn overlapping_entries_are_refused() {
    // Two names in the list for the same entry.
    let mut bytes = foreign(&[(DOCUMENT, b"d"), ("a.csv", b"1"), ("b.csv", b"1")]);
    let (a, b) = (listed(&bytes, "a.csv"), listed(&bytes, "b.csv"));
    let offset = bytes[a + 42..a + 46].to_vec();
    put(&mut bytes, b + 42, &offset);
    assert!(matches!(refused(&bytes), JobFileError::Inconsistent { .. }));
    // An entry whose contents reach into the next one.
    let mut bytes = foreign(&[(DOCUMENT, b"d"), ("a.csv", b"1"), ("b.csv", b"1")]);
    let a = listed(&bytes, "a.csv");
    let start = u32::from_le_bytes(bytes[a + 42..a + 46].try_into().unwrap()) as usize;
    for at in [a + 20, a + 24, start + 18, start + 22] {
        put(&mut bytes, at, &40u32.to_le_bytes());
    }
    assert!(matches!(refused(&bytes), JobFileError::Inconsistent { .. }));
}

#[test]
fn too_many_entries_are_refused() {
    let names: Vec<String> = (0..=MOST_ENTRIES).map(|n| format!("note{n}")).collect();
    let mut entries: Vec<(&str, &[u8])> = names.iter().map(|name| (name.as_str(), &b""[..])).collect();
    entries[0].0 = DOCUMENT;
    assert!(matches!(refused(&foreign(&entries)), JobFileError::TooMany));
    entries.pop();
    assert!(opened(&foreign(&entries)).is_ok());
}

#[test]
fn a_list_of_long_names_is_refused() {
    let names: Vec<String> = (0..200).map(|n| format!("{n}{}", "n".repeat(60_000))).collect();
    let mut entries: Vec<(&str, &[u8])> = names.iter().map(|name| (name.as_str(), &b""[..])).collect();
    entries[0].0 = DOCUMENT;
    assert!(matches!(refused(&foreign(&entries)), JobFileError::TooMany));
}

#[test]
fn other_files_are_told_apart() {
    assert!(matches!(refused(b""), JobFileError::NotAZip));
    assert!(matches!(refused(b"from,to,tape\n"), JobFileError::NotAZip));
    assert!(matches!(
        refused(&foreign(&[("a.csv", b"")])),
        JobFileError::NoDocument
    ));
    let bytes = job_file();
    for length in [10, 100, bytes.len() / 2, bytes.len() - 1] {
        assert!(
            matches!(refused(&bytes[..length]), JobFileError::CutOff),
            "{length}"
        );
    }
    let error = refused(&foreign(&[
        ("Red shell/job.automerge", b"d"),
        ("Red shell/a.csv", b""),
    ]));
    assert!(
        matches!(&error, JobFileError::InAFolder { folder } if folder == "Red shell"),
        "{error:?}"
    );
    assert_eq!(
        refused(&foreign(&[])).to_string(),
        "this is a zip but not a job file, there is no `job.automerge` in it: choose one that was saved by this program"
    );
}

#[test]
fn something_before_the_zip_is_refused() {
    let script = [&b"#!/bin/sh\n"[..], &job_file()].concat();
    assert!(matches!(refused(&script), JobFileError::NotAZip));
    // Which of the two a program finds depends on the program.
    let twice = [job_file(), job_file()].concat();
    assert!(matches!(refused(&twice), JobFileError::SomethingBefore));
}

#[test]
fn a_text_that_is_none_is_refused() {
    let error = refused(&foreign(&[(DOCUMENT, b"d"), ("a.csv", b"\xff\xfe")]));
    assert!(matches!(error, JobFileError::NotText { .. }));
}

#[test]
fn whoever_takes_the_photos_may_break_off() {
    let mut taken = 0;
    let result = read(Cursor::new(job_file()), &mut |_, _| {
        taken += 1;
        ControlFlow::Break(())
    });
    assert!(matches!(result, Err(JobFileError::BrokenOff)));
    assert_eq!(taken, 1);
}
