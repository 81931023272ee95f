use super::*;
use crate::hand_made;

#[test]
fn the_names_and_their_order_are_a_promise() {
    let golden = include_str!("golden.json");
    let written = to_json(&hand_made::answer());
    assert_eq!(written, golden, "a change here is a change of the format");
}

#[test]
fn what_is_not_known_is_null() {
    let written: serde_json::Value = serde_json::from_str(&to_json(&hand_made::answer())).unwrap();
    let roof = &written["points"][3];
    for name in ["y_mm", "z_mm", "sd_x_mm", "covariance_mm2", "ellipsoid_95_mm"] {
        assert!(roof[name].is_null(), "{name}");
    }
    assert!(written["readings"][5]["adjusted"].is_null());
}

#[test]
fn without_mirror_pairs_symmetry_is_null() {
    let mut answer = hand_made::answer();
    answer.adjustment.symmetry = None;
    let written: serde_json::Value = serde_json::from_str(&to_json(&answer)).unwrap();
    assert!(written["symmetry"].is_null());
}

#[test]
fn angles_are_written_in_degrees_and_lengths_in_millimetres() {
    let wire = AdjustmentWire::of(&hand_made::answer());
    let slope = &wire.readings[2];
    assert!((slope.observed - 1.5).abs() < 1e-12);
    assert!((slope.sd - 0.25).abs() < 1e-12);
    assert!((slope.smallest_visible_slip.unwrap() - 2.0).abs() < 1e-12);
    assert_eq!(wire.readings[0].observed, 1381.125);
}
