//! How long a make keeps is held against how it is kept, and what it contains against the pantry. For each rule a lesson
//! that breaks it, and one that comes near and does not.
//!
//! Figures: Food Code 3-501.16 and 3-501.17 as US states adopted them; Regulation (EU) No 1169/2011, Article 24 and Annex
//! X; advice of the UK's food authority on fridges (5 °C, where the law asks for 8 °C).

use pottle::{Project, check};

const COURSE: &str = "title = \"Hall\"\nlanguage = \"en-GB\"\n";

/// The findings of one lesson that keeps something, in a course whose lines say where it is taught.
fn found(taught: &str, kind: &str, thing: &str, keeps: &str) -> Vec<String> {
    let kind = if kind.is_empty() { String::new() } else { format!("kind = \"{kind}\"\n") };
    let lesson = format!(
        "# Make\n\n```recipe\nmakes = \"500 g make\"\n{kind}keeps = [{{ {keeps} }}]\n[ingredients]\nthing = \"500 g {thing}\"\n```\n\n\
         ## Make it\n\n```step\nadd = [\"thing\"]\n```\n\nMix it.\n"
    );
    let course = format!("{COURSE}{taught}");
    let files = vec![("course.toml", course.as_str()), ("01-make/lesson.md", lesson.as_str())];
    let found = check(&Project::from_files(files)).findings;
    found.iter().map(|one| format!("{}: {}", one.code.name(), one.message)).collect()
}

/// Whether the only finding is this one; with no code, whether there is none.
#[track_caller]
fn finds(home: &str, kind: &str, thing: &str, keeps: &str, code: &str) {
    finds_where(&format!("home = \"{home}\"\n"), kind, thing, keeps, code);
}

/// The same where a course says more about where it is taught.
#[track_caller]
fn finds_where(taught: &str, kind: &str, thing: &str, keeps: &str, code: &str) {
    let found = found(taught, kind, thing, keeps);
    let codes: Vec<&str> = found.iter().map(|one| one.split(':').next().unwrap_or("")).collect();
    let expected: Vec<&str> = if code.is_empty() { Vec::new() } else { vec![code] };
    assert_eq!(codes, expected, "{taught}, {kind}, {thing}, {keeps}: {found:#?}");
}

const MILK: &str = "whole milk";
const FLOUR: &str = "strong white flour";

#[test]
fn a_time_without_a_place_or_a_pack_is_no_statement() {
    for place in ["at home", "after the class", "for your family"] {
        let keeps = format!("where = \"{place}\", for = \"4 days\"");
        finds("uk", "fresh-cheese", MILK, &keeps, "keeps-unsaid");
        finds("uk", "", MILK, &keeps, "keeps-unsaid");
        finds("us", "bread", FLOUR, &keeps, "keeps-unsaid");
        // With a temperature or a pack the same words do.
        finds("uk", "fresh-cheese", MILK, &format!("{keeps}, at = \"at most 5 °C\""), "");
        finds("uk", "fresh-cheese", MILK, &format!("{keeps}, pack = \"lidded\""), "");
    }
    // What spoils needs more than a tub.
    finds("uk", "fresh-cheese", MILK, "where = \"in a lidded tub\", for = \"3 days\"", "keeps-unsaid");
    finds("uk", "other", MILK, "where = \"wrapped in paper\", for = \"3 days\"", "keeps-unsaid");
}

#[test]
fn a_place_that_says_how_warm_or_how_packed_is_a_statement() {
    for place in ["covered in the fridge", "in the freezer"] {
        finds("uk", "fresh-cheese", MILK, &format!("where = \"{place}\", for = \"2 days\""), "");
    }
    // Said, and a danger to what spoils, as ice melts, unless a temperature is said besides.
    for place in ["in a cool, dark cupboard", "on a dry shelf", "on ice"] {
        finds("uk", "fresh-cheese", MILK, &format!("where = \"{place}\", for = \"2 days\""), "danger");
        finds("uk", "bread", FLOUR, &format!("where = \"{place}\", for = \"2 days\""), "");
    }
    for place in ["wrapped in a clean tea towel", "in a lidded tin", "in sealed jars"] {
        finds("uk", "bread", FLOUR, &format!("where = \"{place}\", for = \"2 days\""), "");
        // Of a make of no kind nothing is known: its pack is a statement, and a danger where something in it spoils.
        finds("uk", "", MILK, &format!("where = \"{place}\", for = \"2 days\""), "danger");
        finds("uk", "", FLOUR, &format!("where = \"{place}\", for = \"2 days\""), "");
    }
}

