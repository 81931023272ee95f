//! The command line, `trammel`.

fn main() {}
