//! Tests of lowering: courses held in memory, findings by code and by the words they point at.

use super::*;
use crate::input::LessonFile;
use crate::quantity::{Dimension, Exact};
use crate::recipe::{Mark, MeasureId, Owner, Pack, PartAmount, ProductKind, SumKind};
use crate::reference::BUILT_IN;

struct Lowered {
    project: Project,
    course: Course,
    sink: Diagnostics,
}

/// A course from paths and texts; anything that is neither Markdown nor TOML is a picture.
fn lower(files: &[(&str, &str)]) -> Lowered {
    let mut project = Project::default();
    for (path, text) in BUILT_IN {
        project.sources.add(*path, text);
    }
    for (path, text) in files {
        if !path.ends_with(".md") && !path.ends_with(".toml") {
            project.pictures.insert((*path).to_owned(), text.as_bytes().to_vec());
            continue;
        }
        let file = project.sources.add(*path, text);
        match *path {
            "course.toml" => project.course = Some(file),
            "pantry.toml" => project.pantry = Some(file),
            "facts.toml" => project.facts = Some(file),
            "glossary.md" => project.glossary = Some(file),
            _ => {
                let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder).to_owned();
                let slug = folder.trim_start_matches(|c: char| c.is_ascii_digit()).trim_start_matches('-').to_owned();
                project.lessons.push(LessonFile { slug, folder, file, captions: Vec::new() });
            }
        }
    }
    let mut sink = Diagnostics::default();
    let (course, _) = lower_course(&project, &mut sink);
    Lowered { project, course, sink: sink.sorted() }
}

impl Lowered {
    fn findings(&self) -> Vec<(&'static str, &str)> {
        self.sink.iter().map(|found| (found.code.name(), self.project.sources.text(found.primary.span))).collect()
    }

    fn helps(&self) -> Vec<&str> {
        self.sink.iter().filter_map(|found| found.help.as_deref()).collect()
    }

    fn measure(&self, path: &str) -> &Measure {
        let found = self.course.measures.iter().find(|measure| measure.path == path);
        found.unwrap_or_else(|| panic!("no measure {path}"))
    }
}

const COURSE: (&str, &str) =
    ("course.toml", "title = \"Hall\"\nsummary = \"Two evenings.\"\nhome = \"us\"\nlanguage = \"en-US\"\n");

const RECIPE: &str = r#"makes    = "8 flatbreads"
leaves   = { whey = "3.2–3.4 L sweet whey", crumbs = "about 20 g" }
scale-by = "milk"
keeps    = [{ where = "in the fridge", for = "4 days", at = "at most 5 °C" }, { what = "whey", where = "in a tub", for = "3 days" }]

[ingredients]
milk  = "4 L fresh whole milk, not homogenised"
lemon = { amount = "120 mL of lemon juice", note = "strained" }
salt  = { amount = "9 g fine salt", share = "1.5 % of flatbreads" }
egg   = "2 large eggs"

[equipment]
pot   = { name = "heavy pot", holds = "6 L", size = "24 cm", count = 2 }
cloth = "cheesecloth"
"#;

const STEPS: &str = r#"## Heat it

```step
id    = "heat"
add   = ["milk", { salt = "half", egg = 1, lemon = "50 mL" }]
in    = ["pot", "cloth"]
from  = "20 °C"
to    = "92 °C"
at    = "90–92 °C"
for   = "10 min"
takes = "20–25 min"
hands = "on"
until = "clear whey"
way   = "pan"
measures = { cut = "2.5 cm" }
```

Words.

```rescue
sign = "It catches"
do   = "Do not scrape."
```

## Cool it

```step
add   = { salt = "rest", lemon = "7/12", egg = "all" }
after = ["heat"]
while = "heat"
hands = "off"
```
"#;

fn lesson(recipe: &str, steps: &str) -> String {
    format!("# Bread\n\n```lesson\nsession = \"3 h\"\n```\n\n```recipe\n{recipe}```\n\n{steps}")
}

/// The findings of a lesson whose recipe or steps have one thing changed.
fn changed(from: &str, to: &str) -> Lowered {
    let text = lesson(RECIPE, STEPS);
    assert!(text.contains(from), "{from}");
    lower(&[COURSE, ("01-bread/lesson.md", &text.replacen(from, to, 1))])
}

/// Asserts the one finding of a lesson that has one thing changed.
fn slip(from: &str, to: &str, code: &str, words: &str) -> Lowered {
    let lowered = changed(from, to);
    assert_eq!(lowered.findings(), [(code, words)], "{to}: {:?}", lowered.sink);
    lowered
}

/// As [`slip`], with a remedy that must be offered.
fn slip_with_help(from: &str, to: &str, code: &str, words: &str, help: &str) {
    let lowered = slip(from, to, code, words);
    assert!(lowered.helps().iter().any(|other| other.contains(help)), "{to}: {:?}", lowered.helps());
}

#[test]
fn a_rich_lesson_gives_no_finding() {
    let lowered = lower(&[COURSE, ("01-bread/lesson.md", &lesson(RECIPE, STEPS))]);
    assert_eq!(lowered.findings(), []);
    assert_eq!(lowered.course.language, "en-US");
    for (path, words) in [
        ("bread.session", "3 h"),
        ("bread.makes", "8"),
        ("bread.leaves.whey", "3.2–3.4 L"),
        ("bread.leaves.crumbs", "about 20 g"),
        ("bread.keeps.1.at", "at most 5 °C"),
        ("bread.keeps.2.for", "3 days"),
        ("bread.ingredients.milk", "4 L"),
        ("bread.ingredients.lemon", "120 mL"),
        ("bread.ingredients.salt.share", "1.5 %"),
        ("bread.equipment.pot.holds", "6 L"),
        ("bread.equipment.pot.size", "24 cm"),
        ("bread.equipment.pot.count", "2"),
        ("bread.steps.heat.at", "90–92 °C"),
        ("bread.steps.heat.from", "20 °C"),
        ("bread.steps.heat.measures.cut", "2.5 cm"),
        ("bread.steps.heat.add.salt", "half"),
        ("bread.steps.heat.add.egg", "1"),
        ("bread.steps.cool-it.add.lemon", "7/12"),
        ("facts.fridge", "at most 5 °C"),
    ] {
        assert_eq!(lowered.project.sources.text(lowered.measure(path).span), words, "{path}");
    }
}

