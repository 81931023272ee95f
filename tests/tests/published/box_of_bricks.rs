//! A box of the size of a shell whose edges and face diagonals are whole numbers: ten times the smallest brick of
//! that kind (Halcke 1719, from memory; arithmetic checked). The adjustment figures are derived.

use adjust::{Settings, Suspects, Verdict};
use survey::Frame;
use trials::net::{Net, label};
use trials::observe::{V3, distance};

use super::{keep, near, redundancy, residual, sd, visible_by_printed_rule, w};

/// Corner k has x, y, z by its bits 0, 1, 2.
fn corners() -> Vec<V3> {
    (0..8)
        .map(|k| [(0, 2400.0), (1, 1170.0), (2, 440.0)].map(|(b, v)| f64::from(k >> b & 1) * v))
        .collect()
}

fn box_net(sd: f64, slip: f64) -> Net {
    let mut net = Net::new(1.0);
    let at = corners();
    for (i, p) in at.iter().enumerate() {
        net.rough(&format!("c{i}"), *p);
    }
    for i in 0..8 {
        for j in i + 1..8 {
            let extra = if (i, j) == (0, 1) { slip } else { 0.0 };
            net.tape(i, j, distance(at[i], at[j]) + extra, sd);
        }
    }
    net
}

fn frame() -> Settings {
    Settings {
        frame: Some(Frame::Three {
            origin: label("c0"),
            ahead: label("c1"),
            left: label("c2"),
        }),
        suspects: Suspects::Keep,
        ..Settings::default()
    }
}

#[test]
fn face_diagonals_are_whole_numbers() {
    let lengths: Vec<f64> = box_net(1.0, 0.0)
        .survey
        .readings
        .iter()
        .map(|r| r.observed)
        .collect();
    for whole in [440.0, 1170.0, 2400.0, 1250.0, 2440.0, 2670.0] {
        assert_eq!(lengths.iter().filter(|l| **l == whole).count(), 4, "{whole}");
    }
    assert_eq!(
        lengths
            .iter()
            .filter(|l| (**l - 2706.011825).abs() < 1e-6)
            .count(),
        4
    );
}

#[test]
fn redundancy_and_visible_slip_by_length() {
    let solved = adjust::adjust(&box_net(1.0, 0.0).survey, &frame()).unwrap();
    let expected = [
        (440.0, 0.045943, 19.28),
        (1170.0, 0.281334, 7.79),
        (1250.0, 0.287197, 7.71),
        (2440.0, 0.399635, 6.54),
        (2670.0, 0.429730, 6.30),
        (2400.0, 0.493660, 5.88),
        (2706.011825, 0.5625, 5.51),
    ];
    let mut total = 0.0;
    for (i, reading) in solved.readings.iter().enumerate() {
        let (_, r, visible) = expected
            .iter()
            .find(|(l, ..)| (l - reading.observed).abs() < 1e-3)
            .unwrap();
        near(redundancy(&solved, i), *r, 1e-6, "redundancy");
        near(
            visible_by_printed_rule(&solved, i),
            *visible,
            0.0051,
            "visible slip, σ",
        );
        total += redundancy(&solved, i);
    }
    near(total, 10.0, 1e-8, "redundancy in all");
    assert_eq!(solved.summary.degrees_of_freedom, 10);
}

#[test]
fn inner_and_minimum_constraints() {
    let solved = adjust::adjust(&box_net(1.0, 0.0).survey, &frame()).unwrap();
    let mut free = 0.0;
    let mut held = 0.0;
    for p in 0..8 {
        let c = solved.free_net_covariance(p).unwrap();
        free += c[0][0] + c[1][1] + c[2][2];
        let m = solved.points[p].covariance_mm2.unwrap();
        held += m[0][0] + m[1][1] + m[2][2];
    }
    near(free, 16.468945, 1e-5, "trace, inner constraints");
    near(held, 56.979245, 1e-5, "trace, three-point frame");
    near(sd(&solved, 3, 2), 4.460739, 1e-5, "z of the far floor corner");
}

/// The rough positions and the frame both have the axes of the box.
#[test]
fn inner_constraint_deviations_by_axis() {
    let solved = adjust::adjust(&box_net(1.0, 0.0).survey, &frame()).unwrap();
    let c = solved.free_net_covariance(7).unwrap();
    for (axis, value) in [0.477614, 0.633957, 1.195241].into_iter().enumerate() {
        near(c[axis][axis].sqrt(), value, 1e-5, "inner-constraint deviation");
    }
}

#[test]
fn the_single_test_sees_what_the_global_test_misses() {
    let net = box_net(2.0, 10.0);
    let solved = keep(&net.survey);
    near(w(&solved, 0), -3.5121, 5e-4, "w of the bad edge");
    near(residual(&solved, 0), -4.9327, 5e-4, "its residual, mm");
    let next = (1..28).map(|i| w(&solved, i).abs()).fold(0.0, f64::max);
    near(next, 1.5500, 5e-4, "the next w");
    near(solved.summary.chi_square, 12.335, 5e-3, "chi-square");
    assert_eq!(solved.summary.passes, Some(true), "the global test passes");
    near(
        -residual(&solved, 0) / redundancy(&solved, 0),
        10.0026,
        0.01,
        "estimated slip, mm",
    );
    // Between 3.29 and the critical value for 28 readings: looked at again, not accused.
    assert!(solved.summary.critical_w > 3.5121);
    assert_eq!(solved.readings[0].verdict, Verdict::LookAgain);
    assert!(solved.readings[1..].iter().all(|r| r.verdict == Verdict::Fits));
}
