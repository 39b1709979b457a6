//! A sieve for reading fast: nearly all words of a text begin no quantity, and most are known by three of their traits.

/// Words sieved by first letter, number of letters and last letter. Lets some others through, and never stops its own.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Openers {
    /// By first letter and number of letters: a bit for each last letter.
    last: [[u32; Openers::LONGEST + 1]; 26],
}

impl Openers {
    const LONGEST: usize = 15;

    /// Lets no word through.
    pub const NONE: Openers = Openers { last: [[0; Openers::LONGEST + 1]; 26] };

    /// Lets the first word of each lower-case phrase through too. A phrase that is a sign needs no leave.
    pub const fn with(mut self, phrases: &[&str]) -> Openers {
        let mut index = 0;
        while index < phrases.len() {
            let bytes = phrases[index].as_bytes();
            let len = letters(bytes);
            if len > 0 {
                self.last[letter(bytes[0])][len] |= 1 << letter(bytes[len - 1]);
            }
            index += 1;
        }
        self
    }

    /// Whether one of the words may begin `text`. What begins with no letter is not for the sieve to tell.
    pub fn may_open(&self, text: &str) -> bool {
        let bytes = text.as_bytes();
        let len = letters(bytes);
        len == 0 || len <= Openers::LONGEST && self.last[letter(bytes[0])][len] & 1 << letter(bytes[len - 1]) != 0
    }
}

/// Letters at the start, counted no further than it matters.
const fn letters(bytes: &[u8]) -> usize {
    let mut len = 0;
    while len < bytes.len() && len <= Openers::LONGEST && bytes[len].is_ascii_alphabetic() {
        len += 1;
    }
    len
}

const fn letter(byte: u8) -> usize {
    (byte.to_ascii_lowercase() - b'a') as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn first_words_pass_in_any_case_and_most_others_do_not() {
        let openers = Openers::NONE.with(&["at least", "≥", "ten"]);
        for open in ["at most", "AT", "Ten eggs", "10 eggs", "≥ 10", "", "é"] {
            assert!(openers.may_open(open), "{open}");
        }
        for closed in ["the eggs", "tens", "a", "incomprehensibilities"] {
            assert!(!openers.may_open(closed), "{closed}");
        }
    }
}
