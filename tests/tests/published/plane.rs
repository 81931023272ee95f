//! Surveys in a plane.

use adjust::{Outcome, Settings, Verdict};
use trials::net::Net;

use super::{among, hold, keep, near, near_place, place, places, redundancy, residual, sd};
use super::{visible_by_printed_rule, w};

/// F. Krumm, Geodetic Network Adjustment Examples, rev. 3.5, Stuttgart 2020, example 3.1.1, after Benning (2011).
/// Metres; the printed figures were seen in a public transcription.
fn two_new_points(slip_m: [f64; 5]) -> Net {
    let mut net = Net::new(1000.0);
    let p1 = net.fixed("1", [0.0, 1000.0, 0.0]);
    let p2 = net.fixed("2", [1000.0, 1000.0, 0.0]);
    let p3 = net.in_plane("3", 0.0, 0.0);
    let p4 = net.in_plane("4", 1000.0, 0.0);
    let read = [
        (p1, p3, 1000.0200),
        (p1, p4, 1414.2000),
        (p2, p3, 1414.2400),
        (p2, p4, 999.9800),
        (p3, p4, 1000.0000),
    ];
    for ((a, b, length), slip) in read.into_iter().zip(slip_m) {
        net.tape(a, b, length + slip, 0.010);
    }
    net
}

#[test]
fn krumm_3_1_1_two_new_points_from_five_distances() {
    let solved = keep(&two_new_points([0.0; 5]).survey);
    // Printed, to the last digit printed.
    near_place(
        place(&solved, 2),
        &[-0.0096, -0.0226],
        1000.0,
        0.00005,
        "3, printed",
    );
    near_place(
        place(&solved, 3),
        &[999.9930, 0.0174],
        1000.0,
        0.00005,
        "4, printed",
    );
    // Recomputed to more digits.
    near_place(place(&solved, 2), &[-0.009585, -0.022601], 1000.0, 1e-6, "3");
    near_place(place(&solved, 3), &[999.993016, 0.017399], 1000.0, 1e-6, "4");
    for (i, cm) in [0.260126, -0.367875, -0.367886, 0.260136, 0.260130]
        .into_iter()
        .enumerate()
    {
        near(residual(&solved, i) / 10.0, cm, 2e-6, "residual, recomputed, cm");
    }
    assert_eq!(solved.summary.degrees_of_freedom, 1);
    // Printed: 6.882 mm with a stated deviation of 10 mm.
    near(solved.summary.chi_square.sqrt() * 10.0, 6.882, 0.0005, "s0, mm");
    // Derived on the nominal geometry: 1/7 and 2/7.
    for (i, r) in [0.142852, 0.285706, 0.285722, 0.142863, 0.142857]
        .into_iter()
        .enumerate()
    {
        near(redundancy(&solved, i), r, 2e-6, "redundancy, derived");
        near(
            w(&solved, i).abs(),
            0.688242,
            2e-6,
            "all w are alike with one redundant reading, derived",
        );
    }
    near(
        visible_by_printed_rule(&solved, 0),
        109.3,
        0.05,
        "visible slip, derived",
    );
    near(
        visible_by_printed_rule(&solved, 1),
        77.3,
        0.05,
        "visible slip, derived",
    );
    // Derived: a-priori deviations, mm.
    for (point, axis, mm) in [
        (2, 0, 13.09328),
        (2, 1, 9.25829),
        (3, 0, 13.09292),
        (3, 1, 9.25813),
    ] {
        near(
            sd(&solved, point, axis),
            mm,
            2e-5,
            "a-priori deviation, recomputed",
        );
    }
}

#[test]
fn krumm_3_1_1_scaled_with_the_variance_found() {
    let settings = Settings {
        scale: true,
        ..Settings::default()
    };
    let solved = adjust::adjust(&two_new_points([0.0; 5]).survey, &settings).unwrap();
    // Printed, cm.
    for (point, axis, cm) in [(2, 0, 0.901), (2, 1, 0.637), (3, 0, 0.901), (3, 1, 0.637)] {
        near(
            sd(&solved, point, axis) / 10.0,
            cm,
            0.0005,
            "a-posteriori deviation",
        );
    }
}

