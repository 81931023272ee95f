//! Simulated surveys and reference cases for the tests: what crosses crates.

pub mod cases;
pub mod causes;
mod crew;
pub mod crew_log;
pub mod every;
pub mod hard;
pub mod hostile;
pub mod hull;
pub mod more;
pub mod net;
pub mod observe;
pub mod released;
pub mod replicas;
pub mod rigid;
pub mod sheets;
pub mod shell;
pub mod slips;
pub mod start;
