//! Reads a pantry table, row by row and key by key, so that all its faults are told at once.

use super::load::table_amount;
use super::packs::{only_adds, read_addition, read_packs, read_shop};
use super::pantry::{EU_ALLERGENS, Pantry, PantryEntry, Storage, Treatment, US_ALLERGENS, line_of};
use super::status::Status;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::keys::fields::{Fields, choice, flag, list, listed, text};
use crate::keys::{Row, Value, parse_rows};
use crate::quantity::{Amount, Dimension, Exact, Units};
use crate::source::{FileId, Sources};

const KEYS: &[&str] = &[
    "id",
    "name",
    "also",
    "density",
    "density-basis",
    "density-source",
    "density-status",
    "cup-weight",
    "cup-weight-source",
    "cup-weight-status",
    "each",
    "each-source",
    "each-status",
    "allergens",
    "allergens-us",
    "allergens-note",
    "keeping",
    "perishable",
    "fat",
    "acid",
    "raw",
    "tags",
    "packs",
    "shop",
];

/// Keys that every entry has.
const NEEDED: [&str; 6] = ["id", "name", "allergens", "allergens-us", "keeping", "perishable"];

/// Adds a table's rows; names that an earlier table took stay with it.
pub(super) fn read_pantry(sources: &Sources, file: FileId, units: &Units, pantry: &mut Pantry, sink: &mut Diagnostics) {
    let first = pantry.entries.len();
    for row in parse_rows(sources, file, "ingredient", sink) {
        if only_adds(&row, &NEEDED) {
            pantry.additions.extend(read_addition(&row, units, sink));
            continue;
        }
        let fields = Fields::new(&row.table, row.at, "a pantry entry", KEYS, sink).with_losses(row.broken);
        let entry = Reader { fields: &fields, row: &row, units, sink }.entry();
        if let Some(entry) = entry {
            add(pantry, first, entry, sink);
        }
    }
}

/// Gives an entry its names.
fn add(pantry: &mut Pantry, first: usize, entry: PantryEntry, sink: &mut Diagnostics) {
    let index = pantry.entries.len();
    for name in entry.also.iter().chain([&entry.name, &entry.id]) {
        let key = name.to_lowercase();
        match pantry.by_name.get(&key) {
            Some(&taken) if taken >= first && taken != index => {
                let other = &pantry.entries[taken];
                let message = format!("`{name}` is a name of both `{}` and `{}`", other.name, entry.name);
                let found = Diagnostic::new(Code::DuplicateId, message, entry.span).related(other.span, "the other");
                sink.push(found.help("leave it to one of the two"));
            }
            Some(_) => {}
            None => {
                pantry.by_name.insert(key, index);
            }
        }
    }
    pantry.entries.push(entry);
}

/// A figure's source and status.
type Evidence = (Option<String>, Option<Status>);

struct Reader<'r, 't> {
    fields: &'r Fields<'t>,
    row: &'r Row,
    units: &'r Units,
    sink: &'r mut Diagnostics,
}

