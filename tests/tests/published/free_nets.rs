//! Figures whose free-net adjustment is exact: σ = 1, no coordinate held. Exact; the ratios of tetrahedron and
//! triangle are the squared frequencies of X4 and X3 molecules (Herzberg 1945, from memory).

use adjust::{Adjustment, Outcome, Settings, Suspects};
use survey::{Frame, Survey};
use trials::net::Net;
use trials::observe::{V3, distance};
use trials::rigid::lay_on;

use super::{near, redundancy, residual};

/// All distances between those points for which `wanted` holds.
fn figure(points: &[V3], plane: bool, wanted: impl Fn(f64) -> bool) -> Net {
    let mut net = Net::new(1000.0);
    for (i, p) in points.iter().enumerate() {
        if plane {
            net.in_plane(&format!("p{i}"), p[0], p[1])
        } else {
            net.rough(&format!("p{i}"), *p)
        };
    }
    for i in 0..points.len() {
        for j in i + 1..points.len() {
            let length = distance(points[i], points[j]);
            if wanted(length) {
                net.tape(i, j, length, 0.001);
            }
        }
    }
    net
}

/// With every reading in, in the frame of the first three points: none of these figures has a bench.
fn keep(survey: &Survey) -> Adjustment {
    let [origin, ahead, left] = [0, 1, 2].map(|i| survey.points[i].label.clone());
    let frame = Some(Frame::Three { origin, ahead, left });
    adjust::adjust(
        survey,
        &Settings {
            frame,
            suspects: Suspects::Keep,
            ..Settings::default()
        },
    )
    .unwrap()
}

fn trace(solved: &Adjustment) -> f64 {
    (0..solved.points.len())
        .map(|p| {
            let told = || panic!("{:?}: {:?}", solved.outcome, solved.points[p]);
            let c = solved.free_net_covariance(p).unwrap_or_else(told);
            c[0][0] + c[1][1] + c[2][2]
        })
        .sum()
}

/// rank, degrees of freedom, trace.
#[track_caller]
fn check(solved: &Adjustment, rank: usize, dof: usize, expected: f64, tolerance: f64) {
    assert_eq!(solved.summary.unknowns, rank, "rank");
    assert_eq!(solved.summary.degrees_of_freedom, dof, "degrees of freedom");
    near(
        trace(solved),
        expected,
        tolerance,
        "trace of the free-net covariance",
    );
}

/// Redundancy by the observed length.
#[track_caller]
fn redundancies(solved: &Adjustment, expected: &[(f64, f64)]) {
    for (i, reading) in solved.readings.iter().enumerate() {
        let length = reading.observed / 1000.0;
        let (_, r) = expected.iter().find(|(l, _)| (l - length).abs() < 1e-6).unwrap();
        near(redundancy(solved, i), *r, 1e-8, "redundancy");
    }
}

const H: f64 = 0.866_025_403_784_438_6; // √3 / 2

#[test]
fn equilateral_triangle() {
    let solved = keep(&figure(&[[0.0; 3], [1.0, 0.0, 0.0], [0.5, H, 0.0]], true, |_| true).survey);
    check(&solved, 3, 0, 5.0 / 3.0, 1e-8);
    redundancies(&solved, &[(1.0, 0.0)]);
    assert_eq!(solved.outcome, Outcome::NothingChecked);
}

#[test]
fn square_with_both_diagonals() {
    let corners = [[0.0; 3], [1.0, 0.0, 0.0], [1.0, 1.0, 0.0], [0.0, 1.0, 0.0]];
    let solved = keep(&figure(&corners, true, |_| true).survey);
    check(&solved, 5, 1, 9.0 / 4.0, 1e-8);
    redundancies(&solved, &[(1.0, 0.125), (2_f64.sqrt(), 0.25)]);
}

#[test]
fn regular_tetrahedron() {
    let s = 0.5 / 2_f64.sqrt(); // edge 1
    let corners = [[s, s, s], [s, -s, -s], [-s, s, -s], [-s, -s, s]];
    let solved = keep(&figure(&corners, false, |_| true).survey);
    check(&solved, 6, 0, 15.0 / 4.0, 1e-8);
    assert_eq!(solved.outcome, Outcome::NothingChecked);
    for p in 0..4 {
        let c = solved.free_net_covariance(p).unwrap();
        let mean = (c[0][0] + c[1][1] + c[2][2]) / 3.0;
        near(mean.sqrt(), 0.559017, 1e-6, "coordinate deviation");
    }
}

