//! A course that is written while its pages are open.

#![allow(clippy::print_stdout, reason = "the time is for whoever runs the test by hand")]

use super::page::Page;
use super::rehearsed::{LESSON, PAGE, Rehearsed};
use std::time::Instant;

const STRIP: &str = "document.getElementById('_rehearse')";

impl Rehearsed {
    fn url(&self, path: &str) -> String {
        format!("http://127.0.0.1:{}{path}", self.port)
    }

    /// Saves the lesson with other words.
    fn rewrite(&self, from: &str, to: &str) {
        let text = self.lesson();
        assert!(text.contains(from), "{from}");
        self.write(LESSON, &text.replace(from, to));
    }
}

#[test]
fn a_page_loads_again_after_a_change_where_the_reader_was() {
    let rehearsed = Rehearsed::start();
    let page = Page::fresh();
    page.media("", &[("prefers-reduced-motion", "reduce")]);
    page.screen(390, 844, 3.0, true);
    page.open(&rehearsed.url(&format!("{PAGE}#x=2/1&u=us")));
    page.settle();
    page.eval(
        "document.getElementById('bake').scrollIntoView({ block: 'start', behavior: 'instant' }); scrollBy(0, -100)",
    );
    // Out of sight nothing is laid out; what comes into sight is, a moment later.
    page.eval("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))");
    let place = |page: &Page| {
        page.eval("document.getElementById('bake').getBoundingClientRect().top").as_f64().expect("a place")
    };
    let (top, words) = (place(&page), page.text("document.querySelector('.step').textContent"));
    let more = "Any pan will do. ".repeat(60);
    page.after_loading(|| rehearsed.rewrite("Set the oven", &format!("{more}Set the oven")));
    page.settle();
    assert!(page.text("document.querySelector('.step').textContent").contains("Any pan will do."));
    assert_eq!(page.text("location.hash"), "#x=2/1&u=us");
    assert!(words.contains("°F") && page.text("document.querySelector('.step').textContent").contains("°F"));
    page.wait_until(&format!("Math.abs(document.getElementById('bake').getBoundingClientRect().top - {top}) < 3"));
    page.wait_until("history.scrollRestoration == 'auto'");
    assert!(page.is("navigator.serviceWorker.getRegistrations().then(all => !all.length)"), "nothing keeps old pages");
}

#[test]
fn an_error_is_shown_over_the_page_that_stays() {
    let rehearsed = Rehearsed::start();
    for path in [PAGE, "/first-lesson-take-home.html"] {
        let page = Page::fresh();
        page.open(&rehearsed.url(path));
        assert!(page.is(&format!("{STRIP}.hidden")));
        page.eval("globalThis.stayed = true");
        rehearsed.rewrite("8 g of salt", "80 g of salt");
        page.wait_until(&format!("!{STRIP}.hidden"));
        let strip = page.text(&format!("{STRIP}.innerText"));
        for part in [
            "1 error; what you see is from before",
            "the words say “80 g”",
            "error[disagrees]",
            LESSON,
            "write `8 g` here",
        ] {
            assert!(strip.contains(part), "{part} in {strip}");
        }
        assert!(page.is(&format!("stayed && {STRIP}.getBoundingClientRect().bottom == innerHeight")));
        assert!(page.is(&format!("getComputedStyle({STRIP}).position == 'fixed'")), "its style is let in");
        page.click("#_rehearse summary");
        page.wait_until(&format!("!{STRIP}.querySelector('details').open"));
        page.media("print", &[]);
        assert!(page.is(&format!("getComputedStyle({STRIP}).display == 'none'")), "it is not printed");
        page.media("", &[]);
        page.after_loading(|| rehearsed.rewrite("80 g of salt", "8 g of salt"));
        assert!(page.is(&format!("{STRIP}.hidden && !globalThis.stayed")));
    }
}

/// From the file saved to the page loaded, on the demo course.
#[test]
fn a_change_is_soon_seen() {
    let room = tempfile::tempdir().expect("a folder");
    let content = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content/saltmarsh-hall");
    for entry in walkdir::WalkDir::new(&content).into_iter().map(|entry| entry.expect("the demo course is there")) {
        let to = room.path().join("course").join(entry.path().strip_prefix(&content).expect("it lies there"));
        if entry.file_type().is_dir() {
            std::fs::create_dir_all(to).expect("a folder of ours");
        } else {
            std::fs::copy(entry.path(), to).expect("a folder of ours");
        }
    }
    let rehearsed = Rehearsed::of(room);
    let page = Page::fresh();
    page.open(&rehearsed.url("/pressed-curd.html"));
    let path = "02-pressed-curd/lesson.md";
    let text = std::fs::read_to_string(rehearsed.path(path)).expect("the lesson is there");
    let mut times = Vec::new();
    for turn in 0..5 {
        let start = Instant::now();
        page.after_loading(|| rehearsed.write(path, &format!("{text}\n\nThe end, {turn}.\n")));
        times.push(start.elapsed());
        assert!(page.is(&format!("document.querySelector('main').textContent.includes('The end, {turn}.')")));
    }
    times.sort();
    println!("from save to page loaded: {times:?}");
    // The debug build of a busy machine: a bound for what has gone wrong and not for what is good.
    assert!(times[0].as_secs() < 10, "{times:?}");
}
