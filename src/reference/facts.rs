//! Measures that hold for every lesson, and the list of sources.

use super::load::table_amount;
use super::status::Status;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::keys::fields::{Fields, choice, listed, text};
use crate::keys::{Row, parse_rows};
use crate::quantity::{Amount, Units};
use crate::source::{FileId, Sources, Span};

/// A measure that holds for every lesson.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// Its id: `fridge`.
    pub id: String,
    /// In words: `fridge temperature`.
    pub name: String,
    /// The measure.
    pub amount: Amount,
    /// Where it is written.
    pub span: Span,
    /// Id of its source, or its words.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// Where a figure comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Its id.
    pub id: String,
    /// Title.
    pub title: String,
    /// standard, law, handbook, data, textbook, practice or memory.
    pub kind: String,
    /// Edition, or how it was read.
    pub note: Option<String>,
}

/// Keys with an example of each, as an entry writes them.
type Keys = &'static [(&'static str, &'static str)];

const FACT: Keys = &[
    ("id", "\"fridge\""),
    ("name", "\"fridge temperature\""),
    ("measure", "\"at most 5 °C\""),
    ("source", "\"…\""),
    ("status", "\"from memory\"  # or \"published\", or \"common practice\""),
];
const SOURCE: Keys = &[("id", "\"handbook\""), ("title", "\"…\""), ("kind", "\"handbook\"")];
const KINDS: [&str; 7] = ["standard", "law", "handbook", "data", "textbook", "practice", "memory"];

/// The facts of a table.
pub(super) fn read_facts(sources: &Sources, file: FileId, units: &Units, sink: &mut Diagnostics) -> Vec<Fact> {
    let mut facts: Vec<Fact> = Vec::new();
    for row in parse_rows(sources, file, "fact", sink) {
        let entry = Entry::new(&row, "a fact", FACT, &[], sink);
        let id = entry.text("id", sink);
        let (name, source) = (entry.text("name", sink), entry.text("source", sink));
        let status = entry.choice("status", &Status::NAMES, sink).and_then(|name| Status::from_name(&name));
        let measure = entry.fields.get("measure").and_then(|entry| text("measure", &entry.value, "at most 5 °C", sink));
        let amount = measure.and_then(|words| Some((table_amount(words, units, sink)?, words)));
        let (Some(id), Some(name), Some(source), Some(status), Some((amount, words))) =
            (id, name, source, status, amount)
        else {
            continue;
        };
        if let Some(first) = facts.iter().find(|fact| fact.id == id) {
            let found = Diagnostic::new(Code::DuplicateId, format!("the fact `{id}` stands twice"), row.at);
            sink.push(found.related(first.span, "first here").help("keep one of the two"));
            continue;
        }
        let span = words.home(0..words.text.len());
        facts.push(Fact { id, name, amount, span, source, status });
    }
    facts
}

/// The sources of a table.
pub(super) fn read_sources(sources: &Sources, file: FileId, sink: &mut Diagnostics) -> Vec<Source> {
    let mut read = Vec::new();
    for row in parse_rows(sources, file, "source", sink) {
        let entry = Entry::new(&row, "a source", SOURCE, &["note"], sink);
        let (id, title) = (entry.text("id", sink), entry.text("title", sink));
        let (kind, note) = (entry.choice("kind", &KINDS, sink), entry.text("note", sink));
        if let (Some(id), Some(title), Some(kind)) = (id, title, kind) {
            read.push(Source { id, title, kind, note });
        }
    }
    read
}

/// An entry whose keys are nearly all needed.
struct Entry<'r> {
    fields: Fields<'r>,
}

impl<'r> Entry<'r> {
    /// Checks its keys; what it lacks is one finding that shows the lines to add.
    fn new(
        row: &'r Row,
        what: &'static str,
        needed: Keys,
        other: &[&'static str],
        sink: &mut Diagnostics,
    ) -> Entry<'r> {
        let known: Vec<&'static str> = needed.iter().map(|(key, _)| *key).chain(other.iter().copied()).collect();
        let fields = Fields::new(&row.table, row.at, what, &known, sink).with_losses(row.broken);
        let lacks = |key: &str| fields.get(key).is_none() && fields.is_sure(key);
        let missing: Vec<&(&str, &str)> = needed.iter().filter(|(key, _)| lacks(key)).collect();
        if !missing.is_empty() {
            let keys: Vec<&str> = missing.iter().map(|(key, _)| *key).collect();
            let lines: Vec<String> = missing.iter().map(|(key, example)| format!("{key} = {example}")).collect();
            let noun = if lines.len() == 1 { "this line" } else { "these lines" };
            sink.push(
                Diagnostic::new(Code::BadTable, format!("{what} lacks {}", listed(&keys)), row.at)
                    .label("this entry")
                    .help(format!("add {noun} to it:\n{}", lines.join("\n"))),
            );
        }
        Entry { fields }
    }

    fn text(&self, key: &str, sink: &mut Diagnostics) -> Option<String> {
        Some(text(key, &self.fields.get(key)?.value, "…", sink)?.text.trim().to_owned())
    }

    fn choice(&self, key: &str, known: &[&str], sink: &mut Diagnostics) -> Option<String> {
        choice(key, &self.fields.get(key)?.value, known, sink).map(str::to_owned)
    }
}
