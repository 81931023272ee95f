//! Doubts of points and of the shell as a whole.

use adjust::Handedness;

use super::{Found, bare};
use crate::told::{held_by, straight_words};
use crate::wire::{Doubt, DoubtKind, PairOff, QuantityWord, Settle};

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
        let all = self
            .answer
            .adjustment
            .loose
            .iter()
            .filter(|loose| !of_an_island(loose.point));
        // Those that are begun come first.
        let (begun, waiting): (Vec<_>, Vec<_>) =
            all.partition(|loose| held_by(self.answer, loose.point) != (0, 0));
        begun
            .into_iter()
            .chain(waiting)
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

    /// What is racked, twisted or not alike left and right. No reading settles it: it is the shell.
    pub(super) fn not_straight(&self) -> Vec<Doubt> {
        let Some(symmetry) = &self.answer.adjustment.symmetry else {
            return Vec::new();
        };
        let amounts = [
            (QuantityWord::Length, symmetry.racked_mm, 1.0),
            (QuantityWord::Angle, symmetry.twisted, 1f64.to_degrees()),
        ];
        let whole = amounts.into_iter().filter_map(|(quantity, tested, unit)| {
            let tested = tested.filter(|tested| tested.significant)?;
            Some(Doubt {
                quantity,
                amount: Some(tested.value.abs() * unit),
                said: Some(straight_words(self.answer, quantity, tested)),
                ..bare(DoubtKind::NotStraight, Settle::Look)
            })
        });
        let pairs = symmetry
            .pairs
            .iter()
            .filter(|pair| pair.stands_out)
            .map(|pair| Doubt {
                points: vec![self.label(pair.left), self.label(pair.right)],
                pair: Some(PairOff {
                    left: self.label(pair.left),
                    right: self.label(pair.right),
                    off_mm: pair.off_mm,
                    sd_mm: [0, 1, 2].map(|k| pair.covariance_mm2[k][k].max(0.0).sqrt()),
                }),
                ..bare(DoubtKind::NotStraight, Settle::Look)
            });
        whole.chain(pairs).collect()
    }
}

/// How far apart two places are.
fn apart([one, other]: [[f64; 3]; 2]) -> f64 {
    let along = |k: usize| one[k] - other[k];
    along(0).hypot(along(1)).hypot(along(2))
}