#[test]
fn the_model_says_what_the_blocks_say() {
    let lowered = lower(&[COURSE, ("01-bread/lesson.md", &lesson(RECIPE, STEPS))]);
    let lesson = &lowered.course.lessons[0];
    let recipe = lesson.recipe.as_ref().unwrap();
    assert_eq!(recipe.makes.as_ref().unwrap().name, "flatbreads");
    assert_eq!(recipe.leaves[0].name, "sweet whey");
    assert_eq!(recipe.leaves[1].name, "crumbs");
    assert_eq!(recipe.scale_by, Some(0));
    let names: Vec<&str> = recipe.ingredients.iter().map(|thing| thing.name.as_str()).collect();
    assert_eq!(names, ["fresh whole milk", "lemon juice", "fine salt", "large eggs"]);
    assert!(recipe.ingredients.iter().all(|thing| thing.pantry.is_some()));
    assert_eq!(recipe.ingredients[2].share.as_ref().unwrap().1, "flatbreads");
    assert_eq!(recipe.equipment[1].name.text, "cheesecloth");
    let [heat, cool] = &lesson.steps[..] else { panic!("two steps") };
    assert_eq!((heat.id.as_str(), cool.id.as_str()), ("heat", "cool-it"));
    assert_eq!((heat.hands_on, cool.hands_on), (Some(true), Some(false)));
    assert_eq!((cool.beside, &cool.after[..]), (Some(0), &[0][..]));
    assert_eq!(heat.vessels, [0, 1]);
    assert_eq!(heat.add[0].amount, PartAmount::All);
    let PartAmount::Fraction(half, id) = heat.add[1].amount else { panic!("not a fraction") };
    assert_eq!(half, Exact::new(1, 2));
    assert_eq!(lowered.course.measure(id).amount.dimension(), Dimension::Share);
    assert!(matches!(heat.add[2].amount, PartAmount::Amount(MeasureId(_))));
    assert_eq!(cool.add[0].amount, PartAmount::Rest);
    assert!(matches!(cool.add[1].amount, PartAmount::Fraction(part, _) if part == Exact::new(7, 12)));
    assert_eq!(cool.add[2].amount, PartAmount::All);
}

#[test]
fn a_step_names_what_it_pasteurises() {
    let lowered = changed("hands = \"on\"\n", "hands = \"on\"\npasteurises = [\"milk\", \"egg\"]\n");
    assert_eq!(lowered.findings(), []);
    let claimed = &lowered.course.lessons[0].steps[0].pasteurises;
    assert_eq!(claimed.iter().map(|one| one.ingredient).collect::<Vec<_>>(), [0, 3]);
    assert_eq!(lowered.project.sources.text(claimed[1].span), "egg");
    slip("hands = \"on\"\n", "hands = \"on\"\npasteurises = \"mlik\"\n", "unknown-name", "mlik");
}

#[test]
fn a_share_says_how_it_is_to_be_understood() {
    let basis = |share: &str| {
        let recipe = RECIPE.replace("egg   = ", "water = \"1 L water\"\negg   = ");
        let text = lesson(&recipe.replace("1.5 % of flatbreads", share), STEPS);
        let lowered = lower(&[COURSE, ("01-bread/lesson.md", &text)]);
        assert_eq!(lowered.findings(), [], "{share}");
        let salt = &lowered.course.lessons[0].recipe.as_ref().unwrap().ingredients[2];
        (salt.share_basis, salt.share.as_ref().unwrap().1.clone())
    };
    use crate::recipe::ShareBasis::{ByVolume, Part, Unsaid};
    assert_eq!(basis("5 % of brine"), (Part, "brine".to_owned()));
    assert_eq!(basis("5 % w/w of brine"), (Part, "brine".to_owned()));
    assert_eq!(basis("5 % w/v of brine"), (ByVolume, "brine".to_owned()));
    assert_eq!(basis("5 % brine"), (Unsaid, "brine".to_owned()));
}

#[test]
fn a_dose_and_a_strength_are_read() {
    let with = |keys: &str| {
        changed("salt  = { amount = \"9 g fine salt\"", &format!("salt  = {{ amount = \"9 g fine salt\", {keys}"))
    };
    let lowered = with("dose = \"2.25 g per litre of milk\", strength = \"1000 IMCU per g\"");
    assert_eq!(lowered.findings(), []);
    let salt = &lowered.course.lessons[0].recipe.as_ref().unwrap().ingredients[2];
    let strength = salt.strength.unwrap();
    assert_eq!((strength.imcu, strength.per), (Exact::whole(1000), Dimension::Mass));
    assert_eq!(salt.dose.as_ref().unwrap().1, "milk");
    let dose = lowered.measure("bread.ingredients.salt.dose");
    assert_eq!(dose.amount.per.unwrap().quantity.base(), Exact::whole(1000));
    assert_eq!(with("dose = \"2 g of milk\"").findings(), [("bad-amount", "2 g")]);
    assert_eq!(with("strength = \"single\"").findings(), [("bad-amount", "single")]);
}

#[test]
fn a_dilution_is_read() {
    let with = |keys: &str| changed("lemon = { amount", &format!("lemon = {{ diluted = {keys}, amount"));
    let lowered = with("{ from = \"70 %\", to = \"40 %\", with = \"water\" }");
    assert_eq!(lowered.findings(), []);
    let diluted = lowered.course.lessons[0].recipe.as_ref().unwrap().ingredients[1].diluted.clone().unwrap();
    assert_eq!(
        (diluted.with.as_str(), lowered.course.measure(diluted.to).path.as_str()),
        ("water", "bread.ingredients.lemon.diluted.to")
    );
    assert_eq!(with("{ from = \"70 g\", to = \"40 %\", with = \"water\" }").findings(), [("wrong-kind", "70 g")]);
    assert_eq!(with("{ from = \"70 %\", to = \"40 %\" }").findings(), [("missing-key", "diluted")]);
}

