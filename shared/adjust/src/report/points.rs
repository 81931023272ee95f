//! The points as they are told: pinned down, loose or with two places.

use crate::frames::{Axes, Placed};
use crate::observe::Vec3;
use crate::quantiles::chi_square_quantile;
use crate::report::Told;
use crate::result::*;
use nalgebra::Matrix3;

/// The points in the order of the survey.
pub(super) struct Points {
    pub(super) points: Vec<AdjustedPoint>,
    /// Those that are not pinned down.
    pub(super) loose: Vec<Loose>,
    /// Covariances by canonical index, without the factor on every variance; `None` where a point is not pinned down.
    pub(super) covariances: Vec<Option<Matrix3<f64>>>,
}

impl Told<'_> {
    /// Every point, given those with two places.
    pub(super) fn points(&self, two_valued: &[TwoValued]) -> Points {
        let n = self.survey.points.len();
        let mut loose = Vec::new();
        let mut points = Vec::with_capacity(n);
        let mut covariances: Vec<Option<Matrix3<f64>>> = vec![None; n];
        let scale = self.variance_scale();
        for original in 0..n {
            let p = self.network.canonical_point[original];
            let mut directions = self.fit.directions(self.network, p);
            let mut held = [None; 3];
            if directions.is_empty() && self.axes == Axes::Bench {
                directions = self.fit.off_bench(p);
                let place = self.carried.placed.coordinates(&self.fit.at.positions[p]);
                held = [0, 1, 2].map(|k| directions.iter().all(|d| d[k].abs() < 1e-6).then_some(place[k]));
            }
            let two = two_valued.iter().find(|t| t.point == original);
            if !directions.is_empty() {
                let directions = directions
                    .iter()
                    .map(|d| settled_sign(self.carried.placed.direction(d)).into())
                    .collect();
                loose.push(Loose {
                    point: original,
                    directions,
                });
                points.push(AdjustedPoint {
                    coordinates_mm: held,
                    ..unknown(PointStatus::Loose)
                });
            } else if let Some(two) = two {
                // What both candidates share is known.
                let shared = [0, 1, 2].map(|k| {
                    let [a, b] = [two.candidates[0][k], two.candidates[1][k]];
                    ((a - b).abs() < 1e-3).then_some(a)
                });
                let all_known = shared.iter().all(Option::is_some);
                let shared = if self.other_hand.is_some() || all_known {
                    shared
                } else {
                    [None; 3]
                };
                points.push(AdjustedPoint {
                    coordinates_mm: shared,
                    ..unknown(PointStatus::TwoValued)
                });
            } else {
                let own = self.carried.covariance(self.network, self.fit, p);
                let covariance = own * scale;
                covariances[p] = Some(own);
                let place = self.carried.placed.coordinates(&self.fit.at.positions[p]);
                points.push(known(&place, &covariance));
            }
        }
        Points {
            points,
            loose,
            covariances,
        }
    }

    /// The points with two places.
    pub(super) fn two_valued(&self) -> Vec<TwoValued> {
        let mut found: Vec<TwoValued> = Vec::new();
        for other in self.other_hand.into_iter().chain(self.two_places) {
            let Ok(there) = Placed::new(self.network, self.survey, &other.at, self.axes, self.pairs) else {
                continue;
            };
            for &p in &other.moved {
                let original = self.network.survey_point[p];
                let here = self.carried.placed.coordinates(&self.fit.at.positions[p]);
                let alternative = there.coordinates(&other.at.positions[p]);
                let same = (here - alternative).norm() < 1e-3;
                if same
                    || found.iter().any(|t| t.point == original)
                    || !self.fit.directions(self.network, p).is_empty()
                {
                    continue;
                }
                found.push(TwoValued {
                    point: original,
                    candidates: [here.into(), alternative.into()],
                    chi_square: [self.fit.chi_square, other.chi_square],
                });
            }
        }
        found.sort_by_key(|t| t.point);
        found
    }
}

fn unknown(status: PointStatus) -> AdjustedPoint {
    AdjustedPoint {
        coordinates_mm: [None; 3],
        covariance_mm2: None,
        axes_95_mm: None,
        status,
    }
}

fn known(place: &Vec3, covariance: &Matrix3<f64>) -> AdjustedPoint {
    AdjustedPoint {
        coordinates_mm: [0, 1, 2].map(|k| Some(place[k])),
        covariance_mm2: Some([0, 1, 2].map(|i| [0, 1, 2].map(|j| covariance[(i, j)]))),
        axes_95_mm: Some(axes_95(covariance)),
        status: PointStatus::Fixed,
    }
}

/// The semi-axes of the 95 % ellipsoid of a covariance, longest first.
fn axes_95(covariance: &Matrix3<f64>) -> [[f64; 3]; 3] {
    let eigen = covariance.symmetric_eigen();
    let factor = chi_square_quantile(0.95, 3.0);
    let mut order = [0, 1, 2];
    order.sort_by(|&a, &b| eigen.eigenvalues[b].total_cmp(&eigen.eigenvalues[a]));
    order.map(|k| {
        let length = (eigen.eigenvalues[k].max(0.0) * factor).sqrt();
        (settled_sign(eigen.eigenvectors.column(k).into_owned()) * length).into()
    })
}

/// A direction and its opposite are one: the largest component is made positive.
fn settled_sign(direction: Vec3) -> Vec3 {
    let largest = direction.iamax();
    if direction[largest] < 0.0 {
        -direction
    } else {
        direction
    }
}
