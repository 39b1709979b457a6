//! `not-used-up`: the steps do not take exactly what the recipe lists.
//!
//! Why: an ingredient weighed out and left on the bench is found after the class.

use super::Cx;
use crate::check::candidates::fraction_of;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::Walk;
use crate::quantity::Exact;
use crate::recipe::{Part, PartAmount, Recipe};

pub(in crate::check) fn not_used_up(cx: &Cx<'_>, walks: &[Walk], sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    if cx.lesson.steps.is_empty() {
        return;
    }
    for ingredient in 0..recipe.ingredients.len() {
        if let Some(found) = walks.iter().find_map(|walk| check_walk(cx, recipe, ingredient, walk)) {
            sink.push(found);
        }
    }
}

/// What is wrong with one ingredient on one walk through the lesson.
fn check_walk(cx: &Cx<'_>, recipe: &Recipe, ingredient: usize, walk: &Walk) -> Option<Diagnostic> {
    let item = &recipe.ingredients[ingredient];
    let taken = walk.steps.iter().flat_map(|step| &cx.lesson.steps[*step].add);
    let parts: Vec<&Part> = taken.filter(|part| part.ingredient == ingredient).collect();
    if parts.is_empty() {
        return Some(
            Diagnostic::new(Code::NotUsedUp, format!("no step uses the {}", item.name), item.id_span)
                .label("listed here")
                .help(format!(
                    "add `add = [\"{}\"]` to the step where it goes in, or take it out of the recipe",
                    item.id
                )),
        );
    }
    let total = cx.course.measure(item.amount?).amount.high.quantity;
    let mut taken = Exact::ZERO;
    for part in &parts {
        match part.amount {
            PartAmount::Rest if taken < Exact::ONE => taken = Exact::ONE,
            PartAmount::Rest => return Some(over(cx, item.name.as_str(), part, "nothing is left for this rest")),
            amount => match fraction_of(cx.course, amount, total) {
                Some(fraction) => taken = taken + fraction,
                None => return Some(other_kind(item.name.as_str(), part)),
            },
        }
        if taken > Exact::ONE {
            return Some(over(cx, item.name.as_str(), part, "this takes more than is left"));
        }
    }
    (taken < Exact::ONE).then(|| {
        let last = parts[parts.len() - 1];
        let missing = (Exact::ONE - taken) * Exact::whole(100);
        Diagnostic::new(
            Code::NotUsedUp,
            format!("the steps leave {} % of the {} unused", cx.reference.units.style().rounded(missing, 1), item.name),
            item.id_span,
        )
        .label("listed here")
        .related(last.span, "the last part that goes in")
        .help("let the last step take `\"rest\"`, or correct the amounts")
    })
}

fn over(cx: &Cx<'_>, name: &str, part: &Part, label: &str) -> Diagnostic {
    let measure = cx.lesson.recipe.as_ref().and_then(|recipe| recipe.ingredients[part.ingredient].amount);
    let found = Diagnostic::new(Code::NotUsedUp, format!("the steps use more {name} than the recipe lists"), part.span)
        .label(label)
        .help("let the parts add up to the amount in the recipe");
    match measure {
        Some(id) => found.related(cx.course.measure(id).span, "the recipe's amount"),
        None => found,
    }
}

fn other_kind(name: &str, part: &Part) -> Diagnostic {
    Diagnostic::new(
        Code::WrongKind,
        format!("this part of the {name} is measured in another kind than the recipe's amount"),
        part.span,
    )
    .label("a weight beside a volume, or the like")
    .help("write the part in the same kind of unit as the ingredient, or as a fraction such as \"half\"")
}
