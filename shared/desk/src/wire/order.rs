//! An order as JSON, format 1: deviations in mm, steps in the order in which they are to be read.

use adjust::LeftOutReason;
use serde::Serialize;

use super::{FrameWire, ProblemWire, StepReasonWord};
use crate::OrderAnswer;

/// The order as JSON text, with a line end at its end.
pub fn order_to_json(answer: &OrderAnswer) -> String {
    let mut text = serde_json::to_string_pretty(&OrderWire::of(answer))
        .expect("plain structs of numbers and text always serialise");
    text.push('\n');
    text
}

/// The whole order.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct OrderWire {
    /// The version of these names: 1.
    pub format: u32,
    /// The frame of the worst deviation.
    pub frame: FrameWire,
    /// What to read, in this order.
    pub steps: Vec<StepWire>,
    /// Points that the order leaves out.
    pub left_out: Vec<LeftOutWire>,
    /// Labels of points that stay loose or keep two places even so.
    pub open: Vec<String>,
    /// Ids of readings at hand in which a slip would not show even then.
    pub unchecked_readings: Vec<String>,
    /// The worst standard deviation to expect, longest axis of a point's covariance.
    pub expected_worst_sd_mm: Option<f64>,
    /// The point that has it.
    pub worst_point: Option<String>,
    /// What is wrong with the sheets.
    pub problems: Vec<ProblemWire>,
}

/// One reading to take.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct StepWire {
    /// The kind of reading.
    #[cfg_attr(test, ts(type = "KindWord"))]
    pub kind: &'static str,
    /// From.
    pub a: String,
    /// To.
    pub b: String,
    /// The point that it is taken for; `null` in the base.
    pub point: Option<String>,
    /// What it is for.
    pub why: StepReasonWord,
    /// Whether a slip in it would not show even when all is read.
    pub unchecked: bool,
}

/// A point that is left out.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct LeftOutWire {
    /// Its label.
    pub label: String,
    /// `no place` or `too few lines`.
    #[cfg_attr(test, ts(type = r#""no place" | "too few lines""#))]
    pub reason: &'static str,
    /// How many lines lead to it, where they are too few.
    pub lines: Option<usize>,
}

impl OrderWire {
    /// The order in its outside shape.
    pub fn of(answer: &OrderAnswer) -> OrderWire {
        let label = |point: usize| answer.survey.points[point].label.to_string();
        let order = &answer.order;
        OrderWire {
            format: 1,
            frame: FrameWire::of(&order.frame),
            steps: order
                .steps
                .iter()
                .enumerate()
                .map(|(n, step)| StepWire {
                    kind: step.kind.word(),
                    a: label(step.a),
                    b: label(step.b),
                    point: step.point.map(label),
                    why: step.reason.into(),
                    unchecked: order.unchecked.contains(&n),
                })
                .collect(),
            left_out: order
                .left_out
                .iter()
                .map(|left| {
                    let (reason, lines) = match left.reason {
                        LeftOutReason::NoPlace => ("no place", None),
                        LeftOutReason::TooFewLines(lines) => ("too few lines", Some(lines)),
                    };
                    LeftOutWire {
                        label: label(left.point),
                        reason,
                        lines,
                    }
                })
                .collect(),
            open: order.open.iter().map(|&point| label(point)).collect(),
            unchecked_readings: order
                .unchecked_readings
                .iter()
                .map(|&reading| answer.survey.readings[reading].id.clone())
                .collect(),
            expected_worst_sd_mm: order.worst_sd_mm,
            worst_point: order.worst_point.map(label),
            problems: answer.problems.iter().map(ProblemWire::of).collect(),
        }
    }
}
