//! Stopping what nobody waits for any more.
//!
//! The long loops pass a [place to stop](place) each time round. Where whoever waits says stop, all that was begun is
//! unwound and dropped, without the hook of a panic, so that no result half worked out can come of it; nothing else
//! of the question or its answer reaches the numbers.

use std::cell::RefCell;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};

/// Whoever waited said stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("it was stopped")]
pub struct Stopped;

type Asked = Box<dyn FnMut() -> bool>;

thread_local! {
    /// Who is asked by the work of this thread.
    static ASKED: RefCell<Option<Asked>> = const { RefCell::new(None) };
}

/// Works, and asks `stop` many times a second meanwhile whether to leave off. What comes of the work is the same,
/// however often it is asked. Work of this crate within such work is asked of by the inner one alone.
///
/// # Errors
/// Where `stop` said yes. The work came to nothing.
///
/// # Panics
/// Where the work does.
pub fn unless_stopped<T>(
    stop: impl FnMut() -> bool + 'static,
    work: impl FnOnce() -> T,
) -> Result<T, Stopped> {
    let outer = ASKED.replace(Some(Box::new(stop)));
    // The work is dropped whole: nobody sees what it left half done.
    let done = catch_unwind(AssertUnwindSafe(work));
    ASKED.set(outer);
    done.or_else(|reason| match reason.downcast::<Stopped>() {
        Ok(stopped) => Err(*stopped),
        Err(panic) => resume_unwind(panic),
    })
}

/// A place where work may leave off.
pub(crate) fn place() {
    let stop = ASKED.with_borrow_mut(|asked| asked.as_mut().is_some_and(|stop| stop()));
    if stop {
        resume_unwind(Box::new(Stopped));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps(many: u32) -> u32 {
        (0..many).map(|_| place()).count() as u32
    }

    #[test]
    fn work_that_is_told_to_stop_leaves_off_at_the_next_place() {
        let mut left = 3;
        let stopped = unless_stopped(
            move || {
                left -= 1;
                left == 0
            },
            || steps(1000),
        );
        assert_eq!(stopped, Err(Stopped));
        assert_eq!(unless_stopped(|| false, || steps(1000)), Ok(1000));
        assert_eq!(steps(1000), 1000, "nobody is asked any more");
    }

    #[test]
    fn a_panic_of_the_work_stays_one_and_nobody_is_asked_after_it() {
        let panicked = catch_unwind(|| unless_stopped(|| true, || panic!("a fault for this test")));
        assert!(panicked.is_err());
        assert_eq!(steps(10), 10);
    }

    #[test]
    fn inner_work_that_stops_leaves_the_outer_work_going() {
        let outer = unless_stopped(|| false, || (unless_stopped(|| true, || steps(5)), steps(7)));
        assert_eq!(outer, Ok((Err(Stopped), 7)));
    }
}
