//! Where the points are while an order is planned, what is done, and the survey that the order would give.

use super::{OrderStep, StepReason};
use crate::adjustment::Adjustment;
use crate::observe::{Vec3, predict};
use crate::result::{PointStatus, Verdict};
use crate::rigid::fit_rigid;
use nalgebra::Matrix3;
use survey::{Kind, Reading, State as Use, Survey};

/// A crew tapes no further than this, and nothing that its thumb covers.
const LONGEST_MM: f64 = 4000.0;
const SHORTEST_MM: f64 = 50.0;
/// Rough places that lie this far from the readings' (root mean square) are in another frame.
const SAME_FRAME_MM: f64 = 500.0;

/// A plan in the making. All indices are those of the survey.
pub(super) struct Plan<'a> {
    pub(super) survey: &'a Survey,
    /// Where each point is, as far as known.
    pub(super) place: Vec<Option<Vec3>>,
    /// What a finished point is good for, mm².
    pub(super) covariance: Vec<Option<Matrix3<f64>>>,
    /// Readings at hand that are in use and not held out.
    in_use: Vec<bool>,
    /// Finished points in the order in which they are finished; those of the base and before first.
    taken: Vec<usize>,
    based: usize,
    read: Vec<(Kind, usize, usize)>,
    blocked: Vec<(usize, usize)>,
    stand: String,
}

