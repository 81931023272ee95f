//! Good bytes made bad. The feeders hold what must be so; here they are given enough to do.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::ops::ControlFlow;
use std::sync::Once;

use automerge::transaction::Transactable;
use automerge::{ActorId, AutoCommit, ObjType, ROOT, ReadDoc, ScalarValue};
use fastrand::Rng;
use ledger::job_file::{Writer, read};
use trials::hostile::mutate::{anywhere, changes_on_top, inside, real_message, repaired, varied};
use trials::hostile::writable::{load_foreign, load_own, merge};
use trials::hostile::{feed_document, feed_job_file, feed_message, written};

/// The same each time unless `HOSTILE_SEED` says another.
fn rng(name: &str) -> Rng {
    let seed = std::env::var("HOSTILE_SEED").map_or(20_260_517, |seed| seed.parse().unwrap());
    println!("{name}: HOSTILE_SEED={seed}");
    Rng::with_seed(seed)
}

fn cases() -> usize {
    std::env::var("HOSTILE_CASES").map_or(1_000, |cases| cases.parse().unwrap())
}

/// Automerge panics by the hundred here; each would be printed with its trace. Others are told as always.
fn hush() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let told = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |panic| {
            let inside = |part: &str| panic.location().is_some_and(|place| place.file().contains(part));
            if !inside("/automerge-") && !inside("/hexane-") && !inside("/library/") {
                told(panic);
            }
        }));
    });
}

/// Feeds `make` by the thousand and counts what was said. The bytes that make a feeder panic are told.
fn many(
    name: &str,
    feed: fn(&[u8]) -> String,
    mut make: impl FnMut(&mut Rng) -> Vec<u8>,
) -> BTreeMap<String, usize> {
    hush();
    let mut rng = rng(name);
    let mut told = BTreeMap::new();
    for case in 0..cases() {
        let bytes = make(&mut rng);
        let said = std::panic::catch_unwind(|| feed(&bytes)).unwrap_or_else(|_| {
            let hex: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
            panic!("{name}: case {case}: {hex}");
        });
        // Numbers aside, so that there are few kinds.
        let kind: String = said
            .chars()
            .map(|c| if c.is_ascii_digit() { '0' } else { c })
            .collect();
        *told.entry(kind).or_default() += 1;
    }
    for (said, count) in &told {
        println!("{count:6} {said}");
    }
    told
}

fn one<'a>(rng: &mut Rng, of: &'a [Vec<u8>]) -> &'a [u8] {
    &of[rng.usize(..of.len())]
}

/// How many of the answers contain this.
fn how_many(told: &BTreeMap<String, usize>, part: &str) -> usize {
    told.iter()
        .filter(|(said, _)| said.contains(part))
        .map(|(_, count)| count)
        .sum()
}

#[test]
fn documents_with_flipped_bytes_are_refused() {
    let mut document = varied();
    let whole = [
        document.save(),
        document.save_nocompress(),
        changes_on_top().concat(),
    ];
    let told = many("documents", feed_document, |rng| {
        let good = one(rng, &whole);
        anywhere(rng, good)
    });
    assert!(how_many(&told, "does not match its checksum") > 0);
    assert!(how_many(&told, "is cut off") > 0);
}

#[test]
fn documents_with_flipped_bytes_and_right_checksums_do_no_harm() {
    let whole = [
        varied().save_nocompress(),
        trials::hostile::log(1, 2).save_nocompress(),
    ];
    let told = many("inside documents", feed_document, |rng| {
        let good = one(rng, &whole);
        inside(rng, good)
    });
    assert_eq!(how_many(&told, "does not match its checksum"), 0);
}

#[test]
fn changes_with_flipped_bytes_and_right_checksums_do_no_harm() {
    let good = changes_on_top();
    let base = trials::hostile::log(1, 3).save();
    let told = many("inside changes", feed_document, |rng| {
        let at = rng.usize(..good.len());
        let mut parts = good[..at].to_vec();
        parts.push(inside(rng, &good[at]));
        if rng.bool() {
            parts.insert(0, base.clone());
        }
        parts.concat()
    });
    // It is worth the while: automerge does panic, and not all is refused.
    assert!(how_many(&told, "within the reader") > 0, "{told:#?}");
    assert!(how_many(&told, "merged: new changes") > 0, "{told:#?}");
}

