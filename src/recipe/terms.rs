//! Finds glossary terms in sentences, the longest first: `clear whey` before `whey`.

use super::model::Term;
use std::cmp::Reverse;
use std::collections::{BTreeMap, HashMap};
use std::ops::Range;

/// All names of all terms, by their first word.
#[derive(Debug)]
pub struct TermIndex {
    by_first_word: HashMap<String, Vec<(String, usize)>>,
}

/// The term that a link or a lesson block names by its slug, its name or another form.
pub fn term_named(terms: &[Term], word: &str) -> Option<usize> {
    let word = form(word);
    let by = |of: fn(&Term, &str) -> bool| {
        let mut found = terms.iter().enumerate().filter(|(_, term)| of(term, &word)).map(|(index, _)| index);
        let first = found.next()?;
        Some(std::iter::once(first).chain(found).find(|term| terms[*term].own).unwrap_or(first))
    };
    by(|term, word| term.slug == word || form(&term.name) == word)
        .or_else(|| by(|term, word| term.also.iter().any(|also| form(also) == word)))
}

/// A name as it is compared: in small letters, with single blanks.
pub(super) fn form(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

impl TermIndex {
    /// Reads all names. What a course's own term claims is its own, whatever the built-in glossary says.
    pub fn new(terms: &[Term]) -> TermIndex {
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
            let rank = |(name, term): &(String, usize)| (Reverse(name.len()), name.clone(), !terms[*term].own, *term);
            names.sort_by_cached_key(rank);
            names.dedup_by(|later, first| later.0 == first.0);
        }
        TermIndex { by_first_word: by_first_word.into_iter().collect() }
    }

    /// The terms of a text and where they stand, in order, none inside another.
    pub fn find(&self, text: &str) -> Vec<(Range<usize>, usize)> {
        let mut found = Vec::new();
        let mut at = 0;
        while let Some(start) = next_word(text, at) {
            let word = first_word(&text[start..]);
            at = start + word.len();
            // Most words are in small letters already.
            let names = match word.bytes().all(|letter| letter.is_ascii_lowercase()) {
                true => self.by_first_word.get(word),
                false => self.by_first_word.get(&word.chars().map(lower).collect::<String>()),
            };
            let names = names.map_or(&[][..], Vec::as_slice);
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
