//! Whether all words of a text are in print.

use super::pdf::Word;
use std::collections::BTreeMap;

/// Pieces of words as a line's end may cut them: after a hyphen or a dash.
pub fn pieces(word: &str) -> impl Iterator<Item = &str> {
    word.split_inclusive(['-', '–'])
}

/// Pieces of words that are not there as often as they should be. A very long word, which may be cut anywhere, is
/// looked for in the text as a whole.
pub fn missing<'a>(wanted: &[String], there: impl Iterator<Item = &'a Word>) -> Vec<String> {
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    let mut whole = String::new();
    for word in there {
        whole.push_str(&word.text);
        pieces(&word.text).for_each(|piece| *counts.entry(piece.to_owned()).or_default() += 1);
    }
    let mut lacks = |piece: &&str| match counts.get_mut(*piece) {
        Some(count) if *count > 0 => {
            *count -= 1;
            false
        }
        _ => piece.chars().count() < 30 || !whole.contains(*piece),
    };
    wanted.iter().flat_map(|word| pieces(word)).filter(|piece| lacks(piece)).map(str::to_owned).collect()
}
