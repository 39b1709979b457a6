//! The demo course and the author's handbook as published, read as a careful reader of proofs reads: links, ids, words
//! for pictures, headings, spelling, doubled words, quotation marks. And the lines of their sources.
//!
//! Each check stands beside a sample that it must find fault with.

mod published {
    pub mod page;
    pub mod words;
}

use pottle::{Site, check, render};
use published::page::{Page, dead_links, drawing_is_titled};
use published::words;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// A published course: all names of its files, its pages, its pictures.
struct Published {
    name: &'static str,
    files: BTreeSet<String>,
    pages: BTreeMap<String, Page>,
    drawings: BTreeMap<String, String>,
}

fn content() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("content")
}

/// Both courses, published once for all tests, in memory.
fn courses() -> &'static [Published] {
    static COURSES: OnceLock<Vec<Published>> = OnceLock::new();
    COURSES.get_or_init(|| ["saltmarsh-hall", "handbook"].into_iter().map(published).collect())
}

fn published(name: &'static str) -> Published {
    let project = pottle::read_project(&content().join(name)).unwrap();
    let course = check(&project).course.unwrap_or_else(|| panic!("{name} has findings"));
    let site: Site = render(&project, &course).unwrap();
    let text = |path: &str| String::from_utf8(site.files()[path].clone()).unwrap();
    let files: BTreeSet<String> = site.files().keys().cloned().collect();
    let ending = |end: &str| files.iter().filter(|path| path.ends_with(end)).cloned().collect::<Vec<_>>();
    let pages = ending(".html").into_iter().map(|path| (path.clone(), Page::read(&text(&path)))).collect();
    let drawings = (ending(".svg").into_iter().filter(|path| path.contains('/')))
        .map(|path| (path.clone(), text(&path)))
        .collect();
    Published { name, files, pages, drawings }
}

/// No page has a fault of a kind.
fn none(faults: impl Fn(&Page) -> Vec<String>) {
    let mut found = Vec::new();
    for course in courses() {
        for (name, page) in &course.pages {
            found.extend(faults(page).into_iter().map(|fault| format!("{}/{name}: {fault}", course.name)));
        }
    }
    assert!(found.is_empty(), "{} faults\n{}", found.len(), found.join("\n"));
}

/// No words of a page have a fault of a kind.
fn no_words(faults: impl Fn(&str) -> Vec<String>) {
    none(|page| page.blocks.iter().flat_map(|block| faults(block)).collect());
}

#[test]
fn there_is_something_to_read() {
    for course in courses() {
        assert!(course.pages.len() > 15, "{}: {} pages", course.name, course.pages.len());
        assert!(course.pages.values().all(|page| !page.blocks.is_empty()), "{}", course.name);
    }
    let demo = &courses()[0];
    assert!(demo.drawings.len() >= 10, "{:?}", demo.drawings.keys());
}

#[test]
fn every_link_leads_somewhere() {
    for course in courses() {
        let dead = dead_links(&course.files, &course.pages);
        assert!(dead.is_empty(), "{}\n{}", course.name, dead.join("\n"));
    }
    none(Page::lost_ids);
}

#[test]
fn a_dead_link_is_found() {
    let html = "<p id=here><a href=other.html#there>a</a> <a href=lost.html>b</a> <a href=other.html#gone>c</a> \
                <a href=../out.html>d</a> <a href=#here>e</a> <a href=#away>f</a> <img src=a%20pot.svg alt=g> \
                <a href=https://example.org/>h</a> <a href=tel:112>i</a><label for=away>j</label>";
    let other = "<p id=there><a href='sub/deep.html'>a</a>";
    let deep = "<a href=../one.html#here>a</a><a href=../../one.html>b</a><a href=/one.html>c</a>";
    let pages: BTreeMap<String, Page> = [("one.html", html), ("other.html", other), ("sub/deep.html", deep)]
        .map(|(name, html)| (name.to_owned(), Page::read(html)))
        .into();
    let files = ["one.html", "other.html", "sub/deep.html", "a pot.svg"].map(str::to_owned).into();
    let expected = [
        "one.html: a leads to lost.html",
        "one.html: a leads to other.html#gone",
        "one.html: a leads to ../out.html",
        "one.html: a leads to #away",
        "sub/deep.html: a leads to ../../one.html",
        "sub/deep.html: a leads to /one.html",
    ];
    assert_eq!(dead_links(&files, &pages), expected);
    assert_eq!(pages["one.html"].lost_ids(), ["for of label names away, which is not there"]);
}

#[test]
fn every_id_is_one_element_s() {
    none(Page::repeated_ids);
}

#[test]
fn an_id_that_stands_twice_is_found() {
    let page = Page::read("<p id=a>one<p id=b>two<p id=a>three");
    assert_eq!(page.repeated_ids(), ["the id a stands twice"]);
}

#[test]
fn every_picture_has_words() {
    none(Page::mute_pictures);
    for course in courses() {
        let bare: Vec<&String> =
            course.drawings.iter().filter(|(_, svg)| !drawing_is_titled(svg)).map(|it| it.0).collect();
        assert!(bare.is_empty(), "{}: no title in {bare:?}", course.name);
    }
}

