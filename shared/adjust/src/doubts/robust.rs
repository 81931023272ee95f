//! A robust solution: near the truth although some readings are far off. The search begins there.

use crate::fit::Fit;
use crate::network::{Configuration, Network};
use crate::solve::{Loss, NEAR, minimise, misfit, predicted};
use crate::start::system_for;

/// A robust solution from a beginning, with falling scales in standard deviations, and the readings that it leaves
/// far off.
pub(crate) fn solution(
    network: &Network,
    all: &Fit,
    start: Configuration,
    scales: &[f64],
) -> (Configuration, Vec<usize>) {
    let system = system_for(network, &all.active, &start.positions);
    let mut at = start;
    for &scale in scales {
        at = minimise(network, &system, &all.active, at, Loss::Robust(scale), NEAR).at;
    }
    let far = network
        .observations
        .iter()
        .enumerate()
        .filter(|(index, o)| {
            all.active[*index] && !o.kept && (misfit(o, predicted(o, &at).value, &at) / o.sd).abs() > 4.0
        })
        .map(|(index, _)| index)
        .collect();
    (at, far)
}

/// Whether more than one reading in eight is far off even in a robust solution: then it is not slips, but the
/// arrangement that is wrong, and holding out readings would only hide it.
pub(crate) fn hopeless(all: &Fit, far: &[usize]) -> bool {
    far.len() > 8 && 8 * far.len() > all.readings()
}
