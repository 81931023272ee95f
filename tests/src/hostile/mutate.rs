//! Good bytes made bad: flipped, cut, doubled, and inside a part also with its checksum made right again.

use automerge::sync::{State, SyncDoc};
use automerge::transaction::{CommitOptions, Transactable};
use automerge::{ActorId, AutoCommit, ObjType, ROOT, ScalarValue};
use fastrand::Rng;

use super::{add, log, written};

/// A log with everything that a log of a job may have in it, and more: lists, texts, counters, deletions, conflicts.
pub fn varied() -> AutoCommit {
    let mut document = log(1, 4);
    let put = "the root is a map";
    let list = document.put_object(ROOT, "list", ObjType::List).expect(put);
    for n in 0..20u64 {
        document
            .insert(&list, n as usize, n)
            .expect("the list is that long");
    }
    document.delete(&list, 7).expect("the list is that long");
    let text = document.put_object(ROOT, "text", ObjType::Text).expect(put);
    document
        .splice_text(&text, 0, 0, "sill, ä")
        .expect("a text takes text");
    document.put(ROOT, "counter", ScalarValue::counter(3)).expect(put);
    document.commit_with(
        CommitOptions::default()
            .with_message("note")
            .with_time(1_700_000_000),
    );
    let mut other = document.fork().with_actor(ActorId::from([9; 16]));
    other.increment(ROOT, "counter", 2).expect("it is a counter");
    add(&mut other, 1);
    other.splice_text(&text, 3, 1, "xyz").expect("a text takes text");
    document.put(ROOT, "counter", 4).expect(put);
    document.delete(&list, 0).expect("the list is that long");
    document.merge(&mut other).expect("a fork merges");
    document
}

/// Changes of another device on top of the log that a feeder holds, each as an unpacked part.
pub fn changes_on_top() -> Vec<Vec<u8>> {
    let mut document = log(1, 3).fork().with_actor(ActorId::from([5; 16]));
    let heads = document.get_heads();
    add(&mut document, 2);
    let list = document
        .put_object(ROOT, "list", ObjType::List)
        .expect("the root is a map");
    for n in 0..5 {
        document
            .insert(&list, n, n as u64)
            .expect("the list is that long");
    }
    document.delete(&list, 2).expect("the list is that long");
    document.put(&list, 1, "again").expect("the list is that long");
    document.commit();
    document
        .get_changes(&heads)
        .iter()
        .map(|change| change.raw_bytes().to_vec())
        .collect()
}

/// A real sync message with changes in it.
pub fn real_message() -> Vec<u8> {
    let (mut one, mut two) = (log(1, 3), log(1, 3));
    let mut one = {
        let mut fork = one.fork().with_actor(ActorId::from([5; 16]));
        add(&mut fork, 4);
        fork
    };
    let (mut to_two, mut to_one) = (State::new(), State::new());
    let mut last = Vec::new();
    for _ in 0..4 {
        if let Some(message) = two.sync().generate_sync_message(&mut to_one) {
            one.sync()
                .receive_sync_message(&mut to_two, message)
                .expect("an honest message");
        }
        if let Some(message) = one.sync().generate_sync_message(&mut to_two) {
            let carries = !message.changes.is_empty();
            last = message.clone().encode();
            if carries {
                break;
            }
            two.sync()
                .receive_sync_message(&mut to_one, message)
                .expect("an honest message");
        }
    }
    last
}

/// Changes a few bytes, cuts some out, doubles some, or ends early.
pub fn anywhere(rng: &mut Rng, bytes: &[u8]) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    for _ in 0..rng.usize(1..=4) {
        if bytes.is_empty() {
            bytes.push(rng.u8(..));
        }
        let at = rng.usize(..bytes.len());
        let to = (at + rng.usize(1..=16)).min(bytes.len());
        match rng.u8(..8) {
            0 => bytes[at] = rng.u8(..),
            1 => bytes[at] ^= 1 << rng.u8(..8),
            2 => bytes[at] = bytes[at].wrapping_add(1),
            3 => bytes[at] = bytes[at].wrapping_sub(1),
            // Numbers at the ends of their range.
            4 => {
                bytes[at] = *rng
                    .choice(&[0, 1, 0x3f, 0x40, 0x7f, 0x80, 0xff])
                    .expect("there are some")
            }
            5 => drop(bytes.drain(at..to)),
            6 => {
                let again = bytes[at..to].to_vec();
                bytes.splice(at..at, again);
            }
            _ => bytes.truncate(at),
        }
    }
    bytes
}

/// Changes a few bytes inside a part and makes its checksum right again. The part is a document or an unpacked change.
pub fn inside(rng: &mut Rng, part: &[u8]) -> Vec<u8> {
    let contents = anywhere(rng, contents(part));
    match rng.bool() {
        true if part[8] == 1 => written::packed_change(&contents),
        _ => written::part(part[8], &contents),
    }
}

/// What follows the head of a part.
pub fn contents(part: &[u8]) -> &[u8] {
    let mut at = 9;
    while part[at] & 0x80 != 0 {
        at += 1;
    }
    &part[at + 1..]
}

/// The same bytes with the checksum of every unpacked part made right, wherever one begins: a fuzzer does not guess it.
pub fn repaired(bytes: &[u8]) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    let mut from = 0;
    while let Some(at) = bytes[from..].windows(4).position(|window| window == MAGIC) {
        from += at;
        if let Some((kind, contents)) = unpacked(&bytes[from..]) {
            let sum = written::checksum(kind, contents);
            bytes[from + 4..from + 8].copy_from_slice(&sum);
        }
        from += 4;
    }
    bytes
}

const MAGIC: [u8; 4] = [0x85, 0x6f, 0x4a, 0x83];

/// The kind and contents of the part at the beginning, where it is all there and not packed.
fn unpacked(part: &[u8]) -> Option<(u8, &[u8])> {
    let kind = *part.get(8).filter(|kind| **kind < 2)?;
    let (mut length, mut shift, mut at) = (0usize, 0, 9);
    loop {
        let byte = *part.get(at)?;
        length |= usize::from(byte & 0x7f).checked_shl(shift)?;
        (shift, at) = (shift + 7, at + 1);
        if byte & 0x80 == 0 {
            return Some((kind, part.get(at..at.checked_add(length)?)?));
        }
    }
}
