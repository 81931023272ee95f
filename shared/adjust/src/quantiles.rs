//! The quantiles that the tests use.

use statrs::distribution::{ChiSquared, ContinuousCDF, Normal};

/// The value below which a standard normal variable lies with probability `p`; NaN outside 0..1.
pub fn normal_quantile(p: f64) -> f64 {
    if !(p > 0.0 && p < 1.0) {
        return f64::NAN;
    }
    Normal::new(0.0, 1.0).map_or(f64::NAN, |normal| normal.inverse_cdf(p))
}

/// The value below which chi-square with `dof` degrees of freedom lies with probability `p`; NaN where that is
/// not defined.
///
/// The library's root is polished by Newton steps, so that it is right to the last digits.
pub fn chi_square_quantile(p: f64, dof: f64) -> f64 {
    if !(p > 0.0 && p < 1.0) {
        return f64::NAN;
    }
    let Ok(chi) = ChiSquared::new(dof) else {
        return f64::NAN;
    };
    use statrs::distribution::Continuous;
    let mut x = chi.inverse_cdf(p);
    for _ in 0..4 {
        let density = chi.pdf(x);
        if density > 0.0 {
            let step = (chi.cdf(x) - p) / density;
            if step.is_finite() && step.abs() < x {
                x -= step;
            }
        }
    }
    x
}

/// The critical value of the w-test for `n` readings: in one good survey of a hundred, one good reading is
/// accused. z = Φ⁻¹(1 − 0.01/(2n)).
pub fn critical_w(n: usize) -> f64 {
    -normal_quantile(0.005 / n.max(1) as f64)
}