#[test]
fn only_english_words_are_read_for_a_place() {
    let lesson = "# Make\n\n```recipe\nmakes = \"500 g make\"\nkeeps = [{ where = \"au frais\", for = \"4 days\" }]\n[ingredients]\n\
                  thing = \"500 g whole milk\"\n```\n";
    let course = "title = \"Hall\"\nhome = \"uk\"\nlanguage = \"fr\"\n";
    let found = check(&Project::from_files(vec![("course.toml", course), ("01-make/lesson.md", lesson)])).findings;
    // The caution about sealed food does not know how warm it is kept, and says so.
    assert_eq!(found.iter().map(|one| one.code.name()).collect::<Vec<_>>(), ["danger"]);
}

#[test]
fn a_fridge_and_a_freezer_are_as_cold_as_the_facts_have_them() {
    let keeps = |place: &str, at: &str| format!("where = \"{place}\", for = \"2 days\", at = \"{at}\"");
    for (place, at, code) in [
        ("in the fridge", "at most 6 °C", "keeps-warm"),
        ("in the fridge", "5–8 °C", "keeps-warm"),
        ("chilled", "8 °C", "keeps-warm"),
        ("in the refrigerator", "at most 42 °F", "keeps-warm"),
        ("in the fridge", "at least 3 °C", "keeps-warm"),
        ("well wrapped in the freezer", "at most −15 °C", "keeps-warm"),
        ("in the freezer", "at most 5 °F", "keeps-warm"),
        // Near: 41 °F is 5 °C, and a freezer's 0 °F is −17.8 °C, printed beside −18 °C.
        ("in the fridge", "at most 5 °C", ""),
        ("in the fridge", "at most 41 °F", ""),
        ("in the fridge", "at most 40 °F", ""),
        ("in the fridge", "1–4 °C", ""),
        ("in the freezer", "at most −18 °C", ""),
        ("in the freezer", "at most 0 °F", ""),
        // No fridge, so no fridge's temperature; a danger of its own.
        ("in a cool larder, not in the fridge", "10–12 °C", "danger"),
        ("out of the fridge, on a shelf", "20 °C", "danger"),
    ] {
        for home in ["uk", "us"] {
            finds(home, "yoghurt", MILK, &keeps(place, at), code);
        }
    }
}

#[test]
fn a_course_may_have_another_fridge() {
    let lesson = "# Make\n\n```recipe\nmakes = \"500 g make\"\nkeeps = [{ where = \"in the fridge\", for = \"2 days\", at = \"at most 8 °C\" }]\n\
                  [ingredients]\nthing = \"500 g whole milk\"\n```\n";
    let facts = "[[fact]]\nid = \"fridge\"\nname = \"fridge temperature by law\"\nmeasure = \"at most 8 °C\"\nsource = \"our \
                 authority\"\nstatus = \"published\"\n";
    let course = format!("{COURSE}home = \"uk\"\n");
    let files = vec![("course.toml", course.as_str()), ("01-make/lesson.md", lesson), ("facts.toml", facts)];
    let found = check(&Project::from_files(files)).findings;
    let messages: Vec<&str> = found.iter().map(|one| one.message.as_str()).collect();
    assert_eq!(messages, Vec::<&str>::new());
}

