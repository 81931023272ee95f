//! Fixes of the size of a room: two roots close together, and two bad readings that nobody can name.

use adjust::{Outcome, Verdict};
use trials::net::Net;
use trials::observe::distance;

use super::{among, hold, keep, near, near_place, place, places, residual, sd, w};

/// A. Norrdine, An algebraic solution to the multilateration problem, IPIN 2012, numerical example A: inputs seen
/// in the author's public demonstration, outputs recomputed. Metres.
#[test]
fn norrdine_a_three_anchors_two_roots_close_together() {
    let mut net = Net::new(1000.0);
    let new = net.unknown("N");
    for (name, at, length) in [
        ("P1", [27.297, -4.953, 1.47], 3.851),
        ("P2", [25.475, -6.124, 2.36], 3.875),
        ("P3", [22.590, 0.524, 1.20], 3.514),
    ] {
        let anchor = net.fixed(name, at);
        net.tape(anchor, new, length, 0.001);
    }
    let solved = hold(&net.survey);
    let found = places(&solved, new);
    assert_eq!(found.len(), 2, "0.141 m apart, and still two places");
    among(
        &found,
        &[24.312291, -2.520452, 1.536488],
        1000.0,
        1e-5,
        "first root",
    );
    among(
        &found,
        &[24.350615, -2.481095, 1.666729],
        1000.0,
        1e-5,
        "second root",
    );
    let two = &solved.two_valued[0];
    assert!(
        two.chi_square.iter().all(|c| *c < 1e-6),
        "both return all three distances: {:?}",
        two.chi_square
    );
}

const ANCHORS: [(&str, [f64; 3], f64); 6] = [
    ("P37", [27.297, -4.953, 1.47], 3.652),
    ("P31", [20.693, -4.849, 1.93], 7.036),
    ("P102", [22.590, 0.524, 1.20], 4.586),
    ("P43", [17.113, -3.003, 2.17], 9.960),
    ("P208", [22.554, 4.727, 1.77], 7.542),
    ("P101", [22.447, -7.880, 1.60], 7.883),
];

fn six_anchors(corrected: bool) -> (Net, usize) {
    let mut net = Net::new(1000.0);
    let new = net.rough("N", [26.759, -1.342, 1.13]);
    for (name, at, length) in ANCHORS {
        let bias = match name {
            "P43" if corrected => 0.12,
            "P208" if corrected => 0.14,
            _ => 0.0,
        };
        let anchor = net.fixed(name, at);
        net.tape(anchor, new, length - bias, 0.020);
    }
    (net, new)
}

/// Norrdine 2012, example B: inputs and truth seen, outputs recomputed with equal weights.
#[test]
fn norrdine_b_as_measured() {
    let (net, new) = six_anchors(false);
    let solved = keep(&net.survey);
    near_place(
        place(&solved, new),
        &[26.782676, -1.399174, 0.756439],
        1000.0,
        1e-5,
        "raw",
    );
    let v = [0.009062, 0.060668, 0.047992, -0.056816, -0.029409, -0.040119];
    let of_w = [1.390, 3.665, 2.930, -3.440, -2.942, -2.576];
    for i in 0..6 {
        near(residual(&solved, i) / 1000.0, v[i], 1e-5, "residual, m");
        near(w(&solved, i), of_w[i], 0.001, "w");
    }
    let s0 = solved.summary.variance_factor.unwrap().sqrt();
    near(s0 * 0.020, 0.062632, 1e-5, "s0, m");
    for (axis, value) in [0.0615, 0.0469, 0.3369].into_iter().enumerate() {
        near(
            sd(&solved, new, axis) * s0 / 1000.0,
            value,
            6e-5,
            "a-posteriori deviation, m",
        );
    }
}

#[test]
fn norrdine_b_corrected() {
    let (net, new) = six_anchors(true);
    let solved = keep(&net.survey);
    near_place(
        place(&solved, new),
        &[26.784011, -1.328696, 1.452564],
        1000.0,
        1e-5,
        "corrected",
    );
    let v = [0.008470, 0.015305, 0.005949, 0.001060, -0.008407, -0.024821];
    for (i, value) in v.into_iter().enumerate() {
        near(residual(&solved, i) / 1000.0, value, 1e-5, "residual, m");
    }
    let s0 = solved.summary.variance_factor.unwrap().sqrt();
    near(s0 * 0.020, 0.018522, 1e-5, "s0, m");
    for (axis, value) in [0.0122, 0.0116, 0.1839].into_iter().enumerate() {
        near(
            sd(&solved, new, axis) * s0 / 1000.0,
            value,
            6e-5,
            "a-posteriori deviation, m",
        );
    }
}

/// One by one, the largest w first, snooping throws out two good readings and then passes every statistic with an
/// answer 0.36 m off (derived). The honest answer is that nobody can tell.
#[test]
fn norrdine_b_two_bad_ones_of_six_cannot_be_told() {
    let (net, new) = six_anchors(false);
    let solved = hold(&net.survey);
    assert_eq!(solved.outcome, Outcome::CannotTell);
    assert_eq!(solved.summary.held_out, 0, "nothing is thrown out");
    let [group] = &solved.unclear[..] else {
        panic!("one question: {:?}", solved.unclear)
    };
    for bad in [3, 4] {
        assert!(group.readings.contains(&bad), "{} is asked about", ANCHORS[bad].0);
        assert_eq!(solved.readings[bad].verdict, Verdict::Unclear);
    }
    assert!(group.readings.len() <= 6);
    assert!(!group.held_out);
    let moved = group.moves.iter().find(|moved| moved.point == new).unwrap();
    assert!(
        distance(moved.places[0], moved.places[1]) > 300.0,
        "the two places are far apart, as height is the weak direction: {moved:?}"
    );
}
