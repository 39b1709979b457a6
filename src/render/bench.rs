//! What the panel of a lesson page works with: by what one may scale, the pots, the limits.

use super::Cx;
use super::live::Page;
use crate::kitchen::live_number;
use crate::quantity::{Dimension, Exact};
use crate::recipe::{Lesson, MeasureId, PartAmount, Recipe};
use serde_json::{Value, json};

/// Of a pot, a fifth stays empty: what is hot rises and what is stirred slops (common practice).
const ROOM: (i64, i64) = (4, 5);

/// The live figures of a page and what its panel needs, as JSON that may stand in a script element. None for a page
/// whose figures stand still.
pub(super) fn live_json(page: &Page<'_>, lesson: &Lesson) -> Option<String> {
    let recipe = lesson.recipe.as_ref();
    // These are in the lists already, so that no number is new.
    let by: Vec<Value> = recipe.map_or(Vec::new(), |recipe| ways_to_scale(page, recipe));
    let (data, kitchens) = page.data()?;
    let mut live = data.to_json(kitchens);
    live.insert("by".to_owned(), json!(by));
    live.insert("pots".to_owned(), recipe.map_or(Vec::new(), |recipe| pots(page, lesson, recipe)).into());
    live.insert("room".to_owned(), json!([ROOM.0, ROOM.1]));
    live.insert("class".to_owned(), live_number(recipe.map_or(Exact::ONE, |recipe| recipe.students)));
    let within = recipe.and_then(|recipe| recipe.scale_within);
    live.insert("within".to_owned(), json!(within.map(|(low, high)| [low.to_string(), high.to_string()])));
    let heats = lesson.steps.iter().filter(|step| step.to.is_some() && step.takes.is_some());
    live.insert("heats".to_owned(), heats.map(|step| json!(step.title)).collect());
    Some(Value::Object(live).to_string().replace('<', "\\u003c"))
}

/// `[name, mention, kind]` of each ingredient and of what the recipe makes; the recipe's own choice stands first.
fn ways_to_scale(page: &Page<'_>, recipe: &Recipe) -> Vec<Value> {
    let mut ingredients: Vec<usize> = (0..recipe.ingredients.len()).collect();
    ingredients.sort_by_key(|index| Some(*index) != recipe.scale_by);
    let way = |id: MeasureId, name: &str, number: Option<usize>, what: &str| {
        let measure = page.course.measure(id);
        let kind = match measure.amount.dimension() {
            Dimension::Mass => "m",
            Dimension::Volume => "v",
            Dimension::Count => "n",
            _ => return None,
        };
        measure.scales.then(|| json!([name, number, kind, what]))
    };
    let goes_in = ingredients.into_iter().filter_map(|index| {
        let ingredient = &recipe.ingredients[index];
        let id = ingredient.amount?;
        way(id, &ingredient.name, super::recipe_view::ingredient_amount(page, ingredient)?.live, "have")
    });
    let comes_out = recipe.makes.iter().filter_map(|product| {
        let name = super::recipe_view::packed(&product.name);
        way(product.amount, &name, super::recipe_view::amount_view(page, product.amount).live, "want")
    });
    goes_in.chain(comes_out).collect()
}

/// `[name, what it holds, what the batch as written fills of it]` in mL, of each pot that says what it holds.
fn pots(cx: &Cx<'_>, lesson: &Lesson, recipe: &Recipe) -> Vec<Value> {
    let pots = recipe.equipment.iter().enumerate().filter_map(|(index, item)| {
        let holds = cx.course.measure(item.holds?).amount;
        let count = item.count.map_or(Exact::ONE, |id| cx.course.measure(id).amount.high.quantity.base());
        let fill = fullest(cx, lesson, recipe, index);
        let volume = holds.dimension() == Dimension::Volume && fill > Exact::ZERO;
        let room = holds.high.quantity.base() * count;
        volume.then(|| json!([item.name.text, live_number(room), live_number(fill)]))
    });
    pots.collect()
}

/// The most that lies in a pot at one time: what steps that follow each other put into it. When another vessel is
/// taken, the pot has been emptied.
fn fullest(cx: &Cx<'_>, lesson: &Lesson, recipe: &Recipe, pot: usize) -> Exact {
    let (mut most, mut now) = (Exact::ZERO, Exact::ZERO);
    for step in &lesson.steps {
        if step.vessels.is_empty() {
            continue;
        }
        if step.vessels[..] != [pot] {
            now = Exact::ZERO;
            continue;
        }
        for part in &step.add {
            now = now + volume_of(cx, recipe, part.ingredient, part.amount);
        }
        most = most.max(now);
    }
    most
}

/// In mL; what cannot be told as a volume takes no room.
fn volume_of(cx: &Cx<'_>, recipe: &Recipe, ingredient: usize, amount: PartAmount) -> Exact {
    let item = &recipe.ingredients[ingredient];
    let (id, share) = match (amount, item.amount) {
        (PartAmount::Amount(id), _) => (id, Exact::ONE),
        (PartAmount::Fraction(fraction, _), Some(id)) => (id, fraction),
        (PartAmount::All, Some(id)) => (id, Exact::ONE),
        _ => return Exact::ZERO,
    };
    let quantity = cx.course.measure(id).amount.high.quantity;
    let density = item.pantry.and_then(|row| cx.reference.pantry.get(row).density);
    share
        * match (quantity.dimension(), density) {
            (Dimension::Volume, _) => quantity.base(),
            (Dimension::Mass, Some(density)) => quantity.base() / density,
            _ => Exact::ZERO,
        }
}
