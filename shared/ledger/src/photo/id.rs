//! The name of a photo: what it is, hashed.

use std::fmt;
use std::str::FromStr;

use thiserror::Error;

/// A photo's name on every device: BLAKE3 of the original bytes. Written as 64 lower-case hexadecimal digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PhotoId([u8; 32]);

impl PhotoId {
    /// The name of these bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> PhotoId {
        PhotoId(*blake3::hash(bytes).as_bytes())
    }

    /// A name that was kept as bytes.
    #[must_use]
    pub fn from_bytes(bytes: [u8; 32]) -> PhotoId {
        PhotoId(bytes)
    }

    /// The hash itself.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl fmt::Display for PhotoId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for byte in self.0 {
            write!(f, "{byte:02x}")?;
        }
        Ok(())
    }
}

/// Takes exactly what [`PhotoId`] writes: one name has one spelling.
impl FromStr for PhotoId {
    type Err = PhotoIdError;

    fn from_str(text: &str) -> Result<PhotoId, PhotoIdError> {
        let refused = || PhotoIdError {
            text: text.chars().take(80).collect(),
        };
        let digits: &[u8; 64] = text.as_bytes().try_into().map_err(|_| refused())?;
        let mut hash = [0; 32];
        for (byte, pair) in hash.iter_mut().zip(digits.chunks_exact(2)) {
            let (high, low) = digit(pair[0]).zip(digit(pair[1])).ok_or_else(refused)?;
            *byte = high << 4 | low;
        }
        Ok(PhotoId(hash))
    }
}

/// Not the name of a photo.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{text:?} is not the name of a photo: give all 64 digits, 0 to 9 and a to f")]
pub struct PhotoIdError {
    /// What stands there, its first 80 characters.
    pub text: String,
}

fn digit(letter: u8) -> Option<u8> {
    match letter {
        b'0'..=b'9' => Some(letter - b'0'),
        b'a'..=b'f' => Some(letter - b'a' + 10),
        _ => None,
    }
}
