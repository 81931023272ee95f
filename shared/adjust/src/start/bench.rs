//! Laying an arrangement that hangs in the air onto what the bench knows.

use crate::network::Network;
use crate::observe::Vec3;
use nalgebra::{Matrix6, Rotation3, Vector6};

/// Moves, turns and if need be mirrors the positions so that they meet fixed coordinates and bench readings as
/// well as they can; ties between the two hands are left to rough positions. Nothing moves where the bench knows
/// nothing.
pub(crate) fn align(network: &Network, active: &[bool], positions: Vec<Vec3>) -> Vec<Vec3> {
    let known = network.bench_coordinates(active);
    if known.is_empty() {
        return positions;
    }
    let mut best: Option<(f64, Vec<Vec3>)> = None;
    for hand in [1.0, -1.0] {
        for turn in quarter_turns() {
            let mut placed: Vec<Vec3> = positions
                .iter()
                .map(|p| turn * Vec3::new(p.x, p.y, p.z * hand))
                .collect();
            let misfit = settle(&known, &mut placed);
            let score = misfit + 1e-6 * roughness(network, &placed);
            if best
                .as_ref()
                .is_none_or(|(least, _)| score < *least * (1.0 - 1e-9))
            {
                best = Some((score, placed));
            }
        }
    }
    let mut placed = best.map_or(positions, |(_, placed)| placed);
    for (p, fixed) in network.fixed.iter().enumerate() {
        for k in 0..3 {
            if let (true, Some(x)) = (fixed[k], network.rough[p][k]) {
                placed[p][k] = x;
            }
        }
    }
    placed
}

/// Mean squared distance to the rough positions.
fn roughness(network: &Network, placed: &[Vec3]) -> f64 {
    let mut sum = 0.0;
    let mut count = 0.0;
    for (rough, place) in network.rough.iter().zip(placed) {
        for k in 0..3 {
            if let Some(x) = rough[k] {
                sum += (place[k] - x) * (place[k] - x);
                count += 1.0;
            }
        }
    }
    if count > 0.0 { sum / count } else { 0.0 }
}

/// Rigid least-squares motion to the known coordinates by Gauss–Newton; returns the mean squared misfit.
fn settle(known: &[(usize, usize, f64)], placed: &mut [Vec3]) -> f64 {
    let mean_square = |placed: &[Vec3]| {
        known
            .iter()
            .map(|&(p, k, x)| (placed[p][k] - x).powi(2))
            .sum::<f64>()
            / known.len() as f64
    };
    let radius = placed.iter().map(|p| p.norm()).fold(1.0, f64::max);
    for _ in 0..30 {
        let mut normal = Matrix6::identity() * 1e-9;
        let mut right = Vector6::zeros();
        for &(p, k, x) in known {
            let motions = crate::gauge::rigid_motions(&placed[p], &Vec3::zeros(), radius);
            let row = Vector6::from_fn(|i, _| motions[i][k]);
            normal += row * row.transpose();
            right += row * (x - placed[p][k]);
        }
        let Some(inverse) = normal.try_inverse() else {
            break;
        };
        let step = inverse * right;
        let turn = Vec3::new(step[3], step[4], step[5]) / radius;
        let limit = (0.5 / turn.norm().max(1e-12)).min(1.0);
        let rotation = Rotation3::new(turn * limit);
        let shift = Vec3::new(step[0], step[1], step[2]);
        for place in placed.iter_mut() {
            *place = rotation * *place + shift;
        }
        if step.norm() < 1e-6 {
            break;
        }
    }
    mean_square(placed)
}

/// The 24 turns that map the axes on each other.
fn quarter_turns() -> Vec<Rotation3<f64>> {
    let quarter = std::f64::consts::FRAC_PI_2;
    let mut turns = Vec::new();
    for face in 0..6 {
        let first = match face {
            0..4 => Rotation3::from_axis_angle(&Vec3::x_axis(), quarter * f64::from(face)),
            4 => Rotation3::from_axis_angle(&Vec3::y_axis(), quarter),
            _ => Rotation3::from_axis_angle(&Vec3::y_axis(), -quarter),
        };
        for spin in 0..4 {
            turns.push(Rotation3::from_axis_angle(&Vec3::z_axis(), quarter * f64::from(spin)) * first);
        }
    }
    turns
}
