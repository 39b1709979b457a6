//! What a changed batch brings with it, in the words that a lesson's page has for it.

use crate::kitchen::Choice;
use crate::quantity::Exact;
use crate::quantity::print::{self, Style};
use crate::recipe::Lesson;
use crate::render::bench::pots;
use crate::render::live::Page;

/// What must be said of a batch of another size; nothing of the batch as written.
pub(crate) fn limits(page: &Page<'_>, lesson: &Lesson, choice: &Choice) -> Vec<String> {
    let mut limits = Vec::new();
    if choice.scale != Exact::ONE {
        let recipe = lesson.recipe.as_ref();
        let pots = recipe.map_or(Vec::new(), |recipe| pots(page, lesson, recipe));
        let small = pots.into_iter().filter(|pot| pot.most < choice.scale);
        limits.extend(small.map(|pot| format!("The {} is too small for this batch.", pot.name)));
        if let Some((least, most)) = recipe.and_then(|recipe| recipe.scale_within)
            && !(least..=most).contains(&choice.scale)
        {
            let times = |value| format!("×{}", print::fraction(value, Style::default()));
            limits.push(format!("The recipe is meant for {} to {}.", times(least), times(most)));
        }
        let heats = lesson.steps.iter().filter(|step| step.to.is_some() && step.takes.is_some());
        let heats: Vec<&str> = heats.map(|step| step.title.as_str()).collect();
        if !heats.is_empty() {
            limits.push(format!("These times are for the batch as written: {}.", heats.join("; ")));
        }
        let general = "Times, temperatures and the sizes of cuts and cards do not change with the batch.";
        limits.push(general.to_owned());
    }
    limits.append(&mut moved(page, choice));
    limits
}

/// Measures that rounding moved by more than a fiftieth, or that nothing in a kitchen shows.
fn moved(page: &Page<'_>, choice: &Choice) -> Vec<String> {
    let Some((data, _)) = page.data() else { return Vec::new() };
    let mut said: Vec<String> = Vec::new();
    for (number, mention) in data.mentions.iter().enumerate() {
        let Some(shown) = page.shown(number, choice) else { continue };
        let name = &data.measures[mention.measure].name;
        let percent = shown.moved.trim_matches(|c: char| !c.is_ascii_digit());
        let words = if shown.lost {
            format!("{name} is too small to measure: {}.", shown.exact)
        } else if percent.parse::<f64>().is_ok_and(|percent| percent > 2.0) {
            format!("{name}: rounding moves it by about {}.", shown.moved)
        } else {
            continue;
        };
        if !said.contains(&words) {
            said.push(words);
        }
    }
    said
}
