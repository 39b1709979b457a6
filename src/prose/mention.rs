//! A quantity found in the words.

use super::NounId;
use crate::quantity::{Amount, Dimension};
use crate::source::Span;
use std::ops::Range;

/// A quantity in the words.
#[derive(Debug, Clone, PartialEq)]
pub struct Mention {
    /// Where it stands in the file, from its first letter to its last.
    pub span: Span,
    /// The bytes of the file it is made of, markup between them left out.
    pub pieces: Vec<Range<usize>>,
    /// Its bytes in the run.
    pub range: Range<usize>,
    /// The words, markup left out.
    pub text: String,
    /// What they say.
    pub amount: Amount,
    /// Mentions of one pair share a number: `32 °C (90 °F)`. Unique in its run.
    pub pair: Option<u32>,
    /// Things of the kitchen it stands beside, the nearest in sense first.
    pub nouns: Vec<NounHit>,
    /// How often: 3 in `3 × 30 s`. The amount is one of them.
    pub times: Option<crate::quantity::Number>,
    /// What the words around it say of it.
    pub marks: Marks,
}

/// What the words around a quantity say of it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Marks {
    /// Of an oven with a fan, which is set lower.
    pub fan: bool,
    /// Joined to the quantity before it by an equals sign: `1 tbsp = 15 mL`.
    pub equals: bool,
    /// Its part in a way from one reading to another: `from 20 °C to 43 °C`.
    pub journey: Journey,
    /// A limit that something may cross: `below 24 °C`, as against `at most 24 °C`.
    pub threshold: bool,
    /// One end of a range that falls where none may: `12 to 6 minutes`, `45–0 °C`.
    pub falls: bool,
    /// Its unit stands in the head of its column.
    pub unit_in_head: bool,
}

impl Mention {
    /// What it measures.
    pub fn dimension(&self) -> Dimension {
        self.amount.dimension()
    }
}

/// What a reading is on the way from one to another.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Journey {
    /// No part of one.
    #[default]
    None,
    /// All of it, upwards: also readable as a range.
    Whole,
    /// Where it starts, of a way downwards.
    Start,
    /// Where it ends, of a way downwards.
    End,
}

/// A thing of the kitchen beside a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NounHit {
    /// Which.
    pub noun: NounId,
    /// Whether the words tie it firmly to the quantity: `4 L of milk`, `milk (4 L)`.
    pub firm: bool,
    /// Whether "of" joins them: `2 % of the flour` is a share of it, `2 % salt` is its share.
    pub of: bool,
}
