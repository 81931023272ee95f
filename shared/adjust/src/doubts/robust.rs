//! A robust solution: near the truth although some readings are far off. The search begins there.

use crate::fit::Fit;
use crate::network::{Configuration, Network};
use crate::observe::Vec3;
use crate::solve::{Loss, NEAR, cost, minimise, misfit, predicted};
use crate::start::system_for;

/// The scales with which the search begins, in standard deviations.
pub(crate) const SCALES: [f64; 3] = [10.0, 4.0, 2.5];

/// Where the search begins: a robust solution from where everything in leads, or from the rough positions where that
/// comes nearer, and the readings that it leaves far off.
pub(crate) fn beginning(network: &Network, all: &Fit) -> (Configuration, Vec<usize>) {
    let from_all = solution(network, all, all.at.clone(), &SCALES);
    let mut rough = all.at.clone();
    for (place, known) in rough.positions.iter_mut().zip(&network.rough) {
        if let [Some(x), Some(y), Some(z)] = *known {
            *place = Vec3::new(x, y, z);
        }
    }
    let from_rough = solution(network, all, rough, &[100.0, 10.0, 4.0, 2.5]);
    let robust = |at: &Configuration| cost(network, &all.active, at, Loss::Robust(4.0));
    if robust(&from_rough.0) < robust(&from_all.0) * (1.0 - 1e-9) {
        from_rough
    } else {
        from_all
    }
}

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
