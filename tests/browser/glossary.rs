//! Words of the trade: explained where they stand, and found in the glossary.

use super::axe;
use super::lesson::Lesson;
use super::page::Page;
use super::site;
use serde_json::json;

const CURD: &str = "pressed-curd.html";
/// The first word of a step that opens a note, and the note that is open.
const FIRST: &str = ".step .prose [popovertarget]";
const OPEN: &str = "document.querySelector(':popover-open')";

/// Gives the first such word an id, so that it can be tapped, and says what its note is to tell.
fn first_word(page: &Page) -> String {
    page.text(&format!(
        "(() => {{ const one = document.querySelector({FIRST:?}); one.id = 'one';
            return document.getElementById(one.getAttribute('popovertarget')).textContent; }})()"
    ))
}

fn open_text(page: &Page) -> String {
    page.text(&format!("{OPEN} ? {OPEN}.textContent : ''"))
}

/// By finger and by key, with script and without: the browser does it all.
#[test]
fn a_word_is_explained_in_place() {
    let server = site::served();
    for script in [true, false] {
        let page = Page::fresh();
        page.allow_script(script);
        page.screen(390, 844, 3.0, true);
        page.open(&server.url(CURD));
        page.media("", &[("prefers-reduced-motion", "reduce")]);
        // Only what the page holds runs without script; questions of the test still do.
        let meaning = first_word(&page);
        assert!(meaning.lines().count() == 2 && meaning.lines().all(|line| line.len() > 2), "{meaning:?}");
        // Without script the test cannot hear what comes of a tap.
        if script {
            page.tap("#one")
        } else {
            page.click("#one")
        }
        page.wait_until(OPEN);
        assert_eq!(open_text(&page), meaning, "script {script}");
        let place = page.eval(&format!(
            "(box => [box.left >= 0, box.right <= 390, box.bottom <= innerHeight])({OPEN}.getBoundingClientRect())"
        ));
        assert_eq!(place, json!([true, true, true]));
        page.press("Escape");
        assert!(!page.is(OPEN), "it closes by key");
        page.eval("document.getElementById('one').focus()");
        page.press("Enter");
        page.wait_until(OPEN);
        page.click("h1");
        page.wait_until(&format!("!{OPEN}"));
        page.eval("document.getElementById('one').focus()");
        page.press(" ");
        page.wait_until(OPEN);
        // From the word the next stop is the way to the glossary.
        page.press("Tab");
        assert!(page.is(&format!("document.activeElement == {OPEN}.querySelector('a')")), "script {script}");
        let term = page.text("document.activeElement.hash");
        page.after_loading(|| page.press("Enter"));
        assert_eq!(page.text("location.pathname.split('/').at(-1) + location.hash"), format!("glossary.html{term}"));
        assert!(page.is("document.querySelector('.entry:target h3').checkVisibility()"));
    }
}

#[test]
fn every_word_has_its_note_and_every_note_its_entry() {
    let server = site::served();
    let page = Page::fresh();
    page.open(&server.url("glossary.html"));
    let entries: Vec<String> =
        serde_json::from_value(page.eval("[...document.querySelectorAll('.entry')].map(one => one.id)")).expect("ids");
    let mut count = 0;
    for name in
        site::pages().into_iter().filter(|name| !["index.html", "glossary.html", "class-plan.html"].contains(name))
    {
        page.open(&server.url(name));
        let home = name.ends_with("-take-home.html");
        let lost = page.eval(
            "[...document.querySelectorAll('[popovertarget]')].filter(one => !one.popoverTargetElement?.matches('p[popover]')
                || one.closest('a') || !one.textContent.trim()).map(one => one.outerHTML)",
        );
        assert_eq!(lost, json!([]), "{name}");
        let links = page.eval("[...document.querySelectorAll('p[popover] a')].map(one => one.getAttribute('href'))");
        let links: Vec<String> = serde_json::from_value(links).expect("texts");
        for link in &links {
            match home {
                true => assert!(page.is(&format!("document.getElementById({:?})", &link[1..])), "{name} {link}"),
                false => assert!(entries.iter().any(|id| *link == format!("glossary.html#{id}")), "{name} {link}"),
            }
        }
        count += links.len();
        assert!(page.is("new Set([...document.querySelectorAll('p[popover]')].map(one => one.textContent)).size == document.querySelectorAll('p[popover]').length"), "{name}: once a page");
    }
    assert!(count > 100, "{count}");
}

