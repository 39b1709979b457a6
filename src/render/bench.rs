//! What the panel of a lesson page works with: by what one may scale, the pots, the limits.

use super::Cx;
use super::live::Page;
use super::recipe_view::packed;
use crate::kitchen::{LiveData, ROOM, forks, live_number, live_ticks, vessels, walks};
use crate::quantity::{Dimension, Exact};
use crate::recipe::{Lesson, MeasureId, Recipe};
use serde_json::{Value, json};

/// The live figures of a page and what its panel needs, as JSON that may stand in a script element. None for a page
/// whose figures stand still, and for one on which there is nothing to cook, to reckon or to change.
pub(super) fn live_json(page: &Page<'_>, lesson: &Lesson) -> Option<String> {
    let recipe = lesson.recipe.as_ref();
    let (data, kitchens) = page.data()?;
    if recipe.is_none() && lesson.steps.is_empty() && lesson.sums.is_empty() && data.mentions.is_empty() {
        return None;
    }
    let mut live = data.to_json(kitchens);
    live.insert("by".to_owned(), recipe.map_or(Vec::new(), |recipe| asks(page, lesson, recipe)).into());
    let pots = recipe.map_or(Vec::new(), |recipe| pots(page, lesson, recipe));
    live.insert("pots".to_owned(), pots.iter().map(|pot| json!([pot.name, live_number(pot.most)])).collect());
    let within = recipe.and_then(|recipe| recipe.scale_within);
    if let Some((low, high)) = within {
        live.insert("within".to_owned(), json!([low.to_string(), high.to_string()]));
    }
    let heats = lesson.steps.iter().filter(|step| step.to.is_some() && step.takes.is_some());
    live.insert("heats".to_owned(), heats.map(|step| json!(format!("“{}”", step.title))).collect());
    let forks: Vec<Value> = forks(&lesson.steps).into_iter().map(|fork| json!(fork.ways)).collect();
    if !forks.is_empty() {
        live.insert("forks".to_owned(), forks.into());
    }
    let json = with_short_numbers(&Value::Object(live).to_string());
    Some(with_short_titles(&json, lesson).replace('<', "\\u003c"))
}

/// JSON with `“#3”` for the title of the fourth step: the script reads it from the list of steps.
fn with_short_titles(json: &str, lesson: &Lesson) -> String {
    if lesson.steps.len() < 2 || json.contains('#') {
        return json.to_owned();
    }
    let plain = |title: &str| !title.contains(['"', '\\', '“', '”']);
    let titles = lesson.steps.iter().enumerate().filter(|(_, step)| plain(&step.title));
    titles.fold(json.to_owned(), |json, (at, step)| json.replace(&format!("“{}”", step.title), &format!("“#{at}”")))
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
    let pots = vessels(cx.course, cx.reference, recipe, &lesson.steps, &walks(&lesson.steps)).into_iter();
    pots.map(|vessel| {
        let batch = vessel.filled / Exact::new(ROOM.0, ROOM.1);
        Pot { name: recipe.equipment[vessel.equipment].name.text.clone(), most: vessel.holds / batch, batch }
    })
    .collect()
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
