//! What goes in at a step: `add`.

use super::context::{Context, STUFF};
use super::model::{Ingredient, Measure, MeasureId, Owner, Part, PartAmount};
use super::names::Names;
use super::table::{one_or_more, wrong_type};
use crate::diag::{Code, Diagnostic};
use crate::lesson::{Entry, Text, ValueKind, trimmed};
use crate::quantity::{Amount, Dimension, End, Exact, NumberForm, Quantity, split_amount};
use crate::source::{MappedText, Span};

/// Ways to say how much of an ingredient goes in.
const PART_HELP: &str = "write an amount such as `50 mL`, or `half`, `a third`, `two thirds`, `a quarter`, `three quarters`, `all` or `rest`";

/// The step whose parts are read.
pub(super) struct At<'s> {
    pub index: usize,
    pub id: &'s str,
}

impl Context<'_> {
    /// Reads the value of `add`.
    pub fn parts(&mut self, entry: &Entry, at: &At<'_>, ingredients: &[Ingredient], names: &Names) -> Vec<Part> {
        let mut parts: Vec<Part> = Vec::new();
        for item in one_or_more(&entry.value) {
            match &item.kind {
                ValueKind::Text(id) => {
                    let span = id.home(0..id.text.len());
                    let found = self.look_up(id, "ingredient", &names.ingredients, names.sure_of_ingredients);
                    if let Some(ingredient) = found {
                        self.add_part(&mut parts, Part { ingredient, amount: PartAmount::All, span }, &id.text);
                    }
                }
                ValueKind::Table(table) => {
                    for entry in &table.entries {
                        self.part(entry, at, ingredients, names, &mut parts);
                    }
                }
                _ => wrong_type("add", item, "ids of ingredients", "add = [\"milk\", { salt = \"half\" }]", self.sink),
            }
        }
        parts
    }

    fn add_part(&mut self, parts: &mut Vec<Part>, part: Part, id: &str) {
        if let Some(first) = parts.iter().find(|other| other.ingredient == part.ingredient) {
            self.sink.push(
                Diagnostic::new(Code::DuplicateId, format!("`{id}` goes in twice in this step"), part.span)
                    .related(first.span, "first here")
                    .help("add it once, with its whole amount for this step"),
            );
            return;
        }
        parts.push(part);
    }

    fn part(&mut self, entry: &Entry, at: &At<'_>, ingredients: &[Ingredient], names: &Names, parts: &mut Vec<Part>) {
        let mut id = MappedText::new(entry.key_span.file);
        id.push(&entry.key, entry.key_span.range());
        let found = self.look_up(&id, "ingredient", &names.ingredients, names.sure_of_ingredients);
        let Some(ingredient) = found else { return };
        let Some((amount, span)) = self.part_amount(entry, at, ingredient, &ingredients[ingredient]) else {
            return;
        };
        self.add_part(parts, Part { ingredient, amount, span }, &entry.key);
    }

    fn part_amount(
        &mut self,
        entry: &Entry,
        at: &At<'_>,
        index: usize,
        ingredient: &Ingredient,
    ) -> Option<(PartAmount, Span)> {
        let path = format!("steps.{}.add.{}", at.id, ingredient.id);
        let owner = Owner::Part { lesson: self.lesson, step: at.index, ingredient: index };
        if let ValueKind::Text(text) = &entry.value.kind {
            let words = trimmed(text, 0..text.text.len());
            let span = words.home(0..words.text.len());
            match words.text.to_lowercase().as_str() {
                "all" => return Some((PartAmount::All, span)),
                "rest" | "the rest" => return Some((PartAmount::Rest, span)),
                _ => {}
            }
            if let Some((fraction, amount)) = self.fraction(&words) {
                let id = self.part_measure(&path, amount, span, owner, ingredient);
                return Some((PartAmount::Fraction(fraction, id), span));
            }
            if split_amount(&words.text, self.units).is_err() {
                let message = format!("`{}` does not say how much goes in", words.text);
                self.sink.push(Diagnostic::new(Code::BadAmount, message, span).help(PART_HELP));
                return None;
            }
        }
        let (amount, span) = self.amount(&entry.key, &entry.value, STUFF)?;
        self.goes_with(&amount, span, ingredient)?;
        let id = self.part_measure(&path, amount, span, owner, ingredient);
        Some((PartAmount::Amount(id), span))
    }

    /// A part grows with the batch where the whole does.
    fn part_measure(&mut self, path: &str, amount: Amount, span: Span, owner: Owner, of: &Ingredient) -> MeasureId {
        let id = self.measure(path, amount, span, owner);
        let scales = of.amount.is_none_or(|whole| self.measures[whole.0 as usize].scales);
        self.set_scales(id, scales);
        id
    }

    /// `two thirds`, `1/3`, `½`, `60 %`: less than the whole, and not an amount.
    fn fraction(&self, words: &Text) -> Option<(Exact, Amount)> {
        let text = words.text.strip_suffix(" of it").unwrap_or(&words.text);
        let (amount, len) = split_amount(text, self.units).ok()?;
        if len < text.len() || amount.range {
            return None;
        }
        let End { quantity, number, .. } = amount.low;
        match quantity {
            Quantity::Share(share) if share > Exact::ZERO => Some((share, amount)),
            Quantity::Count(value)
                if value > Exact::ZERO
                    && value < Exact::ONE
                    && matches!(number.form, NumberForm::Fraction | NumberForm::Words) =>
            {
                let end = End {
                    quantity: Quantity::Share(value),
                    number,
                    unit: self.units.fraction(),
                    step: Exact::ZERO,
                    compound: false,
                };
                Some((value, Amount::single(end)))
            }
            _ => None,
        }
    }

    /// A number of pieces cannot be part of something that is weighed, unless a piece has a known weight.
    fn goes_with(&mut self, part: &Amount, span: Span, ingredient: &Ingredient) -> Option<()> {
        let Some(whole) = ingredient.amount else {
            return Some(());
        };
        let whole: &Measure = &self.measures[whole.0 as usize];
        let pieces = whole.amount.dimension() == Dimension::Count;
        let weighs = ingredient.pantry.is_some_and(|row| self.pantry.get(row).each.is_some());
        let unknown = ingredient.pantry.is_none();
        if (part.dimension() == Dimension::Count) == pieces || weighs || unknown {
            return Some(());
        }
        let (message, at) = if pieces {
            (format!("the recipe counts `{}`, and this is {}", ingredient.id, part.dimension().in_words()), whole.span)
        } else {
            (format!("the recipe measures `{}`, and this has no unit", ingredient.id), whole.span)
        };
        self.sink
            .push(Diagnostic::new(Code::WrongKind, message, span).related(at, "the recipe's amount").help(PART_HELP));
        None
    }
}
