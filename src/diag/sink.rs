//! Collects findings and puts them in order.

use super::{Diagnostic, Severity};

/// All findings of a run.
#[derive(Debug, Default, Clone, PartialEq, Eq)]
pub struct Diagnostics {
    found: Vec<Diagnostic>,
}

impl Diagnostics {
    /// Adds one.
    pub fn push(&mut self, found: Diagnostic) {
        self.found.push(found);
    }

    /// Adds all of another run.
    pub fn extend(&mut self, other: Diagnostics) {
        self.found.extend(other.found);
    }

    /// Orders by place and drops echoes: the same fault said twice of the same words.
    pub fn sorted(mut self) -> Diagnostics {
        self.found.sort_by_key(|found| (found.primary.span, found.code));
        self.found.dedup_by(|b, a| a.code == b.code && a.primary.span == b.primary.span && a.message == b.message);
        self
    }

    /// Whether publishing must stop.
    pub fn has_errors(&self) -> bool {
        self.found.iter().any(|found| found.severity() == Severity::Error)
    }

    /// How many of a severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.found.iter().filter(|found| found.severity() == severity).count()
    }

    /// Whether there is none at all.
    pub fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    /// The findings, as they stand.
    pub fn iter(&self) -> std::slice::Iter<'_, Diagnostic> {
        self.found.iter()
    }
}

impl FromIterator<Diagnostic> for Diagnostics {
    fn from_iter<I: IntoIterator<Item = Diagnostic>>(found: I) -> Diagnostics {
        Diagnostics { found: found.into_iter().collect() }
    }
}
