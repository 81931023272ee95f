# Journeys through the screens: in a browser over the bridge, and in the window itself. Included by the Makefile.

JOURNEYS := tests/journeys
TOOLS := $(CURDIR)/target/tools/bin
export TAURI_DRIVER := $(TOOLS)/tauri-driver

.PHONY: journeys pictures bench-screens journeys-tools window-tools

# Every journey. What a failure leaves behind lies in tests/journeys/failed.
journeys: journeys-tools window-tools
	cd $(JOURNEYS) && node run.mjs

# A picture of every screen, at three sizes in two themes, in tests/journeys/pictures.
pictures: linker rust ui journeys-tools
	cargo build --locked --quiet -p cli
	cd $(JOURNEYS) && node pictures.mjs

# How long a person waits, and how much memory it takes. The builds that people get, not the ones that are tested.
bench-screens: export TRAMMEL_BIN := $(CURDIR)/target/release/trammel
bench-screens: export TRAMMEL_WINDOW_BIN := $(CURDIR)/target/release/trammel-window
bench-screens: journeys-tools window-tools
	cd $(JOURNEYS) && node bench.mjs

journeys-tools: $(JOURNEYS)/node_modules/.package-lock.json
$(JOURNEYS)/node_modules/.package-lock.json: $(JOURNEYS)/package-lock.json
	cd $(JOURNEYS) && npm ci --no-audit --no-fund
	touch $@

# What leads WebDriver into the window. The window is tried on Linux only.
window-tools: $(TAURI_DRIVER)
$(TAURI_DRIVER):
	cargo install tauri-driver --version '~2.0' --locked --root target/tools
