//! `shared/units.toml`: what each unit is worth and how it is spelt.

use super::load::read_table;
use super::status::Status;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::quantity::{Dimension, Exact, Home, System, Unit, Units, UnitsBuilder};
use crate::source::{FileId, Sources, Span};
use serde::Deserialize;
use toml::Spanned;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[serde(default)]
    unit: Vec<UnitRow>,
    #[serde(default)]
    bare: Vec<BareRow>,
    #[serde(default)]
    oven: Vec<OvenRow>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct UnitRow {
    id: Spanned<String>,
    dimension: String,
    system: String,
    size: String,
    #[serde(default)]
    zero: Option<String>,
    symbol: String,
    one: String,
    many: String,
    #[serde(default)]
    symbols: Vec<String>,
    #[serde(default)]
    words: Vec<String>,
    #[serde(default)]
    approximate: bool,
    source: String,
    status: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BareRow {
    #[serde(default)]
    symbols: Vec<String>,
    #[serde(default)]
    words: Vec<String>,
    symbol: String,
    one: String,
    many: String,
    uk: Spanned<String>,
    us: Spanned<String>,
    au: Spanned<String>,
    nz: Spanned<String>,
    ca: Spanned<String>,
    source: String,
    status: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct OvenRow {
    mark: Spanned<String>,
    fahrenheit: String,
    celsius: String,
    also_celsius: Vec<String>,
    source: String,
    status: String,
}

impl BareRow {
    fn unit_at(&self, home: Home) -> &Spanned<String> {
        match home {
            Home::Uk => &self.uk,
            Home::Us => &self.us,
            Home::Au => &self.au,
            Home::Nz => &self.nz,
            Home::Ca => &self.ca,
        }
    }
}

/// One setting of an oven's dial, in its three scales. None is an exact conversion of another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Oven {
    /// Gas mark.
    pub mark: Exact,
    /// On a dial in °F.
    pub fahrenheit: Exact,
    /// On a dial in °C, as usually printed.
    pub celsius: Exact,
    /// Other figures in print for the same setting, °C.
    pub also_celsius: Vec<Exact>,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

impl OvenRow {
    fn oven(&self) -> Option<Oven> {
        Some(Oven {
            mark: Exact::parse(self.mark.get_ref())?,
            fahrenheit: Exact::parse(&self.fahrenheit)?,
            celsius: Exact::parse(&self.celsius)?,
            also_celsius: self.also_celsius.iter().map(|text| Exact::parse(text)).collect::<Option<_>>()?,
            source: self.source.clone(),
            status: Status::from_name(&self.status)?,
        })
    }
}

/// Whether a row says where its figure comes from.
fn has_evidence(source: &str, status: &str) -> bool {
    !source.is_empty() && Status::from_name(status).is_some()
}

/// Reads the table as an author in `home` means it.
pub(super) fn read_units(sources: &Sources, file: FileId, home: Home, sink: &mut Diagnostics) -> (Units, Vec<Oven>) {
    let mut builder = UnitsBuilder::default();
    let Some(table) = read_table::<Table>(sources, file, sink) else { return (builder.build(), Vec::new()) };
    let bad = |sink: &mut Diagnostics, at: &Spanned<String>, what: &str| {
        sink.push(Diagnostic::new(
            Code::BadTable,
            format!("unit `{}`: {what}", at.get_ref()),
            Span::new(file, at.span()),
        ));
    };
    for row in &table.unit {
        let (true, Some(dimension), Some(system), Some(size), Some(zero)) = (
            has_evidence(&row.source, &row.status),
            Dimension::from_name(&row.dimension),
            System::from_name(&row.system),
            Exact::parse(&row.size).filter(|size| *size > Exact::ZERO),
            row.zero.as_deref().map_or(Some(Exact::ZERO), Exact::parse),
        ) else {
            bad(sink, &row.id, "its dimension, system, size, zero, source or status cannot be read");
            continue;
        };
        let unit = builder.unit(Unit {
            id: row.id.get_ref().clone(),
            dimension,
            system,
            size,
            zero,
            symbol: row.symbol.clone(),
            one: row.one.clone(),
            many: row.many.clone(),
            approximate: row.approximate,
            source: row.source.clone(),
        });
        row.symbols.iter().for_each(|text| builder.symbol(text, unit, false));
        row.words.iter().for_each(|text| builder.word(text, unit, false));
    }
    for row in &table.bare {
        let id = row.unit_at(home);
        if !has_evidence(&row.source, &row.status) {
            bad(sink, id, "what a bare word means here has no source, or a status that we do not know");
        }
        let Some(unit) = builder.find(id.get_ref()) else {
            bad(sink, id, "there is no such unit");
            continue;
        };
        row.symbols.iter().for_each(|text| builder.symbol(text, unit, true));
        row.words.iter().for_each(|text| builder.word(text, unit, true));
        builder.bare_names(unit, &row.symbol, &row.one, &row.many);
    }
    let mut ovens = Vec::new();
    for row in &table.oven {
        match row.oven() {
            Some(oven) => ovens.push(oven),
            None => bad(sink, &row.mark, "a figure of this oven setting cannot be read"),
        }
    }
    (builder.build(), ovens)
}
