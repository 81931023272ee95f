//! Seals: BLAKE3 over every field of a row. The bytes that go in are frozen with schema 1.

use crate::{Heads, JobId};

/// A chunk's fields, as its hash covers them.
#[derive(Debug, Clone, Copy)]
pub(super) struct ChunkFields<'a> {
    pub(super) seq: i64,
    pub(super) job: &'a [u8],
    pub(super) generation: i64,
    pub(super) place: i64,
    pub(super) kind: &'a str,
    pub(super) heads: &'a [u8],
    pub(super) bytes: &'a [u8],
}

impl ChunkFields<'_> {
    pub(super) fn hash(&self) -> [u8; 32] {
        seal(
            "chunk",
            &[
                &self.seq.to_le_bytes(),
                self.job,
                &self.generation.to_le_bytes(),
                &self.place.to_le_bytes(),
                self.kind.as_bytes(),
                self.heads,
                self.bytes,
            ],
        )
    }
}

/// A photo's fields, as its seal covers them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct PhotoFields {
    pub(super) id: [u8; 32],
    pub(super) seq: i64,
    pub(super) media_type: String,
    pub(super) byte_count: i64,
    pub(super) width: i64,
    pub(super) height: i64,
    pub(super) stored_hash: [u8; 32],
}

impl PhotoFields {
    pub(super) fn seal(&self) -> [u8; 32] {
        seal(
            "photo",
            &[
                &self.id,
                &self.seq.to_le_bytes(),
                self.media_type.as_bytes(),
                &self.byte_count.to_le_bytes(),
                &self.width.to_le_bytes(),
                &self.height.to_le_bytes(),
                &self.stored_hash,
            ],
        )
    }
}

pub(super) fn format_seal(schema: i64) -> [u8; 32] {
    seal("format", &[&schema.to_le_bytes()])
}

/// A time that is not known is an empty field.
pub(super) fn job_seal(id: &[u8], made_ms: Option<i64>) -> [u8; 32] {
    let made_ms = made_ms.map(i64::to_le_bytes);
    seal("job", &[id, made_ms.as_ref().map_or(&[], |bytes| bytes)])
}

pub(super) fn thumbnail_seal(photo: &[u8], edge: i64, bytes: &[u8]) -> [u8; 32] {
    seal("thumbnail", &[photo, &edge.to_le_bytes(), bytes])
}

pub(super) fn setting_seal(key: &str, seq: i64, value: &str) -> [u8; 32] {
    seal("setting", &[key.as_bytes(), &seq.to_le_bytes(), value.as_bytes()])
}

pub(super) fn solved_seal(job: JobId, heads: &[u8], solver: &str, text: &str) -> [u8; 32] {
    seal(
        "solved",
        &[job.0.as_bytes(), heads, solver.as_bytes(), text.as_bytes()],
    )
}

/// Heads as they lie in a row: one after the other.
pub(super) fn heads_bytes(heads: &Heads) -> Vec<u8> {
    heads.0.concat()
}

/// `None` where the length is no multiple of 32.
pub(super) fn heads_from(bytes: &[u8]) -> Option<Heads> {
    let (heads, rest) = bytes.as_chunks::<32>();
    rest.is_empty().then(|| Heads(heads.to_vec()))
}

/// The length of each field goes in before it, so that no two rows share a seal by moving a border.
fn seal(table: &str, fields: &[&[u8]]) -> [u8; 32] {
    let mut hasher = blake3::Hasher::new();
    for field in std::iter::once(&table.as_bytes()).chain(fields) {
        hasher.update(&(field.len() as u64).to_le_bytes());
        hasher.update(field);
    }
    *hasher.finalize().as_bytes()
}
