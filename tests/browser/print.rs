//! The lesson page on paper, printed by Chromium and read back by poppler: what stood on the screen stands there, whole
//! and large enough.

use super::axe;
use super::courses::{self, ADDRESS};
use super::hostile;
use super::lesson::Lesson;
use super::page::Page;
use super::pdf::{Leaf, Pdf};
use super::server::Server;
use super::site;
use super::words;
use serde_json::json;

/// Names in the list of the bench, and sizes in points.
const CARDS: [(&str, f64, f64); 4] = [
    ("Cards, A6", 297.64, 419.53),
    ("Cards, A5", 419.53, 595.28),
    ("Cards, 4 × 6 in", 288.0, 432.0),
    ("Cards, 5 × 8 in", 360.0, 576.0),
];

/// A lesson as a link of some choice opens it.
fn opened(server: &Server, name: &str, choice: &str) -> Lesson {
    Lesson::fresh(server, &format!("{name}.html#{choice}"))
}

/// The words of one part of the page that paper shows.
fn words_of(lesson: &Lesson, selector: &str) -> Vec<String> {
    lesson.media("print", &[]);
    let script = format!(
        "[...document.querySelectorAll({selector:?})].filter(one => one.checkVisibility()).map(one => one.innerText).join(' ')"
    );
    // Poppler reads the small number that calls a note as a word of its own.
    lesson.eval("for (const call of document.querySelectorAll('.call')) call.before(' ')");
    let text = lesson.text(&script);
    lesson.media("", &[("prefers-reduced-motion", "reduce")]);
    text.split_whitespace().map(str::to_owned).collect()
}

/// As [`words::missing`], on pages that end in “2 of 7”.
fn missing(wanted: &[String], leaves: &[Leaf]) -> Vec<String> {
    words::missing(wanted, leaves.iter().flat_map(|leaf| &leaf.words[..leaf.words.len().saturating_sub(3)]))
}

fn assert_size(pdf: &Pdf, width: f64, height: f64, what: &str) {
    for leaf in &pdf.leaves {
        let close = (leaf.width - width).abs() < 1.0 && (leaf.height - height).abs() < 1.0;
        assert!(close, "{what}: {} by {}, not {width} by {height}", leaf.width, leaf.height);
    }
}

/// What is written in the drawings of the demo course.
fn drawn() -> Vec<String> {
    let content = concat!(env!("CARGO_MANIFEST_DIR"), "/content/saltmarsh-hall");
    let files = walkdir::WalkDir::new(content).into_iter().map(|entry| entry.expect("the demo course is there"));
    let files = files.filter(|entry| entry.path().extension().is_some_and(|end| end == "svg"));
    let texts = files.map(|entry| std::fs::read_to_string(entry.path()).expect("drawings are text"));
    let words = |text: String| -> Vec<String> {
        let after = text.split("<text").skip(1).filter_map(|part| part.split_once('>'));
        after.filter_map(|(_, text)| Some(text.split('<').next()?.trim().to_owned())).collect()
    };
    texts.flat_map(words).collect()
}

/// Nothing is under 12 pt but the small numbers that call notes, and on a handout what is written in drawings, in 10 pt.
/// Printers leave up to 6 mm blank (common practice).
fn assert_sound(pdf: &Pdf, what: &str) {
    let mut found = pdf.faults(11.9, 17.0);
    found.retain(|fault| !fault.contains("is set in") || !fault.contains("“1”") && !fault.contains("“2”"));
    if !what.contains("Cards") {
        let (small, drawn) = (pdf.faults(9.9, 17.0), drawn());
        let is_drawn = |fault: &String| {
            let ligatures = [("ﬀ", "ff"), ("ﬁ", "fi"), ("ﬂ", "fl"), ("ﬃ", "ffi"), ("ﬄ", "ffl")];
            let fault = ligatures.iter().fold(fault.clone(), |fault, (one, letters)| fault.replace(one, letters));
            fault.contains("is set in") && drawn.iter().any(|word| fault.contains(&format!("“{word}”")))
        };
        found.retain(|fault| small.contains(fault) || !is_drawn(fault));
    }
    assert!(found.is_empty(), "{what}: {} faults, {:#?}", found.len(), &found[..found.len().min(8)]);
}

