//! The plan on the page: its times follow the start that a student sets, and its charts the way that is chosen.

use crate::lesson::Lesson;
use crate::site;

const MOMENTS: &str = "[...document.querySelectorAll('.plan [data-at]')].map(one => one.textContent)";

fn moments(lesson: &Lesson) -> Vec<String> {
    serde_json::from_value(lesson.eval(MOMENTS)).expect("texts")
}

fn start_at(lesson: &Lesson, time: &str) {
    lesson.eval(&format!(
        "{{ const start = document.querySelector('[name=s]'); start.value = '{time}';
        start.dispatchEvent(new Event('change', {{ bubbles: true }})); }} 0"
    ));
    lesson.let_it_remember();
}

#[test]
fn the_plan_tells_the_time_from_the_start_that_is_set() {
    let server = site::served();
    let lesson = Lesson::fresh(&server, "pressed-curd.html");
    let written = moments(&lesson);
    assert_eq!(written[..2], ["0:00", "0:20–0:25"]);
    start_at(&lesson, "19:00");
    assert_eq!(moments(&lesson)[..2], ["19:00", "19:20–19:25"]);
    lesson.reload();
    assert_eq!(moments(&lesson)[..2], ["19:00", "19:20–19:25"], "it is remembered");
    start_at(&lesson, "23:50");
    assert_eq!(moments(&lesson)[..2], ["23:50", "00:10–00:15"], "and goes on after midnight");
    lesson.click("#_reset");
    assert_eq!(moments(&lesson), written);
}

#[test]
fn the_page_follows_the_way_that_is_chosen() {
    let server = site::served();
    let lesson = Lesson::fresh(&server, "whey-flatbreads.html");
    let shown = |selector: &str| {
        lesson
            .eval(&format!("[...document.querySelectorAll('{selector}')].filter(one => one.checkVisibility()).length"))
    };
    let (steps, lines) = (lesson.steps_shown().len(), shown(".glance li"));
    assert_eq!(shown(".plan figure"), 2);
    lesson.click("#_cook");
    lesson.click("#_ways label:has([value=oven])");
    lesson.click("#_leave");
    assert_eq!(lesson.steps_shown().len(), steps - 1);
    assert!(!lesson.steps_shown().contains(&"pan".to_owned()));
    assert_eq!(shown(".glance li").as_u64(), lines.as_u64().map(|count| count - 1));
    assert_eq!(shown(".plan figure"), 1);
    assert!(lesson.text("document.querySelector('.plan figure:not([hidden])').textContent").starts_with("By oven"));
    lesson.click("#_reset");
    assert_eq!(lesson.steps_shown().len(), steps);
    assert_eq!(shown(".plan figure"), 2);
}