#[test]
fn a_kit_is_read() {
    let with = |kit: &str| changed("scale-by = \"milk\"", &format!("scale-by = \"milk\"\nkit = {kit}"));
    let lowered = with("{ batches = 4, packs = { salt = \"40 g\", egg = 8 } }");
    assert_eq!(lowered.findings(), []);
    let kit = lowered.course.lessons[0].recipe.as_ref().unwrap().kit.clone().unwrap();
    assert_eq!(kit.packs.iter().map(|(item, _)| *item).collect::<Vec<_>>(), [2, 3]);
    assert_eq!(lowered.measure("bread.kit.batches").amount.low.quantity.base(), Exact::whole(4));
    assert_eq!(with("{ batches = 4, packs = { slat = \"40 g\" } }").findings(), [("unknown-name", "slat")]);
    assert_eq!(with("{ packs = { salt = \"40 g\" } }").findings(), [("missing-key", "kit")]);
}

#[test]
fn texts_of_blocks_stand_among_the_others_in_order() {
    let lowered = lower(&[COURSE, ("01-bread/lesson.md", &lesson(RECIPE, STEPS))]);
    let runs = &lowered.course.lessons[0].runs;
    let texts: Vec<(&str, Option<usize>)> = runs.iter().map(|run| (run.text.text.as_str(), run.step)).collect();
    assert_eq!(
        texts,
        [
            ("Bread", None),
            ("in the fridge", None),
            ("whey", None),
            ("in a tub", None),
            ("not homogenised", None),
            ("strained", None),
            ("heavy pot", None),
            ("cheesecloth", None),
            ("Heat it", Some(0)),
            ("clear whey", Some(0)),
            ("pan", Some(0)),
            ("Words.", Some(0)),
            ("It catches", Some(0)),
            ("Do not scrape.", Some(0)),
            ("Cool it", Some(1)),
        ]
    );
    assert_eq!(lowered.course.runs.len(), 2, "title and summary");
}

#[test]
fn unknown_keys_are_named_with_what_was_meant() {
    slip_with_help("takes =", "taeks =", "unknown-key", "taeks", "did you mean `takes`?");
    slip_with_help("hands = \"on\"", "colour = \"on\"", "unknown-key", "colour", "its keys are `id`, `add`");
    slip_with_help("[ingredients]", "[ingrediants]", "unknown-key", "ingrediants", "`ingredients`");
    slip_with_help("makes ", "make ", "unknown-key", "make", "`makes`");
    slip("holds =", "hold =", "unknown-key", "hold");
    slip("note =", "notes =", "unknown-key", "notes");
    slip("sign =", "sing =", "unknown-key", "sing");
    slip("at = \"at most 5 °C\" }", "temp = \"at most 5 °C\" }", "unknown-key", "temp");
}

#[test]
fn a_key_that_a_cook_would_call_otherwise_is_found_by_its_sense() {
    slip_with_help(
        "for   = \"10 min\"",
        "time = \"10 min\"",
        "unknown-key",
        "time",
        "perhaps you mean `for` (must pass) or `takes` (usually takes)",
    );
    slip_with_help(
        "to    = \"92 °C\"",
        "temp = \"92 °C\"",
        "unknown-key",
        "temp",
        "perhaps you mean `to` (reached) or `at` (held)",
    );
    slip_with_help("makes    =", "yields =", "unknown-key", "yields", "did you mean `makes`?");
    slip_with_help("makes    =", "serves =", "unknown-key", "serves", "did you mean `makes`?");
    slip_with_help("holds = \"6 L\"", "capacity = \"6 L\"", "unknown-key", "capacity", "did you mean `holds`?");
}

#[test]
fn missing_keys_are_asked_for() {
    slip("makes    = \"8 flatbreads\"\n", "", "missing-key", "recipe");
    slip("sign = \"It catches\"\n", "", "missing-key", "rescue");
    slip("amount = \"120 mL of lemon juice\", ", "", "missing-key", "lemon");
    slip(
        "{ where = \"in the fridge\", for = \"4 days\", at = \"at most 5 °C\" }",
        "{ where = \"in the fridge\" }",
        "missing-key",
        "{ where = \"in the fridge\" }",
    );
}

#[test]
fn values_must_be_of_the_right_sort() {
    slip("to    = \"92 °C\"", "to    = 92", "wrong-type", "92");
    slip("hands = \"on\"", "hands = \"onn\"", "wrong-type", "onn");
    slip("hands = \"on\"", "hands = true", "wrong-type", "true");
    slip("keeps    = [{ where", "keeps    = [3, { where", "wrong-type", "3");
    slip("measures = { cut = \"2.5 cm\" }", "measures = \"2.5 cm\"", "wrong-type", "\"2.5 cm\"");
    slip("do   = \"Do not scrape.\"", "do = \" \"", "wrong-type", "\" \"");
    slip("egg   = \"2 large eggs\"", "egg = 2", "wrong-type", "2");
    slip("session = \"3 h\"", "session = \"3 h\"\nlearn = \"to bake\"", "wrong-type", "\"to bake\"");
    slip("id    = \"heat\"", "id = \"heat it\"", "wrong-type", "heat it");
}

