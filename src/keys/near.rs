//! Words that look alike, for "did you mean".

/// The candidate that a misspelt word most likely means; the first of equals.
pub(crate) fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let limit = match word.chars().count() {
        0..=2 => 0,
        3..=4 => 1,
        5..=8 => 2,
        _ => 3,
    };
    nearest_within(word, limit, candidates)
}

/// The nearest candidate that is at most `limit` slips away; the first of equals.
pub(crate) fn nearest_within<'a>(
    word: &str,
    limit: usize,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let word = word.to_lowercase();
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let apart = distance(&word, &candidate.to_lowercase());
        if apart <= limit && best.is_none_or(|(least, _)| apart < least) {
            best = Some((apart, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// How many letters must be added, dropped, changed or swapped with their neighbour to make one word the other.
pub(crate) fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i];
        for j in 1..=b.len() {
            let change = last[j - 1] + usize::from(a[i - 1] != b[j - 1]);
            let mut least = change.min(last[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                least = least.min(before[j - 2] + 1);
            }
            row.push(least);
        }
        before = std::mem::replace(&mut last, row);
    }
    last[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_swap_counts_as_one_slip() {
        assert_eq!(distance("recpie", "recipe"), 1);
        assert_eq!(distance("steps", "step"), 1);
        assert_eq!(distance("", "step"), 4);
    }

    #[test]
    fn short_words_must_be_nearly_right() {
        assert_eq!(nearest("mlik", ["salt", "milk"]), Some("milk"));
        assert_eq!(nearest("oil", ["salt", "milk"]), None);
        assert_eq!(nearest("to", ["at"]), None);
    }
}
