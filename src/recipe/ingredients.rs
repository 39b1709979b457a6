//! The ingredients and equipment of a recipe block.

use super::class::brought_by;
use super::context::{COUNT, Context, DOSE, LENGTH, Line, SHARE, STUFF, VOLUME, Want};
use super::model::{BroughtBy, Diluted, Equipment, From, Ingredient, MeasureId, Owner, ShareBasis, Strength, Visible};
use super::names::counted_in;
use super::table::{Fields, flag, table, text, wrong_type};
use crate::diag::{Code, Diagnostic};
use crate::lesson::{Entry, Table, Text, Value, ValueKind, trimmed};
use crate::quantity::{Amount, Dimension, Exact, print};
use crate::source::{MappedText, Span};

/// Tags of what is poured, spooned or weighed.
const NEVER_COUNTED: &[&str] =
    &["milk", "cream", "water", "vinegar", "flour", "sugar", "salt", "starch", "honey", "oil", "whey"];

const INGREDIENT: &[&str] = &[
    "amount",
    "share",
    "note",
    "scales",
    "from",
    "instead",
    "strength",
    "dose",
    "diluted",
    "brought-by",
    "never-below",
];
const DILUTED: &[&str] = &["from", "to", "with"];
const EQUIPMENT: &[&str] = &["name", "holds", "size", "count", "shared", "brought-by"];

