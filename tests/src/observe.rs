//! What a perfect instrument would read between exact points: written apart from the solver on purpose.

use survey::Kind;

/// A point or direction, mm.
pub type V3 = [f64; 3];

/// a − b.
pub fn sub(a: V3, b: V3) -> V3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// a + s·b.
pub fn add_scaled(a: V3, s: f64, b: V3) -> V3 {
    [a[0] + s * b[0], a[1] + s * b[1], a[2] + s * b[2]]
}

/// Inner product.
pub fn dot(a: V3, b: V3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Vector product.
pub fn cross(a: V3, b: V3) -> V3 {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

/// Length.
pub fn norm(a: V3) -> f64 {
    dot(a, a).sqrt()
}

/// The vector of length 1 along `a`.
pub fn unit(a: V3) -> V3 {
    let length = norm(a);
    a.map(|v| v / length)
}

/// Distance.
pub fn distance(a: V3, b: V3) -> f64 {
    norm(sub(a, b))
}

/// The true value of a reading of that kind between those points, mm or radians; `up` is the stand's plumb
/// direction, upwards and of length 1.
pub fn true_value(kind: Kind, at: &[V3], up: V3) -> f64 {
    match kind {
        Kind::Tape => distance(at[0], at[1]),
        Kind::Slope => (dot(sub(at[1], at[0]), up) / distance(at[0], at[1])).asin(),
        Kind::Corner => {
            let (p, q) = (sub(at[0], at[1]), sub(at[2], at[1]));
            norm(cross(p, q)).atan2(dot(p, q))
        }
        Kind::Rise => dot(sub(at[1], at[0]), up),
        Kind::String => norm(cross(sub(at[0], at[1]), unit(sub(at[2], at[1])))),
        Kind::Face => dot(
            sub(at[0], at[1]),
            unit(cross(sub(at[2], at[1]), sub(at[3], at[1]))),
        )
        .abs(),
        Kind::X => at[0][0],
        Kind::Y => at[0][1],
        Kind::Z => at[0][2],
    }
}

/// Coordinates in the frame with `origin` at zero, `ahead` on +x and `left` in the xy plane with y > 0.
pub fn three_frame(points: &[V3], origin: usize, ahead: usize, left: usize) -> Vec<V3> {
    let zero = points[origin];
    let x = unit(sub(points[ahead], zero));
    let towards = sub(points[left], zero);
    let y = unit(add_scaled(towards, -dot(towards, x), x));
    let z = cross(x, y);
    points
        .iter()
        .map(|&p| {
            let d = sub(p, zero);
            [dot(d, x), dot(d, y), dot(d, z)]
        })
        .collect()
}

/// A normally distributed number with mean 0 and standard deviation 1.
pub fn gauss(rng: &mut fastrand::Rng) -> f64 {
    let radius = (-2.0 * (1.0 - rng.f64()).ln()).sqrt();
    radius * (std::f64::consts::TAU * rng.f64()).cos()
}

/// Evenly distributed over ± `half`.
pub fn even(rng: &mut fastrand::Rng, half: f64) -> f64 {
    half * (2.0 * rng.f64() - 1.0)
}
