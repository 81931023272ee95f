use std::collections::BTreeSet;

use proptest::prelude::*;

use super::{Place, edges, square};

/// The corners of a box, the left ones first; images are the right ones.
fn corners([x, y, z]: [f64; 3]) -> (Vec<Option<Place>>, Vec<Option<usize>>) {
    let places = (0..8)
        .map(|n| {
            let [right, ahead, up] = [n / 4, n / 2 % 2, n % 2];
            Some([x * f64::from(ahead), y * f64::from(1 - right), z * f64::from(up)])
        })
        .collect();
    (places, (0..8).map(|n| Some((n + 4) % 8)).collect())
}

/// By its definition, without any shortcut.
fn by_definition(places: &[Option<Place>]) -> BTreeSet<[usize; 2]> {
    let held: Vec<(usize, Place)> = (0..places.len())
        .filter_map(|at| Some((at, places[at]?)))
        .collect();
    let mut edges = BTreeSet::new();
    for &(p, at_p) in &held {
        for &(q, at_q) in held.iter().filter(|(q, _)| *q > p) {
            let parted = held
                .iter()
                .any(|&(_, at_r)| square(at_p, at_r).max(square(at_q, at_r)) < square(at_p, at_q));
            if !parted {
                edges.insert([p, q]);
            }
        }
    }
    edges
}

#[test]
fn the_outline_of_a_box_is_its_twelve_edges() {
    for size in [[2000.0, 1200.0, 1100.0], [1000.0; 3], [3000.0, 200.0, 900.0]] {
        let (places, images) = corners(size);
        // Corners that differ in one of the three bits.
        let expected: Vec<[usize; 2]> = (0..8_usize)
            .flat_map(|p| [p + 1, p + 2, p + 4].map(|q| [p, q]))
            .filter(|[p, q]| *q < 8 && (p ^ q).is_power_of_two())
            .collect();
        assert_eq!(expected.len(), 12);
        let mut found = edges(&places, &images);
        found.sort_unstable();
        let mut expected = expected;
        expected.sort_unstable();
        assert_eq!(found, expected, "{size:?}");
    }
}

#[test]
fn a_point_without_a_place_has_no_edge_and_does_not_part_others() {
    let (mut places, images) = corners([2000.0, 1200.0, 1100.0]);
    places[0] = None;
    let found = edges(&places, &images);
    assert!(found.iter().flatten().all(|&end| end != 0));
    assert!(found.contains(&[1, 3]));
}

#[test]
fn the_mirror_image_of_an_edge_is_one_even_where_a_few_mm_would_part_it() {
    // A square of two pairs and a centre point above; the right rear corner is bent so that its edge ahead is parted.
    let places = [
        Some([0.0, 500.0, 0.0]),
        Some([1000.0, 500.0, 0.0]),
        Some([0.0, -500.0, 0.0]),
        Some([1000.0, -500.0, 0.0]),
        Some([500.0, -495.0, 0.0]),
    ];
    let with_images = [Some(2), Some(3), Some(0), Some(1), None];
    assert!(!edges(&places, &[None; 5]).contains(&[2, 3]));
    let found = edges(&places, &with_images);
    assert!(found.contains(&[0, 1]) && found.contains(&[2, 3]));
}

proptest! {
    #[test]
    fn the_shortcuts_leave_the_edges_of_the_definition(
        // Few different coordinates, so that many distances are alike.
        points in prop::collection::vec(prop::option::weighted(0.9, [0..7_i32, 0..5, 0..4]), 0..60),
    ) {
        let places: Vec<Option<Place>> =
            points.iter().map(|place| place.map(|place| place.map(|x| f64::from(x) * 137.0))).collect();
        let found: BTreeSet<[usize; 2]> = edges(&places, &vec![None; places.len()]).into_iter().collect();
        prop_assert_eq!(found, by_definition(&places));
    }

    #[test]
    fn the_outline_is_the_same_mirrored(
        left in prop::collection::vec([0.0..3000.0, 50.0..700.0, 0.0..1300.0], 1..20),
        bent in prop::collection::vec([-5.0..5.0, -5.0..5.0, -5.0..5.0], 20),
        centre in prop::collection::vec([0.0..3000.0, -2.0..2.0, 0.0..1300.0], 0..6),
    ) {
        let n = left.len();
        let right = left.iter().zip(&bent).map(|(l, by): (&Place, &Place)| [l[0] + by[0], -l[1] + by[1], l[2] + by[2]]);
        let places: Vec<Option<Place>> =
            left.iter().copied().chain(right).chain(centre.iter().copied()).map(Some).collect();
        let image = |at: usize| if at < n { at + n } else if at < 2 * n { at - n } else { at };
        let images: Vec<Option<usize>> = (0..places.len()).map(|at| Some(image(at))).collect();
        let found: BTreeSet<[usize; 2]> = edges(&places, &images).into_iter().collect();
        for &[p, q] in &found {
            let [a, b] = [image(p), image(q)];
            prop_assert!(a == b || found.contains(&[a.min(b), a.max(b)]));
        }
        for edge in by_definition(&places) {
            prop_assert!(found.contains(&edge));
        }
    }
}
