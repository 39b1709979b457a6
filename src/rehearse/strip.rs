//! Findings as a piece of a page.

use crate::diag::{Diagnostic, Diagnostics, Severity};
use crate::render::escaped;
use crate::source::Sources;

/// More than these nobody reads on a page; the terminal has all.
const SHOWN: usize = 20;

/// What is wrong; empty when nothing is. `so` says after the count what that means.
pub(super) fn strip(sources: &Sources, findings: &Diagnostics, trouble: Option<&str>, so: &str) -> String {
    let mut html = String::new();
    if let Some(trouble) = trouble {
        html.push_str(&format!("<p class=\"error\">{}</p>", escaped(trouble)));
    }
    if findings.is_empty() {
        return html;
    }
    let open = if findings.has_errors() { " open" } else { "" };
    html.push_str(&format!("<details{open}><summary>{}{so}</summary><ol>", counts(findings)));
    // What stops publishing comes first.
    let (errors, notes): (Vec<_>, Vec<_>) = findings.iter().partition(|one| one.severity() == Severity::Error);
    let all: Vec<&Diagnostic> = errors.into_iter().chain(notes).collect();
    all.iter().take(SHOWN).for_each(|found| push_finding(&mut html, sources, found));
    html.push_str("</ol>");
    if all.len() > SHOWN {
        html.push_str(&format!("<p>The terminal shows {} more.</p>", all.len() - SHOWN));
    }
    html + "</details>"
}

fn push_finding(html: &mut String, sources: &Sources, found: &Diagnostic) {
    let file = sources.get(found.primary.span.file);
    let place = file.position(found.primary.span.start);
    let severity = found.severity().as_str();
    html.push_str(&format!(
        "<li class=\"{severity}\"><b>{}</b> <span>{severity}[{}] {}:{}:{}</span>",
        escaped(&found.message),
        found.code.name(),
        escaped(&file.path),
        place.line,
        place.column
    ));
    let label = (!found.primary.text.is_empty()).then_some(&found.primary.text);
    for line in label.into_iter().chain(&found.notes).chain(&found.help) {
        html.push_str(&format!("<p>{}</p>", escaped(line)));
    }
    html.push_str("</li>");
}

/// `2 errors, 1 note`
fn counts(findings: &Diagnostics) -> String {
    let words = [(Severity::Error, "error"), (Severity::Note, "note")].map(|(severity, word)| {
        let count = findings.count(severity);
        (count, format!("{count} {word}{}", if count == 1 { "" } else { "s" }))
    });
    words.into_iter().filter(|(count, _)| *count > 0).map(|(_, words)| words).collect::<Vec<_>>().join(", ")
}