#[test]
fn amounts_must_be_readable_and_of_the_right_kind() {
    slip_with_help("\"20–25 min\"", "\"20–25 mim\"", "bad-amount", "mim", "did you mean `min`?");
    slip("\"20–25 min\"", "\"soon\"", "bad-amount", "soon");
    slip("\"20–25 min\"", "\"20 min or so more\"", "bad-amount", "more");
    slip_with_help("to    = \"92 °C\"", "to    = \"88\"", "bad-amount", "88", "`88 °C`");
    slip_with_help("session = \"3 h\"", "session = \"90\"", "bad-amount", "90", "`90 min`");
    slip_with_help("9 g fine salt", "3 % fine salt", "wrong-kind", "3 %", "share = ");
    slip_with_help("9 g fine salt", "fine salt, 9 g", "bad-amount", "fine salt, 9 g", "first how much");
    slip_with_help("2 large eggs", "a few sprigs of dill", "bad-amount", "few", "`4 sprigs of dill`");
    slip_with_help("to    = \"92 °C\"", "to    = \"20 min\"", "wrong-kind", "20 min", "`takes`");
    slip_with_help("for   = \"10 min\"", "for   = \"90 °C\"", "wrong-kind", "90 °C", "`at`");
    slip("holds = \"6 L\"", "holds = \"6 min\"", "wrong-kind", "6 min");
    slip("count = 2", "count = \"2 L\"", "wrong-kind", "2 L");
    slip("count = 2", "count = -2", "bad-amount", "-2");
    slip("9 g fine salt", "9 min fine salt", "wrong-kind", "9 min");
    slip("1.5 % of flatbreads", "1.5 g of flatbreads", "wrong-kind", "1.5 g");
    slip("\"20–25 min\"", "\"25–20 min\"", "bad-amount", "25–20 min");
    slip("120 mL of lemon juice", "120–100 mL lemon juice", "bad-amount", "120–100 mL lemon juice");
    slip("1.5 % of flatbreads", "1.5 %", "bad-amount", "1.5 %");
    slip("\"8 flatbreads\"", "\"800 g\"", "bad-amount", "800 g");
    slip_with_help("4 L fresh whole milk", "4 litrs whole milk", "bad-amount", "litrs", "did you mean `litre`?");
    slip("{ salt = \"half\"", "{ salt = \"plenty\"", "bad-amount", "plenty");
    slip("{ salt = \"half\"", "{ salt = \"2\"", "wrong-kind", "2");
}

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

#[test]
fn a_recipe_has_named_measures_of_its_own() {
    let lowered = changed("scale-by = \"milk\"", "measures = { loaf = \"900 g\", round = \"20 cm\" }");
    assert_eq!(lowered.findings(), []);
    let loaf = lowered.measure("bread.measures.loaf");
    assert_eq!((loaf.owner, loaf.amount.dimension()), (Owner::Named { lesson: 0 }, Dimension::Mass));
    let recipe = lowered.course.lessons[0].recipe.as_ref().unwrap();
    assert_eq!(recipe.measures.keys().collect::<Vec<_>>(), ["loaf", "round"]);
    slip("scale-by = \"milk\"", "measures = { loaf = \"big\" }", "bad-amount", "big");
}

#[test]
fn what_grows_with_the_batch_is_told_by_what_it_is_or_by_its_author() {
    let lowered = changed(
        "scale-by = \"milk\"",
        "scale-within = \"½–3\"\nstudents-per-batch = 2\nmeasures = { loaf = \"900 g\", spare = { amount = \"200 mL\", scales = true } }",
    );
    assert_eq!(lowered.findings(), []);
    let recipe = lowered.course.lessons[0].recipe.as_ref().unwrap();
    assert_eq!(recipe.scale_within, Some((Exact::new(1, 2), Exact::whole(3))));
    assert_eq!(recipe.students, Exact::whole(2));
    for (path, scales) in [
        ("bread.ingredients.milk", true),
        ("bread.makes", true),
        ("bread.measures.loaf", false),
        ("bread.measures.spare", true),
        ("bread.equipment.pot.holds", false),
    ] {
        assert_eq!(lowered.measure(path).scales, scales, "{path}");
    }
    slip("scale-by = \"milk\"", "students-per-batch = \"half\"", "bad-amount", "half");
    slip("scale-by = \"milk\"", "scale-within = \"2 L\"", "wrong-kind", "2 L");
    slip(
        "scale-by = \"milk\"",
        "measures = { loaf = { amount = \"900 g\", scales = \"no\" } }",
        "wrong-type",
        "\"no\"",
    );
    slip("scale-by = \"milk\"", "measures = { loaf = { scales = true } }", "missing-key", "loaf");
}

#[test]
fn an_ingredient_that_stays_has_parts_that_stay() {
    let lowered =
        changed("{ amount = \"120 mL of lemon juice\"", "{ scales = false, amount = \"120 mL of lemon juice\"");
    assert_eq!(lowered.findings(), []);
    for path in ["bread.ingredients.lemon", "bread.steps.heat.add.lemon", "bread.steps.cool-it.add.lemon"] {
        assert!(!lowered.measure(path).scales, "{path}");
    }
    assert!(lowered.measure("bread.steps.heat.add.salt").scales);
}

#[test]
fn names_must_be_in_the_lesson() {
    slip_with_help("add   = [\"milk\"", "add   = [\"mlik\"", "unknown-name", "mlik", "did you mean `milk`?");
    slip_with_help(
        "{ salt = \"half\"",
        "{ fine-salt = \"half\"",
        "unknown-name",
        "fine-salt",
        "`milk`, `lemon`, `salt` and `egg`",
    );
    slip_with_help(
        "{ salt = \"half\"",
        "\"milk, salt\", { salt = \"half\"",
        "unknown-name",
        "milk, salt",
        "`[\"milk\", \"salt\"]`",
    );
    slip_with_help("in    = [\"pot\"", "in    = [\"heavy pot\"", "unknown-name", "heavy pot", "did you mean `pot`?");
    slip("scale-by = \"milk\"", "scale-by = \"beer\"", "unknown-name", "beer");
    slip("while = \"heat\"", "while = \"heta\"", "unknown-name", "heta");
    slip("after = [\"heat\"]", "after = \"cool-it\"", "unknown-name", "cool-it");
    slip("1.5 % of flatbreads", "1.5 % of flour", "unknown-name", "flour");
    slip("what = \"whey\"", "what = \"wehy\"", "unknown-name", "wehy");
}

#[test]
fn ids_are_borne_once() {
    slip("[equipment]\n", "[equipment]\nmilk = \"jug\"\n", "duplicate-id", "milk");
    slip("add   = { salt = \"rest\"", "id = \"heat\"\nadd   = { salt = \"rest\"", "duplicate-id", "heat");
    slip("add   = [\"milk\"", "add   = [\"milk\", \"milk\"", "duplicate-id", "milk");
    slip("way   = \"pan\"", "way   = \"pan\"\nway = \"oven\"", "duplicate-id", "way");
    let text = lesson(RECIPE, STEPS);
    let lowered = lower(&[COURSE, ("01-bread/lesson.md", &text), ("02-bread/lesson.md", &text)]);
    assert_eq!(lowered.findings(), [("duplicate-id", "Bread")]);
}