/// Derived: with one redundant reading all w are alike, so that nothing tells which of the five is off. The slip is nearly
/// three times the smallest that the printed rule calls visible in the weakest.
#[test]
fn one_redundant_reading_cannot_locate_a_slip() {
    for bad in 0..5 {
        for size in [0.300, -0.300] {
            let mut slip = [0.0; 5];
            slip[bad] = size;
            let solved = hold(&two_new_points(slip).survey);
            assert_eq!(solved.outcome, Outcome::CannotTell, "{size} m in {bad}");
            assert_eq!(solved.summary.held_out, 0, "{size} m in {bad}");
            assert_eq!(solved.summary.unclear, 5, "{size} m in {bad}");
            let first = w(&solved, 0).abs();
            for i in 0..5 {
                let reading = &solved.readings[i];
                assert_eq!(
                    (reading.verdict, reading.group),
                    (Verdict::Unclear, Some(1)),
                    "{size} m in {bad}: {i}"
                );
                near(w(&solved, i).abs(), first, 1e-3 * first, "w");
            }
            let group = &solved.unclear[0];
            assert!(!group.held_out);
            assert!(
                group.moves.iter().all(|moved| [2, 3].contains(&moved.point)),
                "the fixed points stay: {:?}",
                group.moves
            );
            assert!(!group.moves.is_empty());
        }
    }
}

/// 60 mm in a diagonal adds 60 √(2/7) / 10 to a w of −0.688 (derived): seen, and not located. In a side it adds
/// 60 √(1/7) / 10 and stays under the critical value, as the smallest visible slip of 109 mm says.
#[test]
fn sixty_millimetres_are_seen_in_a_diagonal_and_not_in_a_side() {
    let diagonal = hold(&two_new_points([0.0, 0.060, 0.0, 0.0, 0.0]).survey);
    near(w(&diagonal, 1), -0.688 - 3.207, 0.002, "w of the diagonal");
    assert_eq!(diagonal.outcome, Outcome::CannotTell);
    assert_eq!((diagonal.summary.held_out, diagonal.summary.unclear), (0, 5));

    let side = hold(&two_new_points([-0.060, 0.0, 0.0, 0.0, 0.0]).survey);
    near(w(&side, 0), 0.688 + 2.268, 0.002, "w of the side");
    assert!(w(&side, 0) < side.summary.critical_w);
    assert_eq!(side.outcome, Outcome::Fits);
    assert!(side.readings[0].smallest_visible_slip.unwrap() > 60.0);
}

/// Kahmen and Faig, Surveying (1988), pp. 240-242, in Awange and others, Algebraic Geodesy and Geoinformatics,
/// 2nd ed. 2010, example 12.4, tables 12.11 and 12.12. Metres, less a round local origin.
const STATIONS: [(&str, f64, f64, f64); 4] = [
    ("P1", 177.62, 531.28, 611.023),
    ("P2", 1600.15, 1185.19, 1529.482),
    ("P3", 1830.93, -329.31, 1323.884),
    ("P4", -136.09, -922.76, 1206.524),
];

fn four_stations(used: &[usize], sd: f64) -> (Net, usize) {
    let mut net = Net::new(1000.0);
    let new = net.in_plane("new", 565.0, 59.0);
    for &i in used {
        let (name, x, y, length) = STATIONS[i];
        let station = net.fixed(name, [x, y, 0.0]);
        net.tape(station, new, length, sd);
    }
    (net, new)
}

#[test]
fn awange_12_4_six_fixes_from_two_circles_each() {
    // Printed less (48000, 6000); the sixth breaks off in print and was recomputed.
    for (a, b, x, y) in [
        (0, 1, 565.2783, 58.9770),
        (0, 2, 565.2636, 58.9649),
        (0, 3, 565.2701, 58.9702),
        (1, 2, 565.2697, 58.9849),
        (1, 3, 565.3402, 58.9201),
        (2, 3, 565.2661, 58.9731),
    ] {
        let (net, new) = four_stations(&[a, b], 0.01);
        among(
            &places(&keep(&net.survey), new),
            &[x, y],
            1000.0,
            0.0001,
            "two circles",
        );
    }
}

