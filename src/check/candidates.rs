//! Which measures a mention could state, the nearest first.

use super::things::Thing;
use crate::prose::{Mention, words_after};
use crate::quantity::{Amount, Bound, Dimension, End, Exact, Per, Quantity};
use crate::recipe::{Course, Lesson, MeasureId, Owner, Part, PartAmount, Step};
use crate::reference::Reference;

/// A measure that a mention could state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Candidate {
    /// The measure to name in the ledger.
    pub measure: MeasureId,
    /// Its value: the measure's own, or what follows from it (two thirds of 120 mL).
    pub low: End,
    /// The upper end.
    pub high: End,
    pub range: bool,
    pub bound: Bound,
    pub per: Option<Per>,
    /// How far out it was found.
    pub ring: Ring,
    /// The ingredient whose density may turn weight into volume.
    pub ingredient: Option<usize>,
}

impl Candidate {
    /// Its value as an amount.
    pub fn amount(&self) -> Amount {
        Amount {
            low: self.low,
            high: self.high,
            range: self.range,
            bound: self.bound,
            about: false,
            bare: false,
            per: self.per,
        }
    }
}

/// How far the words reach beyond what goes in at their step.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Reach {
    /// "of the 9 g of salt", "in all"
    pub whole: bool,
    /// "the remaining 3 g", "as in step 2"
    pub parts: bool,
}

/// How far from the mention a measure stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Ring {
    /// A measure of the very thing the words name, or of this step.
    Own,
    /// The recipe's.
    Recipe,
    /// Another step's.
    OtherStep,
    /// A fact of the course.
    Fact,
}

/// Collects candidates for mentions at one place.
pub(super) struct Candidates<'a> {
    pub course: &'a Course,
    pub reference: &'a Reference,
    /// `None` for texts of the course itself.
    pub lesson: Option<usize>,
    pub step: Option<usize>,
}