#[test]
fn a_block_that_cannot_be_read_is_one_finding() {
    slip("makes    = \"8 flatbreads\"", "makes    = 8 flatbreads", "bad-toml", "8 flatbreads");
    slip("milk  = \"4 L fresh whole milk, not homogenised\"", "milk  = 4 L whole milk", "bad-toml", "4 L whole milk");
    slip(
        "pot   = {",
        "pot   {",
        "bad-toml",
        "pot   { name = \"heavy pot\", holds = \"6 L\", size = \"24 cm\", count = 2 }",
    );
    slip("id    = \"heat\"", "id    = heat", "bad-toml", "heat");
    slip("sign = \"It catches\"", "sign = It catches", "bad-toml", "It catches");
    slip("id    = \"heat\"", "idd = \"heat\"", "unknown-key", "idd");
    slip("leaves   = { whey =", "leaves   = { whey = \"lots\", brine =", "bad-amount", "lots");
    slip("```recipe\n", " ```recipe\n", "misplaced-block", "recipe");
}

#[test]
fn a_lost_table_or_block_does_not_echo_through_the_steps() {
    slip("[ingredients]", "ingredients]", "bad-toml", "ingredients]");
    slip("[equipment]", "[equipment", "bad-toml", "[equipment");
    let lowered = changed("```recipe", "```recpie");
    assert_eq!(lowered.findings(), [("unknown-block", "recpie"), ("unknown-name", "add")]);
    let lowered = changed("lemon = { amount", "lime = { amount");
    assert_eq!(lowered.findings(), [("unknown-name", "lemon")]);
    let related = &lowered.sink.iter().next().unwrap().related;
    assert_eq!(related.len(), 1, "the second place that names it");
    assert_eq!(lowered.project.sources.text(related[0].span), "lemon");
}

#[test]
fn course_settings_are_checked() {
    let text = lesson(RECIPE, STEPS);
    let settings = |toml: &str| lower(&[("course.toml", toml), ("01-bread/lesson.md", &text)]);
    assert_eq!(settings("home = \"uk\"\n").findings(), [("missing-key", "home = \"uk\"")]);
    assert_eq!(settings("title = Hall\n").findings(), [("bad-toml", "Hall")]);
    assert_eq!(settings("titel = \"Hall\"\n").findings(), [("unknown-key", "titel")]);
    assert_eq!(settings("title = \"Hall\"\nhome = \"fr\"\n").findings(), [("wrong-type", "fr")]);
    assert_eq!(settings("title = \"Hall\"\nlanguage = \"English!\"\n").findings(), [("wrong-type", "English!")]);
    let unknown = settings("title = \"Hall\"\nconventions = [\"ounce-25\", \"ounce-31.52\", \"elbow\"]\n");
    assert_eq!(unknown.findings(), [("unknown-name", "ounce-31.52"), ("unknown-name", "elbow")]);
    let help: Vec<&str> = unknown.sink.iter().filter_map(|found| found.help.as_deref()).collect();
    let others = "it is one of `fluid-ounce-31.25`, `ounce-25`, `ounce-31.25` and `pound-500`";
    assert_eq!(help, ["did you mean `ounce-31.25`?", others]);
    assert_eq!(settings("title = \"Hall\"\nconventions = \"ounce-25\"\n").findings(), [("wrong-type", "\"ounce-25\"")]);
    let paper = |line: &str| settings(&format!("title = \"Hall\"\n{line}\n"));
    for (line, want) in [
        ("address = \"http://hall.example/\"", ("wrong-type", "http://hall.example/")),
        ("address = \"https://hall.example/a b\"", ("wrong-type", "https://hall.example/a b")),
        ("address = \"https://\"", ("wrong-type", "https://")),
        ("cards = \"a6\"", ("wrong-type", "\"a6\"")),
        ("cards = [\"a6\"]", ("wrong-type", "\"a6\"")),
        ("cards = [{ sheet = \"a4\" }]", ("missing-key", "{ sheet = \"a4\" }")),
        ("cards = [{ paper = \"a4\" }]", ("wrong-type", "a4")),
        ("cards = [{ paper = \"a6\", scale = \"0\" }]", ("wrong-type", "0")),
        ("cards = [{ paper = \"a6\", unit = \"us\" }]", ("unknown-key", "unit")),
    ] {
        assert_eq!(paper(line).findings(), [want], "{line}");
    }
    let set =
        "address = \"https://hall.example/course\"\n[[cards]]\npaper = \"4x6\"\nsheet = \"letter\"\nscale = \"1/2\"";
    let lowered = paper(set);
    assert_eq!(lowered.findings(), []);
    assert_eq!(lowered.course.address.as_deref(), Some("https://hall.example/course/"));
    let cards = lowered.course.cards.as_deref().unwrap();
    assert_eq!((cards[0].paper.as_str(), cards[0].scale), ("4x6", Exact::new(1, 2)));
    let plain = settings("title = \"Hall\"\n");
    assert_eq!(
        (plain.findings(), plain.course.home, plain.course.language.as_str()),
        (vec![], crate::quantity::Home::Uk, "en-GB")
    );
    assert_eq!(lower(&[("01-bread/lesson.md", &text)]).findings(), [("missing-key", "")]);
}

