//! What is taken in, and what is not. Bytes written by hand and mutated ones: `tests/tests/hostile_bytes.rs`.
#![allow(clippy::unwrap_used, reason = "tests: a panic is how they fail")]

use automerge::sync::State;
use automerge::transaction::Transactable;
use automerge::{AutoCommit, ObjType, ROOT, ReadDoc};

mod writable;

use super::{Damaged, LARGEST, salvage};
use writable::{answer, load_foreign, load_own, merge, receive, writable};

/// A log with this many changes, each with eight fields, under the name `device`.
fn log(device: u8, changes: usize) -> AutoCommit {
    let mut document = AutoCommit::new().with_actor(automerge::ActorId::from([device; 16]));
    add(&mut document, changes);
    document
}

/// Adds so many changes.
fn add(document: &mut AutoCommit, changes: usize) {
    let device = document.get_actor().to_bytes()[0];
    let before = document.get_changes(&[]).len();
    for number in before..before + changes {
        for field in ["kind", "from", "to", "value", "unit", "by", "at", "note"] {
            let key = format!("{device:02x}{number:030x}/{field}");
            document.put(ROOT, key, format!("{field} {number}")).unwrap();
        }
        document.commit();
    }
}

/// One document with everything the format has: maps, lists, text, marks are left out, counters, deletions, conflicts,
/// several devices, notes and times.
fn everything() -> AutoCommit {
    let mut document = log(1, 3);
    let list = document.put_object(ROOT, "list", ObjType::List).unwrap();
    for n in 0..50u64 {
        document.insert(&list, n as usize, n).unwrap();
    }
    document.delete(&list, 7).unwrap();
    let text = document.put_object(ROOT, "text", ObjType::Text).unwrap();
    document.splice_text(&text, 0, 0, "sill, äöü, 左").unwrap();
    let counter = automerge::ScalarValue::counter(3);
    document.put(ROOT, "counter", counter).unwrap();
    document.put(ROOT, "bytes", vec![1, 2, 3]).unwrap();
    document.put(ROOT, "float", 2.5).unwrap();
    document.put(ROOT, "no", false).unwrap();
    document.commit_with(
        automerge::transaction::CommitOptions::default()
            .with_message("note")
            .with_time(1_700_000_000_000),
    );
    let mut other = document.fork().with_actor(automerge::ActorId::from([9; 16]));
    other.increment(ROOT, "counter", 2).unwrap();
    other.put(ROOT, "float", 3.5).unwrap();
    other.splice_text(&text, 3, 1, "xyz").unwrap();
    document.put(ROOT, "float", 4.5).unwrap();
    document.delete(ROOT, "no").unwrap();
    document.merge(&mut other).unwrap();
    document
}

fn same(a: &mut AutoCommit, b: &mut AutoCommit) -> bool {
    a.get_heads() == b.get_heads() && a.hydrate(&ROOT, None).unwrap() == b.hydrate(&ROOT, None).unwrap()
}

#[test]
fn a_document_is_taken_as_it_was_saved() {
    for mut document in [AutoCommit::new(), log(1, 1), log(1, 200), everything()] {
        for bytes in [document.save(), document.save_nocompress()] {
            assert!(same(&mut document, &mut load_foreign(&bytes).unwrap()));
            assert!(same(&mut document, &mut load_own(&bytes).unwrap()));
        }
    }
}

#[test]
fn changes_alone_and_after_a_document_are_taken() {
    let mut document = everything();
    let changes: Vec<Vec<u8>> = document
        .get_changes(&[])
        .into_iter()
        .map(|mut change| change.bytes().into_owned())
        .collect();
    let loose = changes.concat();
    assert!(same(&mut document, &mut load_foreign(&loose).unwrap()));
    assert!(same(&mut document, &mut load_own(&loose).unwrap()));

    let mut base = log(1, 5);
    let (saved, heads) = (base.save(), base.get_heads());
    add(&mut base, 5);
    let later = base.save_after(&heads);
    let both = [saved, later].concat();
    assert!(same(&mut base, &mut load_foreign(&both).unwrap()));
    assert!(same(&mut base, &mut load_own(&both).unwrap()));
}

#[test]
fn merging_takes_what_is_new_and_keeps_the_name_of_the_device() {
    let mut ours = log(1, 3);
    let name = ours.get_actor().clone();
    let mut theirs = ours.fork().with_actor(automerge::ActorId::from([2; 16]));
    add(&mut ours, 2);
    let heads = theirs.get_heads();
    add(&mut theirs, 4);
    assert!(merge(&mut ours, &theirs.save_after(&heads)).unwrap());
    assert!(!merge(&mut ours, &theirs.save()).unwrap(), "nothing is new");
    assert_eq!(ours.get_changes(&[]).len(), 3 + 2 + 4);
    assert_eq!(ours.get_actor(), &name);
    add(&mut ours, 1);
    assert!(load_foreign(&ours.save()).is_ok());
}

#[test]
fn two_devices_come_to_the_same_by_messages() {
    let mut one = log(1, 30);
    let mut two = one.fork().with_actor(automerge::ActorId::from([2; 16]));
    add(&mut one, 12);
    add(&mut two, 40);
    let (mut to_two, mut to_one) = (State::new(), State::new());
    for _ in 0..10 {
        let (a, b) = (
            answer(&mut one, &mut to_two).unwrap(),
            answer(&mut two, &mut to_one).unwrap(),
        );
        if a.is_none() && b.is_none() {
            break;
        }
        if let Some(message) = a {
            receive(&mut two, &mut to_one, &message).unwrap();
        }
        if let Some(message) = b {
            receive(&mut one, &mut to_two, &message).unwrap();
        }
    }
    assert_eq!(one.get_changes(&[]).len(), 82);
    assert!(same(&mut one, &mut two));
}

