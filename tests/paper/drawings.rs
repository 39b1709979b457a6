//! Drawings on handouts: there, with what they say to whoever cannot see them, and with letters that can be read.

use super::courses::{demo, with_address};
use super::pdf::{Leaf, Pdf};
use pottle::{check, read_project, render};

const CURD: &str = "papers/pressed-curd-handout-a4.pdf";

/// The place of words that follow each other: their page, and the place of the first.
fn find<'a>(pdf: &'a Pdf, words: &str) -> (&'a Leaf, super::pdf::Rect) {
    let wanted: Vec<&str> = words.split(' ').collect();
    let on = |leaf: &'a Leaf| {
        let found =
            leaf.words.windows(wanted.len()).find(|window| window.iter().zip(&wanted).all(|(a, b)| a.text == **b));
        found.map(|window| (leaf, window[0].place))
    };
    pdf.leaves.iter().find_map(on).unwrap_or_else(|| panic!("“{words}” is not in {}", pdf.text()))
}

/// Pressed curd as it is published: its two drawings, their labels as words, their captions under them.
#[test]
fn drawings_stand_on_the_handout_as_figures_with_words() {
    let course = demo();
    let pdf = Pdf::read(course.file(CURD));
    let alternatives = pdf.alternatives();
    let figures = pdf.figures();
    // The code at the head of the page is a figure too.
    assert_eq!((alternatives.len(), figures.len()), (3, 3), "{alternatives:?}, {figures:?}");
    for opening in ["Two pots, cut open, a spoon in each.", "Above: the curd lies as a flat square across the cloth"] {
        assert!(alternatives.iter().any(|one| one.starts_with(opening)), "{alternatives:?}");
    }
    let labels = [("02-pressed-curd/clear-whey.svg", 1), ("02-pressed-curd/press.svg", 2)];
    for (path, figure) in labels {
        let text = std::str::from_utf8(&course.project.pictures[path]).expect("a drawing is text");
        let written: Vec<&str> = text
            .split("</text>")
            .filter_map(|one| one.rsplit_once("<text")?.1.split_once('>'))
            .map(|(_, label)| label)
            .collect();
        assert!(written.len() > 1, "{path}");
        for label in written {
            assert!(figures[figure].contains(label), "{label} in {figures:?}");
            find(&pdf, label);
        }
    }
    for (label, caption) in [("still milky: wait", "Look at the liquid and not"), ("weight", "Fold, turn, and press")] {
        let (page, place) = find(&pdf, label);
        let (same, under) = find(&pdf, caption);
        assert!(std::ptr::eq(page, same) && under.top > place.bottom && under.top - place.bottom < 200.0, "{caption}");
        let size = page.runs.iter().find(|run| run.text.contains(label)).map(|run| run.size);
        assert!(size.is_some_and(|size| (7.0..12.0).contains(&size)), "{label} in {size:?}");
    }
    // Told only where there is nothing to look at: on cards.
    assert!(!pdf.text().contains("picture on the page") && !pdf.text().contains("Two pots, cut open"));
    let cards = Pdf::read(course.file("papers/pressed-curd-cards-a6.pdf")).text();
    assert!(cards.contains("A picture on the page: Two pots, cut open"), "{cards}");
}

/// Ours and no others, so that a drawing that asks for the fonts of a screen is the same on every machine.
#[test]
fn letters_of_drawings_are_in_the_fonts_of_paper() {
    let pdf = Pdf::read(demo().file(CURD));
    assert!(pdf.fonts.iter().all(|font| font.embedded && font.name.contains("SourceSans3")), "{:?}", pdf.fonts);
    // Drawings bring no second copy of one.
    assert_eq!(pdf.fonts.len(), 3, "{:?}", pdf.fonts);
}

/// A picture that asks for more than any printer has is told, and the handout is made.
#[test]
fn a_drawing_that_cannot_be_drawn_is_told() {
    let folder = with_address();
    let path = folder.path().join("02-pressed-curd/press.svg");
    let levels: String = (1..12)
        .map(|level| format!("<g id=\"p{level}\">{}</g>", format!("<use href=\"#p{}\"/>", level - 1).repeat(10)))
        .collect();
    let bomb = format!("<svg xmlns=\"http://www.w3.org/2000/svg\"><path id=\"p0\" d=\"M0 0h9\"/>{levels}</svg>");
    std::fs::write(path, bomb).expect("the copy is ours");
    let project = read_project(folder.path()).expect("the course is there");
    let checked = check(&project).course.expect("the course is clean");
    let site = render(&project, &checked).expect("the theme is sound");
    let pdf = Pdf::read(&site.files()[CURD]);
    assert_eq!(pdf.alternatives().len(), 2);
    let text = pdf.text();
    assert!(text.contains("A picture on the page: Above: the curd lies") && text.contains("Fold, turn, and press"));
}
