//! `kit-short`: a pack of a kit holds less than its batches take.
//!
//! Why: the student at home stands in the middle of the last batch with an empty bag.

use super::Cx;
use super::doses::ends;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::End;
use crate::quantity::print;
use crate::recipe::{Kit, Recipe};

pub(in crate::check) fn kit_short(cx: &Cx<'_>, sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    let Some(kit) = &recipe.kit else { return };
    for pack in &kit.packs {
        short(cx, recipe, kit, *pack).into_iter().for_each(|found| sink.push(found));
    }
}

fn short(
    cx: &Cx<'_>,
    recipe: &Recipe,
    kit: &Kit,
    (index, pack): (usize, crate::recipe::MeasureId),
) -> Option<Diagnostic> {
    let item = &recipe.ingredients[index];
    let (amount, batches, packed) = (item.amount?, cx.course.measure(kit.batches), cx.course.measure(pack));
    let holds = End::Low.of(&packed.amount);
    let needs = ends(cx, item, amount, packed.amount.dimension())?.1 * End::High.of(&batches.amount);
    if holds >= needs {
        return None;
    }
    let units = &cx.reference.units;
    let print = |value| print::value_in(value, packed.amount.unit(), packed.amount.bare, units, units.style());
    let message = format!(
        "{} batches take {} of {}, and the kit packs {}",
        units.style().rounded(End::High.of(&batches.amount), 1),
        print(needs),
        item.name,
        print(holds)
    );
    Some(
        Diagnostic::new(Code::KitShort, message, packed.span)
            .label("the pack")
            .related(cx.course.measure(amount).span, "what one batch takes")
            .related(batches.span, "for so many batches")
            .help("pack more, or promise fewer batches"),
    )
}
