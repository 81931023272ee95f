//! What commands are asked.

use serde::Deserialize;
use serde::de::IgnoredAny;

use crate::jobs::{Act, AddPhoto, LogReading, PaperForm, PaperSize, PhotoSize};

/// Commands that need nothing said.
#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(type = "Record<string, never>"))]
#[serde(from = "IgnoredAny")]
pub(super) struct Nothing;

impl From<IgnoredAny> for Nothing {
    fn from(_: IgnoredAny) -> Nothing {
        Nothing
    }
}

/// A job, the only one where none is named, and who asks.
#[derive(Deserialize, Default)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(default, deny_unknown_fields)]
pub(super) struct OfJob {
    pub(super) job: Option<String>,
    pub(super) by: Option<String>,
}

impl OfJob {
    pub(super) fn job(&self) -> Option<&str> {
        self.job.as_deref()
    }
}

#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct NewJob {
    pub(super) name: String,
    #[cfg_attr(test, ts(type = r#""in" | "mm" | null"#, optional))]
    pub(super) unit: Option<String>,
    pub(super) by: Option<String>,
}

/// A job at one epoch, the newest where none is named.
#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct AtEpoch {
    pub(super) job: Option<String>,
    pub(super) epoch: Option<String>,
}

/// Two points of a job at one epoch, the newest where none is named.
#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct BetweenTwo {
    pub(super) job: Option<String>,
    pub(super) epoch: Option<String>,
    pub(super) a: String,
    pub(super) b: String,
}

/// Two epochs of a job by their names; an empty one is what was read before any was named.
#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct TwoEpochs {
    pub(super) job: Option<String>,
    pub(super) before: String,
    pub(super) after: String,
}

#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct Log {
    pub(super) job: Option<String>,
    pub(super) by: Option<String>,
    pub(super) reading: LogReading,
}

#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct Typing {
    pub(super) job: Option<String>,
    pub(super) reading: LogReading,
}

#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct ToDo {
    pub(super) job: Option<String>,
    pub(super) by: Option<String>,
    pub(super) act: Act,
}

#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct Back {
    pub(super) job: Option<String>,
    pub(super) who: Option<String>,
    pub(super) most: Option<usize>,
}

#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct Stood {
    pub(super) job: Option<String>,
    pub(super) when: String,
}

#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct Import {
    pub(super) job: Option<String>,
    pub(super) by: Option<String>,
    pub(super) readings: Option<String>,
    pub(super) points: Option<String>,
    pub(super) instruments: Option<String>,
    #[cfg_attr(test, ts(type = r#""in" | "mm" | null"#, optional))]
    pub(super) unit: Option<String>,
    #[serde(default)]
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub(super) keep_going: bool,
}

#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct NewPhoto {
    pub(super) job: Option<String>,
    pub(super) by: Option<String>,
    #[serde(default)]
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub(super) photo: AddPhoto,
}

#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct Picture {
    pub(super) job: Option<String>,
    pub(super) photo: String,
    pub(super) size: PhotoSize,
}

/// A picture by the hash of its photo.
#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(deny_unknown_fields)]
pub(super) struct PictureByHash {
    /// All 64 letters of it.
    pub(super) photo: String,
    pub(super) size: PhotoSize,
}

#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(deny_unknown_fields)]
pub(super) struct Person {
    pub(super) name: String,
}

/// A paper of a job at one epoch, the newest where none is named.
#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct OnPaper {
    pub(super) job: Option<String>,
    pub(super) epoch: Option<String>,
    pub(super) paper: PaperSize,
    pub(super) form: PaperForm,
    /// Of an SVG: the page, from 1, which is meant where none is said.
    pub(super) page: Option<usize>,
}

#[derive(Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
#[serde(deny_unknown_fields)]
pub(super) struct KeepDraft {
    pub(super) job: Option<String>,
    pub(super) draft: String,
}
