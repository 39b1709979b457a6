//! Blocks and tables as TOML that is meant to be too much, and models that lead in circles.

use super::course::{COURSE, Recipe, block, lesson, looked_at, refused, with, words};

fn many(text: &str, count: usize) -> String {
    text.repeat(count)
}

fn step(keys: &str) -> Vec<super::course::File> {
    Recipe { step: &format!("add = [\"water\"]\n{keys}"), ..Recipe::default() }.course()
}

fn steps(text: &str) -> Vec<super::course::File> {
    words(text)
}

fn course_toml(text: impl AsRef<str>) -> Vec<super::course::File> {
    with(words("Stir."), "course.toml", text.as_ref())
}

fn pantry(text: impl AsRef<str>) -> Vec<super::course::File> {
    with(words("Stir."), "pantry.toml", text.as_ref())
}

refused! {
    lists_a_hundred_thousand_deep: block(format!("learn = {}", many("[", 100_000))) => "bad-toml", "01-a/lesson.md", "learn";
    closed_lists_a_thousand_deep: block(format!("learn = {}{}", many("[", 1000), many("]", 1000))) => "bad-toml", "01-a/lesson.md", "learn";
    tables_fifty_thousand_deep: block(format!("learn = {}", many("{a=", 50_000))) => "bad-toml", "01-a/lesson.md", "learn";
    a_key_of_fifty_thousand_parts: block(format!("{}b = 1", many("a.", 50_000))) => "bad-toml", "01-a/lesson.md", "a.a";
    a_heading_of_fifty_thousand_parts: block(format!("[{}b]", many("a.", 50_000))) => "bad-toml", "01-a/lesson.md", "a.a";
    five_thousand_equal_keys: block(many("summary = \"a\"\n", 5000)) => "duplicate-id", "01-a/lesson.md", "summary";
    two_equal_tables: Recipe { more: "[ingredients]\nmilk = \"1 L milk\"", ..Recipe::default() }.course() => "duplicate-id", "01-a/lesson.md", "[ingredients]";
    thousands_of_broken_lines: block(many("summary = \n", 5000)) => "bad-toml", "01-a/lesson.md", "summary";
    thousands_of_open_quotes: block(many("summary = \"a\n", 3000)) => "bad-toml", "01-a/lesson.md", "summary";
    a_number_of_a_thousand_figures: block(format!("session = {}", many("9", 1000))) => "wrong-type", "01-a/lesson.md", "session";
    a_number_beyond_all_floats: block("session = 1e999999999") => "wrong-type", "01-a/lesson.md", "session";
    a_date_that_never_was: block("published = 2026-02-31") => "bad-toml", "01-a/lesson.md", "published";
    a_nought_byte_in_a_key: block("sum\0mary = \"a\"") => "not-utf8", "01-a/lesson.md", "mary";
    an_escape_that_is_no_letter: block("summary = \"\\uD800\"") => "bad-toml", "01-a/lesson.md", "summary";
    an_empty_key: block("\"\" = 1") => "unknown-key", "01-a/lesson.md", "\"\" = 1";
    a_list_of_a_hundred_thousand: block(format!("learn = [{}]\nx = 1", many("\"a\",", 100_000))) => "unknown-key", "01-a/lesson.md", "x = 1";
    a_list_within_a_list: block("learn = [[[\"a\"]]]") => "wrong-type", "01-a/lesson.md", "learn";
    thousands_of_asides: block(format!("asides = [{}]", (0..3000).map(|at| format!("\"{at} litres a day\",\n")).collect::<String>())) => "stale-aside", "01-a/lesson.md", "litres";
    an_aside_without_words: block("asides = [\"\"]") => "wrong-type", "01-a/lesson.md", "asides";
    two_lesson_blocks: words("```lesson\nsummary = \"a\"\n```\n\n```lesson\nsummary = \"b\"\n```") => "misplaced-block", "01-a/lesson.md", "```lesson";
    a_step_before_any_heading: lesson("```step\n```\n\n# A\n\nStir.\n") => "misplaced-block", "01-a/lesson.md", "```step";
    steps_that_wait_for_each_other: steps("## B\n\n```step\nid = \"b\"\nafter = [\"c\"]\n```\n\nStir.\n\n## C\n\n```step\nid = \"c\"\nafter = [\"b\"]\n```\n\nStir.") => "out-of-order", "01-a/lesson.md", "```step";
    a_step_that_waits_for_itself: steps("## B\n\n```step\nid = \"b\"\nafter = [\"b\"]\n```\n\nStir.") => "unknown-name", "01-a/lesson.md", "after";
    a_step_beside_itself: steps("## B\n\n```step\nid = \"b\"\nwhile = \"b\"\n```\n\nStir.") => "unknown-name", "01-a/lesson.md", "while";
    a_step_that_waits_for_nothing_there: steps("## B\n\n```step\nid = \"b\"\nafter = [\"never\"]\n```\n\nStir.") => "unknown-name", "01-a/lesson.md", "after";
    two_steps_of_one_id: steps("## B\n\n```step\nid = \"b\"\n```\n\nStir.\n\n## C\n\n```step\nid = \"b\"\n```\n\nStir.") => "duplicate-id", "01-a/lesson.md", "id = \"b\"";
    lessons_that_live_off_each_other: leftovers("b", "a") => "out-of-order", "01-a/lesson.md", "from";
    a_lesson_that_lives_off_itself: leftovers("a", "a") => "out-of-order", "01-a/lesson.md", "from";
    a_lesson_that_lives_off_nothing: leftovers("never", "a") => "unknown-name", "01-a/lesson.md", "from";
    an_unknown_pot: step("in = \"cauldron\"") => "unknown-name", "01-a/lesson.md", "cauldron";
    an_unknown_ingredient: Recipe { ingredients: "water = \"1 L moon milk\"", ..Recipe::default() }.course() => "unknown-ingredient", "01-a/lesson.md", "moon";
    an_ingredient_that_goes_in_twice: Recipe { step: "add = [\"water\", \"water\"]", ..Recipe::default() }.course() => "duplicate-id", "01-a/lesson.md", "add";
    a_course_without_a_title: course_toml("home = \"uk\"\n") => "missing-key", "course.toml", "";
    a_course_in_no_language: course_toml("title = \"T\"\nlanguage = \"<script>\"\n") => "wrong-type", "course.toml", "language";
    a_course_at_home_nowhere: course_toml("title = \"T\"\nhome = \"atlantis\"\n") => "wrong-type", "course.toml", "home";
    an_address_that_runs: course_toml("title = \"T\"\naddress = \"javascript:alert(1)\"\n") => "wrong-type", "course.toml", "address";
    an_address_that_breaks_out: course_toml("title = \"T\"\naddress = \"https://a\\\"><script>\"\n") => "wrong-type", "course.toml", "address";
    a_recording_that_runs: block("recording = \"javascript:alert(1)\"") => "broken-reference", "01-a/lesson.md", "recording";
    a_recording_in_data: block("recording = \"data:text/html,x\"") => "broken-reference", "01-a/lesson.md", "recording";
    a_currency_of_markup: course_toml("title = \"T\"\n[class]\nstudents = 2\ncurrency = \"<script>alert(1)</script>\"\n") => "wrong-type", "course.toml", "currency";
    five_thousand_equal_ingredients: pantry(many("[[ingredient]]\nid = \"grit\"\nname = \"grit\"\n", 5000)) => "duplicate-id", "pantry.toml", "grit";
    five_thousand_empty_ingredients: pantry(many("[[ingredient]]\n", 5000)) => "bad-table", "pantry.toml", "[[ingredient]]";
    a_pantry_of_something_else: pantry("[ingredient]\nid = \"grit\"\n") => "unknown-key", "pantry.toml", "ingredient";
    facts_about_nothing: with(words("Stir."), "facts.toml", many("[[fact]]\nid = \"x\"\n", 5000)) => "bad-table", "facts.toml", "[[fact]]";
    thousands_of_equal_terms: with(words("Stir."), "glossary.md", format!("# Words\n\n{}", many("## fathom\n\nDeep.\n\n", 1000))) => "duplicate-id", "glossary.md", "fathom";
    a_template_that_is_none: with(words("Stir."), "theme/templates/lesson.html", "{% if %}{{ ") => "broken-template", "theme/templates/lesson.html", "if";
}

