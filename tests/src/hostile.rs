//! Bytes from outside, fed to the ledger: the one way in for the fuzzer, for what it found, and for mutated bytes.
//!
//! Each feeder says in words what came of the bytes, and panics where what must hold does not: a live log is as it was
//! after a refusal, and can be saved and loaded again whatever happened.

use std::io::Cursor;
use std::ops::ControlFlow;

use automerge::sync::State;
use automerge::transaction::Transactable;
use automerge::{ActorId, AutoCommit, Automerge, ROOT, ReadDoc};
use ledger::guard::{Damaged, answer, load_foreign, load_own, merge, receive, salvage};

use ledger::job_file::{self, LARGEST_IN_ALL};

pub mod mutate;
pub mod writable;
pub mod written;

/// A log of so many changes with eight fields each, under the name `device`. The same each time.
pub fn log(device: u8, changes: usize) -> AutoCommit {
    let mut document = AutoCommit::new().with_actor(ActorId::from([device; 16]));
    add(&mut document, changes);
    document
}

/// Adds so many changes.
pub fn add(document: &mut AutoCommit, changes: usize) {
    let device = document.get_actor().to_bytes()[0];
    let before = document.get_changes(&[]).len();
    for number in before..before + changes {
        for field in ["kind", "from", "to", "value", "unit", "by", "at", "note"] {
            let key = format!("{device:02x}{number:030x}/{field}");
            document
                .put(ROOT, key, format!("{field} {number}"))
                .expect("the root is a map");
        }
        document.commit();
    }
}

/// Reads the bytes as a document in every way there is.
pub fn feed_document(bytes: &[u8]) -> String {
    let mut live = Live::new();
    let loaded = load_foreign(bytes);
    let told = match &loaded {
        Ok(_) => "taken".to_owned(),
        Err(damaged) => damaged.to_string(),
    };
    if let Ok(document) = loaded {
        readable(&document);
    }
    // Own bytes are not held against the limits: these are not fed what a limit has refused.
    if !told.contains("claims to hold") {
        drop(load_own(bytes));
    }
    let merged = merge(&mut live.document, bytes);
    let merged = live.holds(merged);
    live.goes_on();
    if let Some(salvaged) = salvage(&[log(1, 2).save(), bytes.to_vec()]) {
        readable(&salvaged.document);
        keeps(&salvaged.document);
    }
    format!("loaded: {told}; merged: {merged}")
}

/// Reads the bytes as a sync message, answers it, and goes on with a message that is right.
pub fn feed_message(bytes: &[u8]) -> String {
    let mut live = Live::new();
    let mut state = State::new();
    let received = receive(&mut live.document, &mut state, bytes);
    let told = live.holds(received);
    let answered = match answer(&live.document, &mut state) {
        Ok(Some(_)) => "answered".to_owned(),
        Ok(None) => "nothing to answer".to_owned(),
        Err(damaged) => damaged.to_string(),
    };
    live.goes_on();
    format!("received: {told}; then: {answered}")
}

/// Reads the bytes as a job file.
pub fn feed_job_file(bytes: &[u8]) -> String {
    let mut unpacked = 0;
    let read = job_file::read(Cursor::new(bytes), &mut |_, photo| {
        unpacked += photo.len() as u64;
        ControlFlow::Continue(())
    });
    assert!(unpacked <= LARGEST_IN_ALL, "{unpacked} bytes of photos");
    match read {
        Ok(contents) => format!(
            "{} bytes of document, {} texts, {unpacked} bytes of photos, {} others",
            contents.document.len(),
            contents.texts.len(),
            contents.ignored.len()
        ),
        Err(why) => why.to_string(),
    }
}

/// A log in use.
struct Live {
    document: Automerge,
    before: Automerge,
}

impl Live {
    fn new() -> Self {
        let mut document = log(1, 3);
        // Somebody else's changes too, so that there is more than one device in it.
        let mut other = document.fork().with_actor(ActorId::from([2; 16]));
        add(&mut other, 1);
        document.merge(&mut other).expect("a fork merges");
        let document = document.document().clone();
        Self {
            before: document.clone(),
            document,
        }
    }

    /// Says what came of an input, and holds the log against what must be so then.
    fn holds(&mut self, result: Result<bool, Damaged>) -> String {
        let same = self.document.get_heads() == self.before.get_heads();
        match &result {
            Err(_) | Ok(false) => assert!(same, "the heads moved: {result:?}"),
            Ok(true) => assert!(!same, "new changes were told, and there are none"),
        }
        if same {
            assert_eq!(values(&self.document), values(&self.before));
        } else {
            readable(&self.document);
        }
        keeps(&self.document);
        match result {
            Ok(true) => "new changes".to_owned(),
            Ok(false) => "nothing new".to_owned(),
            Err(damaged) => damaged.to_string(),
        }
    }

    /// The log can be written in, and takes the changes of an honest device.
    fn goes_on(&mut self) {
        let mut other = self.before.fork().with_actor(ActorId::from([3; 16]));
        let heads = other.get_heads();
        write(&mut other, "theirs");
        let taken = merge(&mut self.document, &other.save_after(&heads));
        assert!(matches!(taken, Ok(true)), "{taken:?}");
        write(&mut self.document, "after");
        keeps(&self.document);
    }
}

fn write(document: &mut Automerge, key: &str) {
    let mut transaction = document.transaction();
    transaction.put(ROOT, key, 1).expect("the root is a map");
    transaction.commit();
}

fn values(document: &Automerge) -> automerge::hydrate::Value {
    document.hydrate(None)
}

/// Whatever a program does with a document that was taken: reads all of it, its conflicts and its history.
fn readable(document: &Automerge) {
    drop(values(document));
    for key in document.keys(ROOT) {
        for (_, id) in document.get_all(ROOT, &key).expect("the key was given") {
            std::hint::black_box(document.hash_for_opid(&id));
        }
    }
    for change in document.get_changes(&[]) {
        drop(change.decode());
    }
    drop(document.fork());
}

/// The document can be saved and loaded again.
fn keeps(document: &Automerge) {
    let heads = document.get_heads();
    let again = Automerge::load(&document.save()).expect("what was taken can be loaded again");
    assert_eq!(again.get_heads(), heads);
}
