//! A course that is changed in memory.

use super::*;

const BEGIN: [(&str, &str); 3] = [
    ("course.toml", include_str!("../../shared/begin/course.toml")),
    ("pantry.toml", include_str!("../../shared/begin/pantry.toml")),
    ("01-first-lesson/lesson.md", include_str!("../../shared/begin/01-first-lesson/lesson.md")),
];
const PAGE: &str = "first-lesson.html";

/// The course of `pottle begin` with other words, and further files.
fn project(change: (&str, &str), more: &[(&str, &str)]) -> Project {
    let files = BEGIN.map(|(path, text)| (path, text.replace(change.0, change.1)));
    Project::from_files(files.into_iter().chain(more.iter().map(|(path, text)| (*path, (*text).to_owned()))))
}

fn as_begun() -> Project {
    project(("", ""), &[])
}

/// One figure of the words is wrong.
fn broken() -> Project {
    project(("8 g of salt", "80 g of salt"), &[])
}

fn text(rehearsal: &Rehearsal, name: &str) -> String {
    String::from_utf8(rehearsal.file(name).unwrap_or_else(|| panic!("{name} is there")).into_owned()).unwrap()
}

#[test]
fn what_does_not_change_a_file_is_no_change() {
    let mut rehearsal = Rehearsal::new(as_begun());
    let (version, mark) = (rehearsal.version(), rehearsal.mark());
    assert!(rehearsal.change(as_begun()).is_empty());
    assert_eq!((rehearsal.version(), rehearsal.mark()), (version, mark.clone()));
    assert_eq!(Rehearsal::new(as_begun()).mark(), mark);
    assert_ne!(Rehearsal::new(project(("Bake", "Bake it"), &[])).mark(), mark);
}

#[test]
fn a_change_is_named_and_shown() {
    let mut rehearsal = Rehearsal::new(as_begun());
    let (version, mark) = (rehearsal.version(), rehearsal.mark());
    assert!(text(&rehearsal, PAGE).contains(&format!("data-mark=\"{mark}\"")));
    let changed = rehearsal.change(project(("Pat the dough", "Press the dough"), &[]));
    assert_eq!(changed, ["01-first-lesson/lesson.md"]);
    assert!(rehearsal.version() > version && rehearsal.mark() != mark);
    assert!(text(&rehearsal, PAGE).contains("Press the dough"));
    let changed = rehearsal.change(project(("", ""), &[("theme/own.css", "p { color: red }")]));
    assert_eq!(changed, ["01-first-lesson/lesson.md", "theme/own.css"]);
    assert!(text(&rehearsal, "style.css").ends_with("p { color: red }"));
    assert_eq!(rehearsal.change(as_begun()), ["theme/own.css"]);
    assert!(!text(&rehearsal, "style.css").contains("red }"));
}

#[test]
fn what_pages_load_is_named_with_its_form_which_changes_with_its_bytes() {
    let mut rehearsal = Rehearsal::new(as_begun());
    let forms = |rehearsal: &Rehearsal| ["style.css", "rehearse.js"].map(|name| rehearsal.form(name).unwrap());
    let before = forms(&rehearsal);
    for (name, form) in ["style.css", "/rehearse.js"].iter().zip(&before) {
        assert!(text(&rehearsal, PAGE).contains(&format!("\"{name}?form={form}\"")), "{name}");
    }
    rehearsal.change(project(("Pat the dough", "Press the dough"), &[]));
    assert_eq!(forms(&rehearsal), before);
    rehearsal.change(project(("", ""), &[("theme/own.css", "p { color: red }")]));
    assert_ne!(forms(&rehearsal)[0], before[0]);
    assert_eq!(
        (rehearsal.form(PAGE), rehearsal.form("course.toml")),
        (None, None),
        "pages are made when they are asked for"
    );
}

#[test]
fn while_there_are_errors_the_last_good_page_stays_under_its_findings() {
    let mut rehearsal = Rehearsal::new(as_begun());
    let (version, mark) = (rehearsal.version(), rehearsal.mark());
    rehearsal.change(broken());
    assert_eq!(rehearsal.findings().count(crate::diag::Severity::Error), 1);
    assert!(rehearsal.version() > version);
    assert_eq!(rehearsal.mark(), mark, "no page is out of date");
    let page = text(&rehearsal, PAGE);
    assert!(page.contains("8 g") && !page.contains("<span data-m=\"3\">80"), "{page}");
    assert!(page.contains("error[disagrees] 01-first-lesson/lesson.md:57:53"), "{}", rehearsal.strip());
    assert!(rehearsal.strip().contains("what you see is from before"));
    let version = rehearsal.version();
    rehearsal.change(broken());
    assert_eq!(rehearsal.version(), version);
    rehearsal.change(as_begun());
    assert!(rehearsal.version() > version && rehearsal.mark() != mark);
    assert_eq!(rehearsal.strip(), "");
}

