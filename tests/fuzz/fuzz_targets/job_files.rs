//! `cargo +nightly fuzz run job_files` in this folder's parent. What it finds goes to `../crashers/job_files`, where the stable
//! tests replay it. No entry may make it panic.
#![no_main]

use std::sync::Once;

use libfuzzer_sys::fuzz_target;

static HOOK: Once = Once::new();

fuzz_target!(|bytes: &[u8]| {
    // The fuzzer's hook ends the program at every panic, also at those that are caught.
    HOOK.call_once(|| drop(std::panic::take_hook()));
    let fed = std::panic::catch_unwind(|| trials::hostile::feed_job_file(bytes));
    if fed.is_err() {
        std::process::abort();
    }
});
