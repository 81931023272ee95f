//! Parts and messages written by hand: right in frame and checksum, wrong inside.

use automerge::ReadDoc;
use automerge::sync::{Message, State, SyncDoc};
use ledger::guard::{Damaged, load_foreign, load_own, receive, salvage, settled_bytes};
use trials::hostile::{add, log, written};

/// A change whose one operation is in an object that is nowhere.
fn nowhere() -> Vec<u8> {
    written::part(
        1,
        &written::change(&[
            (0x01, written::run(1, &[0])),
            (0x02, written::run(1, &[99])),
            (0x15, written::run(1, b"\x01k")),
            (0x34, vec![1]),
            (0x42, written::run(1, &[1])),
            (0x56, written::run(1, &[0])),
            (0x70, written::run(1, &[0])),
        ]),
    )
}

#[test]
fn parts_of_unknown_kind_and_without_form_are_told_apart() {
    assert!(matches!(
        load_foreign(&written::part(7, b"x")),
        Err(Damaged::UnknownPart { part: 1, kind: 7 })
    ));
    assert!(matches!(
        load_foreign(&written::part(1, b"x")),
        Err(Damaged::Misshapen { part: 1 })
    ));
}

#[test]
fn changes_that_wait_are_forgotten_when_a_message_fails() {
    let mut document = log(1, 2);
    let start = document.save();
    add(&mut document, 1);
    let between = document.get_heads();
    add(&mut document, 1);
    let waiting = written::message(b"", &[document.save_after(&between)]);
    let mut ours = load_foreign(&start).unwrap();
    let name = ours.get_actor().clone();
    let heads = ours.get_heads();
    assert!(!receive(&mut ours, &mut State::new(), &waiting).unwrap());
    assert_eq!(ours.get_missing_deps(&[]).len(), 1);
    // What is kept of it in the meantime can be loaded.
    assert!(matches!(load_own(&ours.save()), Err(Damaged::Missing { .. })));
    assert_eq!(load_own(&settled_bytes(&ours)).unwrap().get_heads(), heads);
    // Automerge panics or refuses, as it likes.
    let bad = written::message(b"", &[nowhere()]);
    let error = receive(&mut ours, &mut State::new(), &bad).unwrap_err();
    assert!(
        matches!(
            error,
            Damaged::Panicked | Damaged::Refused { .. } | Damaged::Unloadable
        ),
        "{error:?}"
    );
    assert!(ours.get_missing_deps(&[]).is_empty());
    assert_eq!(ours.get_heads(), heads);
    assert_eq!(ours.get_actor(), &name);
}

#[test]
fn a_filter_that_cannot_be_asked_is_refused() {
    let mut ours = log(1, 3).document().clone();
    let asked = |filter: &[u8]| {
        let mut ours = ours.clone();
        receive(&mut ours, &mut State::new(), &written::message(filter, &[]))
    };
    assert!(asked(&[1, 10, 7, 0xff, 0xff]).is_ok());
    // No bits for one entry, no questions, four thousand million questions, fewer bits than claimed.
    for filter in [
        &[1, 0, 7][..],
        &[1, 10, 0, 0xff, 0xff],
        &[1, 10, 0xff, 0xff, 0xff, 0xff, 0x0f, 0xff, 0xff],
        &[2, 10, 7, 0xff, 0xff],
        &[1, 10],
    ] {
        assert!(matches!(asked(filter), Err(Damaged::BrokenMessage)), "{filter:?}");
    }
    let mut state = State::new();
    assert!(matches!(
        receive(&mut ours, &mut state, b""),
        Err(Damaged::NotAMessage)
    ));
    assert!(matches!(
        receive(&mut ours, &mut state, b"\x41"),
        Err(Damaged::NotAMessage)
    ));
    assert!(matches!(
        receive(&mut ours, &mut state, b"\x42\x01"),
        Err(Damaged::BrokenMessage)
    ));
}

#[test]
fn a_message_is_taken_whole_or_not_at_all() {
    let mut theirs = log(2, 1);
    let first = theirs.get_changes(&[])[0].raw_bytes().to_vec();
    // Right in frame and checksum, its columns out of order: automerge alone takes the first and says nothing of this.
    let no_change = written::part(1, &written::change(&[(66, written::run(1, &[1])), (52, vec![1])]));
    let bytes = written::message(b"", &[first, no_change]);
    let message = Message::decode(&bytes).unwrap();
    let mut trusting = log(1, 1);
    let alone = trusting.sync().receive_sync_message(&mut State::new(), message);
    assert!(alone.is_ok());
    assert_eq!(trusting.get_changes(&[]).len(), 2);

    let mut ours = log(1, 1).document().clone();
    let error = receive(&mut ours, &mut State::new(), &bytes).unwrap_err();
    assert!(
        matches!(error, Damaged::Refused { .. } | Damaged::Panicked),
        "{error:?}"
    );
    assert_eq!(ours.get_changes(&[]).len(), 1);
}

#[test]
fn a_change_that_breaks_the_document_is_left_out() {
    let mut document = log(1, 10);
    let (base, heads) = (document.save(), document.get_heads());
    add(&mut document, 3);
    let salvaged = salvage(&[base, nowhere(), document.save_after(&heads)]).unwrap();
    assert_eq!(salvaged.document.get_heads(), document.get_heads());
    assert_eq!(salvaged.left_out + salvaged.unreadable.len(), 1);
}
