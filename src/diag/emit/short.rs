//! One line a finding, for editors and for `grep`.

use super::{Emitter, shown_path};
use crate::diag::Diagnostic;
use crate::source::Sources;
use std::io::{self, Write};

/// Writes `path:line:column: error[code]: message`.
#[derive(Debug)]
pub struct Short<W> {
    out: W,
    base: String,
}

impl<W: Write> Short<W> {
    /// Writes to `out`. `base` is the way to the course folder: empty, or ending in `/`.
    pub fn new(out: W, base: impl Into<String>) -> Short<W> {
        Short { out, base: base.into() }
    }
}

impl<W: Write> Emitter for Short<W> {
    fn emit(&mut self, sources: &Sources, found: &Diagnostic) -> io::Result<()> {
        let file = sources.get(found.primary.span.file);
        let place = file.position(found.primary.span.start);
        writeln!(
            self.out,
            "{}:{}:{}: {}[{}]: {}",
            one_line(&shown_path(&self.base, &file.path)),
            place.line,
            place.column,
            found.severity().as_str(),
            found.code.name(),
            one_line(&found.message)
        )
    }
}

/// A text without what would end its line or steer a terminal.
fn one_line(text: &str) -> String {
    let steers =
        |letter: char| letter.is_control() || matches!(letter, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    text.replace(steers, "\u{fffd}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Code;
    use crate::source::Span;

    #[test]
    fn a_finding_is_one_line_with_columns_in_characters() {
        let mut sources = Sources::default();
        let file = sources.add("02-curd/lesson.md", "½ cup\r\nat 92 °C, not 95\r\n");
        let at = sources.get(file).text.find("95").unwrap();
        let found = Diagnostic::new(Code::Disagrees, "the words say 95", Span::new(file, at..at + 2));
        let mut out = Vec::new();
        let mut short = Short::new(&mut out, "content/");
        short.emit(&sources, &found).unwrap();
        short.finish().unwrap();
        let text = String::from_utf8(out).unwrap();
        assert_eq!(text, "content/02-curd/lesson.md:2:15: error[disagrees]: the words say 95\n");
    }
}