#[test]
fn the_us_code_lets_chilled_food_be_kept_for_seven_days() {
    let keeps = |time: &str| format!("where = \"in the fridge\", for = \"{time}\", at = \"at most 41 °F\"");
    for kind in ["fresh-cheese", "sauce", "drink", "other"] {
        for time in ["8 days", "7–10 days", "2 weeks", "at least 3 days"] {
            finds("us", kind, MILK, &keeps(time), "keeps-long");
        }
        finds("us", kind, MILK, &keeps("7 days"), "");
        finds("us", kind, MILK, &keeps("168 h"), "");
        finds("uk", kind, MILK, &keeps("10 days"), "");
        // Frozen, or known to be sour, or with nothing in it that spoils.
        finds("us", kind, MILK, "where = \"in the freezer\", for = \"8 weeks\"", "");
        finds("us", kind, MILK, &format!("{}, ph = \"at most 4.1\"", keeps("2 weeks")), "");
        finds("us", kind, MILK, &format!("{}, ph = \"at most 4.2\"", keeps("2 weeks")), "keeps-long");
        finds("us", kind, MILK, &format!("{}, aw = 0.87", keeps("2 weeks")), "");
        finds("us", kind, FLOUR, &keeps("2 weeks"), "");
    }
    for kind in ["yoghurt", "ripened-cheese", "butter", "jam", ""] {
        finds("us", kind, MILK, &keeps("3 weeks"), "");
    }
}

#[test]
fn what_spoils_is_used_by_a_date() {
    let keeps = |place: &str, more: &str| format!("where = \"{place}\", for = \"4 days\", {more}");
    let best = "mark = \"best-before\"";
    for kind in ["fresh-cheese", "yoghurt", "cream", "other", ""] {
        finds("uk", kind, MILK, &keeps("in the fridge", best), "wrong-mark");
        finds("uk", kind, MILK, &keeps("in the fridge", "mark = \"use-by\""), "");
        finds("us", kind, MILK, &keeps("in the fridge", best), "");
        finds("uk", kind, MILK, &keeps("in the freezer", best), "");
        finds("uk", kind, FLOUR, &keeps("in the fridge", best), "");
        finds("uk", kind, MILK, &keeps("in the fridge", &format!("{best}, ph = \"at most 4.0\"")), "");
    }
    for kind in ["butter", "ripened-cheese", "bread", "jam"] {
        finds("uk", kind, MILK, &keeps("in the fridge", best), "");
    }
}

#[test]
fn bread_of_the_day_needs_no_date() {
    let keeps = |time: &str, mark: &str| format!("where = \"wrapped in a cloth\", for = \"{time}\"{mark}");
    let best = ", mark = \"best-before\"";
    finds("uk", "bread", FLOUR, &keeps("1 day", best), "needless-mark");
    finds("uk", "bread", FLOUR, &keeps("24 h", best), "needless-mark");
    finds("uk", "bread", FLOUR, &keeps("2 days", best), "");
    finds("uk", "bread", FLOUR, &keeps("1 day", ""), "");
    finds("uk", "other", FLOUR, &keeps("1 day", best), "");
    finds("us", "bread", FLOUR, &keeps("1 day", best), "");
}

/// A course that names a law is held to it, wherever its author is at home.
#[test]
fn the_law_that_a_course_names_is_the_one_that_counts() {
    let fridge = |time: &str, more: &str| format!("where = \"in the fridge\", for = \"{time}\"{more}");
    let best = ", mark = \"best-before\"";
    for home in ["uk", "us", "ca"] {
        let law = |law: &str| format!("home = \"{home}\"\nfood-law = \"{law}\"\n");
        finds_where(&law("us"), "sauce", MILK, &fridge("8 days", ""), "keeps-long");
        finds_where(&law("us"), "sauce", MILK, &fridge("4 days", best), "");
        for own in ["uk", "scotland", "eu"] {
            finds_where(&law(own), "sauce", MILK, &fridge("8 days", ""), "");
            finds_where(&law(own), "sauce", MILK, &fridge("4 days", best), "wrong-mark");
            let bread = format!("where = \"wrapped in a cloth\", for = \"1 day\"{best}");
            finds_where(&law(own), "bread", FLOUR, &bread, "needless-mark");
        }
    }
}

