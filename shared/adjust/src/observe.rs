//! The observation equations: what a reading of each kind would be, and how it changes with its points.
//!
//! All derivatives are analytic; a test holds each against finite differences.

use nalgebra::Vector3;
use survey::Kind;

/// A vector or a position, in mm.
pub(crate) type Vec3 = Vector3<f64>;

/// What a reading would be, with its derivatives.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Predicted {
    /// mm or radians.
    pub(crate) value: f64,
    /// Derivative with respect to each point.
    pub(crate) by_point: [Vec3; 4],
    /// Derivative with respect to the plumb direction, which is a unit vector: only its part across the
    /// direction means something.
    pub(crate) by_plumb: Vec3,
}

/// Below this length (mm) a direction is not defined, and a derivative along it is left out.
const NO_LENGTH: f64 = 1e-9;

fn direction(v: Vec3) -> (Vec3, f64) {
    let length = v.norm();
    if length > NO_LENGTH {
        (v / length, length)
    } else {
        (Vec3::zeros(), length)
    }
}

/// Predicts a reading of this kind at points a, b, c, d (as many as the kind needs) with this plumb direction.
pub(crate) fn predict(kind: Kind, p: &[Vec3; 4], up: &Vec3) -> Predicted {
    let none = Vec3::zeros();
    let mut by_point = [none; 4];
    let mut by_plumb = none;
    let value = match kind {
        Kind::Tape => {
            let (unit, length) = direction(p[1] - p[0]);
            by_point[0] = -unit;
            by_point[1] = unit;
            length
        }
        Kind::Slope => {
            let line = p[1] - p[0];
            let height = up.dot(&line);
            let (along, run) = direction(line - up * height);
            let square = (run * run + height * height).max(NO_LENGTH * NO_LENGTH);
            let gradient = (up * run - along * height) / square;
            by_point[0] = -gradient;
            by_point[1] = gradient;
            by_plumb = along;
            height.atan2(run)
        }
        Kind::Corner => {
            let (e, e_length) = direction(p[0] - p[1]);
            let (f, f_length) = direction(p[2] - p[1]);
            let (cosine, sine) = (e.dot(&f), e.cross(&f).norm());
            if sine > 1e-12 && e_length > NO_LENGTH && f_length > NO_LENGTH {
                by_point[0] = (e * cosine - f) / (e_length * sine);
                by_point[2] = (f * cosine - e) / (f_length * sine);
                by_point[1] = -by_point[0] - by_point[2];
            }
            sine.atan2(cosine)
        }
        Kind::Rise => {
            by_point[0] = -*up;
            by_point[1] = *up;
            by_plumb = p[1] - p[0];
            up.dot(&(p[1] - p[0]))
        }
        Kind::String => {
            let (along, length) = direction(p[2] - p[1]);
            let offset = p[0] - p[1];
            let t = offset.dot(&along);
            let (across, distance) = direction(offset - along * t);
            let share = if length > NO_LENGTH { t / length } else { 0.0 };
            by_point[0] = across;
            by_point[1] = -across * (1.0 - share);
            by_point[2] = -across * share;
            distance
        }
        Kind::Face => {
            let (u, v) = (p[2] - p[1], p[3] - p[1]);
            let offset = p[0] - p[1];
            let normal = u.cross(&v);
            let (unit, area) = direction(normal);
            let signed = unit.dot(&offset);
            let side = if signed < 0.0 { -unit } else { unit };
            let square = (area * area).max(NO_LENGTH * NO_LENGTH);
            let beta = offset.cross(&v).dot(&normal) / square;
            let gamma = u.cross(&offset).dot(&normal) / square;
            by_point[0] = side;
            by_point[1] = -side * (1.0 - beta - gamma);
            by_point[2] = -side * beta;
            by_point[3] = -side * gamma;
            signed.abs()
        }
        Kind::X | Kind::Y | Kind::Z => {
            let axis = axis_of(kind);
            by_point[0][axis] = 1.0;
            p[0][axis]
        }
    };
    Predicted {
        value,
        by_point,
        by_plumb,
    }
}

/// The axis of a coordinate reading; 0 for the others.
pub(crate) fn axis_of(kind: Kind) -> usize {
    match kind {
        Kind::Y => 1,
        Kind::Z => 2,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(kind: Kind, p: [Vec3; 4], up: Vec3) {
        let up = up.normalize();
        let exact = predict(kind, &p, &up);
        let step = 1e-4;
        for point in 0..4 {
            for axis in 0..3 {
                let (mut ahead, mut behind) = (p, p);
                ahead[point][axis] += step;
                behind[point][axis] -= step;
                let slope =
                    (predict(kind, &ahead, &up).value - predict(kind, &behind, &up).value) / (2.0 * step);
                let ours = exact.by_point[point][axis];
                assert!(
                    (slope - ours).abs() < 1e-7,
                    "{kind:?} point {point} axis {axis}: {slope} against {ours}"
                );
            }
        }
        let across = up.cross(&Vec3::new(0.3, -0.8, 0.1)).normalize();
        for turn in [across, up.cross(&across)] {
            let small = 1e-6;
            let ahead = predict(kind, &p, &(up + turn * small).normalize()).value;
            let behind = predict(kind, &p, &(up - turn * small).normalize()).value;
            let slope = (ahead - behind) / (2.0 * small);
            assert!(
                (slope - exact.by_plumb.dot(&turn)).abs() < 1e-4,
                "{kind:?} plumb: {slope}"
            );
        }
    }

    #[test]
    fn every_derivative_agrees_with_finite_differences() {
        let mut rng = fastrand::Rng::with_seed(7);
        let mut place = || Vec3::from_fn(|_, _| rng.f64() * 3000.0 - 1500.0);
        for _ in 0..40 {
            let p = [place(), place(), place(), place()];
            let up = Vec3::new(0.1, -0.2, 1.0);
            for kind in Kind::ALL {
                check(kind, p, up);
            }
        }
    }

    #[test]
    fn both_sides_of_a_face_have_their_derivative() {
        let p = [
            Vec3::new(10.0, 20.0, 300.0),
            Vec3::zeros(),
            Vec3::new(900.0, 30.0, -10.0),
            Vec3::new(-40.0, 800.0, 25.0),
        ];
        let mut under = p;
        under[0].z = -250.0;
        check(Kind::Face, p, Vec3::z());
        check(Kind::Face, under, Vec3::z());
    }

    #[test]
    fn points_that_coincide_give_finite_numbers() {
        let p = [Vec3::zeros(); 4];
        for kind in Kind::ALL {
            let predicted = predict(kind, &p, &Vec3::z());
            assert!(predicted.value.is_finite(), "{kind:?}");
            assert!(
                predicted.by_point.iter().all(|g| g.iter().all(|x| x.is_finite())),
                "{kind:?}"
            );
        }
    }
}
