//! `does-not-fit` and `tight-fit`: a pot is too small for what the steps put into it, or too full to be heated.
//!
//! Why: milk that boils over a rim burns hands.

use super::Cx;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::{End, Filling, ROOM, Walk, fillings, holds};
use crate::quantity::Exact;
use crate::recipe::{Recipe, Step};
use std::collections::BTreeSet;

pub(in crate::check) fn does_not_fit(cx: &Cx<'_>, walks: &[Walk], sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    let steps = &cx.lesson.steps;
    let mut said = BTreeSet::new();
    // The least that is in there: what may be there or not is no fault yet.
    for filling in walks.iter().flat_map(|walk| fillings(cx.course, cx.reference, recipe, steps, walk, End::Low)) {
        let Some(holds) = holds(cx.course, recipe, filling.vessel) else { continue };
        let step = &steps[filling.step];
        let code = if filling.volume > holds {
            Code::DoesNotFit
        } else if is_hot(cx, step) && filling.volume > holds * Exact::new(ROOM.0, ROOM.1) {
            Code::TightFit
        } else {
            continue;
        };
        // One word for each vessel: what comes after lies in it too.
        if said.insert(filling.vessel) {
            sink.push(finding(cx, recipe, step, &filling, code));
        }
    }
}

/// Whether what is in the pot may rise, boil or spit: as warm as 60 °C.
fn is_hot(cx: &Cx<'_>, step: &Step) -> bool {
    let warmth = |id| End::High.of(&cx.course.measure(id).amount);
    [step.to, step.at].into_iter().flatten().any(|id| warmth(id) >= Exact::whole(60))
}

fn finding(cx: &Cx<'_>, recipe: &Recipe, step: &Step, filling: &Filling, code: Code) -> Diagnostic {
    let item = &recipe.equipment[filling.vessel];
    let litres = cx.reference.units.style().rounded(filling.volume / Exact::whole(1000), 2);
    let (pot, title) = (&item.name.text, &step.title);
    let (message, help) = if code == Code::DoesNotFit {
        (
            format!("“{title}” brings the {pot} to {litres} L, more than it holds"),
            "name a larger vessel, or split the step",
        )
    } else {
        let message = format!("“{title}” heats {litres} L in the {pot}: less than a fifth of it stays empty");
        (message, "name a larger vessel: what is hot rises")
    };
    let span = item.holds.map_or(step.span, |id| cx.course.measure(id).span);
    Diagnostic::new(code, message, span).label("what it holds").related(step.span, "the step that fills it").help(help)
}
