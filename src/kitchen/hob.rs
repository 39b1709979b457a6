//! How long a pot takes on the hob, and how much ice it takes to cool: from what lies in it and how warm it is.

use super::bulk::{Bulk, End};
use super::clock::hours_and_minutes;
use super::room::{Content, contents};
use super::sums::{
    Fractions, Part, SETTING_RISE_KELVIN, blend, boiling_celsius, energy_kj_of, ice_kg, mean_specific_heat_kj,
    mixed_celsius, seconds_to_warm, setting_celsius, specific_heat_kj,
};
use super::ways::{Walk, walks};
use crate::quantity::{Bound, Dimension, Exact};
use crate::recipe::{Course, Equipment, Lesson, MeasureId, Recipe, Step, words_in};
use crate::reference::{Food, PantryEntry, Reference, Storage};

/// How long a pot is trusted to stay as warm as it was, when a step does not say how warm it is, in seconds.
const STAYS_WARM: f64 = 1800.0;
/// Of what lies in a pot, the part whose composition may be unknown.
const UNKNOWN: f64 = 0.1;

/// How far the weather, salt and a thermometer move a boiling point, K.
const WEATHER: f64 = 1.0;
/// How far from the published setting point cooks stop and still have jam, K (common practice).
const SETTING_SPREAD: f64 = 1.5;

/// Words of pots that stand on a hob, and of what is named like one and does not.
const POTS: &[&str] = &["pot", "saucepan", "pan", "stockpot", "kettle", "casserole"];
const NO_POTS: &[&str] = &[
    "frying", "roasting", "baking", "cake", "loaf", "bread", "pressure", "double", "bath", "yoghurt", "yogurt", "jar",
    "oven", "slow", "electric",
];
/// Words of a step that is warmed, or cooled, by something else than the hob.
const OTHER_HEAT: &[&str] =
    &["oven", "water bath", "bain", "microwave", "simmering water", "slow cooker", "double boiler", "sink of warm"];

/// What warming, or cooling, a pot takes by reckoning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reckoned {
    /// What lies in it.
    pub kg: f64,
    /// How warm it is at first, in °C.
    pub from: f64,
    /// How warm it becomes, in °C.
    pub to: f64,
    /// What that takes.
    pub takes: Takes,
}

/// Time on the hob, or ice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Takes {
    /// Seconds on the hob.
    Seconds(f64),
    /// Kilograms of ice of 0 °C.
    Ice(f64),
}

impl Reckoned {
    /// `about 19 min for one batch, by reckoning: 4.1 kg from 5 to 92 °C (41 to 198 °F) on 60 % of 2 kW`. It stands on pages
    /// that show the recipe at any size, so it says of which it speaks.
    pub fn in_words(&self, course: &Course) -> String {
        match self.takes {
            Takes::Seconds(seconds) => {
                format!("about {} for one batch, by reckoning: {}", about(seconds), self.assumptions(course))
            }
            Takes::Ice(kg) => {
                let (ice, assumed) = (tenths(kg), self.assumptions(course));
                format!("about {ice}\u{a0}kg of ice for one batch, by reckoning: {assumed}")
            }
        }
    }

    /// `4.1 kg from 5 to 92 °C (41 to 198 °F) on 60 % of 2 kW`
    pub fn assumptions(&self, course: &Course) -> String {
        let (from, to) = (self.from.round(), self.to.round());
        let fahrenheit = |celsius: f64| (celsius * 1.8 + 32.0).round();
        let other = format!("{} to {}\u{a0}°F", fahrenheit(self.from), fahrenheit(self.to));
        let what = format!("{}\u{a0}kg from {from} to {to}\u{a0}°C ({other})", tenths(self.kg));
        let place = &course.place;
        match self.takes {
            Takes::Seconds(_) => {
                let (kilowatts, part) = (place.watts.to_f64() / 1000.0, place.reaches_the_pot.to_f64() * 100.0);
                format!("{what} on {}\u{a0}% of {}\u{a0}kW", part.round(), tenths(kilowatts))
            }
            Takes::Ice(_) => what,
        }
    }
}

