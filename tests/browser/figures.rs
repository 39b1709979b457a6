//! Every figure of a page against ours: prose, lists, plates and headings, on screen, at the stove and on paper.

use super::lesson::Lesson;
use super::site;
use pottle::kitchen::{Choice, Kitchens, LiveData, Reader, Thermometer, Tool};
use pottle::quantity::Exact;
use pottle::render::live_figures;

/// What a link says, and the same as our kitchens take it.
fn choices() -> Vec<(&'static str, Choice)> {
    let plain = Choice::AS_WRITTEN;
    let times = |over, under| Choice { scale: Exact::new(over, under), ..plain };
    let units = |reader| Choice { units: Some(reader), ..plain };
    vec![
        ("x=2", times(2, 1)),
        ("x=37/100", times(37, 100)),
        ("u=metric", units(Reader::Metric)),
        ("u=us", units(Reader::Us)),
        ("u=imperial", units(Reader::Imperial)),
        ("t=c", Choice { degrees: Some(Thermometer::Celsius), ..plain }),
        ("t=f", Choice { degrees: Some(Thermometer::Fahrenheit), ..plain }),
        ("t=both", Choice { degrees: Some(Thermometer::Both), ..plain }),
        ("m=spoon", Choice { by: Some(Tool::Spoons), ..plain }),
        (
            "x=27/40&u=us&t=f&m=weigh",
            Choice {
                units: Some(Reader::Us),
                degrees: Some(Thermometer::Fahrenheit),
                by: Some(Tool::Scale),
                ..times(27, 40)
            },
        ),
        ("x=3&u=imperial&m=spoon", Choice { by: Some(Tool::Spoons), units: Some(Reader::Imperial), ..times(3, 1) }),
    ]
}

/// What a page must show of each mention, where `written` is what its author wrote.
fn wanted(
    data: &LiveData,
    kitchens: &Kitchens<'_>,
    choice: &Choice,
    written: &[(usize, String)],
) -> Vec<(usize, String)> {
    let shown = |number: usize, was: &str| {
        let mention = &data.mentions[number];
        match kitchens.show(&data.measures[mention.measure], mention, choice) {
            None => was.to_owned(),
            Some(one) if one.after => format!("{was}{}", one.text),
            Some(one) => one.text,
        }
    };
    written.iter().map(|(number, was)| (*number, shown(*number, was))).collect()
}

#[test]
fn every_figure_of_every_lesson_is_ours_at_each_choice() {
    let server = site::served();
    let (project, checked) = site::demo();
    let kitchens = Kitchens::new(checked.reference(), checked.course().home).expect("the units are there");
    let mut compared = 0;
    for (index, lesson) in checked.course().lessons.iter().enumerate() {
        let data = live_figures(project, checked, index).expect("the lesson is there");
        let page = Lesson::fresh(&server, &format!("{}.html", lesson.slug));
        let written = page.mentions();
        assert!(written.len() > 20, "{}: {}", lesson.slug, written.len());
        let mut changed = 0;
        for (link, choice) in choices() {
            // As a link that another student sent: nothing of the page before it stays.
            page.eval(&format!("location.hash = {link:?}"));
            page.wait_until(&format!("location.hash === '#{link}'"));
            let wanted = wanted(&data, &kitchens, &choice, &written);
            assert_eq!(page.mentions(), wanted, "{} {link}", lesson.slug);
            changed += usize::from(wanted != written);
            compared += wanted.len();
            // On paper the same words stand, but for what is hidden there.
            page.media("print", &[]);
            assert_eq!(page.mentions(), wanted, "{} {link} printed", lesson.slug);
            page.media("", &[]);
        }
        let there = page.mentions();
        page.tap("#_cook");
        page.wait_until("document.body.classList.contains('stove')");
        assert_eq!(page.mentions(), there, "{} at the stove", lesson.slug);
        // Without a recipe nothing grows and nothing is spooned.
        assert!(changed >= if lesson.recipe.is_some() { 8 } else { 4 }, "{}: {changed}", lesson.slug);
    }
    assert!(compared > 3000, "{compared}");
}
