//! What the pantry says about allergens, in the words of the law that holds where the author teaches.
//!
//! Names: Regulation (EU) No 1169/2011, Annex II; for the US the Food Allergen Labeling and Consumer Protection Act of
//! 2004 with the FASTER Act of 2021. Nothing here says that a food is free of anything.

use super::view::{AllergenNoteView, AllergensView};
use crate::quantity::Home;
use crate::recipe::Recipe;
use crate::reference::{EU_ALLERGENS, PantryEntry, Reference, US_ALLERGENS};

/// The allergens of one ingredient, in words.
pub(super) fn of_entry(entry: &PantryEntry, home: Home) -> Vec<String> {
    let ids = if home == Home::Us { &entry.allergens_us } else { &entry.allergens };
    ids.iter().map(|id| name(id)).collect()
}

/// The allergens of a whole recipe, each once, in the order of the ingredients.
pub(super) fn of_recipe(recipe: &Recipe, reference: &Reference, home: Home) -> AllergensView {
    let mut names: Vec<String> = Vec::new();
    let mut notes = Vec::new();
    for ingredient in &recipe.ingredients {
        let Some(entry) = ingredient.pantry.map(|index| reference.pantry.get(index)) else {
            continue;
        };
        for allergen in of_entry(entry, home) {
            if !names.contains(&allergen) {
                names.push(allergen);
            }
        }
        if let Some(note) = &entry.allergens_note {
            notes.push(AllergenNoteView { ingredient: ingredient.name.clone(), note: note.clone() });
        }
    }
    let may = recipe.may_contain.iter().map(|id| name(own_id(id, home))).filter(|one| !names.contains(one));
    AllergensView { list: list_of(home).0, foreign: is_foreign(home), may: may.collect(), names, notes }
}

/// Whose list names the allergens where the author teaches, in words, and its ids.
pub(super) fn list_of(home: Home) -> (&'static str, &'static [&'static str]) {
    match home {
        Home::Us => ("US", &US_ALLERGENS),
        Home::Uk => ("UK and EU", &EU_ALLERGENS),
        Home::Au | Home::Nz | Home::Ca => ("EU", &EU_ALLERGENS),
    }
}

/// Whether that list is another place's than the author's own.
pub(super) fn is_foreign(home: Home) -> bool {
    matches!(home, Home::Au | Home::Nz | Home::Ca)
}

/// An author may name what may be in a make by either list: the id of the same thing on the list of their home, where it
/// has one. Wheat is one of the cereals containing gluten; what contains gluten need not be wheat.
fn own_id(id: &str, home: Home) -> &str {
    const PAIRS: [(&str, &str); 3] =
        [("crustaceans", "crustacean-shellfish"), ("nuts", "tree-nuts"), ("soya", "soybeans")];
    let pair = PAIRS.iter().find(|(eu, us)| *eu == id || *us == id);
    match (pair, home) {
        (Some((_, us)), Home::Us) => us,
        (Some((eu, _)), _) => eu,
        (None, Home::Us) => id,
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
