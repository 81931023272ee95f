//! A place in some bytes, and the numbers of the open format that stand there.

use std::num::TryFromIntError;

/// The bytes that are still to be read.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cursor<'a>(pub(super) &'a [u8]);

/// The bytes end too early, or a number has no end or no room in 64 bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Short;

impl<'a> Cursor<'a> {
    pub(super) fn is_empty(self) -> bool {
        self.0.is_empty()
    }

    pub(super) fn byte(&mut self) -> Result<u8, Short> {
        let (&first, rest) = self.0.split_first().ok_or(Short)?;
        self.0 = rest;
        Ok(first)
    }

    pub(super) fn take(&mut self, count: usize) -> Result<&'a [u8], Short> {
        let (taken, rest) = self.0.split_at_checked(count).ok_or(Short)?;
        self.0 = rest;
        Ok(taken)
    }

    /// As many bytes as the number before them says.
    pub(super) fn prefixed(&mut self) -> Result<&'a [u8], Short> {
        let count = self.length()?;
        self.take(count)
    }

    /// A number of bytes or items.
    pub(super) fn length(&mut self) -> Result<usize, Short> {
        usize::try_from(self.unsigned()?).map_err(|_: TryFromIntError| Short)
    }

    /// An unsigned LEB128 number.
    pub(super) fn unsigned(&mut self) -> Result<u64, Short> {
        let mut value = 0u64;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            let low = u64::from(byte & 0x7f);
            if shift == 63 && low > 1 {
                return Err(Short);
            }
            value |= low << shift;
            if byte & 0x80 == 0 {
                return Ok(value);
            }
        }
        Err(Short)
    }

    /// A signed LEB128 number.
    pub(super) fn signed(&mut self) -> Result<i64, Short> {
        let mut value = 0i64;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            if shift == 63 && byte != 0 && byte != 0x7f {
                return Err(Short);
            }
            value |= i64::from(byte & 0x7f) << shift;
            if byte & 0x80 == 0 {
                if shift + 7 < 64 && byte & 0x40 != 0 {
                    value |= -1i64 << (shift + 7);
                }
                return Ok(value);
            }
        }
        Err(Short)
    }
}
