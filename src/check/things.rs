//! What the nouns of a lesson stand for.

use crate::prose::{NounId, Nouns};
use crate::quantity::Dimension;
use crate::recipe::{Course, Lesson, MeasureId, counted_in};
use crate::reference::{Pantry, Reference};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A thing that a noun can mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Thing {
    Ingredient(usize),
    Product,
    Leftover(usize),
    Equipment(usize),
    /// A measure of a step or of the recipe, by its key: `pieces = "12"`.
    Named(MeasureId),
    /// In the pantry, but not in this recipe.
    Pantry(usize),
}

/// Names that every lesson knows: the pantry's.
#[derive(Debug)]
pub(super) struct PantryNouns {
    nouns: Arc<Nouns>,
    things: BTreeMap<NounId, usize>,
}

impl PantryNouns {
    pub fn new(pantry: &Pantry) -> PantryNouns {
        let mut nouns = Nouns::default();
        let mut things = BTreeMap::new();
        for (index, entry) in pantry.iter().enumerate() {
            for name in entry.also.iter().chain([&entry.name]) {
                if let Some(id) = nouns.add(name, false) {
                    things.entry(id).or_insert(index);
                }
            }
        }
        PantryNouns { nouns: Arc::new(nouns), things }
    }
}

/// The nouns of one lesson and what they mean.
#[derive(Debug)]
pub(super) struct Things<'a> {
    pub nouns: Nouns,
    own: BTreeMap<NounId, Vec<Thing>>,
    base: &'a PantryNouns,
}

impl<'a> Things<'a> {
    pub fn new(base: &'a PantryNouns, course: &Course, lesson: Option<&Lesson>, reference: &Reference) -> Things<'a> {
        let mut things = Things { nouns: Nouns::over(base.nouns.clone()), own: BTreeMap::new(), base };
        if let Some(recipe) = lesson.and_then(|lesson| lesson.recipe.as_ref()) {
            let is_count = |id| course.measure(id).amount.dimension() == Dimension::Count;
            for (index, item) in recipe.ingredients.iter().enumerate() {
                let counted = item.amount.is_some_and(is_count);
                let thing = Thing::Ingredient(index);
                things.name(&item.name, counted, thing);
                things.name(&item.id, counted, thing);
                if let Some((pieces, of)) = counted_in(&item.name).filter(|_| counted) {
                    things.name(&format!("{pieces} of {of}"), counted, thing);
                    things.name(&format!("{of} {pieces}"), counted, thing);
                }
                if let Some(entry) = item.pantry.map(|row| reference.pantry.get(row)) {
                    entry.also.iter().chain([&entry.name]).for_each(|name| things.name(name, counted, thing));
                }
            }
            if let Some(product) = &recipe.makes {
                things.name(&product.name, is_count(product.amount), Thing::Product);
            }
            for (index, leftover) in recipe.leaves.iter().enumerate() {
                let counted = is_count(leftover.amount);
                things.name(&leftover.name, counted, Thing::Leftover(index));
                things.name(&leftover.id, counted, Thing::Leftover(index));
            }
            for (index, item) in recipe.equipment.iter().enumerate() {
                let counted = item.count.is_some();
                things.name(&item.name.text, counted, Thing::Equipment(index));
                things.name(&item.id, counted, Thing::Equipment(index));
            }
        }
        // Keys name what is weighed or counted in a step; lengths, times and warmth are told by their kind.
        let of_steps = lesson.iter().flat_map(|lesson| &lesson.steps).flat_map(|step| &step.measures);
        let of_recipe = lesson.iter().flat_map(|lesson| &lesson.recipe).flat_map(|recipe| &recipe.measures);
        for (key, id) in of_steps.chain(of_recipe) {
            let dimension = course.measure(*id).amount.dimension();
            if matches!(dimension, Dimension::Mass | Dimension::Volume | Dimension::Count) {
                things.key(&key.replace('-', " "), dimension == Dimension::Count, Thing::Named(*id));
            }
        }
        things
    }

    /// Adds the key of a measure where no thing has that name.
    fn key(&mut self, name: &str, counted: bool, thing: Thing) {
        let taken = self.nouns.match_start(name).is_some_and(|found| found.len == name.len() && !counted);
        if let Some(id) = (!taken).then(|| self.nouns.add(name, counted)).flatten() {
            let meanings = self.own.entry(id).or_default();
            if meanings.iter().all(|meaning| matches!(meaning, Thing::Named(_))) {
                meanings.push(thing);
            }
        }
    }

    /// Adds a name, and its last word alone: the "strong white flour" is also "the flour".
    fn name(&mut self, name: &str, counted: bool, thing: Thing) {
        let name = name.split([',', '(']).next().unwrap_or(name).trim();
        let last = name.rsplit([' ', '-']).next().unwrap_or(name);
        let short = (last.len() > 2 && last != name).then_some(last);
        for name in [Some(name), short].into_iter().flatten() {
            let Some(id) = self.nouns.add(name, counted) else { continue };
            let meanings = self.own.entry(id).or_default();
            if !meanings.contains(&thing) {
                meanings.push(thing);
            }
        }
    }

    /// What a noun can mean here.
    pub fn meanings(&self, noun: NounId) -> Vec<Thing> {
        match self.own.get(&noun) {
            Some(own) => own.clone(),
            None => self.base.things.get(&noun).map(|row| Thing::Pantry(*row)).into_iter().collect(),
        }
    }
}