#[test]
fn the_kitchen_is_read_and_what_it_leaves_out_is_as_usual() {
    let text = lesson(RECIPE, STEPS);
    let kitchen = |lines: &str| {
        lower(&[("course.toml", &format!("title = \"Hall\"\n[kitchen]\n{lines}\n")), ("01-bread/lesson.md", &text)])
    };
    let lowered = kitchen("hob = \"1500 W\"\nreaches-the-pot = \"85 %\"\naltitude = \"900 m\"\nfridge = \"4 °C\"");
    assert_eq!(lowered.findings(), []);
    let place = lowered.course.place;
    assert_eq!((place.watts, place.reaches_the_pot), (Exact::whole(1500), Exact::new(85, 100)));
    let rest = (place.metres, place.room, place.fridge);
    assert_eq!(rest, (Exact::whole(900), Exact::whole(20), Exact::whole(4)));
    assert_eq!(kitchen("hob = \"2 kg\"").findings(), [("wrong-kind", "2 kg")]);
    assert_eq!(kitchen("hobb = \"2 kW\"").findings(), [("unknown-key", "hobb")]);
    assert_eq!(kitchen("reaches-the-pot = \"140 %\"").findings(), [("bad-amount", "140 %")]);
}

#[test]
fn asides_are_exact_words_with_or_without_a_reason() {
    let asides = "session = \"3 h\"\nasides = [\"200 litres a day\", { words = \"7 pints\", why = \"history\" }]";
    let lowered = changed("session = \"3 h\"", asides);
    assert_eq!(lowered.findings(), []);
    let asides = &lowered.course.lessons[0].asides;
    assert_eq!((asides[0].words.as_str(), asides[1].why.as_deref()), ("200 litres a day", Some("history")));
    assert_eq!(lowered.project.sources.text(asides[1].span), "7 pints");
    slip("session = \"3 h\"", "asides = [{ why = \"history\" }]", "missing-key", "{ why = \"history\" }");
    slip("session = \"3 h\"", "asides = [7]", "wrong-type", "7");
}

#[test]
fn the_course_glossary_goes_before_the_built_in_one() {
    let own =
        "# Glossary\n\n## Acid curd\n\n```term\nalso = [\"sour curd\"]\n```\n\nOurs, at *9* °C.\n\n## zest\n\nPeel.\n";
    let lowered = lower(&[COURSE, ("glossary.md", own), ("01-bread/lesson.md", &lesson(RECIPE, STEPS))]);
    assert_eq!(lowered.findings(), []);
    let acid: Vec<&Term> = lowered.course.terms.iter().filter(|term| term.name.to_lowercase() == "acid curd").collect();
    let [acid] = acid[..] else { panic!("one term of the name") };
    assert!(acid.own && acid.also == ["sour curd"] && acid.slug == "acid-curd");
    assert_eq!(lowered.project.sources.text(acid.span), "Acid curd");
    assert!(lowered.course.terms.iter().any(|term| !term.own && !term.definition.is_empty()));
    let runs: Vec<&str> = lowered.course.runs.iter().map(|run| run.text.text.as_str()).collect();
    assert_eq!(runs, ["Hall", "Two evenings.", "Ours, at 9 °C.", "Peel."]);
    let sorted = lowered.course.terms.is_sorted_by_key(|term| term.name.to_lowercase());
    assert!(sorted);
}

#[test]
fn a_glossary_has_terms_and_a_lesson_has_none() {
    let glossary = "# Glossary\n\n## a\n\nOne.\n\n## A\n\nTwo.\n\n## b\n\n```recipe\nmakes = \"1 g x\"\n```\n";
    let text = lesson(RECIPE, STEPS).replace("Words.", "### x\n\n```term\n```\n");
    let lowered = lower(&[COURSE, ("glossary.md", glossary), ("01-bread/lesson.md", &text)]);
    let expected =
        [("duplicate-id", "A"), ("bad-table", "b"), ("misplaced-block", "recipe"), ("misplaced-block", "term")];
    assert_eq!(lowered.findings(), expected);
}

#[test]
fn links_and_pictures_must_lead_somewhere() {
    let with = |words: &str| {
        let text = lesson(RECIPE, STEPS).replace("Words.", words);
        let other = "# Other\n\n## Knead it\n";
        lower(&[
            COURSE,
            ("01-bread/a b.svg", "<svg/>"),
            ("02-other/pot.svg", "<svg/>"),
            ("01-bread/lesson.md", &text),
            ("02-other/lesson.md", other),
        ])
    };
    for sound in [
        "[a](#cool-it) [b](../02-other/lesson.md) [c](../02-other/lesson.md#knead-it) ![d](a%20b.svg) ![d](<a b.svg>)",
        "<https://a.example> [b](mailto:c@d.example) <c@d.example> [e](tel:+441)",
    ] {
        assert_eq!(with(sound).findings(), [], "{sound}");
    }
    for (words, place) in [
        ("[a](#col-it)", "#col-it"),
        ("[a](../02-other/lesson.md#need-it)", "../02-other/lesson.md#need-it"),
        ("[a](other.html)", "other.html"),
        ("[a](../../etc/lesson.md)", "../../etc/lesson.md"),
        ("[a](javascript:x)", "javascript:x"),
        ("[a](//b.example)", "//b.example"),
        ("[a]()", "[a]()"),
        ("![a](ab.svg)", "ab.svg"),
        ("![a](../02-other/pot.svg)", "../02-other/pot.svg"),
        ("![a](https://b.example/c.png)", "https://b.example/c.png"),
    ] {
        assert_eq!(with(words).findings(), [("broken-reference", place)], "{words}");
    }
}

#[test]
fn no_change_to_a_lesson_makes_lowering_fail() {
    let text = lesson(RECIPE, STEPS);
    let signs =
        ["\"", "[", "]", "{", "}", "=", "\n", "```", "½", "–", "#", ",", "\\", " ", "'", "\t", "é", "0", "%", "|"];
    let reference = Reference::built_in(crate::quantity::Home::Uk);
    let mut seed = 11usize;
    let mut next = |below: usize| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) % below
    };
    for _ in 0..300 {
        let mut letters: Vec<String> = text.chars().map(String::from).collect();
        for _ in 0..=next(4) {
            let at = next(letters.len() - 1);
            match next(3) {
                0 => letters[at] = signs[next(signs.len())].to_owned(),
                1 => drop(letters.drain(at..(at + 1 + next(30)).min(letters.len() - 1))),
                _ => letters.insert(at, signs[next(signs.len())].to_owned()),
            }
        }
        lowers_with_places_on_character_edges(&letters.concat(), &reference);
    }
}

