//! A desk for a page: whoever asks, and however many at once, is answered one after the other.
//!
//! Both shells with a page, the window and the bridge, hand envelopes over here and give envelopes on.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::jobs::{Call, Carried, Desk, Device, PhotoSize, Reply, Watch, WorkWire};
use crate::refusal::{Code, Refusal};

type Open = dyn Fn() -> Result<Desk, Refusal> + Send + Sync;

/// A desk that several callers share. It is opened when it is first needed; where that is refused, as while another
/// program works in the store, the call is refused and the next one tries again.
pub struct SharedDesk {
    open: Box<Open>,
    desk: Mutex<Option<Desk>>,
    works: Mutex<BTreeMap<u64, Watch>>,
    solving: Mutex<()>,
    pictures: Mutex<Option<Desk>>,
}

/// A picture as a shell gives it to a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Its media type.
    pub media_type: &'static str,
    /// The file.
    pub bytes: Vec<u8>,
}

impl SharedDesk {
    /// A desk that is opened like this.
    pub fn new(open: impl Fn() -> Result<Desk, Refusal> + Send + Sync + 'static) -> SharedDesk {
        SharedDesk {
            open: Box::new(open),
            desk: Mutex::new(None),
            works: Mutex::default(),
            solving: Mutex::default(),
            pictures: Mutex::default(),
        }
    }

    /// The picture that a page asks for by two parts of an address: `small`, `large` or `original`, and all 64 letters of
    /// the photo's hash. It is read beside the desk, so that pictures come while the desk is at work.
    ///
    /// An original is given with everything that is in its file, where it was taken too: it stays on the device.
    ///
    /// # Errors
    /// Where the address is none of a picture, the picture is not on this device, or the store cannot be read.
    pub fn picture(&self, size: &str, photo: &str) -> Result<Picture, Refusal> {
        let size = match size {
            "small" => PhotoSize::Small,
            "large" => PhotoSize::Large,
            "original" => PhotoSize::Original,
            _ => {
                return Err(Refusal::new(
                    Code::BadRequest,
                    "a picture is small, large or original",
                ));
            }
        };
        let mut reader = self.pictures.lock().unwrap_or_else(PoisonError::into_inner);
        let read = catch_unwind(AssertUnwindSafe(|| {
            let desk = match &mut *reader {
                Some(desk) => desk,
                empty => {
                    let folder = self.with(|desk| Ok(desk.folder().to_owned()))?;
                    empty.insert(Desk::look(&folder, Box::new(Device))?)
                }
            };
            let (media_type, bytes) = desk.picture(photo, size)?;
            Ok(Picture { media_type, bytes })
        }));
        read.unwrap_or_else(|_| {
            *reader = None;
            Err(Refusal::fault())
        })
    }

    /// Carries out the command of that name: a request in an envelope comes in, an answer in an envelope goes out.
    /// A call with a number of its own can be looked after with [`work`](SharedDesk::work) and stopped with
    /// [`stop`](SharedDesk::stop) meanwhile.
    ///
    /// # Errors
    /// Where the desk cannot be opened, the envelope cannot be read, the number is another call's, the command refuses
    /// or is stopped, or it fails in a way that nobody foresaw.
    pub fn answer(&self, command: &str, envelope: &[u8], work: Option<u64>) -> Result<Vec<u8>, Refusal> {
        let call = Call::in_envelope(envelope)?;
        let watched = self.watched(work)?;
        Ok(self.carried_out(command, call, &watched.watch)?.sealed()?)
    }

    /// Carries out a command. What it needs solved is solved while others come to the desk.
    fn carried_out(&self, command: &str, call: Call, watch: &Watch) -> Result<Reply, Refusal> {
        // Somebody who logs all the time must not keep a solve from its end, and a photo need not be copied.
        let tries = if call.bytes.is_empty() { 3 } else { 0 };
        'again: for _ in 0..tries {
            let jobs = match self.with(|desk| desk.call_unsolved(command, call.clone(), watch))? {
                Carried::Out(reply) => return Ok(reply),
                Carried::ToSolve(jobs) => jobs,
            };
            let _one_at_a_time = self.solving.lock().unwrap_or_else(PoisonError::into_inner);
            for job in jobs {
                if self.with(|desk| desk.has_solved(&job))? {
                    continue;
                }
                match catch_unwind(AssertUnwindSafe(|| job.solved(watch))) {
                    Ok(Ok(answer)) => self.with(|desk| desk.keep_solved(&job, &answer))?,
                    Ok(Err(refusal)) if refusal.code == Code::Stopped => return Err(refusal),
                    // The command itself knows what to say of a job that cannot be solved.
                    Ok(Err(_)) => break 'again,
                    Err(_) => return Err(Refusal::fault()),
                }
            }
        }
        self.with(|desk| desk.call_watched(command, call, watch))
    }

    /// How far the call with that number is; nothing where there is none.
    pub fn work(&self, number: u64) -> Option<WorkWire> {
        self.works().get(&number).map(Watch::wire)
    }

    /// Asks the call with that number to stop. It does so where it can, and then refuses as stopped.
    pub fn stop(&self, number: u64) {
        if let Some(watch) = self.works().get(&number) {
            watch.stop();
        }
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
            Err(Refusal::fault())
        })
    }

    /// Puts the desk away: the store is free for others. The next call opens it again.
    pub fn put_away(&self) {
        *self.pictures.lock().unwrap_or_else(PoisonError::into_inner) = None;
        *self.place() = None;
    }

    fn watched(&self, number: Option<u64>) -> Result<Watched<'_>, Refusal> {
        let watch = Watch::default();
        if let Some(number) = number {
            match self.works().entry(number) {
                Entry::Vacant(free) => free.insert(watch.clone()),
                Entry::Occupied(_) => {
                    return Err(Refusal::new(
                        Code::BadRequest,
                        format!("another call has the number {number}"),
                    ));
                }
            };
        }
        Ok(Watched {
            desk: self,
            number,
            watch,
        })
    }

    fn works(&self) -> MutexGuard<'_, BTreeMap<u64, Watch>> {
        self.works.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn place(&self) -> MutexGuard<'_, Option<Desk>> {
        // Nobody panics with the lock in hand: `with` catches it. Poison would say nothing new.
        self.desk.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A call while it is carried out. Afterwards its number is free again.
struct Watched<'a> {
    desk: &'a SharedDesk,
    number: Option<u64>,
    watch: Watch,
}

impl Drop for Watched<'_> {
    fn drop(&mut self) {
        if let Some(number) = self.number {
            self.desk.works().remove(&number);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::envelope;
    use serde_json::{Value, json};

    fn asked(desk: &SharedDesk, command: &str, ask: &Value) -> Result<Value, Refusal> {
        let answer = desk.answer(command, &envelope::sealed(ask, b"")?, None)?;
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
