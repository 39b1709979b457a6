//! The words of a text as blanks part them, for rules that read what is no quantity.

/// A word with the signs that stand at it, and where it begins.
#[derive(Debug, Clone, Copy)]
pub(super) struct Word<'a> {
    pub start: usize,
    pub text: &'a str,
}

/// The words of a text, in order.
pub(super) fn words(text: &str) -> Vec<Word<'_>> {
    let start = |word: &str| word.as_ptr() as usize - text.as_ptr() as usize;
    text.split_whitespace().map(|text| Word { start: start(text), text }).collect()
}

impl Word<'_> {
    /// Without the signs around it, in small letters.
    pub fn plain(self) -> String {
        self.text.trim_matches(|letter: char| !letter.is_alphanumeric()).to_lowercase().replace('’', "'")
    }

    /// Whether its plain form is one of these.
    pub fn is_one_of(self, list: &[&str]) -> bool {
        let text = self.text.trim_matches(|letter: char| !letter.is_alphanumeric());
        match text.is_ascii() {
            true => list.iter().any(|one| one.eq_ignore_ascii_case(text)),
            false => list.contains(&self.plain().as_str()),
        }
    }

    /// Whether what is said ends with it.
    pub fn ends_sentence(self) -> bool {
        self.text.ends_with(['.', '!', '?', ':', ';'])
    }

    /// Where it ends.
    pub fn end(self) -> usize {
        self.start + self.text.len()
    }
}
