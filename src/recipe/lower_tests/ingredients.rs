//! Ingredients: their names, the pantry, bare numbers and pieces.

use super::*;

#[test]
fn a_word_that_the_pantry_does_not_know_may_make_another_thing_of_it() {
    let help = |name: &str| {
        let found = changed("fresh whole milk", name)
            .sink
            .iter()
            .next()
            .map(|one| (one.help.clone().unwrap_or_default(), one.suggestions.len()));
        found.unwrap_or_else(|| panic!("{name}"))
    };
    // A cup of teff weighs more than one of wheat flour (about 160 g to 125 g, from memory), and holds no gluten.
    for (name, known) in [("teff flour", "flour"), ("reindeer milk", "milk"), ("very cold reindeer milk", "milk")] {
        let (help, edits) = help(name);
        assert!(help.contains(&format!("a kind of `{known}`")) && !help.contains("did you mean"), "{name}: {help}");
        assert_eq!(edits, 0, "{name}");
    }
    for (name, known) in [("very cold whole milk", "whole milk"), ("nice fresh whole milk", "whole milk")] {
        let (help, edits) = help(name);
        assert_eq!((help.as_str(), edits), (format!("did you mean `{known}`?").as_str(), 1), "{name}");
    }
}

#[test]
fn ingredients_must_be_in_the_pantry() {
    slip_with_help("whole milk", "whole mlik", "unknown-ingredient", "fresh whole mlik", "did you mean");
    let lowered = changed("fine salt", "moon dust");
    let found = lowered.sink.iter().next().unwrap();
    assert_eq!(found.message, "`moon dust` is not in the pantry");
    assert!(found.notes[0].contains("id = \"moon-dust\""));
    let own = "[[ingredient]]\nid = \"moon-dust\"\nname = \"moon dust\"\nallergens = []\nallergens-us = []\nkeeping = \"dry\"\nperishable = false\n";
    let text = lesson(RECIPE, STEPS).replace("fine salt", "moon dust");
    assert_eq!(lower(&[COURSE, ("pantry.toml", own), ("01-bread/lesson.md", &text)]).findings(), []);
}

#[test]
fn a_bare_number_of_what_is_never_counted_is_refused() {
    for (line, number) in [
        ("4 whole milk", "4"),
        ("2 cold water", "2"),
        ("500 strong white flour", "500"),
        ("3 fine salt", "3"),
        ("½ honey", "½"),
        ("1–2 cider vinegar", "1–2"),
    ] {
        let lowered = changed("\"4 L fresh whole milk, not homogenised\"", &format!("\"{line}\""));
        assert_eq!(lowered.findings(), [("wrong-kind", number)], "{line}");
        let found = lowered.sink.iter().next().unwrap();
        assert!(found.message.starts_with(&format!("{number} of what?")), "{}", found.message);
        let unit = if number == "500" { "g" } else { "kg" };
        let help = format!("write the unit after the number, such as `{number} {unit}`");
        assert!(lowered.helps()[0].starts_with(&help), "{}", lowered.helps()[0]);
    }
    for counted in ["2 eggs", "3 lemons", "4 L water", "1 basil", "2 live yoghurt"] {
        let lowered = changed("\"4 L fresh whole milk, not homogenised\"", &format!("\"{counted}\""));
        assert_eq!(lowered.findings(), [], "{counted}");
    }
}

#[test]
fn the_word_for_a_piece_is_part_of_the_name() {
    for (line, name, entry) in [
        ("4 cloves garlic", "cloves garlic", "garlic"),
        ("4 large cloves of garlic", "large cloves of garlic", "garlic"),
        ("2 heads dill", "heads dill", "dill"),
        ("3 sprigs fresh rosemary", "sprigs fresh rosemary", "rosemary"),
        ("2 bunches of basil", "bunches of basil", "basil"),
        ("4 cloves", "cloves", "cloves"),
    ] {
        let lowered = changed("\"4 L fresh whole milk, not homogenised\"", &format!("\"{line}\""));
        assert_eq!(lowered.findings(), [], "{line}");
        let milk = &lowered.course.lessons[0].recipe.as_ref().unwrap().ingredients[0];
        assert_eq!((milk.name.as_str(), milk.amount.is_some()), (name, true));
        let reference = Reference::built_in(crate::quantity::Home::Us);
        assert_eq!(milk.pantry, reference.pantry.find(entry), "{line}");
    }
    slip("\"4 L fresh whole milk", "\"4 sticks wood", "unknown-ingredient", "wood");
}
