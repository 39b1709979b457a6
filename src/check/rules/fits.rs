//! `does-not-fit`: a pot is too small for what one step puts into it.
//!
//! Why: milk that boils over a rim burns hands.

use super::Cx;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::quantity::{Dimension, Exact};
use crate::recipe::{PartAmount, Recipe, Step};

pub(in crate::check) fn does_not_fit(cx: &Cx<'_>, sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    for step in &cx.lesson.steps {
        // With several vessels it is not known what goes where.
        let [vessel] = step.vessels[..] else { continue };
        let item = &recipe.equipment[vessel];
        let Some(holds) = item.holds.map(|id| cx.course.measure(id)) else { continue };
        let count = item.count.map_or(Exact::ONE, |id| cx.course.measure(id).amount.high.quantity.base());
        let room = holds.amount.high.quantity.base() * count;
        let filled = filling(cx, recipe, step);
        if holds.amount.dimension() == Dimension::Volume && filled > room {
            sink.push(
                Diagnostic::new(
                    Code::DoesNotFit,
                    format!(
                        "“{}” puts {} L into the {}, which holds less",
                        step.title,
                        cx.reference.units.style().rounded(filled / Exact::whole(1000), 2),
                        item.name.text
                    ),
                    holds.span,
                )
                .label("what it holds")
                .related(step.span, "the step that fills it")
                .help("name a larger vessel, or split the step"),
            );
        }
    }
}

/// The volume that a step puts in, in millilitres; what cannot be told as a volume is left out.
fn filling(cx: &Cx<'_>, recipe: &Recipe, step: &Step) -> Exact {
    let mut sum = Exact::ZERO;
    for part in &step.add {
        let item = &recipe.ingredients[part.ingredient];
        let (id, share) = match (part.amount, item.amount) {
            (PartAmount::Amount(id), _) => (id, Exact::ONE),
            (PartAmount::Fraction(fraction, _), Some(id)) => (id, fraction),
            (PartAmount::All, Some(id)) => (id, Exact::ONE),
            _ => continue,
        };
        let quantity = cx.course.measure(id).amount.low.quantity;
        let density = item.pantry.and_then(|row| cx.reference.pantry.get(row).density);
        let volume = match (quantity.dimension(), density) {
            (Dimension::Volume, _) => quantity.base(),
            (Dimension::Mass, Some(density)) => quantity.base() / density,
            _ => Exact::ZERO,
        };
        sum = sum + (share * volume).cut();
    }
    sum
}
