//! The whole adjustment, in the order in which it happens.

use crate::ambiguity::{Alternative, other_hand, second_places};
use crate::doubts::{Doubts, search};
use crate::fit::Fit;
use crate::frame_asked::{axes, default_frame, frame_is_held, frame_labels, mirror_pairs};
use crate::frames::{Axes, Placed};
use crate::hand;
use crate::instruments::{InstrumentBehaviour, PersonBehaviour};
use crate::network::Network;
use crate::result::*;
use crate::start;
use crate::symmetry::Symmetry;
use survey::{Frame, Kind, Survey};

/// The least-squares result of a survey.
#[derive(Debug, Clone)]
pub struct Adjustment {
    /// The frame of the coordinates.
    pub frame: Frame,
    /// What decided between mirror images.
    pub handedness: Handedness,
    /// The most serious thing that applies.
    pub outcome: Outcome,
    /// The points, in the order of the survey.
    pub points: Vec<AdjustedPoint>,
    /// The readings, in the order of the survey.
    pub readings: Vec<AdjustedReading>,
    /// The figures of the whole.
    pub summary: Summary,
    /// Points that are not pinned down.
    pub loose: Vec<Loose>,
    /// Points with two places.
    pub two_valued: Vec<TwoValued>,
    /// Groups of points that hang together but not with each other; empty where all do.
    pub islands: Vec<Vec<usize>>,
    /// Causes that several readings share.
    pub causes: Vec<SharedCause>,
    /// Groups of readings that cannot be told apart; [`AdjustedReading::group`] is the place here plus one.
    pub unclear: Vec<Unclear>,
    /// What to read next, best first, at most 20.
    pub next: Vec<NextReading>,
    /// Mirror pairs against the best mid-plane; `None` where fewer than two pairs are pinned down.
    pub symmetry: Option<Symmetry>,
    /// How the instruments behave.
    pub instruments: Vec<InstrumentBehaviour>,
    /// How the people read who are named, by name.
    pub people: Vec<PersonBehaviour>,
    /// Standard deviation of the scale of the whole, mm per m: the class error of a tape is much the same in all
    /// its readings, so no residual shows it. `None` where no tape's class is known.
    pub scale_uncertainty: Option<f64>,
    /// What must be told beside the result.
    pub problems: Vec<String>,
    /// What distances and predictions are computed from; `None` in a result put together by hand.
    pub solution: Option<Box<Solution>>,
}

/// The solved network behind an [`Adjustment`].
#[derive(Debug, Clone)]
pub struct Solution {
    pub(crate) network: Network,
    pub(crate) fit: Fit,
    pub(crate) placed: Placed,
    /// By point of the survey: whether its place is known.
    pub(crate) pinned_down: Vec<bool>,
    /// By point of the survey: whether its place among the others is known, and at most which of two mirror images the
    /// whole is, is not.
    pub(crate) shaped: Vec<bool>,
    pub(crate) scale: f64,
}

impl Solution {
    /// Whether a point of the survey is known well enough for a reading of that kind to be predicted; `None` for a
    /// point that was not solved. A mirror image has the same lengths, angles, slopes and rises.
    pub(crate) fn knows(&self, kind: Kind, point: usize) -> Option<bool> {
        let known = match kind {
            Kind::X | Kind::Y | Kind::Z => &self.pinned_down,
            _ => &self.shaped,
        };
        known.get(point).copied()
    }
}

