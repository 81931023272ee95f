//! How sure a point is by the directions of its tapes. Exact; the plane formula is textbook (from memory).

use survey::Kind;
use trials::net::Net;

use super::{keep, near, sd};

const LONG: f64 = 20_000.0;

/// Three tapes at `theta` from the z axis, 120° apart; a very rough height chooses the side and weighs nothing.
fn tripod(theta_deg: f64) -> (Net, usize) {
    let mut net = Net::new(1.0);
    let theta = theta_deg.to_radians();
    let new = net.rough("new", [0.0; 3]);
    for k in 0..3 {
        let azimuth = f64::from(k) * 120_f64.to_radians();
        let at = [
            LONG * theta.sin() * azimuth.cos(),
            LONG * theta.sin() * azimuth.sin(),
            LONG * theta.cos(),
        ];
        let foot = net.fixed(&format!("f{k}"), at);
        net.tape(foot, new, LONG, 1.0);
    }
    net.read(Kind::Z, vec![new], 0.0, 1500.0);
    (net, new)
}

#[test]
fn three_rays_by_their_angle() {
    for (theta, axis, across) in [
        (54.735_610_317_245_34, 1.0, 1.0),
        (30.0, 0.666667, 1.632993),
        (45.0, 0.816497, 1.154701),
        (75.0, 2.230710, 0.845299),
    ] {
        let (net, new) = tripod(theta);
        let solved = keep(&net.survey);
        // The height reading takes (σ/1500)² off the weight: under 4e-6 here.
        near(sd(&solved, new, 2), axis, 6e-6, "along the axis");
        near(sd(&solved, new, 0), across, 2e-6, "across, x");
        near(sd(&solved, new, 1), across, 2e-6, "across, y");
    }
}

#[test]
fn the_95_percent_ellipsoid_of_three_square_rays_is_a_ball() {
    let (net, new) = tripod(54.735_610_317_245_34);
    for axis in keep(&net.survey).points[new].ellipsoid_95_mm().unwrap() {
        near(axis, 2.7955, 1e-4, "semi-axis");
    }
}

#[test]
fn two_tapes_in_a_plane() {
    for gamma_deg in [30_f64, 60.0, 90.0, 120.0] {
        let gamma = gamma_deg.to_radians();
        let mut net = Net::new(1.0);
        let new = net.in_plane("new", 0.0, 0.0);
        for (k, angle) in [gamma / 2.0, -gamma / 2.0].into_iter().enumerate() {
            let foot = net.fixed(&format!("f{k}"), [LONG * angle.cos(), LONG * angle.sin(), 0.0]);
            net.tape(foot, new, LONG, 1.0);
        }
        net.read(Kind::X, vec![new], 0.0, 2000.0);
        let solved = keep(&net.survey);
        let point_sd = sd(&solved, new, 0).hypot(sd(&solved, new, 1));
        near(point_sd, 2_f64.sqrt() / gamma.sin(), 2e-5, "point deviation");
    }
}
