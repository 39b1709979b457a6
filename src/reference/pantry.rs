//! Ingredients: density, allergens, other names, and where each figure comes from.

use super::load::{inside_quotes, read_table};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::quantity::{Amount, Exact, Units, parse_amount};
use crate::source::{FileId, Sources, Span};
use serde::Deserialize;
use std::collections::BTreeMap;
use toml::Spanned;

/// All ingredients a course may use.
#[derive(Debug, Clone, Default)]
pub struct Pantry {
    entries: Vec<PantryEntry>,
    by_name: BTreeMap<String, usize>,
}

/// One ingredient.
#[derive(Debug, Clone, PartialEq)]
pub struct PantryEntry {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Other names and plurals.
    pub also: Vec<String>,
    /// Grams per millilitre.
    pub density: Option<Exact>,
    /// Id of the density's source.
    pub density_source: Option<String>,
    /// Weight of a US cup as the trade uses it.
    pub cup_weight: Option<Amount>,
    /// Usual weight of one piece.
    pub each: Option<Amount>,
    /// Allergens by EU law, as ids.
    pub allergens: Vec<String>,
    /// Allergens by US law, as ids.
    pub allergens_us: Vec<String>,
    /// What must be confirmed from the pack.
    pub allergens_note: Option<String>,
    /// Whether it spoils when warm.
    pub perishable: bool,
    /// Attributes and tags for cautions.
    pub tags: Vec<String>,
    /// Where it is written.
    pub span: Span,
}

impl Pantry {
    /// An entry by index.
    pub fn get(&self, index: usize) -> &PantryEntry {
        &self.entries[index]
    }

    /// All entries.
    pub fn iter(&self) -> std::slice::Iter<'_, PantryEntry> {
        self.entries.iter()
    }

    /// The entry that a name means, in any letter case.
    pub fn find(&self, name: &str) -> Option<usize> {
        self.by_name.get(&name.to_lowercase()).copied()
    }

    /// All names, in order, for "did you mean".
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.by_name.keys().map(String::as_str)
    }

    /// The lines to add to a course's `pantry.toml` for a name it lacks.
    pub fn lines_to_add(name: &str) -> String {
        let id: String = name.chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
        format!(
            "[[ingredient]]\nid = \"{}\"\nname = \"{name}\"\ndensity = \"…\"          # g per mL; leave out if it is never measured by volume\n\
             density-source = \"…\"\ndensity-status = \"from memory\"\nallergens = []           # EU names, such as \"milk\"; [] only if you are sure there are none\n\
             allergens-us = []\nkeeping = \"chilled\"      # chilled, frozen, cool or dry\nperishable = true",
            id.to_lowercase()
        )
    }
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[serde(default)]
    ingredient: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[expect(dead_code, reason = "some figures are read for their shape only until a stage shows them")]
struct Row {
    id: Spanned<String>,
    name: String,
    #[serde(default)]
    also: Vec<String>,
    density: Option<Spanned<String>>,
    density_basis: Option<String>,
    density_source: Option<String>,
    density_status: Option<String>,
    cup_weight: Option<Spanned<String>>,
    cup_weight_source: Option<String>,
    cup_weight_status: Option<String>,
    each: Option<Spanned<String>>,
    each_source: Option<String>,
    each_status: Option<String>,
    allergens: Vec<String>,
    allergens_us: Vec<String>,
    allergens_note: Option<String>,
    keeping: String,
    perishable: bool,
    fat: Option<Spanned<String>>,
    acid: Option<Spanned<String>>,
    raw: Option<String>,
    #[serde(default)]
    tags: Vec<String>,
}

/// Adds a table's rows; names that an earlier table took stay with it.
pub(super) fn read_pantry(sources: &Sources, file: FileId, units: &Units, pantry: &mut Pantry, sink: &mut Diagnostics) {
    let table: Table = read_table(sources, file, sink).unwrap_or_default();
    let first = pantry.entries.len();
    for row in table.ingredient {
        let at = Span::new(file, row.id.span());
        let mut amount = |text: &Option<Spanned<String>>| -> Option<Amount> {
            let text = text.as_ref()?;
            match parse_amount(text.get_ref(), units) {
                Ok(amount) => Some(amount),
                Err(error) => {
                    let span = inside_quotes(sources, Span::new(file, text.span()));
                    sink.push(Diagnostic::new(Code::BadAmount, error.to_string(), span));
                    None
                }
            }
        };
        let (cup_weight, each) = (amount(&row.cup_weight), amount(&row.each));
        let (_fat, _acid) = (amount(&row.fat), amount(&row.acid));
        let density = row.density.as_ref().and_then(|text| {
            let value = Exact::parse(text.get_ref()).filter(|value| *value > Exact::ZERO && *value < Exact::whole(25));
            if value.is_none() {
                let span = inside_quotes(sources, Span::new(file, text.span()));
                let message = format!("density `{}` is not a number of grams per millilitre", text.get_ref());
                sink.push(Diagnostic::new(Code::BadTable, message, span).help("write it like \"1.03\""));
            }
            value
        });
        if density.is_some() && (row.density_source.is_none() || row.density_status.is_none()) {
            let message = format!("`{}` has a density without a source", row.name);
            sink.push(Diagnostic::new(Code::BadTable, message, at).help(
                "add density-source = \"…\" and density-status = \"published\", \"common practice\" or \"from memory\"",
            ));
        }
        let index = pantry.entries.len();
        let id = row.id.into_inner();
        for name in row.also.iter().chain([&row.name, &id]) {
            let key = name.to_lowercase();
            match pantry.by_name.get(&key) {
                Some(&taken) if taken >= first && taken != index => {
                    let other = &pantry.entries[taken].name;
                    let message = format!("`{name}` is a name of both `{other}` and `{}`", row.name);
                    sink.push(Diagnostic::new(Code::DuplicateId, message, at).help("leave it to one of the two"));
                }
                Some(_) => {}
                None => {
                    pantry.by_name.insert(key, index);
                }
            }
        }
        pantry.entries.push(PantryEntry {
            id,
            name: row.name,
            also: row.also,
            density,
            density_source: row.density_source,
            cup_weight,
            each,
            allergens: row.allergens,
            allergens_us: row.allergens_us,
            allergens_note: row.allergens_note,
            perishable: row.perishable,
            tags: row.tags,
            span: at,
        });
    }
}
