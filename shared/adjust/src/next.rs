//! What to read next: of the lines that could still be read, those that would help most.
//!
//! Each end has a search of its own: [`pin`] holds points that can move, [`settle`] tells two places apart,
//! [`apart`] tells which reading of an unclear group is off, [`check`] makes slips show in readings in which they
//! would not, [`steady`] makes the least certain point more certain; a reading that is held out is read again.
//! Whatever a reading would do is worked out on the solution at hand: the covariance of an adjustment does not
//! depend on the values read, so that one more reading is one update of rank one ([`gain`]).
//!
//! What is proposed has two points: tapes first of all, as a crew works, slopes and rises where they are clearly
//! the better help. Corners, strings and faces are never proposed: they hang on three or four points at once, tell
//! less for the work of setting them up, and what they would settle a tape settles too.

mod apart;
mod check;
mod gain;
mod lines;
mod pin;
mod settle;
mod steady;

use crate::ambiguity::Alternative;
use crate::fit::Fit;
use crate::frames::{Axes, Carried, Placed};
use crate::network::{Configuration, Network};
use crate::result::{AdjustedReading, NextReading, Purpose};
use gain::Gain;
use lines::{Line, Lines};
use nalgebra::Matrix3;
use survey::Survey;

/// How many to name.
const MOST: usize = 20;
/// A tape is preferred unless another kind tells so many times as much, in variances: a rise is half again as
/// uncertain as a tape, and needs the water level fetched.
const TAPE_FIRST: f64 = 2.25;

/// With more unknowns than this a solve takes long, and fewer lines are worked out in full.
const LARGE: usize = 1500;

/// What the search for the next reading is told.
pub(crate) struct State<'a> {
    pub(crate) network: &'a Network,
    pub(crate) survey: &'a Survey,
    pub(crate) fit: &'a Fit,
    pub(crate) carried: &'a Carried,
    pub(crate) axes: Axes,
    pub(crate) pairs: &'a [[usize; 2]],
    /// Covariance of each canonical point in the frame, where it is pinned down; without any scale factor.
    pub(crate) covariance: &'a [Option<Matrix3<f64>>],
    /// Points with two places.
    pub(crate) two_places: &'a [Alternative],
    /// The other hand of the whole, where nothing tells.
    pub(crate) other_hand: Option<&'a Alternative>,
    /// Unclear groups.
    pub(crate) groups: &'a [OpenGroup],
    /// Readings that are off (observation indices), to be read again.
    pub(crate) suspects: &'a [usize],
    /// The readings as they are told, in the order of the survey.
    pub(crate) readings: &'a [AdjustedReading],
    /// Whether variances are multiplied with the variance factor found.
    pub(crate) scale: bool,
}

/// Readings of which some are off, with what would explain the survey.
#[derive(Debug, Clone)]
pub(crate) struct OpenGroup {
    /// Observation indices.
    pub(crate) readings: Vec<usize>,
    /// Each the readings that would be removed, and where the points are without them.
    pub(crate) explanations: Vec<(Vec<usize>, Configuration)>,
}

/// A reading that would serve an end.
#[derive(Debug, Clone)]
pub(crate) struct Wish {
    pub(crate) line: Line,
    pub(crate) purpose: Purpose,
    pub(crate) serves: Serves,
    pub(crate) why: String,
    pub(crate) after: After,
}

/// What a wish is for: points (canonical) and readings (observation indices).
#[derive(Debug, Clone, Default)]
pub(crate) struct Serves {
    pub(crate) points: Vec<usize>,
    pub(crate) readings: Vec<usize>,
}

impl Serves {
    fn points(points: &[usize]) -> Serves {
        Serves {
            points: points.to_vec(),
            readings: Vec::new(),
        }
    }

    fn readings(readings: &[usize]) -> Serves {
        Serves {
            points: Vec::new(),
            readings: readings.to_vec(),
        }
    }

    fn with(&mut self, other: Serves) {
        for (own, more) in [
            (&mut self.points, other.points),
            (&mut self.readings, other.readings),
        ] {
            own.extend(more);
            own.sort_unstable();
            own.dedup();
        }
    }
}

/// The worst standard deviation with a reading more.
#[derive(Debug, Clone, Copy)]
pub(crate) enum After {
    /// As it follows from the solution at hand.
    Here,
    /// Worked out by the end's own search, mm.
    Known(f64),
    /// It hangs on what the reading will say.
    Open,
}