impl Context<'_> {
    /// All ingredients, in order.
    pub fn ingredients(&mut self, table: &Table) -> Vec<Ingredient> {
        table.entries.iter().enumerate().map(|(index, entry)| self.ingredient(index, entry)).collect()
    }

    fn ingredient(&mut self, index: usize, entry: &Entry) -> Ingredient {
        let mut ingredient = Ingredient {
            id: entry.key.clone(),
            id_span: entry.key_span,
            name: entry.key.clone(),
            note: None,
            pantry: None,
            amount: None,
            share: None,
            share_basis: ShareBasis::default(),
            strength: None,
            dose: None,
            diluted: None,
            never_below: None,
            from: None,
            instead: None,
            brought_by: BroughtBy::Hall,
        };
        match &entry.value.kind {
            ValueKind::Table(table) => self.ingredient_table(index, entry, table, &mut ingredient),
            ValueKind::Text(_) => self.ingredient_line(index, &entry.key, &entry.value, &mut ingredient),
            _ => wrong_type(
                &entry.key,
                &entry.value,
                "an amount and a name in quotes",
                &format!("{} = \"4 L whole milk\"", entry.key),
                self.sink,
            ),
        }
        ingredient
    }

    fn ingredient_table(&mut self, index: usize, entry: &Entry, table: &Table, ingredient: &mut Ingredient) {
        let fields = Fields::new(table, entry.key_span, "an ingredient", INGREDIENT, self.sink);
        if let Some(note) = fields.get("note") {
            ingredient.note = self.visible_text("note", &note.value, "strained", None);
        }
        if let Some(amount) = fields.required("amount", "\"9 g fine salt\"", self.sink) {
            self.ingredient_line(index, "amount", &amount.value, ingredient);
        }
        if let Some(share) = fields.get("share")
            && let Some((id, of, basis)) = self.share(index, &entry.key, &share.value)
        {
            ingredient.share = Some((id, of));
            ingredient.share_basis = basis;
        }
        ingredient.strength = fields.get("strength").and_then(|entry| self.strength(&entry.value));
        ingredient.dose = fields.get("dose").and_then(|entry| self.dose(&ingredient.id, &entry.value));
        ingredient.diluted = fields.get("diluted").and_then(|entry| self.diluted(&ingredient.id, entry));
        ingredient.never_below = fields.get("never-below").and_then(|entry| self.never_below(&ingredient.id, entry));
        if let Some(from) = fields.get("from").and_then(|from| self.id_text("from", &from.value, "pressed-curd")) {
            let span = from.home(0..from.text.len());
            ingredient.from = Some(From { lesson: from.text.trim().to_owned(), span });
        }
        if let Some(instead) = fields.get("instead") {
            ingredient.instead = self.visible_text("instead", &instead.value, "water", None);
        }
        if let (Some(scales), Some(id)) = (self.scales(&fields), ingredient.amount) {
            self.set_scales(id, scales);
        }
        ingredient.brought_by = brought_by(&fields, self.sink);
    }

    /// `4 L whole milk, not homogenised`
    fn ingredient_line(&mut self, index: usize, key: &str, value: &Value, ingredient: &mut Ingredient) {
        let Some(Line { amount, span, rest }) = self.line(key, value, STUFF) else {
            return;
        };
        let path = format!("ingredients.{}", ingredient.id);
        let owner = Owner::Ingredient { lesson: self.lesson, ingredient: index };
        let comma = rest.text.find(',').unwrap_or(rest.text.len());
        let name = trimmed(&rest, 0..comma);
        let note = trimmed(&rest, (comma + 1).min(rest.text.len())..rest.text.len());
        if ingredient.note.is_none() && !note.text.is_empty() {
            ingredient.note = Some(self.visible(&note, None));
        }
        let name = if name.text.is_empty() { key_as_text(&ingredient.id, ingredient.id_span) } else { name };
        ingredient.pantry = self.pantry_row(&name);
        if !self.lost_its_unit(&amount, span, &name.text, ingredient.pantry) {
            ingredient.amount = Some(self.measure(&path, amount, span, owner));
        }
        ingredient.name = name.text;
    }

    /// Whether a bare number stands before something that nobody counts, such as milk; says so.
    fn lost_its_unit(&mut self, amount: &Amount, span: Span, name: &str, row: Option<usize>) -> bool {
        let Some(entry) = row.map(|row| self.pantry.get(row)) else { return false };
        let poured = entry.tags.iter().any(|tag| NEVER_COUNTED.contains(&tag.as_str()));
        let counted = entry.density.is_none() || entry.each.is_some() || counted_in(name).is_some() || !poured;
        if amount.dimension() != Dimension::Count || counted {
            return false;
        }
        let number = self.written(amount);
        let message = format!("{number} of what? {name} is weighed or measured, and `{number}` has no unit");
        let units = if amount.high.quantity.base() > Exact::whole(20) { ["g", "mL"] } else { ["kg", "L"] };
        let [weight, volume] = units.map(|unit| format!("`{number} {unit}`"));
        let help = format!("write the unit after the number, such as {weight} or {volume}");
        self.sink.push(Diagnostic::new(Code::WrongKind, message, span).help(help));
        true
    }

    fn written(&self, amount: &Amount) -> String {
        print::amount(amount, self.units, self.units.style())
    }

    /// `1.5 % of curd`, `5 % w/v of brine`
    fn share(&mut self, index: usize, id: &str, value: &Value) -> Option<(MeasureId, String, ShareBasis)> {
        let Line { amount, span, rest } = self.line("share", value, SHARE)?;
        if rest.text.is_empty() {
            let found = Diagnostic::new(Code::BadAmount, "the share does not say of what", span);
            self.sink.push(found.help("write it like `1.5 % of flour`"));
            return None;
        }
        let owner = Owner::Share { lesson: self.lesson, ingredient: index };
        let says_of = matches!(&value.kind, ValueKind::Text(text) if text.text.contains(" of "));
        let (of, basis) = share_basis(&rest.text, says_of);
        Some((self.measure(&format!("ingredients.{id}.share"), amount, span, owner), of, basis))
    }

    /// `200 IMCU/mL`
    fn strength(&mut self, value: &Value) -> Option<Strength> {
        let text = text("strength", value, "200 IMCU/mL", self.sink)?;
        let span = text.home(0..text.text.len());
        let read = read_strength(&text.text);
        if read.is_none() {
            let message = format!("`{}` is no strength that we know", text.text);
            let found = Diagnostic::new(Code::BadAmount, message, span);
            self.sink.push(found.help("write units of clotting by the millilitre or the gram, such as `200 IMCU/mL`"));
        }
        read.map(|(imcu, per)| Strength { imcu, per, span })
    }

    /// `2 mL per 10 L of milk`
    fn dose(&mut self, id: &str, value: &Value) -> Option<(MeasureId, String)> {
        let Line { amount, span, rest } = self.line("dose", value, DOSE)?;
        if amount.per.is_none() || rest.text.is_empty() {
            let found = Diagnostic::new(Code::BadAmount, "the dose does not say for how much of what", span);
            self.sink.push(found.help("write it like `2 mL per 10 L of milk`"));
            return None;
        }
        let owner = Owner::Named { lesson: self.lesson };
        Some((self.measure(&format!("ingredients.{id}.dose"), amount, span, owner), rest.text))
    }

    /// `{ from = "70 %", to = "40 %", with = "water" }`
    fn diluted(&mut self, id: &str, entry: &Entry) -> Option<Diluted> {
        let example = "{ from = \"70 %\", to = \"40 %\", with = \"water\" }";
        let table = table("diluted", &entry.value, example, self.sink)?;
        let fields = Fields::new(table, entry.key_span, "a dilution", DILUTED, self.sink);
        let owner = Owner::Named { lesson: self.lesson };
        let strength = Want { example: "40 %", words: "a strength", ..SHARE };
        let mut read = |key: &str| {
            let entry = fields.required(key, "\"40 %\"", self.sink)?;
            self.measured(key, &entry.value, strength, &format!("ingredients.{id}.diluted.{key}"), owner)
        };
        let (from, to) = (read("from"), read("to"));
        let with = fields
            .required("with", "\"water\"", self.sink)
            .and_then(|entry| self.id_text("with", &entry.value, "water"))?;
        let span = with.home(0..with.text.len());
        Some(Diluted { from: from?, to: to?, with: with.text.trim().to_owned(), span })
    }

    /// All equipment, in order.
    pub fn equipment(&mut self, table: &Table) -> Vec<Equipment> {
        table.entries.iter().enumerate().map(|(index, entry)| self.piece_of_equipment(index, entry)).collect()
    }

    fn piece_of_equipment(&mut self, index: usize, entry: &Entry) -> Equipment {
        let mut equipment = Equipment {
            id: entry.key.clone(),
            name: key_as_text(&entry.key, entry.key_span),
            holds: None,
            size: None,
            count: None,
            brought_by: BroughtBy::Hall,
            shared: false,
        };
        let ValueKind::Table(table) = &entry.value.kind else {
            if let Some(name) = self.visible_text(&entry.key, &entry.value, "heavy pot", None) {
                equipment.name = name;
            }
            return equipment;
        };
        let fields = Fields::new(table, entry.key_span, "a piece of equipment", EQUIPMENT, self.sink);
        if let Some(name) =
            fields.get("name").and_then(|name| self.visible_text("name", &name.value, "heavy pot", None))
        {
            equipment.name = name;
        }
        equipment.brought_by = brought_by(&fields, self.sink);
        let shared = fields.get("shared").and_then(|entry| flag("shared", &entry.value, self.sink));
        equipment.shared = shared.unwrap_or(false);
        let owner = Owner::Equipment { lesson: self.lesson, equipment: index };
        let mut read = |key: &str, want| {
            let entry = fields.get(key)?;
            self.measured(key, &entry.value, want, &format!("equipment.{}.{key}", equipment.id), owner)
        };
        equipment.holds = read("holds", VOLUME);
        equipment.size = read("size", LENGTH);
        equipment.count = read("count", COUNT);
        equipment
    }

    /// The text of a key that must be the id of an ingredient or step.
    pub fn id_text<'v>(&mut self, key: &str, value: &'v Value, example: &str) -> Option<&'v Text> {
        text(key, value, example, self.sink)
    }
}

