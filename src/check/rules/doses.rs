//! `dose-apart` and `unlikely-dose`: how much of a thing goes to how much of another, against the amounts and against
//! what is usual.
//!
//! Why: ten times the rennet makes a bitter, rubbery curd, and a tenth of it none.

use super::Cx;
use super::shares::{is_called, tagged};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::{End, bulk};
use crate::quantity::{Dimension, Exact, print};
use crate::recipe::{Ingredient, MeasureId, Recipe};
use crate::reference::Dose;

/// What a syringe or a spoon may be off, of a dose (common practice).
const SLACK: (i128, i128) = (1, 20);

pub(in crate::check) fn doses(cx: &Cx<'_>, sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    for item in &recipe.ingredients {
        let Some(amount) = item.amount else { continue };
        let base = item.dose.as_ref().and_then(|(_, of)| base_of(recipe, of));
        if let Some((dose, of)) = &item.dose {
            match base {
                Some(base) => apart(cx, item, amount, *dose, base).into_iter().for_each(|found| sink.push(found)),
                None => sink.push(
                    Diagnostic::new(
                        Code::UnknownName,
                        format!("no ingredient of this recipe is called “{of}”"),
                        cx.course.measure(*dose).span,
                    )
                    .label("a dose for what?")
                    .help("name an ingredient by its id or its name"),
                ),
            }
        }
        unlikely(cx, recipe, item, amount, base).into_iter().for_each(|found| sink.push(found));
    }
}

pub(super) fn base_of<'r>(recipe: &'r Recipe, of: &str) -> Option<&'r Ingredient> {
    let of = of.trim().trim_start_matches("the ").to_lowercase();
    recipe.ingredients.iter().find(|item| is_called(&item.id, &of) || is_called(&item.name, &of))
}

/// Least and most of an ingredient, as weight, volume or pieces.
pub(super) fn ends(cx: &Cx<'_>, item: &Ingredient, id: MeasureId, as_a: Dimension) -> Option<(Exact, Exact)> {
    let amount = &cx.course.measure(id).amount;
    if amount.dimension() == as_a {
        return Some((End::Low.of(amount), End::High.of(amount)));
    }
    let of = |end| {
        let bulk = bulk(cx.course, cx.reference, id, item.pantry, end);
        match as_a {
            Dimension::Mass => bulk.grams,
            Dimension::Volume => bulk.millilitres,
            _ => None,
        }
    };
    Some((of(End::Low)?, of(End::High)?))
}

fn apart(cx: &Cx<'_>, item: &Ingredient, amount: MeasureId, dose: MeasureId, base: &Ingredient) -> Option<Diagnostic> {
    let said = cx.course.measure(dose);
    let per = said.amount.per?;
    let base_id = base.amount?;
    let base_ends = ends(cx, base, base_id, per.quantity.dimension())?;
    let own = ends(cx, item, amount, said.amount.dimension())?;
    let each = per.quantity.base();
    if each.is_zero() {
        return None;
    }
    let (low, high) = (End::Low.of(&said.amount) * base_ends.0 / each, End::High.of(&said.amount) * base_ends.1 / each);
    let slack = Exact::new(SLACK.0, SLACK.1);
    if own.1 >= low * (Exact::ONE - slack) && own.0 <= high * (Exact::ONE + slack) {
        return None;
    }
    let units = &cx.reference.units;
    let print = |value: Exact| print::value_in(value, said.amount.unit(), said.amount.bare, units, units.style());
    let wanted = if low == high { print(low) } else { format!("{} to {}", print(low), print(high)) };
    let has = cx.course.measure(amount);
    let message = format!(
        "by the dose, the {} takes {wanted} of {}, and the recipe has {}",
        base.name,
        item.name,
        print::amount(&has.amount, units, units.style())
    );
    Some(
        Diagnostic::new(Code::DoseApart, message, said.span)
            .label("the dose says otherwise")
            .related(has.span, format!("the amount of {}", item.name))
            .related(cx.course.measure(base_id).span, format!("the amount of {}", base.name))
            .help("correct the dose or one of the amounts"),
    )
}

