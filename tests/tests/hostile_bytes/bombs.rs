//! A few bytes that claim a great deal: refused by their claim, before automerge sees them.

use ledger::guard::{Claimed, Damaged};
use trials::hostile::log;
use trials::hostile::writable::{load_foreign, merge};
use trials::hostile::written::{
    self, Column, change, document, framed, operations, packed, packed_change, part, run,
};

/// Action column of the operations: field 4, an integer.
const ACTION: u64 = 4 << 4 | 2;
/// How many predecessors an operation has: field 7, a group; the devices of those.
const PREDECESSORS: u64 = 7 << 4;
const PREDECESSOR_DEVICES: u64 = 7 << 4 | 1;
/// Keys: field 1, text.
const KEYS: u64 = 1 << 4 | 5;
/// The lengths and kinds of values, and the values: field 5.
const LENGTHS: u64 = 5 << 4 | 6;
const VALUES: u64 = 5 << 4 | 7;
/// Whether something is inserted: field 3, yes or no.
const INSERTS: u64 = 3 << 4 | 4;
/// The devices of the changes: field 0.
const DEVICES: u64 = 1;
/// Set in a specification where the column is packed.
const PACKED: u64 = 8;

fn refused(bytes: &[u8]) -> Damaged {
    let mut ours = log(1, 2);
    let heads = ours.get_heads();
    merge(&mut ours, bytes).unwrap_err();
    assert_eq!(ours.get_heads(), heads);
    load_foreign(bytes).map(drop).unwrap_err()
}

fn bomb(bytes: &[u8], expected: Claimed) {
    assert!(bytes.len() < 4 << 20, "{} bytes are no small thing", bytes.len());
    match refused(bytes) {
        Damaged::Bomb { claimed } => assert_eq!(claimed, expected),
        other => panic!("{other:?}"),
    }
}

/// The same operations as a document, as a change and as a packed change.
fn as_operations(operations: &[Column], expected: Claimed) {
    bomb(&part(0, &document(&[], operations)), expected);
    bomb(&part(1, &change(operations)), expected);
    bomb(&packed_change(&change(operations)), expected);
}

#[test]
fn a_run_of_a_million_million_operations_is_refused() {
    for length in [1_000_001, 1 << 40, 1 << 50, i64::MAX as u64] {
        as_operations(&[(ACTION, run(length, &[1]))], Claimed::Operations);
    }
    // As nulls, and as one long no.
    as_operations(
        &[(ACTION, [0, 0xff, 0xff, 0xff, 0xff, 0x7f].to_vec())],
        Claimed::Operations,
    );
    as_operations(
        &[(INSERTS, vec![0xff, 0xff, 0xff, 0xff, 0x7f])],
        Claimed::Operations,
    );
}

/// Nothing but the number is wrong with these: of three such operations automerge makes a document, with 2^50 of them it
/// goes on for ever, as with 2^34 predecessors of one, each time in less than a hundred bytes.
#[test]
fn a_bomb_without_a_fault_is_refused() {
    for good in [
        part(1, &change(&operations(3))),
        packed_change(&change(&operations(3))),
    ] {
        assert!(load_foreign(&good).is_ok());
    }
    bomb(&part(1, &change(&operations(1 << 50))), Claimed::Operations);
    bomb(&packed_change(&change(&operations(1 << 50))), Claimed::Operations);
}

#[test]
fn many_parts_of_some_operations_add_up() {
    let one = part(1, &change(&[(ACTION, run(300_000, &[1]))]));
    bomb(&one.repeat(4), Claimed::Operations);
}

#[test]
fn a_run_of_changes_is_refused() {
    bomb(
        &part(0, &document(&[(DEVICES, run(1 << 50, &[0]))], &[])),
        Claimed::Changes,
    );
    let packed_column = packed(&run(1 << 50, &[0]));
    bomb(
        &part(0, &document(&[(DEVICES | PACKED, packed_column)], &[])),
        Claimed::Changes,
    );
}

#[test]
fn one_operation_with_a_million_million_predecessors_is_refused() {
    as_operations(
        &[(PREDECESSORS, run(1, &[0xff, 0xff, 0xff, 0xff, 0x7f]))],
        Claimed::Links,
    );
    as_operations(
        &[
            (PREDECESSORS, run(1, &[1])),
            (PREDECESSOR_DEVICES, run(1 << 50, &[0])),
        ],
        Claimed::Links,
    );
}

