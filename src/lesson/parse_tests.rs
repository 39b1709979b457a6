//! Tests of parsing: what is read, and findings by code and by the words they point at.

use super::*;
use crate::lesson::RunPlace;

struct Parsed {
    sources: Sources,
    lesson: LessonSyntax,
    sink: Diagnostics,
}

fn parse(text: &str) -> Parsed {
    let mut sources = Sources::default();
    let file = sources.add("lesson.md", text);
    let mut sink = Diagnostics::default();
    let lesson = parse_lesson(&sources, file, &mut sink);
    Parsed { sources, lesson, sink: sink.sorted() }
}

impl Parsed {
    fn findings(&self) -> Vec<(&'static str, &str)> {
        self.sink.iter().map(|found| (found.code.name(), self.sources.text(found.primary.span))).collect()
    }

    fn texts(&self) -> Vec<&str> {
        self.lesson.runs.iter().map(|run| run.text.text.as_str()).collect()
    }

    /// The words of the file behind `words` in the one run that has them.
    fn home(&self, words: &str) -> &str {
        let run = self.lesson.runs.iter().find(|run| run.text.text.contains(words));
        let run = run.unwrap_or_else(|| panic!("no run has {words:?}: {:?}", self.texts()));
        let at = run.text.text.find(words).unwrap();
        self.sources.text(run.text.home(at..at + words.len()))
    }
}

/// Asserts the findings of a text, in order of place.
fn finds(text: &str, expected: &[(&str, &str)]) {
    let parsed = parse(text);
    assert_eq!(parsed.findings(), expected, "{text}");
}

const LESSON: &str = "# Curd\n\n```lesson\nsummary = \"a\"\n```\n\nWords.\n\n```recipe\nmakes = \"1 kg curd\"\n```\n\n\
    ## Heat it\n\n```step\nto = \"92 °C\"\n```\n\nHeat to 92 °C.\n\n### A trick\n\nStir.\n\n\
    ```rescue\nsign = \"a\"\ndo = \"b\"\n```\n\n## At home\n\nEat it.\n";

#[test]
fn a_sound_lesson_gives_no_finding_and_keeps_its_order() {
    let Parsed { lesson, sink, .. } = parse(LESSON);
    assert!(sink.is_empty(), "{sink:?}");
    assert_eq!(lesson.title, Some(0));
    assert_eq!(lesson.steps.len(), 1);
    assert_eq!(lesson.steps[0].rescues.len(), 1);
    let places: Vec<String> = lesson
        .body
        .iter()
        .filter(|item| !matches!(item, BodyItem::Event(..)))
        .map(|item| format!("{item:?}"))
        .collect();
    let expected =
        "Heading(0), Lesson, Recipe, Heading(1), Step(0), Heading(2), Rescue { step: 0, index: 0 }, Heading(3)";
    assert_eq!(places.join(", "), expected);
    for (at, item) in lesson.body.iter().enumerate() {
        if matches!(item, BodyItem::Heading(_)) {
            assert!(matches!(lesson.body[at + 1], BodyItem::Event(Event::Start(Tag::Heading { .. }), _)));
        }
    }
}

#[test]
fn a_step_owns_its_heading_and_the_headings_below() {
    let Parsed { lesson, .. } = parse(LESSON);
    let steps: Vec<(&str, Option<usize>)> = lesson.runs.iter().map(|run| (run.text.text.as_str(), run.step)).collect();
    assert_eq!(
        steps,
        [
            ("Curd", None),
            ("Words.", None),
            ("Heat it", Some(0)),
            ("Heat to 92 °C.", Some(0)),
            ("A trick", Some(0)),
            ("Stir.", Some(0)),
            ("At home", None),
            ("Eat it.", None),
        ]
    );
}

#[test]
fn block_places_are_the_fence_and_its_name() {
    let parsed = parse(LESSON);
    let step = &parsed.lesson.steps[0].block;
    assert_eq!(parsed.sources.text(step.span), "```step\nto = \"92 °C\"\n```");
    assert_eq!(parsed.sources.text(step.name_span), "step");
    assert_eq!(parsed.sources.text(step.body.entries[0].value.span), "\"92 °C\"");
}

