//! Three-valued truth: what is not known stays unknown until a rule decides what that means.

use crate::reference::{Test, Wanted};
use std::collections::BTreeSet;

/// Yes, no, or nobody said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Truth {
    /// It is so.
    Yes,
    /// It is not so.
    No,
    /// Nobody said.
    Unknown,
}

impl From<bool> for Truth {
    fn from(flag: bool) -> Truth {
        if flag { Truth::Yes } else { Truth::No }
    }
}

impl From<Option<bool>> for Truth {
    fn from(flag: Option<bool>) -> Truth {
        flag.map_or(Truth::Unknown, Truth::from)
    }
}

impl Truth {
    /// Both.
    pub fn and(self, other: Truth) -> Truth {
        match (self, other) {
            (Truth::No, _) | (_, Truth::No) => Truth::No,
            (Truth::Yes, Truth::Yes) => Truth::Yes,
            _ => Truth::Unknown,
        }
    }

    /// Either.
    pub fn or(self, other: Truth) -> Truth {
        self.not().and(other.not()).not()
    }

    /// The other way round.
    pub fn not(self) -> Truth {
        match self {
            Truth::Yes => Truth::No,
            Truth::No => Truth::Yes,
            Truth::Unknown => Truth::Unknown,
        }
    }
}

/// What is known of one thing.
#[derive(Debug, Clone, PartialEq)]
pub enum Fact {
    /// Nobody said.
    Unknown,
    /// Whether it is so.
    Flag(Truth),
    /// Words that hold: a set of tags, or one of a list.
    Words(BTreeSet<String>),
    /// One of these words, and nobody said which.
    OneOf(BTreeSet<String>),
    /// A number somewhere between two ends, which may be infinite.
    Number(f64, f64),
}

impl Fact {
    /// One word.
    pub fn word(word: &str) -> Fact {
        Fact::Words(BTreeSet::from([word.to_owned()]))
    }

    /// Some words.
    pub fn words<'w>(words: impl IntoIterator<Item = &'w str>) -> Fact {
        Fact::Words(words.into_iter().map(str::to_owned).collect())
    }

    /// One number.
    pub fn number(number: f64) -> Fact {
        Fact::Number(number, number)
    }

    /// Whether it is as wanted. A fact of another sort than the test asks for is unknown.
    pub fn is(&self, wanted: &Wanted) -> Truth {
        match (self, wanted) {
            (Fact::Flag(truth), Wanted::Flag(true)) => *truth,
            (Fact::Flag(truth), Wanted::Flag(false)) => truth.not(),
            (Fact::Words(words), Wanted::AnyOf(any)) => any.iter().any(|word| words.contains(word)).into(),
            (Fact::OneOf(words), Wanted::AnyOf(any)) => {
                let fits = |word: &String| any.contains(word);
                between(words.iter().all(fits), !words.iter().any(fits))
            }
            (Fact::Number(low, high), Wanted::AtLeast(least)) => between(low >= least, high < least),
            (Fact::Number(low, high), Wanted::Above(least)) => between(low > least, high <= least),
            (Fact::Number(low, high), Wanted::AtMost(most)) => between(high <= most, low > most),
            (Fact::Number(low, high), Wanted::Under(most)) => between(high < most, low >= most),
            _ => Truth::Unknown,
        }
    }
}

fn between(yes: bool, no: bool) -> Truth {
    match (yes, no) {
        (true, _) => Truth::Yes,
        (_, true) => Truth::No,
        _ => Truth::Unknown,
    }
}

/// A test against what is known of its fact.
pub fn holds(test: &Test, known: Option<&Fact>) -> Truth {
    known.map_or(Truth::Unknown, |fact| fact.is(&test.wanted))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_nobody_said_stays_unknown() {
        use Truth::{No, Unknown, Yes};
        let table = [(Yes, Yes, Yes), (Yes, Unknown, Unknown), (No, Unknown, No), (Unknown, Unknown, Unknown)];
        for (a, b, both) in table {
            assert_eq!((a.and(b), b.and(a)), (both, both));
        }
        assert_eq!((No.or(Unknown), Yes.or(Unknown), Unknown.not()), (Unknown, Yes, Unknown));
    }

    #[test]
    fn one_of_several_words_is_unknown_unless_all_or_none_fit() {
        let words = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<String>>();
        let either = Fact::OneOf(words(&["bread", "other"]).into_iter().collect());
        assert_eq!(either.is(&Wanted::AnyOf(words(&["bread"]))), Truth::Unknown);
        assert_eq!(either.is(&Wanted::AnyOf(words(&["bread", "other", "jam"]))), Truth::Yes);
        assert_eq!(either.is(&Wanted::AnyOf(words(&["jam"]))), Truth::No);
    }

    #[test]
    fn a_range_that_lies_across_a_limit_is_unknown() {
        let range = Fact::Number(58.0, 62.0);
        assert_eq!(range.is(&Wanted::AtLeast(58.0)), Truth::Yes);
        assert_eq!(range.is(&Wanted::AtLeast(60.0)), Truth::Unknown);
        assert_eq!(range.is(&Wanted::AtLeast(62.1)), Truth::No);
        assert_eq!(range.is(&Wanted::Above(62.0)), Truth::No);
        assert_eq!(range.is(&Wanted::AtMost(62.0)), Truth::Yes);
        assert_eq!(range.is(&Wanted::Under(58.0)), Truth::No);
        assert_eq!(Fact::Number(f64::NEG_INFINITY, 5.0).is(&Wanted::Above(5.0)), Truth::No);
    }
}
