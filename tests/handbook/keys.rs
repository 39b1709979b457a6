//! Every key that a course may have is told, with an example, and so is every word that a key may hold.
//!
//! The keys are asked of the program itself: a key that means nothing makes it list those that it knows.

use super::{chapter, codes, project, section};
use pottle::diag::Code;
use pottle::{Project, check};
use std::fs;
use std::path::Path;

/// A table of keys: what findings call it, where the handbook tells it, and a file in which it stands, with `{}` for its
/// own lines.
struct Keys {
    what: &'static str,
    folder: &'static str,
    headings: &'static [&'static str],
    path: &'static str,
    text: &'static str,
}

const fn keys(
    what: &'static str,
    (folder, headings): (&'static str, &'static [&'static str]),
    (path, text): (&'static str, &'static str),
) -> Keys {
    Keys { what, folder, headings, path, text }
}

const LESSON: &str = "01-example/lesson.md";
const RECIPE: &str = "03-lesson-and-recipe";
const STEPS: &str = "04-steps";
const SUMS: &str = "05-sums";
const FILES: &str = "06-course-files";
const ANY_SUM: &str = "Sums that students change";

const TABLES: &[Keys] = &[
    keys("a lesson block", (RECIPE, &["The lesson block"]), (LESSON, "# A\n\n```lesson\n{}\n```\n")),
    keys("an aside", (RECIPE, &["An aside"]), (LESSON, "# A\n\n```lesson\nasides = [{ {} }]\n```\n")),
    keys("a sanitiser", (RECIPE, &["The sanitiser"]), (LESSON, "# A\n\n```lesson\nsanitiser = { {} }\n```\n")),
    keys("a recipe block", (RECIPE, &["The recipe block"]), (LESSON, "# A\n\n```recipe\n{}\n```\n")),
    keys(
        "an ingredient",
        (RECIPE, &["An ingredient"]),
        (LESSON, "# A\n\n```recipe\n[ingredients]\nmilk = { {} }\n```\n"),
    ),
    keys(
        "a dilution",
        (RECIPE, &["A dilution"]),
        (LESSON, "# A\n\n```recipe\n[ingredients]\nmilk = { diluted = { {} } }\n```\n"),
    ),
    keys(
        "a piece of equipment",
        (RECIPE, &["A piece of equipment"]),
        (LESSON, "# A\n\n```recipe\n[equipment]\npot = { {} }\n```\n"),
    ),
    keys("an entry of `keeps`", (RECIPE, &["How it keeps"]), (LESSON, "# A\n\n```recipe\nkeeps = [{ {} }]\n```\n")),
    keys(
        "a measure",
        (RECIPE, &["A measure of your own"]),
        (LESSON, "# A\n\n```recipe\nmeasures = { loaf = { {} } }\n```\n"),
    ),
    keys("a kit", (RECIPE, &["A kit"]), (LESSON, "# A\n\n```recipe\nkit = { {} }\n```\n")),
    keys("what was tested", (RECIPE, &["A tested proportion"]), (LESSON, "# A\n\n```recipe\ntested = { {} }\n```\n")),
    keys("a step block", (STEPS, &["The step block", "What is done"]), (LESSON, "# A\n\n## B\n\n```step\n{}\n```\n")),
    keys(
        "a rescue block",
        (STEPS, &["The rescue block"]),
        (LESSON, "# A\n\n## B\n\n```step\n```\n\n```rescue\n{}\n```\n"),
    ),
    keys("a `mix` sum", (SUMS, &[ANY_SUM, "Hot and cold water"]), (LESSON, "# A\n\n```sum\nof = \"mix\"\n{}\n```\n")),
    keys(
        "a `dough-water` sum",
        (SUMS, &[ANY_SUM, "Water for a dough"]),
        (LESSON, "# A\n\n```sum\nof = \"dough-water\"\n{}\n```\n"),
    ),
    keys(
        "a `bakers` sum",
        (SUMS, &[ANY_SUM, "What goes with the flour"]),
        (LESSON, "# A\n\n```sum\nof = \"bakers\"\n{}\n```\n"),
    ),
    keys(
        "a `bakers` sum",
        (SUMS, &[ANY_SUM, "What goes with the flour"]),
        (LESSON, "# A\n\n```sum\nof = \"bakers\"\n{}\ndough = \"1 kg\"\n```\n"),
    ),
    keys("a `brine` sum", (SUMS, &[ANY_SUM, "Salt for a brine"]), (LESSON, "# A\n\n```sum\nof = \"brine\"\n{}\n```\n")),
    keys(
        "a `dilute` sum",
        (SUMS, &[ANY_SUM, "A weaker solution from a strong one"]),
        (LESSON, "# A\n\n```sum\nof = \"dilute\"\n{}\n```\n"),
    ),
    keys(
        "a `boiling` sum",
        (SUMS, &[ANY_SUM, "Where water boils and jam sets"]),
        (LESSON, "# A\n\n```sum\nof = \"boiling\"\n{}\n```\n"),
    ),
    keys(
        "a `rennet` sum",
        (SUMS, &[ANY_SUM, "Rennet by its strength"]),
        (LESSON, "# A\n\n```sum\nof = \"rennet\"\n{}\n```\n"),
    ),
    keys(
        "a `dose` sum",
        (SUMS, &[ANY_SUM, "A dose for the litre"]),
        (LESSON, "# A\n\n```sum\nof = \"dose\"\n{}\n```\n"),
    ),
    keys("an `ice` sum", (SUMS, &[ANY_SUM, "Ice to cool with"]), (LESSON, "# A\n\n```sum\nof = \"ice\"\n{}\n```\n")),
    keys(
        "a `cooling` sum",
        (SUMS, &[ANY_SUM, "When will it be cool"]),
        (LESSON, "# A\n\n```sum\nof = \"cooling\"\n{}\n```\n"),
    ),
    keys("course.toml", (FILES, &["course.toml"]), ("course.toml", "{}\n")),
    keys("the class", (FILES, &["The class"]), ("course.toml", "[class]\n{}\n")),
    keys("the kitchen", (FILES, &["The kitchen"]), ("course.toml", "[kitchen]\n{}\n")),
    keys("a set of cards", (FILES, &["Cards"]), ("course.toml", "[[cards]]\n{}\n")),
    keys("a handout", (FILES, &["Handouts"]), ("course.toml", "[[handouts]]\n{}\n")),
    keys("a pantry entry", (FILES, &["pantry.toml"]), ("pantry.toml", "[[ingredient]]\n{}\n")),
    keys(
        "an entry that adds packs to an ingredient",
        (FILES, &["pantry.toml"]),
        ("pantry.toml", "[[ingredient]]\nid = \"whole milk\"\nshop = \"dairy\"\n{}\n"),
    ),
    keys("a pack", (FILES, &["A pack"]), ("pantry.toml", "[[ingredient]]\nid = \"whole milk\"\npacks = [{ {} }]\n")),
    keys("a fact", (FILES, &["facts.toml"]), ("facts.toml", "[[fact]]\n{}\n")),
    keys("a term block", (FILES, &["glossary.md"]), ("glossary.md", "# Glossary\n\n## a\n\n```term\n{}\n```\n\nA.\n")),
];

/// A key that nothing has, nor anything like it.
const NONE: &str = "qqxxjjzz";

impl Keys {
    /// What is said of the table with a line of its own: code, message and help.
    fn said(&self, line: &str) -> Vec<(Code, String, String)> {
        let mut files = vec![("course.toml", "title = \"A\"\n"), (LESSON, "# A\n\nWait.\n")];
        files.retain(|(path, _)| *path != self.path);
        let text = self.text.replacen("{}", line, 1);
        files.push((self.path, &text));
        let found = check(&Project::from_files(files)).findings;
        found.iter().map(|one| (one.code, one.message.clone(), one.help.clone().unwrap_or_default())).collect()
    }

    /// The keys that it knows.
    fn known(&self) -> Vec<String> {
        let wanted = format!("{} has no key `{NONE}`", self.what);
        let said = self.said(&format!("{NONE} = 1"));
        let listed =
            said.iter().find(|(_, message, _)| *message == wanted).unwrap_or_else(|| panic!("{wanted}: {said:#?}"));
        assert!(listed.2.starts_with("its keys are ") || listed.2.starts_with("its keys is "), "{listed:?}");
        codes(&listed.2).into_iter().map(str::to_owned).collect()
    }

    /// Several lines of it, as its file has them: in braces they stand side by side.
    fn lines(&self, lines: &[String]) -> String {
        lines.join(if self.text.contains("{ {} }") { ", " } else { "\n" })
    }

    /// The words that its keys may hold, where they are closed lists.
    fn words(&self) -> Vec<(String, String)> {
        let known = self.known();
        let with = |value: String| self.lines(&known.iter().map(|key| format!("{key} = {value}")).collect::<Vec<_>>());
        let said = [self.said(&with(format!("{NONE:?}"))), self.said(&with(format!("[{NONE:?}]")))].concat();
        let mut words = Vec::new();
        for (_, message, help) in said {
            let key = message.strip_prefix('`').and_then(|rest| rest.split_once("` cannot be ")).map(|(key, _)| key);
            let Some((key, list)) = key.zip(help.strip_prefix("it is one of ")) else { continue };
            words.extend(codes(list).into_iter().map(|word| (key.to_owned(), word.to_owned())));
        }
        words
    }

    fn told(&self, text: &str) -> String {
        self.headings.iter().map(|heading| section(text, heading)).collect()
    }
}

#[test]
fn every_key_is_told_with_an_example() {
    let project = project();
    let mut missing = Vec::new();
    let mut count = 0;
    for table in TABLES {
        let told = table.told(chapter(&project, table.folder));
        for key in table.known() {
            count += 1;
            if !told.contains(&format!("\n- `{key}`")) {
                missing.push(format!("{}: `{key}` has no entry under {:?}", table.what, table.headings));
            } else if !codes(&told).iter().any(|code| code.starts_with(&format!("{key} = "))) {
                missing.push(format!("{}: `{key}` has no example", table.what));
            }
        }
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
    assert!(count > 150, "{count}");
}

#[test]
fn no_key_is_told_that_means_nothing() {
    let project = project();
    for (at, table) in TABLES.iter().enumerate() {
        let same = TABLES.iter().enumerate().filter(|(_, other)| {
            other.folder == table.folder && other.headings.iter().any(|heading| table.headings.contains(heading))
        });
        let known: Vec<String> = same.flat_map(|(_, other)| other.known()).collect();
        let told = table.told(chapter(&project, table.folder));
        for line in told.lines().filter_map(|line| line.strip_prefix("- `")) {
            let key = line.split('`').next().unwrap_or(line);
            assert!(known.iter().any(|known| known == key), "{} ({at}) has no `{key}`", table.what);
        }
    }
}

#[test]
fn every_word_that_a_key_may_hold_is_told() {
    let project = project();
    let mut missing = Vec::new();
    let mut count = 0;
    for table in TABLES {
        let told = table.told(chapter(&project, table.folder));
        for (key, word) in table.words() {
            count += 1;
            if !codes(&told).contains(&word.as_str()) {
                missing.push(format!("{}: `{key}` may be `{word}`", table.what));
            }
        }
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
    assert!(count > 120, "{count}");
}

/// What is wrong with the writing of a value, whatever the rest of its lesson says.
const SLIPS: [Code; 6] =
    [Code::BadToml, Code::UnknownKey, Code::WrongType, Code::WrongKind, Code::BadAmount, Code::BrokenReference];

#[test]
fn the_example_of_every_key_can_be_read() {
    let project = project();
    let (mut wrong, mut count) = (Vec::new(), 0);
    for table in TABLES {
        let (known, told) = (table.known(), table.told(chapter(&project, table.folder)));
        let key = |code: &str| code.split_once(" = ").map(|(key, _)| key.to_owned());
        let mut examples: Vec<&str> = codes(&told);
        examples.retain(|code| key(code).is_some_and(|key| known.contains(&key)));
        // As many at once as have different keys.
        while !examples.is_empty() {
            let mut now: Vec<String> = Vec::new();
            examples.retain(|code| {
                let twice = now.iter().any(|other| key(other) == key(code));
                if !twice {
                    now.push((*code).to_owned());
                }
                twice
            });
            count += now.len();
            let said = table.said(&table.lines(&now));
            let slips = said.iter().filter(|(code, ..)| SLIPS.contains(code));
            wrong.extend(slips.map(|(_, message, help)| format!("{}: {message}; {help}", table.what)));
        }
    }
    assert!(count > 150, "{count}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Each call that reads a table of keys: a new one wants a row above and a place in the handbook.
#[test]
fn no_table_of_keys_is_forgotten() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut calls = 0;
    for entry in walkdir::WalkDir::new(src) {
        let path = entry.expect("src is readable").into_path();
        if path.extension().is_none_or(|end| end != "rs") || path.ends_with("keys/fields.rs") {
            continue;
        }
        let text = fs::read_to_string(&path).expect("it is text");
        calls += text.matches("Fields::new(").count() + text.matches("Fields::of_block(").count();
    }
    // One of them stands in `of_block` itself; sums share one, facts and built-in sources too.
    assert_eq!(calls, 25, "a table of keys is new or gone: see TABLES, and give it a place in the handbook");
}

#[test]
fn every_caution_that_stops_a_lesson_is_told() {
    let project = project();
    let told = section(chapter(&project, "11-cautions"), "What stops a lesson");
    let reference = check(&project).reference;
    let stops: Vec<&str> = reference
        .cautions
        .rules
        .iter()
        .filter(|rule| rule.severity == pottle::reference::CautionSeverity::Block)
        .map(|rule| rule.id.as_str())
        .collect();
    assert!(stops.len() > 10, "{stops:?}");
    let rows: Vec<&str> = codes(told);
    assert_eq!(rows, stops, "the table of stops is out of step with shared/cautions.toml");
}
