//! What goes in against what comes out, by weight.

use super::bulk::{Bulk, End, bulk};
use crate::quantity::{Dimension, Exact};
use crate::recipe::{Course, Recipe};
use crate::reference::Reference;

/// Grams, from the least to the most.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Weight {
    /// The least.
    pub low: Exact,
    /// The most.
    pub high: Exact,
}

impl Weight {
    fn sum(all: impl Iterator<Item = Option<Weight>>) -> Option<Weight> {
        let nothing = Weight { low: Exact::ZERO, high: Exact::ZERO };
        all.into_iter().try_fold(nothing, |sum, one| {
            let one = one?;
            Some(Weight { low: sum.low + one.low, high: sum.high + one.high })
        })
    }
}

/// The weights of a recipe; each is missing where one of its parts cannot be weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Balance {
    /// All that goes in.
    pub goes_in: Option<Weight>,
    /// What is made and what is left.
    pub comes_out: Option<Weight>,
}

impl Balance {
    /// The share of what goes in that comes out nowhere, from the least to the most. Below nought where more comes out.
    pub fn lost(&self) -> Option<(Exact, Exact)> {
        let (goes_in, comes_out) = (self.goes_in?, self.comes_out?);
        if goes_in.low <= Exact::ZERO {
            return None;
        }
        let lost = |goes_in: Exact, comes_out: Exact| (goes_in - comes_out) / goes_in;
        Some((lost(goes_in.low, comes_out.high), lost(goes_in.high, comes_out.low)))
    }
}

/// The balance of a recipe. What it makes in pieces is weighed only where the pantry knows the weight of a piece.
pub fn balance(course: &Course, reference: &Reference, recipe: &Recipe) -> Balance {
    let weigh = |id, row: Option<usize>| {
        let one = |end: End| {
            let Bulk { grams, .. } = bulk(course, reference, id, row, end);
            let amount = &course.measure(id).amount;
            let each = || {
                let each = row.and_then(|row| reference.pantry.get(row).each.as_ref())?;
                let counted = amount.dimension() == Dimension::Count && each.dimension() == Dimension::Mass;
                counted.then(|| (end.of(amount) * end.of(each)).cut())
            };
            grams.or_else(each)
        };
        Some(Weight { low: one(End::Low)?, high: one(End::High)? })
    };
    let goes_in = recipe.ingredients.iter().map(|item| weigh(item.amount?, item.pantry));
    let named = |id, name: &str| weigh(id, reference.pantry.find(name));
    let makes = recipe.makes.iter().map(|product| named(product.amount, &product.name));
    let leaves = recipe.leaves.iter().map(|left| named(left.amount, &left.name));
    Balance { goes_in: Weight::sum(goes_in), comes_out: Weight::sum(makes.chain(leaves)) }
}
