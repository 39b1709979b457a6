//! Slips in a block's body, told in a cook's words.
//!
//! After an error the reader of TOML guesses generously, complains about its own guesses and may swallow the next line.
//! So only the first complaint counts: what it spoils is blanked out, and the rest is read again.

use super::table::place;
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics};
use crate::source::MappedText;
use std::ops::Range;
use toml::de::{DeTable, DeValue, Error};

/// One slip.
pub(super) struct Slip {
    message: String,
    help: String,
    /// What to underline.
    pub at: Range<usize>,
    /// New text for it.
    edit: Option<String>,
}

/// More slips than this are no slips: the block is something else altogether.
const MOST: usize = 40;

/// The text with all faulty entries blanked out, so that every byte keeps its place; and what was wrong.
pub(super) fn without_slips(text: &str) -> (String, Vec<Slip>) {
    let mut clean = text.to_owned();
    let mut slips = Vec::new();
    loop {
        let Some(spoilt) = first_slip(&clean, &mut slips) else {
            return (clean, slips);
        };
        let spoilt = if slips.len() < MOST { spoilt } else { 0..clean.len() };
        let blanks: String = clean[spoilt.clone()].bytes().map(|byte| if byte == b'\n' { '\n' } else { ' ' }).collect();
        clean.replace_range(spoilt, &blanks);
    }
}

/// Finds the first slip and gives back the lines that it spoils.
fn first_slip(text: &str, slips: &mut Vec<Slip>) -> Option<Range<usize>> {
    let (table, errors) = DeTable::parse_recoverable(text);
    let table = table.get_ref();
    let mut errors: Vec<(Range<usize>, &str)> = errors.iter().filter_map(|error| syntax(error, text)).collect();
    errors.sort_by_key(|(span, _)| span.start);
    let (first, message) = errors.first()?.clone();
    let open = errors
        .iter()
        .filter(|(_, message)| message.starts_with("unclosed array,") || message.starts_with("unclosed inline"));
    for (end, _) in open {
        if let Some(value) = value_at(table, end.start).filter(|value| value.start <= first.start)
            && let Some(slip) = never_closed(text, value.clone())
        {
            slips.push(slip);
            return Some(line_at(text, value.start).start..value.end);
        }
    }
    let line = line_at(text, first.start);
    let inside = value_at(table, first.start);
    if inside.as_ref().is_none_or(|value| value.start >= line.start) && looks_like_heading(&text[line.clone()]) {
        slips.push(slip(text, table, first, line.clone(), message));
        return Some(line.start..next_heading(text, line.end));
    }
    let value = inside.unwrap_or_else(|| line.clone());
    let spoilt = line.start.min(line_at(text, value.start).start)..line.end.max(line_at(text, value.end).end);
    slips.push(slip(text, table, first.clone(), line.clone(), message));
    // Words without quotes are told apart from each other even in one list.
    for (span, message) in errors {
        let elsewhere = span.start > line.end && span.end <= spoilt.end;
        if elsewhere && message.starts_with(UNQUOTED) && !span.is_empty() {
            let line = line_at(text, span.start);
            slips.push(slip(text, table, span, line, message));
        }
    }
    Some(spoilt)
}

/// Whether a line was meant to open a table: without it, the keys below seem to belong elsewhere.
fn looks_like_heading(line: &str) -> bool {
    let line = line.trim();
    line.starts_with('[') || line.ends_with(']') && !line.contains('=')
}

fn next_heading(text: &str, from: usize) -> usize {
    text[from..].find("\n[").map_or(text.len(), |len| from + len)
}

const UNQUOTED: &str = "string values must be quoted";
const TWICE: &str = "duplicate key";

fn syntax<'e>(error: &'e Error, text: &str) -> Option<(Range<usize>, &'e str)> {
    let span = error.span().unwrap_or(0..0);
    let span = span.start.min(text.len())..span.end.min(text.len());
    (error.message() != TWICE).then_some((span, error.message()))
}

/// Says a slip aloud.
pub(super) fn report(slip: &Slip, body: &MappedText, sink: &mut Diagnostics) {
    let span = place(body, slip.at.clone());
    let mut found = Diagnostic::new(Code::BadToml, &slip.message, span).help(&slip.help);
    if let Some(edit) = &slip.edit {
        found = found.suggest(span, edit, Confidence::NeedsACook);
    }
    sink.push(found);
}

/// Says which keys stand twice. The first counts.
pub(super) fn report_twice(errors: &[Error], body: &MappedText, table: &DeTable<'_>, sink: &mut Diagnostics) {
    for at in errors.iter().filter(|error| error.message() == TWICE).filter_map(Error::span) {
        let key = &body.text[at.clone()];
        let mut found =
            Diagnostic::new(Code::DuplicateId, format!("`{key}` stands twice in this block"), place(body, at.clone()))
                .help("keep one of the two");
        if let Some(first) = first_key(table, key).filter(|first| first.start < at.start) {
            found = found.related(place(body, first), "first here");
        }
        sink.push(found);
    }
}

