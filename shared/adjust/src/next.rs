//! What to read next: of the tapes that could be taken, those that would help most.

use crate::ambiguity::Alternative;
use crate::fit::Fit;
use crate::frames::Carried;
use crate::network::Network;
use crate::observe::Vec3;
use crate::result::NextReading;
use nalgebra::Matrix3;
use survey::{Kind, Survey};

/// A crew tapes no further than this.
const LONGEST_MM: f64 = 4000.0;
/// And nothing that its thumb covers.
const SHORTEST_MM: f64 = 50.0;
/// How many lines are worked out in full.
const MOST_TRIED: usize = 50;
/// How many to name.
const MOST: usize = 20;

/// What the search for the next reading is told.
pub(crate) struct State<'a> {
    pub(crate) network: &'a Network,
    pub(crate) survey: &'a Survey,
    pub(crate) fit: &'a Fit,
    pub(crate) carried: &'a Carried,
    /// Covariance of each canonical point in the frame, where it is pinned down.
    pub(crate) covariance: &'a [Option<Matrix3<f64>>],
    /// Points with two places.
    pub(crate) two_places: &'a [Alternative],
}

/// Tapes worth taking: first those that pin a loose or two-valued point, then those that most shrink the worst
/// uncertainty.
pub(crate) fn readings(state: &State<'_>) -> Vec<NextReading> {
    let mut next = Vec::new();
    for p in 0..state.network.point_count() {
        let directions = state.fit.directions(state.network, p);
        if !directions.is_empty() {
            next.extend(pin(state, p, &directions));
        }
    }
    for alternative in state
        .two_places
        .iter()
        .filter(|a| a.moved.len() < state.network.point_count())
    {
        next.extend(
            alternative
                .moved
                .first()
                .and_then(|&p| choose(state, p, alternative)),
        );
    }
    next.truncate(MOST);
    next.extend(shrink(state, MOST - next.len()));
    next
}

fn label<'a>(state: &State<'a>, p: usize) -> &'a survey::Label {
    &state.survey.points[state.network.survey_point[p]].label
}

/// A tape from p to q as a next reading, with the worst deviation before and after where that is known.
fn tape(state: &State<'_>, p: usize, q: usize, worst_sd_mm: Option<[f64; 2]>, why: String) -> NextReading {
    NextReading {
        kind: Kind::Tape,
        a: state.network.survey_point[p],
        b: state.network.survey_point[q],
        worst_sd_before_mm: worst_sd_mm.map(|[before, _]| before),
        worst_sd_after_mm: worst_sd_mm.map(|[_, after]| after),
        why,
    }
}

/// Whether the line between two points could be taped and was not.
fn open_line(state: &State<'_>, a: usize, b: usize) -> bool {
    let network = state.network;
    let (sa, sb) = (network.survey_point[a], network.survey_point[b]);
    let same = |x: usize, y: usize| (x, y) == (sa, sb) || (x, y) == (sb, sa);
    let length = (state.fit.at.positions[a] - state.fit.at.positions[b]).norm();
    a != b
        && (SHORTEST_MM..=LONGEST_MM).contains(&length)
        && !state.survey.blocked.iter().any(|&[x, y]| same(x, y))
        && !network.observations.iter().any(|o| {
            o.kind == Kind::Tape && !o.set_aside && (o.points().contains(&a) && o.points().contains(&b))
        })
}

fn held(state: &State<'_>, p: usize) -> bool {
    state.covariance[p].is_some()
}

