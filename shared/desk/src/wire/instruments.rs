//! How instruments and people behave, as JSON.

use adjust::{InstrumentBehaviour, PersonBehaviour};
use serde::Serialize;
use survey::Survey;

use super::{TestedWire, reads_angles};

/// How an instrument behaves; deviations in mm, or degrees where it reads angles.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(
    missing_docs,
    reason = "the same fields as `adjust::InstrumentBehaviour`, which documents them"
)]
pub struct InstrumentWire {
    pub name: String,
    pub readings: usize,
    pub redundancy: f64,
    pub variance_ratio: Option<f64>,
    pub band_95: Option<[f64; 2]>,
    pub said_sd: f64,
    pub behaves_like_sd: Option<f64>,
    /// What must be added beyond the zero offset of the sheet.
    pub zero_offset_mm: Option<TestedWire>,
}

/// How a person reads.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(
    missing_docs,
    reason = "the same fields as `adjust::PersonBehaviour`, which documents them"
)]
pub struct PersonWire {
    pub name: String,
    pub readings: usize,
    pub held_out: usize,
    pub redundancy: f64,
    pub variance_ratio: Option<f64>,
    pub band_95: Option<[f64; 2]>,
}

impl InstrumentWire {
    pub(super) fn of(survey: &Survey, found: &InstrumentBehaviour) -> InstrumentWire {
        let angles = reads_angles(survey, found.instrument);
        let shown = |value: f64| if angles { value.to_degrees() } else { value };
        InstrumentWire {
            name: survey.instruments[found.instrument].name.clone(),
            readings: found.readings,
            redundancy: found.redundancy,
            variance_ratio: found.variance_ratio,
            band_95: found.band_95,
            said_sd: shown(found.said_sd),
            behaves_like_sd: found.behaves_like_sd.map(shown),
            zero_offset_mm: found.offset.map(|it| TestedWire::of(it, 1.0)),
        }
    }
}

impl PersonWire {
    pub(super) fn of(found: &PersonBehaviour) -> PersonWire {
        PersonWire {
            name: found.name.clone(),
            readings: found.readings,
            held_out: found.held_out,
            redundancy: found.redundancy,
            variance_ratio: found.variance_ratio,
            band_95: found.band_95,
        }
    }
}
