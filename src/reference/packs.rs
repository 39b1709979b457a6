//! What a shop sells: packs with their prices, and the part of the shop where a thing stands.
//!
//! A course adds them to an ingredient it shares with the built-in pantry by a row of nothing but `id`, `packs` and `shop`.

use super::pantry::{Pantry, PantryEntry, Storage};
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics};
use crate::keys::fields::{Fields, choice, list, table, text};
use crate::keys::near::nearest;
use crate::keys::{Row, Text, Value};
use crate::quantity::{Amount, Dimension, Exact, Units, parse_amount};
use crate::source::Span;

/// A pack that a shop sells.
#[derive(Debug, Clone, PartialEq)]
pub struct Pack {
    /// What is in it.
    pub holds: Amount,
    /// What it costs, in the currency of the course.
    pub price: Option<Exact>,
    /// Where its contents are written.
    pub span: Span,
}

/// A part of the shop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Section {
    /// Milk, cream, cheese, eggs.
    Dairy,
    /// Flour, sugar, yeast.
    Baking,
    /// What grows, fresh or pressed.
    FruitAndVegetables,
    /// Herbs, spices, salt.
    HerbsAndSpices,
    /// Oil, fat, vinegar.
    OilAndVinegar,
    /// Nuts and seeds.
    NutsAndSeeds,
    /// Wine, beer, spirits.
    Drinks,
    /// What is sold frozen.
    Frozen,
    /// Rennet, cultures and what else few shops have.
    CulturesAndAdditives,
    /// All else.
    Other,
}

impl Section {
    /// All sections, in the order in which a list shows them.
    pub const ALL: [Section; 10] = [
        Section::Dairy,
        Section::Baking,
        Section::FruitAndVegetables,
        Section::HerbsAndSpices,
        Section::OilAndVinegar,
        Section::NutsAndSeeds,
        Section::Drinks,
        Section::Frozen,
        Section::CulturesAndAdditives,
        Section::Other,
    ];

    /// The words of the tables.
    pub const NAMES: [&str; 10] = [
        "dairy",
        "baking",
        "fruit and vegetables",
        "herbs and spices",
        "oil and vinegar",
        "nuts and seeds",
        "drinks",
        "frozen",
        "cultures and additives",
        "other",
    ];

    /// As the tables write it.
    pub fn name(self) -> &'static str {
        Section::NAMES[self as usize]
    }

    /// Reads the word of the tables.
    pub fn from_name(name: &str) -> Option<Section> {
        Section::ALL.into_iter().find(|section| section.name() == name)
    }

    /// Where a shop keeps what its entry does not place: the first line that fits.
    fn of_tags(tags: &[String]) -> Option<Section> {
        const TAGS: [(&[&str], Section); 9] = [
            (&["rennet", "culture", "additive"], Section::CulturesAndAdditives),
            (&["dairy", "egg", "raw-egg"], Section::Dairy),
            (&["flour", "grain", "starch", "sugar", "cocoa", "leavening", "yeast"], Section::Baking),
            (&["vinegar", "oil", "fat"], Section::OilAndVinegar),
            (&["alcohol"], Section::Drinks),
            (&["salt", "spice", "herb"], Section::HerbsAndSpices),
            (&["nut", "seed"], Section::NutsAndSeeds),
            (&["fruit", "vegetable"], Section::FruitAndVegetables),
            (&["acid"], Section::FruitAndVegetables), // what is neither vinegar nor powder is pressed from a lemon
        ];
        let has = |known: &[&str]| tags.iter().any(|tag| known.contains(&tag.as_str()));
        TAGS.into_iter().find(|(known, _)| has(known)).map(|(_, section)| section)
    }
}

impl PantryEntry {
    /// The part of the shop where it stands.
    pub fn section(&self) -> Section {
        let stored = (self.keeping == Storage::Frozen).then_some(Section::Frozen);
        self.shop.or(stored).or_else(|| Section::of_tags(&self.tags)).unwrap_or(Section::Other)
    }

    /// A base value of one kind in the base unit of another, by density and by the weight of a piece: never less than
    /// what is needed, where a piece weighs more or less.
    pub fn convert(&self, base: Exact, from: Dimension, to: Dimension) -> Option<Exact> {
        if from == to {
            return Some(base);
        }
        let grams = match from {
            Dimension::Mass => base,
            Dimension::Volume => base * self.density?,
            Dimension::Count => base * self.each?.high.quantity.base(),
            _ => return None,
        };
        match to {
            Dimension::Mass => Some(grams),
            Dimension::Volume => Some(grams / self.density?),
            Dimension::Count => {
                Some(grams / self.each.map(|each| each.low.quantity.base()).filter(|each| !each.is_zero())?)
            }
            _ => None,
        }
    }
}

const PACKS: &str = "[{ holds = \"1 L\", price = \"1.15\" }]";

/// The packs of an entry.
pub(super) fn read_packs(value: &Value, units: &Units, sink: &mut Diagnostics) -> Vec<Pack> {
    list("packs", value, PACKS, sink).iter().filter_map(|item| read_pack(item, units, sink)).collect()
}

