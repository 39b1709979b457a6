//! `shared/units.toml`: what each unit is worth and how it is spelt.

use super::load::{Manner, read_table};
use super::status::Status;
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics};
use crate::keys::fields::listed;
use crate::keys::near::nearest;
use crate::quantity::{Convention, Dimension, Exact, GasMark, Home, System, Unit, Units, UnitsBuilder};
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
    #[serde(default)]
    convention: Vec<ConventionRow>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ConventionRow {
    id: Spanned<String>,
    unit: String,
    size: String,
    #[serde(default)]
    default: bool,
    source: String,
    status: String,
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
    #[serde(default)]
    pair_celsius: Vec<String>,
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
    /// Those of them that may stand beside the °F as the same setting.
    pub pair_celsius: Vec<Exact>,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

impl OvenRow {
    fn oven(&self) -> Option<Oven> {
        let figures = |texts: &[String]| texts.iter().map(|text| Exact::parse(text)).collect::<Option<Vec<Exact>>>();
        Some(Oven {
            mark: Exact::parse(self.mark.get_ref())?,
            fahrenheit: Exact::parse(&self.fahrenheit)?,
            celsius: Exact::parse(&self.celsius)?,
            also_celsius: figures(&self.also_celsius)?,
            pair_celsius: figures(&self.pair_celsius)?,
            source: self.source.clone(),
            status: Status::from_name(&self.status)?,
        })
    }
}

/// Where what a unit is worth comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitEvidence {
    /// Which kind of row.
    pub of: EvidenceOf,
    /// Id of the unit, or of the convention.
    pub id: String,
    /// Id of its source.
    pub source: String,
    /// How well it is known.
    pub status: Status,
}

/// The kinds of rows about units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EvidenceOf {
    /// A unit by its full name.
    Unit,
    /// A bare word, as the course's home means it.
    Bare,
    /// A convention of the trade.
    Convention,
}

fn evidence(of: EvidenceOf, id: &str, source: &str, status: &str) -> Option<UnitEvidence> {
    let status = Status::from_name(status)?;
    Some(UnitEvidence { of, id: id.to_owned(), source: source.to_owned(), status })
}

/// What the table of units gives.
pub(super) struct UnitTable {
    pub units: Units,
    pub ovens: Vec<Oven>,
    pub evidence: Vec<UnitEvidence>,
}

/// Whether a row says where its figure comes from.
fn has_evidence(source: &str, status: &str) -> bool {
    !source.is_empty() && Status::from_name(status).is_some()
}

/// Reads the table as an author means it who writes in this manner.
pub(super) fn read_units(sources: &Sources, file: FileId, manner: &Manner, sink: &mut Diagnostics) -> UnitTable {
    let Some(table) = read_table::<Table>(sources, file, sink) else {
        return UnitTable { units: UnitsBuilder::default().build(), ovens: Vec::new(), evidence: Vec::new() };
    };
    let mut reader = Reader { file, manner, builder: UnitsBuilder::default(), sink };
    reader.builder.style(manner.style);
    table.unit.iter().for_each(|row| reader.unit(row));
    table.bare.iter().for_each(|row| reader.bare(row));
    let ovens = table.oven.iter().filter_map(|row| reader.oven(row)).collect();
    table.convention.iter().for_each(|row| reader.convention(row));
    let units = reader.builder.build();
    refuse_unknown(&table.convention, manner, sink);
    let of_units = table.unit.iter().map(|row| evidence(EvidenceOf::Unit, row.id.get_ref(), &row.source, &row.status));
    let of_bare = table.bare.iter().map(|row| {
        let unit = row.unit_at(manner.home).get_ref();
        evidence(EvidenceOf::Bare, unit, &row.source, &row.status)
    });
    let of_conventions = table.convention.iter();
    let of_conventions =
        of_conventions.map(|row| evidence(EvidenceOf::Convention, row.id.get_ref(), &row.source, &row.status));
    let evidence = of_units.chain(of_bare).chain(of_conventions).flatten().collect();
    UnitTable { units, ovens, evidence }
}

