//! Dependencies run one way, the pure crates stay pure, and the house rules that a machine can read hold.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use cargo_metadata::{Metadata, MetadataCommand, Package};

/// For each crate the crates of ours that it may need, development included.
const ALLOWED: [(&str, &[&str]); 9] = [
    ("survey", &[]),
    ("adjust", &["survey"]),
    ("ledger", &["survey"]),
    ("handoff", &["survey"]),
    ("desk", &["survey", "adjust", "ledger", "handoff"]),
    ("bridge", &["desk"]),
    ("cli", &["desk", "bridge"]),
    ("src-tauri", &["desk"]),
    ("trials", &["survey", "adjust", "ledger", "desk"]),
];

/// The crates without files, clock, randomness or threads.
const PURE: [&str; 3] = ["survey", "adjust", "handoff"];

fn metadata() -> Metadata {
    let manifest = Path::new(env!("CARGO_MANIFEST_DIR")).join("../Cargo.toml");
    MetadataCommand::new()
        .manifest_path(manifest)
        .no_deps()
        .exec()
        .unwrap()
}

/// Packages by the name that the rules know them by: the folder, or `trials`.
fn packages(metadata: &Metadata) -> BTreeMap<String, &Package> {
    metadata
        .workspace_packages()
        .into_iter()
        .map(|package| {
            let folder = package
                .manifest_path
                .parent()
                .and_then(|p| p.file_name())
                .unwrap();
            (
                if folder == "tests" { "trials" } else { folder }.to_owned(),
                package,
            )
        })
        .collect()
}

fn root(metadata: &Metadata) -> PathBuf {
    metadata.workspace_root.clone().into_std_path_buf()
}

fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    entries.sort();
    for path in entries {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() && name != "target" && !name.starts_with('.') {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

fn all_rust_files(metadata: &Metadata) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for folder in ["shared", "src-tauri", "tests"] {
        rust_files(&root(metadata).join(folder), &mut files);
    }
    assert!(
        files.len() > 20,
        "only {} files: the search looks in the wrong place",
        files.len()
    );
    files
}

#[test]
fn only_the_allowed_edges() {
    let metadata = metadata();
    let packages = packages(&metadata);
    let ours: BTreeMap<&str, &str> = packages
        .iter()
        .map(|(key, package)| (package.name.as_str(), key.as_str()))
        .collect();
    let known: Vec<&str> = ALLOWED.iter().map(|(name, _)| *name).collect();
    for (name, package) in &packages {
        let (_, allowed) = ALLOWED
            .iter()
            .find(|(known, _)| known == name)
            .unwrap_or_else(|| panic!("{name} is not among {known:?}: say what it may need"));
        for dependency in &package.dependencies {
            let Some(needed) = ours.get(dependency.name.as_str()) else {
                continue;
            };
            assert!(
                allowed.contains(needed),
                "{name} must not need {needed} ({:?})",
                dependency.kind
            );
        }
    }
    assert_eq!(packages.len(), ALLOWED.len());
}

#[test]
fn every_crate_takes_the_lints_of_the_workspace() {
    for (name, package) in packages(&metadata()) {
        let manifest = std::fs::read_to_string(&package.manifest_path).unwrap();
        let lints: String = manifest
            .split_once("[lints]")
            .map(|(_, rest)| {
                rest.lines()
                    .skip(1)
                    .take_while(|line| !line.starts_with('['))
                    .collect()
            })
            .unwrap_or_default();
        assert_eq!(lints.replace(' ', ""), "workspace=true", "{name}");
    }
}

#[test]
fn the_pure_crates_need_nothing_that_reaches_outside() {
    let refused = [
        "serde_json",
        "tempfile",
        "walkdir",
        "memmap2",
        "notify",
        "tokio",
        "rayon",
        "rand",
        "getrandom",
        "chrono",
        "time",
        "jiff",
        "reqwest",
        "ureq",
        "rusqlite",
        "fs-err",
        "dirs",
        "num_cpus",
        "crossbeam",
    ];
    let metadata = metadata();
    let packages = packages(&metadata);
    for name in PURE {
        for dependency in &packages[name].dependencies {
            let normal = dependency.kind == cargo_metadata::DependencyKind::Normal;
            assert!(
                !normal || !refused.contains(&dependency.name.as_str()),
                "{name} needs {}",
                dependency.name
            );
        }
        reaches_nothing_outside(&metadata, name, |_| true);
    }
}

#[test]
fn the_document_half_of_the_ledger_is_fit_for_a_browser() {
    let metadata = metadata();
    let packages = packages(&metadata);
    let sqlite = packages["ledger"]
        .dependencies
        .iter()
        .find(|dependency| dependency.name == "rusqlite");
    assert!(sqlite.unwrap().optional, "the store is a feature");
    let in_store = |file: &Path| file.iter().any(|part| part == "store" || part == "store.rs");
    reaches_nothing_outside(&metadata, "ledger", |file| !in_store(file));
}

/// No file of a crate names what a browser or a pure function does not have.
fn reaches_nothing_outside(metadata: &Metadata, name: &str, looked_at: impl Fn(&Path) -> bool) {
    let mut files = Vec::new();
    rust_files(&root(metadata).join("shared").join(name).join("src"), &mut files);
    files.retain(|file| looked_at(file));
    assert!(!files.is_empty());
    let outside = [
        "std::fs",
        "std::net",
        "std::process",
        "std::env",
        "std::time",
        "std::thread",
    ];
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        for (line, code) in text.lines().enumerate() {
            let code = code.trim_start();
            let found = outside
                .iter()
                .find(|word| !code.starts_with("//") && code.contains(**word));
            assert!(
                found.is_none(),
                "{}:{}: {found:?} in a crate that must not reach outside",
                file.display(),
                line + 1
            );
        }
    }
}

#[test]
fn no_test_is_switched_off() {
    // Put together here, so that this file does not find itself.
    let ignored = ["#[", "ignore"].concat();
    let test = ["#[", "test]"].concat();
    for file in all_rust_files(&metadata()) {
        let text = std::fs::read_to_string(&file).unwrap();
        for (line, code) in text.lines().enumerate() {
            let code = code.trim_start();
            let place = format!("{}:{}", file.display(), line + 1);
            let in_attribute = code.starts_with("#[cfg_attr") && code.contains("ignore");
            assert!(
                !code.contains(&ignored) && !in_attribute,
                "{place}: a test that is ignored"
            );
            let comment = code.starts_with("//") && !code.starts_with("///") && !code.starts_with("//!");
            assert!(
                !(comment && code.contains(&test)),
                "{place}: a test that is commented out"
            );
        }
    }
}

#[test]
fn the_developers_page_names_every_crate() {
    let metadata = metadata();
    let page = std::fs::read_to_string(root(&metadata).join("DEVELOPERS.md")).unwrap();
    for (name, package) in packages(&metadata) {
        let path = package.manifest_path.parent().unwrap();
        let path = path.strip_prefix(&metadata.workspace_root).unwrap();
        assert!(
            page.contains(path.as_str()),
            "DEVELOPERS.md says nothing of {name} in {path}"
        );
    }
}
