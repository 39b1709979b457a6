//! The live words: what a student has, which units, and the link that carries it.

use super::axe;
use super::lesson::Lesson;
use super::site;

const CURD: &str = "pressed-curd.html";
const BREAD: &str = "whey-flatbreads.html";

/// Four litres of milk in the lesson, 2.7 in the fridge: by hand 27/40 of the batch, 81 mL of lemon juice and 6.075 g
/// of salt; a jug shows 80 or 82 and scales 6.
#[test]
fn what_a_student_has_changes_list_plates_and_prose() {
    let server = site::served();
    let lesson = Lesson::fresh(&server, CURD);
    let (before, first) = (lesson.mentions(), lesson.status());
    lesson.scale("milk", "2.7", Some("L"));
    lesson.let_it_remember();
    assert!(lesson.text("location.hash").contains("x=27/40"));
    assert_ne!(lesson.status(), first);
    assert!(lesson.status().contains("0.675"), "{}", lesson.status());
    for part in [".ledger", ".step .needs", ".step .prose"] {
        let words = lesson.words_in(part);
        let has = |start: &str| words.iter().any(|text| text.starts_with(start) && !text.ends_with("°C"));
        assert!(has("2.7"), "{part}: {words:?}");
    }
    let list = lesson.words_in(".ledger").join(", ").replace('\u{a0}', " ");
    assert!(["80 mL", "81 mL", "82 mL"].iter().any(|much| list.contains(much)) && list.contains("6.1 g"), "{list}");
    for degrees in ["92", "88"] {
        assert!(lesson.words_in(".step .prose").iter().any(|text| text.starts_with(degrees)), "heat stays");
    }
    lesson.click("#_reset");
    assert_eq!(lesson.mentions(), before);
    lesson.let_it_remember();
    assert!(!lesson.text("location.hash").contains("x="));
}

/// Four litres and 120 mL make 4.12 L, and a fifth of a pot stays empty: a 3-litre pot takes 2.4 / 4.12 of it.
#[test]
fn a_pot_gives_the_largest_batch_it_holds_with_room_to_spare() {
    let server = site::served();
    let lesson = Lesson::fresh(&server, CURD);
    lesson.scale("pot", "3", Some("L"));
    let batch = lesson.scale_in_link() * 4.12;
    assert!(batch <= 2.4 + 1e-9 && batch > 2.3, "{batch} L in a pot of 3 L");
    assert!(!lesson.limits().contains("too small"), "{}", lesson.limits());
    lesson.scale("batches", "2", None);
    assert!(lesson.limits().contains("heavy pot is too small"), "8.24 L in a pot of 6 L: {}", lesson.limits());
}

#[test]
fn each_choice_of_units_is_kept_to_and_can_be_taken_back() {
    let server = site::served();
    for name in [CURD, BREAD] {
        let lesson = Lesson::fresh(&server, name);
        let written = lesson.mentions();
        lesson.open_bench();
        let rows: [(&str, &str, &[&str]); 6] = [
            ("u", "Metric", &["pint", "oz", "lb", "cup"]),
            ("u", "US", &[" mL", " L", "imperial"]),
            ("u", "Imperial", &[" mL", " L", "cup"]),
            ("t", "°C", &["°F"]),
            ("t", "°F", &["°C"]),
            ("m", "weight", &[]),
        ];
        for (list, choice, absent) in rows {
            let selector = format!("#_form [name={list}]");
            let said = lesson.status();
            lesson.choose(&selector, choice);
            assert_ne!(lesson.status(), said, "{name}, {choice}");
            let texts = lesson.mentions();
            for unit in absent {
                let left: Vec<_> = texts
                    .iter()
                    .filter(|(number, _)| !lesson.is_conversion_in_the_sentence(*number))
                    .filter(|(_, text)| text.replace('\u{a0}', " ").contains(unit))
                    .collect();
                assert!(left.is_empty(), "{name}, {choice}: {left:?}");
            }
            lesson.choose(&selector, "As written");
            assert_eq!(lesson.mentions(), written, "{name} after {choice}");
        }
        lesson.choose("#_form [name=t]", "°C and °F");
        let both = "[...document.querySelectorAll('.gauges dd')].map(one => one.innerText)";
        let both: Vec<String> = serde_json::from_value(lesson.eval(both)).expect("texts");
        assert!(
            both.iter().filter(|text| text.contains('°')).all(|text| text.contains("°C") && text.contains("°F")),
            "{both:?}"
        );
    }
}