fn read_pack(item: &Value, units: &Units, sink: &mut Diagnostics) -> Option<Pack> {
    let group = table("packs", item, PACKS, sink)?;
    let fields = Fields::new(group, item.span, "a pack", &["holds", "price"], sink);
    let price = fields.get("price").map(|entry| read_price(&entry.value, units, sink));
    let holds = text("holds", &fields.required("holds", "\"1 L\"", sink)?.value, "1 L", sink)?;
    let amount = read_holds(holds, units, sink)?;
    // A price that cannot be read must not make the pack one without a price.
    let price = match price {
        Some(None) => return None,
        Some(price) => price,
        None => None,
    };
    Some(Pack { holds: amount, price, span: holds.home(0..holds.text.len()) })
}

fn read_holds(words: &Text, units: &Units, sink: &mut Diagnostics) -> Option<Amount> {
    let span = words.home(0..words.text.len());
    let help = "write what is in one pack, like `1 L`, `500 g` or `12`";
    let amount = match parse_amount(words.text.trim(), units) {
        Ok(amount) => amount,
        Err(error) => {
            sink.push(Diagnostic::new(Code::BadAmount, error.to_string(), span).help(help));
            return None;
        }
    };
    let kind = amount.dimension();
    if !matches!(kind, Dimension::Mass | Dimension::Volume | Dimension::Count) {
        let message = format!(
            "a pack holds a weight, a volume or a number of things, and `{}` is {}",
            words.text,
            kind.in_words()
        );
        sink.push(Diagnostic::new(Code::WrongKind, message, span).help(help));
        return None;
    }
    if amount.low.quantity.base() <= Exact::ZERO {
        sink.push(Diagnostic::new(Code::BadAmount, "this pack holds nothing", span).help(help));
        return None;
    }
    Some(amount)
}

/// A price to the penny, with the decimal sign of the course's language.
fn read_price(value: &Value, units: &Units, sink: &mut Diagnostics) -> Option<Exact> {
    let words = text("price", value, "1.15", sink)?;
    let plain = words.text.trim().replace(units.style().decimal, ".");
    let places = plain.split_once('.').map_or(0, |(_, places)| places.len());
    let figures = plain.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    let price = Exact::parse(&plain).filter(|_| figures && places <= 2 && plain.len() <= 12);
    if price.is_none() {
        let message = format!("`{}` is no price of a pack", words.text);
        let found = Diagnostic::new(Code::BadAmount, message, words.home(0..words.text.len()));
        sink.push(found.help("write the figure alone, like `price = \"1.15\"`; the currency stands in course.toml"));
    }
    price
}

/// The section that an entry names.
pub(super) fn read_shop(value: &Value, sink: &mut Diagnostics) -> Option<Section> {
    choice("shop", value, &Section::NAMES, sink).and_then(Section::from_name)
}

/// What a row adds to an ingredient that is described elsewhere.
#[derive(Debug, Clone)]
pub(super) struct Addition {
    id: Text,
    packs: Option<Vec<Pack>>,
    shop: Option<Section>,
}

const ADDED: &[&str] = &["id", "packs", "shop"];

/// Whether a row only adds to an entry: it speaks of the shop, and not of what the thing is.
pub(super) fn only_adds(row: &Row, needed: &[&str]) -> bool {
    let has = |key: &str| row.table.entries.iter().any(|entry| entry.key == key);
    (has("packs") || has("shop")) && has("id") && !needed.iter().any(|key| *key != "id" && has(key))
}

/// Reads such a row.
pub(super) fn read_addition(row: &Row, units: &Units, sink: &mut Diagnostics) -> Option<Addition> {
    let what = "an entry that adds packs to an ingredient";
    let fields = Fields::new(&row.table, row.at, what, ADDED, sink).with_losses(row.broken);
    let packs = fields.get("packs").map(|entry| read_packs(&entry.value, units, sink));
    let shop = fields.get("shop").and_then(|entry| read_shop(&entry.value, sink));
    let id = text("id", &fields.get("id")?.value, "whole-milk", sink)?.clone();
    Some(Addition { id, packs, shop })
}

impl Pantry {
    /// Adds what such rows say, once all tables are read.
    pub(super) fn put_additions(&mut self, sink: &mut Diagnostics) {
        let mut done: Vec<(usize, Span)> = Vec::new();
        for Addition { id, packs, shop } in std::mem::take(&mut self.additions) {
            let span = id.home(0..id.text.len());
            let Some(index) = self.find(id.text.trim()) else {
                sink.push(self.unknown(&id, span));
                continue;
            };
            if let Some((_, first)) = done.iter().find(|(other, _)| *other == index) {
                let message = format!("`{}` gets its packs twice", self.entries[index].name);
                let found = Diagnostic::new(Code::DuplicateId, message, span).related(*first, "first here");
                sink.push(found.help("put all its packs into one entry"));
                continue;
            }
            done.push((index, span));
            let entry = &mut self.entries[index];
            entry.packs = packs.unwrap_or_else(|| std::mem::take(&mut entry.packs));
            entry.shop = shop.or(entry.shop);
        }
    }

    fn unknown(&self, id: &Text, span: Span) -> Diagnostic {
        let message = format!("no pantry has an ingredient `{}` to add packs to", id.text);
        let found = Diagnostic::new(Code::UnknownName, message, span);
        match nearest(id.text.trim(), self.names()) {
            Some(meant) => found.help(format!("did you mean `{meant}`?")).suggest(span, meant, Confidence::NeedsACook),
            None => found.help("an ingredient of your own needs its other keys too: `name`, `allergens`, `keeping` …"),
        }
    }
}