/// A time that is not known to the second.
pub fn about(seconds: f64) -> String {
    let step = if seconds < 120.0 { 10.0 } else { 60.0 };
    hours_and_minutes(((seconds / step).round() * step) as i64)
}

/// To a tenth, or to a hundredth where it is little.
fn tenths(value: f64) -> f64 {
    let step = if value < 1.0 { 100.0 } else { 10.0 };
    (value * step).round() / step
}

/// What a step takes by reckoning; nothing where the hob does not do it, or too little is known. The written recipe,
/// the first way that comes to the step.
pub fn reckoned(course: &Course, reference: &Reference, lesson: &Lesson, index: usize) -> Option<Reckoned> {
    let (recipe, step) = (lesson.recipe.as_ref()?, &lesson.steps[index]);
    let to = middle(course, step.to?);
    let walk = walks(&lesson.steps).into_iter().find(|walk| walk.steps.contains(&index))?;
    let room = contents(course, reference, recipe, &lesson.steps, &walk, End::High);
    let pot = Pot { course, reference, recipe, steps: &lesson.steps };
    let (at, content) = room.iter().enumerate().find(|(_, content)| content.step == index)?;
    let (kg, fractions) = pot.mix(&content.parts)?;
    let from = match step.from {
        Some(id) => middle(course, id),
        None => pot.start(&room, &walk, at)?,
    };
    if to <= from {
        let ice = step.measures.get("ice").filter(|id| course.measure(**id).amount.dimension() == Dimension::Mass);
        ice?;
        let heat = mean_specific_heat_kj(&fractions, to, from).ok()?;
        return Some(Reckoned { kg, from, to, takes: Takes::Ice(ice_kg(kg, heat, from, to).ok()?) });
    }
    let vessel = &recipe.equipment[content.vessel?];
    let boils = boiling_celsius(course.place.metres.to_f64()).ok()?;
    // What boils away takes far more heat than warming, and nobody can tell how much boils away.
    if vessel.holds.is_none() || !is_pot(vessel) || has_other_heat(lesson, index) || to > boils + 0.5 {
        return None;
    }
    let heat = energy_kj_of(&fractions, kg, from, to).ok()?;
    let place = &course.place;
    let seconds = seconds_to_warm(heat, place.watts.to_f64(), place.reaches_the_pot.to_f64()).ok()?;
    Some(Reckoned { kg, from, to, takes: Takes::Seconds(seconds) })
}

/// The foods whose composition a step's reckoning stands on; none where nothing is reckoned.
pub fn reckoned_by<'r>(course: &Course, reference: &'r Reference, lesson: &Lesson, index: usize) -> Vec<&'r Food> {
    let Some(recipe) = lesson.recipe.as_ref().filter(|_| reckoned(course, reference, lesson, index).is_some()) else {
        return Vec::new();
    };
    let Some(walk) = walks(&lesson.steps).into_iter().find(|walk| walk.steps.contains(&index)) else {
        return Vec::new();
    };
    let pot = Pot { course, reference, recipe, steps: &lesson.steps };
    let room = contents(course, reference, recipe, &lesson.steps, &walk, End::High);
    let parts = room.iter().filter(|content| content.step == index).flat_map(|content| &content.parts);
    let ids: Vec<&str> = parts.filter_map(|(item, _)| Some(pot.food(*item)?.id.as_str())).collect();
    reference.figures.foods.iter().filter(|food| ids.contains(&food.id.as_str())).collect()
}

pub(super) fn middle(course: &Course, id: MeasureId) -> f64 {
    let amount = &course.measure(id).amount;
    ((End::Low.of(amount) + End::High.of(amount)) / Exact::whole(2)).to_f64()
}

