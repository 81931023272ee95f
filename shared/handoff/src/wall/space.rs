//! Small geometry on paper: boxes as left, top, right, bottom; segments by their ends.

pub(super) type Box2 = [f64; 4];
pub(super) type Segment = [[f64; 2]; 2];

/// Whether two boxes have a place in common.
pub(super) fn boxes_meet(a: Box2, b: Box2) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// Whether a box lies in another.
pub(super) fn lies_in(inner: Box2, outer: Box2) -> bool {
    inner[0] >= outer[0] && inner[1] >= outer[1] && inner[2] <= outer[2] && inner[3] <= outer[3]
}

/// A box that is larger on every side.
pub(super) fn grown([left, top, right, bottom]: Box2, by: f64) -> Box2 {
    [left - by, top - by, right + by, bottom + by]
}

/// The box around a segment.
pub(super) fn around([a, b]: Segment) -> Box2 {
    [a[0].min(b[0]), a[1].min(b[1]), a[0].max(b[0]), a[1].max(b[1])]
}

/// The box around both.
pub(super) fn joined(a: Box2, b: Box2) -> Box2 {
    [a[0].min(b[0]), a[1].min(b[1]), a[2].max(b[2]), a[3].max(b[3])]
}

/// The place of a box that is nearest to a point.
pub(super) fn nearest(within: Box2, [x, y]: [f64; 2]) -> [f64; 2] {
    [
        x.clamp(within[0], within[2].max(within[0])),
        y.clamp(within[1], within[3].max(within[1])),
    ]
}

/// Whether a segment passes through a box, by cutting it off at each edge in turn (Liang and Barsky's clipping).
pub(super) fn segment_meets_box([a, b]: Segment, within: Box2) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for axis in [0, 1] {
        let along = b[axis] - a[axis];
        let (low, high) = (within[axis] - a[axis], within[axis + 2] - a[axis]);
        if along.abs() < 1e-12 {
            if low > 0.0 || high < 0.0 {
                return false;
            }
            continue;
        }
        let (near, far) = (low / along, high / along);
        from = from.max(near.min(far));
        to = to.min(near.max(far));
    }
    from < to
}

/// Whether two segments cross.
pub(super) fn segments_cross([a, b]: Segment, [c, d]: Segment) -> bool {
    let turn =
        |p: [f64; 2], q: [f64; 2], r: [f64; 2]| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
    turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0
}

/// How far two places are apart.
pub(super) fn apart([ax, ay]: [f64; 2], [bx, by]: [f64; 2]) -> f64 {
    (ax - bx).hypot(ay - by)
}
