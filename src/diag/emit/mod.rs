//! Drawing findings, one file per format.

mod human;
mod json;
mod sarif;
mod short;

use super::Diagnostic;
use crate::source::Sources;
use std::io;

pub use human::{Human, Look};
pub use json::Json;
pub use sarif::Sarif;
pub use short::Short;

/// Draws findings. One call each, in order; `finish` closes the report.
pub trait Emitter {
    /// Draws one.
    fn emit(&mut self, sources: &Sources, found: &Diagnostic) -> io::Result<()>;

    /// Ends the report.
    fn finish(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// The path to show for a file: built-in tables keep theirs, a course's own follow the way to its folder, so that a
/// terminal or an editor can open them.
fn shown_path(base: &str, path: &str) -> String {
    if path.starts_with("shared/") { path.to_owned() } else { format!("{base}{path}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn built_in_tables_keep_their_path() {
        assert_eq!(shown_path("content/", "01-a/lesson.md"), "content/01-a/lesson.md");
        assert_eq!(shown_path("content/", "shared/pantry.toml"), "shared/pantry.toml");
    }
}
