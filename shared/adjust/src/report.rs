//! From a solved network to the plain result, in the order and the frame of the survey.

mod points;

use crate::adjustment::Adjustment;
use crate::ambiguity::Alternative;
use crate::doubts::{Doubts, LOOK_AGAIN};
use crate::fit::{Fit, NO_REDUNDANCY};
use crate::frames::{Axes, Carried};
use crate::network::Network;
use crate::next::OpenGroup;
use crate::quantiles::chi_square_quantile;
use crate::result::*;
use crate::symmetry::{Mirror, Symmetry};
use points::Points;
use survey::{Class, Frame, InstrumentKind, Kind, Quantity, Survey};

/// The quantile of 80 % power, as formats use it.
const POWER: f64 = 0.8416;
/// A slip that hides up to here is unchecked.
const UNCHECKED_MM: f64 = 25.4;
const UNCHECKED_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;

/// The smallest slip that the test sees with 80 % power; `None` where nothing checks the reading.
pub(crate) fn smallest_visible_slip(sd: f64, redundancy: f64, critical_w: f64) -> Option<f64> {
    (redundancy >= NO_REDUNDANCY).then(|| sd * (critical_w + POWER) / redundancy.sqrt())
}

/// A redundancy below this checks nothing.
pub(crate) const CHECKED: f64 = 1e-3;

/// The largest slip that may hide in a reading of this kind before it counts as unchecked, mm or radians.
pub(crate) fn unchecked_limit(kind: Kind) -> f64 {
    match kind.quantity() {
        Quantity::Length => UNCHECKED_MM,
        Quantity::Angle => UNCHECKED_RAD,
    }
}

/// Whether so little checks a reading that an everyday slip would hide in it.
pub(crate) fn is_unchecked(kind: Kind, redundancy: Option<f64>, smallest: Option<f64>) -> bool {
    redundancy.is_none_or(|r| r < CHECKED) || smallest.is_none_or(|s| s > unchecked_limit(kind))
}

/// Everything that the result is told from.
pub(crate) struct Told<'a> {
    pub(crate) network: &'a Network,
    pub(crate) survey: &'a Survey,
    pub(crate) settings: &'a Settings,
    pub(crate) all: &'a Fit,
    pub(crate) fit: &'a Fit,
    pub(crate) doubts: &'a Doubts,
    pub(crate) carried: &'a Carried,
    pub(crate) axes: Axes,
    pub(crate) pairs: &'a [[usize; 2]],
    pub(crate) two_places: &'a [Alternative],
    pub(crate) other_hand: Option<&'a Alternative>,
}

