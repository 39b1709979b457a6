//! How a make is kept: where, how long, how cold, how it is packed and how sour it is.

use super::closed::words;
use super::context::{COUNT, Context, TEMPERATURE, TIME, Want};
use super::model::{Keeping, Leftover, Owner, Product};
use super::names::same_thing;
use super::table::{Fields, choice, list, table};
use crate::diag::{Code, Diagnostic};
use crate::lesson::{Entry, Table, Value, ValueKind};
use crate::quantity::{Amount, Exact};
use crate::reference::{EU_ALLERGENS, US_ALLERGENS};
use crate::source::Span;

const KEEPS: &[&str] = &["what", "where", "for", "at", "pack", "ph", "aw", "mark"];

/// How sour something is.
const PH: Want = Want { words: "a number from 0 to 14", example: "at most 4.6", ..COUNT };
/// How much of its water is free.
const AW: Want = Want { words: "a number from 0 to 1", example: "at most 0.85", ..COUNT };

words! {
    /// How something that is kept is packed.
    Pack {
        /// On a plate or in a cloth: air comes to it.
        Open "open",
        /// In a tub or jar with a lid that is only closed.
        Lidded "lidded",
        /// In a jar whose lid has sealed: no air comes in.
        SealedJar "sealed-jar",
        /// In a bag that the air was drawn from.
        Vacuum "vacuum",
        /// Covered with oil.
        UnderOil "under-oil",
        /// Covered with brine.
        UnderBrine "under-brine",
    }
}

impl Pack {
    /// Whether it keeps the air away, so that what lives without air may grow. Brine is not counted: what stands in it
    /// is judged by its salt and its acid.
    pub fn is_airless(self) -> bool {
        matches!(self, Pack::SealedJar | Pack::Vacuum | Pack::UnderOil)
    }
}

words! {
    /// What a label says before its date.
    Mark {
        /// After it the food is not to be eaten.
        UseBy "use-by",
        /// After it the food may have lost some of its quality.
        BestBefore "best-before",
    }
}

words! {
    /// What sort of make it is, as rules about keeping tell them apart.
    ProductKind {
        /// Milk soured by a culture of its own.
        Yoghurt "yoghurt",
        /// Cheese that is eaten fresh.
        FreshCheese "fresh-cheese",
        /// Cheese that lies in brine.
        BrinedCheese "brined-cheese",
        /// Cheese that ripens.
        RipenedCheese "ripened-cheese",
        /// Butter.
        Butter "butter",
        /// Cream, sweet or soured.
        Cream "cream",
        /// Bread, and what else is baked dry.
        Bread "bread",
        /// Fruit boiled with sugar.
        Jam "jam",
        /// Vegetables or fruit in vinegar.
        Pickle "pickle",
        /// Vegetables or fruit soured by their own germs in salt.
        Ferment "ferment",
        /// A sauce or a paste.
        Sauce "sauce",
        /// A drink.
        Drink "drink",
        /// None of these.
        Other "other",
    }
}

/// A plain number with its bound: a pH, a water activity. No sentence is held to it, so it is none of the measures.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// The number, as an amount without a unit: `at most 4.6`, `3.8–4.2`.
    pub amount: Amount,
    /// Where it is written.
    pub span: Span,
}

impl Limit {
    /// The most that it may be; `None` for "at least".
    pub fn most(&self) -> Option<Exact> {
        (self.amount.bound != crate::quantity::Bound::AtLeast).then(|| self.amount.high.quantity.base())
    }
}

