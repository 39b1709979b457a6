//! Loads the tables and joins the course's own to the built-in ones.

use super::cautions::Cautions;
use super::facts::{Fact, Source, read_facts, read_sources};
use super::figures::Figures;
use super::pantry::Pantry;
use super::pantry_table::read_pantry;
use super::units::{Oven, UnitEvidence, UnitTable, read_units};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::keys::Text;
use crate::quantity::print::Style;
use crate::quantity::{Amount, Home, Units, parse_amount};
use crate::source::{FileId, Sources, Span};
use std::collections::BTreeMap;

/// The built-in tables, compiled in: path and text.
pub const BUILT_IN: &[(&str, &str)] = &[
    ("shared/units.toml", include_str!("../../shared/units.toml")),
    ("shared/sources.toml", include_str!("../../shared/sources.toml")),
    ("shared/sources-pantry.toml", include_str!("../../shared/sources-pantry.toml")),
    ("shared/pantry.toml", include_str!("../../shared/pantry.toml")),
    ("shared/facts.toml", include_str!("../../shared/facts.toml")),
    ("shared/glossary.md", include_str!("../../shared/glossary.md")),
    ("shared/sources-cautions.toml", include_str!("../../shared/sources-cautions.toml")),
    ("shared/cautions.toml", include_str!("../../shared/cautions.toml")),
    ("shared/sources-figures.toml", include_str!("../../shared/sources-figures.toml")),
    ("shared/composition.toml", include_str!("../../shared/composition.toml")),
    ("shared/holds.toml", include_str!("../../shared/holds.toml")),
    ("shared/altitude.toml", include_str!("../../shared/altitude.toml")),
    ("shared/brine.toml", include_str!("../../shared/brine.toml")),
    ("shared/preserves.toml", include_str!("../../shared/preserves.toml")),
    ("shared/yields.toml", include_str!("../../shared/yields.toml")),
    ("shared/doses.toml", include_str!("../../shared/doses.toml")),
];

/// Everything the trade knows that a course does not have to say.
#[derive(Debug, Clone)]
pub struct Reference {
    /// Units, as the author's home means them.
    pub units: Units,
    /// Settings of an oven's dial, coolest first.
    pub ovens: Vec<Oven>,
    /// Where what units are worth comes from.
    pub evidence: Vec<UnitEvidence>,
    /// Ingredients: the course's own before the built-in ones.
    pub pantry: Pantry,
    /// Measures that hold for every lesson.
    pub facts: Vec<Fact>,
    /// Lists of figures behind the sums.
    pub figures: Figures,
    /// What is to be warned of.
    pub cautions: Cautions,
    /// Sources by id.
    pub sources: BTreeMap<String, Source>,
}

/// Which tables to load.
#[derive(Debug, Clone, Copy, Default)]
pub struct CourseTables {
    /// The course's `pantry.toml`.
    pub pantry: Option<FileId>,
    /// The course's `facts.toml`.
    pub facts: Option<FileId>,
}

/// How a course writes its figures.
#[derive(Debug, Clone)]
pub struct Manner {
    /// Where its author teaches.
    pub home: Home,
    /// Decimal comma or point.
    pub style: Style,
    /// Ids of the conventions it declares.
    pub conventions: Vec<Text>,
}

impl From<Home> for Manner {
    fn from(home: Home) -> Manner {
        Manner { home, style: Style::default(), conventions: Vec::new() }
    }
}

impl Reference {
    /// The built-in tables alone.
    pub fn built_in(manner: impl Into<Manner>) -> Reference {
        let mut sources = Sources::default();
        for (path, text) in BUILT_IN {
            sources.add(*path, text);
        }
        Reference::load(&sources, manner, CourseTables::default(), &mut Diagnostics::default())
    }

    /// The built-in tables in `sources` (by their path) and the course's own.
    pub fn load(sources: &Sources, manner: impl Into<Manner>, own: CourseTables, sink: &mut Diagnostics) -> Reference {
        let mut shared: BTreeMap<&str, FileId> = BTreeMap::new();
        for (id, file) in sources.iter() {
            shared.entry(file.path.as_str()).or_insert(id);
        }
        let shared = |path: &str| shared.get(path).copied();
        let UnitTable { units, ovens, evidence } = match shared("shared/units.toml") {
            Some(file) => read_units(sources, file, &manner.into(), sink),
            None => {
                let units = crate::quantity::UnitsBuilder::default().build();
                UnitTable { units, ovens: Vec::new(), evidence: Vec::new() }
            }
        };
        let mut known = BTreeMap::new();
        let lists = ["sources", "sources-pantry", "sources-figures", "sources-cautions"];
        for path in lists.map(|name| format!("shared/{name}.toml")) {
            let Some(file) = shared(&path) else { continue };
            known.extend(read_sources(sources, file, sink).into_iter().map(|source| (source.id.clone(), source)));
        }
        let mut pantry = Pantry::default();
        let mut facts: Vec<Fact> = Vec::new();
        for file in [own.pantry, shared("shared/pantry.toml")].into_iter().flatten() {
            read_pantry(sources, file, &units, &mut pantry, sink);
        }
        pantry.put_additions(sink);
        for file in [own.facts, shared("shared/facts.toml")].into_iter().flatten() {
            // The course's own come first and win.
            let new = read_facts(sources, file, &units, sink);
            let known: Vec<String> = facts.iter().map(|fact| fact.id.clone()).collect();
            facts.extend(new.into_iter().filter(|fact| !known.contains(&fact.id)));
        }
        let figures = Figures::read(sources, shared, sink);
        let cautions = Cautions::read(sources, shared("shared/cautions.toml"), sink);
        Reference { units, ovens, evidence, pantry, facts, figures, cautions, sources: known }
    }

    /// Title of a source, or its id where no table lists it.
    pub fn source_title<'a>(&'a self, id: &'a str) -> &'a str {
        self.sources.get(id).map_or(id, |source| &source.title)
    }
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

/// An amount in a table.
pub(super) fn table_amount(words: &Text, units: &Units, sink: &mut Diagnostics) -> Option<Amount> {
    match parse_amount(words.text.trim(), units) {
        Ok(amount) => Some(amount),
        Err(error) => {
            let found = Diagnostic::new(Code::BadAmount, error.to_string(), words.home(0..words.text.len()));
            sink.push(found.label("this measure").help("write it like `5 °C` or `244 g`"));
            None
        }
    }
}