/// A screen reader hears the word as a button that opens something, and then its meaning with a link that says where
/// it leads.
#[test]
fn an_open_note_is_open_to_all() {
    let server = site::served();
    let page = Page::fresh();
    for scheme in ["light", "dark"] {
        page.media("", &[("prefers-color-scheme", scheme), ("prefers-reduced-motion", "reduce")]);
        page.open(&server.url(CURD));
        page.settle();
        first_word(&page);
        page.click("#one");
        page.wait_until(OPEN);
        let found = axe::complaints(&page);
        assert!(found.is_empty(), "{scheme}: {found:#?}");
        let tree = page.call("Accessibility.getFullAXTree", json!({}));
        let nodes = tree["nodes"].as_array().expect("a tree");
        let named = |role: &str| {
            let of_role = nodes.iter().filter(move |node| node["role"]["value"] == role);
            of_role
                .map(|node| (node["name"]["value"].as_str().unwrap_or_default().to_owned(), node))
                .collect::<Vec<_>>()
        };
        let word = page.text("document.getElementById('one').textContent");
        let expanded = named("button").into_iter().filter(|(name, node)| {
            let properties = node["properties"].as_array().expect("properties");
            *name == word && properties.iter().any(|one| one["name"] == "expanded" && one["value"]["value"] == true)
        });
        assert_eq!(expanded.count(), 1, "{word}");
        assert_eq!(named("link").iter().filter(|(name, _)| name.ends_with(" in the glossary")).count(), 1);
    }
}

#[test]
fn a_sign_is_explained_at_the_stove() {
    let server = site::served();
    let lesson = Lesson::fresh(&server, CURD);
    lesson.tap("#_cook");
    lesson.wait_until("document.body.classList.contains('stove')");
    while !lesson.is("document.querySelector('.step.now .sign button')") {
        lesson.press("ArrowRight");
    }
    let at = lesson.steps_shown();
    lesson.tap(".step.now .sign button");
    lesson.wait_until(OPEN);
    assert!(open_text(&lesson).starts_with("clear whey\nWhey that you can see through"));
    lesson.press("Escape");
    assert!(!lesson.is(OPEN));
    assert_eq!(lesson.steps_shown(), at, "that key closes the note alone");
}

/// On paper a word is a word, and its note is not printed.
#[test]
fn notes_stay_off_the_paper() {
    let server = site::served();
    let page = Page::fresh();
    page.open(&server.url(CURD));
    page.settle();
    page.media("print", &[]);
    assert_eq!(
        page.eval("[...document.querySelectorAll('[popover]')].filter(one => one.checkVisibility()).length"),
        json!(0)
    );
    let plain = page.eval(
        "[...document.querySelectorAll('[popovertarget]')].map(one => [getComputedStyle(one).display, one.innerText == one.textContent])
            .filter(([display, said]) => display != 'contents' || !said)",
    );
    assert_eq!(plain, json!([]));
}