/// Readings worth taking, at most [`MOST`]: the most serious end first, and of every end that applies a fair share.
pub(crate) fn readings(state: &State<'_>) -> Vec<NextReading> {
    let lines = Lines::new(state);
    let gain = Gain::new(state, &lines);
    let mut wishes = pin::wishes(state, &lines);
    wishes.extend(settle::wishes(state, &lines));
    wishes.extend(apart::wishes(state, &lines));
    wishes.extend(again(state, &lines));
    wishes.extend(check::wishes(state, &lines, &gain));
    wishes.extend(steady::wishes(state, &lines, &gain));
    shared_out(told_once(wishes))
        .into_iter()
        .map(|wish| NextReading {
            kind: wish.line.kind,
            a: state.network.survey_point[wish.line.a],
            b: state.network.survey_point[wish.line.b],
            purpose: wish.purpose,
            points: wish
                .serves
                .points
                .iter()
                .map(|&p| state.network.survey_point[p])
                .collect(),
            readings: wish
                .serves
                .readings
                .iter()
                .map(|&index| state.network.observations[index].reading)
                .collect(),
            worst_sd_before_mm: gain.before(),
            worst_sd_after_mm: match wish.after {
                After::Here => gain.after(&wish.line),
                After::Known(after) => Some(after),
                After::Open => None,
            },
            why: wish.why,
        })
        .collect()
}

/// What is held out, read again.
fn again(state: &State<'_>, lines: &Lines<'_>) -> Vec<Wish> {
    state
        .suspects
        .iter()
        .filter_map(|&index| {
            Some(Wish {
                line: lines.repeat(index)?,
                purpose: Purpose::ReadAgain,
                serves: Serves::readings(&[index]),
                why: if state.fit.active[index] {
                    format!(
                        "read it again, without looking at the first number: {} does not fit",
                        id(state, index)
                    )
                } else {
                    format!(
                        "read it again, without looking at the first number: {} is held out until then",
                        id(state, index)
                    )
                },
                after: After::Here,
            })
        })
        .collect()
}

/// One line is one wish: it goes to the most serious of its ends, with the reasons of all.
fn told_once(wishes: Vec<Wish>) -> Vec<Wish> {
    let mut once: Vec<Wish> = Vec::new();
    for wish in wishes {
        match once.iter_mut().find(|other| other.line.same(&wish.line)) {
            Some(other) if other.why.contains(&wish.why) => other.serves.with(wish.serves),
            Some(other) => {
                other.serves.with(wish.serves);
                other.why.push_str("; it also ");
                other.why.push_str(&wish.why);
            }
            None => once.push(wish),
        }
    }
    once.sort_by_key(|wish| wish.purpose);
    once
}

/// At most [`MOST`]: one of every end in turn, two where a point can move, until there is no more room.
fn shared_out(wishes: Vec<Wish>) -> Vec<Wish> {
    let mut ends: Vec<Vec<Wish>> = Vec::new();
    for wish in wishes {
        match ends.last_mut().filter(|end| end[0].purpose == wish.purpose) {
            Some(end) => end.push(wish),
            None => ends.push(vec![wish]),
        }
    }
    let mut shares = vec![0; ends.len()];
    let mut room = MOST;
    while room > 0 {
        let before = room;
        for (share, end) in shares.iter_mut().zip(&ends) {
            let turns = if end[0].purpose == Purpose::Pins { 2 } else { 1 };
            let more = turns.min(end.len() - *share).min(room);
            *share += more;
            room -= more;
        }
        if room == before {
            break;
        }
    }
    ends.into_iter()
        .zip(shares)
        .flat_map(|(end, share)| end.into_iter().take(share))
        .collect()
}

/// The worst standard deviation with a reading more, where the survey is as each of these solutions has it and
/// these points are pinned down, too; open where the solutions differ by more than the hundredth part promised.
fn agreed(state: &State<'_>, line: &Line, fits: &[&Fit], pinned_down: &[usize]) -> After {
    let of = |fit: &Fit| -> Option<f64> {
        if fit.free_motions(state.network) > state.fit.free_motions(state.network) {
            return None;
        }
        let placed = Placed::new(state.network, state.survey, &fit.at, state.axes, state.pairs).ok()?;
        let carried = placed.carry(fit);
        let covariance: Vec<Option<Matrix3<f64>>> = (0..state.network.point_count())
            .map(|p| {
                let held = state.covariance[p].is_some() || pinned_down.contains(&p);
                held.then(|| carried.covariance(state.network, fit, p))
            })
            .collect();
        let there = State {
            fit,
            carried: &carried,
            covariance: &covariance,
            two_places: &[],
            ..*state
        };
        let lines = Lines::new(&there);
        Gain::new(&there, &lines).after(line)
    };
    let found: Option<Vec<f64>> = fits.iter().map(|fit| of(fit)).collect();
    let found = found.unwrap_or_default();
    match found.iter().copied().reduce(f64::max) {
        Some(most) if found.iter().all(|after| *after > most * 0.992) => After::Known(most),
        _ => After::Open,
    }
}

/// The point's label.
fn label<'a>(state: &State<'a>, p: usize) -> &'a survey::Label {
    &state.survey.points[state.network.survey_point[p]].label
}

/// The reading's id.
fn id<'a>(state: &State<'a>, index: usize) -> &'a str {
    &state.survey.readings[state.network.observations[index].reading].id
}

/// `a`, `a and b`, `a, b and c`.
fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