#[test]
fn a_picture_without_words_is_found() {
    let page = Page::read(
        "<img src=a.svg><img src=b.svg alt=' '><img src=c.svg alt='' role=presentation><img src=d.svg alt='A pot'>\
         <svg><path d=M0/></svg><svg aria-hidden=true></svg><svg role=img aria-label=Plan></svg><svg><title>Plan</title></svg>\
         <svg><text>1 Heat the milk</text></svg>",
    );
    let found = ["img without words: a.svg", "img without words: b.svg", "svg without words: drawn here"];
    assert_eq!(page.mute_pictures(), found);
    assert!(drawing_is_titled("<svg xmlns='http://www.w3.org/2000/svg'><title>A pot</title></svg>"));
    for bare in ["<svg><path/></svg>", "<svg><title> </title></svg>", "<svg><g><title>A part</title></g></svg>"] {
        assert!(!drawing_is_titled(bare), "{bare}");
    }
}

#[test]
fn headings_skip_no_level() {
    none(Page::skipped_levels);
}

#[test]
fn a_skipped_level_is_found() {
    let page = Page::read("<h1>a</h1><h2>b</h2><h4>c</h4><h2>d</h2><h3>e</h3>");
    assert_eq!(page.skipped_levels(), ["h4 after h2: c"]);
    assert_eq!(Page::read("<h2>a</h2>").skipped_levels(), ["h2 after h0: a"]);
}

#[test]
fn pages_are_spelt_the_british_way() {
    no_words(words::american);
}

#[test]
fn american_spelling_is_found() {
    for (theirs, ours) in words::PAIRS {
        assert_eq!(words::american(&format!("Some {theirs}, then.")).len(), 1, "{theirs}");
        assert!(words::american(ours).is_empty(), "{ours}");
    }
    assert_eq!(words::american("Pasteurized milk and Sterilization").len(), 2);
    let british = "The size of a prize, resized, seized with maize; the Pasteurized Milk Ordinance; a gas meter";
    assert!(words::american(british).is_empty(), "{:?}", words::american(british));
    let page = Page::read(
        "<p>The <b>col</b>or<p>is <code>color</code><p><img src=a alt='gray pot'><style>a{color:red}</style>",
    );
    let found: Vec<String> = page.blocks.iter().flat_map(|block| words::american(block)).collect();
    assert_eq!(found, ["color is spelt colour here", "gray is spelt grey here"]);
}

#[test]
fn the_list_of_spellings_is_in_order() {
    assert!(words::PAIRS.len() >= 80, "{}", words::PAIRS.len());
    let sorted = words::PAIRS.windows(2).filter(|pair| pair[0].0 >= pair[1].0).collect::<Vec<_>>();
    assert!(sorted.is_empty(), "{sorted:?}");
}

#[test]
fn no_word_stands_twice_running() {
    no_words(words::doubled);
}

#[test]
fn a_doubled_word_is_found() {
    assert_eq!(words::doubled("Into the the pot; The\nthe. And 2 2 or 10 10"), ["“the the”", "“The the.”"]);
    assert!(words::doubled("what they had had, that that. By and by; pot, pot; raw milk Milk is raw").is_empty());
    let page = Page::read("<p>in <a href=#a>the</a> <b>the</b> pot<li>pot<p>the <code>the</code> the");
    let found: Vec<String> = page.blocks.iter().flat_map(|block| words::doubled(block)).collect();
    assert_eq!(found, ["“the the”"]);
}

#[test]
fn quotation_marks_are_curly() {
    no_words(words::straight);
}

#[test]
fn a_straight_quotation_mark_is_found() {
    assert_eq!(words::straight("say \"hot\" then"), ["say \"hot\" then", "say \"hot\" then"]);
    assert!(words::straight("say “hot”, the cook's word").is_empty());
    let page = Page::read("<p>“a” <code>b = \"c\"</code><script>\"d\"</script><p title='e \"f\"'>g");
    let found: Vec<String> = page.blocks.iter().flat_map(|block| words::straight(block)).collect();
    assert_eq!(found.len(), 2, "{found:?}");
}

#[test]
fn lines_of_lessons_fit_a_screen() {
    let mut found = Vec::new();
    for entry in walkdir::WalkDir::new(content()).sort_by_file_name() {
        let path = entry.unwrap().into_path();
        if path.extension().is_some_and(|end| end == "md") {
            let lines = words::long_lines(&std::fs::read_to_string(&path).unwrap());
            let name = path.strip_prefix(content()).unwrap().display().to_string();
            found.extend(lines.into_iter().map(|line| format!("{name}:{line}")));
        }
    }
    assert!(found.is_empty(), "{} lines of more than {} columns\n{}", found.len(), words::COLUMNS, found.join("\n"));
}

#[test]
fn a_long_line_is_found() {
    let (long, address) = ("word ".repeat(30), "x".repeat(130));
    let source = format!(
        "{long}\n\n# {long}\n\n| {long} |\n\n```step\nuntil = \"{long}\"\n~~~\n{long}\n```\n\n- {address}\n- a {address}\n\n\
         ~~~markdown\n```\n{long}\n~~~\n{long}\nshort\n"
    );
    assert_eq!(words::long_lines(&source), [1, 14, 20]);
    // Columns are letters and not bytes.
    assert!(words::long_lines(&"½ ".repeat(60)).is_empty());
}
