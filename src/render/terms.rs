//! Where terms are used, and what they mean in place.

use std::collections::BTreeMap;

/// Where terms are used: for each term, the lessons in order, and the section of its first use in each.
#[derive(Debug, Default)]
pub(super) struct TermUses {
    by_term: BTreeMap<usize, Vec<(usize, String)>>,
}

impl TermUses {
    /// Adds the terms of a lesson with the fragment of their first use.
    pub(super) fn add(&mut self, lesson: usize, used: BTreeMap<usize, String>) {
        for (term, fragment) in used {
            self.by_term.entry(term).or_default().push((lesson, fragment));
        }
    }

    /// The lessons that use a term.
    pub(super) fn of(&self, term: usize) -> &[(usize, String)] {
        self.by_term.get(&term).map_or(&[], Vec::as_slice)
    }
}