#[test]
fn messages_with_flipped_bytes_and_right_checksums_do_no_harm() {
    let good = changes_on_top();
    let message = real_message();
    let told = many("inside messages", feed_message, |rng| {
        if rng.u8(..4) == 0 {
            return anywhere(rng, &message);
        }
        let at = rng.usize(..good.len());
        let mut parts = good[..at].to_vec();
        parts.push(inside(rng, &good[at]));
        let filter = if rng.bool() {
            &[1, 10, 7, 0xff, 0xff][..]
        } else {
            b""
        };
        written::message(filter, &parts)
    });
    assert!(how_many(&told, "within the reader") > 0, "{told:#?}");
    assert!(how_many(&told, "received: new changes") > 0, "{told:#?}");
}

#[test]
fn random_bytes_are_refused() {
    for feed in [feed_document, feed_message, feed_job_file] {
        many("random bytes", feed, |rng| {
            let mut bytes: Vec<u8> = (0..rng.usize(..300)).map(|_| rng.u8(..)).collect();
            // Some begin as they should.
            let begin: &[u8] = match rng.u8(..4) {
                0 => &[0x85, 0x6f, 0x4a, 0x83],
                1 => &[0x42],
                2 => b"PK\x03\x04",
                _ => b"",
            };
            bytes.splice(..begin.len().min(bytes.len()), begin.iter().copied());
            bytes
        });
    }
}

#[test]
fn job_files_with_flipped_bytes_are_refused_or_whole() {
    let mut rng = rng("a job file");
    let photo: Vec<u8> = (0..600).map(|_| rng.u8(..)).collect();
    let mut writer = Writer::new(Cursor::new(Vec::new()));
    writer.text("README.txt", "What this is.\n").unwrap();
    writer.document(&trials::hostile::log(1, 3).save()).unwrap();
    writer.text("readings.csv", &"from,to,tape\n".repeat(40)).unwrap();
    writer.photo(&"ab".repeat(32), "jpg", &photo).unwrap();
    let good = writer.finish().unwrap().into_inner();
    let whole = feed_job_file(&good);
    let told = many("job files", feed_job_file, |rng| anywhere(rng, &good));
    assert!(how_many(&told, "is damaged") > 0);
    assert!(how_many(&told, "is cut off") > 0);
    println!("unharmed: {whole}");
}

#[test]
fn repairing_makes_checksums_right_and_nothing_else() {
    let good = [varied().save_nocompress(), changes_on_top().concat()].concat();
    assert_eq!(repaired(&good), good);
    let mut bad = good.clone();
    bad[5] ^= 1;
    assert_eq!(repaired(&bad), good);
}

#[test]
fn what_was_not_touched_is_taken() {
    let mut document = varied();
    for bytes in [document.save(), document.save_nocompress()] {
        assert_eq!(load_foreign(&bytes).unwrap().get_heads(), document.get_heads());
    }
    let changes = changes_on_top();
    assert!(feed_message(&written::message(b"", &changes)).contains("received: new changes"));
    assert!(feed_message(&real_message()).contains("received: new changes"));
}

#[test]
fn what_is_put_into_a_job_file_comes_out() {
    let mut rng = rng("job files there and back");
    for _ in 0..cases() / 20 {
        let document: Vec<u8> = (0..rng.usize(..3000)).map(|_| rng.u8(..)).collect();
        let texts: Vec<(String, String)> = (0..rng.usize(..6))
            .map(|n| {
                let text: String = (0..rng.usize(..500)).map(|_| rng.char(..)).collect();
                let ending = ["csv", "txt", "json"][rng.usize(..3)];
                (
                    format!("{}-{n}.{ending}", "sheet_".repeat(rng.usize(1..10))),
                    text,
                )
            })
            .collect();
        let photos: Vec<(String, &str, Vec<u8>)> = (0..rng.usize(..6))
            .map(|n| {
                let bytes: Vec<u8> = (0..rng.usize(..2000)).map(|_| rng.u8(..)).collect();
                (format!("{n:064x}"), ["jpg", "png", "webp"][rng.usize(..3)], bytes)
            })
            .collect();
        let write = || {
            let mut writer = Writer::new(Cursor::new(Vec::new()));
            for (name, text) in &texts {
                writer.text(name, text).unwrap();
            }
            writer.document(&document).unwrap();
            for (hash, extension, bytes) in &photos {
                writer.photo(hash, extension, bytes).unwrap();
            }
            writer.finish().unwrap().into_inner()
        };
        let bytes = write();
        assert_eq!(bytes, write(), "the same input gives the same bytes");
        let mut seen = Vec::new();
        let contents = read(Cursor::new(&bytes), &mut |name, bytes| {
            seen.push((name.hash().to_owned(), name.extension(), bytes));
            ControlFlow::Continue(())
        })
        .unwrap();
        assert_eq!(contents.document, document);
        assert_eq!(contents.texts, texts);
        assert_eq!(contents.ignored, [""; 0]);
        assert_eq!(seen, photos);
    }
}