impl<'a> Plan<'a> {
    pub(super) fn new(survey: &'a Survey, so_far: Option<&Adjustment>) -> Plan<'a> {
        let in_use: Vec<bool> = survey
            .readings
            .iter()
            .enumerate()
            .map(|(r, reading)| {
                let doubted = so_far.is_some_and(|solved| {
                    matches!(solved.readings[r].verdict, Verdict::Suspect | Verdict::Unclear)
                });
                reading.state != Use::SetAside && !doubted
            })
            .collect();
        let mut read: Vec<_> = survey
            .readings
            .iter()
            .filter(|reading| reading.state != Use::SetAside && reading.points.len() == 2)
            .map(|reading| key(reading.kind, reading.points[0], reading.points[1]))
            .collect();
        read.sort_unstable();
        let mut blocked: Vec<_> = survey
            .blocked
            .iter()
            .map(|&[a, b]| (a.min(b), a.max(b)))
            .collect();
        blocked.sort_unstable();
        let place = places(survey, so_far);
        let mut plan = Plan {
            survey,
            covariance: vec![None; place.len()],
            place,
            in_use,
            taken: Vec::new(),
            based: 0,
            read,
            blocked,
            // New readings belong to the stand in which the last were taken.
            stand: survey
                .readings
                .iter()
                .rev()
                .find(|reading| reading.kind.needs_plumb())
                .map_or(String::new(), |reading| reading.stand.clone()),
        };
        for p in 0..plan.place.len() {
            let exact = survey.points[p].fixed == [true; 3];
            let held = so_far.is_some_and(|solved| solved.points[p].status == PointStatus::Fixed);
            if exact || held && plan.place[p].is_some() && plan.readings_at(p) >= 4 {
                plan.done(p, Matrix3::identity() * if exact { 0.0 } else { 1.0 });
            }
        }
        plan.base_is_laid();
        plan
    }

    /// Marks a point as finished.
    pub(super) fn done(&mut self, p: usize, covariance: Matrix3<f64>) {
        if self.covariance[p].replace(covariance).is_none() {
            self.taken.push(p);
        }
    }

    /// What is finished up to here is the base.
    pub(super) fn base_is_laid(&mut self) {
        self.based = self.taken.len();
    }

    pub(super) fn finished(&self) -> &[usize] {
        &self.taken
    }

    /// Whether both points are finished.
    pub(super) fn are_done(&self, a: usize, b: usize) -> bool {
        self.covariance[a].is_some() && self.covariance[b].is_some()
    }

    /// When a point's turn is; those of the base come together.
    pub(super) fn turn(&self, p: usize) -> usize {
        let place = self.taken.iter().position(|&q| q == p).unwrap_or(usize::MAX);
        if place < self.based { 0 } else { place }
    }

    /// The point itself, unless it belongs to the base.
    pub(super) fn taken_for(&self, p: usize) -> Option<usize> {
        (self.turn(p) > 0).then_some(p)
    }

    pub(super) fn height(&self, p: usize) -> f64 {
        self.place[p].map_or(0.0, |place| place.z)
    }

    /// Readings at hand that touch a point.
    fn readings_at(&self, p: usize) -> usize {
        let touches = |(reading, used): &(&Reading, &bool)| **used && reading.points.contains(&p);
        self.survey
            .readings
            .iter()
            .zip(&self.in_use)
            .filter(touches)
            .count()
    }

    /// Tapes and rises at hand, in use, from a point to finished ones.
    pub(super) fn at_hand(&self, p: usize) -> Vec<(Kind, usize)> {
        let mut found = Vec::new();
        for (reading, _) in self
            .survey
            .readings
            .iter()
            .zip(&self.in_use)
            .filter(|(_, used)| **used)
        {
            if let ([a, b], Kind::Tape | Kind::Rise) = (&reading.points[..], reading.kind)
                && let Some(q) = [(*a, *b), (*b, *a)]
                    .iter()
                    .find(|(own, _)| *own == p)
                    .map(|(_, q)| *q)
                && self.covariance[q].is_some()
            {
                found.push((reading.kind, q));
            }
        }
        found
    }

    /// Whether a line can be read.
    pub(super) fn may(&self, kind: Kind, a: usize, b: usize) -> bool {
        let (Some(one), Some(other)) = (self.place[a], self.place[b]) else {
            return false;
        };
        a != b
            && (SHORTEST_MM..=LONGEST_MM).contains(&(one - other).norm())
            && self.blocked.binary_search(&(a.min(b), a.max(b))).is_err()
            && self.read.binary_search(&key(kind, a, b)).is_err()
    }

    /// Whether a line was read already.
    pub(super) fn is_read(&self, kind: Kind, a: usize, b: usize) -> bool {
        self.read.binary_search(&key(kind, a, b)).is_ok()
    }

    /// Lines from a point to finished ones, read already or still to be taped.
    pub(super) fn lines_to_done(&self, p: usize) -> usize {
        let open = self.taken.iter().filter(|&&q| self.may(Kind::Tape, p, q)).count();
        open + self.at_hand(p).len()
    }

    /// Whether anything at hand tells the plumb line.
    pub(super) fn has_level(&self) -> bool {
        let level = |(reading, used): (&Reading, &bool)| *used && reading.kind.needs_plumb();
        self.survey
            .readings
            .iter()
            .zip(&self.in_use)
            .filter(|pair| level(*pair))
            .count()
            >= 4
    }

    /// The survey as it would be, each reading as the places have it and so many times as uncertain; readings to
    /// points without a place are left out.
    pub(super) fn simulated(&self, steps: &[OrderStep], caution: f64) -> Survey {
        let mut made = self.survey.clone();
        for (point, place) in made.points.iter_mut().zip(&self.place) {
            if let Some(place) = place {
                for k in (0..3).filter(|&k| !point.fixed[k]) {
                    point.rough_mm[k] = Some(place[k]);
                }
            }
        }
        made.readings = self
            .survey
            .readings
            .iter()
            .zip(&self.in_use)
            .filter(|(reading, _)| reading.points.iter().all(|&p| self.place[p].is_some()))
            .map(|(reading, used)| Reading {
                observed: self.value(reading.kind, &reading.points),
                sd: reading.sd * caution,
                state: if *used { reading.state } else { Use::SetAside },
                ..reading.clone()
            })
            .collect();
        made.readings.extend(steps.iter().enumerate().map(|(n, step)| {
            let points = vec![step.a, step.b];
            let observed = self.value(step.kind, &points);
            let sd = survey::default_sd(step.kind, None, observed) * caution;
            Reading {
                stand: self.stand.clone(),
                ..Reading::bare(format!("{STEP}{n:06}"), step.kind, points, observed, sd)
            }
        }));
        made
    }

    /// Readings at hand and steps that are unchecked in an adjustment of [`Plan::simulated`].
    pub(super) fn readings_of(&self, solved: &Adjustment) -> (Vec<usize>, Vec<bool>) {
        let kept: Vec<usize> = (0..self.survey.readings.len())
            .filter(|&r| {
                self.survey.readings[r]
                    .points
                    .iter()
                    .all(|&p| self.place[p].is_some())
            })
            .collect();
        let unchecked: Vec<bool> = solved.readings.iter().map(|reading| reading.unchecked).collect();
        let (at_hand, planned) = unchecked.split_at(kept.len());
        let open = kept
            .iter()
            .zip(at_hand)
            .filter(|(r, open)| **open && self.in_use[**r]);
        (open.map(|(r, _)| *r).collect(), planned.to_vec())
    }

    /// What a reading would be, were the places exact and z up.
    fn value(&self, kind: Kind, points: &[usize]) -> f64 {
        let mut at = [Vec3::zeros(); 4];
        for (slot, &p) in at.iter_mut().zip(points) {
            *slot = self.place[p].unwrap_or_else(Vec3::zeros);
        }
        predict(kind, &at, &Vec3::z()).value
    }
}

/// Ids of planned readings begin with this: no sheet has a control character in an id.
const STEP: char = '\u{1}';

/// A step between two points.
pub(super) fn step(kind: Kind, a: usize, b: usize, point: Option<usize>, reason: StepReason) -> OrderStep {
    OrderStep {
        kind,
        a,
        b,
        point,
        reason,
    }
}

fn key(kind: Kind, a: usize, b: usize) -> (Kind, usize, usize) {
    (kind, a.min(b), a.max(b))
}

/// Where the points are: as the readings have it where they hold a point, laid onto the rough places; else the
/// rough place.
fn places(survey: &Survey, so_far: Option<&Adjustment>) -> Vec<Option<Vec3>> {
    let rough: Vec<Option<Vec3>> = survey
        .points
        .iter()
        .map(|point| match point.rough_mm {
            [Some(x), Some(y), Some(z)] => Some(Vec3::new(x, y, z)),
            _ => None,
        })
        .collect();
    let Some(solved) = so_far else { return rough };
    let found: Vec<Option<[f64; 3]>> = solved
        .points
        .iter()
        .map(|point| match point.coordinates_mm {
            [Some(x), Some(y), Some(z)] if point.status == PointStatus::Fixed => Some([x, y, z]),
            _ => None,
        })
        .collect();
    let both = || found.iter().zip(&rough).filter_map(|(f, r)| Some(((*f)?, (*r)?)));
    let (from, to): (Vec<[f64; 3]>, Vec<[f64; 3]>) = both().map(|(f, r)| (f, [r.x, r.y, r.z])).unzip();
    if from.is_empty() {
        return found.into_iter().map(|place| place.map(Vec3::from)).collect();
    }
    match fit_rigid(&from, &to) {
        Some(rigid) if rigid.mean_square_error < SAME_FRAME_MM * SAME_FRAME_MM => {
            let rotation = Matrix3::from_fn(|i, j| rigid.rotation[i][j]);
            let shift = Vec3::from(rigid.translation);
            let laid = |place: [f64; 3]| rotation * Vec3::from(place) + shift;
            found
                .iter()
                .zip(&rough)
                .map(|(f, r)| f.map(laid).or(*r))
                .collect()
        }
        _ => rough,
    }
}