#[test]
fn texts_lead_home_through_markup_entities_and_escapes() {
    let parsed = parse(
        "# T\r\n\r\nPour **4** litres, *1&frac12;* cups\\* or [2 `x` L](https://a.example)\r\nof milk  \r\nnow\\\nand ![3 *g*](a.png) 5.\r\n",
    );
    assert!(parsed.sink.is_empty(), "{:?}", parsed.sink);
    assert_eq!(parsed.texts(), ["T", "Pour 4 litres, 1½ cups* or 2   L of milk now and   5.", "3 g"]);
    assert_eq!(parsed.home("4 litres"), "4** litres");
    assert_eq!(parsed.home("1½ cups"), "1&frac12;* cups");
    assert_eq!(parsed.home("½"), "&frac12;");
    assert_eq!(parsed.home("* or"), "* or");
    assert_eq!(parsed.home("L of milk"), "L](https://a.example)\nof milk");
    assert_eq!(parsed.home("now and"), "now\\\nand");
    assert_eq!(parsed.home("3 g"), "3 *g");
}

#[test]
fn every_kind_of_place_is_told_apart() {
    let parsed = parse(
        "# T\n\n- 1 g[^n]\n  - 2 g\n- 3 g\n\n1. 4 g\n\n   5 g\n\n> 6 g\n\n| A | B |\n|---|---|\n| 7 \\| g | **8** g |\n| | 9 g |\n\n\
         [^n]: 10 g\n\n![11 g](a.png)\n\n```\n12 g\n```\n\n| C |\n|---|\n| 13 g |\n",
    );
    assert!(parsed.sink.is_empty(), "{:?}", parsed.sink);
    let places: Vec<(&str, RunPlace)> =
        parsed.lesson.runs.iter().map(|run| (run.text.text.as_str(), run.place)).collect();
    use RunPlace::{Footnote, Heading, Paragraph, Picture, TableCell, TableHead};
    assert_eq!(
        places,
        [
            ("T", Heading),
            ("1 g", Paragraph),
            ("2 g", Paragraph),
            ("3 g", Paragraph),
            ("4 g", Paragraph),
            ("5 g", Paragraph),
            ("6 g", Paragraph),
            ("A", TableHead { table: 0, column: 0 }),
            ("B", TableHead { table: 0, column: 1 }),
            ("7 | g", TableCell { table: 0, row: 0, column: 0 }),
            ("8 g", TableCell { table: 0, row: 0, column: 1 }),
            ("9 g", TableCell { table: 0, row: 1, column: 1 }),
            ("10 g", Footnote),
            ("11 g", Picture),
            ("C", TableHead { table: 1, column: 0 }),
            ("13 g", TableCell { table: 1, row: 0, column: 0 }),
        ]
    );
    assert_eq!(parsed.home("8 g"), "8** g");
    assert_eq!(parsed.home("7 | g"), "7 \\| g");
}

#[test]
fn slugs_keep_accents_and_are_unique() {
    let parsed = parse("# Crème brûlée!\n\n## Don't stop\n\n## Heat: *it* 2×\n\n## Don’t stop\n\n## !\n");
    let slugs: Vec<&str> = parsed.lesson.headings.iter().map(|heading| heading.slug.as_str()).collect();
    assert_eq!(slugs, ["crème-brûlée", "dont-stop", "heat-it-2", "dont-stop-2", "section"]);
}

#[test]
fn a_title_must_be_there() {
    finds("## Only a section\n", &[("missing-title", "## Only a section")]);
    finds("", &[("missing-title", "")]);
    finds("#\n\ntext\n", &[("missing-title", "#")]);
    finds("Title\n=====\n", &[]);
}

#[test]
fn raw_html_is_said_once_for_each_slip() {
    finds("# T\n\nA <b>4</b> g <!-- x --> y.\n", &[("raw-html", "<b>"), ("raw-html", "<!-- x -->")]);
    finds("# T\n\n<div>\nhi\n</div>\n\nA.\n", &[("raw-html", "<div>\nhi\n</div>")]);
    finds("# T\n\n`<b>` and 3 < 4 &lt;b&gt;\n", &[]);
}

#[test]
fn references_must_lead_somewhere() {
    finds(
        "# T\n\nA [b][c] [d][] [e] [f][g].\n\n[g]: https://x.example\n",
        &[("broken-reference", "[b][c]"), ("broken-reference", "[d]")],
    );
    finds(
        "# T\n\nA[^a] b[^b] \\[^c].\n\n[^a]: x\n\n[^a]: y\n",
        &[("broken-reference", "[^b]"), ("broken-reference", "[^a]")],
    );
}

