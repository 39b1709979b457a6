//! Programs that `tests/run` installs. Without them a test fails and says so: a skipped test proves nothing.

use std::path::PathBuf;

/// The full path of a program.
pub fn program(name: &str) -> PathBuf {
    let path = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&path)
        .map(|folder| folder.join(name))
        .find(|path| path.is_file())
        .unwrap_or_else(|| panic!("the program `{name}` is missing; tests/run installs it"))
}
