//! A start from distances alone, in five dimensions first.
//!
//! Shortest paths through the tapes stand in for what was not measured and give a first arrangement by landmark
//! multidimensional scaling (de Silva and Tenenbaum, 2004). It is poor: far pairs are overrated. Stress
//! majorisation (de Leeuw 1977; Gansner, Koren and North 2004) then fits the tapes themselves, with weights that
//! fall with the misfit so that a slip pulls no more than its neighbours. All this happens in more than three
//! dimensions, where local minima are rare; then the least of them are squeezed to nothing.

use crate::network::Network;
use crate::observe::{Vec3, axis_of};
use crate::sparse::{Pattern, VANISHING_PIVOT};
use nalgebra::DMatrix;
use std::cmp::Reverse;
use std::collections::BinaryHeap;
use survey::Kind;

/// Dimensions to begin with.
const DIMENSIONS: usize = 5;

type Place = [f64; DIMENSIONS];

struct Edge {
    a: usize,
    b: usize,
    length: f64,
}

/// Positions from the distances alone. `attempt` varies the beginning where an earlier one led nowhere.
pub(crate) fn positions(network: &Network, active: &[bool], attempt: usize) -> Vec<Vec3> {
    let n = network.point_count();
    let edges = edges(network, active);
    let planar = (0..n).all(|p| network.fixed[p][2]);
    let mut places = first_arrangement(n, &edges, attempt);
    let pattern = Pattern::new(n, &edges.iter().map(|e| vec![e.a, e.b]).collect::<Vec<_>>());
    for softness in [f64::INFINITY, 200.0, 60.0, 20.0, 8.0] {
        majorise(&pattern, &edges, &mut places, softness, 30);
    }
    let target = if planar { 2 } else { 3 };
    for squeeze in 0..24 {
        turn_to_axes(&mut places);
        let keep = 0.9 - 0.01 * squeeze as f64;
        for place in &mut places {
            for value in &mut place[target..] {
                *value *= keep;
            }
        }
        majorise(&pattern, &edges, &mut places, 20.0, 6);
    }
    turn_to_axes(&mut places);
    for place in &mut places {
        place[target..].fill(0.0);
    }
    majorise(&pattern, &edges, &mut places, 20.0, 60);
    let mut positions: Vec<Vec3> = places.iter().map(|p| Vec3::new(p[0], p[1], p[2])).collect();
    scatter_untaped(n, &edges, &mut positions);
    positions
}

/// The tapes in use, and the distances between points that the bench knows.
fn edges(network: &Network, active: &[bool]) -> Vec<Edge> {
    let mut edges: Vec<Edge> = network
        .observations
        .iter()
        .zip(active)
        .filter(|(o, active)| **active && o.kind == Kind::Tape)
        .map(|(o, _)| Edge {
            a: o.points[0],
            b: o.points[1],
            length: o.value.max(0.0),
        })
        .collect();
    let mut known: Vec<[Option<f64>; 3]> = network
        .fixed
        .iter()
        .zip(&network.rough)
        .map(|(fixed, rough)| [0, 1, 2].map(|k| rough[k].filter(|_| fixed[k])))
        .collect();
    for (o, _) in network
        .observations
        .iter()
        .zip(active)
        .filter(|(_, active)| **active)
    {
        if o.kind.point_count() == 1 {
            known[o.points[0]][axis_of(o.kind)].get_or_insert(o.value);
        }
    }
    let whole: Vec<(usize, Vec3)> = known
        .iter()
        .enumerate()
        .filter_map(|(p, k)| Some((p, Vec3::new(k[0]?, k[1]?, k[2]?))))
        .collect();
    // Every pair of a few, or each with the next dozen of many: enough to make them one body.
    for (i, (a, at)) in whole.iter().enumerate() {
        for (b, to) in whole.iter().skip(i + 1).take(12) {
            edges.push(Edge {
                a: *a,
                b: *b,
                length: (to - at).norm(),
            });
        }
    }
    edges
}

/// Landmark scaling of shortest paths.
fn first_arrangement(n: usize, edges: &[Edge], attempt: usize) -> Vec<Place> {
    let mut neighbours: Vec<Vec<(usize, f64)>> = vec![Vec::new(); n];
    for e in edges {
        neighbours[e.a].push((e.b, e.length));
        neighbours[e.b].push((e.a, e.length));
    }
    let longest = edges.iter().map(|e| e.length).fold(1.0, f64::max);
    let far = longest * 3.0;
    let mut landmarks = Vec::new();
    let mut paths: Vec<Vec<f64>> = Vec::new();
    let mut nearest = vec![f64::INFINITY; n];
    let mut next = attempt % n.max(1);
    while landmarks.len() < n.min(80) {
        let lengths = shortest_paths(&neighbours, next, far);
        for (near, length) in nearest.iter_mut().zip(&lengths) {
            *near = near.min(*length);
        }
        landmarks.push(next);
        paths.push(lengths);
        next = (0..n)
            .max_by(|&a, &b| nearest[a].total_cmp(&nearest[b]).then(b.cmp(&a)))
            .unwrap_or(0);
    }
    let m = landmarks.len();
    let square = |i: usize, p: usize| paths[i][p] * paths[i][p];
    let mean: Vec<f64> = (0..m)
        .map(|i| landmarks.iter().map(|&p| square(i, p)).sum::<f64>() / m as f64)
        .collect();
    let total = mean.iter().sum::<f64>() / m.max(1) as f64;
    let gram = DMatrix::from_fn(m, m, |i, j| {
        let d = 0.5 * (square(i, landmarks[j]) + square(j, landmarks[i]));
        -0.5 * (d - mean[i] - mean[j] + total)
    });
    let eigen = gram.symmetric_eigen();
    let mut order: Vec<usize> = (0..m).collect();
    order.sort_by(|&a, &b| eigen.eigenvalues[b].total_cmp(&eigen.eigenvalues[a]));
    let mut places = vec![[0.0; DIMENSIONS]; n];
    for (axis, &e) in order.iter().take(DIMENSIONS).enumerate() {
        let value = eigen.eigenvalues[e];
        if value <= 1e-9 {
            continue;
        }
        let vector = eigen.eigenvectors.column(e);
        for p in 0..n {
            let sum: f64 = (0..m).map(|i| vector[i] * (mean[i] - square(i, p))).sum();
            places[p][axis] = 0.5 * sum / value.sqrt();
        }
    }
    // A little unevenness, the same every time, so that nothing sits exactly on a ridge.
    let mut state = 0x9e37_79b9_7f4a_7c15_u64 ^ (attempt as u64 + 1).wrapping_mul(0xd134_2543_de82_ef95);
    let size = longest * if attempt == 0 { 0.01 } else { 0.1 * attempt as f64 };
    for place in &mut places {
        for value in place.iter_mut() {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            *value += size * ((state >> 33) as f64 / (1u64 << 31) as f64 - 0.5);
        }
    }
    places
}