#[test]
fn a_long_text_repeated_a_million_times_is_refused() {
    let key = [vec![0x80, 0x20], vec![b'k'; 4096]].concat();
    as_operations(&[(KEYS, run(1_000_000, &key))], Claimed::Text);
}

#[test]
fn three_hundred_mebibytes_packed_small_are_refused() {
    let zeros = vec![0; 300 << 20];
    let column = packed(&zeros);
    bomb(
        &part(0, &document(&[], &[(VALUES | PACKED, column.clone())])),
        Claimed::Bytes,
    );
    bomb(
        &part(0, &document(&[(7, vec![])], &[(ACTION | PACKED, column.clone())])),
        Claimed::Bytes,
    );
    // A packed change of which only the length counts: its checksum cannot be known before it is unpacked.
    bomb(&framed(2, &[0; 4], &column), Claimed::Bytes);
    // Two of which each alone would do.
    let half = packed(&zeros[..100 << 20]);
    let twice = [(VALUES | PACKED, half.clone()), ((6 << 4 | 7) | PACKED, half)];
    bomb(&part(0, &document(&[], &twice)), Claimed::Bytes);
}

#[test]
fn ten_thousand_and_one_devices_are_refused() {
    let mut contents = written::number(10_001);
    for device in 0..10_001u32 {
        contents.push(4);
        contents.extend(device.to_be_bytes());
    }
    bomb(&part(0, &contents), Claimed::Devices);
    // Each in a change of its own: automerge takes room for all of them at each.
    let changes: Vec<u8> = (0..10_001u32).flat_map(empty_change).collect();
    bomb(&changes, Claimed::Devices);
    // Fewer, each with many changes: in a document they are a run.
    let mut contents = written::number(9_999);
    for device in 0..9_999u32 {
        contents.push(4);
        contents.extend(device.to_be_bytes());
    }
    let column = run(199_999, &[0]);
    contents.extend([0, 1, 1, column.len() as u8, 0]);
    contents.extend(column);
    bomb(&part(0, &contents), Claimed::Devices);
    // The same few again and again are few.
    let few: Vec<u8> = (0..10_001u32)
        .flat_map(|device| empty_change(device % 10))
        .collect();
    assert!(load_foreign(&few).is_ok());
}

/// A first change of a device, without operations.
fn empty_change(device: u32) -> Vec<u8> {
    let contents = [&[0, 4][..], &device.to_be_bytes(), &[1, 1, 0, 0, 0, 0]].concat();
    part(1, &contents)
}

#[test]
fn claims_that_cannot_be_kept_are_refused() {
    let misshapen = |operations: &[Column]| {
        for bytes in [part(0, &document(&[], operations)), part(1, &change(operations))] {
            let error = refused(&bytes);
            assert!(matches!(error, Damaged::Misshapen { part: 1 }), "{error:?}");
        }
    };
    // Values longer than what holds them, or without anything that does.
    misshapen(&[(LENGTHS, run(1000, &[0xf6, 0x7f])), (VALUES, vec![0; 10])]);
    misshapen(&[(LENGTHS, run(1, &[0x16]))]);
    // A device that is not in the list: automerge makes room for as many as the number says.
    misshapen(&[(0x21, run(1, &[0xff, 0xff, 0xff, 0xff, 0x0f]))]);
    // A run without its item, a number without an end, a sum beyond 64 bits.
    misshapen(&[(ACTION, vec![5])]);
    misshapen(&[(ACTION, vec![0x7f])]);
    misshapen(&[(ACTION, vec![0x80; 12])]);
    misshapen(&[(0x13, run(1 << 40, &[0xff, 0xff, 0xff, 0xff, 0x0f]))]);
    // A column longer than the part; packed columns where none may be.
    let mut long = change(&[(ACTION, run(1, &[1]))]);
    long.truncate(long.len() - 1);
    assert!(matches!(refused(&part(1, &long)), Damaged::Misshapen { part: 1 }));
    let packed_in_change = part(1, &change(&[(ACTION | PACKED, packed(&run(1, &[1])))]));
    assert!(matches!(
        refused(&packed_in_change),
        Damaged::Misshapen { part: 1 }
    ));
    let no_packing = part(0, &document(&[], &[(ACTION | PACKED, vec![0xff; 20])]));
    assert!(matches!(refused(&no_packing), Damaged::Misshapen { part: 1 }));
}