impl Candidates<'_> {
    fn lesson(&self) -> Option<&Lesson> {
        self.lesson.map(|index| &*self.course.lessons[index])
    }

    /// The step that the words stand in.
    pub fn here(&self) -> Option<&Step> {
        self.step.and_then(|index| self.lesson()?.steps.get(index))
    }

    /// A measure as it stands.
    pub fn plain(&self, id: MeasureId, ring: Ring) -> Candidate {
        let measure = self.course.measure(id);
        let ingredient = match measure.owner {
            Owner::Ingredient { ingredient, .. } | Owner::Part { ingredient, .. } => Some(ingredient),
            _ => None,
        };
        let amount = measure.amount;
        Candidate {
            measure: id,
            low: amount.low,
            high: amount.high,
            range: amount.range,
            bound: amount.bound,
            per: amount.per,
            ring,
            ingredient,
        }
    }

    /// Measures of things that the words name: the step's part first, then the recipe's amount.
    /// Where a step takes a part, the whole and the other parts count only if the words say so.
    pub fn of_things(&self, things: &[Thing], reach: Reach) -> Vec<Candidate> {
        let mut found = Vec::new();
        let Some(recipe) = self.lesson().and_then(|lesson| lesson.recipe.as_ref()) else { return found };
        for thing in things {
            match *thing {
                Thing::Ingredient(index) => {
                    found.extend(self.parts_here(Some(index)));
                    let item = &recipe.ingredients[index];
                    let total = item.amount.filter(|_| reach.whole || !self.takes_part_of(index));
                    found.extend(total.into_iter().chain(item.said()).map(|id| self.plain(id, Ring::Own)));
                    if reach.parts
                        || !self.here().is_some_and(|step| step.add.iter().any(|part| part.ingredient == index))
                    {
                        found.extend(self.parts_elsewhere(index));
                    }
                }
                Thing::Product => {
                    found.extend(recipe.makes.iter().map(|product| self.plain(product.amount, Ring::Own)));
                }
                Thing::Leftover(index) => found.push(self.plain(recipe.leaves[index].amount, Ring::Own)),
                Thing::Equipment(index) => {
                    let item = &recipe.equipment[index];
                    let own = [item.holds, item.size, item.count];
                    found.extend(own.into_iter().flatten().map(|id| self.plain(id, Ring::Own)));
                }
                Thing::Named(id) => found.push(self.plain(id, Ring::Own)),
                Thing::Pantry(_) => {}
            }
        }
        found
    }

    /// What the kit packs of things that the words name.
    pub fn packed(&self, things: &[Thing]) -> Vec<Candidate> {
        let recipe = self.lesson().and_then(|lesson| lesson.recipe.as_ref());
        let packs = recipe.and_then(|recipe| recipe.kit.as_ref()).map_or(&[][..], |kit| &kit.packs);
        let named = packs.iter().filter(|(index, _)| things.contains(&Thing::Ingredient(*index)));
        named.map(|(index, id)| Candidate { ingredient: Some(*index), ..self.plain(*id, Ring::Own) }).collect()
    }

    /// Named measures of this step: an author wrote them for just these words.
    pub fn named_here(&self) -> Vec<Candidate> {
        let named = self.here().map(|step| step.measures.values().copied().collect::<Vec<_>>()).unwrap_or_default();
        named.into_iter().map(|id| self.plain(id, Ring::Own)).collect()
    }

    /// Everything the step itself says, its principal measures first.
    pub fn of_step(&self) -> Vec<Candidate> {
        let Some(step) = self.here() else { return Vec::new() };
        let mut found: Vec<_> = principal(step).map(|id| self.plain(id, Ring::Own)).collect();
        found.extend(self.named_here());
        found.extend(self.parts_here(None));
        if let Some(recipe) = self.lesson().and_then(|lesson| lesson.recipe.as_ref()) {
            for part in &step.add {
                let item = &recipe.ingredients[part.ingredient];
                let total = item.amount.filter(|_| part.amount == PartAmount::All);
                found.extend(total.into_iter().chain(item.said()).map(|id| self.plain(id, Ring::Own)));
            }
            for vessel in &step.vessels {
                // What it holds and how many there are is meant only where it is named.
                found.extend(recipe.equipment[*vessel].size.map(|id| self.plain(id, Ring::Own)));
            }
        }
        found
    }

    /// Whether this step takes only a part of an ingredient.
    fn takes_part_of(&self, ingredient: usize) -> bool {
        let parts = self.here().into_iter().flat_map(|step| &step.add);
        parts.into_iter().any(|part| part.ingredient == ingredient && part.amount != PartAmount::All)
    }

    /// The measure of this step, or else of the recipe, whose key follows the words: `4 mm thick`, `18 cm across`.
    pub fn named_by(&self, text: &str, mention: &Mention) -> Option<Candidate> {
        let after = words_after(text, mention.range.end, 3);
        let key_follows =
            |key: &str| key.split('-').zip(&after).all(|(a, b)| a == b) && key.split('-').count() <= after.len();
        let of_kind = |id: &&MeasureId| self.course.measure(**id).amount.dimension() == mention.dimension();
        let of_step = self.here().into_iter().flat_map(|step| &step.measures);
        let of_recipe = self.lesson()?.recipe.iter().flat_map(|recipe| &recipe.measures);
        let measures = of_step.chain(of_recipe);
        let named = measures.filter(|(key, _)| key_follows(key)).map(|(_, id)| id).find(of_kind)?;
        Some(self.plain(*named, Ring::Own))
    }

    /// Everything further out: the recipe's, the other steps', the facts.
    pub fn outward(&self) -> Vec<Candidate> {
        // Texts of the course itself may speak of any lesson; a lesson only of itself.
        let lessons = self.lesson.map_or(0..self.course.lessons.len(), |lesson| lesson..lesson + 1);
        let of_lessons = lessons.flat_map(|lesson| self.course.measures_of(lesson));
        let mut found = Vec::new();
        for (id, measure) in self.course.measures_of_facts().chain(of_lessons) {
            let ring = match measure.owner {
                Owner::Fact { .. } => Ring::Fact,
                Owner::Step { step, .. } | Owner::Part { step, .. } if Some(step) == self.step => continue,
                Owner::Step { .. } | Owner::Part { .. } => Ring::OtherStep,
                _ => Ring::Recipe,
            };
            found.push(self.plain(id, ring));
        }
        found.sort_by_key(|candidate| candidate.ring);
        found
    }

    fn parts_here(&self, only: Option<usize>) -> Vec<Candidate> {
        let Some(step) = self.here() else { return Vec::new() };
        let wanted = step.add.iter().filter(|part| only.is_none_or(|index| part.ingredient == index));
        wanted.flat_map(|part| self.part(part, self.step, Ring::Own)).collect()
    }

    fn parts_elsewhere(&self, ingredient: usize) -> Vec<Candidate> {
        let Some(lesson) = self.lesson() else { return Vec::new() };
        let mut found = Vec::new();
        for (index, step) in lesson.steps.iter().enumerate() {
            for part in step.add.iter().filter(|part| part.ingredient == ingredient) {
                found.extend(self.part(part, Some(index), Ring::OtherStep));
            }
        }
        found
    }

    /// What a part states: itself, and the amount that follows from a fraction or a rest.
    fn part(&self, part: &Part, step: Option<usize>, ring: Ring) -> Vec<Candidate> {
        match part.amount {
            PartAmount::All => Vec::new(),
            PartAmount::Amount(id) => vec![self.plain(id, ring)],
            PartAmount::Fraction(fraction, id) => {
                let amount = self.scaled(part.ingredient, fraction, id, ring);
                std::iter::once(self.plain(id, ring)).chain(amount).collect()
            }
            PartAmount::Rest => {
                let left = step.and_then(|step| self.left_before(part.ingredient, step));
                let total = self.total(part.ingredient);
                left.zip(total)
                    .and_then(|(left, id)| self.scaled(part.ingredient, left, id, ring))
                    .into_iter()
                    .collect()
            }
        }
    }

    fn total(&self, ingredient: usize) -> Option<MeasureId> {
        self.lesson()?.recipe.as_ref()?.ingredients.get(ingredient)?.amount
    }

    /// The fraction of an ingredient that the steps before `step` have left.
    pub fn left_before(&self, ingredient: usize, step: usize) -> Option<Exact> {
        let lesson = self.lesson()?;
        let total = self.course.measure(self.total(ingredient)?).amount;
        let way = lesson.steps[step].way.as_deref();
        let mut left = Exact::ONE;
        let earlier = lesson.steps[..step].iter().filter(|other| other.way.is_none() || other.way.as_deref() == way);
        for part in earlier.flat_map(|other| &other.add).filter(|part| part.ingredient == ingredient) {
            left = left - fraction_of(self.course, part.amount, total.high.quantity)?;
        }
        (left > Exact::ZERO).then_some(left)
    }

    /// A fraction of an ingredient's amount, under the name of the measure `id`.
    fn scaled(&self, ingredient: usize, fraction: Exact, id: MeasureId, ring: Ring) -> Option<Candidate> {
        let total = self.course.measure(self.total(ingredient)?).amount;
        let scale = |end: End| -> Option<End> {
            let quantity = Quantity::from_base(end.quantity.dimension(), end.quantity.base() * fraction)?;
            Some(End { quantity, ..end })
        };
        Some(Candidate {
            measure: id,
            low: scale(total.low)?,
            high: scale(total.high)?,
            range: total.range,
            bound: total.bound,
            per: total.per,
            ring,
            ingredient: Some(ingredient),
        })
    }

    /// Grams per millilitre and tags of an ingredient of this lesson.
    pub fn density(&self, ingredient: usize) -> Option<(Exact, &[String])> {
        let row = self.lesson()?.recipe.as_ref()?.ingredients.get(ingredient)?.pantry?;
        let entry = self.reference.pantry.get(row);
        Some((entry.density?, &entry.tags))
    }

    /// Whether the step or its words have to do with an oven.
    pub fn oven(&self, words: &str) -> bool {
        let named = |text: &str| text.to_lowercase().split(|c: char| !c.is_alphabetic()).any(|word| word == "oven");
        let vessel =
            self.here().zip(self.lesson().and_then(|lesson| lesson.recipe.as_ref())).is_some_and(|(step, recipe)| {
                step.vessels.iter().any(|vessel| named(&recipe.equipment[*vessel].name.text))
            });
        vessel || named(words)
    }
}

/// The measures a step is about: how warm and how long.
pub(super) fn principal(step: &Step) -> impl Iterator<Item = MeasureId> {
    [step.to, step.at, step.lasts, step.takes, step.from].into_iter().flatten()
}

/// A part as a fraction of the whole. `None` for a rest, and for amounts of another kind than the whole.
pub(super) fn fraction_of(course: &Course, part: PartAmount, total: Quantity) -> Option<Exact> {
    match part {
        PartAmount::All => Some(Exact::ONE),
        PartAmount::Rest => None,
        PartAmount::Fraction(fraction, _) => Some(fraction),
        PartAmount::Amount(id) => {
            let quantity = course.measure(id).amount.high.quantity;
            let same = quantity.dimension() == total.dimension() && quantity.dimension() != Dimension::Temperature;
            (same && !total.base().is_zero()).then(|| quantity.base() / total.base())
        }
    }
}
