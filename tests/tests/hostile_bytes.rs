//! Bytes from outside: bombs, parts written by hand, and good bytes made bad by the thousand.
//!
//! `HOSTILE_SEED` and `HOSTILE_CASES` say with which seed and how many; without them it is always the same.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

#[path = "hostile_bytes/bombs.rs"]
mod bombs;
#[path = "hostile_bytes/handmade.rs"]
mod handmade;
#[path = "hostile_bytes/mutated.rs"]
mod mutated;

/// A panic cannot be caught where it ends the program.
#[test]
fn no_profile_ends_the_program_at_a_panic() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    for file in ["Cargo.toml", ".cargo/config.toml"] {
        let text = std::fs::read_to_string(root.join(file)).unwrap_or_default();
        assert!(file != "Cargo.toml" || text.contains("[workspace]"));
        for line in text.lines() {
            let setting = line
                .split('#')
                .next()
                .unwrap_or_default()
                .replace([' ', '\t'], "");
            let aborts = setting.contains("panic=") && setting.contains("abort");
            assert!(
                !aborts,
                "{file}: {line}: the guard of the ledger could not catch anything"
            );
        }
    }
    assert!(std::panic::catch_unwind(|| panic!("caught")).is_err());
}
