//! Keys and values, each with its place.
//!
//! `toml` gives spans and recovers after an error; this keeps just what a course needs, so that one slip gives one
//! finding and never hides the next.

use super::slips::{Slip, report, report_twice, without_slips};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::source::{FileId, MappedText, Sources, Span, is_no_letter};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Keys and values in the order they were written.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// The whole table.
    pub span: Span,
    /// Its entries.
    pub entries: Vec<Entry>,
}

/// One key and its value.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The key.
    pub key: String,
    /// Its place.
    pub key_span: Span,
    /// The value.
    pub value: Value,
}

/// A value with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Value {
    /// Its place, quotes included.
    pub span: Span,
    /// What it is.
    pub kind: ValueKind,
}

/// A TOML string: what it says, and the way home from each byte of it (quotes left out).
pub type Text = MappedText;

/// What a value is.
#[derive(Debug, Clone, PartialEq)]
pub enum ValueKind {
    /// A string.
    Text(Text),
    /// A number, as written.
    Number(String),
    /// true or false.
    Flag(bool),
    /// A list.
    List(Vec<Value>),
    /// A table.
    Table(Table),
    /// A date or time, as written.
    Date(String),
}

/// Reads a block's body. Syntax errors are reported (the first of each line), the rest is kept.
///
/// The flag says whether there were any: later stages then say nothing about keys that seem to be missing.
pub fn parse_table(body: &MappedText, sink: &mut Diagnostics) -> (Table, bool) {
    let (table, slips) = parse(body, sink);
    (table, !slips.is_empty())
}

fn parse(body: &MappedText, sink: &mut Diagnostics) -> (Table, Vec<Slip>) {
    let (table, errors) = DeTable::parse_recoverable(&body.text);
    if errors.is_empty() {
        return (Reader { body }.table(table.get_ref(), 0..body.text.len()), Vec::new());
    }
    let (clean, slips) = without_slips(&body.text);
    for slip in &slips {
        report(slip, body, sink);
    }
    let (table, errors) = DeTable::parse_recoverable(&clean);
    report_twice(&errors, body, table.get_ref(), sink);
    (Reader { body }.table(table.get_ref(), 0..body.text.len()), slips)
}

/// A whole file as a text to read.
pub(crate) fn whole_file(sources: &Sources, file: FileId) -> MappedText {
    let text = &sources.get(file).text;
    let mut body = MappedText::new(file);
    body.push(text, 0..text.len());
    body
}

/// One `[[row]]` of a table file.
pub(crate) struct Row {
    /// Its keys.
    pub table: Table,
    /// Its heading, for pointing at the row as a whole.
    pub at: Span,
    /// Whether lines of it could not be read: any key may be on one of them.
    pub broken: bool,
}

/// Reads a file that is nothing but rows under one heading: `[[ingredient]]`. Other keys are findings.
pub(crate) fn parse_rows(sources: &Sources, file: FileId, heading: &'static str, sink: &mut Diagnostics) -> Vec<Row> {
    let body = whole_file(sources, file);
    let (table, slips) = parse(&body, sink);
    let mut rows = Vec::new();
    for entry in table.entries {
        match entry.value.kind {
            ValueKind::List(items) if entry.key == heading => rows.extend(items),
            _ => {
                let message = format!("`{}` stands outside of any entry", entry.key);
                let found = Diagnostic::new(Code::UnknownKey, message, entry.key_span);
                sink.push(found.help(format!("this file holds entries, and each begins with `[[{heading}]]`")));
            }
        }
    }
    let starts: Vec<usize> = rows.iter().map(|row| row.span.start).collect();
    let end_of = |at: usize| starts.get(at + 1).copied().unwrap_or(usize::MAX);
    let mut read = Vec::new();
    for (index, row) in rows.into_iter().enumerate() {
        let Span { start, .. } = row.span;
        let end = start + body.text[start..].find('\n').unwrap_or(body.text.len() - start);
        let at = Span::new(file, start..end);
        match row.kind {
            ValueKind::Table(table) => {
                let broken = slips.iter().any(|slip| (start..end_of(index)).contains(&slip.at.start));
                read.push(Row { table, at, broken });
            }
            _ => {
                let message = format!("an entry of `{heading}` is a group of keys, and this is something else");
                let found = Diagnostic::new(Code::WrongType, message, row.span);
                sink.push(found.help(format!("begin each entry with `[[{heading}]]`")));
            }
        }
    }
    read
}

