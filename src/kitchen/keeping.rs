//! What follows from how a make is kept: whether it spoils, whether it is kept cold, what its label says.

use crate::quantity::Exact;
use crate::recipe::{FoodLaw, Keeping, Mark, ProductKind, Recipe, words_in};
use crate::reference::Reference;

/// What keeps a make cold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cold {
    /// A fridge.
    Fridge,
    /// A freezer.
    Freezer,
}

impl Cold {
    /// `fridge` or `freezer`: also the id of the fact that says how cold it is.
    pub fn name(self) -> &'static str {
        match self {
            Cold::Fridge => "fridge",
            Cold::Freezer => "freezer",
        }
    }
}

const FRIDGE: &[&str] = &["fridge", "refrigerator", "refrigerated", "chilled", "chiller"];
const FREEZER: &[&str] = &["freezer", "frozen"];

/// What the words about a place say of cold: "covered in the fridge". Where both are named the fridge, which is less
/// cold; nothing where the words take it back: "not in the fridge".
pub fn cold(place: &str) -> Option<Cold> {
    let lower = place.to_lowercase();
    let words: Vec<&str> = words_in(&lower).collect();
    let named = |list: &[&str]| {
        words.iter().enumerate().any(|(at, word)| {
            let before = &words[at.saturating_sub(3)..at];
            let denied = before.iter().any(|word| matches!(*word, "not" | "never" | "without"));
            list.contains(word) && !denied && !before.windows(2).any(|pair| pair == ["out", "of"])
        })
    };
    if named(FRIDGE) {
        return Some(Cold::Fridge);
    }
    named(FREEZER).then_some(Cold::Freezer)
}

/// Whether a make spoils: something in it does, and it is neither baked dry nor boiled with sugar.
pub fn is_perishable(recipe: &Recipe, reference: &Reference) -> bool {
    let rows = recipe.ingredients.iter().filter_map(|one| one.pantry);
    !keeps_by_itself(recipe) && rows.into_iter().any(|row| reference.pantry.get(row).perishable)
}

/// Baked dry, or boiled with sugar.
pub(super) fn keeps_by_itself(recipe: &Recipe) -> bool {
    matches!(recipe.kind, Some(ProductKind::Bread | ProductKind::Jam))
}

/// Whether what its author says of acid or free water puts it among the foods that the US Food Code takes for safe from
/// germs that make ill even when not heated or packed: pH under 4.2, or water activity under 0.88. Source: Food Code, table
/// B in its definition of time/temperature control for safety.
pub fn is_sour_or_dry(keeping: &Keeping) -> bool {
    let under = |limit: &Option<crate::recipe::Limit>, most: Exact| {
        limit.as_ref().and_then(|limit| limit.most()).is_some_and(|value| value < most)
    };
    under(&keeping.ph, Exact::new(42, 10)) || under(&keeping.aw, Exact::new(88, 100))
}

/// Whether law sets "use by" before the date of what is highly perishable. Source: Regulation (EU) No 1169/2011, Article
/// 24, which the UK kept.
pub fn law_sets_use_by(law: FoodLaw) -> bool {
    matches!(law, FoodLaw::Uk | FoodLaw::Scotland | FoodLaw::Eu)
}

/// What stands before the date on a label: what its author says; else "use by" for what spoils or is kept in the fridge,
/// unless it is bread or jam; else "best before".
pub fn label_mark(recipe: &Recipe, keeping: &Keeping, reference: &Reference) -> Mark {
    let cold = cold(&keeping.place.text);
    let needs_cold = cold == Some(Cold::Fridge) && !keeps_by_itself(recipe);
    let spoils = needs_cold || is_perishable(recipe, reference) && cold != Some(Cold::Freezer);
    keeping.mark.unwrap_or(if spoils { Mark::UseBy } else { Mark::BestBefore })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_about_a_place_say_what_keeps_it_cold() {
        for (place, expected) in [
            ("covered in the fridge", Some(Cold::Fridge)),
            ("in the Fridge once it is open", Some(Cold::Fridge)),
            ("well wrapped in the freezer", Some(Cold::Freezer)),
            ("in a bag with the air pressed out, in the freezer", Some(Cold::Freezer)),
            ("frozen, then thawed in the fridge", Some(Cold::Fridge)),
            ("on a shelf, not in the fridge", None),
            ("out of the fridge", None),
            ("in a cold larder", None),
            ("in a cool, dark cupboard", None),
        ] {
            assert_eq!(cold(place), expected, "{place}");
        }
    }
}
