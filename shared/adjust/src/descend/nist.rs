//! The solver's core against certified values: three nonlinear sets of NIST/ITL StRD (Misra1a, lower; MGH09 and
//! MGH10, higher difficulty), from both published starts, with their standard deviations. MGH09 and MGH10 were
//! seen whole; of Misra1a the certified row and the second start are from memory.

use super::{Effort, Model, ROUNDING, descend};
use crate::sparse::Pattern;

struct Curve {
    x: Vec<f64>,
    y: Vec<f64>,
    /// The model's value and its derivatives.
    model: fn(f64, &[f64]) -> (f64, Vec<f64>),
    pattern: Pattern,
}

impl Curve {
    fn new(x: Vec<f64>, y: Vec<f64>, unknowns: usize, model: fn(f64, &[f64]) -> (f64, Vec<f64>)) -> Curve {
        let rows: Vec<Vec<usize>> = x.iter().map(|_| (0..unknowns).collect()).collect();
        Curve {
            x,
            y,
            model,
            pattern: Pattern::new(unknowns, &rows),
        }
    }
}

impl Model for Curve {
    type At = Vec<f64>;

    fn pattern(&self) -> &Pattern {
        &self.pattern
    }

    fn cost(&self, at: &Vec<f64>) -> f64 {
        let sum: f64 = self
            .x
            .iter()
            .zip(&self.y)
            .map(|(&x, y)| ((self.model)(x, at).0 - y).powi(2))
            .sum();
        if sum.is_nan() { f64::INFINITY } else { sum }
    }

    fn normal_equations(&self, at: &Vec<f64>) -> (Vec<f64>, Vec<f64>) {
        let mut matrix = self.pattern.zeros();
        let mut gradient = vec![0.0; at.len()];
        for (row, (&x, y)) in self.x.iter().zip(&self.y).enumerate() {
            let (value, slope) = (self.model)(x, at);
            self.pattern.add_row(&mut matrix, row, &slope, 1.0);
            for (g, s) in gradient.iter_mut().zip(&slope) {
                *g += s * (value - y);
            }
        }
        (matrix, gradient)
    }

    fn moved(&self, at: &Vec<f64>, step: &[f64]) -> Vec<f64> {
        at.iter().zip(step).map(|(a, s)| a + s).collect()
    }

    fn size(&self, at: &Vec<f64>, step: &[f64]) -> f64 {
        at.iter()
            .zip(step)
            .map(|(a, s)| (s / a).abs())
            .fold(0.0, f64::max)
    }
}

/// Solves from each start; 6 digits of the parameters and 4 of their deviations must agree.
fn check(curve: &Curve, starts: &[&[f64]], certified: &[f64], deviations: &[f64], sum: f64) {
    for &start in starts {
        let effort = Effort {
            first_damping: 1e-3,
            most: 20_000,
            close: 1e-12,
        };
        let solved = descend(curve, start.to_vec(), effort);
        for (ours, theirs) in solved.at.iter().zip(certified) {
            assert!(
                (ours / theirs - 1.0).abs() < 5e-7,
                "from {start:?}: {ours} against {theirs}"
            );
        }
        assert!(
            (solved.cost / sum - 1.0).abs() < 1e-6,
            "from {start:?}: sum {} against {sum}",
            solved.cost
        );
        let (matrix, _) = curve.normal_equations(&solved.at);
        let factor = curve.pattern.factor(&matrix, ROUNDING);
        let inverse = curve.pattern.selected_inverse(&factor);
        let variance = solved.cost / (curve.x.len() - certified.len()) as f64;
        for (k, theirs) in deviations.iter().enumerate() {
            let ours = (variance * curve.pattern.inverse_entry(&factor, &inverse, k, k)).sqrt();
            assert!(
                (ours / theirs - 1.0).abs() < 5e-5,
                "from {start:?}: deviation {ours} against {theirs}"
            );
        }
    }
}

#[test]
fn misra1a() {
    let curve = Curve::new(
        vec![
            77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0,
        ],
        vec![
            10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78,
        ],
        2,
        |x, b| {
            let e = (-b[1] * x).exp();
            (b[0] * (1.0 - e), vec![1.0 - e, b[0] * x * e])
        },
    );
    check(
        &curve,
        &[&[500.0, 0.0001], &[250.0, 0.0005]],
        &[2.3894212918e2, 5.5015643181e-4],
        &[2.7070075241, 7.2668688436e-6],
        1.2455138894e-1,
    );
}

#[test]
fn mgh09() {
    let curve = Curve::new(
        vec![
            4.0, 2.0, 1.0, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625,
        ],
        vec![
            0.1957, 0.1947, 0.1735, 0.16, 0.0844, 0.0627, 0.0456, 0.0342, 0.0323, 0.0235, 0.0246,
        ],
        4,
        |x, b| {
            let (top, bottom) = (x * x + x * b[1], x * x + x * b[2] + b[3]);
            let value = b[0] * top / bottom;
            (
                value,
                vec![
                    top / bottom,
                    b[0] * x / bottom,
                    -value * x / bottom,
                    -value / bottom,
                ],
            )
        },
    );
    check(
        &curve,
        &[&[25.0, 39.0, 41.5, 39.0], &[0.25, 0.39, 0.415, 0.39]],
        &[1.9280693458e-1, 1.9128232873e-1, 1.2305650693e-1, 1.3606233068e-1],
        &[1.1435312227e-2, 1.9633220911e-1, 8.0842031232e-2, 9.0025542308e-2],
        3.0750560385e-4,
    );
}

#[test]
fn mgh10() {
    let curve = Curve::new(
        (0..16).map(|i| 50.0 + 5.0 * f64::from(i)).collect(),
        vec![
            34780.0, 28610.0, 23650.0, 19630.0, 16370.0, 13720.0, 11540.0, 9744.0, 8261.0, 7030.0, 6005.0,
            5147.0, 4427.0, 3820.0, 3307.0, 2872.0,
        ],
        3,
        |x, b| {
            let e = (b[1] / (x + b[2])).exp();
            (
                b[0] * e,
                vec![
                    e,
                    b[0] * e / (x + b[2]),
                    -b[0] * e * b[1] / ((x + b[2]) * (x + b[2])),
                ],
            )
        },
    );
    check(
        &curve,
        &[&[2.0, 400_000.0, 25_000.0], &[0.02, 4000.0, 250.0]],
        &[5.6096364710e-3, 6.1813463463e3, 3.4522363462e2],
        &[1.5687892471e-4, 2.3309021107e1, 7.8486103508e-1],
        8.7945855171e1,
    );
}
