//! A job and whoever keeps it.

use ledger::{Edit, Heads, JobId, Keep, NotKept};
use thiserror::Error;

use crate::crew::{Tablet, name_job, tape};

/// Keeps chunks in memory, and fails when it is told to.
#[derive(Default)]
struct Shelf {
    chunks: Vec<Vec<u8>>,
    fails: bool,
}

#[derive(Debug, Error)]
#[error("the shelf fell down")]
struct Fell;

impl Keep for Shelf {
    type Fault = Fell;

    fn append(&mut self, _: JobId, chunk: &[u8], _: &Heads) -> Result<(), Fell> {
        if self.fails {
            return Err(Fell);
        }
        self.chunks.push(chunk.to_vec());
        Ok(())
    }

    fn bytes(&self, _: JobId) -> Result<Vec<u8>, Fell> {
        Ok(self.chunks.concat())
    }
}

#[test]
fn what_is_kept_is_the_job() {
    let mut ana = Tablet::first();
    let mut shelf = Shelf::default();
    shelf.chunks.push(ana.job.save());
    for value in ["1 m", "2 m", "3 m"] {
        let (edit, stamp) = (Edit::LogReading(tape("A", "B", value)), ana.stamp());
        ana.job.kept(&mut shelf, |job| job.apply(&edit, &stamp)).unwrap();
    }
    let kept = ledger::Job::open(&shelf.bytes(ana.job.id()).unwrap(), uuid::Uuid::from_u128(9)).unwrap();
    assert_eq!(kept.heads(), ana.job.heads());
    assert_eq!(kept.records(), ana.job.records());
    // What changes nothing is not kept, and what is refused is neither.
    let chunks = shelf.chunks.len();
    let (edit, stamp) = (name_job("Shell"), ana.stamp());
    ana.job.kept(&mut shelf, |job| job.apply(&edit, &stamp)).unwrap();
    let (edit, stamp) = (Edit::LogReading(tape("A", "B", "long")), ana.stamp());
    let refused = ana.job.kept(&mut shelf, |job| job.apply(&edit, &stamp));
    assert!(matches!(refused, Err(NotKept::NotDone(_))));
    assert_eq!(shelf.chunks.len(), chunks);
}

#[test]
fn what_could_not_be_kept_was_not_done() {
    let mut ana = Tablet::first();
    ana.tape("A", "B", "1 m");
    let mut shelf = Shelf {
        fails: true,
        ..Shelf::default()
    };
    let (heads, records) = (ana.job.heads(), ana.job.records().clone());
    let (edit, stamp) = (Edit::LogReading(tape("A", "C", "2 m")), ana.stamp());
    let refused = ana.job.kept(&mut shelf, |job| job.apply(&edit, &stamp));
    assert!(
        refused
            .unwrap_err()
            .to_string()
            .contains("nothing was changed: the shelf fell down")
    );
    assert_eq!(ana.job.heads(), heads);
    assert_eq!(*ana.job.records(), records);

    // A copy that saw the change before it was given back is no rival of the next one.
    let mut seen = ana.copy("Ben", 2);
    let failed = ana.stamp();
    let mut fails = ana.job.clone();
    fails.apply(&edit, &failed).unwrap();
    seen.job.merge(&fails.save()).unwrap();
    let refused = ana.job.kept(&mut shelf, |job| job.apply(&edit, &failed));
    assert!(refused.is_err());
    shelf.fails = false;
    let (edit, stamp) = (Edit::LogReading(tape("A", "D", "3 m")), ana.stamp());
    ana.job.kept(&mut shelf, |job| job.apply(&edit, &stamp)).unwrap();
    ana.meet(&mut seen);
    assert_eq!(ana.job.records().readings.len(), 3);
}
