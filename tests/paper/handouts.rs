//! Handouts and the booklet: their size, their type, their words and figures, their codes.

use super::courses::{ADDRESS, Course, demo, hard};
use super::lesson_page::steps;
use super::pdf::{Leaf, Pdf, Word};
use super::words::missing;
use pottle::kitchen::{Choice, Reader, Thermometer};
use pottle::quantity::Exact;
use pottle::render::{HandoutChoice, Paper, booklet, handout};

const MM: f64 = 72.0 / 25.4;

/// Printers leave up to 6 mm blank (common practice), and a punch takes 10 to 12 from an edge.
const SAFE: f64 = 12.0 * MM;

/// Sizes in points: A4 as CSS paged media names it, Letter by its inches.
const SIZES: [(Paper, f64, f64); 2] = [(Paper::A4, 210.0 * MM, 297.0 * MM), (Paper::Letter, 612.0, 792.0)];

fn twice() -> Choice {
    let degrees = Some(Thermometer::Fahrenheit);
    Choice { scale: Exact::whole(2), units: Some(Reader::Us), degrees, ..Choice::AS_WRITTEN }
}

fn read(made: Result<Vec<u8>, pottle::diag::Diagnostics>) -> Pdf {
    Pdf::read(&made.unwrap_or_else(|found| panic!("{:?}", found.iter().map(|one| &one.message).collect::<Vec<_>>())))
}

/// Everything that the steps say on the lesson's page, and the figures among their words.
fn says_what_the_page_says(course: &Course, lesson: usize, pdf: &Pdf, choice: &Choice, what: &str) -> usize {
    let mut compared = 0;
    // Without the line at the foot.
    let above = |leaf: &Leaf| {
        leaf.words.iter().filter(|word| word.place.top < leaf.height - SAFE - 22.0).cloned().collect::<Vec<_>>()
    };
    let words: Vec<Word> = pdf.leaves.iter().flat_map(above).collect();
    let flow: String = words.iter().map(|word| word.text.as_str()).collect();
    // The reader of PDFs may take the right column first, and a figure may begin at the foot of the left one.
    let half = |right: bool| {
        move |leaf: &Leaf| {
            let is_there = |word: &Word| (word.place.left > leaf.width / 2.0) == right;
            above(leaf).into_iter().filter(is_there).map(|word| word.text).collect::<String>()
        }
    };
    let by_columns: String = pdf.leaves.iter().map(|leaf| half(false)(leaf) + &half(true)(leaf)).collect();
    let mut wanted = Vec::new();
    for step in steps(course, lesson, choice) {
        wanted.extend(step.words());
        for figure in step.prose.iter().chain(&step.rescues).flat_map(|text| text.figures_in_place()) {
            compared += 1;
            let is_there = [&flow, &by_columns].iter().any(|flow| flow.contains(&figure));
            assert!(is_there, "{what}, step {}: “{figure}” is not there", step.id);
        }
    }
    assert_eq!(missing(&wanted, words.iter()), Vec::<String>::new(), "{what}");
    compared
}

/// `labels` are written in drawings, which stand in a narrow column; all other words are as large as clear print is.
fn assert_sound(pdf: &Pdf, (width, height): (f64, f64), labels: &[String], what: &str) {
    for (number, leaf) in (1..).zip(&pdf.leaves) {
        let close = (leaf.width - width).abs() < 1.0 && (leaf.height - height).abs() < 1.0;
        assert!(close, "{what}: {} by {}", leaf.width, leaf.height);
        let place = format!("{number} of {}", pdf.leaves.len());
        assert!(leaf.text().contains(&place), "{what}: {place}");
    }
    let small =
        pdf.leaves.iter().flat_map(|leaf| &leaf.runs).filter(|run| run.size < 11.9 && !run.text.trim().is_empty());
    for run in small {
        let is_label = labels.iter().any(|label| label.contains(run.text.trim()));
        assert!(is_label, "{what}: “{}” is set in {:.1} pt", run.text, run.size);
    }
    // To the nearest third of a point, 7 may be read as 6.67.
    let faults = pdf.faults(6.6, SAFE);
    assert!(faults.is_empty(), "{what}: {} faults, {:#?}", faults.len(), &faults[..faults.len().min(8)]);
}