#[test]
fn awange_12_4_by_least_squares_with_equal_weights() {
    // Not printed; recomputed.
    let (net, new) = four_stations(&[0, 1, 2, 3], 0.01);
    let solved = keep(&net.survey);
    near_place(
        place(&solved, new),
        &[565.27090, 58.97496],
        1000.0,
        1e-5,
        "adjusted",
    );
    for (i, v) in [-3.139, 6.494, -4.035, 4.349].into_iter().enumerate() {
        near(residual(&solved, i), v, 0.001, "residual, mm");
    }
    for (i, r) in [0.43797, 0.54151, 0.48838, 0.53213].into_iter().enumerate() {
        near(redundancy(&solved, i), r, 1e-5, "redundancy");
    }
    near(
        solved.summary.variance_factor.unwrap().sqrt() * 10.0,
        6.60358,
        1e-5,
        "s0, mm",
    );
    let q = solved.points[new].covariance_mm2.unwrap();
    for (i, j, value) in [(0, 0, 0.478255), (0, 1, -0.050774), (1, 1, 0.535111)] {
        near(q[i][j] / 100.0, value, 1e-6, "cofactor");
    }
}

/// Ghilani, Adjustment Computations, chapter 14, example 14.2: inputs seen in the book's companion worksheets,
/// outputs recomputed. Feet.
fn three_stations(used: &[usize]) -> (Net, usize) {
    let mut net = Net::new(304.8);
    let new = net.in_plane("U", 6861.3, 3727.6);
    let stations = [
        ("A", 865.40, 4527.15, 6049.00),
        ("B", 2432.55, 2047.25, 4736.83),
        ("C", 2865.22, 27.15, 5446.49),
    ];
    for &i in used {
        let (name, x, y, length) = stations[i];
        let station = net.fixed(name, [x, y, 0.0]);
        net.tape(station, new, length, 0.1);
    }
    (net, new)
}

#[test]
fn ghilani_14_2_start_from_two_circles() {
    let (net, new) = three_stations(&[0, 1]);
    let found = places(&keep(&net.survey), new);
    among(&found, &[6861.32333, 3727.58486], 304.8, 1e-4, "start, ft");
    if found.len() == 2 {
        among(&found, &[-986.104, -1231.525], 304.8, 2e-3, "the other root, ft");
    }
}

#[test]
fn ghilani_14_2_adjusted() {
    let (net, new) = three_stations(&[0, 1, 2]);
    let solved = keep(&net.survey);
    near_place(
        place(&solved, new),
        &[6861.31679, 3727.81857],
        304.8,
        1e-4,
        "U, ft",
    );
    let lengths = [6048.96263, 4736.90679, 5446.44263];
    for (i, v) in [-0.037373, 0.076793, -0.047366].into_iter().enumerate() {
        near(residual(&solved, i) / 304.8, v, 1e-4, "residual, ft");
        near(
            solved.readings[i].adjusted.unwrap() / 304.8,
            lengths[i],
            1e-4,
            "adjusted, ft",
        );
    }
    near(
        solved.summary.variance_factor.unwrap() * 0.01,
        0.00953735,
        1e-7,
        "reference variance, ft²",
    );
    for (i, r) in [0.14645, 0.61832, 0.23523].into_iter().enumerate() {
        near(redundancy(&solved, i), r, 1e-5, "redundancy");
    }
    let covariance = solved.points[new].covariance_mm2.unwrap();
    let q = |i: usize, j: usize| covariance[i][j] / (30.48 * 30.48);
    near(q(0, 0), 0.6301890, 1e-6, "Qxx");
    near(q(0, 1), -0.7283539, 1e-6, "Qxy");
    near(q(1, 1), 2.4946885, 1e-6, "Qyy");
    // Standard ellipse with the variance found.
    let s0 = 0.0976594;
    let (mid, half) = (
        (q(0, 0) + q(1, 1)) / 2.0,
        ((q(0, 0) - q(1, 1)) / 2.0).hypot(q(0, 1)),
    );
    near((mid + half).sqrt() * s0, 0.161817, 1e-5, "longer semi-axis, ft");
    near((mid - half).sqrt() * s0, 0.060153, 1e-5, "shorter semi-axis, ft");
    let azimuth = 0.5 * (2.0 * q(0, 1)).atan2(q(1, 1) - q(0, 0)).to_degrees();
    near(
        azimuth + 180.0,
        161.000,
        0.001,
        "azimuth of the longer axis from +y to +x, degrees",
    );
}
