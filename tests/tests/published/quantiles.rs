//! Quantiles that the tests rest on.

use adjust::quantiles::{chi_square_quantile, normal_quantile};

use super::near;

/// Critical value, non-centrality and its root for a two-sided test and a power: 17.07, 4.13 and 3.29 are Baarda's
/// (1968, from memory; 3.2905 seen in a secondary text), the others recomputed.
#[test]
fn noncentrality_of_the_single_reading_test() {
    for (alpha, power, critical, lambda, delta) in [
        (0.001, 0.80, 3.2905, 17.0746, 4.1321),
        (0.001, 0.90, 3.2905, 20.9039, 4.5721),
        (0.01, 0.80, 2.5758, 11.6790, 3.4175),
        (0.05, 0.80, 1.9600, 7.8489, 2.8016),
    ] {
        let z = normal_quantile(1.0 - alpha / 2.0);
        near(z, critical, 1e-4, "critical value");
        near(
            z + normal_quantile(power),
            delta,
            1e-4,
            "root of the non-centrality",
        );
        near(
            (z + normal_quantile(power)).powi(2),
            lambda,
            1e-3,
            "non-centrality",
        );
    }
}

/// The global test that goes with the single one (Baarda's B-method: the same non-centrality 17.0746 and power 0.80
/// at every number of degrees of freedom; recomputed, none of it seen in print). The level is given to four decimals,
/// so the critical value lies between the quantiles of its last digit, one up and one down.
#[test]
fn global_test_of_the_b_method() {
    for (dof, alpha, critical) in [
        (1.0, 0.0010, 10.8276),
        (2.0, 0.0028, 11.7300),
        (3.0, 0.0055, 12.6335),
        (4.0, 0.0089, 13.5381),
        (5.0, 0.0130, 14.4437),
        (10.0, 0.0404, 18.9871),
        (20.0, 0.1061, 28.1412),
        (30.0, 0.1667, 37.3680),
    ] {
        let [low, high] = [alpha + 5e-5, alpha - 5e-5].map(|alpha| chi_square_quantile(1.0 - alpha, dof));
        assert!(
            (low..=high).contains(&critical),
            "{dof}: {critical} not in {low}..{high}"
        );
    }
    // With one degree of freedom it is the single test.
    near(
        chi_square_quantile(0.999, 1.0),
        normal_quantile(0.9995).powi(2),
        1e-9,
        "one test",
    );
}

/// NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.4: the lower tail was seen, the upper tail
/// recomputed.
#[test]
fn chi_square_tables() {
    let upper = [0.90, 0.95, 0.975, 0.99, 0.999];
    for (dof, row) in [
        (1.0, [2.706, 3.841, 5.024, 6.635, 10.828]),
        (2.0, [4.605, 5.991, 7.378, 9.210, 13.816]),
        (3.0, [6.251, 7.815, 9.348, 11.345, 16.266]),
        (4.0, [7.779, 9.488, 11.143, 13.277, 18.467]),
        (5.0, [9.236, 11.070, 12.833, 15.086, 20.515]),
        (6.0, [10.645, 12.592, 14.449, 16.812, 22.458]),
        (10.0, [15.987, 18.307, 20.483, 23.209, 29.588]),
        (20.0, [28.412, 31.410, 34.170, 37.566, 45.315]),
        (30.0, [40.256, 43.773, 46.979, 50.892, 59.703]),
    ] {
        for (p, value) in upper.into_iter().zip(row) {
            near(chi_square_quantile(p, dof), value, 6e-4, "upper tail");
        }
    }
    for (dof, row) in [
        (2.0, [0.211, 0.103, 0.051, 0.020, 0.002]),
        (3.0, [0.584, 0.352, 0.216, 0.115, 0.024]),
        (5.0, [1.610, 1.145, 0.831, 0.554, 0.210]),
        (10.0, [4.865, 3.940, 3.247, 2.558, 1.479]),
        (20.0, [12.443, 10.851, 9.591, 8.260, 5.921]),
    ] {
        for (exceeding, value) in upper.into_iter().zip(row) {
            near(
                chi_square_quantile(1.0 - exceeding, dof),
                value,
                6e-4,
                "lower tail",
            );
        }
    }
}

/// Factors from a standard figure to a confidence figure: √χ². Recomputed; 2.447 and 2.796 are book values.
#[test]
fn confidence_factors() {
    for (dof, factors) in [
        (1.0, [1.6449, 1.9600, 2.5758]),
        (2.0, [2.1460, 2.4477, 3.0349]),
        (3.0, [2.5003, 2.7955, 3.3682]),
    ] {
        for (p, factor) in [0.90, 0.95, 0.99].into_iter().zip(factors) {
            near(
                chi_square_quantile(p, dof).sqrt(),
                factor,
                1e-4,
                "confidence factor",
            );
        }
    }
    near(
        chi_square_quantile(0.393469, 2.0),
        1.0,
        1e-5,
        "inside the standard ellipse",
    );
    near(
        chi_square_quantile(0.198748, 3.0),
        1.0,
        1e-5,
        "inside the standard ellipsoid",
    );
}
