//! Words of the trade: links to them, forms that two claim, the order in which lessons teach them, measures in what they
//! mean.

use pottle::{Project, check, render};

const COURSE: (&str, &str) = ("course.toml", "title = \"Hall\"\nhome = \"uk\"\n");
const GLOSSARY: &str = "# Glossary\n\n## clean split\n\n```term\nalso = [\"clean splits\"]\n```\n\nThe sign of a set.\n\n## rind\n\nThe skin of a cheese.\n";

/// Code, message and help of what is found in a course of these texts, and the words it points at.
fn found(glossary: &str, lessons: &[&str]) -> Vec<[String; 4]> {
    let paths: Vec<String> = (1..=lessons.len()).map(|number| format!("0{number}-l{number}/lesson.md")).collect();
    let mut files = vec![COURSE];
    if !glossary.is_empty() {
        files.push(("glossary.md", glossary));
    }
    files.extend(paths.iter().map(String::as_str).zip(lessons.iter().copied()));
    let project = Project::from_files(files);
    let findings = check(&project).findings;
    let said = findings.iter().map(|one| {
        let words = project.sources.text(one.primary.span).to_owned();
        [one.code.name().to_owned(), words, one.message.clone(), one.help.clone().unwrap_or_default()]
    });
    said.collect()
}

fn codes(glossary: &str, lessons: &[&str]) -> Vec<(String, String)> {
    found(glossary, lessons).into_iter().map(|[code, words, ..]| (code, words)).collect()
}

fn pair(code: &str, words: &str) -> (String, String) {
    (code.to_owned(), words.to_owned())
}

#[test]
fn a_link_names_a_term_by_slug_name_or_form() {
    for address in ["term:clean-split", "TERM:Clean-Split", "<term:clean split>", "term:clean%20splits", "term:whey"] {
        let lesson = format!("# Milk\n\nWait for [it]({address}).\n");
        assert_eq!(codes(GLOSSARY, &[&lesson]), [], "{address}");
    }
    let [one] = &found(GLOSSARY, &["# Milk\n\nWait for [it](term:clean-splot).\n"])[..] else { panic!("one") };
    assert_eq!([&one[0], &one[1], &one[3]], ["unknown-term", "term:clean-splot", "did you mean `term:clean-split`?"]);
    let far = found(GLOSSARY, &["# Milk\n\nWait for [it](term:aubergine-caviar).\n"]);
    assert_eq!(far[0][3], "write a term of the glossary, or add this one to the course's glossary.md");
    // In what terms mean, too; and a term of the built-in glossary is one.
    let inner = "# Glossary\n\n## rind\n\nSee [w](term:whey), [x](term:wheyy).\n";
    assert_eq!(codes(inner, &["# Milk\n"]), [pair("unknown-term", "term:wheyy")]);
}

fn page(glossary: &str, lesson: &str, name: &str) -> String {
    let files = [COURSE, ("glossary.md", glossary), ("01-l1/lesson.md", lesson)];
    let project = Project::from_files(files);
    let checked = check(&project);
    assert!(checked.findings.is_empty(), "{:?}", checked.findings);
    let site = render(&project, &checked.course.expect("no findings")).expect("it is published");
    String::from_utf8(site.files()[name].clone()).expect("text")
}

#[test]
fn a_link_to_a_term_opens_it_wherever_it_stands() {
    let glossary = format!("{GLOSSARY}\n## wheel\n\nA round cheese with a [hard skin](term:rind).\n");
    let lesson = "# Milk\n\nThe rind and [*its* skin](term:rind). The [wheel](term:wheel).\n\n## The [rind](term:rind)\n\nWords.\n";
    let text = page(&glossary, lesson, "l1.html");
    for part in [
        "The <button popovertarget=_t1>rind</button> and <button popovertarget=_t1><em>its</em> skin</button>. The <button popovertarget=_t2>wheel</button>.",
        "The rind</h2>",
        "<p popover id=_t1><a href=glossary.html#rind>rind</a>\nThe skin of a cheese.",
        "<p popover id=_t2><a href=glossary.html#wheel>wheel</a>\nA round cheese with a hard skin.",
    ] {
        assert!(text.contains(part), "no {part} in {text}");
    }
    let words = page(&glossary, lesson, "glossary.html");
    assert!(words.contains("A round cheese with a <a href=#rind>hard skin</a>."), "{words}");
    let home = page(&glossary, lesson, "l1-take-home.html");
    for part in [
        "<button popovertarget=_t1><em>its</em> skin</button>",
        "<a href=#_word-rind>rind</a>\nThe skin",
        "id=_word-rind",
    ] {
        assert!(home.contains(part), "no {part} in {home}");
    }
}

