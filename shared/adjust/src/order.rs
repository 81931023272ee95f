//! In which order to survey a shell of which only rough places are known, or to go on with one half done.
//!
//! First a base of well-spread points near the floor, each taped to every other, with rises between them: a floor
//! is flat, and tapes along it say next to nothing about heights. Then point by point, each taped from points that
//! are done already, from different heights and directions, so that it is held and checked before the next is
//! begun and a slip shows while the crew is still there. What one point's readings would be worth is judged at the
//! point alone ([`sights`]); the whole plan is then adjusted with the values that it would read, for the covariance
//! does not depend on them, and what that adjustment still finds unchecked or open is added where it belongs.

mod base;
mod places;
mod sights;

use crate::adjustment::{Adjustment, adjust};
use crate::result::{PointStatus, Purpose, Settings, Unsolvable, Verdict};
use places::Plan;
use sights::Sights;
use survey::{Frame, Kind, Survey};

/// Points worked out in full for each that is taken: those that see most of what is done.
const LOOKED_AT: usize = 8;
/// A mirror partner is taken next unless another point stands so many times as well.
const PARTNER_FIRST: f64 = 3.0;
/// Rounds in which the whole plan is adjusted and mended.
const ROUNDS: usize = 6;
/// While it is mended every reading counts as so many times as uncertain: the shell is not quite where its rough
/// places are, and what is checked by a hair there would not be checked here.
const CAUTION: f64 = 1.5;

/// The order in which to survey.
#[derive(Debug, Clone, PartialEq)]
pub struct SurveyOrder {
    /// What to read, in this order.
    pub steps: Vec<OrderStep>,
    /// Points that the order leaves out, in the order of the survey.
    pub left_out: Vec<LeftOut>,
    /// Points that stay loose or keep two places even so (indices into the survey's points).
    pub open: Vec<usize>,
    /// Steps in which a slip would not show even then (indices into `steps`).
    pub unchecked: Vec<usize>,
    /// Readings at hand in which a slip would not show even then (indices into the survey's readings).
    pub unchecked_readings: Vec<usize>,
    /// The frame that the worst deviation is told in: the one asked for, else the one that an adjustment chooses.
    pub frame: Frame,
    /// The worst standard deviation to expect (longest axis of a point's covariance), mm, over the points that are
    /// pinned down then.
    pub worst_sd_mm: Option<f64>,
    /// The point that has it.
    pub worst_point: Option<usize>,
}

/// One reading of the order. Indices are into the survey's points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OrderStep {
    /// What to read.
    pub kind: Kind,
    /// From.
    pub a: usize,
    /// To.
    pub b: usize,
    /// The point that it is taken for; `None` in the base, which is done when all of it is.
    pub point: Option<usize>,
    /// What it is for.
    pub reason: StepReason,
}

/// What a step is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum StepReason {
    /// A reading at hand that is off, or may be, once more.
    ReadAgain,
    /// The base that the others hang on.
    Base,
    /// The level: heights of the base, and which way is up.
    Level,
    /// It holds a point.
    Holds,
    /// It tells above from below where all other ends lie in a plane.
    TellsAbove,
    /// It makes slips show that would not show otherwise, or holds what would stay open.
    Checks,
}

/// A point that the order leaves out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LeftOut {
    /// Index into the survey's points.
    pub point: usize,
    /// Why.
    pub reason: LeftOutReason,
}

/// Why a point is left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeftOutReason {
    /// It has no rough place, and the readings do not give one.
    NoPlace,
    /// So few lines that could be taped lead from it to points that are done; three are needed.
    TooFewLines(usize),
}

/// Why there is no order.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoOrder {
    /// Fewer than four points have a place.
    #[error("only {known} points have a rough place: give x, y and z, to a hand's width, of at least four")]
    TooFewPlaces {
        /// How many have.
        known: usize,
    },
    /// No base can be taped.
    #[error(
        "no three points near the floor can be taped to each other within 4 m: look at the rough places and at \
         the blocked lines"
    )]
    NoBase,
    /// What the order would read cannot be solved in the frame asked for.
    #[error(transparent)]
    Unsolvable(#[from] Unsolvable),
}

/// Works out the order in which to survey: from rough places alone, or from where a survey half done stands.
///
/// # Errors
/// [`NoOrder`] says what is missing. Points that cannot be placed are no error: they are listed.
pub fn order(survey: &Survey, settings: &Settings) -> Result<SurveyOrder, NoOrder> {
    let so_far = adjust(survey, settings).ok();
    let mut plan = Plan::new(survey, so_far.as_ref());
    let known = plan.place.iter().flatten().count();
    if known < 4 {
        return Err(NoOrder::TooFewPlaces { known });
    }
    let mut steps = so_far
        .as_ref()
        .map(|solved| again(survey, solved))
        .unwrap_or_default();
    base::lay(&mut plan, &mut steps)?;
    let mut left_out: Vec<LeftOut> = (0..survey.points.len())
        .filter(|&p| plan.place[p].is_none())
        .map(|point| LeftOut {
            point,
            reason: LeftOutReason::NoPlace,
        })
        .collect();
    let unreachable = build_up(&mut plan, &mut steps);
    let solved = mended(&plan, settings, &mut steps)?;
    left_out.extend(unreachable);
    left_out.sort_by_key(|left| left.point);
    Ok(told(&plan, steps, left_out, &solved))
}