/// Whatever honest devices write is taken: the look at the claims knows the format as automerge writes it.
#[test]
fn honest_logs_of_any_make_are_taken() {
    let mut rng = rng("honest logs");
    for case in 0..cases() / 10 {
        let mut devices: Vec<AutoCommit> = vec![AutoCommit::new().with_actor(ActorId::from([0; 16]))];
        for _ in 0..rng.usize(1..25) {
            let device = rng.usize(..devices.len());
            match rng.u8(..10) {
                0 if devices.len() < 4 => {
                    let name = ActorId::from([devices.len() as u8; 16]);
                    let fork = devices[device].fork().with_actor(name);
                    devices.push(fork);
                }
                1 => {
                    let mut other = devices[rng.usize(..devices.len())].clone();
                    devices[device].merge(&mut other).unwrap();
                }
                _ => {
                    for _ in 0..rng.usize(1..12) {
                        edit(&mut rng, &mut devices[device]);
                    }
                    devices[device].commit();
                }
            }
        }
        let (first, others) = devices.split_first_mut().unwrap();
        for other in others {
            let saved = if rng.bool() {
                other.save()
            } else {
                other.save_nocompress()
            };
            let heads = load_foreign(&saved)
                .unwrap_or_else(|why| panic!("case {case}: {why}"))
                .get_heads();
            assert_eq!(heads, other.get_heads());
            let before = first.get_heads();
            let later = other.save_after(&before);
            if later.is_empty() {
                continue;
            }
            let moved = merge(first, &later).unwrap_or_else(|why| panic!("case {case}: {why}"));
            assert_eq!(moved, first.get_heads() != before);
        }
        let loose: Vec<u8> = first
            .get_changes(&[])
            .into_iter()
            .flat_map(|mut change| change.bytes().into_owned())
            .collect();
        if !loose.is_empty() {
            assert_eq!(load_foreign(&loose).unwrap().get_heads(), first.get_heads());
            assert_eq!(load_own(&loose).unwrap().get_heads(), first.get_heads());
        }
    }
}

/// One edit of any kind at a place that may be one of another device.
fn edit(rng: &mut Rng, document: &mut AutoCommit) {
    let key = format!("key {}", rng.u8(..8));
    let inside = match document.get(ROOT, "list") {
        Ok(Some((_, list))) if rng.bool() => list,
        _ => ROOT,
    };
    if inside != ROOT {
        let length = document.length(&inside);
        match rng.u8(..3) {
            0 if length > 0 => document.delete(&inside, rng.usize(..length)).unwrap(),
            1 if length > 0 => document.put(&inside, rng.usize(..length), rng.u64(..)).unwrap(),
            _ => document.insert(&inside, rng.usize(..=length), key).unwrap(),
        }
        return;
    }
    match rng.u8(..10) {
        0 => drop(document.put_object(ROOT, "list", ObjType::List).unwrap()),
        1 => {
            let text = document.put_object(ROOT, "text", ObjType::Text).unwrap();
            document
                .splice_text(&text, 0, 0, &key.repeat(rng.usize(..40)))
                .unwrap();
        }
        2 => drop(document.delete(ROOT, key)),
        3 => document
            .put(ROOT, "counter", ScalarValue::counter(rng.i64(..)))
            .unwrap(),
        4 => drop(document.increment(ROOT, "counter", rng.i64(-5..5))),
        5 => document.put(ROOT, key, ScalarValue::Null).unwrap(),
        6 => document
            .put(ROOT, key, vec![rng.u8(..); rng.usize(..600)])
            .unwrap(),
        7 => document.put(ROOT, key, rng.bool()).unwrap(),
        8 => document.put(ROOT, key, rng.f64()).unwrap(),
        _ => document.put(ROOT, key, "words ".repeat(rng.usize(..80))).unwrap(),
    }
}
