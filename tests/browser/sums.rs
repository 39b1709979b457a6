//! Sums: a student types, and the page says what comes out.

use super::lesson::Lesson;
use super::page::Page;
use super::site;

const SAID: &str = "document.querySelector('.sum output').textContent";
/// The heights table of the US home-canning guide: water boils at 203 °F (95 °C) at 5000 feet, which are 1524 m.
const HIGH: &str = "At 1524\u{a0}m above the sea water boils at about 94.9\u{a0}°C (203\u{a0}°F). Jam sets at about 99.3\u{a0}°C (211\u{a0}°F).";

fn type_height(page: &Page, metres: &str) -> String {
    page.fill("[aria-label^=What] input", metres);
    page.text(SAID)
}

#[test]
fn a_height_tells_where_water_boils() {
    let server = site::served();
    let page = Lesson::fresh(&server, "clean-pans.html");
    let begins = page.text(SAID);
    assert!(
        begins.starts_with("At 600\u{a0}m above the sea water boils at about 98\u{a0}°C (208\u{a0}°F)."),
        "{begins}"
    );
    assert_eq!(type_height(&page, "1524"), HIGH);
    assert!(type_height(&page, "1500").contains("about 95\u{a0}°C (203\u{a0}°F)"));
    assert!(page.is("document.querySelector('[aria-label^=What] input').ariaInvalid == 'false'"));
    let fault = "Height above the sea: from −430 to 9000\u{a0}m, please.";
    for wrong in ["90000", "-500", ""] {
        assert_eq!(type_height(&page, wrong), fault, "{wrong}");
        assert!(page.is("document.querySelector('[aria-label^=What] input').ariaInvalid == 'true'"));
    }
    assert_eq!(type_height(&page, "600"), begins);
    // A key that would send a form sends nothing.
    page.press("Enter");
    assert_eq!(page.text(SAID), begins);
    assert_eq!(page.troubles(), Vec::<String>::new());
}

#[test]
fn several_fields_work_together() {
    let server = site::served();
    let page = Lesson::fresh(&server, "whey-flatbreads.html");
    let said = |nth: usize| page.text(&format!("document.querySelectorAll('.sum output')[{nth}].textContent"));
    let dough = said(1);
    page.fill("[aria-label^=Bakers] label:nth-child(2) input", "100");
    assert_eq!(
        said(0),
        "To 750\u{a0}g of flour go 750\u{a0}g whey, 15\u{a0}g salt, 10.5\u{a0}g yeast: 1526\u{a0}g of dough."
    );
    assert_eq!(said(1), dough, "the other sum stays");
}

#[test]
fn without_script_a_sum_is_its_worked_example() {
    let server = site::served();
    let page = Page::fresh();
    page.allow_script(false);
    page.open(&server.url("clean-pans.html"));
    assert!(page.text(SAID).starts_with("At 600\u{a0}m"));
    assert!(page.is("!document.querySelector('.sum input').checkVisibility()"));
    assert!(page.is("document.querySelector('.sum output').checkVisibility()"));
}

#[test]
fn a_sum_works_on_the_take_home_page() {
    let folder = site::published();
    let page = Page::fresh();
    page.open(&format!("file://{}", folder.path().join("clean-pans-take-home.html").display()));
    assert_eq!(type_height(&page, "1524"), HIGH);
    assert_eq!(page.troubles(), Vec::<String>::new());
}
