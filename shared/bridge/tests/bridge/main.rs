//! The bridge as a browser, or somebody who is none, meets it: over a socket.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

mod client;
mod commands;
mod pages;
mod pictures;
mod refusals;