/// The tapes that resist the free directions of a loose point best.
fn pin(state: &State<'_>, p: usize, directions: &[Vec3]) -> Vec<NextReading> {
    let here = state.fit.at.positions[p];
    let mut open = directions.to_vec();
    let mut used: Vec<usize> = Vec::new();
    let mut found = Vec::new();
    while let Some(direction) = open.pop() {
        let best = (0..state.network.point_count())
            .filter(|&q| held(state, q) && !used.contains(&q) && open_line(state, p, q))
            .map(|q| {
                let line = here - state.fit.at.positions[q];
                (q, line.dot(&direction).abs() / line.norm().max(1.0))
            })
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
        if let Some((q, _)) = best {
            used.push(q);
            found.push(tape(
                state,
                p,
                q,
                None,
                format!("pins {}, which can move", label(state, p)),
            ));
        }
    }
    found
}

/// The tape that tells the two places of a point apart best.
fn choose(state: &State<'_>, p: usize, other: &Alternative) -> Option<NextReading> {
    let (one, two) = (state.fit.at.positions[p], other.at.positions[p]);
    let (q, difference) = (0..state.network.point_count())
        .filter(|&q| held(state, q) && !other.moved.contains(&q) && open_line(state, p, q))
        .map(|q| {
            let from = state.fit.at.positions[q];
            (q, ((one - from).norm() - (two - from).norm()).abs())
        })
        .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))?;
    (difference > 5.0).then(|| {
        tape(
            state,
            p,
            q,
            None,
            format!("tells the two places of {} apart", label(state, p)),
        )
    })
}

/// The direction in which a point is least certain.
fn worst_axis(covariance: &Matrix3<f64>) -> Vec3 {
    let eigen = covariance.symmetric_eigen();
    eigen.eigenvectors.column(eigen.eigenvalues.imax()).into_owned()
}

fn longest_axis(covariance: &Matrix3<f64>) -> f64 {
    covariance.symmetric_eigenvalues().max().max(0.0).sqrt()
}

/// The tapes that most shrink the worst uncertainty of any point in the frame.
fn shrink(state: &State<'_>, most: usize) -> Vec<NextReading> {
    let network = state.network;
    let mut sizes: Vec<(usize, f64)> = state
        .covariance
        .iter()
        .enumerate()
        .filter_map(|(p, covariance)| Some((p, longest_axis(covariance.as_ref()?))))
        .collect();
    sizes.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let Some(&(worst, before)) = sizes.first() else {
        return Vec::new();
    };
    if before <= 0.0 {
        return Vec::new();
    }
    // A line helps a point most that runs along its worst axis.
    let mut candidates: Vec<(f64, usize, usize)> = Vec::new();
    for &(p, _) in sizes.iter().take(3) {
        let Some(axis) = state.covariance[p].as_ref().map(worst_axis) else {
            continue;
        };
        for &(q, _) in &sizes {
            if open_line(state, p, q) && !candidates.iter().any(|c| (c.2, c.1) == (p, q)) {
                let line = state.fit.at.positions[q] - state.fit.at.positions[p];
                let along = state.carried.placed.direction(&line).dot(&axis).abs() / line.norm();
                candidates.push((along, p, q));
            }
        }
    }
    candidates.sort_by(|a, b| b.0.total_cmp(&a.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let mut found: Vec<(f64, NextReading)> = Vec::new();
    for (_, p, q) in candidates.into_iter().take(MOST_TRIED) {
        let Some(predicted) = state.fit.predict(network, Kind::Tape, &[p, q], None) else {
            continue;
        };
        let sd = survey::default_sd(Kind::Tape, None, predicted.value);
        let mut after = 0.0f64;
        for &(r, size) in &sizes {
            // The largest are visited first: what is smaller than the worst so far cannot become the worst.
            if size <= after {
                break;
            }
            let with = state.carried.with_combination(network, state.fit, r, &predicted);
            if let Some(covariance) = &state.covariance[r] {
                let less = covariance - with * with.transpose() / (sd * sd + predicted.variance);
                after = after.max(longest_axis(&less));
            }
        }
        if after < before * 0.995 {
            let why = format!("holds {}, the least certain point, better", label(state, worst));
            found.push((after, tape(state, p, q, Some([before, after]), why)));
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.into_iter().map(|(_, next)| next).take(most).collect()
}
