//! The promise: change one figure in the words and the lesson is refused, on that line, naming the measure.

use pottle::diag::{Diagnostic, Severity};
use pottle::{Project, check};

const COURSE: &str = "title = \"A hall\"\nhome = \"uk\"\n";

const LESSON: &str = r##"# Pressed fresh curd

```lesson
summary = "Four litres of milk make 550–650 g of curd in one session of 2½ hours."
session = "2 h 30 min"
asides  = ["200 litres a day"]
```

The dairy made 200 litres a day in 1987; we start with 4 at 7 pm.

```recipe
makes    = "550–650 g pressed curd"
leaves   = { whey = "3.2–3.4 L" }
scale-by = "milk"
keeps    = [{ where = "covered in the fridge", for = "4 days", at = "at most 5 °C" }]

[ingredients]
milk  = "4 L whole milk, not homogenised"
lemon = "120 mL lemon juice, strained"
salt  = { amount = "9 g fine salt", share = "1.5 % of curd" }

[equipment]
pot = { name = "heavy pot", holds = "6 L" }
```

## Heat the milk

```step
add   = ["milk"]
in    = "pot"
to    = "92 °C"
takes = "20–25 min"
```

Pour **4** litres (7 pints) of whole milk into the 6-litre pot.
Stir while it warms to 92 °C (198 °F),
about 20 to 25 minutes, as in step 1.

```rescue
sign = "It catches"
do   = "Start again with 4 litres of milk."
```

## Curdle

```step
add = { lemon = "two thirds" }
at  = "90 °C"
for = "10 min"
```

Hold it at 90 °C and pour in two thirds of the lemon juice, 80 mL (⅓ US cup).
Wait ten minutes.

## Season and cut

```step
add      = ["salt", { lemon = "rest" }]
takes    = "3 min"
measures = { cut = "2.5 cm" }
```

Work in the salt (9 g) with the last 40 mL of lemon juice, which takes three minutes.
That is 1.5 % of the curd.
Cut 2.5-centimetre (1 inch) cubes.

| Thing | Amount |
| --- | --- |
| Milk | 4 L |
| Whey | 3.2–3.4 L |

It keeps four days at 5 °C or below[^cold].

[^cold]: That is 41 °F.
"##;

fn findings(lesson: &str) -> Vec<Diagnostic> {
    let project = Project::from_files([("course.toml", COURSE), ("01-curd/lesson.md", lesson)]);
    check(&project).findings.iter().cloned().collect()
}

