//! Loads the tables and joins the course's own to the built-in ones.

use super::pantry::{Pantry, read_pantry};
use super::units::{Oven, read_units};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::quantity::{Amount, Home, Units, parse_amount};
use crate::source::{FileId, Sources, Span};
use serde::Deserialize;
use std::collections::BTreeMap;
use toml::Spanned;

/// The built-in tables, compiled in: path and text.
pub const BUILT_IN: &[(&str, &str)] = &[
    ("shared/units.toml", include_str!("../../shared/units.toml")),
    ("shared/sources.toml", include_str!("../../shared/sources.toml")),
    ("shared/sources-pantry.toml", include_str!("../../shared/sources-pantry.toml")),
    ("shared/pantry.toml", include_str!("../../shared/pantry.toml")),
    ("shared/facts.toml", include_str!("../../shared/facts.toml")),
    ("shared/glossary.md", include_str!("../../shared/glossary.md")),
];

/// Everything the trade knows that a course does not have to say.
#[derive(Debug, Clone)]
pub struct Reference {
    /// Units, as the author's home means them.
    pub units: Units,
    /// Settings of an oven's dial, coolest first.
    pub ovens: Vec<Oven>,
    /// Ingredients: the course's own before the built-in ones.
    pub pantry: Pantry,
    /// Measures that hold for every lesson.
    pub facts: Vec<Fact>,
    /// Sources by id.
    pub sources: BTreeMap<String, Source>,
}

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
    /// Id of its source.
    pub source: String,
    /// published, common practice or from memory.
    pub status: String,
}

/// Where a figure comes from.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
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

/// Which tables to load.
#[derive(Debug, Clone, Copy, Default)]
pub struct CourseTables {
    /// The course's `pantry.toml`.
    pub pantry: Option<FileId>,
    /// The course's `facts.toml`.
    pub facts: Option<FileId>,
}

impl Reference {
    /// The built-in tables alone.
    pub fn built_in(home: Home) -> Reference {
        let mut sources = Sources::default();
        for (path, text) in BUILT_IN {
            sources.add(*path, text);
        }
        Reference::load(&sources, home, CourseTables::default(), &mut Diagnostics::default())
    }

    /// The built-in tables in `sources` (by their path) and the course's own.
    pub fn load(sources: &Sources, home: Home, own: CourseTables, sink: &mut Diagnostics) -> Reference {
        let mut shared: BTreeMap<&str, FileId> = BTreeMap::new();
        for (id, file) in sources.iter() {
            shared.entry(file.path.as_str()).or_insert(id);
        }
        let shared = |path: &str| shared.get(path).copied();
        let (units, ovens) = match shared("shared/units.toml") {
            Some(file) => read_units(sources, file, home, sink),
            None => (crate::quantity::UnitsBuilder::default().build(), Vec::new()),
        };
        let mut known = BTreeMap::new();
        for path in ["shared/sources.toml", "shared/sources-pantry.toml"] {
            let Some(file) = shared(path) else { continue };
            let table: SourceTable = read_table(sources, file, sink).unwrap_or_default();
            known.extend(table.source.into_iter().map(|source| (source.id.clone(), source)));
        }
        let mut pantry = Pantry::default();
        let mut facts: Vec<Fact> = Vec::new();
        for file in [own.pantry, shared("shared/pantry.toml")].into_iter().flatten() {
            read_pantry(sources, file, &units, &mut pantry, sink);
        }
        for file in [own.facts, shared("shared/facts.toml")].into_iter().flatten() {
            let table: FactTable = read_table(sources, file, sink).unwrap_or_default();
            for row in table.fact {
                if facts.iter().any(|fact| fact.id == row.id) {
                    continue; // the course's own comes first and wins
                }
                let span = inside_quotes(sources, Span::new(file, row.measure.span()));
                match parse_amount(row.measure.get_ref(), &units) {
                    Ok(amount) => facts.push(Fact {
                        id: row.id,
                        name: row.name,
                        amount,
                        span,
                        source: row.source,
                        status: row.status,
                    }),
                    Err(error) => {
                        sink.push(Diagnostic::new(Code::BadAmount, error.to_string(), span).label("this measure"));
                    }
                }
            }
        }
        Reference { units, ovens, pantry, facts, sources: known }
    }

    /// Title of a source, or its id where no table lists it.
    pub fn source_title<'a>(&'a self, id: &'a str) -> &'a str {
        self.sources.get(id).map_or(id, |source| &source.title)
    }
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct SourceTable {
    #[serde(default)]
    source: Vec<Source>,
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct FactTable {
    #[serde(default)]
    fact: Vec<FactRow>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FactRow {
    id: String,
    name: String,
    measure: Spanned<String>,
    source: String,
    status: String,
}

/// Reads a whole table file; what is wrong becomes a finding at its place.
pub(super) fn read_table<T: serde::de::DeserializeOwned>(
    sources: &Sources,
    file: FileId,
    sink: &mut Diagnostics,
) -> Option<T> {
    match toml::from_str(&sources.get(file).text) {
        Ok(table) => Some(table),
        Err(error) => {
            let range = error.span().unwrap_or(0..0);
            let message = error.message().lines().next().unwrap_or("this table cannot be read").to_owned();
            sink.push(
                Diagnostic::new(Code::BadTable, message, Span::new(file, range))
                    .help("see the handbook for the keys an entry needs"),
            );
            None
        }
    }
}

/// The place of a TOML string without its quotes.
pub(crate) fn inside_quotes(sources: &Sources, span: Span) -> Span {
    let text = sources.text(span);
    for quote in ["\"\"\"", "'''", "\"", "'"] {
        if text.len() >= 2 * quote.len() && text.starts_with(quote) && text.ends_with(quote) {
            return Span { start: span.start + quote.len(), end: span.end - quote.len(), ..span };
        }
    }
    span
}