fn shortest_paths(neighbours: &[Vec<(usize, f64)>], from: usize, far: f64) -> Vec<f64> {
    let mut length = vec![f64::INFINITY; neighbours.len()];
    length[from] = 0.0;
    // Lengths are not negative, so their bits sort like they do.
    let mut queue = BinaryHeap::from([Reverse((0.0f64.to_bits(), from))]);
    while let Some(Reverse((bits, p))) = queue.pop() {
        if f64::from_bits(bits) > length[p] {
            continue;
        }
        for &(q, step) in &neighbours[p] {
            let there = length[p] + step;
            if there < length[q] {
                length[q] = there;
                queue.push(Reverse((there.to_bits(), q)));
            }
        }
    }
    length
        .iter()
        .map(|l| if l.is_finite() { *l } else { far })
        .collect()
}

/// Stress majorisation with weights 1/max(misfit, softness), each round taken as far as `rounds`.
fn majorise(pattern: &Pattern, edges: &[Edge], places: &mut [Place], softness: f64, rounds: usize) {
    let mut weights = vec![1.0; edges.len()];
    let mut factor = None;
    for round in 0..rounds {
        if round % 6 == 0 {
            let mut laplacian = pattern.zeros();
            for (row, (e, weight)) in edges.iter().zip(&mut weights).enumerate() {
                let misfit = (distance(&places[e.a], &places[e.b]) - e.length).abs();
                *weight = if softness.is_finite() {
                    softness / misfit.max(softness)
                } else {
                    1.0
                };
                pattern.add_row(&mut laplacian, row, &[1.0, -1.0], *weight);
            }
            factor = Some(pattern.factor(&laplacian, VANISHING_PIVOT));
        }
        let Some(factor) = &factor else { return };
        let mut pull = vec![[0.0; DIMENSIONS]; places.len()];
        for (e, weight) in edges.iter().zip(&weights) {
            let length = distance(&places[e.a], &places[e.b]).max(1e-9);
            for axis in 0..DIMENSIONS {
                let force = weight * e.length / length * (places[e.a][axis] - places[e.b][axis]);
                pull[e.a][axis] += force;
                pull[e.b][axis] -= force;
            }
        }
        for axis in 0..DIMENSIONS {
            let mut column: Vec<f64> = pull.iter().map(|p| p[axis]).collect();
            if column.iter().all(|x| *x == 0.0) {
                continue;
            }
            pattern.solve(factor, &mut column);
            for (place, value) in places.iter_mut().zip(column) {
                place[axis] = value;
            }
        }
    }
}

fn distance(a: &Place, b: &Place) -> f64 {
    a.iter()
        .zip(b)
        .map(|(x, y)| (x - y) * (x - y))
        .sum::<f64>()
        .sqrt()
}

/// Centres the arrangement and turns it so that its spread falls from axis to axis.
fn turn_to_axes(places: &mut [Place]) {
    let n = places.len().max(1) as f64;
    for axis in 0..DIMENSIONS {
        let mean = places.iter().map(|p| p[axis]).sum::<f64>() / n;
        for place in places.iter_mut() {
            place[axis] -= mean;
        }
    }
    let spread = nalgebra::SMatrix::<f64, DIMENSIONS, DIMENSIONS>::from_fn(|i, j| {
        places.iter().map(|p| p[i] * p[j]).sum::<f64>()
    });
    let eigen = spread.symmetric_eigen();
    let mut order: Vec<usize> = (0..DIMENSIONS).collect();
    order.sort_by(|&a, &b| eigen.eigenvalues[b].total_cmp(&eigen.eigenvalues[a]));
    for place in places.iter_mut() {
        let old = *place;
        for (axis, &e) in order.iter().enumerate() {
            place[axis] = (0..DIMENSIONS).map(|i| eigen.eigenvectors[(i, e)] * old[i]).sum();
        }
    }
}

/// Points without any tape are spread around the others: any place will do, but not one place for all.
fn scatter_untaped(n: usize, edges: &[Edge], positions: &mut [Vec3]) {
    let mut taped = vec![false; n];
    for e in edges {
        taped[e.a] = true;
        taped[e.b] = true;
    }
    let size = edges.iter().map(|e| e.length).fold(1000.0, f64::max);
    for (p, position) in positions.iter_mut().enumerate() {
        if !taped[p] {
            let turn = p as f64 * 2.399_963; // the golden angle spreads any number of points
            *position = Vec3::new(turn.cos(), turn.sin(), 0.1 + 0.3 * (p as f64 * 0.618).fract()) * size;
        }
    }
}