fn first_key(table: &DeTable<'_>, key: &str) -> Option<Range<usize>> {
    let bare = key.trim_matches(['"', '\'']);
    for (found, value) in table {
        if found.get_ref() == bare {
            return Some(found.span());
        }
        if let DeValue::Table(inner) = value.get_ref()
            && let Some(first) = first_key(inner, key)
        {
            return Some(first);
        }
    }
    None
}

/// A list or group of keys that goes on to the end of the block.
fn never_closed(text: &str, value: Range<usize>) -> Option<Slip> {
    let sign = text[value.start..].chars().next().filter(|sign| matches!(sign, '[' | '{'))?;
    let (what, close) = if sign == '[' { ("list", ']') } else { ("group of keys", '}') };
    Some(Slip {
        message: format!("this {what} opens with `{sign}` and is never closed"),
        help: format!("add `{close}` after its last entry"),
        at: value.start..value.start + 1,
        edit: None,
    })
}

/// The outermost value that goes on to `end`, tables under a `[heading]` searched through.
fn value_at(table: &DeTable<'_>, end: usize) -> Option<Range<usize>> {
    for (_, value) in table {
        let span = value.span();
        if span.start < end && end <= span.end {
            return Some(span);
        }
        if let DeValue::Table(inner) = value.get_ref()
            && let Some(found) = value_at(inner, end)
        {
            return Some(found);
        }
    }
    None
}

/// The line around a byte, its end left out.
fn line_at(text: &str, at: usize) -> Range<usize> {
    let start = text[..at].rfind('\n').map_or(0, |end| end + 1);
    let end = text[at..].find('\n').map_or(text.len(), |len| at + len);
    start..end
}

const LINE_HELP: &str = "write a key, `=` and a value, such as `to = \"92 °C\"`";

fn slip(text: &str, table: &DeTable<'_>, span: Range<usize>, line: Range<usize>, message: &str) -> Slip {
    let words = &text[line.clone()];
    let start = line.start + words.len() - words.trim_start().len();
    let whole = start..start + words.trim().len();
    let says = |starts: &[&str]| starts.iter().any(|start| message.starts_with(start));
    if says(&[UNQUOTED]) {
        return unquoted(text, span, whole);
    }
    let plain = |at: Range<usize>, message: &str, help: &str| Slip {
        message: message.to_owned(),
        help: help.to_owned(),
        at,
        edit: None,
    };
    let value = value_at(table, span.start).filter(|value| value.end <= line.end && !value.is_empty());
    let value = value.unwrap_or_else(|| whole.clone());
    if says(&["invalid basic string", "invalid literal string", "invalid multi-line", "missing opening quote"]) {
        return plain(value, "the quotes that open here are never closed", "close them with the same sign");
    }
    if says(&["missing escaped value", "too few unicode", "unicode hex"]) {
        let help = "write `\\\\`, or put the text in single quotes";
        return plain(value, "a backslash in double quotes must be doubled", help);
    }
    if says(&["key with no value", "missing assignment", "missing value for key"]) || !text[whole.clone()].contains('=')
    {
        return plain(whole.clone(), &format!("`{}` is not a key and a value", &text[whole]), LINE_HELP);
    }
    if says(&["invalid unquoted key"]) {
        let help = "a key is made of the letters a to z, digits, `-` and `_`; anything else needs quotes";
        return plain(span.clone(), &format!("`{}` cannot stand in a key like this", &text[span]), help);
    }
    if says(&["unexpected key or value", "unexpected content"]) {
        let at = span.start..whole.end.max(span.end);
        let message = format!("`{}` is left over after the value", &text[at.clone()]);
        return plain(at, &message, "put all of a text inside the quotes");
    }
    if says(&["missing comma"]) {
        return plain(whole, "a comma is missing between two entries", "separate entries with commas");
    }
    if says(&["extra comma"]) {
        return plain(whole, "there is a comma too many", "take one out");
    }
    if says(&["unclosed"]) {
        return plain(whole, "a bracket that opens on this line is not closed", "close it");
    }
    plain(whole, "this line cannot be read as a key and a value", LINE_HELP)
}

/// A value that is neither a number nor in quotes, or no value at all.
fn unquoted(text: &str, span: Range<usize>, line: Range<usize>) -> Slip {
    let words = text[span.clone()].trim();
    if words.is_empty() {
        let message = "nothing stands after `=`".to_owned();
        return Slip { message, help: LINE_HELP.to_owned(), at: line, edit: None };
    }
    let quoted = format!("\"{}\"", words.trim_matches(CURLY).trim_matches(['"', '\'']));
    let message = if words.starts_with(CURLY) {
        format!("{words} stands in curly quotes, and a block needs straight ones")
    } else {
        format!("`{words}` must stand in quotes")
    };
    Slip { message, help: format!("write {quoted}"), at: span, edit: Some(quoted) }
}

const CURLY: [char; 8] = ['“', '”', '„', '‟', '‘', '’', '‚', '‛'];
