//! Quantities of a course, and what each belongs to.

use crate::quantity::Amount;
use crate::source::Span;

/// Which measure: an index into [`Course::measures`](super::Course::measures).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MeasureId(pub u32);

/// A quantity in the model.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// Its path: `pressed-curd.ingredients.milk`, `pressed-curd.steps.heat-the-milk.to`, `facts.fridge`.
    pub path: String,
    /// The amount.
    pub amount: Amount,
    /// Where its author wrote it: the amount alone, without the name after it.
    pub span: Span,
    /// What it belongs to.
    pub owner: Owner,
    /// Whether it grows with the batch, if what it measures can: what goes in and comes out does, a pot or a weight
    /// on a press does not. An author may say otherwise.
    pub scales: bool,
}

/// What a measure belongs to. Lessons, steps and things are indices into a course and a lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Owner {
    /// How much of an ingredient the recipe takes.
    Ingredient {
        /// The lesson.
        lesson: usize,
        /// The ingredient.
        ingredient: usize,
    },
    /// An ingredient's share of something.
    Share {
        /// The lesson.
        lesson: usize,
        /// The ingredient.
        ingredient: usize,
    },
    /// What the recipe makes.
    Product {
        /// The lesson.
        lesson: usize,
    },
    /// What is left over and useful.
    Leftover {
        /// The lesson.
        lesson: usize,
        /// Which.
        leftover: usize,
    },
    /// What a pot holds, how wide it is, how many there are.
    Equipment {
        /// The lesson.
        lesson: usize,
        /// Which.
        equipment: usize,
    },
    /// The share of what goes in that is lost.
    Loss {
        /// The lesson.
        lesson: usize,
    },
    /// How long something keeps, or how cold.
    Keeping {
        /// The lesson.
        lesson: usize,
    },
    /// How long the class takes.
    Session {
        /// The lesson.
        lesson: usize,
    },
    /// A part of an ingredient that goes in at a step.
    Part {
        /// The lesson.
        lesson: usize,
        /// The step.
        step: usize,
        /// The ingredient.
        ingredient: usize,
    },
    /// A measure of a step: to, at, from, for, takes, or one of its `measures`.
    Step {
        /// The lesson.
        lesson: usize,
        /// The step.
        step: usize,
    },
    /// One of the recipe's `measures`.
    Named {
        /// The lesson.
        lesson: usize,
    },
    /// A value that a sum begins with.
    Sum {
        /// The lesson.
        lesson: usize,
        /// Which sum.
        sum: usize,
    },
    /// A measure that holds for every lesson.
    Fact {
        /// Which row of the facts.
        fact: usize,
    },
}

impl Owner {
    /// Whether what it is grows with the batch unless its author says otherwise.
    pub fn grows(self) -> bool {
        matches!(self, Owner::Ingredient { .. } | Owner::Part { .. } | Owner::Product { .. } | Owner::Leftover { .. })
    }

    /// The lesson it belongs to, unless it is a fact.
    pub fn lesson(self) -> Option<usize> {
        match self {
            Owner::Ingredient { lesson, .. }
            | Owner::Share { lesson, .. }
            | Owner::Product { lesson }
            | Owner::Leftover { lesson, .. }
            | Owner::Equipment { lesson, .. }
            | Owner::Keeping { lesson }
            | Owner::Session { lesson }
            | Owner::Loss { lesson }
            | Owner::Named { lesson }
            | Owner::Sum { lesson, .. }
            | Owner::Part { lesson, .. }
            | Owner::Step { lesson, .. } => Some(lesson),
            Owner::Fact { .. } => None,
        }
    }
}