/// A part of a text, with its way home.
pub(crate) fn slice(text: &MappedText, range: Range<usize>) -> MappedText {
    let mut part = MappedText::new(text.file);
    copy(text, range, &mut part);
    part
}

/// A part of a text without the blanks around it.
pub(crate) fn trimmed(text: &MappedText, range: Range<usize>) -> MappedText {
    let words = &text.text[range.clone()];
    let start = range.start + words.len() - words.trim_start().len();
    slice(text, start..start + words.trim().len())
}

fn copy(text: &MappedText, range: Range<usize>, to: &mut MappedText) {
    for piece in text.pieces() {
        let (start, end) = (piece.text.start.max(range.start), piece.text.end.min(range.end));
        if start < end {
            to.push(&text.text[start..end], text.home(start..end).range());
        }
    }
}

/// The place of a range of a block's body, which may be empty.
pub(super) fn place(body: &MappedText, range: Range<usize>) -> Span {
    if !range.is_empty() || body.text.is_empty() {
        return body.home(range);
    }
    let before = body.text[..range.start].char_indices().next_back();
    let at = match before {
        Some((start, _)) => body.home(start..range.start).end,
        None => body.pieces().first().map_or(0, |piece| piece.source.start),
    };
    Span::new(body.file, at..at)
}

struct Reader<'a> {
    body: &'a MappedText,
}

impl Reader<'_> {
    fn table(&self, table: &DeTable<'_>, span: Range<usize>) -> Table {
        let mut entries: Vec<(usize, Entry)> = Vec::new();
        for (key, value) in table {
            let entry = Entry {
                key: key.get_ref().to_string(),
                key_span: place(self.body, key.span()),
                value: self.value(value),
            };
            entries.push((key.span().start, entry));
        }
        entries.sort_by_key(|(start, _)| *start);
        let entries = entries.into_iter().map(|(_, entry)| entry).collect();
        Table { span: place(self.body, span), entries }
    }

    fn value(&self, value: &Spanned<DeValue<'_>>) -> Value {
        let span = value.span();
        let kind = match value.get_ref() {
            DeValue::String(text) => ValueKind::Text(self.text(text, span.clone())),
            DeValue::Integer(_) | DeValue::Float(_) => ValueKind::Number(self.body.text[span.clone()].to_owned()),
            DeValue::Boolean(flag) => ValueKind::Flag(*flag),
            DeValue::Datetime(_) => ValueKind::Date(self.body.text[span.clone()].to_owned()),
            DeValue::Array(list) => ValueKind::List(list.iter().map(|item| self.value(item)).collect()),
            DeValue::Table(table) => ValueKind::Table(self.table(table, span.clone())),
        };
        Value { span: place(self.body, span), kind }
    }

    fn text(&self, value: &str, span: Range<usize>) -> Text {
        let value = &value.replace(is_no_letter, "\u{fffd}");
        let raw = &self.body.text[span.clone()];
        let quote = ["\"\"\"", "'''", "\"", "'"]
            .into_iter()
            .find(|quote| raw.len() >= 2 * quote.len() && raw.starts_with(quote) && raw.ends_with(quote))
            .unwrap_or("");
        let mut inner = span.start + quote.len()..span.end - quote.len();
        if quote.len() == 3 && self.body.text[inner.clone()].starts_with('\n') {
            inner.start += 1; // a line end right after the quotes is not part of the text
        }
        let mut text = MappedText::new(self.body.file);
        if quote.starts_with('"') {
            self.unescape(inner.clone(), &mut text);
        } else {
            copy(self.body, inner.clone(), &mut text);
        }
        if text.text != *value {
            text = MappedText::new(self.body.file);
            text.push(value, place(self.body, inner).range());
        }
        text
    }

    /// Copies letters, and each escape as a piece of its own.
    fn unescape(&self, inner: Range<usize>, text: &mut MappedText) {
        let mut at = inner.start;
        while let Some(found) = self.body.text[at..inner.end].find('\\') {
            copy(self.body, at..at + found, text);
            at += found;
            let (letter, len) = escape(&self.body.text[at..inner.end]);
            if let Some(letter) = letter {
                text.push(letter.encode_utf8(&mut [0; 4]), place(self.body, at..at + len).range());
            }
            at += len;
        }
        copy(self.body, at..inner.end, text);
    }
}