impl Told<'_> {
    /// The factor on every variance: 1 unless the variance found is asked for.
    pub(crate) fn variance_scale(&self) -> f64 {
        let dof = self.fit.degrees_of_freedom(self.network);
        if self.settings.scale && dof > 0 {
            self.fit.chi_square / dof as f64
        } else {
            1.0
        }
    }

    /// The whole result.
    pub(crate) fn adjustment(&self, frame: Frame, handedness: Handedness) -> Adjustment {
        let two_valued = self.two_valued();
        let Points {
            points,
            loose,
            covariances,
        } = self.points(&two_valued);
        let readings = self.readings();
        let summary = self.summary(&readings);
        let state = crate::next::State {
            network: self.network,
            survey: self.survey,
            fit: self.fit,
            carried: self.carried,
            axes: self.axes,
            pairs: self.pairs,
            covariance: &covariances,
            two_places: self.two_places,
            other_hand: self.other_hand,
            groups: &self.open_groups(),
            suspects: &self.to_read_again(),
            readings: &readings,
            scale: self.settings.scale,
        };
        let next = crate::next::readings(&state);
        let islands = self.islands();
        let mut problems = self.frame_problems();
        if self.doubts.unexplained {
            problems.push(
                "more readings disagree than slips explain: the points may lie in a wrong arrangement. Give rough \
                 positions, or look for a label that was used for two marks"
                    .into(),
            );
        }
        let outcome = self.outcome(&summary, &readings, &loose, &two_valued, &islands);
        let two_valued_points: Vec<usize> = two_valued.iter().map(|t| t.point).collect();
        Adjustment {
            frame,
            handedness,
            outcome,
            points,
            readings,
            summary,
            loose,
            two_valued,
            islands,
            causes: self.causes(),
            unclear: self.unclear(),
            next,
            symmetry: self.symmetry(&two_valued_points),
            instruments: self.instruments(),
            people: self.people(),
            scale_uncertainty: self.scale_uncertainty(),
            problems,
            solution: None,
        }
    }

    /// The mirror pairs of which both points have one place in the shell, wherever the shell itself lies.
    fn symmetry(&self, two_valued: &[usize]) -> Option<Symmetry> {
        let held = |p: &usize| {
            self.fit.directions(self.network, *p).is_empty()
                && !two_valued.contains(&self.network.survey_point[*p])
        };
        let pairs: Vec<[usize; 2]> = self
            .pairs
            .iter()
            .copied()
            .filter(|pair| pair.iter().all(held))
            .collect();
        Mirror {
            network: self.network,
            survey: self.survey,
            fit: self.fit,
            placed: &self.carried.placed,
            ahead_is_said: self.settings.frame.is_some() || self.axes == Axes::Bench,
            scale: self.variance_scale(),
        }
        .symmetry(&pairs)
    }

    fn outcome(
        &self,
        summary: &Summary,
        readings: &[AdjustedReading],
        loose: &[Loose],
        two_valued: &[TwoValued],
        islands: &[Vec<usize>],
    ) -> Outcome {
        if summary.degrees_of_freedom == 0 && !self.doubts.cannot_tell {
            Outcome::NothingChecked
        } else if !islands.is_empty() {
            Outcome::Islands
        } else if !loose.is_empty() {
            Outcome::LoosePoints
        } else if !two_valued.is_empty() {
            Outcome::TwoValued
        } else if self.doubts.cannot_tell {
            Outcome::CannotTell
        } else if readings
            .iter()
            .any(|r| matches!(r.verdict, Verdict::Suspect | Verdict::Unclear))
        {
            Outcome::SuspectsHeldOut
        } else {
            Outcome::Fits
        }
    }

    fn readings(&self) -> Vec<AdjustedReading> {
        let z = self.fit.critical_w();
        let mut readings: Vec<Option<AdjustedReading>> = vec![None; self.survey.readings.len()];
        for (index, o) in self.network.observations.iter().enumerate() {
            let row = &self.fit.rows[index];
            // What a cause adds that is kept as an unknown is still wrong with the reading.
            let unknown = o.offset == Some(self.network.offsets.len());
            let kept = self.cause_of(index).filter(|cause| unknown && !cause.held_out);
            let misfit = row.misfit
                - kept
                    .and_then(|cause| cause.amount)
                    .map_or(0.0, |amount| amount.value);
            let w = match kept {
                Some(_) => row
                    .redundancy
                    .filter(|r| *r >= NO_REDUNDANCY)
                    .map(|r| misfit / (o.sd * r.sqrt())),
                None => row.w,
            };
            let known = row.variance.is_some();
            let group = self.group_of(index);
            let verdict = if o.set_aside {
                Verdict::SetAside
            } else if group.is_some() {
                Verdict::Unclear
            } else if self.doubts.suspects.contains(&index) {
                Verdict::Suspect
            } else if row.w.is_some_and(|w| w.abs() > LOOK_AGAIN) {
                Verdict::LookAgain
            } else {
                Verdict::Fits
            };
            let redundancy = row.redundancy;
            let smallest = redundancy.and_then(|r| smallest_visible_slip(o.sd, r, z));
            let unchecked = is_unchecked(o.kind, redundancy, smallest);
            let doubted = matches!(verdict, Verdict::Suspect | Verdict::Unclear);
            // Where suspects are kept in, what they do to the points would spoil every explanation.
            let slips = doubted
                .then(|| {
                    self.slip_of_cause(index).or_else(|| {
                        crate::slips::weighed(self.network, self.survey, &self.doubts.fit, index)
                            .map(crate::slips::Weighed::odds)
                    })
                })
                .flatten();
            let likely_slip = slips.as_ref().and_then(LikelySlips::best).cloned();
            let observed = self.survey.readings[o.reading].observed;
            readings[o.reading] = Some(AdjustedReading {
                observed,
                adjusted: known.then_some(observed + misfit),
                residual: known.then_some(misfit),
                sd: o.sd,
                redundancy,
                w,
                smallest_visible_slip: smallest,
                unchecked: unchecked && !o.set_aside,
                verdict,
                group: group.map(|g| g + 1),
                likely_slip,
                slips,
            });
        }
        readings.into_iter().flatten().collect()
    }

    fn summary(&self, readings: &[AdjustedReading]) -> Summary {
        let dof = self.fit.degrees_of_freedom(self.network);
        let band = (dof > 0).then(|| [0.025, 0.975].map(|p| chi_square_quantile(p, dof as f64)));
        let used = self.fit.readings();
        Summary {
            points: self.survey.points.len(),
            readings: used,
            held_out: self.all.readings() - used,
            unclear: readings.iter().filter(|r| r.verdict == Verdict::Unclear).count(),
            unknowns: self.fit.rank(self.network),
            degrees_of_freedom: dof,
            chi_square: self.fit.chi_square,
            chi_square_band_95: band,
            chi_square_all: self.all.chi_square,
            variance_factor: (dof > 0).then(|| self.fit.chi_square / dof as f64),
            passes: band.map(|[low, high]| (low..=high).contains(&self.fit.chi_square)),
            critical_w: self.fit.critical_w(),
        }
    }

    fn islands(&self) -> Vec<Vec<usize>> {
        let groups = self.network.components(&self.fit.active);
        if groups.len() < 2 {
            return Vec::new();
        }
        groups
            .into_iter()
            .map(|group| {
                let mut group: Vec<usize> = group.into_iter().map(|p| self.network.survey_point[p]).collect();
                group.sort_unstable();
                group
            })
            .collect()
    }

    /// Sides that contradict the frame.
    fn frame_problems(&self) -> Vec<String> {
        let Axes::Three { left, .. } = self.axes else {
            return Vec::new();
        };
        let point = &self.survey.points[self.network.survey_point[left]];
        if point.side == Some(survey::Side::Right) && self.settings.frame.is_some() {
            vec![format!(
                "the frame puts +y towards `{}`, which is said to be on the right: y points to the right here",
                point.label
            )]
        } else {
            Vec::new()
        }
    }

    /// The suspects, and of every cause that several readings share the first two: they tell whether it is one.
    fn to_read_again(&self) -> Vec<usize> {
        let shared = |index: &usize| self.cause_of(*index).is_some();
        let single = self
            .doubts
            .suspects
            .iter()
            .copied()
            .filter(|index| !shared(index));
        let causes = self
            .doubts
            .causes
            .iter()
            .flat_map(|cause| cause.readings.iter().copied().take(2));
        let mut again: Vec<usize> = single.chain(causes).collect();
        again.sort_unstable();
        again.dedup();
        again
    }

    /// The unclear groups with what would explain each.
    fn open_groups(&self) -> Vec<OpenGroup> {
        self.doubts
            .groups
            .iter()
            .map(|group| OpenGroup {
                readings: group.readings.clone(),
                explanations: group
                    .explanations
                    .iter()
                    .map(|explanation| (explanation.out.clone(), explanation.at.clone()))
                    .collect(),
            })
            .collect()
    }

    /// The class error of the tapes as a scale error: b of the class in mm per m as a uniform deviation, shared
    /// between tapes by the number of their readings.
    fn scale_uncertainty(&self) -> Option<f64> {
        let mut by_tape: Vec<(Option<usize>, f64)> = Vec::new();
        for (index, o) in self.network.observations.iter().enumerate() {
            if o.kind != Kind::Tape || !self.fit.active[index] {
                continue;
            }
            let instrument = self.survey.readings[o.reading].instrument;
            match by_tape.iter_mut().find(|(tape, _)| *tape == instrument) {
                Some((_, count)) => *count += 1.0,
                None => by_tape.push((instrument, 1.0)),
            }
        }
        by_tape.sort_by_key(|(tape, _)| *tape);
        let total: f64 = by_tape.iter().map(|(_, count)| count).sum();
        let per_metre = |tape: Option<usize>| match tape.map(|i| &self.survey.instruments[i]) {
            Some(i) if i.kind == InstrumentKind::Laser => 0.0,
            Some(i) => survey::permitted_per_metre(i.class),
            None => survey::permitted_per_metre(Class::II),
        };
        (total > 0.0).then(|| {
            by_tape
                .iter()
                .map(|(tape, count)| (per_metre(*tape) / 3f64.sqrt() * count / total).powi(2))
                .sum::<f64>()
                .sqrt()
        })
    }
}
