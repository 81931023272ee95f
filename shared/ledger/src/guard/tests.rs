//! What is taken, what is refused, and with which words. Mutated bytes by the thousand: `tests/tests/hostile_bytes.rs`.
#![allow(clippy::unwrap_used, reason = "tests: a panic is how they fail")]

mod bombs;
mod taken;
mod written;