/// Solves a survey.
///
/// # Errors
/// [`Unsolvable`] says what is missing where not even a part of the shell can be placed. Doubts, loose points and
/// islands are no errors: they are in the result.
pub fn adjust(survey: &Survey, settings: &Settings) -> Result<Adjustment, Unsolvable> {
    let mut network = Network::new(survey, settings.estimate_offsets);
    let active = network.in_use();
    enough(survey, &network, &active)?;
    for label in frame_labels(settings) {
        if survey.point_index(label).is_none() {
            return Err(Unsolvable::UnknownFramePoint(label.clone()));
        }
    }
    let start = start::find(&network, &active);
    let all = match start.system {
        Some(system) => Fit::with_system(&network, &active, start.at, system),
        None => Fit::new(&network, &active, start.at),
    };
    if !all.chi_square.is_finite() || !all.converged && all.chi_square > 1e6 * all.readings() as f64 {
        return Err(Unsolvable::NotConverged(
            "check the values and units of the longest readings".into(),
        ));
    }
    let mut doubts = search(&network, survey, &all);
    let plain = doubts
        .network
        .take()
        .map(|with_cause| std::mem::replace(&mut network, with_cause));
    let pairs = mirror_pairs(survey, &network);
    let frame = match &settings.frame {
        Some(frame) => frame.clone(),
        None => default_frame(survey, &network, &doubts.fit)?,
    };
    let axes = axes(survey, &network, &frame)?;
    let mut problems = Vec::new();

    // The hand of the whole, then the points that have two places of their own.
    let other = other_hand(&network, &doubts.fit);
    let chosen = hand::choose(
        &network,
        survey,
        settings,
        axes,
        &pairs,
        &doubts.fit.at,
        other.as_ref(),
    );
    problems.extend(chosen.problems);
    if let (true, Some(other)) = (chosen.other, &other) {
        take(&network, &mut doubts, other);
    }
    let two_places = settle_second_places(&network, survey, &mut doubts, axes, &pairs);
    let unresolved = (chosen.by == Handedness::Unresolved).then_some(other).flatten();

    let final_fit = match settings.suspects {
        Suspects::Hold => doubts.fit.clone(),
        Suspects::Keep => {
            let mut at = doubts.fit.at.clone();
            // Kept in as it was read: no unknown takes up what several readings share.
            if let Some(plain) = plain {
                at.offsets.truncate(plain.offset_column.len());
                network = plain;
                doubts.fit = Fit::new(&network, &active, at.clone());
            }
            Fit::new(&network, &active, at)
        }
    };
    let placed = Placed::new(&network, survey, &final_fit.at, axes, &pairs).map_err(Unsolvable::BadFrame)?;
    frame_is_held(survey, &network, &final_fit, axes)?;
    let carried = placed.carry(&final_fit);
    let told = crate::report::Told {
        network: &network,
        survey,
        settings,
        all: &all,
        fit: &final_fit,
        doubts: &doubts,
        carried: &carried,
        axes,
        pairs: &pairs,
        two_places: &two_places,
        other_hand: unresolved.as_ref(),
    };
    let mut adjustment = told.adjustment(frame, chosen.by);
    adjustment.problems.splice(0..0, problems);
    let pinned_down: Vec<bool> = adjustment
        .points
        .iter()
        .map(|p| p.status == PointStatus::Fixed)
        .collect();
    let shaped = shaped(&adjustment.points, unresolved.is_some(), &two_places, &network);
    let scale = told.variance_scale();
    adjustment.solution = Some(Box::new(Solution {
        network,
        fit: final_fit,
        placed,
        pinned_down,
        shaped,
        scale,
    }));
    Ok(adjustment)
}

/// Which points have one place among the others: those that are pinned down and, where the hand of the whole is open,
/// those with two places by that alone.
fn shaped(
    points: &[AdjustedPoint],
    hand_is_open: bool,
    two_places: &[Alternative],
    network: &Network,
) -> Vec<bool> {
    let mut shaped: Vec<bool> = points
        .iter()
        .map(|point| match point.status {
            PointStatus::Fixed => true,
            PointStatus::TwoValued => hand_is_open,
            PointStatus::Loose => false,
        })
        .collect();
    for &p in two_places.iter().flat_map(|other| &other.moved) {
        shaped[network.survey_point[p]] = false;
    }
    shaped
}

impl Adjustment {
    /// The distance between two points, measured or not, with its standard deviation; `None` where a point can move, or
    /// has two places of its own. Which mirror image the whole is, is no matter.
    pub fn distance(&self, a: usize, b: usize) -> Option<Estimate> {
        self.predict(Kind::Tape, &[a, b], "")
    }

    /// What the readings in use predict for another one, without solving again: indices into the survey's points,
    /// and the stand for slopes and rises. `None` where that is not determined.
    pub fn predict(&self, kind: Kind, points: &[usize], stand: &str) -> Option<Estimate> {
        let solution = self.solution.as_deref()?;
        let Solution {
            network, fit, scale, ..
        } = solution;
        if points.len() != kind.point_count() || points.iter().any(|&p| solution.knows(kind, p) != Some(true))
        {
            return None;
        }
        let canonical: Vec<usize> = points.iter().map(|&p| network.canonical_point[p]).collect();
        let stand = network.stands.iter().position(|name| name == stand);
        let there = fit.predict(network, kind, &canonical, stand)?;
        let bench = matches!(kind, Kind::X | Kind::Y | Kind::Z);
        let shift = if bench {
            network.origin[crate::observe::axis_of(kind)]
        } else {
            0.0
        };
        Some(Estimate {
            value: there.value + shift,
            sd: (there.variance * scale).sqrt(),
        })
    }

