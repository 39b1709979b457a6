//! What lies in a pot, step by step, and the room it takes.

use super::bulk::{Bulk, End, Taking};
use super::ways::Walk;
use crate::quantity::{Dimension, Exact};
use crate::recipe::{Course, Recipe, Step};
use crate::reference::Reference;

/// Of a pot that is heated, a fifth stays empty: what is hot rises and what is stirred slops (common practice).
pub const ROOM: (i128, i128) = (4, 5);

/// What a vessel holds once the parts of a step are in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Filling {
    /// The step.
    pub step: usize,
    /// The piece of equipment.
    pub vessel: usize,
    /// How much lies in it, in mL; what cannot be told as a volume takes no room.
    pub volume: Exact,
}

/// What lies together once the parts of a step are in.
#[derive(Debug, Clone, PartialEq)]
pub struct Content {
    /// The step.
    pub step: usize,
    /// The piece of equipment; none where steps name none, or several.
    pub vessel: Option<usize>,
    /// Ingredients, and how much of each part.
    pub parts: Vec<(usize, Bulk)>,
}

/// What lies together at each step of one walk. What steps that follow each other put into a vessel adds up; when
/// another vessel is taken, it has been emptied. Of steps with several vessels it is not known what goes where.
pub fn contents(
    course: &Course,
    reference: &Reference,
    recipe: &Recipe,
    steps: &[Step],
    walk: &Walk,
    end: End,
) -> Vec<Content> {
    let mut taking = Taking::new(course, reference, recipe, end);
    let mut inside = Content { step: 0, vessel: None, parts: Vec::new() };
    let place = |index: &usize| {
        let step = &steps[*index];
        let own = match step.vessels[..] {
            [] => inside.vessel,
            [own] => Some(own),
            _ => None,
        };
        if own != inside.vessel {
            inside.parts.clear();
        }
        (inside.step, inside.vessel) = (*index, own);
        inside.parts.extend(step.add.iter().map(|part| (part.ingredient, taking.take(part))));
        inside.clone()
    };
    walk.steps.iter().map(place).collect()
}

/// The fillings of one walk, of the steps that name one vessel.
pub fn fillings(
    course: &Course,
    reference: &Reference,
    recipe: &Recipe,
    steps: &[Step],
    walk: &Walk,
    end: End,
) -> Vec<Filling> {
    let filled = |content: Content| {
        let vessel = content.vessel.filter(|_| !steps[content.step].vessels.is_empty())?;
        let parts: Vec<(Bulk, bool)> =
            content.parts.iter().map(|(index, bulk)| (*bulk, is_poured(course, recipe, *index))).collect();
        Some(Filling { step: content.step, vessel, volume: room(&parts) })
    };
    contents(course, reference, recipe, steps, walk, end).into_iter().filter_map(filled).collect()
}

fn is_poured(course: &Course, recipe: &Recipe, ingredient: usize) -> bool {
    let amount = recipe.ingredients[ingredient].amount;
    amount.is_some_and(|id| course.measure(id).amount.dimension() == Dimension::Volume)
}

/// The room of what lies together. Where something is poured, what is weighed sinks into it and takes no more than water
/// of its weight: flour loses its air.
fn room(inside: &[(Bulk, bool)]) -> Exact {
    let wet = inside.iter().any(|(_, poured)| *poured);
    let each = inside.iter().map(|(bulk, poured)| match (bulk.millilitres, bulk.grams) {
        (Some(loose), Some(sunk)) if wet && !poured && sunk < loose => sunk,
        (Some(loose), _) => loose,
        (None, _) => Exact::ZERO,
    });
    each.fold(Exact::ZERO, |sum, one| sum + one)
}

/// A vessel that says what it holds, and what one batch makes it hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Vessel {
    /// Which piece of equipment.
    pub equipment: usize,
    /// What it holds, with all its fellows, in mL.
    pub holds: Exact,
    /// The most that lies in it on any walk, in mL.
    pub filled: Exact,
}

/// The vessels of a recipe that say what they hold, and have something in them.
pub fn vessels(course: &Course, reference: &Reference, recipe: &Recipe, steps: &[Step], walks: &[Walk]) -> Vec<Vessel> {
    let all: Vec<Filling> =
        walks.iter().flat_map(|walk| fillings(course, reference, recipe, steps, walk, End::High)).collect();
    let vessel = |equipment: usize| {
        let own = all.iter().filter(|filling| filling.vessel == equipment).map(|filling| filling.volume);
        let filled = own.max().unwrap_or(Exact::ZERO);
        let holds = holds(course, recipe, equipment)?;
        (filled > Exact::ZERO).then_some(Vessel { equipment, holds, filled })
    };
    (0..recipe.equipment.len()).filter_map(vessel).collect()
}

/// What a vessel holds, with all its fellows, in mL; nothing where it does not say so.
pub fn holds(course: &Course, recipe: &Recipe, equipment: usize) -> Option<Exact> {
    let item = &recipe.equipment[equipment];
    let holds = &course.measure(item.holds?).amount;
    let count = item.count.map_or(Exact::ONE, |id| End::High.of(&course.measure(id).amount));
    (holds.dimension() == Dimension::Volume).then(|| End::High.of(holds) * count)
}
