//! `dilution-apart`: a strong solution and what it is diluted with do not make the strength that is named.
//!
//! Why: a rinse that is too weak cleans nothing, and one that is too strong burns hands.

use super::Cx;
use super::doses::{base_of, ends};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::End;
use crate::quantity::{Dimension, Exact, print};
use crate::recipe::{Diluted, Ingredient};

pub(in crate::check) fn dilution_apart(cx: &Cx<'_>, sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    for item in &recipe.ingredients {
        let Some(diluted) = &item.diluted else { continue };
        match base_of(recipe, &diluted.with) {
            Some(with) => apart(cx, item, diluted, with).into_iter().for_each(|found| sink.push(found)),
            None => sink.push(
                Diagnostic::new(
                    Code::UnknownName,
                    format!("no ingredient of this recipe is called “{}”", diluted.with),
                    diluted.span,
                )
                .help("name the ingredient that goes to it, by its id or its name"),
            ),
        }
    }
}

/// c₁ · V₁ = c₂ · (V₁ + V₂): by weight or by volume, as both are written.
fn apart(cx: &Cx<'_>, item: &Ingredient, diluted: &Diluted, with: &Ingredient) -> Option<Diagnostic> {
    let (own_id, with_id) = (item.amount?, with.amount?);
    let (own_amount, with_amount) = (&cx.course.measure(own_id).amount, &cx.course.measure(with_id).amount);
    let by = if own_amount.dimension() == with_amount.dimension() { own_amount.dimension() } else { Dimension::Mass };
    let (own, other) = (ends(cx, item, own_id, by)?, ends(cx, with, with_id, by)?);
    let (from, to) = (cx.course.measure(diluted.from), cx.course.measure(diluted.to));
    let strength =
        |own: Exact, other: Exact, from: Exact| (own + other > Exact::ZERO).then(|| from * own / (own + other));
    let low = strength(own.0, other.1, End::Low.of(&from.amount))?;
    let high = strength(own.1, other.0, End::High.of(&from.amount))?;
    let slack = to.amount.low.step / Exact::whole(2);
    let wanted = (End::Low.of(&to.amount), End::High.of(&to.amount));
    if high >= wanted.0 - slack && low <= wanted.1 + slack {
        return None;
    }
    let style = cx.reference.units.style();
    let percent = |value: Exact| style.rounded(value * Exact::whole(100), 1);
    let comes = if low == high { percent(low) } else { format!("{} to {}", percent(low), percent(high)) };
    let how = if by == Dimension::Volume { "by volume" } else { "by weight" };
    let message = format!("{how}, the {} comes to {comes} % with that much {}", item.name, with.name);
    let mut found = Diagnostic::new(Code::DilutionApart, message, to.span)
        .label("the strength wanted")
        .related(from.span, "its strength")
        .related(cx.course.measure(own_id).span, format!("the amount of {}", item.name))
        .related(cx.course.measure(with_id).span, format!("the amount of {}", with.name))
        .note("reckoned as parts of the whole; by volume, strong spirits and acids shrink a little as they meet water");
    if wanted.0 > Exact::ZERO && wanted.0 <= End::Low.of(&from.amount) && by == with_amount.dimension() {
        let units = &cx.reference.units;
        let needs = (own.0 * End::Low.of(&from.amount) / wanted.0 - own.0).cut();
        let needs = print::value_in(needs, with_amount.unit(), with_amount.bare, units, style);
        found = found.note(format!("that strength wants {needs} of {}", with.name));
    }
    Some(found.help("correct a strength or one of the amounts"))
}
