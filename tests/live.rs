//! How figures stand in their sentences when a student changes them: articles, ranges, plurals, pairs, what stays.

use pottle::kitchen::{Choice, Kitchens, Reader, Thermometer, Tool};
use pottle::quantity::Exact;
use pottle::render::live_figures;
use pottle::{Project, check, render};

const COURSE: &str = "title = \"Hall\"\nhome = \"uk\"\nlanguage = \"en-GB\"\n";

const LESSON: &str = r#"# Flatbreads

```recipe
makes = "8 flatbreads"
leaves = { whey = "1.2–1.4 L whey" }

[ingredients]
milk  = "4 L whole milk"
flour = "500 g strong white flour"
salt  = "9 g fine salt"
egg   = "2 large eggs"
oil   = { amount = "10 mL olive oil", scales = false }

[equipment]
pot = { name = "heavy pot", holds = "6 L" }
```

## Mix

```step
add = ["milk", "flour", "egg", "oil", { salt = "two thirds" }]
in = "pot"
to = "at least 32 °C"
takes = "20–25 min"
measures = { piece = "100–110 g", thick = "4 mm", cut = "2.5 cm", dose = "10 g" }
```

Eight soft flatbreads take 4 litres (7 pints) of milk in a 6-litre pot, 500 g of flour and 10 mL of oil. Add the 6 g of
salt, which is two thirds of the salt, and 2 large eggs. Warm it to at least 32 °C (90 °F), about 20 to 25 minutes.
Divide it into pieces of between 100 and 110 g, roll them 4 mm thick, and cut them into 2.5-centimetre (1-inch) strips.
You are left with between 1.2 and 1.4 litres of whey, or 2 to 2½ pints. Of the dose of 10 g nothing changes.

## Finish

```step
add = { salt = "rest" }
```

Rub in the last 3 g of salt.
"#;

/// What prose stands in, and what a step's list of what goes in.
const PROSE: [&str; 2] = ["<div class=prose>", "</div>"];
const GOES_IN: [&str; 2] = ["<dl class=needs>", "</dl>"];

/// The words of the mentions in prose and headings, with what each shows.
fn shown(choice: Choice) -> Vec<(String, String)> {
    shown_in(LESSON, PROSE, choice)
}

/// The same of another lesson, in all parts of its page that begin and end so.
fn shown_in(lesson: &str, [begins, ends]: [&str; 2], choice: Choice) -> Vec<(String, String)> {
    let project = Project::from_files([("course.toml", COURSE), ("01-bread/lesson.md", lesson)]);
    let checked = check(&project);
    let course = checked.course.unwrap_or_else(|| panic!("{:#?}", checked.findings));
    let kitchens = Kitchens::new(course.reference(), course.course().home).unwrap();
    let data = live_figures(&project, &course, 0).unwrap();
    let site = render(&project, &course).unwrap();
    let page = String::from_utf8(site.files()["bread.html"].clone()).unwrap();
    let prose = page.split(begins).skip(1).filter_map(|part| part.split(ends).next());
    let mut found = Vec::new();
    for part in prose {
        for span in part.split("data-m=").skip(1) {
            let (number, rest) = span.split_once('>').unwrap();
            let words = rest.split('<').next().unwrap().to_owned();
            let mention = &data.mentions[number.parse::<usize>().unwrap()];
            let shown = kitchens.show(&data.measures[mention.measure], mention, &choice);
            let text =
                shown.map_or(words.clone(), |one| if one.after { format!("{words}{}", one.text) } else { one.text });
            found.push((words, text.replace('\u{a0}', " ")));
        }
    }
    found
}

/// Holds the words, in order, to what they become; those that are not named stay.
fn holds(choice: Choice, changes: &[(&str, &str)]) {
    for (words, text) in shown(choice) {
        let want = changes.iter().find(|(from, _)| *from == words).map_or(words.as_str(), |(_, to)| to);
        assert_eq!(text, want, "{words}");
    }
}

fn times(over: i128, under: i128) -> Choice {
    Choice { scale: Exact::new(over, under), ..Choice::AS_WRITTEN }
}

