//! Asides: words an author declares to be no business of the recipe. Exact, and reported once they are stale.

use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::recipe::Aside;
use crate::source::{MappedText, Span};

/// The asides of one lesson, while its words are read.
#[derive(Debug)]
pub(super) struct Asides<'a> {
    asides: &'a [Aside],
    /// Where each was found, and whether it silenced anything there.
    found: Vec<Vec<Span>>,
    used: Vec<bool>,
}

impl<'a> Asides<'a> {
    pub fn new(asides: &'a [Aside]) -> Asides<'a> {
        Asides { asides, found: vec![Vec::new(); asides.len()], used: vec![false; asides.len()] }
    }

    /// Notes where the declared words stand in a text, whatever the blanks between them.
    pub fn look_in(&mut self, text: &MappedText) {
        for (index, aside) in self.asides.iter().enumerate() {
            let words: Vec<&str> = aside.words.split_whitespace().collect();
            let Some(first) = words.first() else { continue };
            for (at, _) in text.text.match_indices(first) {
                if let Some(len) = match_words(&text.text[at..], &words) {
                    self.found[index].push(text.home(at..at + len));
                }
            }
        }
    }

    /// The aside that silences what stands there.
    pub fn covering(&mut self, place: Span) -> Option<usize> {
        let index = self.found.iter().position(|spans| spans.iter().any(|span| span.contains(place)))?;
        self.used[index] = true;
        Some(index)
    }

    /// Reports asides that silenced nothing.
    pub fn report_stale(&self, sink: &mut Diagnostics) {
        for (index, aside) in self.asides.iter().enumerate() {
            if self.used[index] {
                continue;
            }
            let (what, help) = if self.found[index].is_empty() {
                ("are not in this lesson", "copy the words exactly as they stand in the text, or take the aside out")
            } else {
                ("hold no measure that needs it", "take the aside out: nothing would be reported without it")
            };
            sink.push(
                Diagnostic::new(Code::StaleAside, format!("the words of this aside {what}"), aside.span).help(help),
            );
        }
    }
}

/// Bytes taken by `words` with any blanks between them.
fn match_words(text: &str, words: &[&str]) -> Option<usize> {
    let mut at = 0;
    for (index, word) in words.iter().enumerate() {
        if index > 0 {
            let gap = text[at..].len() - text[at..].trim_start().len();
            if gap == 0 {
                return None;
            }
            at += gap;
        }
        if !text[at..].starts_with(word) {
            return None;
        }
        at += word.len();
    }
    Some(at)
}
