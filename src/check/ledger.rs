//! The list of every mention: what it states and whether it is right.

use crate::prose::Mention;
use crate::quantity::Amount;
use crate::recipe::MeasureId;
use std::ops::Range;
use std::sync::Arc;

/// All mentions of a course, in order of lesson and place.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ledger {
    /// The entries.
    pub entries: Vec<Arc<LedgerEntry>>,
}

impl Ledger {
    /// The entries of a lesson, or of the course's own texts, which come last.
    pub fn of(&self, lesson: Option<usize>) -> &[Arc<LedgerEntry>] {
        &self.entries[self.range_of(lesson)]
    }

    /// Which entries those are.
    pub fn range_of(&self, lesson: Option<usize>) -> Range<usize> {
        let rank = |lesson: Option<usize>| lesson.unwrap_or(usize::MAX);
        let start = self.entries.partition_point(|one| rank(one.lesson) < rank(lesson));
        let len = self.entries[start..].partition_point(|one| one.lesson == lesson);
        start..start + len
    }
}

/// One mention and what it states.
#[derive(Debug, Clone, PartialEq)]
pub struct LedgerEntry {
    /// The lesson it stands in; `None` for the course's own texts.
    pub lesson: Option<usize>,
    /// The step it stands in.
    pub step: Option<usize>,
    /// The mention.
    pub mention: Mention,
    /// What it states.
    pub binding: Binding,
    /// The amount it must state: the measure's own, or what follows from it (two thirds of 120 mL is 80 mL).
    pub says: Option<Amount>,
    /// Whether it states it rightly.
    pub agrees: bool,
}

/// What a mention states.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Binding {
    /// A measure of the model.
    Measure(MeasureId),
    /// Nothing of the recipe's business, as the author declared.
    Aside {
        /// The lesson.
        lesson: usize,
        /// Which of its asides.
        aside: usize,
    },
    /// Nothing at all: a finding says so.
    Nothing,
}
