//! Finds glossary terms in sentences, the longest first: `clear whey` before `whey`.

use crate::recipe::Term;
use std::collections::BTreeMap;
use std::ops::Range;

/// All names of all terms, by their first word.
pub(super) struct TermIndex {
    by_first_word: BTreeMap<String, Vec<(String, usize)>>,
}

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

impl TermIndex {
    pub(super) fn new(terms: &[Term]) -> TermIndex {
        let mut by_first_word: BTreeMap<String, Vec<(String, usize)>> = BTreeMap::new();
        for (index, term) in terms.iter().enumerate() {
            for name in term.also.iter().chain([&term.name]) {
                let name: String = name.chars().map(lower).collect();
                let first = first_word(&name);
                if !first.is_empty() {
                    by_first_word.entry(first.to_owned()).or_default().push((name, index));
                }
            }
        }
        for names in by_first_word.values_mut() {
            names.sort_by(|a, b| b.0.len().cmp(&a.0.len()).then_with(|| a.cmp(b)));
        }
        TermIndex { by_first_word }
    }

    /// The terms of a text and where they stand, in order, none inside another.
    pub(super) fn find(&self, text: &str) -> Vec<(Range<usize>, usize)> {
        let mut found = Vec::new();
        let mut at = 0;
        while let Some(start) = next_word(text, at) {
            let word = first_word(&text[start..]);
            at = start + word.len();
            let key: String = word.chars().map(lower).collect();
            let names = self.by_first_word.get(&key).map_or(&[][..], Vec::as_slice);
            let hit = names.iter().find_map(|(name, term)| Some((begins_with(&text[start..], name)?, *term)));
            if let Some((len, term)) = hit {
                found.push((start..start + len, term));
                at = start + len;
            }
        }
        found
    }
}

/// One letter for one letter, so that lengths can be compared.
fn lower(letter: char) -> char {
    letter.to_lowercase().next().unwrap_or(letter)
}

fn first_word(text: &str) -> &str {
    &text[..text.find(|c: char| !c.is_alphanumeric()).unwrap_or(text.len())]
}

/// Start of the first word at or after `from`, which is no place inside a word.
fn next_word(text: &str, from: usize) -> Option<usize> {
    text[from..].find(char::is_alphanumeric).map(|gap| from + gap)
}

/// Bytes of `text` that spell `name`, if it begins with it and a word ends there.
fn begins_with(text: &str, name: &str) -> Option<usize> {
    let mut letters = text.char_indices().peekable();
    for wanted in name.chars() {
        let (_, letter) = letters.next()?;
        if wanted == ' ' && letter.is_whitespace() {
            while letters.next_if(|(_, next)| next.is_whitespace()).is_some() {}
        } else if lower(letter) != wanted {
            return None;
        }
    }
    match letters.peek() {
        Some((_, next)) if next.is_alphanumeric() => None,
        Some((len, _)) => Some(*len),
        None => Some(text.len()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{FileId, Span};

    fn index(names: &[&[&str]]) -> TermIndex {
        let terms: Vec<Term> = names
            .iter()
            .map(|names| Term {
                name: names[0].to_owned(),
                slug: String::new(),
                also: names[1..].iter().map(|name| (*name).to_owned()).collect(),
                definition: Vec::new(),
                span: Span::new(FileId(0), 0..0),
                own: true,
            })
            .collect();
        TermIndex::new(&terms)
    }

    #[test]
    fn the_longest_term_wins_and_words_are_whole() {
        let index = index(&[&["whey"], &["clear whey"], &["curd", "curds"], &["acid-set curd"]]);
        let text = "Clear  whey drains; whey, wheyey, Curds and acid-set curd.";
        let found: Vec<_> = index.find(text).into_iter().map(|(range, term)| (&text[range], term)).collect();
        assert_eq!(found, [("Clear  whey", 1), ("whey", 0), ("Curds", 2), ("acid-set curd", 3)]);
    }

    #[test]
    fn letters_of_several_bytes_do_not_upset_the_count() {
        let index = index(&[&["crème"]]);
        let text = "½ de CRÈME—crème";
        let found: Vec<_> = index.find(text).into_iter().map(|(range, _)| &text[range]).collect();
        assert_eq!(found, ["CRÈME", "crème"]);
    }
}
