//! The one shape of a finding.

use super::{Code, Severity};
use crate::source::Span;

/// One finding: the headline stands alone, labels point, notes explain, help repairs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// What kind of fault.
    pub code: Code,
    /// One line, lower case, no full stop, understandable without the picture.
    pub message: String,
    /// Where the fault is.
    pub primary: Label,
    /// Other places that matter, such as the measure in its block.
    pub related: Vec<Label>,
    /// Facts that explain, such as the converted value and its source.
    pub notes: Vec<String>,
    /// What to do about it.
    pub help: Option<String>,
    /// Edits that would do it.
    pub suggestions: Vec<Suggestion>,
}

/// A place and what to say about it. The text may be empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// A few words shown beside the underlined text.
    pub text: String,
}

/// New text for a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// What to replace.
    pub span: Span,
    /// What to write there.
    pub text: String,
}

/// How sure an edit is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Confidence {
    /// The right value is beyond doubt: `mend` may write it.
    Certain,
    /// A guess that a cook must judge: shown, never applied.
    NeedsACook,
}

/// An edit with its confidence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Suggestion {
    /// The edit.
    pub edit: Edit,
    /// How sure.
    pub confidence: Confidence,
}

impl Diagnostic {
    /// A finding at a place.
    pub fn new(code: Code, message: impl Into<String>, at: Span) -> Diagnostic {
        Diagnostic {
            code,
            message: message.into(),
            primary: Label { span: at, text: String::new() },
            related: Vec::new(),
            notes: Vec::new(),
            help: None,
            suggestions: Vec::new(),
        }
    }

    /// Says something beside the underlined words.
    pub fn label(mut self, text: impl Into<String>) -> Diagnostic {
        self.primary.text = text.into();
        self
    }

    /// Points to another place too.
    pub fn related(mut self, span: Span, text: impl Into<String>) -> Diagnostic {
        self.related.push(Label { span, text: text.into() });
        self
    }

    /// Adds an explaining fact.
    pub fn note(mut self, text: impl Into<String>) -> Diagnostic {
        self.notes.push(text.into());
        self
    }

    /// Says what to do.
    pub fn help(mut self, text: impl Into<String>) -> Diagnostic {
        self.help = Some(text.into());
        self
    }

    /// Offers an edit.
    pub fn suggest(mut self, span: Span, text: impl Into<String>, confidence: Confidence) -> Diagnostic {
        self.suggestions.push(Suggestion { edit: Edit { span, text: text.into() }, confidence });
        self
    }

    /// Error or note, by its code.
    pub fn severity(&self) -> Severity {
        self.code.severity()
    }
}
