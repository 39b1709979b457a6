//! The recipe as a page shows it: ingredients, equipment, and what goes in at each step.

use super::Cx;
use super::allergens;
use super::amounts::{Printed, Thing};
use super::links::Links;
use super::live::{Listed, Page};
use super::markdown::Writer;
use super::view::{
    AmountView, EquipmentView, GoesInView, IngredientView, LeavesView, LessonNameView, NamedView, RecipeView, ShareView,
};
use crate::kitchen::{Source, only_way};
use crate::quantity::{Amount, Dimension, Exact, print};
use crate::recipe::{Ingredient, Lesson, MeasureId, Owner, Part, PartAmount, Recipe, ShareBasis, Step};
use std::collections::BTreeMap;

/// A measure of the model.
pub(super) fn amount_view(cx: &Page<'_>, id: MeasureId) -> AmountView {
    amount_of(cx, id, Thing::of_heat(is_oven(cx, id)))
}

/// What a pot holds.
pub(super) fn vessel_view(cx: &Page<'_>, id: MeasureId) -> AmountView {
    let amount = cx.course.measure(id).amount;
    let printed = cx.printer.vessel(&amount, cx.mentions.stated(id));
    let listed = Listed { pot: true, ..Listed::whole(amount, Thing::default()) };
    view(cx, id, None, printed, listed)
}

fn amount_of(cx: &Page<'_>, id: MeasureId, thing: Thing) -> AmountView {
    let amount = cx.course.measure(id).amount;
    let printed = cx.printer.measure(&amount, cx.mentions.stated(id), thing);
    view(cx, id, None, printed, Listed::whole(amount, thing))
}

/// What is known of an ingredient.
fn thing(cx: &Page<'_>, ingredient: &Ingredient) -> Thing {
    ingredient.pantry.map_or_else(Thing::default, |index| Thing::of_entry(cx.reference.pantry.get(index)))
}

/// Whether a temperature is an oven's setting: it is hot, and its step or one of its sentences speaks of an oven.
pub(super) fn is_oven(cx: &Cx<'_>, id: MeasureId) -> bool {
    let measure = cx.course.measure(id);
    let Owner::Step { lesson, step } = measure.owner else { return false };
    // Pans of fat are as hot as a warm oven, so words alone do not do below that.
    let hot = |celsius| measure.amount.high.quantity.base() >= Exact::whole(celsius);
    if measure.amount.dimension() != Dimension::Temperature || !hot(90) {
        return false;
    }
    let Some(lesson) = cx.course.lessons.get(lesson) else { return false };
    let Some(of) = lesson.steps.get(step) else { return false };
    let named = |text: &str| text.to_lowercase().split(|c: char| !c.is_alphabetic()).any(|word| word == "oven");
    let equipment =
        lesson.recipe.iter().flat_map(|recipe| of.vessels.iter().filter_map(|at| recipe.equipment.get(*at)));
    let in_words = || lesson.runs.iter().any(|run| run.step == Some(step) && named(&run.text.text));
    named(&of.title)
        || of.way.as_deref().is_some_and(named)
        || equipment.into_iter().any(|one| named(&one.name.text))
        || hot(130) && in_words()
}

/// A measure as printed, with its numbers among the live figures.
fn view(cx: &Page<'_>, id: MeasureId, name: Option<String>, printed: Printed, listed: Listed<'_>) -> AmountView {
    let (live, other_live) = cx.list(id, name, &Listed { other: printed.other.as_ref(), ..listed });
    let low = listed.amount.low.quantity.base();
    let mark = |number: Option<usize>| number.map_or(String::new(), |number| format!(" data-m=\"{number}\""));
    let still_html = mark(live);
    let mut mark_html = still_html.clone();
    if listed.amount.dimension() == Dimension::Time && live.is_some() {
        mark_html.push_str(&format!(" data-t=\"{}\"", low.round_to(Exact::ONE)));
    }
    let other_mark_html = mark(other_live);
    AmountView {
        mark_html,
        still_html,
        other_mark_html,
        live,
        other_live,
        text: printed.text,
        other: printed.other.map(|other| other.text),
    }
}

/// What a recipe makes.
pub(super) fn makes_view(cx: &Page<'_>, recipe: &Recipe) -> Option<NamedView> {
    let product = recipe.makes.as_ref()?;
    Some(NamedView { amount: amount_view(cx, product.amount), name: packed(&product.name) })
}

/// A name that begins with what the thing is packed in, as one says it: "jars of pickled onions" for "jars pickled onions".
pub(super) fn packed(name: &str) -> String {
    const PACKED_IN: &[&str] =
        &["jar", "jars", "bottle", "bottles", "tub", "tubs", "pot", "pots", "packet", "packets", "bag", "bags"];
    match name.split_once(' ') {
        Some((first, rest)) if PACKED_IN.contains(&first) && !follows_on(rest) => format!("{first} of {rest}"),
        _ => name.to_owned(),
    }
}

/// Whether words go on from the noun before them: "of pickle", "with lids".
fn follows_on(words: &str) -> bool {
    ["of", "with", "for", "in", "and", "or"].contains(&words.split(' ').next().unwrap_or(""))
}

