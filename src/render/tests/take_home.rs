//! The lesson as one file.

use super::*;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

fn with_theme(made: &mut Made, files: &[(&str, &str)]) {
    for (name, text) in files {
        let file = made.project.sources.add(format!("theme/{name}"), text);
        made.project.theme.insert((*name).to_owned(), file);
    }
}

/// What stands inside the elements of a name.
fn inner<'a>(page: &'a str, start: &str, end: &str) -> Vec<&'a str> {
    page.split(start).skip(1).map(|rest| &rest[..rest.find(end).unwrap()]).collect()
}

/// The page without what style and scripts say.
pub(super) fn markup(page: &str) -> String {
    let mut page = page.to_owned();
    for (start, end) in [("<style>", "</style>"), ("<script>", "</script>")] {
        while let Some(at) = page.find(start) {
            let end = at + page[at..].find(end).unwrap() + end.len();
            page.replace_range(at..end, "");
        }
    }
    page
}

fn values(page: &str, name: &str) -> Vec<String> {
    inner(page, &format!(" {name}=\""), "\"").into_iter().map(str::to_owned).collect()
}

#[test]
fn nothing_on_it_leads_to_another_file() {
    let mut made = course(Home::Uk);
    std::sync::Arc::make_mut(&mut made.course.lessons[1]).recording = Some("../films/curd.mp4".to_owned());
    let site = made.render().unwrap();
    for name in ["curd-take-home.html", "pans-take-home.html"] {
        let text = page(&site, name);
        let ids = values(&text, "id");
        let markup = markup(&text);
        for mark in ["href", "src", "srcset", "poster", "action"] {
            for link in values(&markup, mark) {
                match link.strip_prefix('#') {
                    Some(id) => assert!(ids.contains(&id.to_owned()), "{link} in {name}"),
                    None => assert!(
                        ["data:", "http:", "https:", "mailto:", "tel:"].iter().any(|start| link.starts_with(start)),
                        "{link} in {name}"
                    ),
                }
            }
        }
        assert!(!text.contains("rel=\"manifest\"") && !text.contains("offline.js") && !text.contains("_news"));
        assert!(!text.contains("url(") && !text.contains("@import"), "{name}");
    }
    let curd = page(&site, "curd-take-home.html");
    assert_has(
        &curd,
        &[
            "<p class=\"home\">Hall &amp; &lt;sons&gt;</p>",
            "see pans or the words.",
            "Lesson 2 of 2",
            "food authority come",
        ],
    );
    assert!(!curd.contains("watch it") && !curd.contains("class=\"turn\""));
}

#[test]
fn a_lesson_page_leads_to_it_and_it_has_all_that_the_lesson_has() {
    let site = course(Home::Uk).render().unwrap();
    let (lesson, home) = (page(&site, "curd.html"), page(&site, "curd-take-home.html"));
    assert_has(&lesson, &["<dt>Take home</dt><dd><a href=\"curd-take-home.html\" download>"]);
    assert!(!home.contains("download"));
    let count = |text: &str, part: &str| text.matches(part).count();
    for part in [
        "<span class=\"m\"",
        "<li class=\"step\"",
        "<dt>",
        "<aside class=\"rescue\"",
        "<table>",
        "role=\"doc-noteref\"",
    ] {
        let missing = 2 * usize::from(part == "<dt>"); // the way to itself, and papers
        assert_eq!(count(&lesson, part), count(&home, part) + missing, "{part}");
    }
}

#[test]
fn a_recording_elsewhere_stays_a_link() {
    let mut made = course(Home::Uk);
    std::sync::Arc::make_mut(&mut made.course.lessons[1]).recording = Some("https://example.org/curd.mp4".to_owned());
    assert_has(&made.page("curd-take-home.html"), &["<a href=\"https://example.org/curd.mp4\">watch it</a></dd>"]);
}

#[test]
fn pictures_are_part_of_it() {
    let page = course(Home::Uk).page("curd-take-home.html");
    let source = values(&page, "src").remove(0);
    let bytes = STANDARD.decode(source.strip_prefix("data:image/svg+xml;base64,").unwrap()).unwrap();
    assert_eq!(bytes, b"<svg/>");
}

#[test]
fn its_policy_names_exactly_what_stands_on_it() {
    let mut made = course(Home::Uk);
    let scripts = [
        ("kitchen.js", "const tag = \"</script><!--\"; // last"),
        ("lesson.js", "lesson(\"<b> & 'é'\");\n"),
        ("stove.js", "stove();\n"),
        ("own.css", ".a::after { content: \"</style>\" }\n"),
    ];
    with_theme(&mut made, &scripts);
    let site = made.render().unwrap();
    let text = page(&site, "curd-take-home.html");
    let (styles, scripts) = (inner(&text, "<style>", "</style>"), inner(&text, "<script>", "</script>"));
    assert_eq!((styles.len(), scripts.len()), (1, 1));
    assert_eq!(scripts[0], "const tag = \"<\\/script><\\!--\"; // last\n;\nlesson(\"<b> & 'é'\");\n\n;\nstove();\n");
    assert_eq!(
        styles[0].replace("<\\/style", "</style"),
        ["more.css", "later.css", "style.css", "print.css"].map(|sheet| page(&site, sheet)).concat()
    );
    let hash = |text: &str| format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text.as_bytes())));
    let policy = inner(&text, "Content-Security-Policy\" content=\"", "\"").remove(0).to_owned();
    let want = format!(
        "default-src 'none'; script-src {}; style-src {}; img-src data:; base-uri 'none'; form-action 'none'",
        hash(scripts[0]),
        hash(styles[0])
    );
    assert_eq!(policy, want);
    // The page of the site names the same scripts in the same order, but for what they fetch later.
    let loaded = values(&page(&site, "curd.html"), "src");
    assert_eq!(loaded[..3], ["kitchen.js", "lesson.js", "offline.js"]);
    assert_eq!(values(&page(&site, "pans-take-home.html"), "src").len(), 0);
}

#[test]
fn the_words_stand_at_its_end() {
    let mut made = course(Home::Uk);
    let definition = "Comes together.[^g] Not [met](#unused-trade-term), see [curd](#curd) and [pans](01-pans/lesson.md).\n\n[^g]: Slowly.";
    made.term("gathers", definition, true);
    let page = made.page("curd-take-home.html");
    assert_has(
        &page,
        &[
            "<button popovertarget=\"_t1\">Curd</button> and <button popovertarget=\"_t2\">",
            "<p popover id=\"_t1\"><a href=\"#_word-curd\">curd</a>\n",
            "<h2 id=\"_words\">Words used here</h2>\n<h3>C</h3>\n<div class=\"entry\" id=\"_word-clear-whey\">",
            "from <a class=\"term\" href=\"#_word-curd\">curd</a>.",
            "Not met, see <a href=\"#_word-curd\">curd</a> and pans.",
            "id=\"_words-call-1\" href=\"#_words-note-1\"",
            "<li id=\"_words-note-1\"><p>Slowly.",
        ],
    );
    assert!(!page.contains("Never met"), "the lesson has no such word");
    assert!(page.find("</article>").unwrap() < page.find("id=\"_words\"").unwrap());
    let mut ids = values(&page, "id");
    ids.sort();
    let count = ids.len();
    ids.dedup();
    assert_eq!(ids.len(), count);
    assert!(!made.page("pans-take-home.html").contains("_words"));
}