/// The number of clotting units (IMCU, the trade's unit of rennet), and whether they stand in a millilitre or a gram.
fn read_strength(text: &str) -> Option<(Exact, Dimension)> {
    let text = text.trim();
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    let imcu = Exact::parse(&text[..end]).filter(|imcu| *imcu > Exact::ZERO)?;
    let words = text[end..].trim().to_lowercase();
    let rest = words.strip_prefix("imcu")?.trim_start();
    let rest = rest.strip_prefix('/').or_else(|| rest.strip_prefix("per "))?.trim();
    match rest {
        "ml" | "millilitre" | "milliliter" => Some((imcu, Dimension::Volume)),
        "g" | "gram" => Some((imcu, Dimension::Mass)),
        _ => None,
    }
}

/// What a share is of, and how. Only of brine are there several customs.
fn share_basis(words: &str, says_of: bool) -> (String, ShareBasis) {
    let without =
        |mark: &str| words.strip_prefix(mark).map(|rest| rest.trim_start().trim_start_matches("of ").to_owned());
    if let Some(of) = without("w/v ") {
        return (of, ShareBasis::ByVolume);
    }
    if let Some(of) = without("w/w ") {
        return (of, ShareBasis::Part);
    }
    let unsaid = !says_of && words.trim().eq_ignore_ascii_case("brine");
    (words.to_owned(), if unsaid { ShareBasis::Unsaid } else { ShareBasis::Part })
}

fn key_as_text(key: &str, span: Span) -> Visible {
    let mut text = MappedText::new(span.file);
    text.push(key, span.range());
    text
}