/// By hand: 4 L × 2 = 8 L and 14 imperial pints of 568 mL are 7.96 L; 1.2–1.4 L × 2 = 4.2–4.9 pints.
#[test]
fn twice_the_batch_doubles_what_goes_in_and_comes_out_and_nothing_else() {
    holds(
        times(2, 1),
        &[
            ("Eight soft flatbreads", "16 soft flatbreads"),
            ("4 litres", "8 L"),
            ("7 pints", "14 imperial pints"),
            ("500 g", "1 kg"),
            ("6 g", "12 g"),
            ("2 large eggs", "4 large eggs"),
            ("1.2 and 1.4 litres", "2.4 and 2.8 L"),
            ("2 to 2½ pints", "4¼ to 5 imperial pints"),
            ("3 g", "6 g"),
        ],
    );
}

#[test]
fn one_thing_is_not_several() {
    let texts = shown(times(1, 8));
    let of = |words: &str| texts.iter().find(|(from, _)| from == words).map(|(_, to)| to.as_str()).unwrap();
    assert_eq!(of("Eight soft flatbreads"), "1 soft flatbread");
    // A quarter of an egg: no kitchen measures that, so the exact figure stands there.
    assert_eq!(of("2 large eggs"), "0.25 large eggs");
}

/// 92 °F is no trade figure for 32 °C; the dairy says 90. A limit goes to its safe side: 89.6 °F becomes 90.
#[test]
fn each_thermometer_has_its_say() {
    let degrees = |degrees| Choice { degrees: Some(degrees), ..Choice::AS_WRITTEN };
    holds(degrees(Thermometer::Celsius), &[("90 °F", "")]);
    holds(degrees(Thermometer::Fahrenheit), &[("32 °C", "90 °F"), ("90 °F", "")]);
    holds(degrees(Thermometer::Both), &[]);
}

/// 6 L are 6.34 US quarts, and pots are counted in whole ones; 2.5 cm are an inch by the trade; an eighth of an inch is
/// 3.2 mm and no 4.
#[test]
fn american_readers_get_their_units_in_the_same_sentences() {
    let us = Choice { units: Some(Reader::Us), ..Choice::AS_WRITTEN };
    holds(
        us,
        &[
            ("4 litres", "1 US gallon + 1 US cup"),
            ("7 pints", ""),
            ("a 6-litre", "a 6 US quart"),
            ("500 g", "1 lb 1½ oz"),
            ("10 mL", "2 US tsp"),
            ("6 g", "6 g"),
            ("100 and 110 g", "3½ and 3⅞ oz"),
            ("2.5-centimetre", "1 in"),
            ("1-inch", ""),
            ("1.2 and 1.4 litres", "1¼ and 1½ US quarts"),
            ("2 to 2½ pints", "1.2 to 1.4 L"),
            ("10 g", "10 g"),
        ],
    );
}

/// Authors wrap their lines: what belongs together on the page may stand on two of them.
#[test]
fn a_pair_and_a_figure_may_go_over_the_end_of_a_line() {
    let page = |lesson: &str| {
        let project = Project::from_files([("course.toml", COURSE), ("01-bread/lesson.md", lesson)]);
        let course = check(&project).course.expect("nothing is wrong");
        String::from_utf8(render(&project, &course).unwrap().files()["bread.html"].clone()).unwrap()
    };
    // Where a line ends is all that differs, also from the words' numbers on.
    let plain = |page: String| page.replace('\n', " ");
    let wrapped = LESSON
        .replace("32 °C (90 °F), about", "32 °C\n(90 °F), about")
        .replace("4 litres (7 pints)", "4\nlitres (7\npints)");
    assert_ne!(wrapped, LESSON);
    assert_eq!(plain(page(&wrapped)), plain(page(LESSON)));
    assert!(page(&wrapped).contains("<span class=alt>"), "a conversion in brackets goes with its brackets");
}