#[test]
fn handouts_lose_nothing_on_either_paper_in_one_column_or_two() {
    let course = demo();
    let mut compared = 0;
    for slug in ["pressed-curd", "clean-pans", "cultured-butter"] {
        let lesson = course.lesson(slug);
        for ((paper, width, height), columns) in SIZES.into_iter().zip([2, 1]) {
            for shown in [Choice::AS_WRITTEN, twice()] {
                let what = format!("{slug}, {}, {columns} columns", paper.name());
                let choice = HandoutChoice { paper, columns, shown, ways: Vec::new() };
                let pdf = read(handout(&course.project, &course.checked, lesson, &choice));
                assert_sound(&pdf, (width, height), &course.labels(), &what);
                compared += says_what_the_page_says(course, lesson, &pdf, &shown, &what);
                let text = pdf.text();
                let recipe = course.checked.course().lessons[lesson].recipe.is_some();
                let of_recipes = if recipe { &["Ingredients", "☐", "How it keeps", "Contains:"][..] } else { &[] };
                for part in ["Cautions", "Steps and times", "Words of the trade", "Notes"].iter().chain(of_recipes) {
                    assert!(text.contains(part), "{what}: no {part}");
                }
            }
        }
    }
    assert!(compared > 150, "{compared}");
}

#[test]
fn a_lesson_that_is_hard_to_set_loses_nothing() {
    let course = hard();
    for ((paper, width, height), columns) in SIZES.into_iter().zip([2, 1]) {
        let what = format!("hard, {}", paper.name());
        let pdf = read(handout(
            &course.project,
            &course.checked,
            0,
            &HandoutChoice { paper, columns, shown: twice(), ways: Vec::new() },
        ));
        assert_sound(&pdf, (width, height), &course.labels(), &what);
        says_what_the_page_says(course, 0, &pdf, &twice(), &what);
    }
}

#[test]
fn the_code_leads_to_the_lesson_as_it_stands_there() {
    let course = demo();
    let lesson = course.lesson("pressed-curd");
    for (shown, state) in [(Choice::AS_WRITTEN, ""), (twice(), "#x=2/1&u=us&t=f")] {
        let pdf =
            read(handout(&course.project, &course.checked, lesson, &HandoutChoice { shown, ..Default::default() }));
        for dots in [300, 150] {
            assert_eq!(pdf.codes(1, dots), [format!("{ADDRESS}pressed-curd.html{state}")], "{dots}");
        }
    }
}

/// The contents name the pages on which the lessons begin.
#[test]
fn the_booklet_holds_all_lessons_and_finds_them() {
    let course = demo();
    let pdf = read(booklet(&course.project, &course.checked, &HandoutChoice::default()));
    assert_sound(&pdf, (SIZES[0].1, SIZES[0].2), &course.labels(), "booklet");
    let lessons = &course.checked.course().lessons;
    let mut wanted: Vec<(String, String)> = lessons
        .iter()
        .enumerate()
        .map(|(index, lesson)| (format!("{}. {}", index + 1, lesson.title), lesson.title.clone()))
        .collect();
    wanted.extend(["Glossary", "Sources"].map(|name| (name.to_owned(), name.to_owned())));
    let contents = &pdf.leaves[0];
    let text = |at: usize| pdf.leaves[at].text();
    for (entry, title) in wanted {
        let row = |word: &Word| {
            contents
                .words
                .iter()
                .filter(|other| (other.place.top - word.place.top).abs() < 1.0)
                .map(|word| word.text.as_str())
                .collect::<Vec<_>>()
                .join(" ")
        };
        let found = contents.words.iter().map(row).find(|row| row.starts_with(&entry));
        let found = found.unwrap_or_else(|| panic!("{entry} is not in {}", contents.text()));
        let page: usize = found[entry.len()..].trim().parse().unwrap_or_else(|_| panic!("{found} ends in a page"));
        assert!(text(page - 1).contains(&title), "{entry} is not on page {page}: {}", text(page - 1));
        assert!(page == 2 || !text(page - 2).starts_with(&title));
    }
    for (index, lesson) in lessons.iter().enumerate() {
        let opens = format!("Lesson {} of {}", index + 1, lessons.len());
        assert_eq!(pdf.leaves.iter().filter(|leaf| leaf.text().starts_with(&opens)).count(), 1, "{}", lesson.slug);
    }
}
