//! `keeps-unsaid`, `keeps-warm`, `keeps-long`, `wrong-mark` and `needless-mark`: how long a make keeps, held against how
//! it is kept.
//!
//! Why: a time alone is no promise. What keeps for four days in the fridge is off, or worse, after one on the bench.

use super::Cx;
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::kitchen::{Cold, cold, is_perishable, is_sour_or_dry, law_sets_use_by};
use crate::quantity::{Bound, Exact, print};
use crate::recipe::{FoodLaw, Keeping, Mark, ProductKind, Recipe, words_in};
use crate::source::Span;

/// Degrees that printed pairs are rounded by: a freezer's 0 °F is −17.8 °C.
const ROUNDED: (i128, i128) = (1, 4);
const DAY: i128 = 86_400;
/// Days for which the US code lets ready-to-eat food be kept cold, the day of making counted. Source: Food Code, 3-501.17,
/// as a bulletin of Minnesota restates it.
const US_DAYS: i128 = 7;

pub(in crate::check) fn keeping(cx: &Cx<'_>, sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    for keeping in &recipe.keeps {
        let found = [
            unsaid(cx, recipe, keeping),
            warm(cx, keeping),
            long(cx, recipe, keeping),
            wrong_mark(cx, recipe, keeping),
            needless_mark(cx, recipe, keeping),
        ];
        found.into_iter().flatten().for_each(|one| sink.push(one));
    }
}

/// Words that say how warm or how dry a place is.
const PLACES: &[&str] = &[
    "fridge",
    "refrigerator",
    "refrigerated",
    "chilled",
    "chiller",
    "freezer",
    "frozen",
    "ice",
    "iced",
    "cold",
    "cool",
    "cooler",
    "coolest",
    "cupboard",
    "larder",
    "pantry",
    "cellar",
    "shelf",
    "room",
    "dark",
    "dry",
    "shade",
    "bench",
    "counter",
    "worktop",
    "drawer",
    "warm",
];
/// Words that say how a thing is packed.
const PACKS: &[&str] = &[
    "wrapped", "covered", "airtight", "sealed", "lidded", "lid", "jar", "jars", "tub", "tubs", "tin", "tins", "box",
    "bag", "bags", "bottle", "bottles", "bin", "crock", "cloth", "towel", "paper", "foil", "dish", "brine", "oil",
    "open", "unopened",
];

/// Keeping time without a storage condition. The pack is one, unless the make is of a kind that spoils.
pub(super) fn unsaid(cx: &Cx<'_>, recipe: &Recipe, keeping: &Keeping) -> Option<Diagnostic> {
    let reads = cx.course.language.split('-').next().is_some_and(|language| language.eq_ignore_ascii_case("en"));
    if keeping.at.is_some() || keeping.pack.is_some() || !reads {
        return None;
    }
    let lower = keeping.place.text.to_lowercase();
    let mut words = words_in(&lower);
    let spoils = recipe.kind.is_some() && is_perishable(recipe, cx.reference);
    if words.any(|word| PLACES.contains(&word) || !spoils && PACKS.contains(&word)) {
        return None;
    }
    let message = format!("“{}” does not say how warm it is kept nor how it is packed", keeping.place.text);
    let help = if spoils {
        "say where, such as `where = \"covered in the fridge\"`, add `at = \"at most 5 °C\"`, or say how it is packed, `pack = \"open\"`"
    } else {
        "say where, such as `where = \"in a cool, dark cupboard\"`, or how it is packed, `pack = \"lidded\"`"
    };
    let found = Diagnostic::new(Code::KeepsUnsaid, message, place(keeping)).label("where it is kept");
    Some(found.related(cx.course.measure(keeping.time).span, "how long").help(help))
}

/// Colder is better: the upper end counts.
fn warm(cx: &Cx<'_>, keeping: &Keeping) -> Option<Diagnostic> {
    let where_cold = cold(&keeping.place.text)?;
    let measure = cx.course.measure(keeping.at?);
    let fact = cx.reference.facts.iter().find(|fact| fact.id == where_cold.name())?;
    let most = fact.amount.high.quantity.base();
    let warmest = measure.amount.high.quantity.base();
    let endless = measure.amount.bound == Bound::AtLeast;
    if !endless && warmest <= most + Exact::new(ROUNDED.0, ROUNDED.1) {
        return None;
    }
    let units = &cx.reference.units;
    let said = print::amount(&measure.amount, units, units.style());
    let limit = print::amount(&fact.amount, units, units.style());
    let message = format!("it is kept at {said} in a {}, which is to be {limit}", where_cold.name());
    let mut found = Diagnostic::new(Code::KeepsWarm, message, measure.span)
        .label("how cold")
        .related(place(keeping), "where it is kept")
        .note(format!("{}: {limit} ({})", fact.name, cx.reference.source_title(&fact.source)));
    if where_cold == Cold::Fridge && cx.course.guests.law == FoodLaw::Uk {
        found = found.note("law in England, Wales and Northern Ireland asks for 8 °C or colder; 5 °C is the advice");
    }
    let row = format!("a fact `{}` in facts.toml", where_cold.name());
    Some(found.help(format!("keep it colder; where your own authority has another figure, write {row}")))
}