/// A browser that knows no popovers, acted by one that does: it takes their attribute for one that means nothing.
#[test]
fn a_browser_without_popovers_lists_them_at_the_end() {
    let server = site::served();
    for (name, swaps) in [
        (CURD, &[("<p popover ", "<p data-popover ")][..]),
        ("style.css", &[("[popover]", "[data-popover]"), ("@supports not selector(", "@supports selector(")][..]),
    ] {
        let path = server.folder().join(name);
        let mut text = std::fs::read_to_string(&path).expect("it was published");
        for (from, to) in swaps {
            assert!(text.contains(from), "{name} has no {from}");
            text = text.replace(from, to);
        }
        std::fs::write(path, text).expect("the folder is ours");
    }
    for script in [true, false] {
        let page = Page::fresh();
        page.allow_script(script);
        page.before_loading("delete HTMLElement.prototype.showPopover");
        page.media("", &[("prefers-reduced-motion", "reduce")]);
        page.open(&server.url(CURD));
        let shown = "[...document.querySelectorAll('[data-popover]')].every(one => one.checkVisibility() && getComputedStyle(one).position == 'static')";
        assert!(page.is(shown));
        let meaning = first_word(&page);
        page.click("#one");
        if script {
            let seen = format!(
                "[...document.querySelectorAll('[data-popover]')].some(one => one.textContent == {meaning:?} && one.getBoundingClientRect().top < innerHeight)"
            );
            page.wait_until(&seen);
        }
    }
}

/// What the glossary shows, and says about it.
fn shown(page: &Page) -> Vec<String> {
    let script =
        "[...document.querySelectorAll('.entry h3')].filter(one => one.checkVisibility()).map(one => one.textContent)";
    serde_json::from_value(page.eval(script)).expect("names")
}

const SAID: &str = "document.querySelector('#_find [role=status]').textContent";

#[test]
fn the_glossary_is_searched_as_one_types() {
    let (server, folder) = (site::served(), site::published());
    for url in [server.url("glossary.html"), format!("file://{}", folder.path().join("glossary.html").display())] {
        let page = Page::fresh();
        page.screen(390, 844, 3.0, true);
        page.open(&url);
        let all = shown(&page);
        assert!(all.len() > 40 && page.text(SAID).is_empty());
        page.fill("#_find input", "Clear w");
        assert_eq!(shown(&page), ["clear whey"]);
        assert_eq!(page.text(SAID), format!("1 of {} words", all.len()));
        let letters = "[...document.querySelectorAll('.letters a, section > h2')].filter(one => one.checkVisibility()).map(one => one.textContent)";
        assert_eq!(page.eval(letters), json!(["C", "C"]));
        // By another form than its name.
        page.fill("#_find input", "grains of");
        assert_eq!(shown(&page), ["butter grains"]);
        page.fill("#_find input", "aubergine");
        assert_eq!((shown(&page).len(), page.text(SAID)), (0, "No word like that is here.".to_owned()));
        // On a file axe asks for the style once more, which the page's policy forbids.
        if url.starts_with("http") {
            let found = axe::complaints(&page);
            assert!(found.is_empty(), "{found:#?}");
        }
        page.eval("location.hash = 'whey'");
        page.wait_until("document.getElementById('whey').checkVisibility()");
        assert_eq!(shown(&page), all);
        page.allow_script(false);
        page.reload();
        assert!(page.is("!document.getElementById('_find').checkVisibility()"), "it hides without script");
    }
}

#[test]
fn the_glossary_prints_in_columns() {
    let server = site::served();
    let page = Page::fresh();
    page.open(&server.url("glossary.html"));
    page.media("print", &[]);
    page.screen(794, 1123, 1.0, false);
    assert!(page.is(
        "!document.getElementById('_find').checkVisibility() && !document.querySelector('.letters').checkVisibility()"
    ));
    let columns = "new Set([...document.querySelectorAll('.entry')].map(one => Math.round(one.getBoundingClientRect().left))).size";
    assert_eq!(page.eval(columns), json!(2));
    // A letter stands over its first entry, in the same column.
    let parted = "[...document.querySelectorAll('section > h2')].filter(one => {
        const [letter, entry] = [one, one.nextElementSibling].map(one => one.getBoundingClientRect());
        return letter.left != entry.left || letter.bottom > entry.top + 1;
    }).map(one => one.textContent)";
    assert_eq!(page.eval(parted), json!([]));
    assert_eq!(page.eval("[...document.querySelectorAll('.entry a')].filter(one => getComputedStyle(one).textDecorationLine != 'none').length"), json!(0));
}