/// Whether a piece of equipment is a pot that stands on the hob.
pub fn is_pot(vessel: &Equipment) -> bool {
    let name = vessel.name.text.to_lowercase();
    let has = |words: &[&str]| words_in(&name).any(|word| words.contains(&word));
    has(POTS) && !has(NO_POTS)
}

fn has_other_heat(lesson: &Lesson, index: usize) -> bool {
    let texts = lesson.runs.iter().filter(|run| run.step == Some(index)).map(|run| run.text.text.to_lowercase());
    texts.into_iter().any(|text| OTHER_HEAT.iter().any(|word| text.contains(word)))
}

struct Pot<'a> {
    course: &'a Course,
    reference: &'a Reference,
    recipe: &'a Recipe,
    steps: &'a [Step],
}

impl Pot<'_> {
    fn entry(&self, ingredient: usize) -> Option<&PantryEntry> {
        self.recipe.ingredients[ingredient].pantry.map(|row| self.reference.pantry.get(row))
    }

    /// What a food is made of: its own row, or one that is near enough for the heat it takes.
    fn food(&self, ingredient: usize) -> Option<&Food> {
        let entry = self.entry(ingredient)?;
        let tagged = |tag: &str| entry.tags.iter().any(|own| own == tag);
        let near = [
            ("cream", "whipping-cream"),
            ("milk", "whole-milk"),
            ("whey", "sweet-whey"),
            ("water", "water"),
            ("vinegar", "water"),
            ("acid", "water"),
            ("oil", "olive-oil"),
            ("sugar", "granulated-sugar"),
            ("salt", "fine-salt"),
            ("live-starter", "yoghurt"),
            ("flour", "plain-flour"),
        ];
        let row = |id: &str| self.reference.figures.foods.iter().find(|food| food.id == id);
        let near = || near.iter().find(|(tag, _)| tagged(tag)).and_then(|(_, id)| row(id));
        row(&entry.id).or_else(near)
    }

    fn fractions(&self, ingredient: usize) -> Option<Fractions> {
        self.food(ingredient).map(Fractions::of)
    }

    /// The weight and composition of what lies together; nothing where too much of it is unknown.
    fn mix(&self, parts: &[(usize, Bulk)]) -> Option<(f64, Fractions)> {
        let mut known: Vec<(f64, Fractions)> = Vec::new();
        let mut all = 0.0;
        for (ingredient, bulk) in parts {
            let kg = bulk.grams?.to_f64() / 1000.0;
            all += kg;
            known.extend(self.fractions(*ingredient).map(|fractions| (kg, fractions)));
        }
        let weighed: f64 = known.iter().map(|(kg, _)| kg).sum();
        if all <= 0.0 || weighed < (1.0 - UNKNOWN) * all {
            return None;
        }
        Some((all, blend(&known).ok()?))
    }

    /// How warm it is when a step begins: what the steps before left in the pot, and what comes in.
    fn start(&self, room: &[Content], walk: &Walk, at: usize) -> Option<f64> {
        let here = &room[at];
        let new = self.steps[here.step].add.len();
        let old = here.parts.len() - new;
        let mut parts = Vec::new();
        if old > 0 {
            let (kg, fractions) = self.mix(&here.parts[..old])?;
            let celsius = self.left(room, walk, at)?;
            parts.push(Part { kg, kj_per_kg_kelvin: specific_heat_kj(&fractions, celsius).ok()?, celsius });
        }
        for (ingredient, bulk) in &here.parts[old..] {
            let celsius = self.stored(*ingredient);
            let Some(fractions) = self.fractions(*ingredient) else { continue };
            let kg = bulk.grams?.to_f64() / 1000.0;
            parts.push(Part { kg, kj_per_kg_kelvin: specific_heat_kj(&fractions, celsius).ok()?, celsius });
        }
        mixed_celsius(&parts).ok()
    }

    /// How warm the step before left the pot; unknown where it has stood for long since anybody said.
    fn left(&self, room: &[Content], walk: &Walk, at: usize) -> Option<f64> {
        let before = at.checked_sub(1)?;
        let step = &self.steps[walk.steps[before]];
        if let Some(id) = step.at.or(step.to) {
            return Some(middle(self.course, id));
        }
        let waits = step.lasts.map_or(0.0, |id| End::High.of(&self.course.measure(id).amount).to_f64());
        if waits > STAYS_WARM {
            return None;
        }
        self.start(room, walk, before)
    }

    /// How warm it comes from the larder.
    fn stored(&self, ingredient: usize) -> f64 {
        stored(self.course, self.entry(ingredient))
    }
}

