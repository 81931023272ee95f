//! What a text would be logged as, while it is typed.

use ledger::ReadingText;
use serde::Serialize;
use survey::{Kind, Problem, Quantity};

use super::{Desk, LogReading};
use crate::refusal::Refusal;
use crate::wire::QuantityWord;

/// What a text would be logged as; mm or degrees.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct Typed {
    /// Whether it is a length or an angle.
    pub quantity: QuantityWord,
    /// The number as it is read.
    pub read: Option<f64>,
    /// The number from point to point: after from, add and zero offset.
    pub observed: Option<f64>,
    /// Why it cannot be logged as it is.
    pub problem: Option<TypedProblem>,
}

/// Why a text cannot be logged.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct TypedProblem {
    /// The character of the value at fault, from 1, where it is one.
    pub place: Option<usize>,
    /// In words, with what to do.
    pub reason: String,
}

impl Desk {
    /// What a reading would be logged as. What is half typed is a problem in the answer and no refusal; points need not
    /// be chosen yet. Nothing is changed.
    ///
    /// # Errors
    /// Where there is no such job.
    pub fn typed(&mut self, job: Option<&str>, reading: &LogReading) -> Result<Typed, Refusal> {
        let id = self.choose(job)?;
        let records = self.job(id)?.records();
        let kind = Kind::from_word(&reading.kind.trim().to_lowercase()).unwrap_or(Kind::Tape);
        let quantity = kind.quantity();
        let unit = records.job.unit;
        let value = match quantity {
            Quantity::Length => survey::parse_length(&reading.value, unit),
            Quantity::Angle => survey::parse_angle(&reading.value, unit.is_some()),
        };
        let shown = |value: f64| crate::wire::shown(quantity, value);
        let (observed, problem) = match &value {
            Err(error) => (
                None,
                Some(TypedProblem {
                    place: error.fault.place(),
                    reason: error.to_string(),
                }),
            ),
            Ok(_) => match records.would_be(&text(reading, kind)) {
                Ok(reading) => (Some(shown(reading.observed)), None),
                Err(problems) => (None, problems.first().map(of)),
            },
        };
        Ok(Typed {
            quantity: quantity.into(),
            read: value.ok().map(shown),
            observed,
            problem,
        })
    }
}

fn text(reading: &LogReading, kind: Kind) -> ReadingText {
    ReadingText {
        kind: kind.word().to_owned(),
        value: reading.value.clone(),
        sd: reading.sd.clone(),
        instrument: reading.instrument.clone(),
        from: reading.from.clone(),
        add: reading.add.clone(),
        ..ReadingText::default()
    }
}

fn of(problem: &Problem) -> TypedProblem {
    let reason = match problem.column.as_deref() {
        None | Some("value") => problem.reason.clone(),
        Some(column) => format!("{column}: {}", problem.reason),
    };
    TypedProblem { place: None, reason }
}