impl Context<'_> {
    /// The key `keeps` of a recipe block.
    pub(super) fn keeps(
        &mut self,
        entry: &Entry,
        makes: Option<&Product>,
        leaves: &[Leftover],
        sure: bool,
    ) -> Vec<Keeping> {
        let example = "[{ where = \"covered in the fridge\", for = \"4 days\" }]";
        let items = list("keeps", &entry.value, example, self.sink);
        let mut keeps = Vec::new();
        for (index, item) in items.iter().enumerate() {
            let Some(table) = table("keeps", item, example, self.sink) else {
                continue;
            };
            keeps.extend(self.keeping(index + 1, item, table));
            if let Some(what) = table.entries.iter().find(|entry| entry.key == "what" && sure) {
                self.check_leftover(&what.value, makes, leaves);
            }
        }
        keeps
    }

    fn keeping(&mut self, number: usize, item: &Value, table: &Table) -> Option<Keeping> {
        let fields = Fields::new(table, item.span, "an entry of `keeps`", KEEPS, self.sink);
        let owner = Owner::Keeping { lesson: self.lesson };
        let what = fields.get("what").and_then(|entry| self.visible_text("what", &entry.value, "whey", None));
        let place = fields
            .required("where", "\"covered in the fridge\"", self.sink)
            .and_then(|entry| self.visible_text("where", &entry.value, "covered in the fridge", None));
        let time = fields
            .required("for", "\"4 days\"", self.sink)
            .and_then(|entry| self.measured("for", &entry.value, TIME, &format!("keeps.{number}.for"), owner));
        let at = fields
            .get("at")
            .and_then(|entry| self.measured("at", &entry.value, TEMPERATURE, &format!("keeps.{number}.at"), owner));
        let pack = fields
            .get("pack")
            .and_then(|entry| choice("pack", &entry.value, Pack::NAMES, self.sink))
            .and_then(Pack::from_name);
        let mark = fields
            .get("mark")
            .and_then(|entry| choice("mark", &entry.value, Mark::NAMES, self.sink))
            .and_then(Mark::from_name);
        let ph = fields.get("ph").and_then(|entry| self.limit("ph", &entry.value, PH, 14));
        let aw = fields.get("aw").and_then(|entry| self.limit("aw", &entry.value, AW, 1));
        Some(Keeping { what, place: place?, time: time?, at, pack, ph, aw, mark, span: item.span })
    }

    /// A plain number up to a most.
    fn limit(&mut self, key: &str, value: &Value, want: Want, most: i128) -> Option<Limit> {
        let (amount, span) = self.amount(key, value, want)?;
        if amount.high.quantity.base() > Exact::whole(most) {
            let message = format!("`{key}` needs {}", want.words);
            let found = Diagnostic::new(Code::BadAmount, message, span);
            self.sink.push(found.help(format!("write it like `{key} = \"{}\"`", want.example)));
            return None;
        }
        Some(Limit { amount, span })
    }

    fn check_leftover(&mut self, value: &Value, makes: Option<&Product>, leaves: &[Leftover]) {
        let ValueKind::Text(what) = &value.kind else { return };
        let names = leaves.iter().flat_map(|left| [left.id.as_str(), left.name.as_str()]);
        let mut names: Vec<&str> = names.chain(makes.map(|product| product.name.as_str())).collect();
        if names.iter().any(|name| same_thing(name, what.text.trim())) {
            return;
        }
        names.dedup();
        self.unknown(what, "leaves or makes no", &names);
    }

    /// The key `kind` of a recipe block.
    pub(super) fn product_kind(&mut self, entry: &Entry) -> Option<ProductKind> {
        choice("kind", &entry.value, ProductKind::NAMES, self.sink).and_then(ProductKind::from_name)
    }

    /// The key `may-contain` of a recipe block: ids of either list of allergens, each once.
    pub(super) fn may_contain(&mut self, entry: &Entry) -> Vec<String> {
        let mut known = EU_ALLERGENS.to_vec();
        known.extend(US_ALLERGENS.iter().filter(|id| !EU_ALLERGENS.contains(id)));
        let mut named: Vec<String> = Vec::new();
        for item in list("may-contain", &entry.value, "[\"nuts\"]", self.sink) {
            if let Some(id) = choice("may-contain", item, &known, self.sink)
                && !named.iter().any(|other| other == id)
            {
                named.push(id.to_owned());
            }
        }
        named
    }
}
