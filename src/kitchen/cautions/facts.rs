//! What rules may ask for, and the scene that answers.

use super::truth::{Fact, Truth};
use crate::kitchen::bulk::End;
use crate::quantity::{Amount, Bound, Dimension};
use crate::recipe::{Course, Ingredient, Keeping, Lesson, MeasureId, ProductKind, Recipe, words_in};
use crate::reference::{Limit, PantryEntry, Reference, Scope};
use std::collections::{BTreeMap, BTreeSet};

/// What is known, by name.
pub(super) type Facts = BTreeMap<&'static str, Fact>;

/// A fact that a rule may ask for.
pub(super) struct Known {
    pub name: &'static str,
    /// Where it is known; a fact of the lesson can be asked for anywhere.
    #[cfg_attr(not(test), expect(dead_code, reason = "the table is held to it by a test"))]
    pub scope: Scope,
    /// What an author would have to say, for findings.
    words: &'static str,
}

const fn known(name: &'static str, scope: Scope, words: &'static str) -> Known {
    Known { name, scope, words }
}

/// How it is packed, as what nobody says.
pub(crate) const PACKING: &str = "how it is packed (`pack`)";

/// Every fact. Numbers are in °C, minutes, days, metres, mg to the litre and parts of 100.
pub(super) const KNOWN: &[Known] = &[
    known("law", Scope::Lesson, "whose food law holds"),
    known("kind", Scope::Lesson, "what sort of make it is (`kind`)"),
    known("eaten", Scope::Lesson, "where it is eaten (`eaten` in course.toml)"),
    known("deeds", Scope::Lesson, "what is done"),
    known("tags", Scope::Lesson, "what goes in"),
    known("sanitiser", Scope::Lesson, "what is cleaned with (`sanitiser`)"),
    known("sanitiser-ppm", Scope::Lesson, "how strong the sanitiser is (`strength`, `amount` and `water`)"),
    known("sanitiser-celsius", Scope::Lesson, "how warm the sanitiser is (`at`)"),
    known("altitude", Scope::Lesson, "how high above the sea it is"),
    known("sugar-share", Scope::Lesson, "how much sugar there is to the fruit"),
    known("at-work", Scope::Lesson, "whether anything is done"),
    known("full-jam", Scope::Lesson, "whether it is jam of sour fruit, with its weight in sugar, boiled until it sets"),
    known("makes-food", Scope::Lesson, "whether it makes food"),
    known("allergen", Scope::Lesson, "whether an allergen is in it"),
    known("danger", Scope::Lesson, "whether something burns, cuts or poisons"),
    known("reads-heat", Scope::Lesson, "whether a temperature is read"),
    known("heats", Scope::Lesson, "whether something is heated"),
    known("sold", Scope::Lesson, "whether it is sold"),
    known("children", Scope::Lesson, "whether children take part (`children` in course.toml)"),
    known("sour", Scope::Lesson, "whether something sour is at hand"),
    known("cleared", Scope::Lesson, "whether the sanitiser is cleared away"),
    known("rinsed", Scope::Lesson, "whether the sanitiser is rinsed off (`rinse`)"),
    known("keeps-warm", Scope::Lesson, "how cold it is kept (`at`)"),
    known("ends-warm", Scope::Lesson, "whether it is warm when it is done"),
    known("carries-cold", Scope::Lesson, "whether something that spoils is carried home"),
    known("tested-kept", Scope::Lesson, "which tested recipe its proportions follow (`tested`)"),
    known("ferments", Scope::Lesson, "whether it ferments"),
    known("milk", Scope::Lesson, "whether milk or cream goes in"),
    known("fresh", Scope::Lesson, "whether something fresh goes in"),
    known("heat", Scope::Ingredient, "how the milk was heated"),
    known("fat", Scope::Ingredient, "how much fat is in it (`fat` in the pantry)"),
    known("acid", Scope::Ingredient, "how much acid is in it (`acid` in the pantry)"),
    known("allergens", Scope::Ingredient, "which allergens are in it"),
    known("held", Scope::Ingredient, "whether a step pasteurises it"),
    known("cooked-through", Scope::Ingredient, "whether it is cooked through"),
    known("raw-flour-eaten", Scope::Ingredient, "whether it is eaten raw"),
    known("sealed", Scope::Ingredient, PACKING),
    known("acid-added", Scope::Ingredient, "whether acid is added"),
    known("salt-kept", Scope::Ingredient, "the least share of salt that was tested (`share` and `never-below`)"),
    known("does", Scope::Step, "what is done"),
    known("might", Scope::Step, "what is done at the step (`does`)"),
    known("celsius", Scope::Step, "how hot it is"),
    known("minutes", Scope::Step, "how long it takes"),
    known("tools", Scope::Step, "in what it lies"),
    known("liquid", Scope::Step, "whether it is a liquid"),
    known("touched", Scope::Step, "whether hands touch it (`by-hand`)"),
    known("perishable", Scope::Step, "whether it spoils"),
    known("warm-too-long", Scope::Step, "how warm it stands (`at`) and for how long (`for`)"),
    known("cultured", Scope::Step, "whether a culture works in it (`does`)"),
    known("from-the-heat", Scope::Step, "how hot it was before"),
    known("sour-so-far", Scope::Step, "whether it is sour"),
    known("milk-so-far", Scope::Step, "whether milk is in it"),
    known("outside-ferment", Scope::Step, "how warm it ferments (`at`)"),
    known("pack", Scope::Keeping, PACKING),
    known("ph", Scope::Keeping, "how acid it is (`ph`)"),
    known("aw", Scope::Keeping, "how dry it is (`aw`)"),
    known("kept-celsius", Scope::Keeping, "how cold it is kept (`at`)"),
    known("on-a-shelf", Scope::Keeping, "how cold it is kept (`at`)"),
    known("days", Scope::Keeping, "for how long it is kept"),
    known("spoils", Scope::Keeping, "whether it spoils"),
    known("short-and-cold", Scope::Keeping, "how cold it is kept (`at`)"),
];

