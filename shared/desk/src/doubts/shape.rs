//! Doubts of points and of the shell as a whole.

use adjust::Handedness;

use super::{Found, bare};
use crate::AdjustAnswer;
use crate::told::{held_by, is_read, straight_words};
use crate::wire::{Doubt, DoubtKind, PairOff, QuantityWord, Settle, TestedWire};

impl Found<'_> {
    /// Whether nothing tells the shell from its mirror image.
    pub(super) fn mirror_image(&self) -> Option<Doubt> {
        let open = self.answer.adjustment.handedness == Handedness::Unresolved;
        open.then(|| bare(DoubtKind::MirrorImage, Settle::SayAbove))
    }

    /// Every group of points that is not joined to the largest one.
    pub(super) fn islands(&self) -> Vec<Doubt> {
        let islands = &self.answer.adjustment.islands;
        let main = (0..islands.len()).rev().max_by_key(|&at| islands[at].len());
        // A point by itself is told among those that can move.
        let apart = (0..islands.len()).filter(|&at| Some(at) != main && islands[at].len() > 1);
        apart
            .map(|at| Doubt {
                points: islands[at].iter().map(|&point| self.label(point)).collect(),
                ..bare(
                    DoubtKind::Islands,
                    self.join(&islands[at], main.map_or(&[], |main| &islands[main])),
                )
            })
            .collect()
    }

    /// Points that can move.
    pub(super) fn loose(&self) -> Vec<Doubt> {
        let islands = &self.answer.adjustment.islands;
        let main = islands.iter().map(Vec::len).max().unwrap_or_default();
        // A group that nothing joins to the rest is told as one.
        let of_an_island = |point: usize| {
            islands
                .iter()
                .any(|island| island.len() < main && island.len() > 1 && island.contains(&point))
        };
        self.answer
            .adjustment
            .loose
            .iter()
            .filter(|loose| !of_an_island(loose.point) && is_read(self.answer, loose.point))
            .map(|loose| {
                let (tapes, others) = held_by(self.answer, loose.point);
                Doubt {
                    points: vec![self.label(loose.point)],
                    directions: loose.directions.clone(),
                    tapes,
                    others,
                    ..bare(DoubtKind::Loose, self.hold(loose.point))
                }
            })
            .collect()
    }

    /// The points that nobody has read yet, as one: each of them before a shell is taped, and once more when an epoch
    /// begins.
    pub(super) fn not_read(&self) -> Option<Doubt> {
        let loose = self.answer.adjustment.loose.iter();
        let unread: Vec<usize> = loose
            .map(|loose| loose.point)
            .filter(|&point| !is_read(self.answer, point))
            .collect();
        (!unread.is_empty()).then(|| Doubt {
            points: unread.iter().map(|&point| self.label(point)).collect(),
            ..bare(DoubtKind::NotRead, self.join(&unread, &self.pinned_down()))
        })
    }

    /// Points with two places.
    pub(super) fn two_places(&self) -> Vec<Doubt> {
        let two = self.answer.adjustment.two_valued.iter();
        two.map(|two| Doubt {
            points: vec![self.label(two.point)],
            amount: Some(apart(two.candidates)),
            places: Some(two.candidates),
            ..bare(DoubtKind::TwoPlaces, self.hold(two.point))
        })
        .collect()
    }

    /// What is racked, twisted or not alike left and right, unless all of it is taken as it is. No reading settles it:
    /// it is the shell.
    pub(super) fn not_straight(&self, taken: &Crooked) -> Option<Doubt> {
        let crooked = Crooked::of(self.answer);
        let symmetry = self.answer.adjustment.symmetry.as_ref()?;
        if crooked.is_within(taken) {
            return None;
        }
        let mut off: Vec<&adjust::PairOff> = symmetry.pairs.iter().filter(|pair| pair.stands_out).collect();
        off.sort_by(|a, b| surest(b).total_cmp(&surest(a)));
        let pairs: Vec<PairOff> = off
            .iter()
            .map(|pair| PairOff {
                left: self.label(pair.left),
                right: self.label(pair.right),
                off_mm: pair.off_mm,
                sd_mm: [0, 1, 2].map(|k| pair.covariance_mm2[k][k].max(0.0).sqrt()),
            })
            .collect();
        let racked = symmetry.racked_mm.filter(|tested| tested.significant);
        let twisted = symmetry.twisted.filter(|tested| tested.significant);
        let said = [
            racked.map(|tested| straight_words(self.answer, QuantityWord::Length, tested)),
            twisted.map(|tested| straight_words(self.answer, QuantityWord::Angle, tested)),
        ];
        let said: Vec<String> = said.into_iter().flatten().collect();
        let only_twisted = pairs.is_empty() && racked.is_none();
        Some(Doubt {
            points: pairs
                .iter()
                .flat_map(|pair| [pair.left.clone(), pair.right.clone()])
                .collect(),
            quantity: if only_twisted {
                QuantityWord::Angle
            } else {
                QuantityWord::Length
            },
            amount: match (pairs.first(), racked, twisted) {
                (None, Some(racked), _) => Some(racked.value.abs()),
                (None, None, Some(twisted)) => Some(twisted.value.abs().to_degrees()),
                _ => None,
            },
            pair: pairs.first().cloned(),
            pairs,
            racked: racked.map(|tested| TestedWire::of(tested, 1.0)),
            twisted: twisted.map(|tested| TestedWire::of(tested, 1f64.to_degrees())),
            said: (!said.is_empty()).then(|| said.join(" ")),
            ..bare(DoubtKind::NotStraight, Settle::Accept)
        })
    }
}

/// What of a shell is crooked by more than chance would have it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Crooked {
    pub(crate) racked: bool,
    pub(crate) twisted: bool,
    /// Left, right.
    pub(crate) pairs: Vec<[String; 2]>,
}

impl Crooked {
    pub(crate) fn of(answer: &AdjustAnswer) -> Crooked {
        let Some(symmetry) = &answer.adjustment.symmetry else {
            return Crooked::default();
        };
        let label = |point: usize| answer.survey.points[point].label.to_string();
        let off = symmetry.pairs.iter().filter(|pair| pair.stands_out);
        Crooked {
            racked: symmetry.racked_mm.is_some_and(|tested| tested.significant),
            twisted: symmetry.twisted.is_some_and(|tested| tested.significant),
            pairs: off.map(|pair| [label(pair.left), label(pair.right)]).collect(),
        }
    }

    /// Whether nothing is crooked but what the other has. Which of two points is on the left is no matter.
    fn is_within(&self, other: &Crooked) -> bool {
        let known = |[left, right]: &[String; 2]| {
            let turned = [right.clone(), left.clone()];
            other
                .pairs
                .iter()
                .any(|pair| *pair == turned || pair == &[left.clone(), right.clone()])
        };
        (other.racked || !self.racked) && (other.twisted || !self.twisted) && self.pairs.iter().all(known)
    }
}

/// By how many of its standard deviations a pair is off, the way that shows most.
fn surest(pair: &adjust::PairOff) -> f64 {
    let in_deviations = |k: usize| match pair.covariance_mm2[k][k].max(0.0).sqrt() {
        sd if sd > 0.0 => pair.off_mm[k].abs() / sd,
        _ => 0.0,
    };
    (0..3).map(in_deviations).fold(0.0, f64::max)
}

/// How far apart two places are.
fn apart([one, other]: [[f64; 3]; 2]) -> f64 {
    let along = |k: usize| one[k] - other[k];
    along(0).hypot(along(1)).hypot(along(2))
}