/// Each page tells which it is: a dropped stack can be put in order again.
fn assert_numbered(pdf: &Pdf, what: &str) {
    let all = pdf.leaves.len();
    for (number, leaf) in (1..).zip(&pdf.leaves) {
        assert!(leaf.text().ends_with(&format!("{number} of {all}")), "{what}, page {number}: {}", leaf.text());
    }
}

#[test]
fn the_handout_has_all_words_of_the_screen_on_either_paper() {
    let server = site::served();
    for (name, choice) in [("pressed-curd", ""), ("whey-flatbreads", "x=2&u=us&t=f"), ("clean-pans", "u=metric")] {
        let lesson = opened(&server, name, choice);
        let wanted = words_of(&lesson, "main, .foot");
        assert!(wanted.len() > 500, "{}", wanted.len());
        for (inches, width, height) in [((8.27, 11.69), 595.28, 841.89), ((8.5, 11.0), 612.0, 792.0)] {
            let what = format!("{name}, {choice}, {width}");
            let pdf = Pdf::read(&lesson.printed(json!({ "paperWidth": inches.0, "paperHeight": inches.1 })));
            assert_size(&pdf, width, height, &what);
            assert_sound(&pdf, &what);
            assert_numbered(&pdf, &what);
            assert_eq!(missing(&wanted, &pdf.leaves), Vec::<String>::new(), "{what}");
        }
    }
}

/// The cards that a choice on the bench makes, with the list of steps and the ingredients first.
fn cards_are_sound(lesson: &Lesson, what: &str) {
    lesson.open_bench();
    for (name, width, height) in CARDS {
        lesson.choose("#_form select:has(.card)", name);
        let steps = lesson.steps_shown();
        let what = format!("{what}, {name}");
        let pdf = Pdf::read(&lesson.printed(json!({})));
        assert_size(&pdf, width, height, &what);
        assert_sound(&pdf, &what);
        assert_numbered(&pdf, &what);
        let wanted = words_of(lesson, ".opening, .recipe");
        assert_eq!(missing(&wanted, &pdf.leaves), Vec::<String>::new(), "{what}");
        // Each step begins a card, and all its words stand from there to the next.
        let begins: Vec<usize> = (1..=steps.len()).map(|step| begin_of(&pdf, step, &what)).collect();
        for (index, id) in steps.iter().enumerate() {
            let end = begins.get(index + 1).copied().unwrap_or(pdf.leaves.len());
            let leaves = &pdf.leaves[begins[index]..end];
            let wanted = words_of(lesson, &format!("[data-step={id:?}]"));
            assert!(wanted.len() > 10, "{what}: {wanted:?}");
            assert_eq!(missing(&wanted, leaves), Vec::<String>::new(), "{what}, step {id}");
            let gauges = words_of(lesson, &format!("[data-step={id:?}] .gauges dd"));
            let large =
                |word: &String| leaves[0].words.iter().any(|one| one.text == *word && leaves[0].size_of(one) >= 24.0);
            let small: Vec<&String> = gauges.iter().filter(|word| !large(word)).collect();
            assert!(small.is_empty(), "{what}, step {id}: {small:?} of {gauges:?} is not set large");
        }
    }
}

/// The page that begins with `Step 3`.
fn begin_of(pdf: &Pdf, step: usize, what: &str) -> usize {
    let opens = |leaf: &Leaf| leaf.text().starts_with(&format!("Step {step} "));
    pdf.leaves.iter().position(opens).unwrap_or_else(|| panic!("{what}: no page begins with step {step}"))
}

#[test]
fn cards_have_exactly_the_chosen_size_and_all_words_of_their_steps() {
    let server = site::served();
    for (name, choice) in [("pressed-curd", ""), ("whey-flatbreads", "x=2&u=us&t=f")] {
        cards_are_sound(&opened(&server, name, choice), &format!("{name}, {choice}"));
    }
}

/// What is too wide would shrink the type of the whole document.
#[test]
fn a_lesson_that_is_hard_to_set_loses_nothing() {
    let server = site::served_course(hostile::course().path());
    for choice in ["", "x=3/2&u=imperial"] {
        let lesson = opened(&server, "hostile", choice);
        let wanted = words_of(&lesson, "main, .foot");
        assert!(wanted.len() > hostile::WORDS);
        let pdf = Pdf::read(&lesson.printed(json!({ "paperWidth": 8.27, "paperHeight": 11.69 })));
        assert_sound(&pdf, choice);
        assert_eq!(missing(&wanted, &pdf.leaves), Vec::<String>::new(), "{choice}");
        cards_are_sound(&lesson, &format!("hostile, {choice}"));
    }
}