fn lowers_with_places_on_character_edges(text: &str, reference: &Reference) {
    let mut sources = crate::source::Sources::default();
    let file = sources.add("01-bread/lesson.md", text);
    let mut sink = Diagnostics::default();
    let syntax = parse_lesson(&sources, file, &mut sink);
    let place = LessonFile { slug: "bread".to_owned(), folder: "01-bread".to_owned(), file, captions: Vec::new() };
    let around = Surroundings { reference, place: &Place::default(), terms: &[] };
    let mut measures = Vec::new();
    let lesson = lower_lesson(0, &place, syntax, &around, &mut measures, &mut sink);
    let labels = sink.iter().flat_map(|found| std::iter::once(&found.primary).chain(&found.related));
    let spans = labels.map(|label| label.span).chain(measures.iter().map(|measure| measure.span));
    for span in spans.chain(lesson.runs.iter().map(|run| run.text.home(0..run.text.text.len()))) {
        sources.text(span); // slicing off a character's edge would stop the test
    }
}

fn lower_sum(body: &str) -> Lowered {
    let lesson = format!("# Heights\n\n```sum\n{body}\n```\n");
    lower(&[COURSE, ("01-heights/lesson.md", lesson.as_str())])
}

#[test]
fn a_sum_keeps_its_values_in_the_order_in_which_it_reckons() {
    let found = lower_sum("of = \"mix\"\nmake = \"2 quarts\"\nwant = \"104 °F\"\ncold = \"50 °F\"\nhot = \"176 °F\"");
    assert!(found.sink.is_empty(), "{:?}", found.sink);
    let sum = found.course.lessons[0].sums[0].as_ref().unwrap();
    assert_eq!(sum.kind, SumKind::Mix);
    let paths: Vec<&str> = sum.values.iter().map(|value| found.course.measure(value.measure).path.as_str()).collect();
    assert_eq!(paths, ["heights.sums.1.hot", "heights.sums.1.cold", "heights.sums.1.want", "heights.sums.1.make"]);
    let hot = found.measure("heights.sums.1.hot");
    assert_eq!((hot.owner, hot.scales), (Owner::Sum { lesson: 0, sum: 0 }, false));
    assert_eq!(hot.amount.low.quantity.base(), Exact::whole(80));
}

#[test]
fn the_warmth_of_kneading_is_a_difference_and_needs_no_32() {
    let keys = "of = \"dough-water\"\ndough = \"77 °F\"\nroom = \"70 °F\"\nflour = \"70 °F\"\n";
    let found = lower_sum(&format!("{keys}friction = \"9 °F\""));
    let friction = found.measure("heights.sums.1.friction");
    assert_eq!(friction.amount.dimension(), Dimension::Difference);
    assert_eq!(friction.amount.low.quantity.base(), Exact::whole(5));
}

#[test]
fn forms_of_a_sum_follow_from_its_keys() {
    let brine = "of = \"brine\"\nwater = \"1 L\"\nstrength = \"5 %\"\n";
    let shares = "shares = { water = \"65 %\", sea-salt = \"2 %\" }";
    for (body, kind, labels) in [
        (brine.to_owned(), SumKind::Brine, vec!["Water", "Salt in the brine"]),
        (format!("{brine}basis = \"water\""), SumKind::BrineOnWater, vec!["Water", "Salt to the water"]),
        (format!("of = \"bakers\"\nflour = \"500 g\"\n{shares}"), SumKind::Bakers, vec!["Flour", "water", "sea salt"]),
        (
            format!("of = \"bakers\"\ndough = \"1 kg\"\n{shares}"),
            SumKind::BakersDough,
            vec!["Dough", "water", "sea salt"],
        ),
    ] {
        let found = lower_sum(&body);
        assert!(found.sink.is_empty(), "{body}: {:?}", found.sink);
        let sum = found.course.lessons[0].sums[0].as_ref().unwrap();
        let shown: Vec<&str> = sum.values.iter().map(|value| value.label.as_str()).collect();
        assert_eq!((sum.kind, shown), (kind, labels));
    }
}

#[test]
fn a_sum_begins_in_the_kitchen_of_the_course() {
    let reference = Reference::built_in(crate::quantity::Home::Uk);
    let begins = |kitchen: &str, body: &str, path: &str| {
        let course = format!("title = \"Hall\"\n[kitchen]\n{kitchen}\n");
        let lesson = format!("# Heights\n\n```sum\n{body}\n```\n");
        let found = lower(&[("course.toml", course.as_str()), ("01-heights/lesson.md", lesson.as_str())]);
        assert!(found.sink.is_empty(), "{:?}", found.sink);
        let amount = found.measure(&format!("heights.sums.1.{path}")).amount;
        (amount.low.quantity.base(), Some(amount.low.unit) == reference.units.find("foot"))
    };
    let boiling = "of = \"boiling\"";
    assert_eq!(begins("altitude = \"20 m\"", boiling, "height"), (Exact::whole(20_000), false));
    assert_eq!(begins("altitude = \"1000 feet\"", boiling, "height"), (Exact::whole(304_800), true));
    assert_eq!(begins("", boiling, "height"), (Exact::ZERO, false));
    // What the block says comes first.
    assert_eq!(begins("altitude = \"20 m\"", "of = \"boiling\"\nheight = \"2 m\"", "height").0, Exact::whole(2000));
    let cooling = "of = \"cooling\"\nfrom = \"90 °C\"\nto = \"30 °C\"\nafter = \"10 min\"\nread = \"60 °C\"";
    assert_eq!(begins("room = \"18 °C\"", cooling, "room").0, Exact::whole(18));
    assert_eq!(begins("", cooling, "room").0, Exact::whole(20));
}