#[test]
fn a_link_says_the_same_to_someone_else() {
    let server = site::served();
    let lesson = Lesson::fresh(&server, CURD);
    lesson.scale("milk", "1 1/2", Some("L"));
    lesson.choose("#_form [name=u]", "Imperial");
    lesson.choose("#_form [name=t]", "°F");
    lesson.let_it_remember();
    let link = lesson.text("location.pathname.slice(1) + location.hash");
    let other = Lesson::fresh(&server, &link);
    assert_ne!(lesson.mentions(), Lesson::fresh(&server, CURD).mentions());
    assert_eq!(other.mentions(), lesson.mentions());
    assert_eq!(other.limits(), lesson.limits());
    // The same device remembers without the link.
    let again = lesson.another();
    again.open(&server.url(CURD));
    assert_eq!(again.text("document.getElementById('_limits').textContent"), lesson.limits());
}

/// A link from elsewhere may hold anything.
#[test]
fn a_spoilt_link_leaves_the_lesson_as_written() {
    let server = site::served();
    let written = Lesson::fresh(&server, CURD).mentions();
    for link in
        ["x=0/1", "x=1/0", "x=-1/2", "x=99999999/1", "x=%3Cb%3E", "u=parsecs", "way=~~&at=nowhere", "x=1/2/3", "=&=&x"]
    {
        let lesson = Lesson::fresh(&server, &format!("{CURD}#{link}"));
        assert_eq!(lesson.mentions(), written, "{link}");
    }
}

#[test]
fn what_is_no_amount_is_said_beside_the_field() {
    let server = site::served();
    let lesson = Lesson::fresh(&server, CURD);
    let written = lesson.mentions();
    for nonsense in ["", "0", "-2", "two", "1/0", "1e9", "12345678"] {
        lesson.scale("milk", nonsense, Some("L"));
        assert!(lesson.is("document.querySelector('#_form [name=amount]').ariaInvalid == 'true'"), "{nonsense}");
        assert!(lesson.is("document.querySelector('#_fault[role=alert]').textContent"), "{nonsense}");
        assert_eq!(lesson.mentions(), written, "{nonsense}");
    }
    lesson.scale("milk", "2,7", Some("L"));
    assert!(lesson.is("document.querySelector('#_fault').textContent == ''"));
    assert!((lesson.scale_in_link() - 0.675).abs() < 1e-9);
}

#[test]
fn the_bench_and_its_notes_are_open_to_all() {
    let server = site::served();
    let lesson = Lesson::fresh(&server, CURD);
    for state in ["u=metric", "u=us&t=f", "x=2&u=imperial&t=both", "x=37/100&m=spoon", "nonsense"] {
        if state == "nonsense" {
            lesson.scale("milk", "two", Some("L"));
        } else {
            lesson.eval(&format!("location.hash = {state:?}"));
        }
        for preferences in [[("prefers-color-scheme", "light")], [("prefers-color-scheme", "dark")]] {
            lesson.media("", &preferences);
            let found = axe::complaints(&lesson);
            assert!(found.is_empty(), "{state}: {found:#?}");
        }
    }
    lesson.screen(320, 640, 2.0, true);
    assert_eq!(lesson.eval("document.documentElement.scrollWidth"), 320);
    lesson.eval("document.querySelector('.step .prose [data-m]').focus()");
    lesson.press("Enter");
    assert!(lesson.is("document.getElementById('_note').checkVisibility() && document.activeElement.id == '_note'"));
    let found = axe::complaints(&lesson);
    assert!(found.is_empty(), "{found:#?}");
    lesson.press("Escape");
    assert!(
        lesson.is("!document.getElementById('_note').checkVisibility() && document.activeElement.matches(`[data-m]`)")
    );
}

/// On paper stands what stood on the screen, and no control.
#[test]
fn paper_shows_the_same_words() {
    let server = site::served();
    let lesson = Lesson::fresh(&server, CURD);
    lesson.scale("milk", "2.7", Some("L"));
    let shown = "[...document.querySelectorAll('.ledger [data-m], .prose [data-m], .needs [data-m]')].map(span => span.checkVisibility() ? span.innerText : '')";
    let screen = lesson.as_a_whole(|| lesson.eval(shown));
    lesson.media("print", &[]);
    assert_eq!(lesson.eval(shown), screen);
    let controls = lesson.eval("[...document.querySelectorAll('button, select, input, summary')].filter(one => one.checkVisibility()).map(one => one.outerHTML)");
    assert_eq!(controls, serde_json::json!([]));
}

/// Without script all figures stand there in both units, and nothing offers what it cannot do.
#[test]
fn without_script_the_lesson_is_complete() {
    let server = site::served();
    for name in [CURD, BREAD] {
        let with = Lesson::fresh(&server, name);
        let without = Lesson::fresh(&server, "index.html");
        without.allow_script(false);
        without.open(&server.url(name));
        assert_eq!(without.mentions(), with.mentions());
        let controls = without.eval(
            "[...document.querySelectorAll('button:not([popovertarget]), select, input')].filter(one => one.checkVisibility()).length",
        );
        assert_eq!(controls, 0);
        // The page's own script has not run; axe needs to.
        without.allow_script(true);
        let found = axe::complaints(&without);
        assert!(found.is_empty(), "{found:#?}");
    }
}