/// In lists and quotes a line does not begin where the one before it ended: indents and signs stand between.
#[test]
fn a_pair_a_figure_and_a_term_may_go_over_the_end_of_a_line_in_a_list_and_in_a_quote() {
    let page = |lesson: &str| {
        let project = Project::from_files([("course.toml", COURSE), ("01-bread/lesson.md", lesson)]);
        let checked = check(&project);
        let course = checked.course.unwrap_or_else(|| panic!("{:#?}", checked.findings));
        String::from_utf8(render(&project, &course).unwrap().files()["bread.html"].clone()).unwrap().replace('\n', " ")
    };
    for (first, next) in [("- ", "  "), ("1. ", ""), ("> ", "> "), ("> - ", ">   ")] {
        let whole = LESSON
            .replace("\nDivide it", &format!("\n\n{first}Divide it"))
            .replace("strips.\nYou are", "strips. That is no blood heat. You are");
        let wrapped = whole
            .replace("2.5-centimetre (1-inch)", &format!("2.5-centimetre\n{next}(1-inch)"))
            .replace("110 g,", &format!("110\n{next}g,"))
            .replace("blood heat", &format!("blood\n{next}heat"));
        assert!(wrapped.lines().count() == whole.lines().count() + 3, "{first}");
        let shown = page(&wrapped);
        assert_eq!(shown, page(&whole), "{first}");
        for part in [">100 and 110 g</span>", "class=alt> (<span", ">blood heat</button>"] {
            assert!(shown.contains(part), "{first}{part}");
        }
        // The checks read it so too.
        let wrong = wrapped.replace("(1-inch)", "(2-inch)");
        let found =
            check(&Project::from_files([("course.toml", COURSE), ("01-bread/lesson.md", wrong.as_str())])).findings;
        assert!(found.iter().any(|one| one.code.name().contains("pair") || one.code.name() == "disagrees"), "{first}");
    }
}

/// By hand: 40 mL × ⅔ = 26.7 mL, and the nearest that spoons measure is 15 mL + 2½ × 5 mL; spoons of 15 and 5 mL are
/// British, common practice. 9 g of fine salt are 1½ teaspoons (292 g to a US cup, USDA SR28).
#[test]
fn a_conversion_in_brackets_goes_where_it_would_say_the_same_again() {
    let lesson = "# Curd\n\n```recipe\nmakes = \"1 L curd\"\n\n[ingredients]\nmilk = \"4 L whole milk\"\n\
                  lemon = \"120 mL lemon juice\"\nsalt = \"9 g fine salt\"\n```\n\n## Stir\n\n```step\n\
                  add = [\"milk\", { lemon = \"a third\" }, \"salt\"]\n```\n\n\
                  Pour in 40 mL (8 teaspoons) of lemon juice. Add 9 g of fine salt.\n\n\
                  ## Pour\n\n```step\nadd = { lemon = \"rest\" }\n```\n\nPour in the last 80 mL of lemon juice.\n";
    let of = |part: [&str; 2], choice: Choice, words: &str| {
        let found = shown_in(lesson, part, choice).into_iter().find(|(from, _)| from.replace('\u{a0}', " ") == words);
        found.unwrap_or_else(|| panic!("{words}")).1
    };
    for (part, words, beside) in [(PROSE, "40 mL", "8 teaspoons"), (GOES_IN, "40 mL", "2 tbsp + 2 tsp")] {
        assert_eq!(of(part, times(2, 3), words), "about 1 tbsp + 2½ tsp");
        assert_eq!(of(part, times(2, 3), beside), "");
        // Where it says something new it stays.
        assert_eq!(of(part, times(2, 1), words), "80 mL");
        let twice = of(part, times(2, 1), beside);
        assert!(!twice.is_empty() && twice != "80 mL", "{twice}");
        assert_eq!(of(part, Choice::AS_WRITTEN, beside), beside);
    }
    let by = |tool| Choice { by: Some(tool), ..Choice::AS_WRITTEN };
    // Whoever spoons what the author weighs has the spoons once, and whoever weighs has both, as written.
    assert_eq!(of(GOES_IN, by(Tool::Spoons), "9 g"), "about 1½ tsp");
    assert_eq!(of(GOES_IN, by(Tool::Spoons), "about 1½ tsp"), "");
    assert_eq!(of(GOES_IN, by(Tool::Scale), "about 1½ tsp"), "about 1½ tsp");
    // What no spoon measures any more is not told as a weight in brackets beside the same weight.
    assert_eq!(of(GOES_IN, times(1, 90), "about 1½ tsp"), "");
}
