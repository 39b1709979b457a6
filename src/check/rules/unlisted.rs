//! `unlisted`: the words of a step put in something with an allergen that nothing in the recipe has.
//!
//! Why: allergens, labels and the shopping list are made from the recipe. What only a sentence adds is in none of them, and
//! somebody may be made ill by it.
//!
//! Only what is told to be put in counts: "brush it with egg" does, "as thick as cream" and "the egg timer" do not.

use super::Cx;
use super::words::{Word, words};
use crate::check::things::{Thing, Things};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::lesson::{Run, RunPlace};
use crate::recipe::Recipe;
use std::collections::BTreeSet;
use std::ops::Range;

/// Doings by which something gets into the pot.
const ADDING: &[&str] = &[
    "add", "adds", "adding", "stir", "whisk", "beat", "fold", "mix", "blend", "sprinkle", "scatter", "strew", "brush",
    "dust", "glaze", "top", "spread", "drizzle", "pour", "tip", "crumble", "grate", "crack", "break", "melt", "dip",
    "coat", "roll", "rub", "work", "knead", "put", "drop", "toss", "season", "finish", "grease", "smear", "use",
];
/// Words before these, by which it is not done.
const NOT: &[&str] =
    &["not", "never", "no", "nor", "don't", "without", "instead", "rather", "avoid", "cannot", "can't"];
/// Words after which something else is spoken of.
const TURNS: &[&str] = &[
    "until", "till", "so", "because", "if", "when", "while", "like", "as", "than", "which", "that", "instead", "not",
    "no", "without", "from", "before", "after", "size", "big", "large", "thick", "away", "nor", "never", "rather",
    "once",
];
/// Words after the name of a food that make it the name of a tool, or of a look.
const TOOLS: &[&str] = &[
    "sized",
    "shaped",
    "coloured",
    "colored",
    "like",
    "free",
    "timer",
    "knife",
    "knives",
    "dish",
    "dishes",
    "pan",
    "pans",
    "pot",
    "pots",
    "jug",
    "bowl",
    "bowls",
    "slice",
    "slices",
    "bag",
    "bags",
    "cloth",
    "paper",
    "brush",
    "tin",
    "tins",
    "board",
    "spoon",
    "cup",
    "cups",
    "glass",
    "bottle",
    "jar",
    "jars",
    "crock",
    "crate",
    "churn",
    "basket",
    "box",
    "cutter",
    "shell",
    "shells",
    "maker",
    "skin",
    "stone",
    "thermometer",
    "strainer",
];
/// How many words may stand between the doing and what is put in.
const REACH: usize = 7;

pub(in crate::check) fn unlisted(cx: &Cx<'_>, things: &Things<'_>, sink: &mut Diagnostics) {
    let Some(recipe) = &cx.lesson.recipe else { return };
    let mut listed = None;
    let mut told = BTreeSet::new();
    let steps = cx.lesson.runs.iter().filter(|run| run.step.is_some());
    for run in steps.filter(|run| matches!(run.place, RunPlace::Paragraph | RunPlace::Block)) {
        for (start, len, row) in put_in(run, things) {
            let entry = cx.reference.pantry.get(row);
            let listed = listed.get_or_insert_with(|| allergens_of(cx, recipe));
            let law = cx.course.guests.law;
            let Some(missing) = law.allergens(entry).iter().find(|id| !listed.contains(id)) else { continue };
            if is_said(&run.text.text, start..start + len, missing) || !told.insert((run.step, row)) {
                continue;
            }
            let word = &run.text.text[start..start + len];
            let message = format!("the words put in “{word}”, and nothing in the recipe has {} in it", plain(missing));
            sink.push(
                Diagnostic::new(Code::Unlisted, message, run.text.home(start..start + len))
                    .label("no ingredient of this recipe")
                    .related(recipe.span, "allergens, labels and shopping list are made from this recipe")
                    .help("list it under `[ingredients]` and in the step's `add`; or take it out of the words, or name the allergen there"),
            );
        }
    }
}

/// Whether a text itself names the allergen, beside the food: "a scrap of butter, and say so to who avoids milk".
fn is_said(text: &str, food: Range<usize>, allergen: &str) -> bool {
    let name = allergen.rsplit('-').next().unwrap_or(allergen);
    let is_name = |word: Word<'_>| word.plain().trim_end_matches('s') == name.trim_end_matches('s');
    [&text[..food.start], &text[food.end..]].iter().any(|part| words(part).into_iter().any(is_name))
}

/// An allergen as a sentence names it.
fn plain(id: &str) -> String {
    id.replace('-', " ")
}

/// The allergens of a recipe, as its pages list them: what other lessons hand on stands in the pantry as well.
fn allergens_of<'c>(cx: &Cx<'c>, recipe: &Recipe) -> BTreeSet<&'c String> {
    let rows = recipe.ingredients.iter().filter_map(|item| item.pantry);
    rows.flat_map(|row| cx.course.guests.law.allergens(cx.reference.pantry.get(row))).collect()
}

/// Foods of the pantry that are no things of this lesson, where a text has them put in: place, length, row.
fn put_in(run: &Run, things: &Things<'_>) -> Vec<(usize, usize, usize)> {
    let text = run.text.text.as_str();
    let words = words(text);
    let mut found = Vec::new();
    for at in (0..words.len()).filter(|at| is_done(&words, *at)) {
        for (index, word) in words.iter().enumerate().skip(at + 1).take(REACH + 1) {
            if word.is_one_of(TURNS) {
                break;
            }
            let start = word.end() - word.text.trim_start_matches(|letter: char| !letter.is_alphanumeric()).len();
            if let Some(noun) = things.nouns.match_start(&text[start..])
                && let [Thing::Pantry(row)] = things.meanings(noun.id)[..]
                && !is_tool(&text[start + noun.len..])
            {
                found.push((start, noun.len, row));
                break;
            }
            if ends_clause(*word) || words.get(index + 1).is_some_and(|next| next.is_one_of(ADDING)) {
                break;
            }
        }
    }
    found
}

fn ends_clause(word: Word<'_>) -> bool {
    word.ends_sentence() || word.text.ends_with(['–', '—', '…'])
}

/// Whether something is put in by the word at this place.
fn is_done(words: &[Word<'_>], at: usize) -> bool {
    if !words[at].is_one_of(ADDING) || ends_clause(words[at]) {
        return false;
    }
    let before = words[..at].iter().rev().take_while(|word| !ends_clause(**word)).take(3);
    !before.into_iter().any(|word| word.is_one_of(NOT))
}

/// Whether what follows makes a tool or a look of a food: "egg timer", "walnut-sized".
fn is_tool(rest: &str) -> bool {
    let next = rest.trim_start_matches([' ', '-', '‑']);
    let glued = next.len() < rest.len();
    let end = next.find(|letter: char| !letter.is_alphanumeric() && letter != '\'').unwrap_or(next.len());
    glued && TOOLS.contains(&next[..end].to_lowercase().as_str())
}
