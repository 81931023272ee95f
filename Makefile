# Trammel. `make run` shows it, `make test` checks it, `make bench` times it, `make soak` tries
# the store at length, `make fmt` tidies it,
# `make wire` writes the screens' types.

SHELL := bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help
.PHONY: help run test bench soak fmt wire linker rust components scipy

# Says what can be made.
help:
	@echo "make run    build Trammel and solve the demo job here in the terminal"
	@echo "make test   formatting, lints, every test, the documentation"
	@echo "make bench  time the solver and the log, beside SciPy where that can be had"
	@echo "make soak   kill, damage and fill the store a thousand times and more (some 10 minutes)"
	@echo "make fmt    format the code"
	@echo "make wire   write what the screens know of the desk's commands, after a change of those"

# Builds Trammel and solves the demo job, which is kept in ./demo-store to be gone on with.
run: linker rust
	cargo run --release --locked --quiet -p cli --bin trammel -- demo --store demo-store

# Every check. Nothing may be left: a warning is a failure.
test: linker rust components
	cargo fmt --all --check
	cargo clippy --workspace --all-targets --locked -- -D warnings
	cargo test --workspace --locked
	cargo check --locked -p ledger --no-default-features
	RUSTDOCFLAGS="-D warnings" cargo doc --workspace --no-deps --document-private-items --locked

# Times the solver and the log. SciPy only serves for comparison; without it the bench runs all the same and says so.
bench: linker rust scipy
	cargo run --release --locked -p trials --example bench
	cargo run --release --locked -p trials --example log_times

# Tries the store at length: a thousand kills, failing disks and damaged files. TRAMMEL_SEED=N begins elsewhere; each
# trial prints its seed.
soak: export TRAMMEL_KILLS ?= 1000
soak: export TRAMMEL_FAULTS ?= 1000
soak: export TRAMMEL_DAMAGES ?= 2000
soak: linker rust
	cargo test --locked -p trials --test kills --test full_disk -- --nocapture
	cargo test --locked -p ledger store::tests::damage -- --nocapture

# Formats every crate.
fmt: rust components
	cargo fmt --all

# Writes ui/src/gen from the desk's command table. A test says when it is to be done.
wire: linker rust
	TRAMMEL_WRITE=1 cargo test --locked --quiet -p desk --lib wire_types

# Rust comes with cc as its linker. On Debian that is build-essential; fetched only where it is missing.
linker:
	@if command -v cc >/dev/null; then exit 0; fi; \
	if [ "$$(id -u)" = 0 ]; then as_root=; \
	elif command -v sudo >/dev/null; then as_root=sudo; \
	else echo "There is no C linker (cc). As root: apt-get install build-essential" >&2; exit 1; fi; \
	echo "There is no C linker (cc): installing build-essential."; \
	$$as_root apt-get update -qq && $$as_root apt-get install -y -qq build-essential

# Rust itself is not installed behind anybody's back.
rust:
	@command -v cargo >/dev/null || { echo "There is no cargo. Install Rust from https://rustup.rs and run make again." >&2; exit 1; }

# The parts of Rust that format and lint.
components: rust
	@cargo fmt --version >/dev/null 2>&1 || { echo "rustfmt is missing. Run: rustup component add rustfmt" >&2; exit 1; }
	@cargo clippy --version >/dev/null 2>&1 || { echo "clippy is missing. Run: rustup component add clippy" >&2; exit 1; }

# NumPy and SciPy in .venv, for the comparison only. Whatever fails here is told and does not stop the bench.
scipy:
	@if .venv/bin/python -c 'import numpy, scipy' 2>/dev/null; then exit 0; fi; \
	if ! python3 -c 'import venv, ensurepip' 2>/dev/null && command -v apt-get >/dev/null; then \
		if [ "$$(id -u)" = 0 ]; then apt-get update -qq && apt-get install -y -qq python3-venv || true; \
		elif command -v sudo >/dev/null; then sudo apt-get update -qq && sudo apt-get install -y -qq python3-venv || true; fi; \
	fi; \
	if python3 -m venv .venv && .venv/bin/python -m pip install --quiet numpy scipy; then exit 0; fi; \
	echo "SciPy cannot be had here: the bench runs without the comparison." >&2
