//! Cautions: wherever an author writes them, they reach cards and handouts, whole and in a box.

use super::courses::hard;
use super::hostile::CAUTIONS;
use super::pdf::{Pdf, Word};
use pottle::kitchen::Choice;
use pottle::render::{CardChoice, HandoutChoice, Paper, cards, handout};

/// Which of them stand among the words of steps: their cards have them, and cover and handout gather them.
const OF_STEPS: [&str; 2] = [CAUTIONS[2], CAUTIONS[3]];

/// The words of a caution where it stands as a whole, with their pages; every place of it.
fn places<'a>(pdf: &'a Pdf, caution: &str) -> Vec<Vec<(usize, &'a Word)>> {
    let wanted: Vec<String> = caution.replace('*', "").split_whitespace().map(str::to_owned).collect();
    let mut found = Vec::new();
    for (page, leaf) in (1..).zip(&pdf.leaves) {
        for words in leaf.words.windows(wanted.len()) {
            if words.iter().map(|word| word.text.as_str()).eq(wanted.iter().map(String::as_str)) {
                found.push(words.iter().map(|word| (page, word)).collect());
            }
        }
    }
    found
}

fn all_stand_in_boxes(pdf: &Pdf, what: &str) {
    for caution in CAUTIONS {
        let found = places(pdf, caution);
        let least = if OF_STEPS.contains(&caution) { 2 } else { 1 };
        assert!(found.len() >= least, "{what}: “{caution}” stands {} times", found.len());
        for (page, word) in found.into_iter().flatten() {
            assert!(pdf.is_boxed(page, word), "{what}, page {page}: “{}” of “{caution}” is in no box", word.text);
        }
    }
    // Plain words are in none: a reader that sees boxes everywhere would let everything pass.
    let (page, plain) = (1..)
        .zip(&pdf.leaves)
        .find_map(|(page, leaf)| Some((page, leaf.words.iter().find(|word| word.text.starts_with("stir-"))?)))
        .expect("the long step has words");
    assert!(!pdf.is_boxed(page, plain), "{what}: {plain:?}");
}

#[test]
fn cautions_reach_every_size_of_card_in_boxes() {
    let course = hard();
    for paper in Paper::CARDS {
        let choice = CardChoice { paper, ..CardChoice::default() };
        let made = cards(&course.project, &course.checked, 0, &choice).expect("its cards can be set");
        all_stand_in_boxes(&Pdf::read(&made.pdf), paper.name());
    }
}

#[test]
fn cautions_reach_the_handout_in_boxes() {
    let course = hard();
    for paper in Paper::SHEETS {
        let choice = HandoutChoice { paper, columns: 1, shown: Choice::AS_WRITTEN, ways: Vec::new() };
        let pdf = Pdf::read(&handout(&course.project, &course.checked, 0, &choice).expect("it can be set"));
        all_stand_in_boxes(&pdf, paper.name());
    }
}
