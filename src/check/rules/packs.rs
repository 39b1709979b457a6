//! `wrong-kind`: a pack is told in a kind of measure that no recipe's amount of it can be turned into.
//!
//! Why: the shopping list would have to guess how many packs are enough.

use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::quantity::Dimension;
use crate::recipe::{Course, MeasureId};
use crate::reference::Reference;

pub(in crate::check) fn pack_of_another_kind(course: &Course, reference: &Reference, sink: &mut Diagnostics) {
    for (row, entry) in reference.pantry.iter().enumerate().filter(|(_, entry)| !entry.packs.is_empty()) {
        let uses = uses(course, row);
        for pack in &entry.packs {
            let kind = pack.holds.dimension();
            let fits = |id: &MeasureId| {
                let amount = course.measure(*id).amount;
                entry.convert(amount.high.quantity.base(), amount.dimension(), kind).is_some()
            };
            let Some(first) = uses.first().filter(|_| !uses.iter().any(fits)) else { continue };
            let measure = course.measure(*first);
            let own = measure.amount.dimension();
            let message = format!(
                "this pack of {} holds {}, and the recipe takes {}",
                entry.name,
                kind.in_words(),
                own.in_words()
            );
            let lacks = if [kind, own].contains(&Dimension::Count) { "each" } else { "density" };
            let help = format!("tell the pack as the recipe does, or give its pantry entry a `{lacks}`");
            sink.push(
                Diagnostic::new(Code::WrongKind, message, pack.span)
                    .related(measure.span, "what the recipe takes")
                    .help(help),
            );
        }
    }
}

/// All amounts of a pantry's row.
fn uses(course: &Course, row: usize) -> Vec<MeasureId> {
    let recipes = course.lessons.iter().filter_map(|lesson| lesson.recipe.as_ref());
    let ingredients = recipes.flat_map(|recipe| &recipe.ingredients);
    ingredients.filter(|ingredient| ingredient.pantry == Some(row)).filter_map(|ingredient| ingredient.amount).collect()
}