/// A dose by the litre of milk against the table, for what says its strength or its dose. A tenth more or less than
/// usual is usual too.
fn unlikely(
    cx: &Cx<'_>,
    recipe: &Recipe,
    item: &Ingredient,
    amount: MeasureId,
    base: Option<&Ingredient>,
) -> Option<Diagnostic> {
    let row = row_of(cx, item)?;
    let milk = milk_of(cx, recipe, base)?;
    let litres = (milk.0 / Exact::whole(1000), milk.1 / Exact::whole(1000));
    let own = match item.strength {
        Some(strength) => {
            let (low, high) = ends(cx, item, amount, strength.per)?;
            (low * strength.imcu, high * strength.imcu)
        }
        None => ends(cx, item, amount, Dimension::Mass)?,
    };
    if litres.0.is_zero() {
        return None;
    }
    let (low, high) = ((own.0 / litres.1).to_f64(), (own.1 / litres.0).to_f64());
    if high >= row.low * 0.9 && low <= row.high * 1.1 {
        return None;
    }
    let figure = |value: f64| cx.reference.units.style().rounded(Exact::new((value * 1000.0).round() as i128, 1000), 2);
    let comes = if low == high { figure(low) } else { format!("{} to {}", figure(low), figure(high)) };
    let message = format!(
        "the {} comes to {comes} {} for a litre of milk, and {} to {} are usual",
        item.name, row.unit, row.low, row.high
    );
    let (source, status) = (cx.reference.source_title(&row.source), row.status.name());
    let found = Diagnostic::new(Code::UnlikelyDose, message, cx.course.measure(amount).span)
        .label("its amount")
        .note(format!("the usual range: {source} ({status})"));
    let found = match item.strength {
        Some(strength) => found.related(strength.span, "its strength"),
        None => found,
    };
    Some(found.help("check the amount, and the strength on the pack: the pack's own instructions win"))
}

/// The milk that a dose is for, in millilitres.
fn milk_of(cx: &Cx<'_>, recipe: &Recipe, base: Option<&Ingredient>) -> Option<(Exact, Exact)> {
    let of_one = |milk: &Ingredient| ends(cx, milk, milk.amount?, Dimension::Volume);
    match base {
        Some(base) => of_one(base).filter(|_| tagged(cx, base, &["milk"])),
        None => {
            let all = recipe.ingredients.iter().filter(|other| tagged(cx, other, &["milk"])).map(of_one);
            all.sum_of_all()
        }
    }
}

/// The row that its dose was held against.
pub(super) fn consulted<'c>(cx: &Cx<'c>, recipe: &Recipe, item: &Ingredient) -> Option<&'c Dose> {
    item.amount?;
    let base = item.dose.as_ref().and_then(|(_, of)| base_of(recipe, of));
    milk_of(cx, recipe, base).filter(|milk| !milk.0.is_zero())?;
    row_of(cx, item)
}

fn row_of<'c>(cx: &Cx<'c>, item: &Ingredient) -> Option<&'c Dose> {
    let entry = cx.reference.pantry.get(item.pantry?);
    let rows = &cx.reference.figures.doses;
    if item.strength.is_some() {
        return rows.iter().find(|row| row.unit == "IMCU");
    }
    item.dose.as_ref()?;
    rows.iter().find(|row| row.id == entry.id && row.unit == "g")
}

/// Adds up ends, unless one is unknown or there are none.
trait SumOfAll {
    fn sum_of_all(self) -> Option<(Exact, Exact)>;
}

impl<I: Iterator<Item = Option<(Exact, Exact)>>> SumOfAll for I {
    fn sum_of_all(self) -> Option<(Exact, Exact)> {
        let all: Vec<(Exact, Exact)> = self.collect::<Option<_>>()?;
        let sum = all.iter().fold((Exact::ZERO, Exact::ZERO), |sum, one| (sum.0 + one.0, sum.1 + one.1));
        (!all.is_empty()).then_some(sum)
    }
}
