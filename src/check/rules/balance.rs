//! `unbalanced` and `unaccounted`: what comes out against what goes in, by weight.
//!
//! Why: a yield that nobody can reach is a slip in one of its figures, and students believe they failed.

use super::Cx;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::{End, balance};
use crate::quantity::Exact;
use crate::recipe::Recipe;

/// What densities and rounding may move, of what goes in.
const SLACK: (i128, i128) = (1, 100);
/// A loss that wants a word from its author. Common practice: draining, kneading and churning lose less; boiling down
/// loses more, and then it is the point of the recipe.
const LARGE: (i128, i128) = (1, 4);

pub(in crate::check) fn unbalanced(cx: &Cx<'_>, sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    let Some((least, most)) = balance(cx.course, cx.reference, recipe).lost() else { return };
    let slack = Exact::new(SLACK.0, SLACK.1);
    let percent = |share: Exact| cx.reference.units.style().rounded(share * Exact::whole(100), 1);
    if most < Exact::ZERO - slack {
        let over = percent(Exact::ZERO - most);
        sink.push(out_of_it(
            cx,
            recipe,
            Code::Unbalanced,
            format!("more comes out than goes in: {over} % more, by weight, even at its least"),
            "correct what the recipe makes or leaves, or what goes in",
        ));
        return;
    }
    match &recipe.loses {
        Some((id, _)) => {
            let said = cx.course.measure(*id);
            let (low, high) = (End::Low.of(&said.amount) - slack, End::High.of(&said.amount) + slack);
            if most < low || least > high {
                let (least, most) = (percent(least.max(Exact::ZERO)), percent(most.max(Exact::ZERO)));
                let lost = if least == most { least } else { format!("{least} to {most}") };
                let message = format!("by the amounts, {lost} % of what goes in is lost");
                let found = Diagnostic::new(Code::Unbalanced, message, said.span).label("the loss says otherwise");
                sink.push(with_yields(cx, recipe, found).help("correct the loss or one of the amounts"));
            }
        }
        // Whoever names no leftovers does not account for them.
        None if !recipe.leaves.is_empty() && least > Exact::new(LARGE.0, LARGE.1) => sink.push(out_of_it(
            cx,
            recipe,
            Code::Unaccounted,
            format!("{} % of what goes in comes out nowhere", percent(least)),
            "say what is lost, such as `loses = \"30–40 % steam\"`, or what is left over, under `leaves`",
        )),
        None => {}
    }
}

fn out_of_it(cx: &Cx<'_>, recipe: &Recipe, code: Code, message: String, help: &str) -> Diagnostic {
    let makes = recipe.makes.as_ref().map_or(recipe.span, |product| cx.course.measure(product.amount).span);
    with_yields(cx, recipe, Diagnostic::new(code, message, makes).label("what it makes")).help(help)
}

fn with_yields(cx: &Cx<'_>, recipe: &Recipe, found: Diagnostic) -> Diagnostic {
    let leaves =
        recipe.leaves.iter().map(|left| (cx.course.measure(left.amount).span, format!("leaves {}", left.name)));
    let heaviest = recipe.ingredients.iter().filter_map(|item| {
        let id = item.amount?;
        let amount = &cx.course.measure(id).amount;
        Some((amount.high.quantity.base(), cx.course.measure(id).span, format!("takes {}", item.name)))
    });
    let main = heaviest.max_by_key(|(amount, ..)| *amount).map(|(_, span, words)| (span, words));
    leaves.chain(main).fold(found, |found, (span, words)| found.related(span, words))
}
