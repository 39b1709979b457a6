//! `share-apart`: a share and the amounts it compares do not agree.
//!
//! Why: "1.5 % of the curd" and "9 g" are two ways to say one thing, and a student follows whichever is easier.

use super::Cx;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::quantity::{Amount, Dimension, Exact};
use crate::recipe::{MeasureId, Recipe};

pub(in crate::check) fn share_apart(cx: &Cx<'_>, sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    for item in &recipe.ingredients {
        let (Some((share, base)), Some(amount)) = (&item.share, item.amount) else { continue };
        let share = cx.course.measure(*share);
        let Some((base_id, base_row)) = base_of(cx, recipe, base) else {
            sink.push(
                Diagnostic::new(Code::UnknownName, format!("nothing in this recipe is called “{base}”"), share.span)
                    .label("a share of what?")
                    .help("name an ingredient, what the recipe makes or what it leaves"),
            );
            continue;
        };
        let own = weight_or_volume(cx, item.pantry, amount);
        let whole = weight_or_volume(cx, base_row, base_id);
        let Some((own, whole)) = comparable(own, whole) else { continue };
        if whole.0.is_zero() || whole.1.is_zero() {
            continue;
        }
        let (low, high) = (own.0 / whole.1, own.1 / whole.0);
        let slack = share.amount.low.step / Exact::whole(2);
        let (said_low, said_high) =
            (share.amount.low.quantity.base() - slack, share.amount.high.quantity.base() + slack);
        if said_high < low || said_low > high {
            let percent = |value: Exact| cx.reference.units.style().rounded(value * Exact::whole(100), 2);
            let range = if low == high { percent(low) } else { format!("{} to {}", percent(low), percent(high)) };
            sink.push(
                Diagnostic::new(
                    Code::ShareApart,
                    format!("by the amounts, the {} is {range} % of the {base}", item.name),
                    share.span,
                )
                .label("the share says otherwise")
                .related(cx.course.measure(amount).span, format!("the amount of {}", item.name))
                .related(cx.course.measure(base_id).span, format!("the amount of {base}"))
                .help("correct the share or one of the amounts"),
            );
        }
    }
}

/// The measure that a share is of, and the pantry row of its density.
fn base_of(cx: &Cx<'_>, recipe: &Recipe, base: &str) -> Option<(MeasureId, Option<usize>)> {
    let base = base.trim().trim_start_matches("the ").to_lowercase();
    let is = |name: &str| {
        let name = name.to_lowercase();
        name == base || name.rsplit(' ').next() == Some(base.as_str())
    };
    let ingredient = recipe.ingredients.iter().find(|item| is(&item.id) || is(&item.name));
    if let Some(item) = ingredient {
        return Some((item.amount?, item.pantry));
    }
    if let Some(product) = recipe.makes.as_ref().filter(|product| is(&product.name)) {
        return Some((product.amount, cx.reference.pantry.find(&product.name)));
    }
    let leftover = recipe.leaves.iter().find(|leftover| is(&leftover.id) || is(&leftover.name))?;
    Some((leftover.amount, cx.reference.pantry.find(&leftover.name)))
}

type Ends = (Dimension, Exact, Exact);

/// An amount's ends, as weight where a density is known.
fn weight_or_volume(cx: &Cx<'_>, row: Option<usize>, id: MeasureId) -> Ends {
    let amount: &Amount = &cx.course.measure(id).amount;
    let (low, high) = (amount.low.quantity.base(), amount.high.quantity.base());
    let density = row.and_then(|row| cx.reference.pantry.get(row).density);
    match (amount.dimension(), density) {
        (Dimension::Volume, Some(density)) => (Dimension::Mass, low * density, high * density),
        (dimension, _) => (dimension, low, high),
    }
}

fn comparable(own: Ends, whole: Ends) -> Option<((Exact, Exact), (Exact, Exact))> {
    let bulk = matches!(own.0, Dimension::Mass | Dimension::Volume);
    (own.0 == whole.0 && bulk).then_some(((own.1, own.2), (whole.1, whole.2)))
}
