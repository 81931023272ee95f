//! Which readings are off: the smallest set that explains the rest, what explains as much, and what that does to
//! the points.
//!
//! The test of one reading is the w-test of W. Baarda (*A testing procedure for use in geodetic networks*, 1968):
//! residual over its own standard deviation. Several slips are looked for together ([`joint`]), on the survey
//! linearised where a robust solution puts it ([`linear`]); what is found is solved in full and looked at again
//! from there until nothing changes ([`set`]), also where a point may lie elsewhere ([`elsewhere`]). Causes that
//! several readings share count as one removal ([`causes`]). Then [`settle`] decides what is held out, what is unclear
//! and what nobody can tell. [`search`] is the one door.

mod causes;
mod elsewhere;
mod joint;
mod linear;
mod patch;
mod robust;
mod set;
mod settle;

use crate::fit::Fit;
use crate::network::Network;
pub(crate) use causes::Cause;
pub(crate) use causes::offsets::amount;
use causes::{labels, marks, offsets};
use set::{explained, smallest_set};
pub(crate) use settle::Group;
use survey::Survey;

/// A reading between this and the critical value is worth a second look.
pub(crate) const LOOK_AGAIN: f64 = 3.29;

/// What the search found.
#[derive(Debug, Clone)]
pub(crate) struct Doubts {
    /// The solution with everything held out that is to be held out.
    pub(crate) fit: Fit,
    /// Readings held out as suspects.
    pub(crate) suspects: Vec<usize>,
    /// Groups that cannot be told apart.
    pub(crate) groups: Vec<Group>,
    /// Causes that several readings share.
    pub(crate) causes: Vec<Cause>,
    /// The network with one more offset, where a cause is kept as an unknown; `fit` is then of it.
    pub(crate) network: Option<Network>,
    /// Something is off, and the readings cannot tell what.
    pub(crate) cannot_tell: bool,
    /// Readings beyond the critical value remain that no search could explain: the arrangement itself may be wrong.
    pub(crate) unexplained: bool,
}

impl Doubts {
    fn none(fit: &Fit) -> Doubts {
        Doubts {
            fit: fit.clone(),
            suspects: Vec::new(),
            groups: Vec::new(),
            causes: Vec::new(),
            network: None,
            cannot_tell: false,
            unexplained: false,
        }
    }

    fn unexplained(fit: &Fit) -> Doubts {
        Doubts {
            cannot_tell: true,
            unexplained: true,
            ..Doubts::none(fit)
        }
    }
}

/// Searches for the readings that are off. `all` is the solution with every reading in that the crew uses.
pub(crate) fn search(network: &Network, survey: &Survey, all: &Fit) -> Doubts {
    if explained(network, all) {
        return Doubts::none(all);
    }
    if all.readings() > patch::LARGE {
        return match patch::search(network, survey, all) {
            Some((found, causes)) => settle::settle(network, all, found, causes),
            None => Doubts::unexplained(all),
        };
    }
    let (at, far) = robust::solution(network, all, all.at.clone(), &robust::SCALES);
    let plain = if robust::hopeless(all, &far) {
        None
    } else {
        smallest_set(network, all, at.clone(), far)
    };
    let plain = plain.map(|found| causes_in(network, survey, all, found));
    if let Some(shared) = offsets::shared(network, survey, all, &at, plain.as_ref()) {
        return settle::settle_shared(network, survey, all, shared);
    }
    match plain {
        Some((found, causes)) => settle::settle(network, all, found, causes),
        None => Doubts::unexplained(all),
    }
}

/// Labels exchanged and marks moved among what is held out.
fn causes_in(network: &Network, survey: &Survey, all: &Fit, found: set::Found) -> (set::Found, Vec<Cause>) {
    let mut causes = labels::exchanged(network, survey, &found);
    let (found, moved) = marks::moved(network, survey, all, found, &causes);
    causes.extend(moved);
    (found, causes)
}