    /// Whether a point has one place among the others; which mirror image the whole is may still be open.
    pub fn has_one_place(&self, point: usize) -> bool {
        let solution = self.solution.as_deref();
        solution.is_some_and(|solution| solution.shaped.get(point) == Some(&true))
    }

    /// Where the solve ended with each point, in the frame, mm, pinned down or not: for drawing those that can still
    /// move. `None` where no reading in use ties a point to most others, so that its place means nothing.
    pub fn ended_at(&self) -> Vec<Option<[f64; 3]>> {
        let mut places = vec![None; self.points.len()];
        let Some(Solution {
            network, fit, placed, ..
        }) = self.solution.as_deref()
        else {
            return places;
        };
        for p in network
            .components(&fit.active)
            .into_iter()
            .next()
            .unwrap_or_default()
        {
            places[network.survey_point[p]] = Some(placed.coordinates(&fit.at.positions[p]).into());
        }
        places
    }

    /// The covariance of a point in the free net, where no point is preferred: inner constraints over all points.
    pub fn free_net_covariance(&self, point: usize) -> Option<[[f64; 3]; 3]> {
        let Solution {
            network,
            fit,
            pinned_down,
            scale,
            ..
        } = self.solution.as_deref()?;
        pinned_down.get(point).filter(|held| **held)?;
        let free_net = Placed::free_net(network, fit).carry(fit);
        let covariance = free_net.covariance(network, fit, network.canonical_point[point]) * *scale;
        Some([0, 1, 2].map(|i| [0, 1, 2].map(|j| covariance[(i, j)])))
    }
}

/// Whether there is anything to solve.
fn enough(survey: &Survey, network: &Network, active: &[bool]) -> Result<(), Unsolvable> {
    if !active.contains(&true) {
        return Err(Unsolvable::NoReadings);
    }
    let sized = network
        .observations
        .iter()
        .zip(active)
        .any(|(o, active)| *active && o.kind.quantity() == survey::Quantity::Length);
    let known = survey.points.iter().filter(|p| p.fixed.contains(&true)).count();
    if !sized && known < 2 {
        return Err(Unsolvable::NoLength);
    }
    let largest = network.components(active).first().map_or(0, Vec::len);
    if largest < 3 && !network.has_bench() {
        return Err(Unsolvable::TooFewPoints { points: largest });
    }
    Ok(())
}

/// Goes over to another arrangement.
fn take(network: &Network, doubts: &mut Doubts, other: &Alternative) {
    doubts.fit = Fit::new(network, &doubts.fit.active, other.at.clone());
}

/// Points with two places: where rough positions choose, they do; the others are returned.
fn settle_second_places(
    network: &Network,
    survey: &Survey,
    doubts: &mut Doubts,
    axes: Axes,
    pairs: &[[usize; 2]],
) -> Vec<Alternative> {
    let everyone: Vec<usize> = (0..network.point_count()).collect();
    let mut open = Vec::new();
    for alternative in second_places(network, &doubts.fit, &everyone) {
        match rough_choice(network, survey, doubts, &alternative, axes, pairs) {
            Some(true) => take(network, doubts, &alternative),
            Some(false) => {}
            None => open.push(alternative),
        }
    }
    open
}

/// Whether rough positions choose the alternative: the place of the first moved point that is nearer by a third.
fn rough_choice(
    network: &Network,
    survey: &Survey,
    doubts: &Doubts,
    other: &Alternative,
    axes: Axes,
    pairs: &[[usize; 2]],
) -> Option<bool> {
    let here = Placed::new(network, survey, &doubts.fit.at, axes, pairs).ok()?;
    let there = Placed::new(network, survey, &other.at, axes, pairs).ok()?;
    let (mut now, mut then) = (0.0, 0.0);
    let mut count = 0;
    for &p in &other.moved {
        let (a, b) = (
            here.coordinates(&doubts.fit.at.positions[p]),
            there.coordinates(&other.at.positions[p]),
        );
        for k in 0..3 {
            if let Some(rough) = network.rough[p][k].filter(|_| !network.fixed[p][k]) {
                let rough = rough + network.origin[k];
                now += (a[k] - rough) * (a[k] - rough);
                then += (b[k] - rough) * (b[k] - rough);
                count += 1;
            }
        }
    }
    if count < 2 {
        return None;
    }
    if now < 0.44 * then {
        Some(false)
    } else if then < 0.44 * now {
        Some(true)
    } else {
        None
    }
}