#[test]
fn a_course_that_begins_with_errors_has_one_page_that_says_so() {
    let mut rehearsal = Rehearsal::new(broken());
    assert!(text(&rehearsal, INDEX).contains("error[disagrees]"));
    assert!(rehearsal.file(PAGE).is_none() && rehearsal.file("style.css").is_none());
    assert!(rehearsal.file("rehearse.js").is_some() && rehearsal.file("rehearse.css").is_some());
    rehearsal.change(as_begun());
    assert!(rehearsal.file(PAGE).is_some());
    assert!(!text(&rehearsal, INDEX).contains("error["));
}

#[test]
fn a_fault_of_a_template_keeps_the_last_good_page() {
    let mut rehearsal = Rehearsal::new(as_begun());
    let own = |template: &str| project(("", ""), &[("theme/lesson.html", template)]);
    let fine = "{% extends \"base.html\" %}{% block main %}<h1>Mine</h1>{% endblock main %}";
    rehearsal.change(own(fine));
    assert!(text(&rehearsal, PAGE).contains("<h1>Mine</h1>"));
    for fault in
        ["{% extends \"base.html\" ", "{% extends \"base.html\" %}{% block main %}{{ nothing }}{% endblock main %}"]
    {
        rehearsal.change(own(fault));
        assert!(rehearsal.findings().has_errors(), "{fault}");
        let page = text(&rehearsal, PAGE);
        assert!(page.contains("<h1>Mine</h1>") && page.contains("theme/lesson.html:1:"), "{page}");
    }
    rehearsal.change(as_begun());
    assert!(!text(&rehearsal, PAGE).contains("<h1>Mine</h1>") && !rehearsal.findings().has_errors());
}

#[test]
fn what_cannot_be_read_is_said_over_the_last_good_page() {
    let mut rehearsal = Rehearsal::new(as_begun());
    let version = rehearsal.version();
    rehearsal.cannot_read("`a<b>` is gone");
    assert!(rehearsal.version() > version);
    assert!(text(&rehearsal, PAGE).contains("`a&lt;b&gt;` is gone"));
    let version = rehearsal.version();
    rehearsal.change(as_begun());
    assert!(rehearsal.version() > version);
    assert_eq!(rehearsal.strip(), "");
}

#[test]
fn words_of_an_author_are_never_markup() {
    let bad = project(
        ("8 g of salt", "80 g of salt"),
        &[("01-first-lesson/<b>.svg", "<svg/>"), ("02-<i>x</i>.md", "# <i>X\n\n```step\nto = \"<b>\"\n```\n")],
    );
    let rehearsal = Rehearsal::new(bad);
    assert!(rehearsal.findings().has_errors());
    let strip = rehearsal.strip();
    assert!(strip.contains("02-&lt;i&gt;x&lt;/i&gt;.md") || strip.contains("&lt;b&gt;"), "{strip}");
    assert!(!strip.contains("<i>") && !strip.contains("<b><"), "{strip}");
}

#[test]
fn nothing_keeps_old_pages_and_nothing_else_is_served() {
    let rehearsal = Rehearsal::new(as_begun());
    for name in ["sw.js", "offline.js", "course.toml", "../course.toml", "01-first-lesson/lesson.md", "", "/", "index"]
    {
        assert!(rehearsal.file(name).is_none(), "{name}");
    }
    for page in [INDEX, PAGE, "first-lesson-take-home.html", "glossary.html"] {
        let page = text(&rehearsal, page);
        assert!(page.contains("connect-src 'self'") && !page.contains("offline.js"), "{page}");
    }
    assert!(rehearsal.file("papers/first-lesson-cards-a6.pdf").unwrap().starts_with(b"%PDF-"));
    assert!(String::from_utf8_lossy(&rehearsal.missing()).contains("There is no page of this name."));
}