struct Reader<'r> {
    file: FileId,
    manner: &'r Manner,
    builder: UnitsBuilder,
    sink: &'r mut Diagnostics,
}

impl Reader<'_> {
    fn bad(&mut self, at: &Spanned<String>, what: &str) {
        let message = format!("`{}`: {what}", at.get_ref());
        self.sink.push(Diagnostic::new(Code::BadTable, message, Span::new(self.file, at.span())));
    }

    fn unit(&mut self, row: &UnitRow) {
        let (true, Some(dimension), Some(system), Some(size), Some(zero)) = (
            has_evidence(&row.source, &row.status),
            Dimension::from_name(&row.dimension),
            System::from_name(&row.system),
            Exact::parse(&row.size).filter(|size| *size > Exact::ZERO),
            row.zero.as_deref().map_or(Some(Exact::ZERO), Exact::parse),
        ) else {
            return self.bad(&row.id, "its dimension, system, size, zero, source or status cannot be read");
        };
        let unit = self.builder.unit(Unit {
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
        row.symbols.iter().for_each(|text| self.builder.symbol(text, unit, false));
        row.words.iter().for_each(|text| self.builder.word(text, unit, false));
    }

    fn bare(&mut self, row: &BareRow) {
        let id = row.unit_at(self.manner.home);
        if !has_evidence(&row.source, &row.status) {
            self.bad(id, "what a bare word means here has no source, or a status that we do not know");
        }
        let Some(unit) = self.builder.find(id.get_ref()) else { return self.bad(id, "there is no such unit") };
        row.symbols.iter().for_each(|text| self.builder.symbol(text, unit, true));
        row.words.iter().for_each(|text| self.builder.word(text, unit, true));
        self.builder.bare_names(unit, &row.symbol, &row.one, &row.many);
    }

    fn oven(&mut self, row: &OvenRow) -> Option<Oven> {
        let Some(oven) = row.oven() else {
            self.bad(&row.mark, "a figure of this oven setting cannot be read");
            return None;
        };
        oven.pair_celsius.iter().chain([&oven.celsius]).for_each(|c| self.builder.dial(*c, oven.fahrenheit));
        let celsius = std::iter::once(oven.celsius).chain(oven.also_celsius.iter().copied()).collect();
        self.builder.gas_mark(GasMark { mark: oven.mark, celsius, fahrenheit: oven.fahrenheit });
        Some(oven)
    }

    fn convention(&mut self, row: &ConventionRow) {
        let unit = self.builder.find(&row.unit).filter(|_| has_evidence(&row.source, &row.status));
        let size = Exact::parse(&row.size).filter(|size| *size > Exact::ZERO);
        let (Some(unit), Some(size)) = (unit, size) else {
            return self.bad(&row.id, "the unit, size, source or status of this convention cannot be read");
        };
        let id = row.id.get_ref();
        if row.default || self.manner.conventions.iter().any(|declared| declared.text == *id) {
            self.builder.convention(Convention { id: id.clone(), unit, size, source: row.source.clone() });
        }
    }
}

/// Conventions that a course declares and no table has.
fn refuse_unknown(rows: &[ConventionRow], manner: &Manner, sink: &mut Diagnostics) {
    let known = || rows.iter().map(|row| row.id.get_ref().as_str());
    for declared in manner.conventions.iter().filter(|declared| !known().any(|id| id == declared.text)) {
        let span = declared.home(0..declared.text.len());
        let message = format!("there is no convention `{}`", declared.text);
        let found = Diagnostic::new(Code::UnknownName, message, span);
        sink.push(match nearest(&declared.text, known()) {
            Some(meant) => found.help(format!("did you mean `{meant}`?")).suggest(span, meant, Confidence::NeedsACook),
            None => {
                let free: Vec<&str> =
                    rows.iter().filter(|row| !row.default).map(|row| row.id.get_ref().as_str()).collect();
                found.help(format!("it is one of {}", listed(&free)))
            }
        });
    }
}
