//! `unlikely-yield`: what is made against what usually comes of so much milk, cream or yoghurt.
//!
//! Why: a yield that nobody reaches makes students believe that they failed, or sell what they do not have.

use super::Cx;
use super::shares::tagged;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::{End, bulk};
use crate::quantity::Exact;
use crate::recipe::{Ingredient, MeasureId, Recipe, words_in};
use crate::reference::YieldRange;

/// Milk between these is what the ranges are about, as parts of fat: skimmed milk gives less curd, sheep's milk more.
const USUAL_FAT: (f64, f64) = (0.03, 0.05);
/// Fat in butter, and the part of the cream's fat that stays in it (common practice).
const BUTTER_FAT: (f64, f64) = (0.80, 0.84);
const KEPT_FAT: f64 = 0.95;

pub(in crate::check) fn unlikely_yield(cx: &Cx<'_>, sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    let Some(product) = &recipe.makes else { return };
    let rows = rows_of(cx, &product.name);
    let found = usual(cx, recipe, &rows).and_then(|usual| odd(cx, &product.name, product.amount, &usual));
    found.into_iter().for_each(|found| sink.push(found));
}

/// The rows that its yield was held against.
pub(super) fn consulted<'c>(cx: &Cx<'c>, recipe: &Recipe) -> Vec<&'c YieldRange> {
    let Some(product) = &recipe.makes else { return Vec::new() };
    let rows = rows_of(cx, &product.name);
    let weighed = bulk(cx.course, cx.reference, product.amount, cx.reference.pantry.find(&product.name), End::Low);
    if weighed.grams.is_some() && usual(cx, recipe, &rows).is_some() { rows } else { Vec::new() }
}

/// The rows whose words all stand in a name: "pressed fresh curd" may be pressed curd or fresh curd.
fn rows_of<'c>(cx: &Cx<'c>, name: &str) -> Vec<&'c YieldRange> {
    let name = name.to_lowercase().replace("yogurt", "yoghurt").replace('-', " ");
    let words: Vec<&str> = words_in(&name).collect();
    let has = |word: &str| words.contains(&word) || word == "cheese" && words.contains(&"curd");
    // Whey that is left may be only what is kept of it.
    let rows = cx.reference.figures.yields.iter().filter(|row| row.id != "whey");
    rows.filter(|row| {
        // Butter of nuts or with herbs in it is told by what goes in, and by standing last.
        if row.id == "butter" { words.last() == Some(&"butter") } else { row.id.split('-').all(has) }
    })
    .collect()
}

/// What usually comes of what goes in.
struct Usual {
    /// Kilograms that go in.
    kg: (f64, f64),
    /// `milk`, `cream` or `yoghurt`.
    from: String,
    /// Kilograms of a kilogram; an end that cannot be told is left open.
    low: f64,
    high: f64,
    basis: String,
}

fn usual(cx: &Cx<'_>, recipe: &Recipe, rows: &[&YieldRange]) -> Option<Usual> {
    let row = rows.first()?;
    let goes_in = |item: &&Ingredient| match row.from.as_str() {
        "cream" => tagged(cx, item, &["cream"]),
        // Milk that is set with a little yoghurt is yoghurt.
        "yoghurt" => tagged(cx, item, &["milk"]) || is_yoghurt(cx, item),
        _ => tagged(cx, item, &["milk", "cream"]),
    };
    let weigh = |item: &Ingredient| {
        let of = |end| bulk(cx.course, cx.reference, item.amount?, item.pantry, end).grams;
        Some((of(End::Low)?, of(End::High)?))
    };
    let source: Vec<&Ingredient> = recipe.ingredients.iter().filter(goes_in).collect();
    let sum = |items: &[&Ingredient]| {
        items.iter().try_fold((Exact::ZERO, Exact::ZERO), |sum, item| {
            let (low, high) = weigh(item)?;
            Some((sum.0 + low, sum.1 + high))
        })
    };
    let grams = sum(&source)?;
    let all = recipe.ingredients.iter().filter_map(weigh).fold(Exact::ZERO, |sum, (_, high)| sum + high);
    // Where it is not the most of what goes in, it is not what the thing is made of.
    if grams.0.is_zero() || grams.1 * Exact::whole(2) < all {
        return None;
    }
    let fats: Vec<f64> = source.iter().filter_map(|item| fat(cx, item)).collect();
    let low = rows.iter().map(|row| row.low).fold(f64::INFINITY, f64::min);
    let high = rows.iter().map(|row| row.high).fold(0.0, f64::max);
    let kg = (grams.0.to_f64() / 1000.0, grams.1.to_f64() / 1000.0);
    let (from, status) = (row.from.clone(), row.status.name());
    let basis = format!("the usual range: {} ({status})", cx.reference.source_title(&row.source));
    let usual = Usual { kg, from, low, high, basis };
    Some(match (row.from.as_str(), fats.len() == source.len()) {
        ("cream", true) => {
            let (least, most) = ends_of(&fats);
            let basis = "the usual range by a balance of fat: butter of 80 to 84 % fat, up to a twentieth of the fat lost (common practice)";
            Usual { low: least * KEPT_FAT / BUTTER_FAT.1, high: most / BUTTER_FAT.0, basis: basis.to_owned(), ..usual }
        }
        ("milk", _) => {
            let (least, most) = ends_of(&fats);
            let low = if least < USUAL_FAT.0 { 0.0 } else { usual.low };
            let high = if most > USUAL_FAT.1 { 1.0 } else { usual.high };
            Usual { low, high, ..usual }
        }
        _ => usual,
    })
}

fn ends_of(values: &[f64]) -> (f64, f64) {
    values.iter().fold((f64::INFINITY, 0.0), |(low, high), value| (low.min(*value), high.max(*value)))
}

fn is_yoghurt(cx: &Cx<'_>, item: &Ingredient) -> bool {
    item.pantry.is_some_and(|row| cx.reference.pantry.get(row).id == "yoghurt")
}

fn fat(cx: &Cx<'_>, item: &Ingredient) -> Option<f64> {
    Some(End::High.of(cx.reference.pantry.get(item.pantry?).fat.as_ref()?).to_f64())
}

/// A tenth to either side still counts as usual: milk and draining move a yield by that much.
fn odd(cx: &Cx<'_>, name: &str, amount: MeasureId, usual: &Usual) -> Option<Diagnostic> {
    let made = |end| Some(bulk(cx.course, cx.reference, amount, cx.reference.pantry.find(name), end).grams?.to_f64());
    let (low, high) = (made(End::Low)? / 1000.0 / usual.kg.1, made(End::High)? / 1000.0 / usual.kg.0);
    // More than goes in is another fault, and has a finding of its own.
    if high >= usual.low * 0.9 && low <= usual.high * 1.1 || low > 1.0 {
        return None;
    }
    let grams = |part: f64| (part * 1000.0).round();
    let range = |low: f64, high: f64| {
        if grams(low) == grams(high) { format!("{}", grams(low)) } else { format!("{} to {}", grams(low), grams(high)) }
    };
    let message = format!(
        "a kilogram of {} gives {} g of {name} here, and {} g are usual",
        usual.from,
        range(low, high),
        range(usual.low, usual.high)
    );
    Some(
        Diagnostic::new(Code::UnlikelyYield, message, cx.course.measure(amount).span)
            .label("so much")
            .note(usual.basis.clone())
            .help("check what goes in and what comes out; if your milk or your way gives so much, leave it"),
    )
}
