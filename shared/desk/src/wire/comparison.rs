//! A comparison of two epochs as JSON, format 1: lengths in mm, in the frame of the later one.

use adjust::WhyNotCompared;
use serde::Serialize;

use crate::CompareAnswer;

/// The comparison as JSON text, with a line end at its end.
pub fn comparison_to_json(answer: &CompareAnswer) -> String {
    let mut text = serde_json::to_string_pretty(&ComparisonWire::of(answer))
        .expect("plain structs of numbers and text always serialise");
    text.push('\n');
    text
}

/// What moved between two epochs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ComparisonWire {
    /// The version of these names: 1.
    pub format: u32,
    /// The frame of the shifts.
    pub frame: super::FrameWire,
    /// Whether most points kept their places against each other.
    pub stands_still: bool,
    /// Whether what is not said to have moved lies as the readings allow.
    pub rest_agrees: bool,
    /// The critical value for `chi_square`.
    pub critical: f64,
    /// The points that are pinned down in both.
    pub points: Vec<ComparedWire>,
    /// The others.
    pub not_compared: Vec<NotComparedWire>,
}

/// One point; the shift is from before to after.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(
    missing_docs,
    reason = "the same fields as `adjust::Compared`, which documents them"
)]
pub struct ComparedWire {
    pub label: String,
    pub shift_mm: [f64; 3],
    pub sd_mm: [f64; 3],
    pub distance_mm: f64,
    pub distance_sd_mm: f64,
    pub chi_square: f64,
    pub moved: bool,
    pub unclear: bool,
}

/// A point that cannot be compared.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
#[expect(missing_docs, reason = "told in the type's docs")]
pub struct NotComparedWire {
    pub label: String,
    #[cfg_attr(
        test,
        ts(type = r#""only before" | "only after" | "open before" | "open after" | "open in both""#)
    )]
    pub why: &'static str,
}

/// Two epochs of a job, compared point by point; lengths in mm, in the frame of the later one.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct EpochsCompared {
    /// The earlier epoch; empty for what was read before any was named.
    pub before: String,
    /// The later one.
    pub after: String,
    /// The frame.
    pub frame: super::FrameWire,
    /// Whether most points kept their places against each other. Where not, no point is said to have moved.
    pub stands_still: bool,
    /// Whether what is not said to have moved lies as the readings allow.
    pub rest_agrees: bool,
    /// The critical value for `chi_square`.
    pub critical: f64,
    /// The points that are pinned down in both.
    pub points: Vec<EpochPoint>,
    /// The others.
    pub not_compared: Vec<NotComparedWire>,
    /// The later one, to be drawn.
    pub shape: super::ShapeShown,
}

/// A point at two epochs, the earlier laid on the later by the points that kept their places.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(test, derive(ts_rs::TS))]
pub struct EpochPoint {
    /// Where it was.
    pub before: [f64; 3],
    /// Where it is: `before` and the shift.
    pub after: [f64; 3],
    /// How far it moved, and whether it did.
    #[serde(flatten)]
    pub compared: ComparedWire,
}

impl EpochsCompared {
    /// The wire twin of a comparison of these two epochs.
    pub(crate) fn of(
        [before, after]: [String; 2],
        answer: &CompareAnswer,
        shape: super::ShapeShown,
    ) -> EpochsCompared {
        let wire = ComparisonWire::of(answer);
        let place = |point: usize| {
            let at = answer.after.adjustment.points[point].coordinates_mm;
            at.map(|mm| mm.expect("only points that are pinned down are compared"))
        };
        let compared = wire.points.into_iter().zip(&answer.comparison.points);
        EpochsCompared {
            before,
            after,
            frame: wire.frame,
            stands_still: wire.stands_still,
            rest_agrees: wire.rest_agrees,
            critical: wire.critical,
            points: compared
                .map(|(compared, point)| {
                    let after = place(point.after);
                    EpochPoint {
                        before: [0, 1, 2].map(|k| after[k] - compared.shift_mm[k]),
                        after,
                        compared,
                    }
                })
                .collect(),
            not_compared: wire.not_compared,
            shape,
        }
    }
}

impl ComparisonWire {
    /// The wire twin of a comparison.
    pub fn of(answer: &CompareAnswer) -> ComparisonWire {
        let comparison = &answer.comparison;
        let label = |point: usize| answer.after.survey.points[point].label.to_string();
        ComparisonWire {
            format: 1,
            frame: super::FrameWire::of(&answer.after.adjustment.frame),
            stands_still: comparison.stands_still,
            rest_agrees: comparison.rest_agrees,
            critical: comparison.critical,
            points: comparison
                .points
                .iter()
                .map(|it| ComparedWire {
                    label: label(it.after),
                    shift_mm: it.shift_mm,
                    sd_mm: [0, 1, 2].map(|k| it.covariance_mm2[k][k].max(0.0).sqrt()),
                    distance_mm: it.distance_mm.value,
                    distance_sd_mm: it.distance_mm.sd,
                    chi_square: it.chi_square,
                    moved: it.moved,
                    unclear: it.unclear,
                })
                .collect(),
            not_compared: comparison
                .not_compared
                .iter()
                .map(|it| NotComparedWire {
                    label: it.label.to_string(),
                    why: match it.why {
                        WhyNotCompared::OnlyBefore => "only before",
                        WhyNotCompared::OnlyAfter => "only after",
                        WhyNotCompared::OpenBefore => "open before",
                        WhyNotCompared::OpenAfter => "open after",
                        WhyNotCompared::OpenInBoth => "open in both",
                    },
                })
                .collect(),
        }
    }
}
