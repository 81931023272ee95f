//! Good bytes made bad. The feeders hold what must be so; here they are given enough to do.

use std::collections::BTreeMap;
use std::sync::Once;

use fastrand::Rng;
use ledger::guard::load_foreign;
use ledger::job_file::Writer;
use trials::hostile::mutate::{anywhere, changes_on_top, inside, real_message, varied};
use trials::hostile::{feed_document, feed_job_file, feed_message, written};

/// The same each time unless `HOSTILE_SEED` says another.
fn rng(name: &str) -> Rng {
    let seed = std::env::var("HOSTILE_SEED").map_or(20_260_517, |seed| seed.parse().unwrap());
    println!("{name}: HOSTILE_SEED={seed}");
    Rng::with_seed(seed)
}

fn cases() -> usize {
    std::env::var("HOSTILE_CASES").map_or(2_000, |cases| cases.parse().unwrap())
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
    let mut writer = Writer::new(std::io::Cursor::new(Vec::new()));
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
fn what_was_not_touched_is_taken() {
    let mut document = varied();
    for bytes in [document.save(), document.save_nocompress()] {
        assert_eq!(load_foreign(&bytes).unwrap().get_heads(), document.get_heads());
    }
    let changes = changes_on_top();
    assert!(feed_message(&written::message(b"", &changes)).contains("received: new changes"));
    assert!(feed_message(&real_message()).contains("received: new changes"));
}
