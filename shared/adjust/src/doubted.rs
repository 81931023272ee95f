//! Doubts as they are told: groups that cannot be told apart with what they do to the points, and shared causes.

use crate::doubts::{Cause, Group, amount};
use crate::frames::Placed;
use crate::report::Told;
use crate::result::{LikelySlip, LikelySlips, Moved, SharedCause, Unclear};

/// A point is told with both places where they are further apart than this many standard deviations.
const APART: f64 = 3.0;

impl Told<'_> {
    /// The groups that cannot be told apart.
    pub(crate) fn unclear(&self) -> Vec<Unclear> {
        self.doubts
            .groups
            .iter()
            .map(|group| Unclear {
                readings: self.of_survey(&group.readings),
                held_out: group.held_out,
                moves: if group.held_out {
                    Vec::new()
                } else {
                    self.moves(group)
                },
                cause: None,
            })
            .chain(self.kept_causes().map(|(place, cause)| Unclear {
                readings: self.of_survey(&cause.readings),
                held_out: false,
                moves: Vec::new(),
                cause: Some(place),
            }))
            .collect()
    }

    /// The place in [`unclear`](Told::unclear) of the group that a reading is part of.
    pub(crate) fn group_of(&self, index: usize) -> Option<usize> {
        let groups = &self.doubts.groups;
        let among = groups.iter().position(|group| group.readings.contains(&index));
        let kept = || {
            self.kept_causes()
                .position(|(_, cause)| cause.readings.binary_search(&index).is_ok())
        };
        among.or_else(|| kept().map(|place| groups.len() + place))
    }

    /// Causes whose readings stay in, with their amount as an unknown.
    fn kept_causes(&self) -> impl Iterator<Item = (usize, &Cause)> {
        self.doubts
            .causes
            .iter()
            .enumerate()
            .filter(|(_, cause)| !cause.held_out)
    }

    /// The causes that several readings share.
    pub(crate) fn causes(&self) -> Vec<SharedCause> {
        self.doubts
            .causes
            .iter()
            .map(|cause| SharedCause {
                slip: cause.slip,
                readings: self.of_survey(&cause.readings),
                points: cause
                    .points
                    .iter()
                    .map(|&p| self.network.survey_point[p])
                    .collect(),
                amount: cause.amount,
                held_out: cause.held_out,
            })
            .collect()
    }

    /// The slip of a reading that a shared cause explains.
    pub(crate) fn slip_of_cause(&self, index: usize) -> Option<LikelySlips> {
        let cause = self.cause_of(index)?;
        let place = cause.readings.binary_search(&index).ok()?;
        let observed = self.survey.readings[self.network.observations[index].reading].observed;
        let likely = LikelySlip {
            slip: cause.slip,
            corrected: cause.amount.map(|amount| {
                observed - amount::settled(self.survey, &self.of_survey(&cause.readings), amount)
            }),
            belongs_to: cause
                .belongs_to
                .get(place)
                .map(|points| points.iter().map(|&p| self.network.survey_point[p]).collect()),
            odds: cause.odds,
        };
        Some(LikelySlips {
            slips: vec![likely],
            none_of_these: 1.0 - cause.odds,
        })
    }

    /// The cause that explains a reading.
    pub(crate) fn cause_of(&self, index: usize) -> Option<&Cause> {
        self.doubts
            .causes
            .iter()
            .find(|cause| cause.readings.binary_search(&index).is_ok())
    }

    fn of_survey(&self, observations: &[usize]) -> Vec<usize> {
        let mut readings: Vec<usize> = observations
            .iter()
            .map(|&index| self.network.observations[index].reading)
            .collect();
        readings.sort_unstable();
        readings
    }

    /// The points that lie elsewhere in another explanation.
    fn moves(&self, group: &Group) -> Vec<Moved> {
        let places: Vec<Vec<crate::observe::Vec3>> = group
            .explanations
            .iter()
            .map(|explanation| &explanation.at)
            .chain([&self.fit.at])
            .filter_map(|at| {
                let placed = Placed::new(self.network, self.survey, at, self.axes, self.pairs).ok()?;
                Some(
                    at.positions
                        .iter()
                        .map(|place| placed.coordinates(place))
                        .collect(),
                )
            })
            .collect();
        let Some((first, others)) = places.split_first() else {
            return Vec::new();
        };
        // The solution with the group in is no explanation; it serves where there is only one.
        let others = if others.len() > 1 {
            &others[..others.len() - 1]
        } else {
            others
        };
        let mut moves: Vec<Moved> = (0..self.network.point_count())
            .filter(|&p| self.fit.directions(self.network, p).is_empty())
            .filter_map(|p| {
                let farthest = others
                    .iter()
                    .map(|other| other[p])
                    .max_by(|a, b| (a - first[p]).norm().total_cmp(&(b - first[p]).norm()))?;
                let shift = farthest - first[p];
                let covariance = self.carried.covariance(self.network, self.fit, p);
                let square = shift.norm_squared();
                let sd = (shift.dot(&(covariance * shift)) / square).max(0.0).sqrt();
                (square > 1e-6 && square.sqrt() > APART * sd).then(|| Moved {
                    point: self.network.survey_point[p],
                    places: [first[p].into(), farthest.into()],
                })
            })
            .collect();
        moves.sort_by_key(|moved| moved.point);
        moves
    }
}