/// How warm a thing comes from the larder, in °C: what is chilled out of the fridge.
pub(super) fn stored(course: &Course, entry: Option<&PantryEntry>) -> f64 {
    let chilled = entry.is_some_and(|entry| entry.keeping == Storage::Chilled);
    if chilled { course.place.fridge.to_f64() } else { course.place.room.to_f64() }
}

/// Whether a step is to bring something watery in an open pot above its boiling point: what it is to reach, and where
/// water boils at the course's altitude, in °C. What is sweet, fat or unknown is left out: it boils hotter.
pub fn boils_below(course: &Course, reference: &Reference, lesson: &Lesson, index: usize) -> Option<(f64, f64)> {
    let (recipe, step) = (lesson.recipe.as_ref()?, &lesson.steps[index]);
    let amount = &course.measure(step.to?).amount;
    let to = End::Low.of(amount).to_f64();
    let boils = boiling_celsius(course.place.metres.to_f64()).ok()?;
    let open = step.vessels.iter().all(|vessel| is_pot(&recipe.equipment[*vessel])) && !has_other_heat(lesson, index);
    if amount.bound == Bound::AtMost || to <= boils + WEATHER || !open {
        return None;
    }
    let content = content_at(course, reference, lesson, recipe, index)?;
    let pot = Pot { course, reference, recipe, steps: &lesson.steps };
    let (_, made_of) = pot.mix(&content.parts)?;
    (made_of.water > 0.7 && made_of.carbohydrate < 0.1).then_some((to, boils))
}

/// Whether a step looks for the setting point of jam at another temperature than it has at the course's altitude:
/// where it sets, in °C.
pub fn sets_elsewhere(course: &Course, reference: &Reference, lesson: &Lesson, index: usize) -> Option<f64> {
    let (recipe, step) = (lesson.recipe.as_ref()?, &lesson.steps[index]);
    let amount = &course.measure(step.to?).amount;
    let sign = step.until.as_ref().map_or(String::new(), |sign| sign.text.to_lowercase());
    let title = step.title.to_lowercase();
    let says_so = [&sign, &title]
        .iter()
        .any(|words| words.contains("setting point") || words_in(words).any(|word| word == "set" || word == "sets"));
    let content = content_at(course, reference, lesson, recipe, index)?;
    let sweet = content.parts.iter().any(|(ingredient, _)| {
        let row = recipe.ingredients[*ingredient].pantry;
        row.is_some_and(|row| reference.pantry.get(row).tags.iter().any(|tag| tag == "sugar"))
    });
    let sets = setting_celsius(course.place.metres.to_f64()).ok()?;
    let (low, high) = (End::Low.of(amount).to_f64(), End::High.of(amount).to_f64());
    let near = low <= sets + SETTING_SPREAD && high >= sets - SETTING_SPREAD;
    // Far from boiling it is another set: custard, yoghurt, jelly from the fridge.
    let boils = sets - SETTING_RISE_KELVIN;
    (says_so && sweet && !near && low > boils - 5.0).then_some(sets)
}

fn content_at(
    course: &Course,
    reference: &Reference,
    lesson: &Lesson,
    recipe: &Recipe,
    index: usize,
) -> Option<Content> {
    let walk = walks(&lesson.steps).into_iter().find(|walk| walk.steps.contains(&index))?;
    let all = contents(course, reference, recipe, &lesson.steps, &walk, End::High);
    all.into_iter().find(|content| content.step == index)
}
