//! Findings for other programs. The keys are a promise: add to them, never change one.

use super::Emitter;
use crate::diag::{Confidence, Diagnostic, Edit};
use crate::source::Sources;
use serde::Serialize;
use std::io::{self, Write};

/// Writes `{"findings":[…]}` when the report ends, also when there is none.
///
/// Lines and columns count from 1, columns in characters; the end is one past the last letter. Edits count in bytes
/// of the file on disk.
#[derive(Debug)]
pub struct Json<W> {
    out: W,
    report: Report,
}

#[derive(Debug, Default, Serialize)]
struct Report {
    findings: Vec<Finding>,
}

#[derive(Debug, Serialize)]
struct Finding {
    code: &'static str,
    severity: &'static str,
    file: String,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
    message: String,
    help: Option<String>,
    edits: Vec<DiskEdit>,
}

#[derive(Debug, Serialize)]
struct DiskEdit {
    file: String,
    start: usize,
    end: usize,
    text: String,
}

impl<W: Write> Json<W> {
    /// Writes to `out`.
    pub fn new(out: W) -> Json<W> {
        Json { out, report: Report::default() }
    }
}

impl<W: Write> Emitter for Json<W> {
    fn emit(&mut self, sources: &Sources, found: &Diagnostic) -> io::Result<()> {
        self.report.findings.push(finding(sources, found));
        Ok(())
    }

    fn finish(&mut self) -> io::Result<()> {
        serde_json::to_writer(&mut self.out, &self.report)?;
        self.out.write_all(b"\n")
    }
}

fn finding(sources: &Sources, found: &Diagnostic) -> Finding {
    let span = found.primary.span;
    let file = sources.get(span.file);
    let (start, end) = (file.position(span.start), file.position(span.end));
    let mut suggestions: Vec<_> = found.suggestions.iter().collect();
    suggestions.sort_by_key(|suggestion| suggestion.confidence != Confidence::Certain);
    Finding {
        code: found.code.name(),
        severity: found.severity().as_str(),
        file: file.path.clone(),
        line: start.line,
        column: start.column,
        end_line: end.line,
        end_column: end.column,
        message: found.message.clone(),
        help: found.help.clone(),
        edits: suggestions.into_iter().map(|suggestion| on_disk(sources, &suggestion.edit)).collect(),
    }
}

fn on_disk(sources: &Sources, edit: &Edit) -> DiskEdit {
    let file = sources.get(edit.span.file);
    DiskEdit {
        file: file.path.clone(),
        start: file.offset_on_disk(edit.span.start),
        end: file.offset_on_disk(edit.span.end),
        text: edit.text.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Code;
    use crate::source::Span;

    fn drawn(sources: &Sources, found: &[Diagnostic]) -> String {
        let mut out = Vec::new();
        let mut json = Json::new(&mut out);
        found.iter().for_each(|found| json.emit(sources, found).unwrap());
        json.finish().unwrap();
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn a_clean_course_still_gives_a_report() {
        assert_eq!(drawn(&Sources::default(), &[]), "{\"findings\":[]}\n");
    }

    #[test]
    fn all_keys_are_there_and_edits_count_bytes_on_disk() {
        let raw = "\u{feff}# Curd\r\n\r\nHeat to 95 °C.\r\n";
        let mut sources = Sources::default();
        let file = sources.add("a.md", raw);
        let at = sources.get(file).text.find("95 °C").unwrap();
        let span = Span::new(file, at..at + "95 °C".len());
        let found = Diagnostic::new(Code::Disagrees, "no \"match\"", span)
            .suggest(Span::new(file, at..at + 2), "93", Confidence::NeedsACook)
            .suggest(span, "92 °C", Confidence::Certain);
        let disk = raw.find("95").unwrap();
        let expected = format!(
            "{{\"findings\":[{{\"code\":\"disagrees\",\"severity\":\"error\",\"file\":\"a.md\",\"line\":3,\"column\":9,\
             \"end_line\":3,\"end_column\":14,\"message\":\"no \\\"match\\\"\",\"help\":null,\"edits\":[\
             {{\"file\":\"a.md\",\"start\":{disk},\"end\":{},\"text\":\"92 °C\"}},\
             {{\"file\":\"a.md\",\"start\":{disk},\"end\":{},\"text\":\"93\"}}]}}]}}\n",
            disk + "95 °C".len(),
            disk + 2
        );
        assert_eq!(drawn(&sources, &[found]), expected);
    }

    #[test]
    fn an_edit_that_ends_at_a_line_end_leaves_the_line_end_alone() {
        let raw = "one\r\ntwo\r\n";
        let mut sources = Sources::default();
        let file = sources.add("a.md", raw);
        let end = sources.get(file).text.find("\ntwo").unwrap();
        let found = Diagnostic::new(Code::RiskySpelling, "m", Span::new(file, 0..end))
            .suggest(Span::new(file, 0..end), "1", Confidence::Certain)
            .help("h");
        let text = drawn(&sources, &[found]);
        assert!(text.contains("\"start\":0,\"end\":3"), "{text}");
        assert!(text.contains("\"severity\":\"note\"") && text.contains("\"help\":\"h\""), "{text}");
    }
}