#[test]
fn regular_octahedron_with_its_axes() {
    let s = 0.5_f64.sqrt(); // edge 1
    let corners = [
        [s, 0.0, 0.0],
        [-s, 0.0, 0.0],
        [0.0, s, 0.0],
        [0.0, -s, 0.0],
        [0.0, 0.0, s],
        [0.0, 0.0, -s],
    ];
    let solved = keep(&figure(&corners, false, |_| true).survey);
    check(&solved, 12, 3, 19.0 / 3.0, 1e-8);
    redundancies(&solved, &[(1.0, 5.0 / 36.0), (2_f64.sqrt(), 4.0 / 9.0)]);
}

#[test]
fn unit_cube_with_all_28_distances() {
    let corners: Vec<V3> = (0..8).map(|k| [0, 1, 2].map(|b| f64::from(k >> b & 1))).collect();
    let solved = keep(&figure(&corners, false, |_| true).survey);
    check(&solved, 18, 10, 181.0 / 24.0, 1e-8);
    redundancies(
        &solved,
        &[
            (1.0, 41.0 / 144.0),
            (2_f64.sqrt(), 13.0 / 36.0),
            (3_f64.sqrt(), 9.0 / 16.0),
        ],
    );
}

#[test]
fn five_points_with_all_ten_distances_are_the_least_that_has_a_check() {
    let points = [
        [0.0; 3],
        [1.0, 0.0, 0.0],
        [0.0, 1.0, 0.0],
        [0.0, 0.0, 1.0],
        [1.0, 1.0, 1.0],
    ];
    let solved = keep(&figure(&points, false, |_| true).survey);
    check(&solved, 9, 1, 5.648718, 1e-6);
    redundancies(
        &solved,
        &[
            (1.0, 1.0 / 9.0),
            (3_f64.sqrt(), 1.0 / 3.0),
            (2_f64.sqrt(), 1.0 / 18.0),
        ],
    );
}

/// The five distances of Krumm's example 3.1.1 and 1-2 = 1000 m, as a free net. Derived.
#[test]
fn krumm_3_1_1_as_a_free_net() {
    let nominal = [
        [0.0, 1000.0, 0.0],
        [1000.0, 1000.0, 0.0],
        [0.0; 3],
        [1000.0, 0.0, 0.0],
    ];
    let mut net = Net::new(1000.0);
    for (i, p) in nominal.iter().enumerate() {
        net.in_plane(&format!("{}", i + 1), p[0], p[1]);
    }
    for (a, b, length) in [
        (1, 3, 1000.0200),
        (1, 4, 1414.2000),
        (2, 3, 1414.2400),
        (2, 4, 999.9800),
        (3, 4, 1000.0000),
        (1, 2, 1000.0000),
    ] {
        net.tape(a - 1, b - 1, length, 0.010);
    }
    let solved = keep(&net.survey);
    for i in 0..6 {
        let diagonal = i == 1 || i == 2;
        near(
            residual(&solved, i),
            if diagonal { -3.219 } else { 2.276 },
            0.001,
            "residual, mm",
        );
        near(
            redundancy(&solved, i),
            if diagonal { 0.25 } else { 0.125 },
            2e-5,
            "redundancy",
        );
    }
    near(solved.summary.chi_square.sqrt() * 10.0, 6.43791, 1e-4, "s0, mm");
    let found: Vec<V3> = (0..4).map(|p| super::place(&solved, p)).collect();
    let to: Vec<V3> = nominal.iter().map(|p| p.map(|v| v * 1000.0)).collect();
    let expected = [
        [0.005933, 1000.004067],
        [1000.008209, 999.998209],
        [-0.008209, -0.018209],
        [999.994067, 0.015933],
    ];
    // Laid on the nominal square, which is what inner constraints do.
    for (p, e) in lay_on(&found, &to, &found).iter().zip(expected) {
        super::near_place(*p, &e, 1000.0, 2e-6, "free-net coordinate, m");
    }
    for p in 0..4 {
        let c = solved.free_net_covariance(p).unwrap();
        near(
            ((c[0][0] + c[1][1]) / 2.0).sqrt(),
            5.3033,
            1e-3,
            "free-net deviation, mm",
        );
    }
}