/// What cannot be read is told once: no rule says besides that it is missing.
#[test]
fn an_at_that_cannot_be_read_is_no_missing_at() {
    finds("uk", "fresh-cheese", MILK, "where = \"at home\", for = \"2 days\", at = \"4 quarks\"", "bad-amount");
    finds("uk", "fresh-cheese", MILK, "where = \"at home\", for = \"2 days\", pack = \"glass\"", "wrong-type");
}

/// An ingredient with this entry in the course's own pantry.
fn own_entry(home: &str, lines: &str) -> Vec<String> {
    let lesson = "# Make\n\n```recipe\nmakes = \"500 g make\"\n[ingredients]\nthing = \"500 g hall spice\"\n```\n\n## Make it\n\n\
                  ```step\nadd = [\"thing\"]\n```\n\nMix it.\n";
    let course = format!("{COURSE}home = \"{home}\"\n");
    let pantry = format!(
        "[[ingredient]]\nid = \"hall-spice\"\nname = \"hall spice\"\nkeeping = \"dry\"\nperishable = false\n{lines}"
    );
    let files = vec![("course.toml", course.as_str()), ("pantry.toml", pantry.as_str()), ("01-make/lesson.md", lesson)];
    let checked = check(&Project::from_files(files));
    assert_eq!(checked.course.is_none(), checked.findings.has_errors());
    checked
        .findings
        .iter()
        .map(|one| format!("{}: {}\n{}", one.code.name(), one.message, one.help.as_deref().unwrap_or("")))
        .collect()
}

#[test]
fn an_ingredient_without_an_answer_about_allergens_stops_publishing() {
    let (eu, us) = ("allergens = [\"mustard\"]\n", "allergens-us = []\n");
    for home in ["uk", "us", "ca", "nz", "au"] {
        for (lines, lacks) in [("", "`allergens` and `allergens-us`"), (eu, "`allergens-us`"), (us, "`allergens`")] {
            let found = own_entry(home, lines);
            assert_eq!(found.len(), 1, "{home}, {lines}: {found:#?}");
            let head = format!("bad-table: the pantry entry `hall spice` lacks {lacks}\n");
            assert!(found[0].starts_with(&head), "{}", found[0]);
            // The line to add, which says nothing before it is filled in, and what an empty list means.
            assert!(found[0].contains("= [\"…\"]"), "{}", found[0]);
            assert!(found[0].contains("[] only if you are sure there are none"), "{}", found[0]);
        }
        assert_eq!(own_entry(home, &format!("{eu}{us}")), Vec::<String>::new());
        // An allergen that no list has is no answer either.
        let found = own_entry(home, &format!("allergens = [\"mustrad\"]\n{us}"));
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(found[0].starts_with("wrong-type: `allergens` cannot be `mustrad`"), "{}", found[0]);
    }
}

#[test]
fn what_may_be_in_it_is_an_allergen_of_a_list() {
    let lesson = |ids: &str| {
        format!(
            "# Make\n\n```recipe\nmakes = \"500 g make\"\nmay-contain = {ids}\n[ingredients]\nthing = \"500 g {FLOUR}\"\n```\n\n\
             ## Make it\n\n```step\nadd = [\"thing\"]\n```\n\nMix it.\n"
        )
    };
    let found = |ids: &str| {
        let (course, lesson) = (format!("{COURSE}home = \"uk\"\n"), lesson(ids));
        let files = vec![("course.toml", course.as_str()), ("01-make/lesson.md", lesson.as_str())];
        let found = check(&Project::from_files(files)).findings;
        let near = |one: &pottle::diag::Diagnostic| one.suggestions.first().map(|one| one.edit.text.clone());
        found.iter().map(|one| (one.message.clone(), near(one))).collect::<Vec<_>>()
    };
    assert_eq!(found("[\"nuts\", \"sesame\"]"), []);
    assert_eq!(found("[\"nutz\"]"), [("`may-contain` cannot be `nutz`".to_owned(), Some("nuts".to_owned()))]);
    assert_eq!(found("\"nuts\"").len(), 1);
}