/// Two lessons; each takes its whey from the named one.
fn leftovers(first: &str, second: &str) -> Vec<super::course::File> {
    let taking = |from: &str| {
        Recipe {
            makes: "800 mL thin whey",
            more: "leaves = { whey = \"1 L\" }",
            ingredients: &format!("whey = {{ amount = \"2 L whey\", from = \"{from}\", instead = \"water\" }}"),
            step: "add = [\"whey\"]",
            ..Recipe::default()
        }
        .text()
    };
    with(with(lesson(taking(first)), "02-b/lesson.md", taking(second)), "course.toml", COURSE)
}

#[test]
fn recipes_far_too_long_are_read_in_time() {
    let lines: String = (0..100).map(|at| format!("w{at} = \"1 g water\"\n")).collect();
    let names: Vec<String> = (0..100).map(|at| format!("\"w{at}\"")).collect();
    let add = format!("add = [{}]", names.join(", "));
    looked_at(Recipe { ingredients: &lines, step: &add, makes: "100 g tea", ..Recipe::default() }.course());
    let steps: String =
        (0..100).map(|at| format!("## S{at}\n\n```step\ntakes = \"5 min\"\n```\n\nWait 5 minutes.\n\n")).collect();
    looked_at(words(steps));
}

#[test]
fn a_template_that_holds_itself_ends_too() {
    looked_at(with(words("Stir."), "theme/templates/lesson.html", "{% include \"lesson.html\" %}"));
}

#[test]
fn forks_without_end_are_read_in_time() {
    let way = |at: usize| {
        format!("## S{at}\n\n```step\ntakes = \"5 min\"\nway = \"w{}\"\n```\n\nWait 5 minutes.\n\n", at % 2)
    };
    let forks: String =
        (0..60).map(|at| way(at) + if at % 2 == 1 { "## T\n\n```step\n```\n\nStir.\n\n" } else { "" }).collect();
    looked_at(words(forks));
    let ways: String = (0..60).map(|at| way(at).replace("\"w0\"", &format!("\"v{at}\""))).collect();
    looked_at(words(ways));
}
