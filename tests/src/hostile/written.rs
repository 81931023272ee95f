//! Parts of logs and messages written by hand after the open format (automerge.org/automerge-binary-format-spec),
//! checksum and all: by a way of its own, so that it checks the one that reads them.

use std::io::Write;

use sha2::{Digest, Sha256};

/// An unsigned LEB128 number.
pub fn number(mut value: u64) -> Vec<u8> {
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
pub fn run(length: u64, item: &[u8]) -> Vec<u8> {
    // The head is signed: a sixth bit that is set in the last byte would make it negative.
    let mut head = number(length);
    if head.last().expect("a number has a byte") & 0x40 != 0 {
        *head.last_mut().expect("a number has a byte") |= 0x80;
        head.push(0);
    }
    [&head, item].concat()
}

/// What deflating makes of it.
pub fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = flate2::write::DeflateEncoder::new(Vec::new(), flate2::Compression::best());
    encoder.write_all(bytes).expect("memory takes them");
    encoder.finish().expect("memory takes them")
}

/// The first four bytes of the hash over kind, length and contents.
pub fn checksum(kind: u8, contents: &[u8]) -> Vec<u8> {
    let head = [vec![kind], number(contents.len() as u64)].concat();
    Sha256::new().chain_update(head).chain_update(contents).finalize()[..4].to_vec()
}

/// A part with the right checksum.
pub fn part(kind: u8, contents: &[u8]) -> Vec<u8> {
    framed(kind, &checksum(kind, contents), contents)
}

/// A packed change with the right checksum.
pub fn packed_change(contents: &[u8]) -> Vec<u8> {
    framed(2, &checksum(1, contents), &packed(contents))
}

/// A part with whatever checksum and contents as they are stored.
pub fn framed(kind: u8, checksum: &[u8], stored: &[u8]) -> Vec<u8> {
    let mut bytes = vec![0x85, 0x6f, 0x4a, 0x83];
    bytes.extend(checksum);
    bytes.push(kind);
    bytes.extend(number(stored.len() as u64));
    bytes.extend(stored);
    bytes
}

/// A column: its specification and its bytes.
pub type Column = (u64, Vec<u8>);

fn heads(columns: &[Column]) -> Vec<u8> {
    let mut bytes = number(columns.len() as u64);
    for (specification, column) in columns {
        bytes.extend(number(*specification));
        bytes.extend(number(column.len() as u64));
    }
    bytes
}

/// The contents of a document of one device with no newest changes.
pub fn document(changes: &[Column], operations: &[Column]) -> Vec<u8> {
    let mut bytes = vec![1, 1, 7, 0];
    bytes.extend(heads(changes));
    bytes.extend(heads(operations));
    for (_, column) in changes.iter().chain(operations) {
        bytes.extend(column);
    }
    bytes
}

/// The contents of a first change of one device.
pub fn change(operations: &[Column]) -> Vec<u8> {
    // No predecessors, the device, change 1, operation 1, time 0, no note, no other devices.
    let mut bytes = vec![0, 1, 7, 1, 1, 0, 0, 0];
    bytes.extend(heads(operations));
    for (_, column) in operations {
        bytes.extend(column);
    }
    bytes
}

/// A sync message of the first version with these changes in it.
pub fn message(filter: &[u8], chunks: &[Vec<u8>]) -> Vec<u8> {
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

/// The columns of a change with so many operations, all of them right: `k` is set to nothing again and again.
pub fn operations(count: u64) -> Vec<Column> {
    vec![
        (0x15, run(count, b"\x01k")),
        (0x34, number(count)),
        (0x42, run(count, &[1])),
        (0x56, run(count, &[0])),
        (0x70, run(count, &[0])),
    ]
}
