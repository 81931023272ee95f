//! Names the commands that a page may be allowed, and sees that there are pages to compile in.

use std::path::{Path, PathBuf};

/// The commands of `src/commands.rs`. What is not listed here and in `capabilities` is refused.
const COMMANDS: &[&str] = &["desk", "work", "stop", "save"];

fn main() {
    if !Path::new("../ui/dist/index.html").is_file() {
        without_pages();
    }
    // A file that is not there makes cargo look again each time, until it is.
    println!("cargo::rerun-if-changed=../ui/dist/index.html");
    let attributes =
        tauri_build::Attributes::new().app_manifest(tauri_build::AppManifest::new().commands(COMMANDS));
    tauri_build::try_build(attributes).expect("the window's configuration is complete");
}

/// Compiles in a page that says how the pages are built. A clone is built by cargo alone, too.
fn without_pages() {
    let folder = PathBuf::from(std::env::var_os("OUT_DIR").expect("cargo says where")).join("no-pages");
    std::fs::create_dir_all(&folder).expect("cargo's own folder can be written");
    std::fs::write(folder.join("index.html"), NOT_BUILT).expect("cargo's own folder can be written");
    let instead = serde_json::json!({"build": {"frontendDist": folder}});
    println!("cargo::rustc-env=TAURI_CONFIG={instead}");
    println!("cargo::warning=the pages are not built: run make ui, then build again");
}

const NOT_BUILT: &str = "<!doctype html>
<html lang=\"en\"><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">
<title>Trammel</title>
<h1>The pages are not built yet</h1>
<p>Trammel runs, but its pages are missing. In the folder of its source, run <code>make ui</code>, which needs Node.js,
then build it again.
";