#[test]
fn each_kind_of_damage_has_its_words() {
    let mut document = log(1, 40);
    let saved = document.save();
    let told = |bytes: &[u8]| load_foreign(bytes).map(drop).unwrap_err().to_string();
    assert_eq!(
        told(b""),
        "there is nothing in it: copy it again from the device it came from"
    );
    assert_eq!(
        told(b"label,from,to"),
        "it is not the log of a job: choose one that this program wrote"
    );
    assert_eq!(
        told(&saved[..saved.len() - 1]),
        "it is cut off within part 1: copy it again, whole, from the device it came from"
    );
    assert!(matches!(
        load_foreign(&saved[..2]),
        Err(Damaged::CutOff { part: 1 })
    ));
    let followed = [&saved, &b"\r\n"[..]].concat();
    assert_eq!(
        told(&followed),
        "there is something else where part 2 should begin: copy it again from the device it came from"
    );
    let mut flipped = saved.clone();
    flipped[saved.len() / 2] ^= 4;
    assert_eq!(
        told(&flipped),
        "part 1 does not match its checksum: it was damaged on the way or on the disk, so copy it again from the device \
         it came from"
    );
    assert!(matches!(
        load_foreign(&vec![0; LARGEST + 1]),
        Err(Damaged::TooLarge { .. })
    ));
}

#[test]
fn changes_without_those_before_them_are_refused() {
    let mut document = log(1, 5);
    let (saved, heads) = (document.save(), document.get_heads());
    add(&mut document, 1);
    let between = document.get_heads();
    add(&mut document, 1);
    let last = document.save_after(&between);
    let missing =
        |result: Result<AutoCommit, Damaged>| matches!(result, Err(Damaged::Missing { changes: 1 }));
    assert!(missing(load_foreign(&last)));
    assert!(missing(load_own(&last)));
    let gap = [saved.clone(), last.clone()].concat();
    assert!(missing(load_foreign(&gap)));
    assert!(missing(load_own(&gap)));
    let mut ours = load_foreign(&saved).unwrap();
    assert!(matches!(
        merge(&mut ours, &last),
        Err(Damaged::Missing { changes: 1 })
    ));
    assert_eq!(ours.get_heads(), heads);
    assert!(ours.get_missing_deps(&[]).is_empty(), "nothing waits");
}

#[test]
fn two_devices_under_one_name_are_told() {
    let mut one = log(1, 2);
    let mut two = load_own(&one.save()).unwrap().with_actor(one.get_actor().clone());
    one.put(ROOT, "a", 1).unwrap();
    two.put(ROOT, "a", 2).unwrap();
    let heads = one.get_heads();
    let error = merge(&mut one, &two.save()).unwrap_err();
    assert!(matches!(error, Damaged::SameName { number: 3, .. }), "{error:?}");
    assert_eq!(one.get_heads(), heads);
}

/// A log in three chunks: a document, then twice some changes.
fn chunks() -> (AutoCommit, Vec<Vec<u8>>) {
    let mut document = log(1, 10);
    let mut chunks = vec![document.save()];
    for _ in 0..2 {
        let heads = document.get_heads();
        add(&mut document, 3);
        chunks.push(document.save_after(&heads));
    }
    (document, chunks)
}

#[test]
fn nothing_is_lost_where_nothing_is_damaged() {
    let (mut document, chunks) = chunks();
    let salvaged = salvage(&chunks).unwrap();
    assert!(same(&mut document, &mut writable(&salvaged.document)));
    assert!(salvaged.missing.is_empty() && salvaged.unreadable.is_empty());
    assert_eq!(salvaged.left_out, 0);
}

#[test]
fn a_damaged_chunk_costs_what_builds_on_it() {
    let (mut document, mut chunks) = chunks();
    // The second of the three changes in the middle chunk.
    let change = document.get_changes(&[])[11].raw_bytes().to_vec();
    let at = chunks[1]
        .windows(change.len())
        .position(|window| window == change)
        .unwrap();
    chunks[1][at + change.len() / 2] ^= 1;
    let salvaged = salvage(&chunks).unwrap();
    assert_eq!(salvaged.document.get_changes(&[]).len(), 11);
    assert_eq!(salvaged.unreadable, [1]);
    assert_eq!(salvaged.left_out, 4);
    assert_eq!(salvaged.missing.len(), 1);
    assert!(salvaged.document.get_missing_deps(&[]).is_empty());
    assert!(load_own(&salvaged.document.save()).is_ok());
}

#[test]
fn a_missing_chunk_and_a_cut_one_are_told() {
    let (_, mut chunks) = chunks();
    let gone = salvage(&[chunks[0].clone(), chunks[2].clone()]).unwrap();
    assert_eq!((gone.left_out, gone.missing.len()), (3, 1));
    assert!(gone.unreadable.is_empty());
    let short = chunks[2].len() - 5;
    chunks[2].truncate(short);
    let cut = salvage(&chunks).unwrap();
    assert_eq!((cut.left_out, cut.missing.len()), (0, 0));
    assert_eq!(cut.unreadable, [2]);
}

#[test]
fn of_nothing_readable_nothing_is_made() {
    assert!(salvage(&[]).is_none());
    assert!(salvage(&[Vec::new(), b"nothing".to_vec()]).is_none());
    let (_, chunks) = chunks();
    assert!(
        salvage(&chunks[1..]).is_none(),
        "every change builds on the first chunk"
    );
}
