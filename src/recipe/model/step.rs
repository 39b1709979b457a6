//! Steps, and what goes in at each.

use super::{MeasureId, Rescue, Visible};
use crate::lesson::captions::Seconds;
use crate::quantity::Exact;
use crate::recipe::care::Deed;
use crate::source::Span;
use std::collections::BTreeMap;

/// A step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Its id: the slug of its heading unless it names its own.
    pub id: String,
    /// Its title, as read.
    pub title: String,
    /// Index of its heading.
    pub heading: usize,
    /// Place of the block's name, for findings about the whole.
    pub span: Span,
    /// What goes in.
    pub add: Vec<Part>,
    /// Equipment used: indices.
    pub vessels: Vec<usize>,
    /// Temperature reached.
    pub to: Option<MeasureId>,
    /// Temperature held.
    pub at: Option<MeasureId>,
    /// Temperature it starts from.
    pub from: Option<MeasureId>,
    /// Time that must pass.
    pub lasts: Option<MeasureId>,
    /// Time it usually takes.
    pub takes: Option<MeasureId>,
    /// What it pasteurises, as its author claims.
    pub pasteurises: Vec<Pasteurised>,
    /// What is done, as far as cautions care; `None` where its author does not say.
    pub does: Option<Vec<Deed>>,
    /// Whether hands touch what is hot; `None` where its author does not say.
    pub by_hand: Option<bool>,
    /// Whether hands are busy.
    pub hands_on: Option<bool>,
    /// Whether it is done at home, after the class: it takes no time of the session.
    pub at_home: bool,
    /// The sign to look for.
    pub until: Option<Visible>,
    /// Any other named measure.
    pub measures: BTreeMap<String, MeasureId>,
    /// Name of the way.
    pub way: Option<String>,
    /// Id of the step it runs beside.
    pub beside: Option<usize>,
    /// Steps that must come first.
    pub after: Vec<usize>,
    /// What to do when it goes wrong.
    pub rescues: Vec<Rescue>,
    /// When it begins in the recording: as its author fixed it, or else as the main captions tell.
    pub heard_at: Option<Seconds>,
    /// Where its author fixed that.
    pub heard_span: Option<Span>,
}

/// A part of an ingredient that goes in at a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Which ingredient.
    pub ingredient: usize,
    /// How much of it.
    pub amount: PartAmount,
    /// Where the author wrote it.
    pub span: Span,
}

/// An ingredient of which a step claims a legal hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pasteurised {
    /// Which ingredient.
    pub ingredient: usize,
    /// Where the author named it.
    pub span: Span,
}

/// How much of an ingredient goes in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PartAmount {
    /// All of it.
    All,
    /// What earlier steps left.
    Rest,
    /// A fraction of it, as a measure of kind share.
    Fraction(Exact, MeasureId),
    /// An amount.
    Amount(MeasureId),
}
