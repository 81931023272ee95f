//! Jobs on a device through the binary: the store, the readings, photos, job files, what is refused and how.

mod device;
mod exchange;
mod keeping;
mod looks;
mod measuring;
mod serving;
mod telling;
mod wall;

use device::Device;

/// A shell of four points on three tapes and more, with a slope to tell it from its mirror image.
const SHELL: [&[&str]; 9] = [
    &["tape", "A", "B", "40", "in"],
    &["tape", "A", "C", "30", "in"],
    &["tape", "B", "C", "50", "in"],
    &["tape", "A", "D", "20", "in"],
    &["tape", "B", "D", "44.7214", "in"],
    &["tape", "C", "D", "36.0555", "in"],
    &["rise", "A", "B", "0", "in"],
    &["rise", "A", "C", "0", "in"],
    &["rise", "A", "D", "20", "in"],
];

fn logged_shell(device: &Device) {
    device.done(&["job", "new", "shell", "--unit", "in", "--by", "Anna"]);
    for reading in SHELL {
        device.done(&[&["read"], reading].concat());
    }
}
