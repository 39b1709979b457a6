//! Narrow screens and keyboards.

use super::page::{Page, SIGHT};
use super::site;
use serde::Deserialize;

/// WCAG 2.2, success criterion 1.4.10: no scrolling in two directions at a width of 320 CSS pixels.
#[test]
fn nothing_scrolls_sideways_at_320_pixels() {
    let server = site::served();
    let page = Page::fresh();
    page.screen(320, 640, 2.0, true);
    for name in site::pages() {
        page.open(&server.url(name));
        let widths = page.eval("[innerWidth, document.documentElement.scrollWidth, document.body.scrollWidth]");
        assert_eq!(widths, serde_json::json!([320, 320, 320]), "{name}: screen, page, body");
    }
}

/// What has the focus: which of the places that can be reached (-1: none of them), and how it looks.
#[derive(Debug, Deserialize)]
struct Stop {
    #[expect(dead_code, reason = "for the one who reads the failure")]
    what: String,
    at: i64,
    scrolls: bool,
    ring: f64,
    contrast: f64,
    seen: bool,
}

/// WCAG 2.2: 2.1.1 (all by keyboard), 2.4.3 (in order), 2.4.7 and 2.4.11 (focus is visible and not covered),
/// 1.4.11 (the ring stands out three to one).
fn a_keyboard_reaches_every_link(preferences: &[(&str, &str)]) {
    let server = site::served();
    let page = Page::fresh();
    page.screen(1280, 800, 1.0, false);
    // With smooth scrolling the place would still be on its way when it is looked at.
    page.media("", &[preferences, &[("prefers-reduced-motion", "reduce")]].concat());
    for name in site::pages() {
        page.open(&server.url(name));
        page.settle();
        page.eval(SIGHT);
        assert!(
            page.is("!document.querySelector('[tabindex]:not([tabindex=\"0\"], [tabindex=\"-1\"])')"),
            "{name}: a forced order"
        );
        let stops = page.eval("sight.stops().length").as_i64().expect("a count");
        assert!(stops > 3, "{name} has links");
        let mut next = 0;
        while next < stops {
            page.press("Tab");
            let stop: Stop = serde_json::from_value(page.eval("sight.stop()")).expect("a stop");
            assert!(
                stop.ring >= 2.0 && stop.contrast >= 3.0 && stop.seen,
                "{name}: the focus cannot be seen: {stop:?}"
            );
            // A box that scrolls is a stop of the browser's own.
            if stop.at < 0 && stop.scrolls {
                continue;
            }
            assert_eq!(stop.at, next, "{name}: out of order: {stop:?}");
            next += 1;
        }
    }
}

#[test]
fn a_keyboard_reaches_every_link_by_day() {
    a_keyboard_reaches_every_link(&[]);
}

#[test]
fn a_keyboard_reaches_every_link_by_night() {
    a_keyboard_reaches_every_link(&[("prefers-color-scheme", "dark")]);
}

/// The first stop of every page leads past its head.
#[test]
fn the_first_stop_skips_to_the_text() {
    let server = site::served();
    let page = Page::fresh();
    for name in site::pages() {
        page.open(&server.url(name));
        page.press("Tab");
        page.press("Enter");
        page.wait_until("location.hash == '#_main' && document.querySelector('main').matches(':target')");
        page.press("Tab");
        assert!(page.is("document.querySelector('main').contains(document.activeElement)"), "{name}");
    }
}