#[test]
fn a_form_belongs_to_one_term_of_a_file() {
    let with = |also: &str, name: &str| {
        format!(
            "# Glossary\n\n## curdle\n\n```term\nalso = [{also}]\n```\n\nTo clump.\n\n## {name}\n\n```term\nalso = [\"clumps\"]\n```\n\nTo set.\n"
        )
    };
    let lesson = &["# Milk\n"][..];
    for (also, name, words) in [
        ("\"clumps\"", "thicken", "clumps"),
        ("\"thicken\"", "Thicken", "Thicken"),
        ("\"x\", \"Clumps\"", "set", "clumps"),
    ] {
        assert_eq!(codes(&with(also, name), lesson), [pair("duplicate-id", words)], "{also} {name}");
    }
    // A term may repeat its own, and a course may take a form, or a name, from the built-in glossary.
    for also in ["\"curdle\", \"curdled\", \"curdled\"", "\"whey\", \"curds\""] {
        assert_eq!(codes(&with(also, "thicken"), lesson), [], "{also}");
    }
    let text = page(&with("\"curds\"", "thicken"), "# Milk\n\nCurds form in curd.\n", "l1.html");
    assert!(text.contains("<a href=glossary.html#curdle>") && text.contains("<a href=glossary.html#curd>"), "{text}");
}

const TEACHES: &str = "# Cheese\n\n```lesson\nteaches = [\"rind\", \"clean splits\"]\n```\n\nWords.\n";

#[test]
fn a_term_is_taught_before_it_is_used() {
    let early = "# Milk\n\nCut off the rind. The rind is dry.\n";
    let [one] = &found(GLOSSARY, &[early, TEACHES])[..] else { panic!("one note") };
    assert_eq!([&one[0], &one[1]], ["untaught-term", "rind"]);
    assert_eq!(one[2], "“rind” is used here, and taught only in “Cheese”, which comes later");
    assert!(one[3].contains("`[rind](term:rind)`"), "{}", one[3]);
    // Other forms count, and so do signs and rescues.
    assert_eq!(codes(GLOSSARY, &["# Milk\n\nTwo clean splits.\n", TEACHES]), [pair("untaught-term", "clean splits")]);
    let sign = "# Milk\n\n## Wait\n\n```step\ntakes = \"5 min\"\nuntil = \"clean split\"\n```\n\nWait 5 minutes.\n\n```rescue\nsign = \"No clean split\"\ndo = \"Wait.\"\n```\n";
    assert_eq!(codes(GLOSSARY, &[sign, TEACHES]), [pair("untaught-term", "clean split")]);
    let linked = "# Milk\n\nThe rind, as in [rind](term:rind).\n";
    let heading = "# Rind\n\n```lesson\nsummary = \"What a rind is.\"\n```\n\n## Of rind\n\nWords.\n";
    let taught_twice = "# Milk\n\n```lesson\nteaches = [\"rind\"]\n```\n\nThe rind.\n";
    for lessons in
        [[TEACHES, early], [linked, TEACHES], [heading, TEACHES], [taught_twice, TEACHES], [early, "# Cheese\n"]]
    {
        assert_eq!(codes(GLOSSARY, &lessons), [], "{lessons:?}");
    }
    let [one] = &found(GLOSSARY, &["# Milk\n\n```lesson\nteaches = [\"rinds\"]\n```\n"])[..] else { panic!("one") };
    assert_eq!([&one[0], &one[1], &one[3]], ["unknown-term", "rinds", "did you mean `rind`?"]);
}

#[test]
fn the_glossary_and_the_note_say_where_a_term_is_taught() {
    let lesson = format!("{TEACHES}\nThe rind.\n");
    assert!(page(GLOSSARY, &lesson, "l1.html").contains("The skin of a cheese. Taught in this lesson."));
    let text = page(GLOSSARY, &lesson, "glossary.html");
    for part in
        ["Taught in <a href=l1.html>Cheese</a>. Used in <a href=l1.html>Cheese</a>", "<p class=also>also: clean splits"]
    {
        assert!(text.contains(part), "no {part} in {text}");
    }
}

#[test]
fn a_sign_is_a_term_where_the_course_has_a_glossary() {
    let sign = |words: &str| {
        format!("# Milk\n\n## Wait\n\n```step\ntakes = \"5 min\"\nuntil = \"{words}\"\n```\n\nWait 5 minutes.\n")
    };
    assert_eq!(codes(GLOSSARY, &[&sign("it sings")]), [pair("unnamed-sign", "it sings")]);
    for (glossary, words) in [("", "it sings"), (GLOSSARY, "a Clean Split, all round"), (GLOSSARY, "clear whey")] {
        assert_eq!(codes(glossary, &[&sign(words)]), [], "{words}");
    }
}

/// What the built-in terms mean is held to the facts as a course's own terms are: a figure there states a fact or is
/// not there.
#[test]
fn measures_in_what_terms_mean_are_facts() {
    let shared = include_str!("../shared/glossary.md");
    assert_eq!(codes(shared, &["# Milk\n"]), []);
    for words in ["Heat it to 61 °C.", "It takes 25 minutes."] {
        let found = codes(&format!("{shared}\n## zzz\n\n{words}\n"), &["# Milk\n"]);
        assert_eq!(found.len(), 1, "{words}");
        assert_eq!(found[0].0, "unknown-mention", "{words}");
    }
    let fact = format!("{shared}\n## zzz\n\nIt goes into the fridge, at 5 °C or below.\n");
    assert_eq!(codes(&fact, &["# Milk\n"]), []);
}
