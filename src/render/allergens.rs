//! What the pantry says about allergens, in the words of the law that holds where the author teaches.
//!
//! Names: Regulation (EU) No 1169/2011, Annex II; for the US the Food Allergen Labeling and Consumer Protection Act of
//! 2004 with the FASTER Act of 2021. Nothing here says that a food is free of anything.

use super::view::{AllergenNoteView, AllergensView};
use crate::quantity::Home;
use crate::recipe::Recipe;
use crate::reference::{PantryEntry, Reference};

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
    let list = match home {
        Home::Us => "US",
        Home::Uk => "UK and EU",
        Home::Au | Home::Nz | Home::Ca => "EU",
    };
    let foreign = matches!(home, Home::Au | Home::Nz | Home::Ca);
    AllergensView { list, foreign, names, notes }
}

fn name(id: &str) -> String {
    match id {
        "gluten" => "cereals containing gluten".to_owned(),
        "sulphites" => "sulphur dioxide and sulphites".to_owned(),
        other => other.replace('-', " "),
    }
}
