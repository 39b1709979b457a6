//! How warm a make is while the lesson goes on, as far as its steps say.

use super::bulk::End;
use super::hob::{middle, stored};
use super::plan::{Plan, Seconds};
use crate::recipe::{Course, Lesson, MeasureId, Step};
use crate::reference::Reference;

/// A moment and a temperature in °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Seconds from the start, if every step takes its longest.
    pub at: Seconds,
    /// Degrees.
    pub celsius: f64,
}

/// A straight piece of the curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Where it begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
    /// Whether a step says so; else it only joins what two steps say.
    pub said: bool,
    /// The measure that it ends at.
    pub measure: MeasureId,
}

/// The curve of a plan, without temperatures that are no state of the make, such as an oven's. A step warms or cools to
/// its `to` over the time it takes, and stays at its `at`, in the middle of a range.
pub fn curve(
    course: &Course,
    reference: &Reference,
    lesson: &Lesson,
    plan: &Plan,
    is_left_out: impl Fn(MeasureId) -> bool,
) -> Vec<Leg> {
    let mut legs: Vec<Leg> = Vec::new();
    let mut now: Option<Point> = None;
    for slot in &plan.slots {
        let step = &lesson.steps[slot.step];
        let (begins, ends) = (slot.begins.most, slot.ends().most);
        // What must pass comes after a temperature is reached.
        let waits = step.takes.and(step.lasts).map_or(0.0, |id| End::High.of(&course.measure(id).amount).to_f64());
        let reached = if step.to.is_some() { ends - waits.round() as Seconds } else { begins };
        let said = [(step.from, begins), (step.to, reached), (step.at, reached), (step.at, ends)];
        for (id, at) in said {
            let Some(id) = id.filter(|id| !is_left_out(*id)) else { continue };
            let to = Point { at, celsius: middle(course, id) };
            let start = || Point { at: begins, celsius: start(course, reference, lesson, step) };
            if now.is_none() && step.to != Some(id) {
                now = Some(to);
                continue;
            }
            let from = now.unwrap_or_else(start);
            if from.at < at || from.celsius != to.celsius {
                legs.push(Leg { from, to, said: now.is_some() && from.at >= begins && at > from.at, measure: id });
            }
            now = Some(to);
        }
    }
    legs
}

/// How warm what goes in at a step is, if nobody says so: as warm as the coldest of it.
fn start(course: &Course, reference: &Reference, lesson: &Lesson, step: &Step) -> f64 {
    let added =
        lesson.recipe.iter().flat_map(|recipe| step.add.iter().map(|part| &recipe.ingredients[part.ingredient]));
    let warmths = added.map(|item| stored(course, item.pantry.map(|row| reference.pantry.get(row))));
    warmths.fold(course.place.room.to_f64(), f64::min)
}
