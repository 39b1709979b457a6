//! What the blocks say is what the model holds.

use super::*;

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
