//! What is said in acts: facts of instruments and points, corrections, values of registers.

use ledger::PointText;
use serde::{Deserialize, Serialize};

/// What has a name besides points and readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
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
#[cfg_attr(test, derive(ts_rs::TS))]
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
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
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
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
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

/// A point that is added. Text that is left out is nothing said.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[serde(default, deny_unknown_fields)]
#[expect(missing_docs, reason = "the columns of the points sheet")]
pub struct NewPoint {
    pub label: String,
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub side: String,
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub mirror: String,
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub x: String,
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub y: String,
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub z: String,
    #[cfg_attr(test, ts(as = "Option<_>", optional))]
    pub note: String,
}

impl NewPoint {
    /// Its label, and what is said of it beside that.
    pub(super) fn text(&self) -> (String, PointText) {
        let said = |text: &String| Some(text.clone()).filter(|text| !text.trim().is_empty());
        let text = PointText {
            side: said(&self.side),
            mirror: said(&self.mirror),
            rough: [said(&self.x), said(&self.y), said(&self.z)],
            fixed: None,
            note: said(&self.note),
        };
        (self.label.clone(), text)
    }
}

/// What is corrected of a reading; what is left out stays, empty text empties.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(test, derive(ts_rs::TS), ts(optional_fields = nullable))]
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
