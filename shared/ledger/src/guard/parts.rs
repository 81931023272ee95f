//! Bytes cut into the parts that the open format frames, each held against its own checksum.
//!
//! A part is the four bytes `85 6f 4a 83`, four bytes of checksum, a byte for its kind, its length and its contents
//! (automerge.org/automerge-binary-format-spec, "Chunk"). The checksum is the beginning of SHA-256 over kind, length
//! and contents; that of a packed change is over the change unpacked.

use std::borrow::Cow;

use sha2::{Digest, Sha256};

use super::cursor::{Cursor, Short};
use super::{Claimed, Damaged, inflate};

/// The four bytes that every part begins with.
pub(super) const MAGIC: [u8; 4] = [0x85, 0x6f, 0x4a, 0x83];

/// What a part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A whole document, with all its changes.
    Document,
    /// One change.
    Change,
    /// One change, deflated.
    PackedChange,
}

/// One part, its checksum found right.
#[derive(Debug, Clone, Copy)]
pub(super) struct Part<'a> {
    pub(super) kind: Kind,
    /// All of it, as automerge takes it.
    pub(super) bytes: &'a [u8],
}

/// Cuts the first part off and gives its contents beside it, those of a packed change unpacked. `number` is what it is
/// called in an error, `unpacked` how many bytes may still come out of packed changes.
pub(super) fn first<'a>(
    at: &mut Cursor<'a>,
    number: usize,
    unpacked: &mut u64,
) -> Result<(Part<'a>, Cow<'a, [u8]>), Damaged> {
    let whole = at.0;
    let magic = at.take(4.min(whole.len())).unwrap_or_default();
    if !MAGIC.starts_with(magic) {
        return Err(match number {
            1 => Damaged::NotADocument,
            _ => Damaged::Trailing { part: number },
        });
    }
    let short = |_: Short| Damaged::CutOff { part: number };
    if magic.len() < 4 {
        return Err(short(Short));
    }
    let checksum = at.take(4).map_err(short)?;
    let kind = match at.byte().map_err(short)? {
        0 => Kind::Document,
        1 => Kind::Change,
        2 => Kind::PackedChange,
        kind => return Err(Damaged::UnknownPart { part: number, kind }),
    };
    let stored = at.prefixed().map_err(short)?;
    let contents = match kind {
        Kind::Document | Kind::Change => Cow::Borrowed(stored),
        Kind::PackedChange => {
            let contents = inflate::whole(stored, *unpacked).map_err(|fault| match fault {
                inflate::Fault::TooMuch => Damaged::bomb(Claimed::Bytes),
                // Damage is told by the checksum wherever there is one; a packed part has it inside.
                inflate::Fault::Broken => Damaged::Checksum { part: number },
            })?;
            *unpacked -= contents.len() as u64;
            Cow::Owned(contents)
        }
    };
    if sum(kind, &contents) != checksum {
        return Err(Damaged::Checksum { part: number });
    }
    let bytes = &whole[..whole.len() - at.0.len()];
    Ok((Part { kind, bytes }, contents))
}

/// The checksum of a part.
fn sum(kind: Kind, contents: &[u8]) -> [u8; 4] {
    let mut head = vec![u8::from(kind != Kind::Document)];
    let mut length = contents.len();
    loop {
        let low = (length & 0x7f) as u8;
        length >>= 7;
        head.push(if length == 0 { low } else { low | 0x80 });
        if length == 0 {
            break;
        }
    }
    let hash = Sha256::new().chain_update(head).chain_update(contents).finalize();
    [hash[0], hash[1], hash[2], hash[3]]
}
