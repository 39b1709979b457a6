//! The things of one kitchen by their names, found in running text.
//!
//! What a thing *is* stays with whoever filled the table: here it is a number.

use crate::quantity::fold_letter;
use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::Arc;

/// A name's number: what it stands for is known to whoever added it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NounId(pub u32);

/// Names of things, longest first.
#[derive(Debug, Clone, Default)]
pub struct Nouns {
    by_first: HashMap<String, Vec<Name>>,
    count: u32,
    base: Option<Arc<Nouns>>,
}

#[derive(Debug, Clone)]
struct Name {
    words: Vec<String>,
    id: NounId,
    counted: bool,
}

/// A name found in a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Found {
    /// Which.
    pub id: NounId,
    /// Bytes taken.
    pub len: usize,
    /// Whether such things are counted: six flatbreads.
    pub counted: bool,
}

impl Nouns {
    /// Names of one kitchen over those that every kitchen knows; its own win where both have a name.
    pub fn over(base: Arc<Nouns>) -> Nouns {
        Nouns { by_first: HashMap::new(), count: base.count, base: Some(base) }
    }

    /// Adds a name with its plural or singular. The same name always gets the same number.
    pub fn add(&mut self, name: &str, counted: bool) -> Option<NounId> {
        let words = words_of(name);
        let last = words.last()?;
        let mut forms = vec![last.clone()];
        forms.extend(other_number(last));
        let known = self.find(&words);
        let id = known.unwrap_or(NounId(self.count));
        self.count = self.count.max(id.0 + 1);
        for form in forms {
            let mut words = words.clone();
            *words.last_mut()? = form;
            let names = self.by_first.entry(words[0].clone()).or_default();
            match names.iter_mut().find(|name| name.words == words) {
                Some(name) => name.counted |= counted && name.id == id,
                None => {
                    names.push(Name { words, id, counted });
                    names.sort_by_key(|name| std::cmp::Reverse(name.words.len()));
                }
            }
        }
        Some(id)
    }

    fn find(&self, words: &[String]) -> Option<NounId> {
        let names = self.by_first.get(words.first()?)?;
        names.iter().find(|name| name.words == words).map(|name| name.id)
    }

    /// The longest name that `text` begins with.
    pub fn match_start(&self, text: &str) -> Option<Found> {
        let own = self.match_own(text);
        let base = self.base.as_ref().and_then(|base| base.match_own(text));
        match (own, base) {
            (Some(own), Some(base)) if base.len > own.len => Some(base),
            (own, base) => own.or(base),
        }
    }

    fn match_own(&self, text: &str) -> Option<Found> {
        let mut words = Words { text, at: 0 };
        let (first, first_end) = words.next()?;
        let names = self.by_first.get(first.as_ref())?;
        names.iter().find_map(|name| {
            let mut rest = words.clone();
            let len = name.words[1..]
                .iter()
                .try_fold(first_end, |_, word| rest.next().filter(|(found, _)| found == word).map(|(_, end)| end))?;
            Some(Found { id: name.id, len, counted: name.counted })
        })
    }
}

/// Words joined by single blanks or hyphens; anything else ends them.
#[derive(Clone)]
struct Words<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Iterator for Words<'a> {
    type Item = (Cow<'a, str>, usize);

    fn next(&mut self) -> Option<Self::Item> {
        let rest = &self.text[self.at..];
        let gap = if self.at == 0 {
            0
        } else {
            let len = rest.len() - rest.trim_start_matches(|c| fold_letter(c) == ' ' || c == '-' || c == '‑').len();
            if len == 0 {
                return None;
            }
            len
        };
        let word = &rest[gap..];
        let len = word.find(|c: char| !is_word_letter(c)).unwrap_or(word.len());
        if len == 0 {
            return None;
        }
        self.at += gap + len;
        let word = &word[..len];
        let is_lower = word.bytes().all(|byte| byte.is_ascii_lowercase());
        Some((if is_lower { Cow::Borrowed(word) } else { Cow::Owned(lower(word)) }, self.at))
    }
}

fn is_word_letter(letter: char) -> bool {
    letter.is_alphanumeric() || matches!(letter, '\'' | '’')
}

fn lower(word: &str) -> String {
    word.chars().flat_map(char::to_lowercase).map(|c| if c == '’' { '\'' } else { c }).collect()
}

fn words_of(name: &str) -> Vec<String> {
    name.split(|c: char| !is_word_letter(c)).filter(|word| !word.is_empty()).map(lower).collect()
}

/// The plural of a singular and the singular of a plural, as English mostly makes them.
pub fn other_number(word: &str) -> Vec<String> {
    let mut forms = Vec::new();
    if let Some(stem) = word.strip_suffix("ies") {
        forms.push(format!("{stem}y"));
    } else if let Some(stem) = word.strip_suffix("ves") {
        forms.push(format!("{stem}f"));
    } else if let Some(stem) = word.strip_suffix("es").filter(|stem| ends_hissing(stem) || stem.ends_with('o')) {
        forms.push(stem.to_owned());
    } else if let Some(stem) = word.strip_suffix('s').filter(|stem| !stem.ends_with('s') && stem.len() > 2) {
        forms.push(stem.to_owned());
    } else if let Some(stem) = word.strip_suffix('y').filter(|stem| !stem.ends_with(['a', 'e', 'o', 'u'])) {
        forms.push(format!("{stem}ies"));
    } else if ends_hissing(word) {
        forms.push(format!("{word}es"));
    } else {
        forms.push(format!("{word}s"));
        if let Some(stem) = word.strip_suffix('f') {
            forms.push(format!("{stem}ves"));
        } else if word.ends_with('o') {
            forms.push(format!("{word}es"));
        }
    }
    forms
}

fn ends_hissing(word: &str) -> bool {
    ["s", "x", "z", "ch", "sh"].iter().any(|end| word.ends_with(end))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_name_wins_and_number_does_not_matter() {
        let mut nouns = Nouns::default();
        let milk = nouns.add("milk", false);
        let powder = nouns.add("milk powder", false);
        let loaf = nouns.add("loaf", true);
        let at = |text: &str| nouns.match_start(text).map(|found| (found.id, found.len));
        assert_eq!(at("Milk-powder, sifted"), Some((powder.unwrap(), 11)));
        assert_eq!(at("milk, warm"), Some((milk.unwrap(), 4)));
        assert_eq!(at("loaves of"), Some((loaf.unwrap(), 6)));
        assert_eq!(at("milky"), None);
    }
}
