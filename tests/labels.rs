//! The page of allergens and the page of labels, as they are published.

mod steps;

use pottle::{Project, Site, check, render};
use steps::lesson;

/// A course with these lessons, published.
fn site(home: &str, more: &str, lessons: &[(&str, &str)]) -> Site {
    let course = format!("title = \"Hall\"\nlanguage = \"en-GB\"\nhome = \"{home}\"\n{more}");
    let names: Vec<String> = (1..).zip(lessons).map(|(at, (slug, _))| format!("{at:02}-{slug}/lesson.md")).collect();
    let mut files = vec![("course.toml", course.as_str())];
    files.extend(names.iter().map(String::as_str).zip(lessons.iter().map(|(_, text)| *text)));
    let project = Project::from_files(files);
    let checked = check(&project);
    let findings: Vec<&String> = checked.findings.iter().map(|one| &one.message).collect();
    render(&project, &checked.course.unwrap_or_else(|| panic!("{findings:#?}"))).expect("the theme is sound")
}

/// A page, without the quotes that publishing may leave out.
fn page(site: &Site, name: &str) -> String {
    let bytes = site.files().get(name).unwrap_or_else(|| panic!("no {name}"));
    String::from_utf8(bytes.clone()).expect("text").replace('"', "").replace('\u{A0}', " ")
}

fn make(keys: &str, thing: &str) -> String {
    lesson(&format!("makes = \"500 g make\"\n{keys}\n[ingredients]\nthing = \"500 g {thing}\""), &["add = [\"thing\"]"])
}

const FRIDGE: &str = "keeps = [{ where = \"covered in the fridge\", for = \"4 days\", at = \"at most 5 °C\" }]";

/// How many cells of the table's rows say what.
fn cells(page: &str) -> (usize, usize, usize) {
    let body = page.split_once("<tbody").expect("a table").1.split_once("</table>").expect("its end").0;
    (body.matches("contains").count(), body.matches("<td>may").count(), body.matches("<td>–").count())
}

#[test]
fn the_table_has_the_list_of_the_home_and_no_other() {
    let lessons =
        [("a", make("", "whole milk")), ("b", make("may-contain = [\"nuts\", \"soybeans\"]", "strong white flour"))];
    let lessons: Vec<(&str, &str)> = lessons.iter().map(|(slug, text)| (*slug, text.as_str())).collect();
    // Wheat flour and milk; nuts and soya as the author says. 14 and 9 columns: Regulation (EU) No 1169/2011, Annex II;
    // FALCPA 2004 and the FASTER Act of 2021.
    for (home, columns, own, other, foreign) in [
        ("uk", 14, "cereals containing gluten", ">wheat<", false),
        ("us", 9, ">wheat<", "cereals containing gluten", false),
        ("ca", 14, "cereals containing gluten", ">wheat<", true),
        ("au", 14, "cereals containing gluten", ">wheat<", true),
    ] {
        let page = page(&site(home, "", &lessons), "allergens.html");
        assert!(page.contains(own) && !page.contains(other), "{home}");
        assert_eq!(page.contains("The law where you are has a list of its own"), foreign, "{home}");
        assert_eq!(page.matches("<th scope=col").count(), columns + 1, "{home}");
        assert_eq!(cells(&page), (2, 2, 2 * columns - 4), "{home}");
        assert!(page.contains("This page never says that a make is free of anything"));
    }
    let us = page(&site("us", "", &lessons), "b.html");
    assert!(us.contains("May contain: <strong>tree nuts</strong>, <strong>soybeans</strong>."), "{us}");
    let uk = page(&site("uk", "", &lessons), "b.html");
    assert!(uk.contains("May contain: <strong>nuts</strong>, <strong>soya</strong>."), "{uk}");
}

#[test]
fn nothing_may_be_in_it_unless_its_author_says_so_and_what_is_in_it_is_said_once() {
    let plain = make("", "whole milk");
    let said = make("may-contain = [\"milk\", \"sesame\"]", "whole milk");
    let plain = page(&site("uk", "", &[("a", &plain)]), "a.html");
    assert!(!plain.contains("May contain"), "{plain}");
    let said = page(&site("uk", "", &[("a", &said)]), "a.html");
    assert!(said.contains("<p>Contains: <strong>milk</strong>."), "{said}");
    assert!(said.contains("May contain: <strong>sesame</strong>."), "{said}");
}

#[test]
fn what_the_pantry_does_not_name_is_not_called_absent() {
    let text = make("", "white sugar");
    let page = page(&site("uk", "", &[("a", &text)]), "a.html");
    let words = "The pantry names none of the allergens of the UK and EU list for these ingredients. Read every pack: they differ.";
    assert!(page.contains(words), "{page}");
    for claim in ["allergen-free", "free from", "Free from", "no allergens", "contains no "] {
        assert!(!page.contains(claim), "{claim}");
    }
}

#[test]
fn pages_are_there_where_there_is_something_to_say() {
    let bare = site("uk", "", &[("a", "# Wash up\n\nWash up.\n")]);
    let index = page(&bare, "index.html");
    assert!(!index.contains("allergens.html") && !index.contains("labels.html"), "{index}");
    for name in ["allergens.html", "allergens.css", "labels.html", "labels.css", "papers/labels-a4.pdf"] {
        assert!(!bare.files().contains_key(name), "{name}");
    }
    let unkept = make("", "whole milk");
    let unkept = site("uk", "", &[("a", &unkept)]);
    assert!(unkept.files().contains_key("allergens.html") && !unkept.files().contains_key("labels.html"));
    let kept = make(FRIDGE, "whole milk");
    let kept = site("uk", "", &[("wash", "# Wash up\n\nWash up.\n"), ("a", &kept)]);
    let index = page(&kept, "index.html");
    for link in ["href=allergens.html", "href=labels.html", "href=papers/labels-a4.pdf"] {
        assert!(index.contains(link), "{link}: {index}");
    }
    assert!(page(&kept, "a.html").contains("href=labels.html#for-a"));
    assert!(!page(&kept, "wash.html").contains("labels.html"));
    let allergens = page(&kept, "allergens.html");
    assert!(
        allergens.contains("Without a recipe, and not in the table: <a href=wash.html>Wash up</a>."),
        "{allergens}"
    );
}