#[test]
fn each_fault_of_a_sum_is_said_once_and_at_its_place() {
    for (body, code, at, help) in [
        ("height = \"600 m\"", "missing-key", "sum", "the sums are `mix`"),
        ("of = \"boilling\"\nheight = \"600 m\"", "wrong-type", "boilling", "`boiling`"),
        ("of = \"brine\"\nwater = \"1 L\"", "missing-key", "sum", "add `strength = \"5 %\"`"),
        ("of = \"boiling\"\nheigth = \"600 m\"", "unknown-key", "heigth", "did you mean `height`?"),
        ("of = \"boiling\"\nheight = \"600 °C\"", "wrong-kind", "600 °C", "write it like `600 m`"),
        ("of = \"boiling\"\nheight = \"600–700 m\"", "bad-amount", "600–700 m", "write it like `600 m`"),
        ("of = \"boiling\"\nheight = 600", "wrong-type", "600", "height = \"600 m\""),
        ("of = \"brine\"\nwater = \"1 L\"\nstrength = \"5 %\"\nbasis = \"salt\"", "wrong-type", "salt", "`brine`"),
        ("of = \"bakers\"\nflour = \"1 kg\"", "missing-key", "sum", "add `shares ="),
        ("of = \"bakers\"\nflour = \"1 kg\"\nshares = {}", "wrong-type", "{}", "shares = { water"),
    ] {
        let found = lower_sum(body);
        assert_eq!(found.findings(), [(code, at)], "{body}");
        assert!(found.helps()[0].contains(help), "{body}: {:?}", found.helps());
        assert_eq!(found.course.lessons[0].sums, [None]);
    }
}

#[test]
fn a_sum_in_a_glossary_is_misplaced() {
    let glossary = "# Glossary\n\n## brine\n\nSalt water.\n\n```sum\nof = \"boiling\"\nheight = \"600 m\"\n```\n";
    let found = lower(&[COURSE, ("01-a/lesson.md", "# A\n"), ("glossary.md", glossary)]);
    assert_eq!(found.findings(), [("misplaced-block", "sum")]);
}

#[test]
fn keeping_says_how_it_is_packed() {
    let more = "at = \"at most 5 °C\", pack = \"under-brine\", ph = \"at most 4.6\", aw = 0.97, mark = \"use-by\" }";
    let lowered = changed("at = \"at most 5 °C\" }", more);
    assert_eq!(lowered.findings(), []);
    let recipe = lowered.course.lessons[0].recipe.as_ref().unwrap();
    let [fridge, tub] = &recipe.keeps[..] else { panic!("two ways to keep") };
    assert_eq!((fridge.pack, fridge.mark), (Some(Pack::UnderBrine), Some(Mark::UseBy)));
    assert_eq!(fridge.ph.as_ref().unwrap().most(), Some(Exact::new(46, 10)));
    assert_eq!(lowered.project.sources.text(fridge.ph.as_ref().unwrap().span), "at most 4.6");
    assert_eq!(fridge.aw.as_ref().unwrap().most(), Some(Exact::new(97, 100)));
    assert_eq!((tub.pack, tub.mark, &tub.ph, &tub.aw), (None, None, &None, &None));
    assert!(lowered.project.sources.text(tub.span).starts_with("{ what = \"whey\""));
    assert_eq!((recipe.kind, &recipe.may_contain), (None, &vec![]));
}

#[test]
fn a_recipe_says_what_sort_of_make_it_is_and_what_may_be_in_it() {
    let keys = "scale-by = \"milk\"\nkind = \"fresh-cheese\"\nmay-contain = [\"nuts\", \"soybeans\", \"nuts\"]\n";
    let lowered = changed("scale-by = \"milk\"\n", keys);
    assert_eq!(lowered.findings(), []);
    let recipe = lowered.course.lessons[0].recipe.as_ref().unwrap();
    assert_eq!(recipe.kind, Some(ProductKind::FreshCheese));
    assert_eq!(recipe.may_contain, ["nuts", "soybeans"]);
}

#[test]
fn names_of_packs_marks_and_kinds_are_those_that_are_read() {
    for name in Pack::NAMES {
        let lowered = changed("for = \"3 days\"", &format!("for = \"3 days\", pack = \"{name}\""));
        assert_eq!(lowered.findings(), []);
        let pack = lowered.course.lessons[0].recipe.as_ref().unwrap().keeps[1].pack;
        assert_eq!(pack.map(Pack::name), Some(*name));
    }
    for name in Mark::NAMES {
        let lowered = changed("for = \"3 days\"", &format!("for = \"3 days\", mark = \"{name}\""));
        let mark = lowered.course.lessons[0].recipe.as_ref().unwrap().keeps[1].mark;
        assert_eq!(mark.map(Mark::name), Some(*name));
    }
    for name in ProductKind::NAMES {
        let lowered = changed("scale-by =", &format!("kind = \"{name}\"\nscale-by ="));
        let kind = lowered.course.lessons[0].recipe.as_ref().unwrap().kind;
        assert_eq!(kind.map(ProductKind::name), Some(*name));
    }
}

#[test]
fn a_fault_in_how_it_is_packed_is_said_at_its_place() {
    let keeps = |key: &str| format!("for = \"3 days\", {key}");
    for (key, code, at, help) in [
        ("pack = \"sealed jar\"", "wrong-type", "sealed jar", "`sealed-jar`"),
        ("mark = \"use by\"", "wrong-type", "use by", "`use-by`"),
        ("ph = \"at most 46\"", "bad-amount", "at most 46", "at most 4.6"),
        ("ph = \"at most 4 °C\"", "wrong-kind", "at most 4 °C", "at most 4.6"),
        ("aw = \"85 %\"", "wrong-kind", "85 %", "at most 0.85"),
        ("aw = 1.2", "bad-amount", "1.2", "at most 0.85"),
    ] {
        slip_with_help("for = \"3 days\"", &keeps(key), code, at, help);
    }
    slip_with_help("scale-by =", "kind = \"yogurt\"\nscale-by =", "wrong-type", "yogurt", "`yoghurt`");
    let unknown = changed("scale-by =", "may-contain = [\"nutz\"]\nscale-by =");
    assert_eq!(unknown.findings(), [("wrong-type", "nutz")]);
    let found = unknown.sink.iter().next().unwrap();
    assert_eq!(found.suggestions[0].edit.text, "nuts");
}
