use survey::Kind;

use super::path;

const A: [f64; 3] = [100.0, 50.0, 300.0];
const B: [f64; 3] = [0.0, 0.0, 0.0];
const C: [f64; 3] = [1000.0, 0.0, 0.0];
const D: [f64; 3] = [0.0, 800.0, 0.0];

#[test]
fn every_kind_has_the_way_that_was_read() {
    let ways: [(Kind, &[[f64; 3]]); 9] = [
        (Kind::Tape, &[A, B]),
        (Kind::Slope, &[A, B]),
        (Kind::Rise, &[A, B]),
        (Kind::Corner, &[A, B, C]),
        // The line runs along x, the plane is level: both feet are seen without arithmetic.
        (Kind::String, &[A, [100.0, 0.0, 0.0]]),
        (Kind::Face, &[A, [100.0, 50.0, 0.0]]),
        (Kind::X, &[]),
        (Kind::Y, &[]),
        (Kind::Z, &[]),
    ];
    for (kind, expected) in ways {
        let places = [A, B, C, D];
        let found = path(kind, &places[..kind.point_count()]);
        assert_eq!(found, expected, "{}", kind.word());
    }
}

#[test]
fn a_foot_may_lie_beyond_the_points_of_its_line_and_plane() {
    assert_eq!(
        path(Kind::String, &[[-200.0, 0.0, 70.0], B, C])[1],
        [-200.0, 0.0, 0.0]
    );
    assert_eq!(
        path(Kind::Face, &[[-200.0, -90.0, 70.0], B, C, D])[1],
        [-200.0, -90.0, 0.0]
    );
}

#[test]
fn a_line_without_a_direction_and_a_plane_without_a_face_have_no_foot() {
    assert!(path(Kind::String, &[A, B, B]).is_empty());
    assert!(path(Kind::Face, &[A, B, C, [500.0, 0.0, 0.0]]).is_empty());
}
