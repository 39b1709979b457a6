//! Which rows of the tables a lesson was held against: the same choice that the rules make.

use super::{Cx, doses, shares, yields};
use crate::recipe::Course;
use crate::reference::{Dose, Reference, YieldRange};

/// Rows that a lesson was held against.
#[derive(Debug, Clone, Default)]
pub struct Consulted<'r> {
    /// Usual yields of what it makes.
    pub yields: Vec<&'r YieldRange>,
    /// Usual doses of what goes in.
    pub doses: Vec<&'r Dose>,
    /// Whether a brine was reckoned by its density.
    pub brine: bool,
}

/// What the rules look up for a lesson.
pub fn consulted<'r>(course: &'r Course, reference: &'r Reference, lesson: usize) -> Consulted<'r> {
    let lesson = &course.lessons[lesson];
    let cx = Cx { course, lesson, reference };
    let Some(recipe) = &lesson.recipe else { return Consulted::default() };
    let mut doses: Vec<&Dose> =
        recipe.ingredients.iter().filter_map(|item| doses::consulted(&cx, recipe, item)).collect();
    doses.dedup();
    Consulted { yields: yields::consulted(&cx, recipe), doses, brine: shares::weighs_a_brine(&cx, recipe) }
}
