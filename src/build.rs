//! Runs before the library is compiled: a fingerprint of all that the program is made from, which tells the sites of one
//! program from those of another.

#![allow(clippy::print_stdout, reason = "so it tells cargo what it found")]

use std::fs;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};

fn main() {
    let mut files = vec![PathBuf::from("Cargo.toml"), PathBuf::from("Cargo.lock")];
    for folder in ["src", "shared", "themes"] {
        list(Path::new(folder), &mut files);
    }
    files.sort();
    let mut hasher = DefaultHasher::new();
    for file in &files {
        println!("cargo::rerun-if-changed={}", file.display());
        (file, fs::read(file).expect("the file was just listed")).hash(&mut hasher);
    }
    println!("cargo::rustc-env=POTTLE_FINGERPRINT={:016x}", hasher.finish());
}

fn list(folder: &Path, files: &mut Vec<PathBuf>) {
    println!("cargo::rerun-if-changed={}", folder.display());
    for entry in fs::read_dir(folder).expect("the folder is part of the repo") {
        let path = entry.expect("it can be read").path();
        if path.is_dir() { list(&path, files) } else { files.push(path) }
    }
}