/// The character that an escape at the start of `raw` stands for, and its bytes. A backslash at a line's end stands
/// for nothing and takes the blank that follows.
fn escape(raw: &str) -> (Option<char>, usize) {
    let Some(kind) = raw[1..].chars().next() else {
        return (None, 1);
    };
    let digits = match kind {
        'x' => 2,
        'u' => 4,
        'U' => 8,
        _ => 0,
    };
    if digits > 0 {
        let code = raw.get(2..2 + digits).and_then(|hex| u32::from_str_radix(hex, 16).ok());
        return (code.and_then(char::from_u32), (2 + digits).min(raw.len()));
    }
    let letter = match kind {
        'b' => '\u{8}',
        't' => '\t',
        'n' => '\n',
        'f' => '\u{c}',
        'r' => '\r',
        'e' => '\u{1b}',
        blank if blank.is_whitespace() => return (None, raw.len() - raw[1..].trim_start().len()),
        other => other,
    };
    (Some(letter), 1 + kind.len_utf8())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Code;
    use crate::source::{FileId, Sources};

    struct Read {
        sources: Sources,
        table: Table,
        broken: bool,
        sink: Diagnostics,
    }

    #[test]
    fn rows_keep_their_heading_and_only_the_spoilt_one_counts_as_broken() {
        let mut sources = Sources::default();
        let text = "[[row]]\nid = \"a\"\nx = oops\n\n[[row]]\nid = \"b\"\n\n[rest]\ny = 1\n";
        let file = sources.add("rows.toml", text);
        let mut sink = Diagnostics::default();
        let rows = parse_rows(&sources, file, "row", &mut sink);
        let shown: Vec<_> =
            rows.iter().map(|row| (sources.text(row.at), row.table.entries.len(), row.broken)).collect();
        assert_eq!(shown, [("[[row]]", 1, true), ("[[row]]", 1, false)]);
        let found: Vec<_> = sink.iter().map(|found| (found.code, sources.text(found.primary.span))).collect();
        assert_eq!(found, [(Code::BadToml, "oops"), (Code::UnknownKey, "rest")]);
    }

    fn read(text: &str) -> Read {
        let mut sources = Sources::default();
        sources.add("a.md", &format!("before\n{text}"));
        let mut body = MappedText::new(FileId(0));
        let text = sources.get(FileId(0)).text["before\n".len()..].to_owned();
        body.push(&text, "before\n".len().."before\n".len() + text.len());
        let mut sink = Diagnostics::default();
        let (table, broken) = parse_table(&body, &mut sink);
        Read { sources, table, broken, sink }
    }

    impl Read {
        fn words(&self, entry: usize, range: Range<usize>) -> &str {
            let ValueKind::Text(text) = &self.table.entries[entry].value.kind else { panic!("not a text") };
            self.sources.text(text.home(range))
        }

        fn findings(&self) -> Vec<(Code, &str, &str)> {
            let show = |found: &'_ crate::diag::Diagnostic| (found.code, found.primary.span);
            self.sink
                .iter()
                .map(|found| (show(found).0, self.sources.text(show(found).1), found.message.as_str()))
                .collect()
        }
    }

    #[test]
    fn keys_keep_their_order_and_places() {
        let read = read("b = \"4 L\"\na = [1, true]\n[c]\nz = 'x'\ny = { k = 2.50 }\n");
        assert!(!read.broken && read.sink.is_empty());
        let keys: Vec<_> = read.table.entries.iter().map(|entry| entry.key.as_str()).collect();
        assert_eq!(keys, ["b", "a", "c"]);
        assert_eq!(read.sources.text(read.table.entries[0].value.span), "\"4 L\"");
        assert_eq!(read.sources.text(read.table.entries[1].key_span), "a");
        let ValueKind::Table(inner) = &read.table.entries[2].value.kind else { panic!("not a table") };
        let ValueKind::Table(innermost) = &inner.entries[1].value.kind else { panic!("not a table") };
        assert_eq!(innermost.entries[0].value.kind, ValueKind::Number("2.50".to_owned()));
    }

    #[test]
    fn texts_lead_home_through_quotes_and_escapes() {
        let read = read("a = \"½ cup\"\r\nb = \"say \\\"4\\u00BD L\\\" now\"\r\nc = '''\r\nraw \\n'''\r\n");
        assert!(read.sink.is_empty(), "{:?}", read.sink);
        assert_eq!(read.words(0, 0.."½ cup".len()), "½ cup");
        assert_eq!(read.words(0, 3..6), "cup");
        let ValueKind::Text(text) = &read.table.entries[1].value.kind else { panic!("not a text") };
        assert_eq!(text.text, "say \"4½ L\" now");
        let at = text.text.find("4½").unwrap();
        assert_eq!(read.words(1, at..at + "4½ L".len()), "4\\u00BD L");
        assert_eq!(read.words(1, text.text.find("now").unwrap()..text.text.len()), "now");
        let ValueKind::Text(text) = &read.table.entries[2].value.kind else { panic!("not a text") };
        assert_eq!(text.text, "raw \\n");
    }

    #[test]
    fn a_line_end_after_a_backslash_is_swallowed() {
        let read = read("a = \"\"\"\none \\\n   two\"\"\"\n");
        let ValueKind::Text(text) = &read.table.entries[0].value.kind else { panic!("not a text") };
        assert_eq!(text.text, "one two");
        assert_eq!(read.words(0, 4..7), "two");
    }

    #[test]
    fn one_slip_gives_one_finding_and_the_other_lines_are_kept() {
        for (text, words, kept) in [
            ("to = 92 °C\nb = 1\n", "92 °C", "b"),
            ("a = \"x\nb = 2\n", "\"x", "b"),
            ("just words here\nb = 1\n", "just words here", "b"),
            ("a: 3\nb = 1\n", "a: 3", "b"),
            ("a = \nb = 2\n", "a =", "b"),
            ("a = \"x\" y\nb = 1\n", "y", "b"),
            ("a = “x”\nb = 1\n", "“x”", "b"),
            ("a = \"\\q\"\nb = 1\n", "\"\\q\"", "b"),
            ("b = 1\na = [\"x\", \"y\"\nc = 2\nd = half\n", "[", "b"),
            ("b = 1\na = { x = 2\nc = 2\n", "{", "b"),
        ] {
            let read = read(text);
            let found = read.findings();
            assert_eq!(found.len(), 1, "{text:?}: {found:?}");
            assert_eq!((found[0].0, found[0].1), (Code::BadToml, words), "{text:?}: {}", found[0].2);
            assert!(read.broken);
            let keys: Vec<_> = read.table.entries.iter().map(|entry| entry.key.as_str()).collect();
            assert_eq!(keys, [kept], "{text:?}");
        }
    }

    #[test]
    fn two_bad_lines_give_two_findings() {
        assert_eq!(read("a = x\nb = 1\nc = y\n").findings().len(), 2);
        assert_eq!(read("a = [\n  x,\n  y,\n]\nb = 1\n").findings().len(), 2);
        assert_eq!(read("just words\nmore words\nb = 1\n").findings().len(), 2);
    }

    #[test]
    fn a_key_written_twice_is_said_once_and_breaks_nothing() {
        let read = read("a = 1\nb = 2\na = 3\n");
        assert_eq!(read.findings(), [(Code::DuplicateId, "a", "`a` stands twice in this block")]);
        assert!(!read.broken);
        assert_eq!(read.sink.iter().next().unwrap().related.len(), 1);
        assert_eq!(read.table.entries[0].value.kind, ValueKind::Number("1".to_owned()));
    }
}
