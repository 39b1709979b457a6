//! At the stove: one step at a time, with wet hands.

use super::axe;
use super::lesson::Lesson;
use super::site;

const CURD: &str = "pressed-curd.html";
const BREAD: &str = "whey-flatbreads.html";

/// The heading of the step that is shown has the focus, so that a screen reader begins there.
fn assert_one_step(lesson: &Lesson, step: &str) {
    assert_eq!(lesson.steps_shown(), [step]);
    assert!(lesson.is("document.activeElement.matches('.step.now :is(h2, h3)')"), "{step}");
}

#[test]
fn steps_turn_by_finger_and_by_key() {
    let server = site::served();
    let lesson = Lesson::fresh(&server, CURD);
    let all = lesson.steps_shown();
    assert!(all.len() > 3);
    lesson.tap("#_cook");
    lesson.wait_until("document.body.classList.contains('stove')");
    assert_one_step(&lesson, &all[0]);
    assert!(lesson.is("document.getElementById('_back').disabled"));
    lesson.tap("#_next");
    lesson.wait_until("!document.getElementById('_back').disabled");
    assert_one_step(&lesson, &all[1]);
    for (key, at) in
        [("ArrowRight", 2), ("ArrowLeft", 1), ("End", all.len() - 1), ("ArrowRight", all.len() - 1), ("Home", 0)]
    {
        lesson.press(key);
        assert_one_step(&lesson, &all[at]);
    }
    lesson.press("ArrowRight");
    lesson.let_it_remember();
    let link = lesson.text("location.pathname.slice(1) + location.hash");
    assert_eq!(Lesson::fresh(&server, &link).steps_shown(), [all[1].as_str()], "the link leads to the step");
    lesson.press("Escape");
    assert_eq!(lesson.steps_shown(), all);
}

#[test]
fn one_of_two_ways_is_chosen_once() {
    let server = site::served();
    let lesson = Lesson::fresh(&server, BREAD);
    let count = lesson.steps_shown().len();
    lesson.click("#_cook");
    lesson.click("#_ways label:has([value=oven])");
    let mut seen = lesson.steps_shown();
    while lesson.is("!document.getElementById('_next').disabled") {
        lesson.click("#_next");
        seen.extend(lesson.steps_shown());
    }
    assert_eq!(seen.len(), count - 1, "one step of two is left out: {seen:?}");
    lesson.reload();
    lesson.press("Home");
    assert!(lesson.is("document.querySelector('#_ways [value=oven]').checked"));
}

/// A timer is kept as the time of its end. Half an hour later, after a reload, it has rung.
#[test]
fn a_timer_survives_a_reload() {
    let server = site::served();
    let lesson = Lesson::fresh(&server, CURD);
    lesson.tap("#_cook");
    // The first step takes 20 to 25 minutes; the lower end counts.
    lesson.tap(".step.now .gauges button");
    lesson.wait_until("document.querySelectorAll('#_timers > li').length == 1");
    let left = "((text) => text.split(':').reduce((sum, part) => sum * 60 + +part, 0))(document.querySelector('#_timers > li').textContent.match(/(\\d\\d:)?\\d\\d:\\d\\d/)[0])";
    let seconds = lesson.eval(left).as_f64().expect("seconds");
    assert!((1190.0..=1200.0).contains(&seconds), "{seconds}");
    let kept = "Object.entries(localStorage).find(([name]) => name.endsWith('_timers'))[1]";
    let kept_before = lesson.text(kept);
    lesson.reload();
    assert_eq!(lesson.text(kept), kept_before);
    let seconds = lesson.eval(left).as_f64().expect("seconds");
    assert!((1180.0..=1200.0).contains(&seconds), "{seconds}");
    lesson.before_loading("{ const now = Date.now; Date.now = () => now() + 1800e3; }");
    lesson.reload();
    lesson.wait_until("/Time is up/.test(document.querySelector('#_ring[role=alert]').textContent)");
    assert!(lesson.text("document.title").contains("Time is up"));
    lesson.click("#_timers > li button:last-of-type");
    lesson.wait_until("!document.querySelector('#_timers > li') && !/Time is up/.test(document.title)");
    lesson.reload();
    assert!(lesson.is("!document.querySelector('#_timers > li')"));
}

/// Fingers are wet and the phone lies on the bench: 44 CSS pixels either way (WCAG 2.2, 2.5.5, level AAA, asks as much).
/// Words in running text are exempt there and here.
#[test]
fn everything_at_the_stove_is_large_enough_for_a_wet_finger() {
    let server = site::served();
    for name in [CURD, BREAD] {
        let lesson = Lesson::fresh(&server, name);
        lesson.tap("#_cook");
        let small = "[...document.querySelectorAll('button:not([popovertarget]), summary, select, input:not([type=radio]), label:has([type=radio])')]
            .filter(one => one.checkVisibility()).map(one => [one.getBoundingClientRect(), one.outerHTML.slice(0, 100)])
            .filter(([box]) => box.width < 44 || box.height < 44).map(([box, what]) => `${box.width} x ${box.height} ${what}`)";
        loop {
            let at = lesson.steps_shown();
            if lesson
                .is("document.querySelector('.step.now .gauges button') && !document.querySelector('#_timers > li')")
            {
                lesson.eval("document.querySelector('.step.now .gauges button').click()");
            }
            assert_eq!(lesson.eval(small), serde_json::json!([]), "{name} {at:?}");
            assert_eq!(lesson.eval("document.documentElement.scrollWidth"), 390, "{name} {at:?}");
            lesson.press("ArrowRight");
            if lesson.steps_shown() == at {
                break;
            }
        }
    }
}

#[test]
fn the_stove_is_open_to_all() {
    let server = site::served();
    let lesson = Lesson::fresh(&server, BREAD);
    lesson.tap("#_cook");
    lesson.wait_until("document.body.classList.contains('stove')");
    lesson.eval("document.querySelector('.step.now [data-t] ~ button, .step [data-t] ~ button').click()");
    for preferences in [[("prefers-color-scheme", "light")], [("prefers-color-scheme", "dark")]] {
        lesson.media("", &preferences);
        let found = axe::complaints(&lesson);
        assert!(found.is_empty(), "{found:#?}");
    }
}
