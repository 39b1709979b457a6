//! Ingredients: density, allergens, other names, and where each figure comes from.

use super::packs::{Addition, Pack, Section};
use super::status::Status;
use crate::quantity::{Amount, Exact};
use crate::source::Span;
use std::collections::BTreeMap;

/// All ingredients a course may use.
#[derive(Debug, Clone, Default)]
pub struct Pantry {
    pub(super) entries: Vec<PantryEntry>,
    pub(super) by_name: BTreeMap<String, usize>,
    /// What is still to be added to entries.
    pub(super) additions: Vec<Addition>,
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
    /// What the density was worked out from, in words: `244 g per US cup`.
    pub density_basis: Option<String>,
    /// Id of the density's source, or its words.
    pub density_source: Option<String>,
    /// How well the density is known.
    pub density_status: Option<Status>,
    /// Weight of a US cup as the trade uses it.
    pub cup_weight: Option<Amount>,
    /// Source of the cup's weight; the density's where the entry names none.
    pub cup_weight_source: Option<String>,
    /// How well the cup's weight is known.
    pub cup_weight_status: Option<Status>,
    /// Usual weight of one piece.
    pub each: Option<Amount>,
    /// Source of the piece's weight.
    pub each_source: Option<String>,
    /// How well the piece's weight is known.
    pub each_status: Option<Status>,
    /// Allergens by EU law, as ids of [`EU_ALLERGENS`].
    pub allergens: Vec<String>,
    /// Allergens by US law, as ids of [`US_ALLERGENS`].
    pub allergens_us: Vec<String>,
    /// What must be confirmed from the pack.
    pub allergens_note: Option<String>,
    /// How it is stored.
    pub keeping: Storage,
    /// Whether it spoils when warm.
    pub perishable: bool,
    /// Share of fat, by weight.
    pub fat: Option<Amount>,
    /// Acidity of vinegars, juices and acids: the least usually sold under this name.
    pub acid: Option<Amount>,
    /// How milk and cream were heated.
    pub raw: Option<Treatment>,
    /// Attributes and tags for cautions.
    pub tags: Vec<String>,
    /// The packs it is sold in.
    pub packs: Vec<Pack>,
    /// The part of the shop that the entry names.
    pub shop: Option<Section>,
    /// Where it is written.
    pub span: Span,
}

/// Allergens that must be named in the EU and the UK. Source: Regulation (EU) No 1169/2011, Annex II.
pub const EU_ALLERGENS: [&str; 14] = [
    "gluten",
    "crustaceans",
    "eggs",
    "fish",
    "peanuts",
    "soya",
    "milk",
    "nuts",
    "celery",
    "mustard",
    "sesame",
    "sulphites",
    "lupin",
    "molluscs",
];

/// Major food allergens of the US. Source: FALCPA 2004 and the FASTER Act of 2021.
pub const US_ALLERGENS: [&str; 9] =
    ["milk", "eggs", "fish", "crustacean-shellfish", "tree-nuts", "peanuts", "wheat", "soybeans", "sesame"];

/// How an ingredient is stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Storage {
    /// In the fridge.
    Chilled,
    /// In the freezer.
    Frozen,
    /// In a cool room.
    Cool,
    /// On a shelf.
    Dry,
}

impl Storage {
    /// The words of the tables.
    pub const NAMES: [&str; 4] = ["chilled", "frozen", "cool", "dry"];

    /// As the tables write it.
    pub fn name(self) -> &'static str {
        Storage::NAMES[self as usize]
    }

    /// Reads the word of the tables.
    pub fn from_name(name: &str) -> Option<Storage> {
        [Storage::Chilled, Storage::Frozen, Storage::Cool, Storage::Dry].into_iter().find(|kept| kept.name() == name)
    }
}

/// How milk or cream was heated before it was sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Treatment {
    /// Not at all.
    Raw,
    /// Pasteurised.
    Pasteurised,
    /// Ultra-heat-treated.
    Uht,
    /// The name does not tell: cautions take it for raw.
    Unknown,
}

impl Treatment {
    /// The words of the tables.
    pub const NAMES: [&str; 4] = ["raw", "pasteurised", "uht", "unknown"];

    /// As the tables write it.
    pub fn name(self) -> &'static str {
        Treatment::NAMES[self as usize]
    }

    /// Reads the word of the tables.
    pub fn from_name(name: &str) -> Option<Treatment> {
        [Treatment::Raw, Treatment::Pasteurised, Treatment::Uht, Treatment::Unknown]
            .into_iter()
            .find(|treatment| treatment.name() == name)
    }
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
             density-source = \"…\"\n{}\n{}\n{}\n{}\n{}",
            id.to_lowercase(),
            line_of("density-status"),
            line_of("allergens"),
            line_of("allergens-us"),
            line_of("keeping"),
            line_of("perishable"),
        )
    }
}

/// The line to write for a key of an entry, with what may stand there.
pub(super) fn line_of(key: &str) -> String {
    let rest = match key {
        "id" => "\"heritage-flour\"       # small letters, digits and hyphens",
        "name" => "\"heritage flour\"",
        "density-status" | "cup-weight-status" | "each-status" => {
            "\"from memory\"  # or \"published\", or \"common practice\""
        }
        "allergens" => "[\"…\"]        # EU names, such as \"milk\"; [] only if you are sure there are none",
        "allergens-us" => "[\"…\"]     # US names, such as \"wheat\"; [] only if you are sure there are none",
        "keeping" => "\"chilled\"      # chilled, frozen, cool or dry",
        "perishable" => "true        # whether it spoils when warm",
        _ => "\"…\"             # where the figure comes from, in words",
    };
    format!("{key} = {rest}")
}
