//! What one lesson leaves and another takes.

use super::bulk::{Bulk, End, bulk};
use super::class::{ClassAsk, groups};
use crate::quantity::Exact;
use crate::recipe::{Course, MeasureId, Recipe};
use crate::reference::Reference;

/// Where an ingredient comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Source {
    /// The lesson that leaves it.
    pub lesson: usize,
    /// Which of its leftovers; what it makes, if none.
    pub leftover: Option<usize>,
}

impl Source {
    /// How much of it one batch gives.
    pub fn amount(self, course: &Course) -> Option<MeasureId> {
        let recipe = course.lessons[self.lesson].recipe.as_ref()?;
        match self.leftover {
            Some(leftover) => Some(recipe.leaves[leftover].amount),
            None => Some(recipe.makes.as_ref()?.amount),
        }
    }
}

/// The lesson that an ingredient names, if it comes earlier and leaves or makes such a thing.
pub fn source(course: &Course, reference: &Reference, lesson: usize, ingredient: usize) -> Option<Source> {
    let item = &course.lessons[lesson].recipe.as_ref()?.ingredients[ingredient];
    let from = item.from.as_ref()?;
    let giver = course.lessons[..lesson].iter().position(|other| other.slug == from.lesson)?;
    let recipe = course.lessons[giver].recipe.as_ref()?;
    // One thing of two names is one row of the pantry.
    let is = |name: &str| {
        let row = reference.pantry.find(name);
        name.eq_ignore_ascii_case(&item.name)
            || name.eq_ignore_ascii_case(&item.id)
            || row.is_some() && row == item.pantry
    };
    let leftover = recipe.leaves.iter().position(|left| is(&left.id) || is(&left.name));
    let makes = || recipe.makes.as_ref().filter(|product| is(&product.name)).map(|_| None);
    leftover.map(Some).or_else(makes).map(|leftover| Source { lesson: giver, leftover })
}

/// What all later lessons take of one leftover, against what is left: for the class, or for one student where the course
/// has none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Account {
    /// What is left.
    pub source: Source,
    /// The least that is left.
    pub left: Bulk,
    /// Who takes of it: lesson, ingredient, and the most that is needed.
    pub takers: Vec<(usize, usize, Bulk)>,
}

impl Account {
    /// Whether it suffices; nothing where weights and volumes cannot be compared.
    pub fn suffices(&self) -> Option<bool> {
        let sum = |of: fn(&Bulk) -> Option<Exact>| {
            let needs = self.takers.iter().try_fold(Exact::ZERO, |sum, (_, _, need)| Some(sum + of(need)?))?;
            Some(needs <= of(&self.left)?)
        };
        sum(|bulk| bulk.grams).or_else(|| sum(|bulk| bulk.millilitres))
    }
}

/// The accounts of a course, in the order of its lessons.
pub fn accounts(course: &Course, reference: &Reference) -> Vec<Account> {
    let batches = |lesson: usize, recipe: &Recipe| match &course.class {
        Some(class) => {
            let ask = ClassAsk { students: class.students, groups: class.groups, lessons: Vec::new() };
            Exact::whole(groups(course, &ask, lesson) as i128)
        }
        None => Exact::ONE / recipe.students,
    };
    let mut found: Vec<Account> = Vec::new();
    for (lesson, recipe) in recipes(course) {
        for ingredient in 0..recipe.ingredients.len() {
            let item = &recipe.ingredients[ingredient];
            let (Some(source), Some(amount)) = (source(course, reference, lesson, ingredient), item.amount) else {
                continue;
            };
            let need = bulk(course, reference, amount, item.pantry, End::High).times(batches(lesson, recipe));
            match found.iter_mut().find(|account| account.source == source) {
                Some(account) => account.takers.push((lesson, ingredient, need)),
                None => {
                    let giver = course.lessons[source.lesson].recipe.as_ref();
                    let Some((giver, left)) = giver.zip(source.amount(course)) else { continue };
                    let left =
                        bulk(course, reference, left, item.pantry, End::Low).times(batches(source.lesson, giver));
                    found.push(Account { source, left, takers: vec![(lesson, ingredient, need)] });
                }
            }
        }
    }
    found
}

fn recipes(course: &Course) -> impl Iterator<Item = (usize, &Recipe)> {
    course.lessons.iter().enumerate().filter_map(|(index, lesson)| Some((index, lesson.recipe.as_ref()?)))
}
