//! A small judge of real documents, a crew that logs with it, and the tests by subject.

mod damage;
mod formats;
mod jobs;
mod locks;
mod photos;
mod recovery;

use std::path::Path;

use automerge::transaction::{CommitOptions, Transactable};
use automerge::{ActorId, AutoCommit, Change, ROOT, ReadDoc};
use uuid::Uuid;

use super::{Access, Judge, Opened, PhotoRow, Salvaged, Store, Unreadable};
use crate::{Heads, JobId, Keep};

/// Understands Automerge documents, and nothing of what is in them.
pub(super) struct PlainJudge;

pub(super) static JUDGE: PlainJudge = PlainJudge;

impl Judge for PlainJudge {
    fn whole(&self, bytes: &[u8]) -> Result<(Heads, Vec<u8>), Unreadable> {
        let mut document = AutoCommit::load(bytes).map_err(|error| Unreadable {
            reason: error.to_string(),
        })?;
        Ok((heads(&mut document), document.save()))
    }

    fn salvage(&self, chunks: &[Vec<u8>]) -> Option<Salvaged> {
        let mut document = AutoCommit::load(&chunks.concat()).unwrap_or_else(|_| {
            let mut document = AutoCommit::new();
            for chunk in chunks {
                let _ = document.load_incremental(chunk);
            }
            document
        });
        let single = chunks
            .iter()
            .filter_map(|chunk| Change::from_bytes(chunk.clone()).ok());
        let waiting = single.filter(|change| document.get_change_by_hash(&change.hash()).is_none());
        let waiting = waiting.count() as u64;
        let heads = heads(&mut document);
        (!heads.0.is_empty()).then(|| Salvaged {
            heads,
            missing: document.get_missing_deps(&[]).len() as u64,
            whole: document.save(),
            waiting,
        })
    }
}

/// A document that is logged to as the real one is: one register and one commit at a time.
pub(super) struct Log {
    pub(super) job: JobId,
    pub(super) document: AutoCommit,
    pub(super) logged: u64,
}

impl Log {
    pub(super) fn make(store: &mut Store, number: u128) -> Log {
        let job = JobId(Uuid::from_u128(number));
        let mut document = AutoCommit::new().with_actor(ActorId::from(number.to_be_bytes()));
        document.put(ROOT, "made", number.to_string()).unwrap();
        document.commit_with(CommitOptions::default().with_time(0));
        let heads = heads(&mut document);
        store.create(job, 1_000, &document.save(), &heads).unwrap();
        Log {
            job,
            document,
            logged: 0,
        }
    }

    /// The next entry as a chunk, with the heads after it.
    pub(super) fn next(&mut self) -> (Vec<u8>, Heads) {
        let before = self.document.get_heads();
        let key = format!("reading-{}", self.logged);
        self.document.put(ROOT, key, self.logged as i64).unwrap();
        self.document.commit_with(CommitOptions::default().with_time(0));
        self.logged += 1;
        (self.document.save_after(&before), heads(&mut self.document))
    }

    pub(super) fn log(&mut self, store: &mut Store, count: u64) {
        for _ in 0..count {
            let (chunk, heads) = self.next();
            store.append(self.job, &chunk, &heads).unwrap();
        }
    }

    /// Whether entry `number` is in what the store has of this job.
    pub(super) fn entries(&self, store: &Store) -> Vec<u64> {
        let Ok(bytes) = store.bytes(self.job) else {
            return Vec::new();
        };
        let Ok(document) = AutoCommit::load(&bytes) else {
            return Vec::new();
        };
        (0..self.logged)
            .filter(|number| {
                let value = document.get(ROOT, format!("reading-{number}")).unwrap();
                value.is_some_and(|(value, _)| value.as_i64() == Some(*number as i64))
            })
            .collect()
    }

    pub(super) fn assert_whole(&self, store: &Store) {
        let wanted: Vec<u64> = (0..self.logged).collect();
        assert_eq!(self.entries(store), wanted, "job {}", self.job);
    }
}

pub(super) fn heads(document: &mut AutoCommit) -> Heads {
    let mut heads: Vec<[u8; 32]> = document.get_heads().iter().map(|hash| hash.0).collect();
    heads.sort_unstable();
    Heads(heads)
}

pub(super) fn open(folder: &Path) -> Opened {
    Store::open(folder, &JUDGE, Access::Write).unwrap()
}

/// Opens a store that must be as it was left.
pub(super) fn open_whole(folder: &Path) -> Store {
    let opened = open(folder);
    assert_eq!(opened.report, None);
    opened.store
}

pub(super) fn assert_nothing_wrong(store: &Store) {
    assert_eq!(store.check().unwrap().wrong, []);
}

/// A picture that nothing else is like.
pub(super) fn picture(number: u8) -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    image::RgbImage::from_fn(12, 8, |x, y| image::Rgb([number, x as u8, y as u8]))
        .write_to(&mut bytes, image::ImageFormat::Png)
        .unwrap();
    bytes.into_inner()
}

pub(super) fn put_picture(store: &mut Store, number: u8) -> [u8; 32] {
    let original = picture(number);
    let id = *blake3::hash(&original).as_bytes();
    let photo = PhotoRow {
        id,
        media_type: "image/png",
        width: 12,
        height: 8,
        bytes: &original,
        small: &[number; 40],
        large: &[number; 400],
    };
    store.put_photo(&photo).unwrap();
    id
}

/// Copies a store as it lies on the disk.
pub(super) fn copy_folder(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy_folder(&path, &target);
        } else {
            std::fs::copy(&path, &target).unwrap();
        }
    }
}

/// The seed of random tests: `TRAMMEL_SEED`, or always the same.
pub(super) fn seed() -> u64 {
    number_from("TRAMMEL_SEED").unwrap_or(20_260)
}

pub(super) fn number_from(variable: &str) -> Option<u64> {
    let text = std::env::var(variable).ok()?;
    Some(
        text.parse()
            .unwrap_or_else(|_| panic!("{variable} must be a whole number, not {text:?}")),
    )
}