#[test]
fn misspelt_blocks_are_noted_and_other_code_is_not() {
    finds(
        "# T\n\n```recpie\na\n```\n\n```steps\n```\n\n```Step\n```\n",
        &[("unknown-block", "recpie"), ("unknown-block", "steps"), ("unknown-block", "Step")],
    );
    finds("# T\n\n```text\n```\n\n```\n```\n\n~~~toml\n~~~\n\n```less\n```\n", &[]);
    let parsed = parse("# T\n\n```recpie\na\n```\n");
    assert_eq!(parsed.sink.iter().next().unwrap().help.as_deref(), Some("did you mean `recipe`?"));
    finds("# T\n\n```recipe scale=2\nmakes = \"1 g x\"\n```\n", &[("unknown-block", "scale=2")]);
}

#[test]
fn blocks_stand_at_the_left_margin() {
    for text in [
        "> ```recipe\n> a = 1\n> ```",
        "- ```recipe\n  a = 1\n  ```",
        "  ```recipe\na = 1\n```",
        "    ```recipe\n    a = 1\n    ```",
    ] {
        let parsed = parse(&format!("# T\n\n{text}\n"));
        assert_eq!(parsed.findings(), [("misplaced-block", "recipe")], "{text}");
        assert!(parsed.lesson.recipe.is_none());
    }
}

#[test]
fn blocks_stand_where_they_mean_something() {
    let step = "```step\nto = \"9 °C\"\n```\n";
    let rescue = "```rescue\nsign = \"a\"\ndo = \"b\"\n```\n";
    let lesson = "```lesson\n```\n";
    finds(&format!("# T\n\n{lesson}\n{lesson}"), &[("misplaced-block", "lesson")]);
    finds("# T\n\n```recipe\n```\n```recipe\n```\n", &[("misplaced-block", "recipe")]);
    finds(&format!("# T\n\n{step}"), &[("misplaced-block", "step")]);
    finds(step, &[("missing-title", "```step"), ("misplaced-block", "step")]);
    finds(&format!("# T\n\n## A\n\nWords.\n\n{step}\n{rescue}"), &[("misplaced-block", "step")]);
    finds(&format!("# T\n\n## A\n\n{lesson}\n{step}\n{rescue}"), &[]);
    finds(&format!("# T\n\n## A\n\n{step}\n{step}\n{rescue}"), &[("misplaced-block", "step")]);
    finds(&format!("# T\n\n## A\n\n{step}\n### B\n\n{step}"), &[("misplaced-block", "step")]);
    finds(&format!("# T\n\n## A\n\n{step}\n## B\n\n{rescue}"), &[("misplaced-block", "rescue")]);
}

#[test]
fn an_open_block_is_one_finding_and_the_rest_is_read() {
    let text = "# T\n\n## A\n\n```step\nto = \"9 °C\"\nadd = [\n  \"milk\",\n]\n\nHeat it to 9 °C.\n\n\
                ```rescue\nsign = \"a\"\ndo = \"b\"\n```\n\n## B\n\n```step\nat = \"8 °C\"\n```\n\nHold it.\n";
    let parsed = parse(text);
    assert_eq!(parsed.findings(), [("open-fence", "```step")]);
    assert_eq!(parsed.texts(), ["T", "A", "Heat it to 9 °C.", "B", "Hold it."]);
    let [first, second] = &parsed.lesson.steps[..] else { panic!("two steps") };
    assert_eq!(first.block.body.entries.len(), 2);
    assert!(first.block.broken && !second.block.broken);
    assert_eq!(first.rescues.len(), 1);
    assert_eq!(parsed.lesson.runs[2].step, Some(0));
}

#[test]
fn an_open_block_at_the_end_is_kept() {
    let parsed = parse("# T\n\n## A\n\n```step\nto = \"9 °C\"\n\n[measures]\na = \"1 g\"");
    assert_eq!(parsed.findings(), [("open-fence", "```step")]);
    assert_eq!(parsed.lesson.steps[0].block.body.entries.len(), 2);
    finds("# T\n\n```\ncode\n", &[("open-fence", "```")]);
    finds("# T\n\n> ```\n> code\n\nWords.\n", &[("open-fence", "```")]);
    finds("# T\n\n```recipe", &[("open-fence", "```recipe")]);
}

