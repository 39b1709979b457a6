//! The layers and the top level of the repo. One crate means the compiler will not guard them; this does.

use std::path::{Path, PathBuf};

/// Which modules a module may name. Every `crate::x` in `src/<module>/` must stand in its row.
const MAY_IMPORT: &[(&str, &[&str])] = &[
    ("source", &[]),
    ("diag", &["source"]),
    ("quantity", &[]),
    ("keys", &["source", "diag"]),
    ("reference", &["source", "diag", "quantity", "keys"]),
    ("input", &["source", "diag", "reference"]),
    ("lesson", &["source", "diag", "keys"]),
    ("recipe", &["source", "diag", "quantity", "keys", "reference", "lesson", "input"]),
    ("prose", &["source", "diag", "quantity", "reference"]),
    ("check", &["source", "diag", "quantity", "reference", "lesson", "recipe", "prose", "input", "kitchen"]),
    ("mend", &["source", "diag", "input", "check"]),
    ("kitchen", &["quantity", "reference", "recipe"]),
    ("render", &["source", "diag", "quantity", "reference", "lesson", "recipe", "check", "kitchen", "input", "prose"]),
    ("output", &["render"]),
    ("rehearse", &["source", "diag", "input", "check", "render"]),
];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = walkdir::WalkDir::new(folder)
        .into_iter()
        .map(|entry| entry.expect("src is readable").into_path())
        .filter(|path| path.extension().is_some_and(|end| end == "rs"))
        .collect();
    found.sort();
    found
}

/// Modules named by `crate::…` in a file's code; test modules and comments may name anything.
fn imports(text: &str) -> Vec<String> {
    let code = text.split("#[cfg(test)]").next().unwrap_or(text);
    let lines = code.lines().filter(|line| !line.trim_start().starts_with("//"));
    let mut found = Vec::new();
    for line in lines {
        for (at, _) in line.match_indices("crate::") {
            let rest = &line[at + "crate::".len()..];
            let name: String = rest.chars().take_while(|c| c.is_ascii_lowercase() || *c == '_').collect();
            if !name.is_empty() {
                found.push(name);
            }
        }
    }
    found
}

#[test]
fn every_module_imports_only_what_stands_before_it() {
    for (module, allowed) in MAY_IMPORT {
        for path in rust_files(&root().join("src").join(module)) {
            if path.file_name().is_some_and(|name| name == "tests.rs" || name.to_string_lossy().ends_with("_tests.rs"))
            {
                continue;
            }
            let text = std::fs::read_to_string(&path).expect("source files are text");
            for name in imports(&text) {
                let fine = name == *module || allowed.contains(&name.as_str());
                assert!(fine, "{} names crate::{name}", path.display());
            }
        }
    }
}

#[test]
fn every_module_has_its_row_here() {
    let rows: Vec<&str> = MAY_IMPORT.iter().map(|(module, _)| *module).chain(["cli"]).collect();
    for entry in std::fs::read_dir(root().join("src")).expect("src is a folder") {
        let entry = entry.expect("src is readable");
        let name = entry.file_name().to_string_lossy().into_owned();
        assert!(!entry.path().is_dir() || rows.contains(&name.as_str()), "src/{name} has no row");
    }
}

#[test]
fn the_disk_is_touched_only_at_the_rim() {
    for path in rust_files(&root().join("src")) {
        // The program that runs before the library is built is no part of it.
        let before = path == root().join("src/build.rs");
        let rim = before || ["input", "output"].iter().any(|module| path.starts_with(root().join("src").join(module)));
        let text = std::fs::read_to_string(&path).expect("source files are text");
        let code = text.split("#[cfg(test)]").next().unwrap_or(&text);
        assert!(rim || !code.contains("std::fs"), "{} touches the disk", path.display());
    }
}

#[test]
fn every_source_file_opens_with_what_it_is_for() {
    for path in rust_files(&root().join("src")) {
        let text = std::fs::read_to_string(&path).expect("source files are text");
        assert!(text.starts_with("//!"), "{} has no module docs", path.display());
    }
}

#[test]
fn the_top_level_shows_the_house_and_nothing_else() {
    let house = [
        "Cargo.toml",
        "Cargo.lock",
        "LICENSE",
        "README.md",
        "DEVELOPERS.md",
        "src",
        "content",
        "themes",
        "tests",
        "shared",
        "target",
    ];
    for entry in std::fs::read_dir(root()).expect("the repo is a folder") {
        let name = entry.expect("the repo is readable").file_name().to_string_lossy().into_owned();
        assert!(name.starts_with('.') || house.contains(&name.as_str()), "{name} stands at the top level");
    }
}

/// Licences that may stand beside ours: none of them asks anything of those who publish a site.
const LICENCES: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// The crates that this machine builds us from, as cargo lists them without a network.
fn crates() -> Vec<serde_json::Value> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let host = if cfg!(target_arch = "aarch64") { "aarch64-unknown-linux-gnu" } else { "x86_64-unknown-linux-gnu" };
    let output = std::process::Command::new(cargo)
        .args(["metadata", "--format-version", "1", "--offline", "--filter-platform", host])
        .current_dir(root())
        .output()
        .expect("cargo runs this test");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let all: serde_json::Value = serde_json::from_slice(&output.stdout).expect("cargo speaks JSON");
    let list = |value: &serde_json::Value| value.as_array().cloned().unwrap_or_default();
    let used: Vec<serde_json::Value> = list(&all["resolve"]["nodes"]).iter().map(|node| node["id"].clone()).collect();
    list(&all["packages"]).into_iter().filter(|one| used.contains(&one["id"])).collect()
}

/// Whether a licence, as SPDX writes them, may be chosen: `A OR B`, `A AND B`, the older `A/B`.
fn may_be_used(licence: &str) -> bool {
    let plain = licence.replace(['(', ')'], "").replace('/', " OR ");
    plain.split(" AND ").all(|part| part.split(" OR ").any(|one| LICENCES.contains(&one.trim())))
}

#[test]
fn every_crate_has_a_licence_that_asks_nothing_of_our_readers() {
    assert!(may_be_used("(MIT OR GPL-3.0) AND Unicode-3.0") && !may_be_used("MIT AND GPL-3.0") && !may_be_used(""));
    let crates = crates();
    assert!(crates.len() > 100);
    for one in &crates {
        let licence = one["license"].as_str().unwrap_or_default();
        assert!(may_be_used(licence), "{} {}: {licence:?}", one["name"], one["version"]);
    }
}

#[test]
fn no_crate_is_built_twice_without_a_reason() {
    let list = include_str!("data/duplicate-crates.tsv");
    let known: Vec<&str> =
        list.lines().filter(|line| !line.starts_with('#')).filter_map(|line| line.split('\t').next()).collect();
    let mut names: Vec<String> =
        crates().iter().map(|one| one["name"].as_str().unwrap_or_default().to_owned()).collect();
    names.sort();
    let mut twice: Vec<&String> = names.windows(2).filter(|pair| pair[0] == pair[1]).map(|pair| &pair[0]).collect();
    twice.dedup();
    assert_eq!(twice, known, "`cargo tree --duplicates` shows who asks for which");
}

#[test]
fn no_unsafe_code_of_our_own() {
    let manifest = std::fs::read_to_string(root().join("Cargo.toml")).expect("every crate has one");
    assert!(manifest.contains("unsafe_code = \"forbid\""));
    for path in rust_files(&root().join("src")) {
        let text = std::fs::read_to_string(&path).expect("source files are text");
        assert!(!text.contains("allow(unsafe_code"), "{}", path.display());
    }
}
