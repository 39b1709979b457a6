//! Files and folders named to collide: with each other, with pages of ours, with what systems keep for themselves.

use super::course::{COURSE, File, accepts, file, refused, words};
use std::collections::BTreeSet;

fn called(names: &[&str]) -> Vec<File> {
    let lesson = |name: &&str| {
        file(&format!("{name}/lesson.md"), format!("# Lesson {}\n\nStir.\n", name.trim_start_matches('0')))
    };
    std::iter::once(file("course.toml", COURSE)).chain(names.iter().map(lesson)).collect()
}

refused! {
    two_lessons_of_one_name: called(&["01-curd", "02-curd"]) => "duplicate-id", "02-curd/lesson.md", "";
    two_lessons_that_differ_in_capitals: called(&["01-Curd", "02-curd"]) => "duplicate-id", "02-curd/lesson.md", "";
    two_lessons_that_differ_in_signs: called(&["01-plum jam", "02-plum_jam"]) => "duplicate-id", "02-plum_jam/lesson.md", "";
    a_lesson_called_con: called(&["01-CON"]) => "unusable-name", "01-CON/lesson.md", "";
    a_lesson_called_aux: called(&["01-aux"]) => "unusable-name", "01-aux/lesson.md", "";
    a_lesson_called_nul: called(&["nul"]) => "unusable-name", "nul/lesson.md", "";
    a_lesson_called_prn: called(&["01-Prn"]) => "unusable-name", "01-Prn/lesson.md", "";
    a_lesson_called_com1: called(&["01-com1"]) => "unusable-name", "01-com1/lesson.md", "";
    a_lesson_called_lpt9: called(&["01-LPT9"]) => "unusable-name", "01-LPT9/lesson.md", "";
    a_lesson_called_nothing: called(&["---"]) => "unusable-name", "---/lesson.md", "";
    a_lesson_called_at_length: called(&[&format!("01-{}", "x".repeat(200))]) => "unusable-name", &format!("01-{}/lesson.md", "x".repeat(200)), "";
    two_texts_and_neither_the_lesson: vec![file("course.toml", COURSE), file("01-a/b.md", "# B\n"), file("01-a/c.md", "# C\n")] => "unclear-lesson", "01-a/b.md", "";
    no_lesson_at_all: vec![file("course.toml", COURSE)] => "no-lessons", "course.toml", "";
    a_picture_called_aux: picture("aux.svg") => "unusable-name", "01-a/aux.svg", "";
    a_picture_with_a_line_end_in_its_name: picture("a\nb.svg") => "unusable-name", "01-a/a\nb.svg", "";
    a_picture_with_a_colon_in_its_name: picture("a:b.svg") => "unusable-name", "01-a/a:b.svg", "";
    a_picture_with_quotes_in_its_name: picture("a\"b.svg") => "unusable-name", "01-a/a\"b.svg", "";
    a_picture_with_a_backslash_in_its_name: picture("a\\b.svg") => "unusable-name", "01-a/a\\b.svg", "";
    a_picture_with_brackets_in_its_name: picture("<b>.svg") => "unusable-name", "01-a/<b>.svg", "";
    a_picture_in_colours_of_a_terminal: picture("\u{1b}[31m.svg") => "unusable-name", "01-a/\u{1b}[31m.svg", "";
    two_pictures_that_differ_in_capitals: [picture("Pot.svg"), vec![file("01-a/pot.svg", "<svg/>")]].concat() => "unusable-name", "01-a/pot.svg", "";
}

fn picture(name: &str) -> Vec<File> {
    [words("Stir."), vec![file(&format!("01-a/{name}"), "<svg/>")]].concat()
}

#[test]
fn lessons_called_as_our_own_pages_get_pages_of_their_own() {
    let names = [
        "index",
        "glossary",
        "ledger",
        "sources",
        "allergens",
        "labels",
        "class-plan",
        "lesson-index",
        "lesson-lesson-index",
        "index-take-home",
        "a",
        "a-take-home",
        "pictures",
        "captions",
        "codes",
        "cards",
        "style",
        "feed",
        "sitemap",
        "offline",
        "site",
        "lesson",
        "theme-x",
        "course-pictures",
        "constant",
        "com",
        "com10",
    ];
    let mut files = called(&names);
    files[0] = file("course.toml", format!("{COURSE}[class]\nstudents = 2\n"));
    let site = accepts(files);
    let pages: Vec<(&String, String)> = site
        .files()
        .iter()
        .filter(|(path, _)| path.ends_with(".html"))
        .map(|(path, bytes)| (path, String::from_utf8(bytes.clone()).expect("pages are text")))
        .collect();
    for name in names {
        // A lesson has a page and a take-home page; its heading stands on no other.
        let own = pages.iter().filter(|(_, text)| text.contains(&format!(">Lesson {name}</h1>"))).count();
        assert_eq!(own, 2, "{name}");
    }
    let folded: BTreeSet<String> = site.files().keys().map(|path| path.to_lowercase()).collect();
    assert_eq!(folded.len(), site.files().len(), "no two files differ in nothing but capitals");
}

#[test]
fn lessons_without_end_are_in_order() {
    accepts(called(&["99999999999999999999999999-a", "1-b", "0-c"]));
}

#[test]
fn accents_written_in_two_ways_are_two_lessons() {
    accepts(called(&["01-cafe\u{301}s", "02-caf\u{e9}"]));
}
