# Trammel. `make run` shows it, `make test` checks it, `make bench` times it, `make soak` tries
# the store at length, `make fmt` tidies it.

SHELL := bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help
.PHONY: help run run-window run-served test ui ui-checks wire bench soak fmt
.PHONY: linker rust components node webview browser scipy

# Says what can be made.
help:
	@echo "make run    build Trammel and open its window with the demo job; without a display, serve it"
	@echo "make test   formatting, lints, every test, the documentation, journeys through the screens"
	@echo "make ui     build the pages, where something of them is newer"
	@echo "make wire   write the types and tables of the pages anew from the Rust ones"
	@echo "make pictures  a picture of every screen, at three sizes in both themes"
	@echo "make bench  time the solver, the log and the screens, beside SciPy where that can be had"
	@echo "make soak   kill, damage and fill the store a thousand times and more (some 10 minutes)"
	@echo "make fmt    format the code"

# The demo job in ./demo-store, to be gone on with: in the window where there is a display, else for a browser.
run: export TRAMMEL_STORE ?= demo-store
run: linker rust ui $(if $(or $(DISPLAY),$(WAYLAND_DISPLAY),$(filter-out Linux,$(shell uname))),run-window,run-served)

run-window: webview
	cargo run --release --locked --quiet -p trammel-app -- --demo

run-served:
	cargo run --release --locked --quiet -p cli --bin trammel -- serve --demo

# Every check. Nothing may be left: a warning is a failure.
test: linker rust components webview ui ui-checks
	cargo fmt --all --check
	cargo clippy --workspace --all-targets --locked -- -D warnings
	cargo test --workspace --locked
	cargo check --locked -p ledger --no-default-features
	RUSTDOCFLAGS="-D warnings" cargo doc --workspace --no-deps --document-private-items --locked
	$(MAKE) journeys

# The pages, built into ui/dist, from where the window and the bridge take them.
UI_SOURCES := $(shell find ui/src ui/public -type f 2>/dev/null) $(wildcard ui/*.html ui/*.json ui/*.js ui/*.ts)

ui: ui/dist/index.html

ui/dist/index.html: ui/node_modules/.package-lock.json $(UI_SOURCES)
	cd ui && npm run --silent build

ui/node_modules/.package-lock.json: ui/package-lock.json | node
	cd ui && npm ci --no-audit --no-fund
	@touch $@

# Types, and the tests of what the pages do by themselves.
ui-checks: ui/node_modules/.package-lock.json
	cd ui && npm run --silent check
	cd ui && npm run --silent test

# What the pages know of the desk, written anew from the Rust types. A test compares.
wire: linker rust
	TRAMMEL_WRITE=1 cargo test --locked --quiet -p desk --lib wire_types

# Journeys through the screens, in a browser and in the window.
include tests/journeys/journeys.mk
journeys-tools window-tools: browser

# Times the solver, the log and the screens. SciPy only serves for comparison; without it the bench runs all the same and
# says so.
bench: linker rust scipy webview ui
	cargo run --release --locked -p trials --example bench
	cargo run --release --locked -p trials --example log_times
	cargo build --release --locked -p cli -p trammel-app
	$(MAKE) bench-screens

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

# $(call debian,WHAT,PACKAGES): WHAT is missing; it is installed where there is a Debian to do so.
define debian
	if ! command -v apt-get >/dev/null; then \
		echo "$(1) is missing. Install what your system calls: $(2)" >&2; exit 1; \
	elif [ "$$(id -u)" = 0 ]; then as_root=; \
	elif command -v sudo >/dev/null; then as_root=sudo; \
	else echo "$(1) is missing. As root: apt-get install $(2)" >&2; exit 1; fi; \
	echo "$(1) is missing: installing $(2)."; \
	$$as_root apt-get update -qq && $$as_root apt-get install -y -qq $(2)
endef

# Rust comes with cc as its linker.
linker:
	@if command -v cc >/dev/null; then exit 0; fi; $(call debian,A C linker (cc),build-essential)

# What the window is built with. Where it is not Linux, the system has it.
webview:
	@if [ "$$(uname)" != Linux ] || pkg-config --exists webkit2gtk-4.1 2>/dev/null; then exit 0; fi; \
	$(call debian,WebKitGTK to build with,pkg-config libwebkit2gtk-4.1-dev)

# What the screens are tried with: a browser, a display without a screen, a driver for the window.
browser:
	@if command -v chromium >/dev/null && command -v Xvfb >/dev/null && command -v WebKitWebDriver >/dev/null; then exit 0; fi; \
	$(call debian,Chromium$(comma) Xvfb or WebKitWebDriver,chromium xvfb webkit2gtk-driver)

comma := ,

# Rust itself is not installed behind anybody's back, nor is Node.js.
rust:
	@command -v cargo >/dev/null || { echo "There is no cargo. Install Rust from https://rustup.rs and run make again." >&2; exit 1; }

node:
	@node -e 'const [major, minor] = process.versions.node.split("."); process.exit(major > 20 || major == 20 && minor >= 19 ? 0 : 1)' \
		2>/dev/null && command -v npm >/dev/null || \
		{ echo "The pages are built with Node.js 20.19 or newer and npm. Install them from https://nodejs.org and run make again." >&2; exit 1; }

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
