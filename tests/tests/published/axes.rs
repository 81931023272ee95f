//! Axes and rigid fits.

use adjust::rigid::fit_rigid;
use trials::observe::{V3, cross, dot};

use super::near;

fn determinant(r: [[f64; 3]; 3]) -> f64 {
    dot(r[0], cross(r[1], r[2]))
}

/// ISO 8855:2011 (x ahead, y left, z up; seen described) and SAE J670e (x ahead, y right, z down; from memory):
/// a turn by 180° about x, so that a rigid fit finds it.
#[test]
fn from_axes_with_z_down_to_axes_with_z_up() {
    let down: [V3; 4] = [
        [1200.0, -350.0, 640.0],
        [0.0; 3],
        [300.0, 400.0, 10.0],
        [-50.0, 20.0, -700.0],
    ];
    let up = down.map(|[x, y, z]| [x, -y, -z]);
    assert_eq!(up[0], [1200.0, 350.0, -640.0]);
    let fit = fit_rigid(&down, &up).unwrap();
    let expected = [[1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, -1.0]];
    for i in 0..3 {
        for j in 0..3 {
            near(fit.rotation[i][j], expected[i][j], 1e-9, "rotation");
        }
    }
}

/// S. Umeyama, IEEE PAMI 13(4) 1991, 376-380, example (from memory), with the scale held at 1 (recomputed). Two
/// points far above and below the centres keep the fit in the plane without changing its answer; the squared
/// error is then spread over five points instead of three.
#[test]
fn umeyama_a_mirrored_figure_is_turned_never_mirrored() {
    let (from_mid, to_mid) = ([1.0 / 3.0, 2.0 / 3.0], [-1.0 / 3.0, 2.0 / 3.0]);
    let far = 100.0;
    let pole = |m: [f64; 2], h: f64| [m[0], m[1], h];
    let from = [
        [0.0; 3],
        [1.0, 0.0, 0.0],
        [0.0, 2.0, 0.0],
        pole(from_mid, far),
        pole(from_mid, -far),
    ];
    let to = [
        [0.0; 3],
        [-1.0, 0.0, 0.0],
        [0.0, 2.0, 0.0],
        pole(to_mid, far),
        pole(to_mid, -far),
    ];
    let fit = fit_rigid(&from, &to).unwrap();
    let expected = [
        [0.832050, 0.554700, 0.0],
        [-0.554700, 0.832050, 0.0],
        [0.0, 0.0, 1.0],
    ];
    for i in 0..3 {
        for j in 0..3 {
            near(fit.rotation[i][j], expected[i][j], 1e-6, "rotation");
        }
    }
    near(determinant(fit.rotation), 1.0, 1e-12, "determinant");
    for (found, expected) in fit.translation.iter().zip([-0.980484, 0.296867, 0.0]) {
        near(*found, expected, 1e-6, "translation");
    }
    near(
        fit.mean_square_error * 5.0 / 3.0,
        0.619755,
        1e-6,
        "mean squared error",
    );
}

/// Exact. Method: Horn, J. Opt. Soc. Am. A 4(4), 1987, 629-642.
#[test]
fn a_turn_by_120_degrees_about_the_diagonal() {
    let from = [[0.0; 3], [1.0, 0.0, 0.0], [0.0, 2.0, 0.0], [0.0, 0.0, 3.0]];
    let to = [
        [10.0, 20.0, 30.0],
        [10.0, 21.0, 30.0],
        [10.0, 20.0, 32.0],
        [13.0, 20.0, 30.0],
    ];
    let fit = fit_rigid(&from, &to).unwrap();
    let expected = [[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]];
    for i in 0..3 {
        near(fit.translation[i], [10.0, 20.0, 30.0][i], 1e-9, "translation");
        for j in 0..3 {
            near(fit.rotation[i][j], expected[i][j], 1e-9, "rotation");
        }
    }
    near(fit.mean_square_error, 0.0, 1e-12, "mean squared error");
}

#[test]
fn points_of_one_plane_are_fitted_with_a_proper_turn() {
    let from = [[0.0; 3], [3.0, 0.0, 0.0], [0.0, 4.0, 0.0], [5.0, 6.0, 0.0]];
    let to = from.map(|[x, y, z]| [y + 1.0, z + 2.0, x + 3.0]);
    let fit = fit_rigid(&from, &to).unwrap();
    near(determinant(fit.rotation), 1.0, 1e-9, "determinant");
    near(fit.mean_square_error, 0.0, 1e-12, "mean squared error");
}

#[test]
fn points_of_one_line_are_refused() {
    let from = [[0.0; 3], [1.0, 2.0, 3.0], [2.0, 4.0, 6.0], [-1.0, -2.0, -3.0]];
    let to = from.map(|[x, y, z]| [y, z, x]);
    assert!(fit_rigid(&from, &to).is_none());
    assert!(fit_rigid(&from[..2], &to[..2]).is_none());
}
