//! Programs and files that `tests/run` installs. Without them a test fails and says so: a skipped test proves nothing.

use std::path::{Path, PathBuf};

/// The full path of a program.
pub fn program(name: &str) -> PathBuf {
    let path = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&path)
        .map(|folder| folder.join(name))
        .find(|path| path.is_file())
        .unwrap_or_else(|| panic!("the program `{name}` is missing; tests/run installs it"))
}

/// A file of an npm package.
pub fn npm_file(path: &str) -> PathBuf {
    let found = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/test-npm/node_modules").join(path);
    assert!(found.is_file(), "{} is missing; tests/run installs it", found.display());
    found
}