#[test]
fn lessons_of_the_same_names_stand_aside() {
    let text = make(FRIDGE, "whole milk");
    let site = site("uk", "", &[("allergens", &text), ("labels", &text)]);
    for name in ["allergens.html", "labels.html", "lesson-allergens.html", "lesson-labels.html"] {
        assert!(site.files().contains_key(name), "{name}");
    }
    assert!(page(&site, "labels.html").contains("<a href=lesson-labels.html>"));
}

/// The label of a lesson, and how many of it there are.
fn label(home: &str, text: &str) -> (String, usize) {
    let page = page(&site(home, "", &[("a", text)]), "labels.html");
    let list = page.split_once("<ul class=").expect("labels").1.split_once("</ul>").expect("their end").0;
    let count = list.matches("<li").count();
    (list.split_once("<li>").expect("a label").1.split("<li").next().unwrap_or("").to_owned(), count)
}

#[test]
fn a_label_says_what_how_and_till_when() {
    let (words, count) = label("uk", &make(FRIDGE, "whole milk"));
    for wanted in [
        ">Make<",
        "Contains <strong>milk</strong>.",
        "Keep: covered in the fridge, at most 5 °C (41 °F).",
        "Made on",
        "<strong>Use by</strong>",
        "(4 days from the day it was made)",
        "Lot: lesson 1. Amount",
    ] {
        assert!(words.contains(wanted), "{wanted}: {words}");
    }
    assert_eq!(count, 10);
}

#[test]
fn the_mark_is_the_authors_or_follows_from_what_spoils() {
    let keeps = |place: &str, more: &str| format!("keeps = [{{ where = \"{place}\", for = \"4 days\"{more} }}]");
    for (kind, place, more, thing, mark) in [
        ("", "in the fridge", "", "whole milk", "Use by"),
        ("", "in the freezer", "", "whole milk", "Best before"),
        ("", "in the fridge", "", "white sugar", "Use by"),
        ("", "in a cupboard", "", "white sugar", "Best before"),
        ("kind = \"jam\"\n", "in a cupboard", ", pack = \"lidded\"", "plums", "Best before"),
        ("kind = \"butter\"\n", "in the fridge", ", mark = \"best-before\"", "double cream", "Best before"),
        ("kind = \"jam\"\n", "in the fridge", ", mark = \"use-by\"", "plums", "Use by"),
    ] {
        let (words, _) = label("uk", &make(&format!("{kind}{}", keeps(place, more)), thing));
        assert!(words.contains(&format!("<strong>{mark}</strong>")), "{kind}, {place}, {more}, {thing}: {words}");
    }
}

#[test]
fn there_are_as_many_labels_as_jars() {
    let keeps = "keeps = [{ where = \"in a cupboard\", for = \"4 weeks\" }]";
    let with = |makes: &str, equipment: &str| {
        lesson(
            &format!(
                "makes = \"{makes}\"\n{keeps}\n[ingredients]\nthing = \"1 kg white sugar\"\n[equipment]\n{equipment}"
            ),
            &["add = [\"thing\"]"],
        )
    };
    let jars = "jars = { name = \"clean jars with lids\", count = 7 }";
    assert_eq!(label("uk", &with("1 kg syrup", jars)).1, 7);
    assert_eq!(label("uk", &with("1 kg syrup", "pots = { name = \"heavy pots\", count = 3 }")).1, 10);
    assert_eq!(label("uk", &with("1 kg syrup", "jar = \"clean jar\"")).1, 10);
    let (words, count) = label("uk", &with("4 jars syrup", "spoon = \"spoon\""));
    assert_eq!(count, 4);
    assert!(words.contains(">Syrup<"), "{words}");
    assert_eq!(label("uk", &with("1 jar syrup", "spoon = \"spoon\"")).1, 1);
}

#[test]
fn the_page_says_how_a_make_is_packed_unless_the_place_does() {
    let keeps = |place: &str, more: &str| {
        make(&format!("keeps = [{{ where = \"{place}\", for = \"4 days\", {more} }}]"), "whole milk")
    };
    let shown = |text: &str| page(&site("uk", "", &[("a", text)]), "a.html");
    let packed =
        shown(&keeps("in the fridge", "pack = \"under-brine\", ph = \"at most 4.6\", aw = 0.97, mark = \"use-by\""));
    assert!(packed.contains("; under brine; pH at most 4.6; water activity 0.97; label “use by”"), "{packed}");
    let said = shown(&keeps("under its brine in the fridge", "pack = \"under-brine\""));
    assert!(!said.contains("; under brine"), "{said}");
}

#[test]
fn a_course_without_paper_has_no_sheets_and_still_its_page() {
    let text = make(FRIDGE, "whole milk");
    let paperless = site("uk", "cards = []\nhandouts = []\n", &[("a", &text)]);
    assert!(paperless.files().contains_key("labels.html"));
    assert!(!paperless.files().keys().any(|name| name.starts_with("papers/")), "no paper");
    let letter = site("us", "", &[("a", &text)]);
    assert!(letter.files().contains_key("papers/labels-letter.pdf"));
    assert!(page(&letter, "labels.html").contains("labels letter"));
}
