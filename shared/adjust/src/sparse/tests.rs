//! The sparse path against dense algebra on random networks.

use super::{Pattern, VANISHING_PIVOT};
use nalgebra::{DMatrix, DVector};

/// Random rows over few unknowns each, and the dense normal matrix beside the sparse one.
fn network(rng: &mut fastrand::Rng, unknowns: usize, rows: usize) -> (Pattern, Vec<f64>, DMatrix<f64>) {
    let mut columns = Vec::new();
    let mut entries = Vec::new();
    for row in 0..rows {
        let mut touched: Vec<usize> = (0..rng.usize(1..=5)).map(|_| rng.usize(..unknowns)).collect();
        touched.push(row % unknowns);
        touched.sort_unstable();
        touched.dedup();
        entries.push(
            touched
                .iter()
                .map(|_| rng.f64() * 2.0 - 1.0)
                .collect::<Vec<f64>>(),
        );
        columns.push(touched);
    }
    let pattern = Pattern::new(unknowns, &columns);
    let mut sparse = pattern.zeros();
    let mut dense = DMatrix::zeros(unknowns, unknowns);
    for (row, (columns, entries)) in columns.iter().zip(&entries).enumerate() {
        let weight = 0.5 + rng.f64();
        pattern.add_row(&mut sparse, row, entries, weight);
        for (i, a) in columns.iter().zip(entries) {
            for (j, b) in columns.iter().zip(entries) {
                dense[(*i, *j)] += weight * a * b;
            }
        }
    }
    (pattern, sparse, dense)
}

#[test]
fn solves_and_selected_inverses_agree_with_dense_ones() {
    for seed in 0..200 {
        let mut rng = fastrand::Rng::with_seed(seed);
        let unknowns = rng.usize(1..40);
        let (pattern, mut sparse, mut dense) = network(&mut rng, unknowns, 3 * unknowns);
        // Well and ill conditioned alike.
        let hold = 10f64.powi(-rng.i32(0..6));
        pattern.add_diagonal(&mut sparse, &vec![hold; unknowns]);
        dense += DMatrix::identity(unknowns, unknowns) * hold;
        let factor = pattern.factor(&sparse, VANISHING_PIVOT);
        assert!(pattern.pinned_unknowns(&factor).is_empty(), "seed {seed}");
        let inverse = dense.clone().try_inverse().expect("regular");
        let right = DVector::from_fn(unknowns, |_, _| rng.f64() - 0.5);
        let mut ours: Vec<f64> = right.iter().copied().collect();
        pattern.solve(&factor, &mut ours);
        let theirs = &inverse * &right;
        let size = inverse.amax();
        for k in 0..unknowns {
            assert!(
                (ours[k] - theirs[k]).abs() < 1e-8 * size,
                "seed {seed}: {} against {}",
                ours[k],
                theirs[k]
            );
        }
        let selected = pattern.selected_inverse(&factor);
        for i in 0..unknowns {
            for j in (0..unknowns).filter(|&j| i == j || dense[(i, j)] != 0.0) {
                let ours = pattern.inverse_entry(&factor, &selected, i, j);
                assert!(
                    (ours - inverse[(i, j)]).abs() < 1e-8 * size,
                    "seed {seed}: ({i},{j})"
                );
            }
        }
        let product = pattern.multiply(&sparse, ours.as_slice());
        for k in 0..unknowns {
            assert!((product[k] - right[k]).abs() < 1e-8 * (1.0 + size), "seed {seed}");
        }
    }
}

#[test]
fn every_free_motion_pins_one_unknown() {
    // A chain of distances along a line: one common shift is free; cut once, two are.
    for cut in [None, Some(4)] {
        let rows: Vec<Vec<usize>> = (0..9)
            .filter(|k| Some(*k) != cut)
            .map(|k| vec![k, k + 1])
            .collect();
        let pattern = Pattern::new(10, &rows);
        let mut matrix = pattern.zeros();
        for row in 0..rows.len() {
            pattern.add_row(&mut matrix, row, &[-1.0, 1.0], 1.0);
        }
        let factor = pattern.factor(&matrix, VANISHING_PIVOT);
        assert_eq!(
            pattern.pinned_unknowns(&factor).len(),
            if cut.is_some() { 2 } else { 1 }
        );
    }
}
