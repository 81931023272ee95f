//! Parts written by hand, checksum and all.

use std::io::Write;

use automerge::transaction::Transactable;
use automerge::{AutoCommit, ROOT};
use sha2::{Digest, Sha256};

/// A log with this many changes, each with eight fields, under the name `device`.
pub(super) fn log(device: u8, changes: usize) -> AutoCommit {
    let mut document = AutoCommit::new().with_actor(automerge::ActorId::from([device; 16]));
    add(&mut document, changes);
    document
}

/// Adds so many changes.
pub(super) fn add(document: &mut AutoCommit, changes: usize) {
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

/// An unsigned LEB128 number.
pub(super) fn number(mut value: u64) -> Vec<u8> {
    let mut bytes = Vec::new();
    loop {
        let low = (value & 0x7f) as u8;
        value >>= 7;
        if value == 0 {
            bytes.push(low);
            return bytes;
        }
        bytes.push(low | 0x80);
    }
}

/// A run of `length` items in a run-length column, each of which is `item`.
pub(super) fn run(length: u64, item: &[u8]) -> Vec<u8> {
    // The head is signed: a sixth bit that is set in the last byte would make it negative.
    let mut head = number(length);
    if head.last().unwrap() & 0x40 != 0 {
        *head.last_mut().unwrap() |= 0x80;
        head.push(0);
    }
    [&head, item].concat()
}

/// What deflating makes of it.
pub(super) fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = flate2::write::DeflateEncoder::new(Vec::new(), flate2::Compression::best());
    encoder.write_all(bytes).unwrap();
    encoder.finish().unwrap()
}

/// The first four bytes of the hash over kind, length and contents.
pub(super) fn checksum(kind: u8, contents: &[u8]) -> Vec<u8> {
    let head = [vec![kind], number(contents.len() as u64)].concat();
    Sha256::new().chain_update(head).chain_update(contents).finalize()[..4].to_vec()
}

/// A part with the right checksum.
pub(super) fn part(kind: u8, contents: &[u8]) -> Vec<u8> {
    framed(kind, &checksum(kind, contents), contents)
}

/// A packed change with the right checksum.
pub(super) fn packed_change(contents: &[u8]) -> Vec<u8> {
    framed(2, &checksum(1, contents), &packed(contents))
}

pub(super) fn framed(kind: u8, checksum: &[u8], stored: &[u8]) -> Vec<u8> {
    let mut bytes = vec![0x85, 0x6f, 0x4a, 0x83];
    bytes.extend(checksum);
    bytes.push(kind);
    bytes.extend(number(stored.len() as u64));
    bytes.extend(stored);
    bytes
}

/// A column: its specification and its bytes.
pub(super) type Column = (u64, Vec<u8>);

fn heads(columns: &[Column]) -> Vec<u8> {
    let mut bytes = number(columns.len() as u64);
    for (specification, column) in columns {
        bytes.extend(number(*specification));
        bytes.extend(number(column.len() as u64));
    }
    bytes
}

/// The contents of a document of one device with no newest changes.
pub(super) fn document(changes: &[Column], operations: &[Column]) -> Vec<u8> {
    let mut bytes = vec![1, 1, 7, 0];
    bytes.extend(heads(changes));
    bytes.extend(heads(operations));
    for (_, column) in changes.iter().chain(operations) {
        bytes.extend(column);
    }
    bytes
}

/// The contents of a first change of one device.
pub(super) fn change(operations: &[Column]) -> Vec<u8> {
    // No predecessors, the device, change 1, operation 1, time 0, no note, no other devices.
    let mut bytes = vec![0, 1, 7, 1, 1, 0, 0, 0];
    bytes.extend(heads(operations));
    for (_, column) in operations {
        bytes.extend(column);
    }
    bytes
}

/// A sync message of the first version with these changes in it.
pub(super) fn message(filter: &[u8], chunks: &[Vec<u8>]) -> Vec<u8> {
    let mut bytes = vec![0x42, 0, 0, 1, 0];
    bytes.extend(number(filter.len() as u64));
    bytes.extend(filter);
    bytes.extend(number(chunks.len() as u64));
    for chunk in chunks {
        bytes.extend(number(chunk.len() as u64));
        bytes.extend(chunk);
    }
    bytes
}
