//! What the pantry says about allergens, in the words of the food law that holds for the course.
//!
//! Names: Regulation (EU) No 1169/2011, Annex II; for the US the Food Allergen Labeling and Consumer Protection Act of
//! 2004 with the FASTER Act of 2021. Nothing here says that a food is free of anything.

use super::view::{AllergenNoteView, AllergensView};
use crate::recipe::{FoodLaw, Recipe};
use crate::reference::{EU_ALLERGENS, PantryEntry, Reference, US_ALLERGENS};

/// The allergens of one ingredient, in words.
pub(super) fn of_entry(entry: &PantryEntry, law: FoodLaw) -> Vec<String> {
    law.allergens(entry).iter().map(|id| name(id)).collect()
}

/// The allergens of a whole recipe, each once, in the order of the ingredients.
pub(super) fn of_recipe(recipe: &Recipe, reference: &Reference, law: FoodLaw) -> AllergensView {
    let mut names: Vec<String> = Vec::new();
    let mut notes = Vec::new();
    for ingredient in &recipe.ingredients {
        let Some(entry) = ingredient.pantry.map(|index| reference.pantry.get(index)) else {
            continue;
        };
        for allergen in of_entry(entry, law) {
            if !names.contains(&allergen) {
                names.push(allergen);
            }
        }
        if let Some(note) = &entry.allergens_note {
            notes.push(AllergenNoteView { ingredient: ingredient.name.clone(), note: note.clone() });
        }
    }
    let may = recipe.may_contain.iter().map(|id| name(own_id(id, law))).filter(|one| !names.contains(one));
    AllergensView { list: list_of(law).0, foreign: is_foreign(law), may: may.collect(), names, notes }
}

/// Whose list names the allergens, in words, and its ids.
pub(super) fn list_of(law: FoodLaw) -> (&'static str, &'static [&'static str]) {
    match law {
        FoodLaw::Us => ("US", &US_ALLERGENS),
        FoodLaw::Uk | FoodLaw::Scotland | FoodLaw::Eu => ("UK and EU", &EU_ALLERGENS),
        FoodLaw::Au | FoodLaw::Other => ("EU", &EU_ALLERGENS),
    }
}

/// Whether that list is another place's than the author's own.
pub(super) fn is_foreign(law: FoodLaw) -> bool {
    matches!(law, FoodLaw::Au | FoodLaw::Other)
}

/// An author may name what may be in a make by either list: the id of the same thing on the list of their law, where it
/// has one. Wheat is one of the cereals containing gluten; what contains gluten need not be wheat.
fn own_id(id: &str, law: FoodLaw) -> &str {
    const PAIRS: [(&str, &str); 3] =
        [("crustaceans", "crustacean-shellfish"), ("nuts", "tree-nuts"), ("soya", "soybeans")];
    let pair = PAIRS.iter().find(|(eu, us)| *eu == id || *us == id);
    match (pair, law) {
        (Some((_, us)), FoodLaw::Us) => us,
        (Some((eu, _)), _) => eu,
        (None, FoodLaw::Us) => id,
        (None, _) if id == "wheat" => "gluten",
        (None, _) => id,
    }
}

/// In the words of the law.
pub(super) fn name(id: &str) -> String {
    match id {
        "gluten" => "cereals containing gluten".to_owned(),
        "sulphites" => "sulphur dioxide and sulphites".to_owned(),
        other => other.replace('-', " "),
    }
}