/// What nobody said, in words.
pub(super) fn in_words(fact: &str) -> Option<&'static str> {
    KNOWN.iter().find(|known| known.name == fact).map(|known| known.words)
}

/// A lesson and what is known about its things.
pub(super) struct Scene<'a> {
    pub course: &'a Course,
    pub reference: &'a Reference,
    pub lesson: &'a Lesson,
    /// What the law says of cold and hot.
    pub limit: Option<&'a Limit>,
}

impl<'a> Scene<'a> {
    pub fn new(course: &'a Course, reference: &'a Reference, lesson: usize) -> Scene<'a> {
        let limit = reference.cautions.limit(course.guests.law.name());
        Scene { course, reference, lesson: &course.lessons[lesson], limit }
    }

    pub fn recipe(&self) -> Option<&'a Recipe> {
        self.lesson.recipe.as_ref()
    }

    pub fn ingredients(&self) -> &'a [Ingredient] {
        self.recipe().map_or(&[], |recipe| &recipe.ingredients)
    }

    pub fn keeps(&self) -> &'a [Keeping] {
        self.recipe().map_or(&[], |recipe| &recipe.keeps)
    }

    pub fn entry(&self, ingredient: &Ingredient) -> Option<&'a PantryEntry> {
        ingredient.pantry.map(|row| self.reference.pantry.get(row))
    }

    /// Whether an ingredient bears one of these tags.
    pub fn is(&self, ingredient: &Ingredient, tags: &[&str]) -> bool {
        self.entry(ingredient).is_some_and(|entry| entry.tags.iter().any(|tag| tags.contains(&tag.as_str())))
    }

    /// Whether an ingredient spoils in the warm once so many steps are done: as the pantry knows, and vegetables once
    /// they are cooked, unless acid or salt keeps them (US Food Code, 1-201.10, from memory: plant food that was heated
    /// is kept cold or hot). What is not in the pantry is not known to keep.
    pub fn spoils_at(&self, index: usize, done: usize) -> Truth {
        let ingredient = &self.ingredients()[index];
        let Some(entry) = self.entry(ingredient) else { return Truth::Unknown };
        let kind = self.recipe().and_then(|recipe| recipe.kind);
        let kept = matches!(kind, Some(ProductKind::Pickle | ProductKind::Ferment | ProductKind::Jam));
        let cooked = !kept && self.is(ingredient, &["vegetable"]) && self.is_cooked(index, done);
        (entry.perishable || cooked).into()
    }

    /// Whether one of so many steps is hot with an ingredient in it.
    fn is_cooked(&self, ingredient: usize, done: usize) -> bool {
        let goes_in = |step: usize| self.lesson.steps[step].add.iter().any(|part| part.ingredient == ingredient);
        (0..done).skip_while(|step| !goes_in(*step)).any(|step| self.is_hot(step))
    }

    /// The temperature of a measure as two ends, in °C.
    pub fn range(&self, id: MeasureId) -> (f64, f64) {
        range(&self.course.measure(id).amount)
    }

    /// The words of a caution with the law's figures in them.
    pub fn in_words(&self, say: &str) -> String {
        let Some(limit) = self.limit else { return say.to_owned() };
        let words = [
            ("{cold}", &limit.cold_words),
            ("{hot}", &limit.hot_words),
            ("{reheat}", &limit.reheat_words),
            ("{cool}", &limit.cool_words),
            ("{out}", &limit.out_words),
        ];
        words.iter().fold(say.to_owned(), |text, (mark, words)| text.replace(mark, words))
    }

    /// The water, milk and so on of a lesson's recipe: all that flows.
    pub fn flows(&self, ingredient: &Ingredient) -> bool {
        let poured = ingredient.amount.is_some_and(|id| {
            let amount = &self.course.measure(id).amount;
            amount.dimension() == Dimension::Volume
        });
        poured || self.is(ingredient, &["milk", "cream", "water", "whey", "vinegar", "oil", "alcohol"])
    }
}

/// The ends of an amount as a bound leaves them open.
pub(super) fn range(amount: &Amount) -> (f64, f64) {
    let (low, high) = (End::Low.of(amount).to_f64(), End::High.of(amount).to_f64());
    match amount.bound {
        Bound::AtLeast => (low, f64::INFINITY),
        Bound::AtMost => (f64::NEG_INFINITY, high),
        Bound::None => (low, high),
    }
}

/// A number as a fact.
pub(super) fn number(range: Option<(f64, f64)>) -> Fact {
    range.map_or(Fact::Unknown, |(low, high)| Fact::Number(low, high))
}

/// A word as a fact, unknown where there is none.
pub(super) fn one_word(word: Option<&str>) -> Fact {
    word.map_or(Fact::Unknown, Fact::word)
}

/// Yes or no or unknown as a fact.
pub(super) fn flag(truth: impl Into<Truth>) -> Fact {
    Fact::Flag(truth.into())
}

/// The words of a name, in lower case.
pub(super) fn name_words(name: &str) -> BTreeSet<String> {
    words_in(name).map(str::to_lowercase).collect()
}
