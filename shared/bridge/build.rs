//! Pages that are built after this crate was compiled are taken in by the next build.

fn main() {
    // A file that is not there makes cargo look again each time, until it is.
    println!("cargo::rerun-if-changed=../../ui/dist/index.html");
}
