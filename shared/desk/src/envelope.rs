//! The envelope that requests and answers travel in between a page and the desk, the same in every shell.
//!
//! Four bytes say how long the JSON is (unsigned, little-endian), then comes the JSON, then bytes that are no JSON,
//! such as a photo: maybe none. In a request the JSON is what is asked; in an answer it is
//! `{"answer": …, "media_type": …}`.

use serde::Serialize;
use serde_json::Value;

use crate::jobs::{Call, Reply};
use crate::refusal::{Code, Refusal};

/// The longest envelope that is read, in bytes: a job file with its photos is the largest thing that comes in. The
/// largest photo has room in it.
pub const LONGEST: usize = 64 << 20;

/// The longest JSON that is read, in bytes. Sheets come as JSON; a thousand readings are 100 kB.
pub const LONGEST_JSON: usize = 16 << 20;

const HEAD: usize = 4;

/// Why an envelope cannot be opened.
#[derive(Debug, thiserror::Error)]
pub enum EnvelopeError {
    /// It is too short to say how long its JSON is.
    #[error("it has {0} bytes, and the first 4 say how long its JSON is")]
    NoHead(usize),
    /// It is longer than [`LONGEST`].
    #[error(
        "it is larger than {} MB: save a photo smaller, as JPEG, {} MB is the most that is taken; give a larger job file \
         to trammel job import",
        LONGEST >> 20,
        ledger::photo::MAX_BYTES >> 20
    )]
    TooLong,
    /// Its JSON is longer than [`LONGEST_JSON`].
    #[error("its JSON is larger than {} MB", LONGEST_JSON >> 20)]
    JsonTooLong,
    /// Its JSON ends after the envelope.
    #[error("it ends before its JSON does: {said} bytes were announced and {there} came")]
    CutOff {
        /// How long the JSON is, as the head says.
        said: usize,
        /// How many bytes follow the head.
        there: usize,
    },
    /// Its JSON cannot be read.
    #[error("its JSON cannot be read: {0}")]
    NotJson(#[from] serde_json::Error),
}

impl From<EnvelopeError> for Refusal {
    fn from(error: EnvelopeError) -> Refusal {
        Refusal::new(
            Code::BadRequest,
            format!("the request is not understood: {error}"),
        )
    }
}

/// Puts JSON and bytes into an envelope.
pub fn sealed(json: &impl Serialize, bytes: &[u8]) -> Result<Vec<u8>, EnvelopeError> {
    let json = serde_json::to_vec(json)?;
    let head = u32::try_from(json.len()).map_err(|_| EnvelopeError::JsonTooLong)?;
    let mut envelope = Vec::with_capacity(HEAD + json.len() + bytes.len());
    envelope.extend_from_slice(&head.to_le_bytes());
    envelope.extend_from_slice(&json);
    envelope.extend_from_slice(bytes);
    Ok(envelope)
}

/// Takes JSON and bytes out of an envelope.
///
/// # Errors
/// Where it is cut off, too long, or its JSON cannot be read.
pub fn opened(envelope: &[u8]) -> Result<(Value, &[u8]), EnvelopeError> {
    if envelope.len() > LONGEST {
        return Err(EnvelopeError::TooLong);
    }
    let (head, rest) = envelope
        .split_first_chunk::<HEAD>()
        .ok_or(EnvelopeError::NoHead(envelope.len()))?;
    let said = u32::from_le_bytes(*head) as usize;
    if said > LONGEST_JSON {
        return Err(EnvelopeError::JsonTooLong);
    }
    let (json, bytes) = rest.split_at_checked(said).ok_or(EnvelopeError::CutOff {
        said,
        there: rest.len(),
    })?;
    Ok((serde_json::from_slice(json)?, bytes))
}

impl Call {
    /// The request in an envelope.
    ///
    /// # Errors
    /// As [`opened`].
    pub fn in_envelope(envelope: &[u8]) -> Result<Call, EnvelopeError> {
        let (ask, bytes) = opened(envelope)?;
        Ok(Call {
            ask,
            bytes: bytes.to_vec(),
        })
    }
}

impl Reply {
    /// The answer in an envelope.
    ///
    /// # Errors
    /// Where its JSON is longer than 4 GB.
    pub fn sealed(&self) -> Result<Vec<u8>, EnvelopeError> {
        #[derive(Serialize)]
        struct Answer<'a> {
            answer: &'a Value,
            media_type: Option<&'static str>,
        }
        let answer = Answer {
            answer: &self.answer,
            media_type: self.media_type,
        };
        sealed(&answer, &self.bytes)
    }
}

#[cfg(test)]
mod tests;
