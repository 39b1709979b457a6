//! Tests of lowering: courses held in memory, findings by code and by the words they point at.

mod course;
mod ingredients;
mod keeping;
mod model;
mod sums;

use super::*;
use crate::input::LessonFile;
use crate::quantity::{Dimension, Exact};
use crate::recipe::{Mark, MeasureId, Owner, Pack, PartAmount, Place, ProductKind, SumKind, Term};
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
            project.pictures.insert((*path).to_owned(), (*text).into());
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
