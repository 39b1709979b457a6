//! Prints: findings in the form asked for, counts in words, how things went.

use super::args::Report;
use super::progress::Line;
use pottle::diag::emit::{Human, Json, Look, Sarif, Short};
use pottle::diag::{Diagnostics, Emitter, Severity};
use pottle::source::Sources;
use std::io::{self, IsTerminal, Write};

/// Where findings go. JSON and SARIF always go to the standard output.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stream {
    /// They are what was asked for.
    Output,
    /// They explain why something else was not done.
    Error,
}

/// How much is said besides what was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Voice {
    /// How things are going, and how they went.
    Plain,
    /// Nothing.
    Quiet,
}

impl Voice {
    /// A line that shows how far a course has come. Drop it before anything is printed.
    pub(super) fn line(self) -> Line {
        Line::start(self == Voice::Plain)
    }

    /// Says that something was done.
    pub(super) fn done(self, stream: Stream, text: &str) -> io::Result<()> {
        if self == Voice::Quiet { Ok(()) } else { print(stream, text.as_bytes()) }
    }
}

/// What findings are drawn with.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shown<'a> {
    /// The texts that they point into.
    pub sources: &'a Sources,
    /// The way to the course folder: empty, or ending in `/`.
    pub base: &'a str,
}

impl Report {
    /// Whether nothing else may stand on the output.
    pub(super) fn is_for_programs(self) -> bool {
        matches!(self, Report::Json | Report::Sarif)
    }
}

/// Prints findings. After human ones comes a line with their number and `so`: what that means.
pub(super) fn findings(
    how: Report,
    stream: Stream,
    shown: Shown<'_>,
    findings: &Diagnostics,
    so: &str,
) -> io::Result<()> {
    let stream = if how.is_for_programs() { Stream::Output } else { stream };
    let mut text = Vec::new();
    draw(how, stream, shown, findings, &mut text)?;
    if how == Report::Human {
        writeln!(text, "{}{so}.", counts(findings))?;
    }
    print(stream, &text)
}

fn draw(how: Report, stream: Stream, shown: Shown<'_>, findings: &Diagnostics, out: &mut Vec<u8>) -> io::Result<()> {
    let Shown { sources, base } = shown;
    match how {
        Report::Human => {
            let unicode = match stream {
                Stream::Output => io::stdout().is_terminal(),
                Stream::Error => io::stderr().is_terminal(),
            };
            // Colours are taken off again on their way out where nobody can see them.
            let look = Look { colour: true, unicode };
            emit_all(&mut Human::new(out, base, look), sources, findings)
        }
        Report::Short => emit_all(&mut Short::new(out, base), sources, findings),
        Report::Json => emit_all(&mut Json::new(out), sources, findings),
        Report::Sarif => emit_all(&mut Sarif::new(out, base), sources, findings),
    }
}

fn emit_all(emitter: &mut dyn Emitter, sources: &Sources, findings: &Diagnostics) -> io::Result<()> {
    for found in findings.iter() {
        emitter.emit(sources, found)?;
    }
    emitter.finish()
}

/// Prints text, without its colours where they are not wanted: a pipe, a file, `NO_COLOR`.
pub(super) fn print(stream: Stream, text: &[u8]) -> io::Result<()> {
    let mut out: Box<dyn Write> = match stream {
        Stream::Output => Box::new(anstream::stdout()),
        Stream::Error => Box::new(anstream::stderr()),
    };
    out.write_all(text)?;
    out.flush()
}

/// Tells how things are going. A terminal that has gone away is no reason to stop.
pub(super) fn tell(line: &str) {
    let _ = print(Stream::Error, format!("{line}\n").as_bytes());
}

/// `2 errors, 1 note`.
pub(super) fn counts(findings: &Diagnostics) -> String {
    let errors = findings.count(Severity::Error);
    let notes = findings.count(Severity::Note);
    match (errors, notes) {
        (0, 0) => "no errors".to_owned(),
        (0, notes) => number_of(notes, "note"),
        (errors, 0) => number_of(errors, "error"),
        (errors, notes) => format!("{}, {}", number_of(errors, "error"), number_of(notes, "note")),
    }
}

/// `1 lesson`, `5 lessons`.
pub(super) fn number_of(count: usize, thing: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{count} {thing}{ending}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use pottle::diag::{Code, Diagnostic};
    use pottle::source::{FileId, Span};

    #[test]
    fn findings_are_counted_in_words() {
        let here = Span::new(FileId(0), 0..0);
        let mut all = Diagnostics::default();
        assert_eq!(counts(&all), "no errors");
        all.push(Diagnostic::new(Code::RiskySpelling, "m", here));
        assert_eq!(counts(&all), "1 note");
        all.push(Diagnostic::new(Code::Disagrees, "m", here));
        all.push(Diagnostic::new(Code::Disagrees, "m", here));
        assert_eq!(counts(&all), "2 errors, 1 note");
    }
}