impl<'t> Reader<'_, 't> {
    /// The entry; nothing where not even a name is known.
    fn entry(mut self) -> Option<PantryEntry> {
        self.say_what_is_missing();
        let id = self.text("id", "heritage-flour");
        let name = self.text("name", "heritage flour").or_else(|| id.clone())?;
        let (density_source, density_status) = self.evidence("density-source", "density-status");
        let (cup_source, cup_status) = self.evidence("cup-weight-source", "cup-weight-status");
        let (each_source, each_status) = self.evidence("each-source", "each-status");
        let cup_weight = self.amount("cup-weight", Dimension::Mass, "244 g");
        Some(PantryEntry {
            id: id.unwrap_or_else(|| name.clone()),
            name,
            also: self.texts("also", "[\"curds\"]"),
            density: self.density(),
            density_basis: self.text("density-basis", "244 g per US cup"),
            cup_weight,
            cup_weight_source: cup_weight.and(cup_source.or_else(|| density_source.clone())),
            cup_weight_status: cup_weight.and(cup_status.or(density_status)),
            density_source,
            density_status,
            each: self.amount("each", Dimension::Mass, "50 g"),
            each_source,
            each_status,
            allergens: self.chosen("allergens", &EU_ALLERGENS),
            allergens_us: self.chosen("allergens-us", &US_ALLERGENS),
            allergens_note: self.text("allergens-note", "confirm from the pack"),
            // An entry that does not say is taken for what spoils first; the gate is shut then anyway.
            keeping: self.one_of("keeping", &Storage::NAMES, Storage::from_name).unwrap_or(Storage::Chilled),
            perishable: self.value("perishable").and_then(|value| flag("perishable", value, self.sink)).unwrap_or(true),
            fat: self.amount("fat", Dimension::Share, "3.25 %"),
            acid: self.amount("acid", Dimension::Share, "5 %"),
            raw: self.one_of("raw", &Treatment::NAMES, Treatment::from_name),
            tags: self.texts("tags", "[\"dairy\"]"),
            packs: self.value("packs").map_or_else(Vec::new, |value| read_packs(value, self.units, self.sink)),
            shop: self.value("shop").and_then(|value| read_shop(value, self.sink)),
            span: self.fields.get("id").map_or(self.row.at, |entry| entry.value.span),
        })
    }

    /// All that an entry lacks in one finding, with the very lines to add.
    fn say_what_is_missing(&mut self) {
        let mut missing: Vec<&str> = NEEDED.into_iter().filter(|key| self.lacks(key)).collect();
        let has = |key: &str| self.fields.get(key).is_some();
        let figures = [
            ("density", "density-source", "density-status"),
            ("each", "each-source", "each-status"),
            ("cup-weight", "cup-weight-source", "cup-weight-status"),
        ];
        for (figure, source, status) in figures {
            // A cup's weight may rest on the density's source.
            let borrowed = figure == "cup-weight" && has("density") && !has(source) && !has(status);
            if has(figure) && !borrowed {
                missing.extend([source, status].into_iter().filter(|key| self.lacks(key)));
            }
        }
        if missing.is_empty() {
            return;
        }
        let lines: Vec<String> = missing.iter().map(|key| line_of(key)).collect();
        let named = ["name", "id"].into_iter().find_map(|key| match &self.fields.get(key)?.value.kind {
            crate::keys::ValueKind::Text(text) => Some(format!("the pantry entry `{}`", text.text)),
            _ => None,
        });
        let who = named.unwrap_or_else(|| "a pantry entry".to_owned());
        let noun = if lines.len() == 1 { "this line" } else { "these lines" };
        self.sink.push(
            Diagnostic::new(Code::BadTable, format!("{who} lacks {}", listed(&missing)), self.row.at)
                .label("this entry")
                .help(format!("add {noun} to it:\n{}", lines.join("\n"))),
        );
    }

    fn lacks(&self, key: &str) -> bool {
        self.fields.get(key).is_none() && self.fields.is_sure(key)
    }

    fn value(&self, key: &str) -> Option<&'t Value> {
        Some(&self.fields.get(key)?.value)
    }

    fn text(&mut self, key: &str, example: &str) -> Option<String> {
        Some(text(key, self.value(key)?, example, self.sink)?.text.trim().to_owned())
    }

    fn texts(&mut self, key: &str, example: &str) -> Vec<String> {
        let Some(value) = self.value(key) else { return Vec::new() };
        let items = list(key, value, example, self.sink);
        items.iter().filter_map(|item| Some(text(key, item, "…", self.sink)?.text.trim().to_owned())).collect()
    }

    /// A list of words that are known beforehand.
    fn chosen(&mut self, key: &str, known: &[&str]) -> Vec<String> {
        let Some(value) = self.value(key) else { return Vec::new() };
        let items = list(key, value, "[\"milk\"]", self.sink);
        items.iter().filter_map(|item| choice(key, item, known, self.sink).map(str::to_owned)).collect()
    }

    fn one_of<T>(&mut self, key: &str, known: &[&str], read: fn(&str) -> Option<T>) -> Option<T> {
        choice(key, self.value(key)?, known, self.sink).and_then(read)
    }

    fn evidence(&mut self, source: &str, status: &str) -> Evidence {
        (self.text(source, "weighed at home"), self.one_of(status, &Status::NAMES, Status::from_name))
    }

    fn amount(&mut self, key: &str, kind: Dimension, example: &str) -> Option<Amount> {
        let words = text(key, self.value(key)?, example, self.sink)?;
        let amount = table_amount(words, self.units, self.sink)?;
        if amount.dimension() == kind {
            return Some(amount);
        }
        let message =
            format!("`{key}` needs {}, and `{}` is {}", kind.in_words(), words.text, amount.dimension().in_words());
        let found = Diagnostic::new(Code::WrongKind, message, words.home(0..words.text.len()));
        self.sink.push(found.help(format!("write it like `{key} = \"{example}\"`")));
        None
    }

    fn density(&mut self) -> Option<Exact> {
        let words = text("density", self.value("density")?, "1.03", self.sink)?;
        // Osmium, the densest thing there is, weighs 22.6 g per mL.
        let value = Exact::parse(words.text.trim()).filter(|value| *value > Exact::ZERO && *value < Exact::whole(25));
        if value.is_none() {
            let message = format!("density `{}` is not a number of grams per millilitre", words.text);
            let found = Diagnostic::new(Code::BadTable, message, words.home(0..words.text.len()));
            self.sink.push(found.help("write it like \"1.03\""));
        }
        value
    }
}
