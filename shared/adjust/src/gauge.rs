//! The datum: what readings leave open of where the whole shell lies, and rows that fix just that.
//!
//! Distances do not change when the whole survey is moved or turned. Of the six rigid motions some may be fixed
//! by bench coordinates; each of the others gets one row over three anchor points. The rows are minimal
//! constraints: they change no residual, no redundancy and no estimable variance (Teunissen, *Zero Order
//! Design*, 1985; common practice in network adjustment).

use crate::network::Network;
use crate::observe::Vec3;
use nalgebra::{Matrix6, Vector6};

/// Which rigid motions are open, and the points that hold them.
#[derive(Debug, Clone)]
pub(crate) struct Gauge {
    anchors: Vec<usize>,
    centre: Vec3,
    radius: f64,
    open: Vec<Vector6<f64>>,
    weight: f64,
}

/// The motion of a place under unit rigid motions about `centre`: three shifts, then three turns of 1/radius.
pub(crate) fn rigid_motions(place: &Vec3, centre: &Vec3, radius: f64) -> [Vec3; 6] {
    let r = (place - centre) / radius;
    [
        Vec3::x(),
        Vec3::y(),
        Vec3::z(),
        Vec3::x().cross(&r),
        Vec3::y().cross(&r),
        Vec3::z().cross(&r),
    ]
}

impl Gauge {
    /// Finds the open motions for these positions, held by these anchors.
    pub(crate) fn new(network: &Network, active: &[bool], positions: &[Vec3], anchors: &[usize]) -> Gauge {
        let count = anchors.len().max(1) as f64;
        let centre = anchors.iter().map(|&p| positions[p]).sum::<Vec3>() / count;
        let radius = anchors
            .iter()
            .map(|&p| (positions[p] - centre).norm())
            .fold(1.0, f64::max);
        let mut gram = Matrix6::zeros();
        for (p, k, _) in network.bench_coordinates(active) {
            let motions = rigid_motions(&positions[p], &centre, radius);
            let row = Vector6::from_fn(|i, _| motions[i][k]);
            gram += row * row.transpose();
        }
        let eigen = gram.symmetric_eigen();
        let mut open: Vec<(f64, Vector6<f64>)> = (0..6)
            .filter(|&i| eigen.eigenvalues[i] < 1e-9)
            .map(|i| (eigen.eigenvalues[i], eigen.eigenvectors.column(i).into_owned()))
            .collect();
        if open.len() == 6 {
            open = (0..6)
                .map(|i| (0.0, Vector6::from_fn(|row, _| f64::from(u8::from(row == i)))))
                .collect();
        }
        let (sum, number) = network
            .observations
            .iter()
            .filter(|o| o.kind.quantity() == survey::Quantity::Length)
            .fold((0.0, 0.0), |(sum, number), o| {
                (sum + 1.0 / (o.sd * o.sd), number + 1.0)
            });
        let weight = if number > 0.0 { sum / number } else { 1.0 };
        Gauge {
            anchors: anchors.to_vec(),
            centre,
            radius,
            open: open.into_iter().map(|(_, motion)| motion).collect(),
            weight,
        }
    }

    /// How many motions are open.
    pub(crate) fn row_count(&self) -> usize {
        self.open.len()
    }

    /// How a place moves under the motions that are open.
    pub(crate) fn open_at(&self, place: &Vec3) -> Vec<Vec3> {
        let motions = rigid_motions(place, &self.centre, self.radius);
        self.open
            .iter()
            .map(|shares| motions.iter().zip(shares.iter()).map(|(m, &s)| m * s).sum())
            .collect()
    }

    /// The weight of a datum row.
    pub(crate) fn weight(&self) -> f64 {
        self.weight
    }

    /// The columns of the anchors.
    pub(crate) fn columns(&self, network: &Network) -> Vec<usize> {
        self.anchors
            .iter()
            .flat_map(|&p| network.point_column[p])
            .flatten()
            .collect()
    }

    /// The datum rows at these positions, in the order of [`Gauge::columns`].
    pub(crate) fn rows(&self, network: &Network, positions: &[Vec3]) -> Vec<Vec<f64>> {
        self.open
            .iter()
            .map(|motion| {
                let mut row = Vec::new();
                for &p in &self.anchors {
                    let motions = rigid_motions(&positions[p], &self.centre, self.radius);
                    let shift: Vec3 = motions
                        .iter()
                        .zip(motion.iter())
                        .map(|(m, &share)| m * share)
                        .sum();
                    for k in 0..3 {
                        if network.point_column[p][k].is_some() {
                            row.push(shift[k]);
                        }
                    }
                }
                row
            })
            .collect()
    }
}

/// Three well-shaped points of a group: far apart and not in line. Fewer where the group has no such three.
pub(crate) fn well_shaped(positions: &[Vec3], group: &[usize]) -> Vec<usize> {
    let count = group.len().max(1) as f64;
    let centre = group.iter().map(|&p| positions[p]).sum::<Vec3>() / count;
    let farthest = |measure: &dyn Fn(usize) -> f64| {
        let mut best: Option<(usize, f64)> = None;
        for &p in group {
            let size = measure(p);
            if best.is_none_or(|(_, most)| size > most * (1.0 + 1e-9)) {
                best = Some((p, size));
            }
        }
        best
    };
    let Some((first, _)) = farthest(&|p| (positions[p] - centre).norm()) else {
        return Vec::new();
    };
    let Some((second, span)) = farthest(&|p| (positions[p] - positions[first]).norm()) else {
        return vec![first];
    };
    if span < 1e-6 {
        return vec![first];
    }
    let along = (positions[second] - positions[first]) / span;
    let off = |p: usize| {
        let v = positions[p] - positions[first];
        (v - along * v.dot(&along)).norm()
    };
    match farthest(&off) {
        Some((third, height)) if height > 1e-4 * span => vec![first, second, third],
        _ => vec![first, second],
    }
}