/// Without script nothing can be chosen, and the handout prints.
#[test]
fn the_button_prints_and_the_choice_of_cards_is_taken_back() {
    let server = site::served();
    let lesson = opened(&server, "pressed-curd", "");
    lesson.open_bench();
    lesson.eval("globalThis.printed = 0; window.print = () => printed++");
    lesson.click("#_print");
    assert_eq!(lesson.eval("printed"), 1);
    lesson.choose("#_form select:has(.card)", "Cards, A6");
    lesson.click("#_reset");
    let pdf = Pdf::read(&lesson.printed(json!({})));
    assert_size(&pdf, 612.0, 792.0, "the handout again");
}

/// What zbar reads on a page of paper, at the two finenesses that office printers have.
fn codes(pdf: &Pdf, page: usize, what: &str) -> Vec<String> {
    let [fine, coarse] = [300, 150].map(|dots| pdf.codes(page, dots));
    assert_eq!(fine, coarse, "{what}");
    fine
}

/// On cards each step has the code that leads to it, on the handout the lesson has its own; the screen has none.
#[test]
fn codes_lead_from_paper_to_the_page_and_to_each_step() {
    let server = site::served_course(courses::with_address().path());
    let lesson = opened(&server, "pressed-curd", "");
    let of_page = format!("{ADDRESS}pressed-curd.html");
    assert_eq!(
        lesson.eval("[...document.images].filter(one => one.checkVisibility() && !one.closest('figure')).length"),
        0
    );
    let pdf = Pdf::read(&lesson.printed(json!({ "paperWidth": 8.27, "paperHeight": 11.69 })));
    let found: Vec<String> = (1..=pdf.leaves.len()).flat_map(|page| codes(&pdf, page, "the handout")).collect();
    assert_eq!(found, [of_page.as_str()]);
    let slugs = lesson.eval("[...document.querySelectorAll('.step :is(h2, h3)')].map(one => one.id)");
    let slugs: Vec<String> = serde_json::from_value(slugs).expect("texts");
    lesson.open_bench();
    for (name, ..) in CARDS {
        lesson.choose("#_form select:has(.card)", name);
        let pdf = Pdf::read(&lesson.printed(json!({})));
        assert_sound(&pdf, name);
        assert_eq!(codes(&pdf, 1, name), [of_page.as_str()], "{name}");
        for (step, slug) in (1..).zip(&slugs) {
            let page = 1 + begin_of(&pdf, step, name);
            // The first at both: to read all of them so fine takes its time.
            let found = if step == 1 { codes(&pdf, page, name) } else { pdf.codes(page, 150) };
            assert_eq!(found, [format!("{of_page}#{slug}")], "{name}, step {step}");
        }
    }
    // What the screen shows of the print view can be read as it is.
    lesson.choose("#_form select:has(.card)", "Handout");
    lesson.media("print", &[]);
    lesson.screen(794, 1123, 2.0, false);
    lesson.eval("scrollTo(0, 0)");
    let folder = tempfile::tempdir().expect("a folder");
    let picture = folder.path().join("screen.png");
    std::fs::write(&picture, lesson.screenshot()).expect("a file");
    assert_eq!(crate::pdf::codes(&picture), [of_page.as_str()], "the screenshot");
    // Nobody taps on paper.
    let told = |one: &axe::Complaint| !one.undecided && one.rule != "target-size";
    let found: Vec<axe::Complaint> = axe::complaints(&lesson).into_iter().filter(told).collect();
    assert!(found.is_empty(), "{found:#?}");
}

/// The page to take home holds the code of the lesson, and needs no other file.
#[test]
fn a_page_taken_home_leads_back_by_its_code() {
    let folder = site::published_course(courses::with_address().path());
    let page = Page::fresh();
    page.open(&format!("file://{}", folder.path().join("pressed-curd-take-home.html").display()));
    let elsewhere = "[...document.images].map(one => one.src).filter(src => !src.startsWith('data:'))";
    assert_eq!(page.eval(elsewhere), json!([]));
    let pdf = Pdf::read(&page.printed(json!({ "paperWidth": 8.27, "paperHeight": 11.69 })));
    assert_eq!(codes(&pdf, 1, "the first page"), [format!("{ADDRESS}pressed-curd.html")]);
}
