//! How much of a thing there is, by weight and by volume, as far as its density tells.

use crate::quantity::{Amount, Dimension, Exact};
use crate::recipe::{Course, MeasureId, Part, PartAmount, Recipe};
use crate::reference::Reference;

/// Which end of a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The least.
    Low,
    /// The most.
    High,
}

impl End {
    /// This end of an amount, in its base unit: grams, millilitres, pieces, seconds.
    pub fn of(self, amount: &Amount) -> Exact {
        match self {
            End::Low => amount.low.quantity.base(),
            End::High => amount.high.quantity.base(),
        }
    }
}

/// How much of a thing: grams and millilitres, where they are known. Whatever is told by a density is cut to a thousandth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Bulk {
    /// Grams.
    pub grams: Option<Exact>,
    /// Millilitres.
    pub millilitres: Option<Exact>,
}

impl Bulk {
    fn new(dimension: Dimension, base: Exact, density: Option<Exact>) -> Bulk {
        match dimension {
            Dimension::Mass => Bulk { grams: Some(base), millilitres: density.map(|density| (base / density).cut()) },
            Dimension::Volume => Bulk { grams: density.map(|density| (base * density).cut()), millilitres: Some(base) },
            _ => Bulk::default(),
        }
    }

    /// So many times as much.
    pub fn times(self, share: Exact) -> Bulk {
        let part = |whole: Exact| (whole * share).cut();
        Bulk { grams: self.grams.map(part), millilitres: self.millilitres.map(part) }
    }
}

/// How much a measure of something from that row of the pantry is.
pub fn bulk(course: &Course, reference: &Reference, id: MeasureId, row: Option<usize>, end: End) -> Bulk {
    let amount = &course.measure(id).amount;
    let density = row.and_then(|row| reference.pantry.get(row).density);
    Bulk::new(amount.dimension(), end.of(amount), density)
}

/// How much the parts of a walk are, one after the other: a rest is what the parts before it left.
pub struct Taking<'a> {
    course: &'a Course,
    reference: &'a Reference,
    recipe: &'a Recipe,
    end: End,
    taken: Vec<Exact>,
}

impl<'a> Taking<'a> {
    /// Nothing is taken yet.
    pub fn new(course: &'a Course, reference: &'a Reference, recipe: &'a Recipe, end: End) -> Taking<'a> {
        Taking { course, reference, recipe, end, taken: vec![Exact::ZERO; recipe.ingredients.len()] }
    }

    /// How much this part is.
    pub fn take(&mut self, part: &Part) -> Bulk {
        let item = &self.recipe.ingredients[part.ingredient];
        let Some(whole) = item.amount else { return Bulk::default() };
        let of = |id| bulk(self.course, self.reference, id, item.pantry, self.end);
        let base = |id| self.end.of(&self.course.measure(id).amount);
        let share = match part.amount {
            PartAmount::All => Exact::ONE,
            PartAmount::Fraction(share, _) => share,
            PartAmount::Rest => Exact::ONE - self.taken[part.ingredient],
            PartAmount::Amount(id) => {
                if !base(whole).is_zero() {
                    let share = base(id) / base(whole);
                    self.taken[part.ingredient] = self.taken[part.ingredient] + share;
                }
                return of(id);
            }
        };
        self.taken[part.ingredient] = self.taken[part.ingredient] + share;
        of(whole).times(share)
    }
}
