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
        let rim = ["input", "output"].iter().any(|module| path.starts_with(root().join("src").join(module)));
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
