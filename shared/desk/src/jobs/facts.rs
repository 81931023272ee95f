//! What is said in acts: facts of instruments and points, corrections, values of registers.

use serde::{Deserialize, Serialize};

/// What has a name besides points and readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum NamedThing {
    /// Of the crew.
    Person,
    /// A way in which the shell stands.
    Stand,
    /// A stage of the work.
    Epoch,
    /// A tape, an angle finder, a level.
    Instrument,
}

/// The value of a register, as it is disputed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum RegisterValue {
    /// A whole number.
    Whole(i64),
    /// Another number.
    Number(f64),
    /// Text.
    Text(String),
}

/// What is said of an instrument; what is left out stays, empty text empties.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
#[expect(missing_docs, reason = "the columns of the instruments sheet")]
pub struct InstrumentFacts {
    pub kind: Option<String>,
    pub class: Option<String>,
    pub graduation: Option<String>,
    pub zero_offset: Option<String>,
    pub case_length: Option<String>,
    pub point_sd: Option<String>,
    pub sd: Option<String>,
    pub note: Option<String>,
}

/// What is said of a point; what is left out stays, empty text empties.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
#[expect(missing_docs, reason = "the columns of the points sheet")]
pub struct PointFacts {
    pub side: Option<String>,
    pub mirror: Option<String>,
    pub x: Option<String>,
    pub y: Option<String>,
    pub z: Option<String>,
    pub fixed: Option<String>,
    pub note: Option<String>,
}

/// What is corrected of a reading; what is left out stays, empty text empties.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
#[expect(missing_docs, reason = "the columns of the readings sheet")]
pub struct Correction {
    pub kind: Option<String>,
    pub points: Option<Vec<String>>,
    pub value: Option<String>,
    pub sd: Option<String>,
    pub instrument: Option<String>,
    pub from: Option<String>,
    pub add: Option<String>,
    pub stand: Option<String>,
    pub epoch: Option<String>,
    pub note: Option<String>,
}