/// What is off, or may be, in the readings at hand: to be read again first.
fn again(survey: &Survey, solved: &Adjustment) -> Vec<OrderStep> {
    solved
        .next
        .iter()
        .filter(|next| matches!(next.purpose, Purpose::ReadAgain | Purpose::TellsApart))
        .filter(|next| {
            survey.readings.iter().enumerate().any(|(r, reading)| {
                matches!(solved.readings[r].verdict, Verdict::Suspect | Verdict::Unclear)
                    && reading.kind == next.kind
                    && reading.points.contains(&next.a)
                    && reading.points.contains(&next.b)
            })
        })
        .map(|next| OrderStep {
            kind: next.kind,
            a: next.a,
            b: next.b,
            point: None,
            reason: StepReason::ReadAgain,
        })
        .collect()
}

/// Takes one point after the other, the one that stands best next. Returns those that cannot be reached.
fn build_up(plan: &mut Plan<'_>, steps: &mut Vec<OrderStep>) -> Vec<LeftOut> {
    let mut remaining: Vec<usize> = (0..plan.place.len())
        .filter(|&p| plan.place[p].is_some() && plan.covariance[p].is_none())
        .collect();
    let mut last: Option<usize> = None;
    loop {
        // Those that see most of what is done, the lowest first.
        let mut seen: Vec<(usize, f64, usize)> = remaining
            .iter()
            .map(|&p| (plan.lines_to_done(p), plan.height(p), p))
            .filter(|(lines, ..)| *lines >= 3)
            .collect();
        seen.sort_by(|a, b| {
            b.0.min(8)
                .cmp(&a.0.min(8))
                .then(a.1.total_cmp(&b.1))
                .then(a.2.cmp(&b.2))
        });
        let partner = last.and_then(|p| plan.survey.points[p].mirror);
        let mut best: Option<(f64, usize, Sights)> = None;
        for (n, &(_, _, p)) in seen.iter().enumerate() {
            if n >= LOOKED_AT && Some(p) != partner {
                continue;
            }
            let Some(sights) = Sights::best(plan, p) else {
                continue;
            };
            let score = sights.strength * if Some(p) == partner { PARTNER_FIRST } else { 1.0 };
            if best.as_ref().is_none_or(|(most, ..)| score > most * (1.0 + 1e-9)) {
                best = Some((score, p, sights));
            }
        }
        let Some((_, p, sights)) = best else { break };
        steps.extend(sights.steps(plan, p));
        plan.done(p, sights.covariance);
        remaining.retain(|&q| q != p);
        last = Some(p);
    }
    remaining
        .into_iter()
        .map(|point| LeftOut {
            point,
            reason: LeftOutReason::TooFewLines(plan.lines_to_done(point)),
        })
        .collect()
}

/// Adjusts the whole plan and adds what would stay open or unchecked, to the group of the point that comes later.
fn mended(
    plan: &Plan<'_>,
    settings: &Settings,
    steps: &mut Vec<OrderStep>,
) -> Result<Adjustment, Unsolvable> {
    for _ in 0..ROUNDS {
        let solved = adjust(&plan.simulated(steps, CAUTION), settings)?;
        let more: Vec<OrderStep> = solved
            .next
            .iter()
            .filter(|next| matches!(next.purpose, Purpose::Pins | Purpose::Settles | Purpose::Checks))
            .filter(|next| plan.may(next.kind, next.a, next.b) && plan.are_done(next.a, next.b))
            .map(|next| {
                let [earlier, later] = if plan.turn(next.a) <= plan.turn(next.b) {
                    [next.a, next.b]
                } else {
                    [next.b, next.a]
                };
                OrderStep {
                    kind: next.kind,
                    a: later,
                    b: earlier,
                    point: plan.taken_for(later),
                    reason: StepReason::Checks,
                }
            })
            .collect();
        if more.is_empty() {
            break;
        }
        for step in more {
            let place = steps
                .iter()
                .rposition(|other| other.point == step.point && other.reason != StepReason::ReadAgain)
                .map_or(steps.len(), |last| last + 1);
            steps.insert(place, step);
        }
    }
    adjust(&plan.simulated(steps, 1.0), settings)
}

/// The order as it is told.
fn told(plan: &Plan<'_>, steps: Vec<OrderStep>, left_out: Vec<LeftOut>, solved: &Adjustment) -> SurveyOrder {
    let (at_hand, planned) = plan.readings_of(solved);
    let sizes = solved.points.iter().enumerate().filter_map(|(p, point)| {
        let longest = nalgebra::Matrix3::from(point.covariance_mm2?)
            .symmetric_eigenvalues()
            .max();
        Some((p, longest.max(0.0).sqrt()))
    });
    let worst = sizes.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
    let left = |p: &usize| left_out.iter().any(|left| left.point == *p);
    SurveyOrder {
        open: (0..solved.points.len())
            .filter(|p| solved.points[*p].status != PointStatus::Fixed && !left(p))
            .collect(),
        unchecked: (0..steps.len()).filter(|&n| planned[n]).collect(),
        unchecked_readings: at_hand,
        frame: solved.frame.clone(),
        worst_sd_mm: worst.map(|(_, size)| size),
        worst_point: worst.map(|(p, _)| p),
        steps,
        left_out,
    }
}
