//! What follows from heat: legal holds, the time on a hob, the boiling point by altitude. For each rule a lesson that
//! breaks it, and one that comes near and does not.

use pottle::{Project, check};

/// The codes of the findings of a lesson, with their messages, in a course with these settings.
fn findings_in(settings: &str, lesson: &str) -> Vec<String> {
    let course = format!("title = \"Hall\"\nlanguage = \"en-GB\"\n{settings}");
    let project = Project::from_files([("course.toml", course.as_str()), ("01-first/lesson.md", lesson)]);
    check(&project).findings.iter().map(|one| format!("{}: {}", one.code.name(), one.message)).collect()
}

/// One lesson, its recipe and its steps: each a block without its fence.
fn lesson(recipe: &str, steps: &[&str]) -> String {
    let steps = steps.iter().enumerate();
    let steps: String =
        steps.map(|(at, keys)| format!("## Step {at}\n\n```step\nid = \"s{at}\"\n{keys}\n```\n\n")).collect();
    format!("# Make\n\n```recipe\n{recipe}\n```\n\n{steps}")
}

#[track_caller]
fn finds(settings: &str, lesson: &str, expected: &[&str]) {
    assert_eq!(findings_in(settings, lesson), expected);
}

const UK: &str = "home = \"uk\"\n";
const US: &str = "home = \"us\"\n";
const MILK: &str = "makes = \"1 L warm milk\"\n[ingredients]\nmilk = \"1 L whole milk\"";

/// A step that takes the milk and claims to pasteurise it.
fn held(keys: &str) -> String {
    lesson(MILK, &[&format!("add = [\"milk\"]\n{keys}\npasteurises = \"milk\"")])
}

// The pairs of Regulation (EC) No 853/2004, Annex III, section IX: 63 °C for 30 min and 72 °C for 15 s.
#[test]
fn a_claim_meets_a_pair_of_the_eu() {
    finds(UK, &held("at = \"63 °C\"\nfor = \"30 min\""), &[]);
    finds(UK, &held("at = \"63–65 °C\"\nfor = \"at least 30 min\""), &[]);
    finds(UK, &held("at = \"at least 72 °C\"\nfor = \"15–20 s\""), &[]);
    finds(
        UK,
        &held("at = \"62–65 °C\"\nfor = \"30 min\""),
        &[
            "not-pasteurised: “Step 0” holds the whole milk at 62\u{a0}°C, and the coolest hold that EU and UK law knows \
             is at 63\u{a0}°C: 1\u{a0}°C more",
        ],
    );
    finds(
        UK,
        &held("at = \"71 °C\"\nfor = \"20–40 min\""),
        &["not-pasteurised: “Step 0” holds the whole milk for 20\u{a0}min, and at 71\u{a0}°C EU and UK law asks for \
             30\u{a0}min: 10\u{a0}min more"],
    );
}

#[test]
fn what_is_only_reached_or_limited_from_above_is_no_hold() {
    let no_hold = "not-pasteurised: “Step 0” is to pasteurise the whole milk, and a hold needs the lowest temperature, \
                   `at`, and the shortest time, `for`";
    finds(UK, &held("to = \"95 °C\"\nfor = \"30 min\""), &[no_hold]);
    finds(UK, &held("at = \"72 °C\""), &[no_hold]);
    finds(UK, &held("at = \"at most 75 °C\"\nfor = \"30 min\""), &[no_hold]);
    finds(UK, &held("at = \"75 °C\"\nfor = \"at most 30 min\""), &[no_hold]);
}

// The US Grade A Pasteurized Milk Ordinance: 145 °F (63 °C) for 30 min, 161 °F for 15 s; 150 °F (66 °C) for 30 min where
// the milk has 10 % fat or more, or is sweetened.
#[test]
fn in_the_us_the_ordinance_holds() {
    finds(US, &held("at = \"145 °F\"\nfor = \"30 min\""), &[]);
    finds(US, &held("at = \"161 °F\"\nfor = \"15 s\""), &[]);
    let cool = findings_in(US, &held("at = \"144 °F\"\nfor = \"30 min\""));
    assert!(cool[0].starts_with("not-pasteurised: “Step 0” holds the whole milk at 62.2\u{a0}°C"), "{cool:?}");
    // As printed in °C, 63 is rounded up from 145 °F; in the EU 145 °F is too cool.
    assert_eq!(findings_in(UK, &held("at = \"145 °F\"\nfor = \"30 min\"")).len(), 1);
}

#[test]
fn richer_or_sweetened_milk_is_held_hotter_in_the_us() {
    let mix = |more: &str, keys: &str| {
        let recipe = format!("makes = \"1100 g mix\"\n[ingredients]\nmilk = \"1 L whole milk\"\n{more}");
        lesson(&recipe, &[&format!("add = [\"milk\", \"more\"]\n{keys}\nfor = \"30 min\"\npasteurises = \"milk\"")])
    };
    let rich = |more: &str, keys: &str| findings_in(US, &mix(more, keys)).len();
    let (sugar, much, little) =
        ("more = \"100 g sugar\"", "more = \"400 mL double cream\"", "more = \"100 mL double cream\"");
    assert_eq!((rich(sugar, "at = \"145 °F\""), rich(sugar, "at = \"150 °F\"")), (1, 0));
    // 400 mL of cream of 48 % in a litre of milk make 16 %, 100 mL make 7.3 %: worked out by hand.
    assert_eq!((rich(much, "at = \"145 °F\""), rich(much, "at = \"66 °C\"")), (1, 0));
    assert_eq!(rich(little, "at = \"145 °F\""), 0);
    assert_eq!(findings_in(UK, &mix(sugar, "at = \"63 °C\"")), Vec::<String>::new());
}

#[test]
fn words_that_order_pasteurising_ask_for_the_claim() {
    let words = |words: &str| format!("{}{words}\n", lesson(MILK, &["add = [\"milk\"]"]));
    let unclaimed = "unclaimed-hold: a step pasteurises, and its block does not say what";
    finds(UK, &words("Stir. Pasteurise the milk with care."), &[unclaimed]);
    for near in
        ["Use pasteurised milk.", "Pasteurised milk is best.", "Do not pasteurise it.", "The dairy pasteurises it."]
    {
        finds(UK, &words(near), &[]);
    }
}
