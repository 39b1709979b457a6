//! The first card of a lesson: what is needed, how long it takes, what to beware of.

use super::block::{Block, Item, Run, Words, letters, plain};
use super::card::{CardText, CardWriter};
use super::choice::shown_words;
use super::limits::limits;
use crate::kitchen::Choice;
use crate::recipe::{Ingredient, Recipe};
use crate::render::allergens;
use crate::render::page::gauges;
use crate::render::recipe_view::{
    amount_view, from_lesson, ingredient_amount, makes_view, more_words, named_views, share_of, vessel_view,
};

/// Whose rules come first, on every set of cards.
const RULES: &str = "Your local food-safety rules come before anything on this paper: how fast to cool, how cold and how \
                     long to keep.";

impl CardWriter<'_> {
    /// The cover. It is written after the steps, because it gathers what they warn of.
    pub(crate) fn cover(&mut self, choice: &Choice) -> CardText {
        let lesson = self.lesson;
        let mut front = Vec::new();
        let shown = shown_words(choice);
        if !shown.is_empty() {
            front.push(Block::Words { words: vec![Run::bold(shown.join(", "))], size: self.sizes.strong });
        }
        if let Some(recipe) = &lesson.recipe {
            front.append(&mut self.makes(recipe));
            front.append(&mut self.ingredients(recipe));
            front.append(&mut self.equipment(recipe));
        }
        let mut back = self.time_plan();
        back.append(&mut self.beware(choice, false));
        CardText { number: None, title: plain(lesson.title.as_str()), front, rescues: Vec::new(), back, code: None }
    }

    pub(crate) fn makes(&mut self, recipe: &Recipe) -> Vec<Block> {
        let makes = makes_view(self.cx, recipe);
        let words = makes.map(|one| {
            vec![
                Run::plain("Makes "),
                Run::bold(self.writer.amount_words(&one.amount)),
                Run::plain(format!(" {}", one.name)),
            ]
        });
        words.map(|words| Block::Words { words, size: self.sizes.words }).into_iter().collect()
    }

    pub(crate) fn ingredients(&mut self, recipe: &Recipe) -> Vec<Block> {
        let mut items = Vec::new();
        for (index, one) in recipe.ingredients.iter().enumerate() {
            if self.does_without(index) {
                continue;
            }
            let mut words: Words = Vec::new();
            if let Some(amount) = ingredient_amount(self.cx, one) {
                let (text, other) = self.writer.amount(&amount);
                words.push(Run::bold(text));
                words.extend(other.map(|other| Run::plain(format!(" ({other})"))));
                words.push(Run::plain(" "));
            }
            words.append(&mut self.named(one));
            if let Some(note) = &one.note {
                words.push(Run::plain(", "));
                words.extend(self.writer.visible(note));
            }
            if let Some((id, _)) = &one.share {
                let share = self.writer.amount_words(&amount_view(self.cx, *id));
                words.push(Run::plain(format!("; {share} of {}", share_of(one))));
            }
            words.extend(more_words(self.cx, one).into_iter().map(|more| Run::plain(format!("; {more}"))));
            if let Some(from) = from_lesson(self.cx, one) {
                words.push(Run::plain(format!("; left from “{}”", from.title)));
            }
            if let Some(instead) = &one.instead {
                words.push(Run::plain("; if you have none: "));
                words.extend(self.writer.visible(instead));
            }
            items.push(self.item("☐", words));
        }
        let allergens = allergens::of_recipe(recipe, self.cx.reference, self.cx.course.guests.law);
        let mut blocks = vec![self.heading("Ingredients"), Block::List { items, size: self.sizes.words }];
        let mut words = if allergens.names.is_empty() {
            plain(format!("The pantry names none of the allergens of the {} list here. ", allergens.list))
        } else {
            let list = if allergens.foreign { format!(" ({} names)", allergens.list) } else { String::new() };
            let names = Run::bold(allergens.names.join(", "));
            vec![Run::plain("Contains: "), names, Run::plain(format!("{list}. "))]
        };
        if !allergens.may.is_empty() {
            words.extend([Run::plain("May contain: "), Run::bold(allergens.may.join(", ")), Run::plain(". ")]);
        }
        words.push(Run::plain("Read every pack: they differ."));
        blocks.push(Block::Words { words, size: self.sizes.words });
        let notes: Vec<Item> = allergens
            .notes
            .into_iter()
            .map(|note| self.item("•", plain(format!("{}: {}", note.ingredient, note.note))))
            .collect();
        if !notes.is_empty() {
            blocks.push(Block::List { items: notes, size: self.sizes.words });
        }
        blocks
    }

    /// An ingredient's name; what contains an allergen stands out and says which: **whole milk** (contains **milk**).
    fn named(&self, ingredient: &Ingredient) -> Words {
        let entry = ingredient.pantry.map(|row| self.cx.reference.pantry.get(row));
        let contains = entry.map_or_else(Vec::new, |entry| allergens::of_entry(entry, self.cx.course.guests.law));
        if contains.is_empty() {
            return plain(ingredient.name.as_str());
        }
        vec![
            Run::bold(ingredient.name.as_str()),
            Run::plain(" (contains "),
            Run::bold(contains.join(", ")),
            Run::plain(")"),
        ]
    }

    pub(crate) fn equipment(&mut self, recipe: &Recipe) -> Vec<Block> {
        let mut items = Vec::new();
        for one in &recipe.equipment {
            let mut words = String::new();
            if let Some(count) = one.count {
                words.push_str(&format!("{} × ", self.writer.amount_words(&amount_view(self.cx, count))));
            }
            words.push_str(&letters(&self.writer.visible(&one.name)));
            if let Some(holds) = one.holds {
                words.push_str(&format!(", holds {}", self.writer.amount_words(&vessel_view(self.cx, holds))));
            }
            if let Some(size) = one.size {
                words.push_str(&format!(", {}", self.writer.amount_words(&amount_view(self.cx, size))));
            }
            items.push(self.item("☐", plain(words)));
        }
        for one in named_views(self.cx, &recipe.measures) {
            let words = format!("{}: {}", one.name, self.writer.amount_words(&one.amount));
            items.push(self.item("•", plain(words)));
        }
        if items.is_empty() {
            return Vec::new();
        }
        vec![self.heading("Equipment"), Block::List { items, size: self.sizes.words }]
    }

    pub(crate) fn item(&self, mark: &str, words: Words) -> Item {
        Item { mark: mark.to_owned(), blocks: vec![Block::Words { words, size: self.sizes.words }] }
    }

    /// The steps with their times: what stands here is what to put out in order again after a fall.
    pub(crate) fn time_plan(&mut self) -> Vec<Block> {
        let mut items = Vec::new();
        for (index, step) in self.lesson.steps.iter().enumerate() {
            if self.left_out.contains(&index) {
                continue;
            }
            let mut words = plain(step.title.as_str());
            let times = gauges(self.cx, step).into_iter().filter(|gauge| gauge.sort == "time");
            let times: Vec<String> = times.map(|gauge| self.writer.amount_words(&gauge.amount)).collect();
            if !times.is_empty() {
                words.push(Run::plain(": "));
                words.push(Run::bold(times.join(", ")));
            }
            if step.hands_on == Some(false) {
                words.push(Run::plain(", hands off"));
            }
            items.push(self.item(&format!("{}.", index + 1), words));
        }
        if items.is_empty() {
            return Vec::new();
        }
        let mut blocks = vec![self.heading("Steps and times"), Block::List { items, size: self.sizes.words }];
        if let Some(session) = self.lesson.session {
            let words =
                vec![Run::plain("In class: "), Run::bold(self.writer.amount_words(&amount_view(self.cx, session)))];
            blocks.push(Block::Words { words, size: self.sizes.words });
        }
        blocks
    }

    /// What recipe and words warn of, what a changed batch brings with it, and whose rules come first.
    pub(crate) fn beware(&mut self, choice: &Choice, notes: bool) -> Vec<Block> {
        let mut inside = Vec::new();
        for block in self.warnings(None, notes) {
            let Block::Boxed(blocks) = block else { continue };
            inside.extend(blocks);
        }
        let limits = limits(self.cx, self.lesson, choice);
        if !limits.is_empty() {
            let items = limits.into_iter().map(|limit| self.item("•", plain(limit))).collect();
            inside.push(Block::List { items, size: self.sizes.words });
        }
        for (step, caution) in &self.cautions {
            let Block::Words { words, size } = caution else { continue };
            let mut words = words.clone();
            if let Some(step) = step {
                words.insert(0, Run::bold(format!("Step {}. ", step + 1)));
            }
            inside.push(Block::Words { words, size: *size });
        }
        inside.push(Block::Words { words: plain(RULES), size: self.sizes.words });
        vec![self.heading("Cautions"), Block::Boxed(inside)]
    }
}