#[test]
fn an_open_example_does_not_swallow_the_steps_below() {
    let parsed = parse("# T\n\n```\ncode\n\n## A\n\n```step\nto = \"9 °C\"\n```\n");
    assert_eq!(parsed.findings(), [("open-fence", "```")]);
    assert_eq!(parsed.lesson.steps.len(), 1);
    finds("# T\n\n~~~\n```step\n```\n~~~\n\n````\n```step\n```\n````\n", &[]);
}

#[test]
fn a_glossary_keeps_its_term_blocks_by_heading() {
    let parsed = parse("# Glossary\n\n## curd\n\n```term\nalso = [\"curds\"]\n```\n\nWords.\n\n## whey\n\nMore.\n");
    assert!(parsed.sink.is_empty());
    let terms: Vec<usize> = parsed.lesson.terms.iter().map(|(heading, _)| *heading).collect();
    assert_eq!(terms, [1]);
    finds("# G\n\n## a\n\nWords.\n\n```term\n```\n", &[("misplaced-block", "term")]);
}

#[test]
fn the_title_of_a_picture_is_read_like_its_text() {
    let parsed = parse(
        "# A\n\nSee ![4 kg of flour](4%20kg.svg \"9 lb of flour\") and ![b](b.svg '1&quot; thick') and ![c][d] now.\n\n\
         [d]: d.svg \"115 °C\"\n",
    );
    assert_eq!(
        parsed.texts(),
        ["A", "See   and   and   now.", "4 kg of flour", "9 lb of flour", "1\" thick", "b", "115 °C", "c"]
    );
    assert_eq!(parsed.home("9 lb"), "9 lb");
    assert_eq!(parsed.home("1\" thick"), "![b](b.svg '1&quot; thick')");
    assert_eq!(parsed.home("115 °C"), "![c][d]".trim_end_matches(']'));
    let run = parsed.lesson.runs.iter().find(|run| run.text.text == "115 °C").unwrap();
    assert_eq!(run.text.copied_from(0..2), None, "no new figure can be written where the title is not");
}

#[test]
fn links_and_pictures_are_kept_with_their_place() {
    let parsed = parse("# T\n\n[a](#b) ![c](d.png \"d.png?\") <https://e.example> <f@g.example> [h][i]\n\n[i]: j.md\n");
    let links: Vec<(&str, &str)> =
        parsed.lesson.links.iter().map(|(address, span)| (address.as_str(), parsed.sources.text(*span))).collect();
    assert_eq!(
        links,
        [("#b", "#b"), ("d.png", "d.png"), ("https://e.example", "https://e.example"), ("j.md", "[h][i]")]
    );
}

#[test]
fn no_text_makes_parsing_fail() {
    let signs = ["```", "step", "\n", "> ", "- ", "# ", "[", "]", "\"", "=", "½", "|", "---", "~~~", "    ", "<", "!["];
    let mut seed = 7usize;
    for _ in 0..600 {
        let mut text = String::new();
        for _ in 0..24 {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            text.push_str(signs[(seed >> 33) % signs.len()]);
        }
        let parsed = parse(&text);
        for run in &parsed.lesson.runs {
            let home = run.text.home(0..run.text.text.len());
            assert!(home.end <= text.len() && text.is_char_boundary(home.start) && text.is_char_boundary(home.end));
        }
        parsed.findings();
    }
}

#[test]
fn a_sum_stands_where_words_may_and_code_in_other_languages_is_none() {
    let sum = "```sum\nof = \"boiling\"\nheight = \"600 m\"\n```\n";
    let step = "```step\nto = \"92 °C\"\n```\n";
    let parsed = parse(&format!("# T\n\n{sum}\n## A\n\n{step}\nWords.\n\n{sum}"));
    assert!(parsed.sink.is_empty(), "{:?}", parsed.sink);
    let places = parsed.lesson.body.iter().filter(|item| matches!(item, BodyItem::Sum(_)));
    assert_eq!(places.collect::<Vec<_>>(), [&BodyItem::Sum(0), &BodyItem::Sum(1)]);
    assert_eq!(parsed.lesson.sums.len(), 2);
    finds(&format!("# T\n\n## A\n\n{sum}\n{step}"), &[("misplaced-block", "step")]);
    finds("# T\n\n```sums\nof = \"mix\"\n```\n", &[("unknown-block", "sums")]);
    for language in ["scm", "sub", "su", "sun", "rum", "csv"] {
        finds(&format!("# T\n\n```{language}\na = 1\n```\n"), &[]);
    }
}
