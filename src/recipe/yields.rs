//! What a recipe makes and leaves; and the recipe block as a whole.

use super::context::{COUNT, Context, Line, SHARE, STUFF, Want};
use super::model::{Ingredient, Kit, Leftover, MeasureId, Owner, Product, Recipe, Visible};
use super::names::{Named, Names, same_thing};
use super::table::{Fields, table};
use crate::diag::{Code, Confidence, Diagnostic};
use crate::lesson::near::nearest;
use crate::lesson::{Entry, Table, Text, TypedBlock, Value, ValueKind, slice};
use crate::quantity::Exact;
use crate::source::MappedText;
use std::collections::BTreeMap;

const RECIPE: &[&str] = &[
    "makes",
    "leaves",
    "scale-by",
    "scale-within",
    "students-per-batch",
    "loses",
    "keeps",
    "ingredients",
    "equipment",
    "measures",
    "kit",
    "tested",
    "kind",
    "may-contain",
];
const KIT: &[&str] = &["batches", "packs"];

impl Context<'_> {
    /// Lowers a recipe block; the names that steps may use are put into `names`.
    pub fn recipe(&mut self, block: &TypedBlock, names: &mut Names) -> Recipe {
        let fields = Fields::of_block(block, "a recipe block", RECIPE, self.sink);
        let mut group = |key: &str, example: &str, sure: &mut bool| -> Option<&Table> {
            let Some(entry) = fields.get(key) else {
                // Without its heading, a table's keys seem to be the block's own.
                *sure &= fields.is_sure(key) && !fields.has_unknown;
                return None;
            };
            let found = table(key, &entry.value, example, self.sink);
            *sure &= found.is_some() && !block.broken;
            found
        };
        let ingredients = group("ingredients", "{ milk = \"4 L whole milk\" }", &mut names.sure_of_ingredients);
        let equipment = group("equipment", "{ pot = \"heavy pot\" }", &mut names.sure_of_equipment);
        let makes =
            fields.required("makes", "\"550–650 g pressed curd\"", self.sink).and_then(|entry| self.makes(entry));
        let ingredients = ingredients.map_or_else(Vec::new, |table| self.ingredients(table));
        let pieces = equipment.map_or_else(Vec::new, |table| self.equipment(table));
        names.ingredients =
            ingredients.iter().map(|thing| Named { id: thing.id.clone(), name: thing.name.clone() }).collect();
        names.equipment =
            pieces.iter().map(|thing| Named { id: thing.id.clone(), name: thing.name.text.clone() }).collect();
        if let Some(equipment) = equipment {
            self.refuse_shared_ids(&ingredients, equipment);
        }
        let leaves = fields.get("leaves").map_or_else(Vec::new, |entry| self.leaves(entry));
        let written = fields.get("leaves").map_or(0, |entry| entries(&entry.value));
        // Where an entry was lost, a name that seems to be absent may be its own.
        let sure_of_yields =
            makes.is_some() && leaves.len() == written && names.sure_of_ingredients && fields.is_sure("leaves");
        if sure_of_yields {
            self.check_shares(&ingredients, makes.as_ref(), &leaves, fields.get("ingredients"));
        }
        let keeps = fields
            .get("keeps")
            .map_or_else(Vec::new, |entry| self.keeps(entry, makes.as_ref(), &leaves, sure_of_yields));
        let loses = fields.get("loses").and_then(|entry| self.loses(entry));
        let scale_by = fields.get("scale-by").and_then(|entry| {
            let name = self.id_text("scale-by", &entry.value, "milk")?;
            self.look_up(name, "ingredient", &names.ingredients, names.sure_of_ingredients)
        });
        let within = Want { example: "½–3", ..COUNT };
        let scale_within = fields
            .get("scale-within")
            .and_then(|entry| self.amount("scale-within", &entry.value, within))
            .map(|(amount, _)| (amount.low.quantity.base(), amount.high.quantity.base()));
        let students =
            fields.get("students-per-batch").and_then(|entry| self.students("students-per-batch", &entry.value));
        let owner = Owner::Named { lesson: self.lesson };
        let measures =
            fields.get("measures").map_or_else(BTreeMap::new, |entry| self.own_measures(entry, "measures", owner));
        let kit = fields.get("kit").and_then(|entry| self.kit(entry, names));
        let tested = fields.get("tested").and_then(|entry| self.tested(entry, names));
        let kind = fields.get("kind").and_then(|entry| self.product_kind(entry));
        let may_contain = fields.get("may-contain").map_or_else(Vec::new, |entry| self.may_contain(entry));
        Recipe {
            kit,
            tested,
            kind,
            may_contain,
            span: block.name_span,
            makes,
            leaves,
            scale_by,
            scale_within,
            students: students.unwrap_or(Exact::ONE),
            loses,
            keeps,
            ingredients,
            equipment: pieces,
            measures,
        }
    }

    /// `{ batches = 4, packs = { salt = "40 g" } }`
    fn kit(&mut self, entry: &Entry, names: &Names) -> Option<Kit> {
        let example = "{ batches = 4, packs = { salt = \"40 g\" } }";
        let kit = table("kit", &entry.value, example, self.sink)?;
        let fields = Fields::new(kit, entry.key_span, "a kit", KIT, self.sink);
        let owner = Owner::Named { lesson: self.lesson };
        let batches = fields
            .required("batches", "4", self.sink)
            .and_then(|entry| self.measured("batches", &entry.value, COUNT, "kit.batches", owner));
        let packs = fields
            .required("packs", "{ salt = \"40 g\" }", self.sink)
            .and_then(|entry| table("packs", &entry.value, "{ salt = \"40 g\" }", self.sink));
        let mut packed = Vec::new();
        for entry in packs.map_or(&[][..], |packs| &packs.entries) {
            let mut id = MappedText::new(entry.key_span.file);
            id.push(&entry.key, entry.key_span.range());
            let found = self.look_up(&id, "ingredient", &names.ingredients, names.sure_of_ingredients);
            let amount = self.measured(&entry.key, &entry.value, STUFF, &format!("kit.packs.{}", entry.key), owner);
            packed.extend(found.zip(amount));
        }
        Some(Kit { batches: batches?, packs: packed })
    }

    /// How many students work on one batch: one at least.
    fn students(&mut self, key: &str, value: &Value) -> Option<Exact> {
        let (amount, span) = self.amount(key, value, COUNT)?;
        let students = amount.low.quantity.base();
        if !amount.range && students.is_whole() && students >= Exact::ONE {
            return Some(students);
        }
        let message = format!("`{key}` needs a whole number of students");
        self.sink.push(Diagnostic::new(Code::BadAmount, message, span).help("write it like `2`"));
        None
    }

    fn makes(&mut self, entry: &Entry) -> Option<Product> {
        let Line { amount, span, rest } = self.line("makes", &entry.value, STUFF)?;
        if rest.text.is_empty() {
            let found = Diagnostic::new(Code::BadAmount, "`makes` does not say what is made", span);
            self.sink.push(found.help("put a name after the amount, such as `8 flatbreads`"));
            return None;
        }
        let amount = self.measure("makes", amount, span, Owner::Product { lesson: self.lesson });
        Some(Product { name: rest.text, amount })
    }

    /// `3–10 % steam, and what clings to the cloth`
    fn loses(&mut self, entry: &Entry) -> Option<(MeasureId, Option<Visible>)> {
        let Line { amount, span, rest } = self.line("loses", &entry.value, SHARE)?;
        let id = self.measure("loses", amount, span, Owner::Loss { lesson: self.lesson });
        let words = (!rest.text.is_empty()).then(|| self.visible(&rest, None));
        Some((id, words))
    }

    fn leaves(&mut self, entry: &Entry) -> Vec<Leftover> {
        let Some(table) = table("leaves", &entry.value, "{ whey = \"3.2–3.4 L\" }", self.sink) else {
            return Vec::new();
        };
        let mut leaves = Vec::new();
        for entry in &table.entries {
            let Some(Line { amount, span, rest }) = self.line(&entry.key, &entry.value, STUFF) else {
                continue;
            };
            let owner = Owner::Leftover { lesson: self.lesson, leftover: leaves.len() };
            let amount = self.measure(&format!("leaves.{}", entry.key), amount, span, owner);
            let name = if rest.text.is_empty() { entry.key.clone() } else { rest.text };
            leaves.push(Leftover { id: entry.key.clone(), name, amount });
        }
        leaves
    }

    /// A share must be of something that the recipe knows.
    fn check_shares(
        &mut self,
        ingredients: &[Ingredient],
        makes: Option<&Product>,
        leaves: &[Leftover],
        entry: Option<&Entry>,
    ) {
        let Some(ValueKind::Table(table)) = entry.map(|entry| &entry.value.kind) else {
            return;
        };
        let mut names: Vec<&str> =
            ingredients.iter().flat_map(|thing| [thing.id.as_str(), thing.name.as_str()]).collect();
        names.extend(leaves.iter().flat_map(|left| [left.id.as_str(), left.name.as_str()]));
        names.extend(makes.map(|product| product.name.as_str()));
        for (ingredient, entry) in ingredients.iter().zip(&table.entries) {
            let Some((_, of)) = &ingredient.share else { continue };
            let known = names
                .iter()
                .any(|name| same_thing(name, of) || name.split_whitespace().any(|word| same_thing(word, of)));
            if known || self.is_sum(of, ingredients) {
                continue;
            }
            if let Some(words) = share_words(&entry.value, of) {
                self.unknown(&words, "names no", &names);
            }
        }
    }

    /// Whether a base is what several ingredients make together.
    fn is_sum(&self, of: &str, ingredients: &[Ingredient]) -> bool {
        let tagged = |tags: &[&str]| {
            let rows = ingredients.iter().filter_map(|thing| thing.pantry).map(|row| self.pantry.get(row));
            rows.into_iter().any(|entry| entry.tags.iter().any(|tag| tags.contains(&tag.as_str())))
        };
        match of.trim_start_matches("the ") {
            "flour" | "dough" => tagged(&["flour"]),
            "brine" => tagged(&["water", "whey"]),
            "water" => tagged(&["water"]),
            _ => false,
        }
    }

    pub(super) fn unknown(&mut self, words: &Text, verb: &str, names: &[&str]) {
        let span = words.home(0..words.text.len());
        let found = Diagnostic::new(Code::UnknownName, format!("this recipe {verb} `{}`", words.text), span);
        self.sink.push(match nearest(&words.text, names.iter().copied()) {
            Some(meant) => found.help(format!("did you mean `{meant}`?")).suggest(span, meant, Confidence::NeedsACook),
            None => found.help("use the id or name of something in this recipe block"),
        });
    }

    fn refuse_shared_ids(&mut self, ingredients: &[Ingredient], equipment: &Table) {
        for entry in &equipment.entries {
            let Some(first) = ingredients.iter().find(|thing| thing.id == entry.key) else {
                continue;
            };
            self.sink.push(
                Diagnostic::new(
                    Code::DuplicateId,
                    format!("`{}` is both an ingredient and a piece of equipment", entry.key),
                    entry.key_span,
                )
                .related(first.id_span, "the ingredient")
                .help("give one of the two another id"),
            );
        }
    }
}

fn entries(value: &Value) -> usize {
    match &value.kind {
        ValueKind::Table(table) => table.entries.len(),
        _ => usize::MAX,
    }
}

/// The words after "of" in a share.
fn share_words(ingredient: &Value, of: &str) -> Option<Text> {
    let ValueKind::Table(table) = &ingredient.kind else {
        return None;
    };
    let entry = table.entries.iter().find(|entry| entry.key == "share")?;
    let ValueKind::Text(text) = &entry.value.kind else {
        return None;
    };
    let at = text.text.rfind(of)?;
    Some(slice(text, at..at + of.len()))
}
