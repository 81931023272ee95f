//! `cargo +nightly fuzz run sheets` in this folder's parent. What it finds goes to `../crashers/sheets`, where the
//! stable tests replay it.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    // Big inputs only find that big surveys take long.
    if bytes.len() < 4096 {
        assert!(!trials::sheets::feed(bytes).is_empty());
    }
});
