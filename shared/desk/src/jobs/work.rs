//! Long work: how far it is, and that it shall stop.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use serde::Serialize;

use super::solve::{Solving, ToSolve};
use super::{Call, Desk, Reply};
use crate::refusal::{Code, Refusal};

/// What whoever waits for a call and whoever carries it out have between them: how far it is goes out, that it shall
/// stop goes in. All copies are the same one.
#[derive(Debug, Clone, Default)]
pub struct Watch(Arc<Watched>);

#[derive(Debug, Default)]
struct Watched {
    stopped: AtomicBool,
    doing: Mutex<Doing>,
    done: AtomicU64,
}

#[derive(Debug, Clone, Copy, Default)]
struct Doing {
    what: &'static str,
    of: Option<u64>,
}

/// How far a long work is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct WorkWire {
    /// What is being done, in a word or two; empty where that is not said.
    pub doing: &'static str,
    /// How much of it is done.
    pub done: u64,
    /// Of how much; `null` where nobody knows beforehand.
    pub of: Option<u64>,
}

impl Watch {
    /// Asks the work to stop. It is too late where it is being kept on the disk already.
    pub fn stop(&self) {
        self.0.stopped.store(true, Ordering::Relaxed);
    }

    /// Whether the work was asked to stop.
    pub fn is_stopped(&self) -> bool {
        self.0.stopped.load(Ordering::Relaxed)
    }

    /// How far it is.
    pub fn wire(&self) -> WorkWire {
        let doing = *self.doing();
        WorkWire {
            doing: doing.what,
            done: self.0.done.load(Ordering::Relaxed),
            of: doing.of,
        }
    }

    /// Something else is done from now on.
    pub(super) fn begins(&self, what: &'static str, of: Option<u64>) {
        *self.doing() = Doing { what, of };
        self.0.done.store(0, Ordering::Relaxed);
    }

    /// One more is done.
    pub(super) fn step(&self) -> Result<(), Refusal> {
        self.0.done.fetch_add(1, Ordering::Relaxed);
        self.go_on()
    }

    /// Whether to go on.
    pub(super) fn go_on(&self) -> Result<(), Refusal> {
        match self.is_stopped() {
            true => Err(stopped()),
            false => Ok(()),
        }
    }

    /// Works something out that leaves off when it is to stop. Only for what changes nothing.
    pub(super) fn over<T>(&self, work: impl FnOnce() -> T) -> Result<T, Refusal> {
        let watch = self.clone();
        let steps = move || watch.step().is_err();
        adjust::unless_stopped(steps, work).map_err(|adjust::Stopped| stopped())
    }

    fn doing(&self) -> std::sync::MutexGuard<'_, Doing> {
        self.0.doing.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn stopped() -> Refusal {
    Refusal::new(Code::Stopped, "it was stopped, and nothing was changed")
}

/// How far a command came.
pub(crate) enum Carried {
    /// To its end.
    Out(Reply),
    /// To where it needs a job solved, at one stage or at two. It is given again when that is done.
    ToSolve(Vec<ToSolve>),
}

impl Desk {
    /// Carries out a command, with somebody to ask whether to go on.
    pub(crate) fn call_watched(&mut self, name: &str, call: Call, watch: &Watch) -> Result<Reply, Refusal> {
        self.watch = watch.clone();
        let reply = self.watch.go_on().and_then(|()| self.call(name, call));
        self.watch = Watch::default();
        reply
    }

    /// The same, but solves nothing: a command that needs a job solved, and has changed nothing yet, says which.
    pub(crate) fn call_unsolved(
        &mut self,
        name: &str,
        call: Call,
        watch: &Watch,
    ) -> Result<Carried, Refusal> {
        self.solving = Solving::Elsewhere;
        let reply = self.call_watched(name, call, watch);
        match std::mem::take(&mut self.solving) {
            Solving::Wanted(jobs) => Ok(Carried::ToSolve(jobs)),
            Solving::Here | Solving::Elsewhere => reply.map(Carried::Out),
        }
    }
}

#[cfg(test)]
mod tests;
