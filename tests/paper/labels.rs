//! Labels for jars and tubs, and how large allergens stand on paper.

use super::courses::{Course, demo, hard};
use super::pdf::{Leaf, Pdf, Word};
use pottle::render::{CardChoice, HandoutChoice, Paper, cards, handout, label_sheets};

const MM: f64 = 72.0 / 25.4;

/// Printers leave up to 6 mm blank (common practice); the words of a label stand 3 mm further in.
const SAFE: f64 = 8.5 * MM;

/// The least x-height of what law has on a label: 1.2 mm. Source: Regulation (EU) No 1169/2011, Article 13(2) and Annex IV.
const X_HEIGHT: f64 = 1.2 * MM;

fn sheets(course: &Course, paper: Paper) -> Pdf {
    let made = label_sheets(&course.project, &course.checked, paper).expect("something is kept");
    Pdf::read(&made.unwrap_or_else(|found| panic!("{:?}", found.iter().map(|one| &one.message).collect::<Vec<_>>())))
}

/// The words in each half of a sheet, from the top.
fn halves(leaf: &Leaf) -> [String; 2] {
    [false, true].map(|right| {
        let there = leaf.words.iter().filter(|word| (word.place.left > leaf.width / 2.0) == right);
        there.map(|word| word.text.as_str()).collect::<Vec<_>>().join(" ")
    })
}

#[test]
fn each_sheet_is_full_of_one_label_that_says_what_law_asks_for() {
    for (paper, width, height) in [(Paper::A4, 210.0 * MM, 297.0 * MM), (Paper::Letter, 612.0, 792.0)] {
        let pdf = sheets(demo(), paper);
        let faults = pdf.faults(11.9, SAFE);
        assert!(faults.is_empty(), "{}: {:#?}", paper.name(), &faults[..faults.len().min(8)]);
        let sized = |leaf: &&Leaf| (leaf.width - width).abs() < 1.0 && (leaf.height - height).abs() < 1.0;
        assert!(pdf.leaves.iter().all(|leaf| sized(&leaf)), "{}", paper.name());
        for (lesson, name, mark, labels) in [
            (2, "Pressed curd", "Use by", 10),
            (2, "Whey", "Use by", 10),
            (3, "Flatbreads", "", 0),
            (4, "Strained yoghurt", "Use by", 2),
            (5, "Cultured butter", "Use by", 0),
            (5, "Buttermilk", "Use by", 10),
            (8, "Plum jam", "Best before", 6),
        ] {
            let own = |leaf: &&Leaf| {
                let text = leaf.text();
                text.contains(name) && text.contains(&format!("Lot: lesson {lesson}."))
            };
            let found: Vec<&Leaf> = pdf.leaves.iter().filter(own).collect();
            assert_eq!(found.len(), 1, "{name}, {}", paper.name());
            for half in halves(found[0]) {
                let count = half.matches(name).count();
                assert!(labels == 0 && count >= 3 || 2 * count == labels, "{name}: {count} in {half}");
                for words in ["Keep:", "Made on", mark, "from the day it was made)", "Amount"] {
                    assert!(words.is_empty() || half.matches(words).count() >= count, "{name}: {words} in {half}");
                }
                let allergens =
                    half.matches("Contains ").count() + half.matches("Allergens: none named in the pantry").count();
                assert_eq!(allergens, count, "{name}: {half}");
            }
        }
    }
}

#[test]
fn a_label_is_read_once_however_often_it_is_printed() {
    // Poppler's outline of the structure has each paragraph with its words.
    let made =
        label_sheets(&demo().project, &demo().checked, Paper::A4).expect("something is kept").expect("it is set");
    let room = tempfile::tempdir().expect("a folder");
    let path = room.path().join("labels.pdf");
    std::fs::write(&path, made).expect("the folder is ours");
    let done = std::process::Command::new(super::tools::program("pdfinfo")).args(["-struct-text"]).arg(&path).output();
    let structure = String::from_utf8(done.expect("pdfinfo starts").stdout).expect("text");
    let read = structure.lines().filter(|line| line.trim() == "\"Buttermilk\"").count();
    assert_eq!(read, 1, "{structure}");
}

#[test]
fn two_ways_to_keep_a_thing_stand_on_one_label() {
    let pdf = sheets(demo(), Paper::A4);
    let leaf = pdf.leaves.iter().find(|leaf| leaf.text().contains("Cultured butter")).expect("butter is kept");
    let half = &halves(leaf)[0];
    assert!(half.contains("Keep: wrapped in the fridge, lidded, at most 5 °C (41 °F)."), "{half}");
    assert!(half.contains("Also: well wrapped in the freezer, lidded, at most −18 °C (0 °F), 12 weeks."), "{half}");
    assert!(half.contains("(10 days from the day it was made)"), "{half}");
}

/// The first word of that text on any page, and its page from 1.
fn first_word<'p>(pdf: &'p Pdf, text: &str) -> (usize, &'p Word) {
    let found = (1..)
        .zip(&pdf.leaves)
        .find_map(|(page, leaf)| Some((page, leaf.words.iter().find(|word| word.text.trim_end_matches('.') == text)?)));
    found.unwrap_or_else(|| panic!("“{text}” is nowhere"))
}

#[test]
fn what_says_what_it_contains_is_large_enough() {
    // All letters of "sesame" and "was" are as high as an x; the type of "contains" is the one beside it.
    let labels = sheets(demo(), Paper::A4);
    let (page, was) = first_word(&labels, "was");
    assert!(labels.ink_height(page, was) >= X_HEIGHT, "{}", labels.ink_height(page, was));
    let course = hard();
    let handouts = [Paper::A4, Paper::Letter].map(|paper| {
        let choice = HandoutChoice { paper, ..HandoutChoice::default() };
        handout(&course.project, &course.checked, 0, &choice).expect("it is set")
    });
    let decks = Paper::CARDS.map(|paper| {
        let choice = CardChoice { paper, ..CardChoice::default() };
        cards(&course.project, &course.checked, 0, &choice).expect("they are set").pdf
    });
    for bytes in handouts.iter().chain(&decks) {
        let pdf = Pdf::read(bytes);
        let (page, sesame) = first_word(&pdf, "sesame");
        let height = pdf.ink_height(page, sesame);
        assert!(height >= X_HEIGHT, "{height}");
        // Of 12 pt type an x is about half: nothing else was measured.
        assert!(height < 8.0, "{height}");
        let text = pdf.text();
        assert!(text.contains("spice number-aad (contains sesame)"), "{text}");
        assert!(text.contains("Contains: sesame. Read every pack: they differ."), "{text}");
    }
}

#[test]
fn where_the_pantry_names_no_allergen_paper_claims_nothing() {
    let course = demo();
    let lesson = course.lesson("plum-jam");
    let made = handout(&course.project, &course.checked, lesson, &HandoutChoice::default()).expect("it is set");
    let text = Pdf::read(&made).text();
    let words = "The pantry names none of the allergens of the UK and EU list here. Read every pack: they differ.";
    assert!(text.contains(words), "{text}");
    assert!(!text.contains("allergen-free") && !text.contains("free from"));
}
