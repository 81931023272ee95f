//! The document half: edits, undo, history, disputes, sheets.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

mod crew;
mod crooked;
mod disputes;
mod edits;
mod history;
mod import;
mod kept;
mod points;
mod schema;
mod undo;
