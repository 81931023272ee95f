//! What the rooms of the app ask of the desk, through the table that every shell calls.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

mod device;
mod doubts;
mod epochs;
mod measure;
mod photos;
mod shape;
mod show;
mod wall;

use std::path::Path;

use desk::{Call, Code, Desk, Device};
use serde_json::{Value, json};
use tempfile::TempDir;

fn open(folder: &Path) -> Desk {
    Desk::open(folder, Box::new(Device)).unwrap()
}

/// A desk of its own, and where it lives.
fn fresh() -> (TempDir, Desk) {
    let folder = tempfile::tempdir().unwrap();
    let desk = open(folder.path());
    (folder, desk)
}

/// A desk with the demo job alone: 44 points, 230 readings, three slips and a point that two tapes hold.
fn with_demo() -> (TempDir, Desk) {
    let (folder, mut desk) = fresh();
    does(&mut desk, "demo", json!({}));
    (folder, desk)
}

fn does(desk: &mut Desk, name: &str, ask: Value) -> Value {
    let call = Call { ask, bytes: vec![] };
    let reply = desk.call(name, call);
    reply.unwrap_or_else(|refusal| panic!("{name}: {refusal}")).answer
}

fn code(desk: &mut Desk, name: &str, ask: Value) -> Code {
    let call = Call { ask, bytes: vec![] };
    desk.call(name, call).unwrap_err().code
}

fn acts(desk: &mut Desk, act: Value) -> Value {
    does(desk, "act", json!({"act": act, "by": "Ana"}))
}

fn tape(desk: &mut Desk, a: &str, b: &str, value: &str, again: &str) -> Value {
    let reading = json!({"kind": "tape", "points": [a, b], "value": value, "again": again});
    does(desk, "log-reading", json!({"by": "Ana", "reading": reading}))
}

/// The one of a list whose field says so.
fn one<'a>(list: &'a Value, field: &str, is: &str) -> &'a Value {
    let list = list.as_array().unwrap();
    let found = list.iter().find(|it| it[field] == is);
    found.unwrap_or_else(|| panic!("nothing has {field} {is}"))
}
