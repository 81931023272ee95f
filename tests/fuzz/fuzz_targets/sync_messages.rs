//! `cargo +nightly fuzz run sync_messages` in this folder's parent. What it finds goes to `../crashers/sync_messages`, where the stable
//! tests replay it. Automerge's own panics are caught by the guard: the fuzzer sees only what gets past it.
#![no_main]

use std::sync::Once;

use libfuzzer_sys::fuzz_target;

static HOOK: Once = Once::new();

fuzz_target!(|bytes: &[u8]| {
    // The fuzzer's hook ends the program at every panic, also at those that are caught.
    HOOK.call_once(|| drop(std::panic::take_hook()));
    let fed = std::panic::catch_unwind(|| {
        trials::hostile::feed_message(bytes);
        // A fuzzer does not guess checksums: the same with right ones, as the replay does it too.
        trials::hostile::feed_message(&trials::hostile::mutate::repaired(bytes));
    });
    if fed.is_err() {
        std::process::abort();
    }
});
