//! Everyone can read every page: no complaint of axe-core in any light, on any screen.

use super::axe;
use super::page::{Page, SIGHT};
use super::server::Server;
use super::site;

const FORCED: (&str, &str) = ("forced-colors", "active");

/// Every page, as a reader with these preferences on this screen sees it.
fn all_pages_are_open_to_all(preferences: &[(&str, &str)], width: u32, mobile: bool) {
    let server = site::served();
    let page = Page::fresh();
    page.screen(width, 800, if mobile { 3.0 } else { 1.0 }, mobile);
    page.media("", preferences);
    let forced = preferences.contains(&FORCED);
    // Those to take home are looked at where they are opened as files.
    for name in site::pages().into_iter().filter(|name| !name.ends_with("-take-home.html")) {
        page.open(&server.url(name));
        page.settle();
        page.eval(SIGHT);
        assert!(
            page.is("sight.shown(document.querySelector('h1')) && document.querySelector('h1').innerText"),
            "{name}"
        );
        assert_eq!(page.eval("sight.faint()"), serde_json::json!([]), "{name}");
        let mut found = axe::complaints(&page);
        // axe looks at `-webkit-text-fill-color`, which is not among the colours that are forced (CSS Color Adjustment,
        // section 3.1) and still says what the author wanted. Our own check above looks at `color`.
        found.retain(|one| !(forced && one.rule == "color-contrast"));
        assert!(found.is_empty(), "{name}: {found:#?}");
    }
}

#[test]
fn axe_has_no_complaint_by_day() {
    all_pages_are_open_to_all(&[], 1280, false);
}

#[test]
fn axe_has_no_complaint_by_night() {
    all_pages_are_open_to_all(&[("prefers-color-scheme", "dark")], 1280, false);
}

#[test]
fn axe_has_no_complaint_on_a_phone() {
    all_pages_are_open_to_all(&[], 360, true);
}

#[test]
fn axe_has_no_complaint_when_colours_are_forced_and_motion_is_unwelcome() {
    all_pages_are_open_to_all(&[FORCED, ("prefers-reduced-motion", "reduce")], 1280, false);
}

/// Four faults that are in axe's list of rules for WCAG A and AA, and one thing that it leaves to people.
#[test]
fn axe_complains_where_there_is_reason() {
    let server = Server::of(&[(
        "index.html",
        "<!doctype html><html><title>Bad</title><link rel=icon href='data:,'><main><h1>Bad</h1>
        <p style='color:#aaa;background:#fff'>pale</p><img src='data:image/gif;base64,R0lGODlhAQABAAAAACwAAAAAAQABAAA='>
        <button></button><p style='background:linear-gradient(#fff,#000)'>on a slope</p></main>",
    )]);
    let page = Page::fresh();
    page.open(&server.url(""));
    page.eval(SIGHT);
    assert_eq!(page.eval("sight.faint().length"), 1);
    let found = axe::complaints(&page);
    let mut rules: Vec<&str> = found.iter().filter(|one| !one.undecided).map(|one| one.rule.as_str()).collect();
    rules.sort_unstable();
    assert!(found.iter().any(|one| one.undecided && one.rule == "color-contrast"), "{found:#?}");
    assert_eq!(rules, ["button-name", "color-contrast", "html-has-lang", "image-alt"], "{found:#?}");
}