/// Kinds that the seven days hold for. Cultured milk and hard cheeses are exempt (Food Code 3-501.17(F), from memory), and
/// of a make of no kind nothing is known.
fn long(cx: &Cx<'_>, recipe: &Recipe, keeping: &Keeping) -> Option<Diagnostic> {
    let kind = recipe.kind?;
    let held = matches!(kind, ProductKind::FreshCheese | ProductKind::Sauce | ProductKind::Drink | ProductKind::Other);
    let chilled = cold(&keeping.place.text) == Some(Cold::Fridge);
    if cx.course.guests.law != FoodLaw::Us || !held || keeping.what.is_some() || !chilled {
        return None;
    }
    let time = cx.course.measure(keeping.time);
    let longest = time.amount.high.quantity.base();
    let endless = time.amount.bound == Bound::AtLeast;
    let is_short = !endless && longest <= Exact::whole(US_DAYS * DAY);
    if is_short || is_sour_or_dry(keeping) || !is_perishable(recipe, cx.reference) {
        return None;
    }
    let units = &cx.reference.units;
    let said = print::amount(&time.amount, units, units.style());
    let message = format!("it keeps {said} in the fridge, and the US code lets ready-to-eat food be kept for 7 days");
    Some(
        Diagnostic::new(Code::KeepsLong, message, time.span)
            .label("how long")
            .related(place(keeping), "where it is kept")
            .note("the Food Code, 3-501.17: 7 days at 41 °F (5 °C) or colder, the day of making is the first")
            .help(
                "keep it for 7 days at most, or in the freezer; say `kind` if it is another, or `ph = \"…\"` if it is \
                 known to be under 4.2",
            ),
    )
}

/// Highly perishable food takes "use by". Bread and jam are not; butter and ripened cheese usually bear "best before"
/// (common practice).
fn wrong_mark(cx: &Cx<'_>, recipe: &Recipe, keeping: &Keeping) -> Option<Diagnostic> {
    let lasting = matches!(recipe.kind, Some(ProductKind::Butter | ProductKind::RipenedCheese));
    let spoils = is_perishable(recipe, cx.reference) && !lasting && !is_sour_or_dry(keeping);
    let chilled = cold(&keeping.place.text) == Some(Cold::Fridge);
    if keeping.mark != Some(Mark::BestBefore) || !law_sets_use_by(cx.course.guests.law) || !spoils || !chilled {
        return None;
    }
    let message = "what spoils quickly and is kept in the fridge is marked “use by”, not “best before”";
    Some(
        Diagnostic::new(Code::WrongMark, message, keeping.span)
            .label("marked “best before”")
            .note("Regulation (EU) No 1169/2011, Article 24 and Annex X, which the UK kept")
            .help("write `mark = \"use-by\"`; if it does not spoil quickly, say so: its `kind`, or its `ph`"),
    )
}

/// Bakery goods that are usually eaten within 24 hours of making need no date.
fn needless_mark(cx: &Cx<'_>, recipe: &Recipe, keeping: &Keeping) -> Option<Diagnostic> {
    let time = cx.course.measure(keeping.time);
    let one_day = time.amount.high.quantity.base() <= Exact::whole(DAY) && time.amount.bound != Bound::AtLeast;
    let bread = recipe.kind == Some(ProductKind::Bread) && keeping.what.is_none();
    if !bread || !one_day || keeping.mark.is_none() || !law_sets_use_by(cx.course.guests.law) {
        return None;
    }
    let message = "bread that is usually eaten within a day of baking needs no date";
    Some(
        Diagnostic::new(Code::NeedlessMark, message, keeping.span)
            .label("marked with a date")
            .note("Regulation (EU) No 1169/2011, Annex X, 1(d) (from memory), which the UK kept")
            .help("take `mark` out, or leave it if you want the date"),
    )
}

fn place(keeping: &Keeping) -> Span {
    keeping.place.home(0..keeping.place.text.len())
}
