//! What can be kept: the page taken home, and the site without a signal.

use super::axe;
use super::lesson::Lesson;
use super::page::Page;
use super::site;
use std::path::Path;

const CURD: &str = "pressed-curd.html";

/// The text of the article as it is shown, without what only one of the two editions has.
const FIGURES: &str =
    "[...document.querySelectorAll('.ledger [data-m], .step [data-m]')].map(span => span.textContent)";

fn file(path: &Path) -> String {
    format!("file://{}", path.display())
}

/// Sent as an attachment, it lies alone in a folder.
#[test]
fn a_page_taken_home_works_alone_from_a_file() {
    let (server, room) = (site::served(), tempfile::tempdir().expect("a folder"));
    let hosted = Lesson::fresh(&server, CURD);
    for name in site::pages().into_iter().filter(|name| name.ends_with("-take-home.html")) {
        let path = room.path().join(name);
        std::fs::copy(server.folder().join(name), &path).expect("it was published");
        for script in [true, false] {
            let page = Page::fresh();
            page.allow_script(script);
            page.screen(360, 740, 3.0, true);
            page.open(&file(&path));
            assert_eq!(page.eval("document.documentElement.scrollWidth"), 360, "{name}");
            page.allow_script(true);
            let found = axe::complaints(&page);
            assert!(found.is_empty(), "{name}, script {script}: {found:#?}");
            assert_eq!(page.eval("performance.getEntriesByType('resource').map(one => one.name).filter(name => !name.startsWith('data:'))"), serde_json::json!([]));
            if name.starts_with("pressed-curd") {
                assert_eq!(page.eval(FIGURES), hosted.eval(FIGURES), "script {script}");
            }
        }
    }
    let page = Page::fresh();
    page.open(&file(&room.path().join("pressed-curd-take-home.html#x=27/40")));
    hosted.scale("milk", "2.7", Some("L"));
    assert_eq!(page.eval(FIGURES), hosted.eval(FIGURES));
}

/// The whole site, read from a folder on a memory stick.
#[test]
fn the_site_works_from_a_folder() {
    let folder = site::published();
    let page = Page::fresh();
    page.media("", &[("prefers-reduced-motion", "reduce")]);
    page.open(&file(&folder.path().join("index.html")));
    page.after_loading(|| page.click("a[href='pressed-curd.html']"));
    let lesson = Lesson::on(page);
    lesson.scale("milk", "2.7", Some("L"));
    lesson.wait_until("location.hash.includes('x=27/40')");
    lesson.reload();
    assert!(lesson.is(
        "[...document.querySelectorAll('.step .prose [data-m]')].some(span => span.textContent.startsWith('2.7'))"
    ));
}

/// The kitchen has no signal. Every page that was never opened is there as well.
#[test]
fn the_site_opens_without_a_network() {
    let mut server = site::served();
    let page = Page::fresh();
    page.open(&server.url("index.html"));
    page.wait_until("navigator.serviceWorker.controller");
    server.stop();
    page.reload();
    for name in site::pages() {
        page.open(&server.url(name));
        assert!(
            page.is(
                "document.querySelector('h1').checkVisibility() && getComputedStyle(document.body).margin == '0px'"
            ),
            "{name}"
        );
    }
    page.open(&server.url(&format!("{CURD}#x=27/40")));
    assert!(page.is(
        "[...document.querySelectorAll('.step .prose [data-m]')].some(span => span.textContent.startsWith('2.7'))"
    ));
    page.open(&server.url(""));
    assert_eq!(page.eval("document.querySelectorAll('h1').length"), 1);
}

/// A new edition is offered, never forced on someone in the middle of a step.
#[test]
fn a_new_edition_is_offered() {
    let server = site::served();
    let page = Page::fresh();
    page.open(&server.url(CURD));
    page.wait_until("navigator.serviceWorker.controller");
    assert!(page.is("document.getElementById('_news').hidden"));
    for (name, old, new) in [("sw.js", "VERSION = \"", "VERSION = \"2"), (CURD, "<h1", "<h1 data-new")] {
        let path = server.folder().join(name);
        let text = std::fs::read_to_string(&path).expect("it was published");
        assert!(text.contains(old), "{name}");
        std::fs::write(&path, text.replacen(old, new, 1)).expect("the folder is ours");
    }
    page.reload();
    page.wait_until("!document.getElementById('_news').hidden");
    assert!(page.is("!document.querySelector('h1[data-new]')"));
    page.after_loading(|| page.click("#_news button"));
    assert!(page.is("document.querySelector('h1[data-new]')"));
}
