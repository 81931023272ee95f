//! The command line, `trammel`: reads files, calls `desk`, lays out what it answers. It computes nothing.
//!
//! Invariant: with `--json -` only JSON goes to standard output; what is wrong goes to standard error.

mod ask;
mod compare;
mod demo;
mod files;
mod look;
mod order;
mod sheet;
mod solve;

use std::process::ExitCode;

use ask::{Ask, Command};
use clap::Parser;

/// The sheets or options cannot be used.
const UNUSABLE: u8 = 2;
/// Nothing can be solved.
const UNSOLVABLE: u8 = 3;

fn main() -> ExitCode {
    let status = match Ask::parse().command {
        Command::Adjust(asked) => solve::run(&asked),
        Command::Order(asked) => order::run(&asked),
        Command::Compare(asked) => compare::run(&asked),
        Command::Demo(asked) => demo::run(&asked),
    };
    status.unwrap_or_else(|message| {
        look::complain(&message);
        ExitCode::from(UNUSABLE)
    })
}
