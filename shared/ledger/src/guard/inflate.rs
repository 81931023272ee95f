//! Unpacking with a limit: first counted, then done, so that a bomb takes no memory.

use std::io::{ErrorKind, Read};

use flate2::bufread::DeflateDecoder;

/// Why something is not unpacked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fault {
    /// More than the limit would come out.
    TooMuch,
    /// It is not what deflating gives.
    Broken,
}

/// Unpacks `packed` where at most `limit` bytes come out of it.
pub(super) fn whole(packed: &[u8], limit: u64) -> Result<Vec<u8>, Fault> {
    let length = count(packed, limit)?;
    let mut unpacked = Vec::with_capacity(usize::try_from(length).map_err(|_| Fault::TooMuch)?);
    DeflateDecoder::new(packed)
        .read_to_end(&mut unpacked)
        .map_err(|_| Fault::Broken)?;
    Ok(unpacked)
}

/// How many bytes come out of `packed`, counted up to one over `limit`.
fn count(packed: &[u8], limit: u64) -> Result<u64, Fault> {
    let mut decoder = DeflateDecoder::new(packed);
    let mut room = [0; 16 * 1024];
    let mut length = 0;
    loop {
        match decoder.read(&mut room) {
            Ok(0) => return Ok(length),
            Ok(more) => length += more as u64,
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(_) => return Err(Fault::Broken),
        }
        if length > limit {
            return Err(Fault::TooMuch);
        }
    }
}