/// Named measures with their keys in words.
pub(super) fn named_views(cx: &Page<'_>, measures: &BTreeMap<String, MeasureId>) -> Vec<NamedView> {
    let named =
        measures.iter().map(|(key, id)| NamedView { amount: amount_view(cx, *id), name: key.replace(['-', '_'], " ") });
    named.collect()
}

/// What is left over and useful.
pub(super) fn leaves_view(cx: &Page<'_>, lesson: usize, recipe: &Recipe) -> Vec<LeavesView> {
    let taken_by = |leftover: usize| {
        let own = Source { lesson, leftover: Some(leftover) };
        let takers = cx.accounts.iter().filter(|account| account.source == own).flat_map(|account| &account.takers);
        let mut lessons: Vec<usize> = takers.map(|(lesson, ..)| *lesson).collect();
        lessons.dedup();
        lessons.into_iter().map(|lesson| lesson_name(cx, lesson)).collect()
    };
    let named = |(index, leftover): (usize, &crate::recipe::Leftover)| LeavesView {
        amount: amount_view(cx, leftover.amount),
        name: leftover.name.clone(),
        taken_by: taken_by(index),
    };
    recipe.leaves.iter().enumerate().map(named).collect()
}

/// A lesson by its title and its page.
pub(super) fn lesson_name(cx: &Cx<'_>, lesson: usize) -> LessonNameView {
    let lesson = &cx.course.lessons[lesson];
    LessonNameView { title: lesson.title.clone(), href: Links::lesson_page(&lesson.slug) }
}

/// The lesson that leaves an ingredient over.
pub(super) fn from_lesson(cx: &Cx<'_>, ingredient: &Ingredient) -> Option<LessonNameView> {
    let from = ingredient.from.as_ref()?;
    let lesson = cx.course.lessons.iter().position(|lesson| lesson.slug == from.lesson)?;
    Some(lesson_name(cx, lesson))
}

/// The lists of a recipe.
pub(super) fn recipe_view(cx: &Page<'_>, recipe: &Recipe, steps: &[Step], writer: &mut Writer<'_>) -> RecipeView {
    let ingredients = recipe.ingredients.iter().enumerate();
    let ingredients =
        ingredients.map(|(index, one)| ingredient_view(cx, one, only_way(steps, index), writer)).collect();
    let equipment = recipe
        .equipment
        .iter()
        .map(|one| EquipmentView {
            name_html: writer.visible_quietly(&one.name),
            count: one.count.map(|id| amount_view(cx, id)),
            holds: one.holds.map(|id| vessel_view(cx, id)),
            size: one.size.map(|id| amount_view(cx, id)),
        })
        .collect();
    let allergens = allergens::of_recipe(recipe, cx.reference, cx.course.guests.law);
    let mut measures = named_views(cx, &recipe.measures);
    if let Some(kit) = &recipe.kit {
        measures.push(NamedView { amount: amount_view(cx, kit.batches), name: "batches in the kit".to_owned() });
        measures.extend(kit.packs.iter().map(|(item, id)| NamedView {
            amount: amount_view(cx, *id),
            name: format!("{} in the kit", recipe.ingredients[*item].name),
        }));
    }
    RecipeView { ingredients, equipment, measures, allergens }
}

/// How much of an ingredient the recipe takes.
pub(super) fn ingredient_amount(cx: &Page<'_>, ingredient: &Ingredient) -> Option<AmountView> {
    ingredient.amount.map(|id| amount_of(cx, id, thing(cx, ingredient)))
}

fn ingredient_view(
    cx: &Page<'_>,
    ingredient: &Ingredient,
    way: Option<&str>,
    writer: &mut Writer<'_>,
) -> IngredientView {
    let entry = ingredient.pantry.map(|index| cx.reference.pantry.get(index));
    IngredientView {
        id: ingredient.id.clone(),
        name: ingredient.name.clone(),
        amount: ingredient_amount(cx, ingredient),
        note_html: ingredient.note.as_ref().map(|note| writer.visible_quietly(note)),
        share: ingredient
            .share
            .as_ref()
            .map(|(id, _)| ShareView { amount: amount_view(cx, *id), of: share_of(ingredient) }),
        more: more_words(cx, ingredient),
        from: from_lesson(cx, ingredient),
        way: way.map(str::to_owned),
        instead_html: ingredient.instead.as_ref().map(|words| writer.visible_quietly(words)),
        allergens: entry.map_or(Vec::new(), |entry| allergens::of_entry(entry, cx.course.guests.law)),
    }
}

