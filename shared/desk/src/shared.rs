//! A desk for a page: whoever asks, and however many at once, is answered one after the other.
//!
//! Both shells with a page, the window and the bridge, hand envelopes over here and give envelopes on.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::jobs::{Call, Desk};
use crate::refusal::{Code, Refusal};

type Open = dyn Fn() -> Result<Desk, Refusal> + Send + Sync;

/// A desk that several callers share. It is opened when it is first needed; where that is refused, as while another
/// program works in the store, the call is refused and the next one tries again.
pub struct SharedDesk {
    open: Box<Open>,
    desk: Mutex<Option<Desk>>,
}

impl SharedDesk {
    /// A desk that is opened like this.
    pub fn new(open: impl Fn() -> Result<Desk, Refusal> + Send + Sync + 'static) -> SharedDesk {
        SharedDesk {
            open: Box::new(open),
            desk: Mutex::new(None),
        }
    }

    /// Carries out the command of that name: a request in an envelope comes in, an answer in an envelope goes out.
    ///
    /// # Errors
    /// Where the desk cannot be opened, the envelope cannot be read, the command refuses, or it fails in a way that
    /// nobody foresaw.
    pub fn answer(&self, command: &str, envelope: &[u8]) -> Result<Vec<u8>, Refusal> {
        let call = Call::in_envelope(envelope)?;
        let reply = self.with(|desk| desk.call(command, call))?;
        Ok(reply.sealed()?)
    }

    /// Works at the desk. Where the work panics, the desk is put away and opened afresh from the disk by the next
    /// caller, so that nothing half done in memory is gone on with.
    ///
    /// # Errors
    /// Where the desk cannot be opened, the work refuses, or it panics.
    pub fn with<T>(&self, work: impl FnOnce(&mut Desk) -> Result<T, Refusal>) -> Result<T, Refusal> {
        let mut place = self.place();
        let done = catch_unwind(AssertUnwindSafe(|| {
            let desk = match &mut *place {
                Some(desk) => desk,
                empty => empty.insert((self.open)()?),
            };
            work(desk)
        }));
        done.unwrap_or_else(|_| {
            *place = None;
            Err(Refusal::new(Code::Fault, FAULT))
        })
    }

    /// Puts the desk away: the store is free for others. The next call opens it again.
    pub fn put_away(&self) {
        *self.place() = None;
    }

    fn place(&self) -> MutexGuard<'_, Option<Desk>> {
        // Nobody panics with the lock in hand: `with` catches it. Poison would say nothing new.
        self.desk.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

const FAULT: &str = "Trammel itself failed at this: look whether it was done, and try again. What was logged before is \
                     on the disk";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::envelope;
    use crate::jobs::Device;
    use serde_json::{Value, json};

    fn asked(desk: &SharedDesk, command: &str, ask: &Value) -> Result<Value, Refusal> {
        let answer = desk.answer(command, &envelope::sealed(ask, b"")?)?;
        Ok(envelope::opened(&answer)?.0["answer"].clone())
    }

    #[test]
    fn a_command_that_panics_is_refused_and_the_desk_works_on_with_what_is_on_the_disk() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().to_owned();
        let desk = SharedDesk::new(move || Desk::open(&path, Box::new(Device)));
        asked(&desk, "new-job", &json!({"name": "shell", "by": "Anna"})).unwrap();
        let refused = desk
            .with(|desk| -> Result<(), Refusal> {
                desk.set_person("Ben")?;
                panic!("a fault for this test")
            })
            .unwrap_err();
        assert_eq!(refused.code, Code::Fault);
        assert_eq!(asked(&desk, "jobs", &json!({})).unwrap()[0]["name"], "shell");
        assert_eq!(asked(&desk, "person", &json!({})).unwrap(), "Ben");
    }

    #[test]
    fn a_store_in_use_refuses_every_call_until_it_is_let_go() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().to_owned();
        let other = Desk::open(&path, Box::new(Device)).unwrap();
        let desk = SharedDesk::new(move || Desk::open(&path, Box::new(Device)));
        for _ in 0..2 {
            assert_eq!(asked(&desk, "jobs", &json!({})).unwrap_err().code, Code::InUse);
        }
        drop(other);
        assert_eq!(asked(&desk, "jobs", &json!({})), Ok(json!([])));
        desk.put_away();
        Desk::open(folder.path(), Box::new(Device)).unwrap();
    }
}
