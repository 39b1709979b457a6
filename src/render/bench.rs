//! What the panel of a lesson page works with: by what one may scale, the pots, the limits.

use super::Cx;
use super::live::Page;
use super::recipe_view::packed;
use crate::kitchen::{LiveData, live_number, live_ticks};
use crate::quantity::{Dimension, Exact};
use crate::recipe::{Lesson, MeasureId, PartAmount, Recipe};
use serde_json::{Value, json};

/// Of a pot, a fifth stays empty: what is hot rises and what is stirred slops (common practice).
const ROOM: (i128, i128) = (4, 5);

/// The live figures of a page and what its panel needs, as JSON that may stand in a script element. None for a page
/// whose figures stand still.
pub(super) fn live_json(page: &Page<'_>, lesson: &Lesson) -> Option<String> {
    let recipe = lesson.recipe.as_ref();
    let (data, kitchens) = page.data()?;
    let mut live = data.to_json(kitchens);
    live.insert("by".to_owned(), recipe.map_or(Vec::new(), |recipe| asks(page, lesson, recipe)).into());
    let pots = recipe.map_or(Vec::new(), |recipe| pots(page, lesson, recipe));
    live.insert("pots".to_owned(), pots.iter().map(|pot| json!([pot.name, live_number(pot.most)])).collect());
    let within = recipe.and_then(|recipe| recipe.scale_within);
    if let Some((low, high)) = within {
        live.insert("within".to_owned(), json!([low.to_string(), high.to_string()]));
    }
    let heats = lesson.steps.iter().filter(|step| step.to.is_some() && step.takes.is_some());
    live.insert("heats".to_owned(), heats.map(|step| json!(step.title)).collect());
    Some(with_short_numbers(&Value::Object(live).to_string()).replace('<', "\\u003c"))
}

/// JSON with `3e5` for `300000`, which is the same number to whoever reads it: none is larger than a script holds exactly.
fn with_short_numbers(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    let (mut in_text, mut escaped, mut digits) = (false, false, 0);
    for letter in json.chars().chain([' ']) {
        if !in_text && letter.is_ascii_digit() {
            digits += 1;
        } else {
            let zeros = out[out.len() - digits..].bytes().rev().take_while(|digit| *digit == b'0').count();
            if zeros > 3 && zeros < digits {
                out.truncate(out.len() - zeros);
                out.push_str(&format!("e{zeros}"));
            }
            digits = 0;
            in_text ^= letter == '"' && !escaped;
            escaped = in_text && letter == '\\' && !escaped;
        }
        out.push(letter);
    }
    out.pop();
    out
}

/// What a student may say of the batch: `[words round the amount, kind, ticks of one batch, unit to begin with]`. Each
/// ingredient, the recipe's own choice first; what it makes; batches; students; the pots.
fn asks(page: &Page<'_>, lesson: &Lesson, recipe: &Recipe) -> Vec<Value> {
    let Some(kitchens) = page.printer.kitchens() else { return Vec::new() };
    let mut ingredients: Vec<usize> = (0..recipe.ingredients.len()).collect();
    ingredients.sort_by_key(|index| Some(*index) != recipe.scale_by);
    let of = |id: MeasureId, words: String| {
        let measure = page.course.measure(id);
        let kind = match measure.amount.dimension() {
            Dimension::Mass => "m",
            Dimension::Volume => "v",
            Dimension::Count => "n",
            _ => return None,
        };
        let (low, high) = (measure.amount.low.quantity.base(), measure.amount.high.quantity.base());
        let middle = (low + high) / Exact::whole(2);
        let begin = LiveData::input(kitchens, measure.amount.unit());
        measure.scales.then(|| json!([words, kind, live_ticks(middle, measure.amount.dimension()), begin]))
    };
    let goes_in = ingredients.into_iter().filter_map(|index| {
        let ingredient = &recipe.ingredients[index];
        of(ingredient.amount?, format!("I have … of {}", ingredient.name))
    });
    let comes_out = recipe.makes.iter().filter_map(|product| {
        let counted = page.course.measure(product.amount).amount.dimension() == Dimension::Count;
        of(product.amount, format!("I want … {}{}", if counted { "" } else { "of " }, packed(&product.name)))
    });
    let others = [json!(["I want … batches", "n", 1]), json!(["I have … students", "s", live_number(recipe.students)])];
    let litre = kitchens.units().find("litre").and_then(|litre| LiveData::input(kitchens, litre));
    let pots = pots(page, lesson, recipe)
        .into_iter()
        .map(|pot| json!([format!("I have a … {}", pot.name), "v", live_ticks(pot.batch, Dimension::Volume), litre]));
    goes_in.chain(comes_out).chain(others).chain(pots).collect()
}

/// A pot that says what it holds.
pub(super) struct Pot {
    pub name: String,
    /// The batches that it holds at the most.
    pub most: Exact,
    /// The room that one batch needs, in mL.
    batch: Exact,
}

pub(super) fn pots(cx: &Cx<'_>, lesson: &Lesson, recipe: &Recipe) -> Vec<Pot> {
    let pots = recipe.equipment.iter().enumerate().filter_map(|(index, item)| {
        let holds = cx.course.measure(item.holds?).amount;
        let count = item.count.map_or(Exact::ONE, |id| cx.course.measure(id).amount.high.quantity.base());
        let batch = fullest(cx, lesson, recipe, index) / Exact::new(ROOM.0, ROOM.1);
        let room = holds.high.quantity.base() * count;
        let volume = holds.dimension() == Dimension::Volume && batch > Exact::ZERO;
        volume.then(|| Pot { name: item.name.text.clone(), most: room / batch, batch })
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
    let volume = match (quantity.dimension(), density) {
        (Dimension::Volume, _) => quantity.base(),
        (Dimension::Mass, Some(density)) => quantity.base() / density,
        _ => Exact::ZERO,
    };
    (share * volume).cut()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_texts_stay() {
        let long = "{\"a 100000 \\\\\":[307200000000000,10000,1000,0,-50000,\"20000\",5]}";
        let short = "{\"a 100000 \\\\\":[3072e11,1e4,1000,0,-5e4,\"20000\",5]}";
        assert_eq!(with_short_numbers(long), short);
        let read = |text: &str| serde_json::from_str::<Value>(text).unwrap()[0].as_f64();
        for number in ["[307200000000000]", "[9007199254740000]", "[9007199254000000]"] {
            assert_eq!(read(&with_short_numbers(number)), read(number));
        }
    }
}
