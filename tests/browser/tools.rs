//! Programs and files that `tests/run` installs. Without them a test fails and says so: a skipped test proves nothing.

#[path = "../paper/tools.rs"]
mod programs;

pub use programs::program;
use std::path::{Path, PathBuf};

/// A file of an npm package.
pub fn npm_file(path: &str) -> PathBuf {
    let found = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/test-npm/node_modules").join(path);
    assert!(found.is_file(), "{} is missing; tests/run installs it", found.display());
    found
}
