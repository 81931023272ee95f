//! The command line, `trammel`: reads files, calls `desk`, lays out what it answers. It computes nothing.
//!
//! Invariant: with `--json -`, and with the `--json` of a job, only JSON goes to standard output; what is wrong goes to standard error.

mod ask;
mod at;
mod compare;
mod demo;
mod entries;
mod files;
mod job;
mod log;
mod look;
mod order;
mod photo;
mod serve;
mod sheet;
mod solve;
mod wall;

use std::process::ExitCode;

use ask::{Ask, Command};
use at::Failure;

/// The sheets or options cannot be used.
const UNUSABLE: u8 = 2;
/// Nothing can be solved.
const UNSOLVABLE: u8 = 3;
/// The store cannot be used.
const WITHOUT_STORE: u8 = 4;

fn main() -> ExitCode {
    let asked = Ask::of(log::minus_hidden(std::env::args_os()));
    let place = &asked.place;
    let status = match &asked.command {
        Command::Job(asked) => job::run(place, asked),
        Command::Read(asked) => log::read(place, asked),
        Command::Reading(asked) => log::reading(place, asked),
        Command::Point(asked) => entries::point(place, asked),
        Command::Instrument(asked) => entries::instrument(place, asked),
        Command::Photo(asked) => photo::run(place, asked),
        Command::Wall(asked) => wall::run(place, asked),
        Command::Adjust(asked) => solve::run(asked).map_err(Failure::from),
        Command::Order(asked) => order::run(asked).map_err(Failure::from),
        Command::Compare(asked) => compare::run(asked).map_err(Failure::from),
        Command::Demo(_) => demo::run(place),
        Command::Serve(asked) => serve::run(place, asked),
    };
    status.unwrap_or_else(|failure| at::fail(&failure))
}