fn told(lesson: &str, found: &[Diagnostic]) -> String {
    let line = |at: usize| lesson[..at].matches('\n').count() + 1;
    let lines = found
        .iter()
        .map(|one| format!("{}: {} {}", line(one.primary.span.start.min(lesson.len())), one.code.name(), one.message));
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn a_right_lesson_has_no_findings() {
    let found = findings(LESSON);
    assert!(found.is_empty(), "{}", told(LESSON, &found));
}

/// Swaps `right` for `wrong` and returns the finding on its line; exactly one, so that one slip gives one finding.
fn slip(right: &str, wrong: &str) -> Diagnostic {
    assert_eq!(LESSON.matches(right).count(), 1, "`{right}` stands once in the lesson");
    let lesson = LESSON.replace(right, wrong);
    let found = findings(&lesson);
    assert_eq!(found.len(), 1, "{right} → {wrong}:\n{}", told(&lesson, &found));
    let one = found[0].clone();
    assert_eq!(one.severity(), Severity::Error);
    let line = |text: &str, at: usize| text[..at].matches('\n').count();
    let place = LESSON.find(right).unwrap();
    assert_eq!(
        line(&lesson, one.primary.span.start),
        line(LESSON, place),
        "{right} → {wrong}:\n{}",
        told(&lesson, &found)
    );
    one
}

/// The recipe above with a measure for the whole lesson and garlic by the clove.
fn with_more(words: &str) -> String {
    LESSON
        .replace("scale-by = \"milk\"\n", "scale-by = \"milk\"\nmeasures = { mould = \"900 g\", hall = \"18 °C\" }\n")
        .replace("salt  = {", "garlic = \"4 cloves garlic\"\nsalt  = {")
        .replace("add   = [\"milk\"]", "add   = [\"milk\", \"garlic\"]")
        .replace("as in step 1.", &format!("as in step 1. {words}"))
}

#[test]
fn words_may_state_a_measure_of_the_whole_recipe_and_pieces_by_their_word() {
    for right in [
        "Set a 900 g mould ready.",
        "Add the 4 cloves of garlic.",
        "Add 4 garlic cloves, crushed.",
        "Crush the 4 cloves.",
        "The hall is at 18 °C (64 °F).",
    ] {
        let lesson = with_more(right);
        let found = findings(&lesson);
        assert!(found.is_empty(), "{right}: {}", told(&lesson, &found));
    }
    for wrong in [
        "Set an 800 g mould ready.",
        "Add the 5 cloves of garlic.",
        "Add 6 garlic cloves, crushed.",
        "The hall is at 19 °C.",
        "Warm it to 18 °C.",
    ] {
        let lesson = with_more(wrong);
        assert_eq!(findings(&lesson).len(), 1, "{wrong}: {}", told(&lesson, &findings(&lesson)));
    }
}

#[test]
fn a_wrong_digit_fails_on_its_line_and_names_the_measure() {
    for (right, wrong, named) in [
        ("Pour **4** litres (7", "Pour **5** litres (7", "whole milk"),
        ("(7 pints)", "(8 pints)", "whole milk"),
        ("to 92 °C (198 °F)", "to 93 °C (198 °F)", "Heat the milk"),
        ("(198 °F)", "(189 °F)", "Heat the milk"),
        ("about 20 to 25 minutes", "about 20 to 35 minutes", "Heat the milk"),
        ("about 20 to 25 minutes", "about 10 to 25 minutes", "Heat the milk"),
        ("the 6-litre pot", "the 5-litre pot", "heavy pot"),
        ("at 90 °C and", "at 80 °C and", "Curdle"),
        ("two thirds of the lemon juice, 80", "one third of the lemon juice, 80", ""),
        ("juice, 80 mL", "juice, 90 mL", "lemon juice"),
        ("(⅓ US cup)", "(½ US cup)", "lemon juice"),
        ("Wait ten minutes", "Wait twelve minutes", "Curdle"),
        ("the salt (9 g)", "the salt (6 g)", "fine salt"),
        ("the last 40 mL", "the last 60 mL", "lemon juice"),
        ("That is 1.5 %", "That is 2.5 %", "fine salt"),
        ("Cut 2.5-centimetre", "Cut 3.5-centimetre", "cut"),
        ("(1 inch)", "(2 inch)", "cut"),
        ("takes three minutes", "takes four minutes", "Season"),
        ("| Milk | 4 L |", "| Milk | 3 L |", "whole milk"),
        ("| Whey | 3.2–3.4 L |", "| Whey | 3.2–3.5 L |", "whey"),
        ("again with 4 litres", "again with 3 litres", "whole milk"),
        ("summary = \"Four litres", "summary = \"Five litres", "whole milk"),
        ("make 550–650 g of", "make 550–660 g of", "makes"),
        ("session of 2½ hours", "session of 3½ hours", ""),
        ("keeps four days", "keeps five days", ""),
        ("keeps four days", "keeps a month", ""),
        ("keeps four days", "keeps for a year", ""),
        ("at 5 °C or below", "at 8 °C or below", ""),
        ("That is 41 °F", "That is 46 °F", ""),
    ] {
        let found = slip(right, wrong);
        let said = format!("{} {:?}", found.message, found.related);
        assert!(said.contains(named), "{wrong}: {said}");
    }
}

#[test]
fn a_wrong_unit_fails_on_its_line() {
    for (right, wrong) in [
        ("(7 pints)", "(7 US pints)"),
        ("(198 °F)", "(198 °C)"),
        ("Wait ten minutes", "Wait ten hours"),
        ("the salt (9 g)", "the salt (9 kg)"),
        ("the last 40 mL", "the last 40 L"),
        ("(1 inch)", "(1 foot)"),
    ] {
        slip(right, wrong);
    }
}

#[test]
fn a_value_copied_from_another_step_is_caught() {
    let found = slip("at 90 °C and", "at 92 °C and");
    assert_eq!(found.code.name(), "disagrees");
    let found = slip("Wait ten minutes", "Wait three minutes");
    assert_eq!(found.code.name(), "disagrees");
}

/// What has no unit is no quantity, and so would be held to nothing.
#[test]
fn a_reading_without_a_unit_is_asked_for_one() {
    for (right, wrong) in [
        ("at 90 °C and", "at 90 and"),
        ("at 90 °C and", "at about 220 and"),
        ("to 92 °C (198 °F),", "to 95 (198 °F),"),
        ("to 92 °C (198 °F),", "to 198,"),
        ("to 92 °C (198 °F),", "until 92,"),
    ] {
        assert_eq!(slip(right, wrong).code.name(), "no-unit", "{wrong}");
    }
    for words in [
        "Count to 60, then look again.",
        "Turn to page 40.",
        "Go back to 45 Mill Lane at 10:30, as in 1990 and before.",
        "Bring it to the boil at 7 or at 8.",
        "It comes to 92–94 °C, or to 92 or 93 °C.",
        "It came to £40 at most.",
    ] {
        let found = findings(&LESSON.replace("as in step 1.", &format!("as in step 1. {words}")));
        assert!(!found.iter().any(|one| one.code.name() == "no-unit"), "{words}: {}", told(LESSON, &found));
    }
    // Where no temperature belongs, a figure after "to" may be anything.
    assert_eq!(findings(&LESSON.replace("takes three minutes.", "takes three minutes. Pat it down to 30 or so.")), []);
}

/// Codes of what is found where these words are added to a step that is warm and takes a time.
fn codes_with(words: &str) -> Vec<String> {
    let found = findings(&LESSON.replace("as in step 1.", &format!("as in step 1. {words}")));
    found.iter().map(|one| one.code.name().to_owned()).collect()
}

#[test]
fn a_time_without_a_unit_is_asked_for_one() {
    for words in [
        "Set the timer for 30.",
        "Leave it to stand for 30, then look.",
        "Simmer it for 35 to 40.",
        "Simmer it for about 30–40.",
        "Let it rest (for 20) in the pot.",
    ] {
        assert_eq!(codes_with(words), ["no-unit"], "{words}");
    }
    for words in [
        "There is enough for 12.",
        "Lay the table for 6.",
        "Let it rest. It is meant for 12.",
        "Leave it for 4 others to taste.",
        "See page 30 for more.",
    ] {
        assert!(!codes_with(words).contains(&"no-unit".to_owned()), "{words}");
    }
}

#[test]
fn a_figure_whose_unit_is_misspelt_is_no_quantity() {
    for words in [
        "Use 500 gr milk.",
        "Use 500gr. of milk.",
        "Bring it to 9O °C.",
        "Bring it to 9O°C.",
        "Wait l0 minutes.",
        "Wait 1:40 h.",
        "Wait 15 minuts.",
        "Wait for 50 m.",
        "Press it to 3\" in height.",
    ] {
        assert_eq!(codes_with(words), ["no-unit"], "{words}");
    }
    for words in [
        "Take off 2 points for a torn cloth.",
        "It feeds 4 mouths.",
        "She said: \"Count to 3\" and left.",
        "The hall opens at 7:30 h.",
        "The 2nd and the 3rd cloth are for the slab.",
        "Is it so? Oslo has 2 markets.",
        "Look at page 3 or 4 again.",
    ] {
        assert!(!codes_with(words).contains(&"no-unit".to_owned()), "{words}: {:?}", codes_with(words));
    }
}

#[test]
fn pieces_that_nothing_counts_are_found() {
    for words in ["Divide it into 10 pieces.", "Cut it into twelve small cubes.", "Shape it into 8–10 balls, now."] {
        assert_eq!(codes_with(words), ["unknown-mention"], "{words}");
    }
    for words in [
        "Cut it into pieces.",
        "Break it into two parts.",
        "Pour it into 3 jars.",
        "Look into step 1. Three pieces are enough.",
        "Cut it into a few pieces.",
    ] {
        assert!(!codes_with(words).contains(&"unknown-mention".to_owned()), "{words}: {:?}", codes_with(words));
    }
}

/// pH, water activity, the strength of rennet: a jar may stand in a cupboard or not by one digit of them.
#[test]
fn figures_that_have_no_unit_by_nature_are_held_to_the_recipe() {
    let with = |keys: &str, words: &str| {
        let keeps = "for = \"4 days\"";
        assert!(LESSON.contains(keeps));
        let lesson = LESSON.replacen(keeps, &format!("{keeps}{keys}"), 1);
        let found = findings(&lesson.replace("as in step 1.", &format!("as in step 1. {words}")));
        found.iter().map(|one| one.code.name().to_owned()).collect::<Vec<_>>()
    };
    let ph = ", ph = \"4.2–4.6\"";
    for words in ["At pH 4.8 it is done.", "Its pH lies at about 5.", "A pH between 4.2 and 4.9.", "Below pH 3.6, say."]
    {
        assert_eq!(with(ph, words), ["disagrees"], "{words}");
        assert_eq!(with("", words), ["unknown-mention"], "{words}");
    }
    for words in [
        "It has pH 4.6 at most.",
        "A pH of 4.2 to 4.6.",
        "pH 4.2–4.6",
        "The pH of milk is a matter of days.",
        "Its pH falls.",
    ] {
        assert_eq!(with(ph, words), [""; 0], "{words}");
    }
    assert_eq!(with(", aw = \"at most 0.85\"", "Its water activity is 0.91."), ["disagrees"]);
    assert_eq!(with(", aw = \"at most 0.85\"", "Its water activity is 0.85."), [""; 0]);
    let strong =
        LESSON.replacen("amount = \"9 g fine salt\"", "amount = \"9 g fine salt\", strength = \"1000 IMCU/g\"", 1);
    let rennet = |lesson: &str, words: &str| {
        let found = findings(&lesson.replace("as in step 1.", &format!("as in step 1. {words}")));
        let codes = found.iter().map(|one| one.code.name()).filter(|code| *code != "unlikely-dose");
        codes.collect::<Vec<_>>().join(" ")
    };
    assert_eq!(rennet(&strong, "It has 1,000 IMCU/g."), "");
    assert_eq!(rennet(&strong, "It has 100 IMCU per gram."), "disagrees");
    assert_eq!(rennet(LESSON, "Take one of 200 IMCU/mL."), "unknown-mention");
    assert_eq!(rennet(&strong, "The trade takes 30 to 50 IMCU, by custom."), "");
    let aside = LESSON.replacen("[\"200 litres a day\"]", "[\"200 litres a day\", \"pH 6.7\"]", 1);
    assert_eq!(findings(&aside.replace("as in step 1.", "as in step 1. Fresh milk has pH 6.7.")), []);
}

/// Allergens, labels and the shopping list are made from the recipe, so the words must not put in what it does not have.
#[test]
fn an_allergen_that_only_the_words_put_in_is_found() {
    for words in [
        "Beat in two eggs.",
        "Beat in an egg.",
        "Add a handful of chopped walnuts.",
        "Brush the slab with soy sauce.",
        "Sprinkle it with sesame seeds.",
        "Dust it with plain flour before you turn it.",
    ] {
        assert!(codes_with(words).contains(&"unlisted".to_owned()), "{words}: {:?}", codes_with(words));
    }
    for words in [
        "Do not add eggs.",
        "Never stir in flour.",
        "Stir it until it is as thick as beaten egg.",
        "Put the egg timer on the shelf.",
        "Break it into walnut-sized pieces.",
        "Add a spoonful of cream or butter.", // milk is in the recipe
        "Add a little sugar.",
        "Beat in an egg, but not for anyone who avoids eggs.",
        "With bread and walnuts it is a meal.",
    ] {
        assert!(!codes_with(words).contains(&"unlisted".to_owned()), "{words}: {:?}", codes_with(words));
    }
}

#[test]
fn an_amount_of_one_thing_never_binds_to_another() {
    // 120 mL is a measure of this lesson, but not of the whey.
    let found = slip("| Whey | 3.2–3.4 L |", "| Whey | 120 mL |");
    assert_eq!(found.code.name(), "disagrees");
    // 9 g is the salt's; the recipe has no sugar.
    let lesson = LESSON.replace("the salt (9 g)", "the sugar (9 g)");
    let found = findings(&lesson);
    assert_eq!(found.len(), 1, "{}", told(&lesson, &found));
    assert_eq!(found[0].code.name(), "unknown-mention");
    assert!(found[0].message.contains("sugar"), "{}", found[0].message);
}

#[test]
fn the_same_in_other_words_is_accepted() {
    for (right, same) in [
        ("Pour **4** litres (7", "Pour 4000 mL (7"),
        ("to 92 °C (198 °F)", "to 197.6 °F"),
        ("about 20 to 25 minutes", "between 20 and 25 minutes"),
        ("about 20 to 25 minutes", "about 22 minutes"),
        ("Wait ten minutes", "Wait 600 seconds"),
        ("Wait ten minutes", "Leave it alone for at least 10 min"),
        ("the salt (9 g)", "the salt (0.009 kg)"),
        ("session of 2½ hours", "session of two and a half hours"),
        ("keeps four days", "keeps 96 hours"),
        ("two thirds of the lemon juice, 80 mL", "80 millilitres of lemon juice"),
    ] {
        let lesson = LESSON.replace(right, same);
        assert_ne!(lesson, LESSON, "{right}");
        let found = findings(&lesson);
        assert!(found.is_empty(), "{same}: {}", told(&lesson, &found));
    }
}

#[test]
fn asides_need_the_exact_words_and_go_stale() {
    // The changed words are no longer declared, and what declared them no longer silences anything.
    let lesson = LESSON.replace("made 200 litres a day in", "made 300 litres a day in");
    let found = findings(&lesson);
    assert_eq!(found.iter().map(|one| one.code.name()).collect::<Vec<_>>(), ["stale-aside", "unknown-mention"]);
    let lesson = LESSON.replace("made 200 litres a day in", "stood here in");
    let found = findings(&lesson);
    assert_eq!(found.iter().map(|one| one.code.name()).collect::<Vec<_>>(), ["stale-aside"]);
}

#[test]
fn an_unread_figure_is_never_passed_over() {
    for (right, extra) in [
        ("Wait ten minutes.", "Wait ten minutes. Then add 17 mL more."),
        ("Wait ten minutes.", "Wait ten minutes. Let it rise by 11 °C."),
        ("Cut 2.5-centimetre", "Cut to a depth of 13 mm and 2.5-centimetre"),
    ] {
        let lesson = LESSON.replace(right, extra);
        let found = findings(&lesson);
        assert_eq!(found.len(), 1, "{extra}: {}", told(&lesson, &found));
        assert!(["unknown-mention", "disagrees"].contains(&found[0].code.name()), "{extra}");
    }
}

/// Forms that need the words around a figure: tables with units in their heads, ovens, rates, from one to the other.
const OVEN: &str = r##"# Milk loaf

```recipe
makes = "2 loaves"

[ingredients]
milk  = "300 mL whole milk"
flour = "500 g strong white flour"
yeast = "7 g instant yeast"

[equipment]
tin = { name = "loaf tin", holds = "1.5 L", size = "23 cm" }
oven = "oven"
```

| Ingredient | Weight (g) | Volume (mL) |
| --- | --- | --- |
| Whole milk | | 300 |
| Flour | 500 | |
| Yeast | 7 | |

## Warm the milk

```step
add      = ["milk"]
from     = "5 °C"
to       = "35 °C"
takes    = "5 min"
measures = { dose = "23 g per litre" }
```

Warm the milk from 5 °C to 35 °C, which takes 5 minutes. The yeast is 23 g per litre of milk, or 2.3 g per 100 mL.

## Mix and bake

```step
add   = ["flour", "yeast"]
in    = "oven"
at    = "200 °C"
takes = "30 min"
```

Mix, shape two loaves in tins of at least 1 litre (23 cm long) and bake at 200 °C/180 °C fan/400 °F/gas mark 6 for half an hour.
"##;

#[test]
fn figures_that_need_the_words_around_them_are_held_too() {
    let found = findings(OVEN);
    assert!(found.is_empty(), "{}", told(OVEN, &found));
    for (right, wrong) in [
        ("| Whole milk | | 300 |", "| Whole milk | | 200 |"),
        ("| Flour | 500 | |", "| Flour | 450 | |"),
        ("from 5 °C to 35 °C, which", "from 35 °C to 5 °C, which"),
        ("from 5 °C to 35 °C, which", "from 5 °C to 38 °C, which"),
        ("is 23 g per litre of", "is 25 g per litre of"),
        ("or 2.3 g per 100 mL", "or 3.2 g per 100 mL"),
        ("/180 °C fan/", "/160 °C fan/"),
        ("/400 °F/", "/425 °F/"),
        ("gas mark 6", "gas mark 7"),
        ("at least 1 litre (", "at least 2 litres ("),
        ("shape two loaves", "shape three loaves"),
    ] {
        assert_eq!(OVEN.matches(right).count(), 1, "{right}");
        let lesson = OVEN.replace(right, wrong);
        let found = findings(&lesson);
        assert!(!found.is_empty(), "{right} → {wrong} gets through");
        let line = |text: &str, at: usize| text[..at].matches('\n').count();
        for one in &found {
            let place = line(&lesson, one.primary.span.start);
            assert_eq!(place, line(OVEN, OVEN.find(right).unwrap()), "{wrong}: {}", told(&lesson, &found));
        }
    }
}

/// A plan of the session and what it says of keeping stand outside the steps and are held to what they name.
const PLAN: &str = r##"# Cultured butter

```recipe
makes = "550 g butter"
keeps = [
  { where = "wrapped in the fridge", for = "10 days", at = "at most 5 °C" },
  { where = "well wrapped in the freezer", for = "12 weeks", at = "at most -18 °C" },
]

[ingredients]
cream   = "1 L double cream"
culture = "60 mL cultured buttermilk"
```

- To ripen: between 20 and 22 °C, for 18 to 24 hours
- To churn: at 12 °C, for 8 minutes

| Step | How warm | How long |
| --- | --- | --- |
| Let it ripen | 20–22 °C | 18–24 hours |
| Churn it | 12 °C | 8 minutes |

## Let it ripen

```step
add   = ["cream", "culture"]
does  = "culture"
at    = "20–22 °C"
for   = "18–24 h"
until = "thick"
```

Ripen the cream at 20–22 °C for 18–24 hours.

## Churn it

```step
at    = "12 °C"
takes = "8 min"
```

Churn the cream at 12 °C, which takes 8 minutes.

## Keep it

It keeps for 10 days in the fridge, or for 12 weeks in the freezer at −18 °C or below.
"##;

fn plan_refuses(slips: &[(&str, &str)]) {
    let found = findings(PLAN);
    assert!(found.is_empty(), "{}", told(PLAN, &found));
    for (right, wrong) in slips {
        assert_eq!(PLAN.matches(right).count(), 1, "{right}");
        let lesson = PLAN.replace(right, wrong);
        let found = findings(&lesson);
        let line = |text: &str, at: usize| text[..at].matches('\n').count();
        let lines: Vec<usize> = found.iter().map(|one| line(&lesson, one.primary.span.start)).collect();
        assert_eq!(lines, [line(PLAN, PLAN.find(right).unwrap())], "{wrong}: {}", told(&lesson, &found));
    }
}

#[test]
fn a_row_or_a_line_that_names_a_step_states_that_step() {
    plan_refuses(&[
        ("ripen | 20–22 °C", "ripen | 12 °C"),
        ("| 18–24 hours |", "| 8 minutes |"),
        ("| 8 minutes |", "| 18–24 hours |"),
        ("| Churn it | 12 °C", "| Churn it | 5 °C"),
        ("between 20 and 22 °C", "between 12 and 12.5 °C"),
        ("To ripen: between 20 and 22 °C", "To ripen: at 12 °C"),
        ("for 18 to 24 hours", "for 8 minutes"),
        ("churn: at 12 °C, for 8 minutes", "churn: at 12 °C, for 10 days"),
    ]);
}

#[test]
fn the_second_way_to_keep_is_held_as_the_first() {
    plan_refuses(&[
        ("or for 12 weeks", "or for 10 days"),
        ("or for 12 weeks", "or for 8 minutes"),
        ("keeps for 10 days", "keeps for 12 weeks"),
    ]);
}

#[test]
fn a_freezer_may_be_colder_and_never_warmer() {
    plan_refuses(&[("−18 °C or below", "−18 °C or above")]);
}

#[test]
fn what_a_thing_is_kept_at_is_no_temperature_of_a_step() {
    plan_refuses(&[("at −18 °C or below", "at 12 °C"), ("at −18 °C or below", "at 20–22 °C")]);
}

#[test]
fn half_of_it_is_resolved_or_refused() {
    let lesson = |words: &str| {
        format!(
            "# Salted milk\n\n```recipe\nmakes = \"1 L salted milk\"\n[ingredients]\nmilk = \"1 L whole milk\"\nsalt = \"9 g fine salt\"\n```\n\n\
             ## First\n\n```step\nadd = [\"milk\", {{ salt = \"half\" }}]\n```\n\n{words}\n\n\
             ## Then\n\n```step\nadd = {{ salt = \"rest\" }}\n```\n\nStir.\n"
        )
    };
    for (words, code) in [
        ("Weigh the salt and add half of it.", None),
        ("Weigh the salt and add a third of it.", Some("disagrees")),
        ("Add half of it.", Some("unknown-mention")),
        ("Add half the salt, 4.5 g.", None),
        ("Add half the salt, 5.4 g.", Some("disagrees")),
    ] {
        let text = lesson(words);
        let found = findings(&text);
        assert_eq!(found.first().map(|one| one.code.name()), code, "{words}: {}", told(&text, &found));
        assert!(found.len() <= 1, "{words}: {}", told(&text, &found));
    }
}

/// As much ice as milk: only one of them grows with the batch, so the words should say which is meant.
#[test]
fn a_figure_of_two_measures_that_scale_differently_is_noted() {
    let lesson = |words: &str| {
        format!(
            "# Milk\n\n```recipe\nmakes = \"1.9 L cold milk\"\n[ingredients]\nmilk = \"2 L whole milk\"\n```\n\n## First\n\n\
             ```step\nadd = [\"milk\"]\nmeasures = {{ bath = \"2 L\" }}\n```\n\n{words}\n"
        )
    };
    let codes = |words: &str| findings(&lesson(words)).iter().map(|one| one.code.name()).collect::<Vec<_>>();
    assert_eq!(codes("Pour in 2 litres."), ["unclear-mention"]);
    assert_eq!(codes("Pour in 2 litres of milk."), [""; 0]);
}

/// CLDR 48.2: a decimal comma in these languages, and a point or a blank between thousands.
#[test]
fn figures_are_read_and_shown_as_the_language_of_the_course_writes_them() {
    let comma = LESSON
        .replace("cut = \"2.5 cm\"", "cut = \"2,5 cm\"")
        .replace("Cut 2.5-centimetre", "Cut 2,5-centimetre")
        .replace("3.2–3.4 L", "3,2–3,4 L")
        .replace("1.5 %", "1,5 %")
        .replace("milk  = \"4 L", "milk  = \"4.000 mL")
        .replace("| Milk | 4 L |", "| Milk | 4 000 mL |");
    for language in ["de", "fr", "es", "it", "nl", "pt", "pl", "sv", "en-ZA"] {
        let course = format!("{COURSE}language = \"{language}\"\n");
        let of = |lesson: &str| {
            let project = Project::from_files([("course.toml", course.as_str()), ("01-curd/lesson.md", lesson)]);
            let checked = check(&project);
            (project, checked)
        };
        let (project, right) = of(&comma);
        let found: Vec<Diagnostic> = right.findings.iter().cloned().collect();
        assert!(found.is_empty(), "{language}: {}", told(&comma, &found));
        let site =
            pottle::render(&project, &right.course.expect("a course without findings")).expect("the theme is whole");
        let page = String::from_utf8_lossy(&site.files()["curd.html"]).into_owned();
        assert!(page.contains("3,2–3,4\u{A0}L") && page.contains("1,5\u{A0}%"), "{language}");
        let (_, wrong) = of(&comma.replacen("2,5-centimetre", "3,5-centimetre", 1));
        let found: Vec<Diagnostic> = wrong.findings.iter().cloned().collect();
        let texts = format!("{found:?}");
        assert!(texts.contains("2,5") && !texts.contains("2.5"), "{language}: {texts}");
    }
}
