//! What is said of how a make is kept, the same on pages, on paper and on labels.

use crate::quantity::print;
use crate::recipe::{Keeping, Limit, Mark, Pack};
use crate::reference::Reference;

/// How it is packed, how sour it is, what stands before its date, as far as the words about the place do not say it.
pub(super) fn more_words(keeping: &Keeping, reference: &Reference) -> Vec<String> {
    let mut words: Vec<String> = packed_words(keeping).map(str::to_owned).into_iter().collect();
    words.extend(figures(keeping, reference));
    words.extend(keeping.mark.map(|mark| format!("label “{}”", mark_words(mark))));
    words
}

/// How sour it is and how much of its water is free.
fn figures(keeping: &Keeping, reference: &Reference) -> Vec<String> {
    let units = &reference.units;
    let said = |name: &str, limit: &Option<Limit>| {
        limit.as_ref().map(|limit| format!("{name} {}", print::amount(&limit.amount, units, units.style())))
    };
    [said("pH", &keeping.ph), said("water activity", &keeping.aw)].into_iter().flatten().collect()
}

/// How it is packed, unless the words about the place say so: "under its brine in the fridge".
pub(super) fn packed_words(keeping: &Keeping) -> Option<&'static str> {
    let place = keeping.place.text.to_lowercase();
    let (words, telling): (&str, &[&str]) = match keeping.pack? {
        Pack::Open => ("open to the air", &["open", "wrapped", "cloth", "towel", "covered"]),
        Pack::Lidded => ("lidded", &["lid", "jar", "tub", "tin"]),
        Pack::SealedJar => ("in a sealed jar", &["sealed"]),
        Pack::Vacuum => ("vacuum packed", &["vacuum"]),
        Pack::UnderOil => ("under oil", &["oil"]),
        Pack::UnderBrine => ("under brine", &["brine"]),
    };
    (!telling.iter().any(|word| place.contains(word))).then_some(words)
}

/// `use by` or `best before`.
pub(super) fn mark_words(mark: Mark) -> &'static str {
    match mark {
        Mark::UseBy => "use by",
        Mark::BestBefore => "best before",
    }
}