/// What else is said of an ingredient: `200 IMCU/mL`, `2 mL per 10 L of milk`.
pub(super) fn more_words(cx: &Page<'_>, ingredient: &Ingredient) -> Vec<String> {
    let units = &cx.reference.units;
    let strength = ingredient.strength.map(|strength| {
        let unit = if strength.per == Dimension::Mass { "g" } else { "mL" };
        format!("{}\u{a0}IMCU/{unit}", units.style().rounded(strength.imcu, 1))
    });
    let dose = ingredient.dose.as_ref().map(|(id, of)| {
        let amount = &cx.course.measure(*id).amount;
        let each = amount.per.map_or(String::new(), |per| {
            let count = print::value_in(per.quantity.base(), per.unit, false, units, units.style());
            format!(" per {count}")
        });
        format!("{}{each} of {of}", print::amount(amount, units, units.style()))
    });
    let diluted = ingredient.diluted.as_ref().map(|diluted| {
        let strength = |id| print::amount(&cx.course.measure(id).amount, units, units.style());
        format!("from {} to {}, with {}", strength(diluted.from), strength(diluted.to), diluted.with)
    });
    strength.into_iter().chain(dose).chain(diluted).collect()
}

/// `curd` of `1.5 % of curd`; of brine also how.
pub(super) fn share_of(ingredient: &Ingredient) -> String {
    let of = ingredient.share.as_ref().map_or("", |(_, of)| of.trim().trim_start_matches("of "));
    match ingredient.share_basis {
        ShareBasis::ByVolume => format!("{of}, grams in 100\u{a0}mL made up"),
        ShareBasis::Part if of == "brine" => format!("{of}, by weight"),
        ShareBasis::Part | ShareBasis::Unsaid => of.to_owned(),
    }
}

/// What goes in at a step, with the amount worked out where the author named a part.
pub(super) fn goes_in_view(cx: &Page<'_>, lesson: &Lesson, recipe: &Recipe, step: usize, part: &Part) -> GoesInView {
    let Some(ingredient) = recipe.ingredients.get(part.ingredient) else {
        return GoesInView { name: String::new(), amount: None, how: None };
    };
    let whole = ingredient.amount.map(|id| cx.course.measure(id));
    let thing = thing(cx, ingredient);
    let (amount, how) = match part.amount {
        PartAmount::All => (ingredient.amount.map(|id| amount_of(cx, id, thing)), None),
        PartAmount::Amount(id) => (Some(amount_of(cx, id, thing)), None),
        PartAmount::Fraction(fraction, id) => {
            let amount = whole.map(|whole| {
                let (low, high) = (whole.amount.low.quantity.base(), whole.amount.high.quantity.base());
                part_view(cx, id, None, &whole.amount, (low * fraction, high * fraction), thing)
            });
            (amount, Some(fraction_words(fraction)))
        }
        PartAmount::Rest => {
            let left = whole.zip(rest_of(cx, lesson, recipe, step, part.ingredient)).zip(ingredient.amount);
            // No measure of the model says what is left: it is told from the whole by its name.
            let amount = left.map(|((whole, left), id)| {
                let name = format!("What is left of the {}", ingredient.name);
                part_view(cx, id, Some(name), &whole.amount, (left, left), thing)
            });
            (amount, Some("the rest".to_owned()))
        }
    };
    GoesInView { name: ingredient.name.clone(), amount, how }
}

fn part_view(
    cx: &Page<'_>,
    id: MeasureId,
    name: Option<String>,
    whole: &Amount,
    (low, high): (Exact, Exact),
    thing: Thing,
) -> AmountView {
    let printed = cx.printer.part(whole, low, high, thing);
    view(cx, id, name, printed, Listed { ends: Some((low, high)), ..Listed::whole(*whole, thing) })
}

/// What the steps before have left of an ingredient, where that is one value.
fn rest_of(cx: &Page<'_>, lesson: &Lesson, recipe: &Recipe, step: usize, ingredient: usize) -> Option<Exact> {
    let whole = &cx.course.measure(recipe.ingredients.get(ingredient)?.amount?).amount;
    let single = |amount: &crate::quantity::Amount| {
        (amount.low.quantity == amount.high.quantity).then(|| amount.low.quantity.base())
    };
    let whole_base = single(whole)?;
    let mut left = whole_base;
    let way = |index: usize| lesson.steps.get(index).and_then(|step| step.way.as_deref());
    for (index, before) in lesson.steps.iter().enumerate().take(step) {
        // Of several ways a cook goes one: a step of another way has taken nothing.
        if way(index).is_some() && way(step).is_some() && way(index) != way(step) {
            continue;
        }
        for part in before.add.iter().filter(|part| part.ingredient == ingredient) {
            left = match part.amount {
                PartAmount::All | PartAmount::Rest => Exact::ZERO,
                PartAmount::Fraction(fraction, _) => left - whole_base * fraction,
                PartAmount::Amount(id) => {
                    let amount = &cx.course.measure(id).amount;
                    (amount.dimension() == whole.dimension()).then_some(())?;
                    left - single(amount)?
                }
            };
        }
    }
    (left > Exact::ZERO).then_some(left)
}

fn fraction_words(fraction: Exact) -> String {
    match (fraction.over(), fraction.under()) {
        (1, 2) => "half".to_owned(),
        (1, 3) => "a third".to_owned(),
        (2, 3) => "two thirds".to_owned(),
        (1, 4) => "a quarter".to_owned(),
        (3, 4) => "three quarters".to_owned(),
        (1, 1) => "all".to_owned(),
        (over, under) => format!("{over}/{under}"),
    }
}
