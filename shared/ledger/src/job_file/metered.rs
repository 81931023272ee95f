//! A reader that stops after so many bytes: how long the list of entries in a zip is stands in the zip itself.

use std::cell::Cell;
use std::io::{self, Read, Seek, SeekFrom};

/// Reads on until the allowance is spent, then fails for good.
#[derive(Debug)]
pub(super) struct Metered<'a, R> {
    inner: R,
    allowance: &'a Allowance,
}

/// How many bytes may still be read; `None` for as many as there are.
#[derive(Debug)]
pub(super) struct Allowance {
    left: Cell<Option<u64>>,
    overrun: Cell<bool>,
}

impl Allowance {
    pub(super) fn of(bytes: u64) -> Self {
        Self {
            left: Cell::new(Some(bytes)),
            overrun: Cell::new(false),
        }
    }

    pub(super) fn lift(&self) {
        self.left.set(None);
    }

    /// Whether somebody wanted more than was allowed.
    pub(super) fn overrun(&self) -> bool {
        self.overrun.get()
    }
}

impl<'a, R> Metered<'a, R> {
    pub(super) fn new(inner: R, allowance: &'a Allowance) -> Self {
        Self { inner, allowance }
    }
}

impl<R: Read> Read for Metered<'_, R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let read = self.inner.read(into)?;
        if let Some(left) = self.allowance.left.get() {
            let Some(left) = left.checked_sub(read as u64) else {
                self.allowance.overrun.set(true);
                return Err(io::Error::other("the list of entries is too long"));
            };
            self.allowance.left.set(Some(left));
        }
        Ok(read)
    }
}

impl<R: Seek> Seek for Metered<'_, R> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.inner.seek(to)
    }
}
