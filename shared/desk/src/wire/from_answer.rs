//! From the answer to its wire twin: units and words, no arithmetic beyond them.

use adjust::{AdjustedPoint, AdjustedReading, LikelySlip};
use survey::{Frame, Kind, Problem, Quantity, Survey};

use super::{
    AdjustmentWire, FrameWire, InstrumentWire, LikelySlipWire, LooseWire, NextWire, PersonWire, PointWire,
    ProblemWire, ReadingWire, SummaryWire, SymmetryWire, TwoValuedWire,
};
use crate::AdjustAnswer;
use crate::told::unclear_problems;

impl AdjustmentWire {
    /// The wire twin of an answer.
    pub fn of(answer: &AdjustAnswer) -> AdjustmentWire {
        let AdjustAnswer {
            survey,
            adjustment,
            problems,
            ..
        } = answer;
        let label = |point: usize| survey.points[point].label.to_string();
        AdjustmentWire {
            format: 1,
            frame: FrameWire::of(&adjustment.frame),
            handedness: adjustment.handedness.into(),
            outcome: adjustment.outcome.into(),
            points: adjustment
                .points
                .iter()
                .enumerate()
                .map(|(i, it)| point(label(i), it))
                .collect(),
            readings: survey
                .readings
                .iter()
                .zip(&adjustment.readings)
                .map(|(said, found)| reading(survey, &said.id, said.kind, found))
                .collect(),
            summary: summary(&adjustment.summary),
            loose: adjustment
                .loose
                .iter()
                .map(|it| LooseWire {
                    label: label(it.point),
                    directions: it.directions.clone(),
                })
                .collect(),
            two_valued: adjustment
                .two_valued
                .iter()
                .map(|it| TwoValuedWire {
                    label: label(it.point),
                    candidates: it.candidates,
                    chi_square: it.chi_square,
                })
                .collect(),
            islands: adjustment
                .islands
                .iter()
                .map(|island| island.iter().map(|&point| label(point)).collect())
                .collect(),
            next: adjustment
                .next
                .iter()
                .map(|it| NextWire {
                    kind: it.kind.word(),
                    a: label(it.a),
                    b: label(it.b),
                    worst_sd_before_mm: it.worst_sd_before_mm,
                    worst_sd_after_mm: it.worst_sd_after_mm,
                    why: it.why.clone(),
                })
                .collect(),
            symmetry: adjustment
                .symmetry
                .as_ref()
                .map(|it| SymmetryWire::of(it, &label)),
            instruments: adjustment
                .instruments
                .iter()
                .map(|it| InstrumentWire::of(survey, it))
                .collect(),
            people: adjustment.people.iter().map(PersonWire::of).collect(),
            problems: problems
                .iter()
                .map(ProblemWire::of)
                .chain(
                    unclear_problems(answer)
                        .into_iter()
                        .chain(adjustment.problems.iter().cloned())
                        .map(|reason| ProblemWire {
                            file: None,
                            row: None,
                            column: None,
                            reason,
                        }),
                )
                .collect(),
        }
    }
}

impl FrameWire {
    /// The twin of a frame.
    pub(crate) fn of(frame: &Frame) -> FrameWire {
        let text = ToString::to_string;
        match frame {
            Frame::Three { origin, ahead, left } => FrameWire::Three {
                origin: text(origin),
                ahead: text(ahead),
                left: text(left),
            },
            Frame::Plumb { origin, ahead, left } => FrameWire::Plumb {
                origin: text(origin),
                ahead: text(ahead),
                left: text(left),
            },
            Frame::Centreline { origin, ahead, above } => FrameWire::Centreline {
                origin: text(origin),
                ahead: text(ahead),
                above: text(above),
            },
            Frame::Bench => FrameWire::Bench,
        }
    }
}

fn point(label: String, point: &AdjustedPoint) -> PointWire {
    let [x_mm, y_mm, z_mm] = point.coordinates_mm;
    let sd = |axis: usize| {
        point
            .covariance_mm2
            .map(|covariance| covariance[axis][axis].max(0.0).sqrt())
    };
    PointWire {
        label,
        x_mm,
        y_mm,
        z_mm,
        sd_x_mm: sd(0),
        sd_y_mm: sd(1),
        sd_z_mm: sd(2),
        covariance_mm2: point.covariance_mm2,
        ellipsoid_95_mm: point.ellipsoid_95_mm(),
        status: point.status.into(),
    }
}

fn reading(survey: &Survey, id: &str, kind: Kind, found: &AdjustedReading) -> ReadingWire {
    let shown = |value: f64| shown(kind.quantity(), value);
    let likely = |likely: &LikelySlip| LikelySlipWire::of(survey, kind.quantity(), likely);
    ReadingWire {
        id: id.to_owned(),
        kind: kind.word(),
        observed: shown(found.observed),
        adjusted: found.adjusted.map(shown),
        residual: found.residual.map(shown),
        sd: shown(found.sd),
        redundancy: found.redundancy,
        w: found.w,
        smallest_visible_slip: found.smallest_visible_slip.map(shown),
        unchecked: found.unchecked,
        verdict: found.verdict.into(),
        group: found.group,
        likely_slip: found.likely_slip.as_ref().map(likely),
        slips: found
            .slips
            .iter()
            .flat_map(|slips| slips.slips.iter().map(likely))
            .collect(),
        none_of_these: found.slips.as_ref().map(|slips| slips.none_of_these),
    }
}

fn summary(summary: &adjust::Summary) -> SummaryWire {
    SummaryWire {
        points: summary.points,
        readings: summary.readings,
        held_out: summary.held_out,
        unclear: summary.unclear,
        unknowns: summary.unknowns,
        degrees_of_freedom: summary.degrees_of_freedom,
        chi_square: summary.chi_square,
        chi_square_band_95: summary.chi_square_band_95,
        chi_square_all: summary.chi_square_all,
        variance_factor: summary.variance_factor,
        passes: summary.passes,
        critical_w: summary.critical_w,
    }
}

/// Whether an instrument's deviations are angles: an angle finder, or one that only angles were read with.
pub(crate) fn reads_angles(survey: &Survey, instrument: usize) -> bool {
    let mut its = survey
        .readings
        .iter()
        .filter(|reading| reading.instrument == Some(instrument))
        .peekable();
    match its.peek() {
        Some(_) => its.all(|reading| reading.kind.quantity() == Quantity::Angle),
        None => survey.instruments[instrument].kind == survey::InstrumentKind::Finder,
    }
}

/// A number of a reading as it goes out: mm, or degrees.
pub(crate) fn shown(quantity: Quantity, value: f64) -> f64 {
    match quantity {
        Quantity::Length => value,
        Quantity::Angle => value.to_degrees(),
    }
}

impl LikelySlipWire {
    pub(crate) fn of(survey: &Survey, quantity: Quantity, likely: &LikelySlip) -> LikelySlipWire {
        LikelySlipWire {
            name: likely.slip.word(),
            corrected: likely.corrected.map(|corrected| shown(quantity, corrected)),
            belongs_to: likely.belongs_to.as_ref().map(|points| {
                points
                    .iter()
                    .map(|&it| survey.points[it].label.to_string())
                    .collect()
            }),
            odds: likely.odds,
        }
    }
}

impl ProblemWire {
    /// The problem with its place.
    pub(crate) fn of(problem: &Problem) -> ProblemWire {
        ProblemWire {
            file: Some(problem.file.clone()),
            row: problem.row,
            column: problem.column.clone(),
            reason: problem.reason.clone(),
        }
    }
}
