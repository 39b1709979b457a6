//! Settings, asides, glossaries, links and pictures of a course.

use super::*;

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
