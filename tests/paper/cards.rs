//! Step cards: their size, their type, their words and figures, how they lie on a sheet, and their codes.

use super::courses::{ADDRESS, Course, demo, hard};
use super::lesson_page::{StepText, steps};
use super::pdf::{Leaf, Pdf, Rect, Word};
use super::words::missing;
use pottle::kitchen::{Choice, Reader, Thermometer, Tool};
use pottle::quantity::Exact;
use pottle::render::{CardChoice, Edge, Paper, cards};

const MM: f64 = 72.0 / 25.4;

/// Nothing stands nearer to the edge: a seal takes 3 to 5 mm, and text wants 6 (common practice).
const SAFE: f64 = 6.0 * MM;

/// Sizes in points. ISO 216 for A6 and A5 (from memory for A6; CSS paged media names A5); cards of 4 by 6 and 5 by 8
/// inches by definition.
const SIZES: [(Paper, f64, f64); 4] = [
    (Paper::A6, 105.0 * MM, 148.0 * MM),
    (Paper::A5, 148.0 * MM, 210.0 * MM),
    (Paper::FourBySix, 288.0, 432.0),
    (Paper::FiveByEight, 360.0, 576.0),
];

fn choices() -> [Choice; 5] {
    let plain = Choice::AS_WRITTEN;
    [
        plain,
        Choice { scale: Exact::whole(2), units: Some(Reader::Us), degrees: Some(Thermometer::Fahrenheit), ..plain },
        Choice { scale: Exact::new(27, 40), units: Some(Reader::Imperial), by: Some(Tool::Scale), ..plain },
        Choice { units: Some(Reader::Metric), degrees: Some(Thermometer::Celsius), ..plain },
        Choice { scale: Exact::whole(3), by: Some(Tool::Spoons), degrees: Some(Thermometer::Both), ..plain },
    ]
}

fn made(course: &Course, lesson: usize, choice: &CardChoice) -> Pdf {
    let made = cards(&course.project, &course.checked, lesson, choice);
    let cards = made.unwrap_or_else(|found| {
        panic!("{:?}", found.iter().map(|one| (one.message.clone(), one.notes.clone())).collect::<Vec<_>>())
    });
    Pdf::read(&cards.pdf)
}

/// What stands above words that go on behind.
const GOES_ON: [&str; 4] = ["Continued", "from", "the", "front"];

/// The words of a step's cards, without what stands on each: the line at the top of those that go on and of backs, and
/// the strip at the foot.
fn step_words(pdf: &Pdf, step: usize, of: usize, line: &str) -> Vec<Word> {
    let head = format!("{step} of {of}");
    let opens = |leaf: &&Leaf| leaf.text().starts_with(&head) && !leaf.text().starts_with(&format!("{head}0"));
    let (mut found, mut rescues) = (Vec::new(), Vec::new());
    for leaf in pdf.leaves.iter().filter(opens) {
        let foot = leaf.words.iter().map(|word| word.place.top).fold(0.0, f64::max);
        let mut words: Vec<Word> = leaf.words.iter().filter(|word| word.place.top < foot - 2.0).cloned().collect();
        let lengths = (0..words.len().min(60)).rev();
        let text = |count: usize| words[..count].iter().map(|word| word.text.as_str()).collect::<String>();
        let end: String = line.split_whitespace().collect();
        let above = lengths
            .into_iter()
            .find(|count| text(*count).ends_with(&end) || text(*count).ends_with('…'))
            .unwrap_or_else(|| panic!("{head}: no “{line}” above"));
        let scale = words[above..].iter().take(2).filter(|word| word.text == "·" || word.text.starts_with('×')).count();
        let mut own: Vec<Word> = words.drain(above + scale..).collect();
        // Words that go on behind do so below the rescues.
        let goes_on = own.windows(GOES_ON.len()).position(|some| some.iter().map(|word| &*word.text).eq(GOES_ON));
        if let Some(at) = goes_on {
            rescues.extend(own.drain(..at));
            own.drain(..GOES_ON.len());
        }
        found.append(&mut own);
    }
    found.append(&mut rescues);
    assert!(!found.is_empty(), "no card begins with {head}");
    found
}

/// All words and all figures of a lesson's steps stand on their cards.
fn say_what_the_page_says(course: &Course, lesson: usize, pdf: &Pdf, choice: &Choice, what: &str) -> usize {
    let steps: Vec<StepText> = steps(course, lesson, choice);
    let title = &course.checked.course().lessons[lesson].title;
    let mut compared = 0;
    for (number, step) in (1..).zip(&steps) {
        let there = step_words(pdf, number, steps.len(), title);
        let lost = missing(&step.words(), there.iter());
        assert_eq!(lost, Vec::<String>::new(), "{what}, step {}", step.id);
        let flow: String = there.iter().map(|word| word.text.as_str()).collect();
        for text in step.plate.iter().filter(|text| !text.recording) {
            let said: String = text.words.split_whitespace().collect();
            assert!(flow.contains(&said), "{what}, step {}: “{said}” is not on its cards: {flow}", step.id);
        }
        for figure in step.prose.iter().chain(&step.rescues).flat_map(|text| text.figures_in_place()) {
            compared += 1;
            assert!(flow.contains(&figure), "{what}, step {}: “{figure}” is not on its cards: {flow}", step.id);
        }
    }
    compared
}

/// Temperatures and times, in each unit, are in the largest type: capitals of 24 pt can be read at a metre (16 to 22 minutes of arc,
/// as ISO 9241-3 asks of displays).
fn figures_are_large(course: &Course, lesson: usize, pdf: &Pdf, choice: &Choice, what: &str) {
    let steps = steps(course, lesson, choice);
    for (number, step) in (1..).zip(&steps) {
        let head = format!("{number} of {} ", steps.len());
        let front = pdf.leaves.iter().find(|leaf| leaf.text().starts_with(&head)).expect("its front");
        for gauge in &step.gauges {
            let large: String =
                front.words.iter().filter(|word| front.size_of(word) >= 24.0).map(|word| word.text.as_str()).collect();
            for (from, to) in &gauge.mentions {
                let figure: String = gauge.words[*from..*to].split_whitespace().collect();
                assert!(large.contains(&figure), "{what}, step {}: “{figure}” is not among “{large}”", step.id);
            }
        }
    }
}

#[test]
fn single_cards_have_their_size_and_lose_nothing() {
    let course = demo();
    let mut compared = 0;
    for (slug, shown) in ["pressed-curd", "whey-flatbreads", "cultured-butter", "strained-yoghurt", "clean-pans"]
        .into_iter()
        .zip(choices())
    {
        let lesson = course.lesson(slug);
        for (paper, width, height) in SIZES {
            let what = format!("{slug} on {}", paper.name());
            let pdf = made(course, lesson, &CardChoice { paper, sheet: None, shown, ways: Vec::new() });
            for leaf in &pdf.leaves {
                let close = (leaf.width - width).abs() < 1.0 && (leaf.height - height).abs() < 1.0;
                assert!(close, "{what}: {} by {}", leaf.width, leaf.height);
            }
            let faults = pdf.faults(11.9, SAFE);
            assert!(faults.is_empty(), "{what}: {faults:#?}");
            compared += say_what_the_page_says(course, lesson, &pdf, &shown, &what);
            figures_are_large(course, lesson, &pdf, &shown, &what);
        }
    }
    assert!(compared > 300, "{compared}");
}

/// Cards of another scale are told apart: tests that hold anything to be right would let everything pass.
#[test]
#[should_panic(expected = "another scale, step heat")]
fn cards_of_another_scale_are_told_apart() {
    let course = demo();
    let lesson = course.lesson("pressed-curd");
    let pdf = made(course, lesson, &CardChoice::default());
    let nearly = Choice { scale: Exact::new(11, 10), ..Choice::AS_WRITTEN };
    say_what_the_page_says(course, lesson, &pdf, &nearly, "another scale");
}

#[test]
fn each_choice_of_a_reader_is_kept_to_on_every_card() {
    let course = demo();
    for slug in ["pressed-curd", "whey-flatbreads"] {
        let lesson = course.lesson(slug);
        for (number, shown) in choices().into_iter().enumerate() {
            let pdf = made(course, lesson, &CardChoice { shown, ..CardChoice::default() });
            let what = format!("{slug}, choice {number}");
            assert!(say_what_the_page_says(course, lesson, &pdf, &shown, &what) > 20);
            assert_eq!(pdf.faults(11.9, SAFE), Vec::<String>::new(), "{what}");
        }
    }
}

#[test]
fn a_lesson_that_is_hard_to_set_loses_nothing() {
    let course = hard();
    for (paper, ..) in SIZES {
        for shown in &choices()[..2] {
            let what = format!("hard on {}", paper.name());
            let pdf = made(course, 0, &CardChoice { paper, sheet: None, shown: *shown, ways: Vec::new() });
            let faults = pdf.faults(11.9, SAFE);
            assert!(faults.is_empty(), "{what}: {faults:#?}");
            say_what_the_page_says(course, 0, &pdf, shown, &what);
        }
    }
}

/// A card on a sheet: where it lies, by the line at its top.
#[derive(Debug, Clone, PartialEq)]
struct Lies {
    /// `3 of 8 continued`, the same on both sides.
    name: String,
    card: Rect,
}

/// Where the cards of a page of a sheet lie. Each begins with its place in the set at its top left, a margin away from
/// its corner; single cards tell how large that margin is.
fn lie(leaf: &Leaf, (width, height): (f64, f64), (left, top): (f64, f64), of: usize) -> Vec<Lies> {
    let words = &leaf.words;
    let mut found = Vec::new();
    for at in 0..words.len().saturating_sub(2) {
        let counted = words[at].text.parse::<usize>().is_ok_and(|number| number <= of)
            && words[at + 1].text == "of"
            && words[at + 2].text.trim_end_matches(',') == of.to_string();
        if counted || words[at].text.trim_end_matches(',') == "Cover" && is_head(leaf, &words[at]) {
            let corner = (words[at].place.left - left, words[at].place.top - top);
            let card = Rect { left: corner.0, top: corner.1, right: corner.0 + width, bottom: corner.1 + height };
            let row = words[at..]
                .iter()
                .filter(|word| (word.place.top - words[at].place.top).abs() < 1.0 && card.holds(word.place));
            let bare = row.map(|word| word.text.trim_end_matches([',', ':'])).filter(|word| *word != "back");
            let name: Vec<&str> = bare
                .take_while(|word| ["Cover", "of", "continued"].contains(word) || word.parse::<usize>().is_ok())
                .collect();
            if leaf.place().inset(-1.0).holds(card) {
                found.push(Lies { name: name.join(" "), card });
            }
        }
    }
    found
}

/// The word at the top, not the one in the strip, which has a number beside it.
fn is_head(leaf: &Leaf, word: &Word) -> bool {
    let beside = |other: &&Word| {
        (other.place.top - word.place.top).abs() < 2.0 && (0.0..45.0).contains(&(other.place.left - word.place.right))
    };
    let next = leaf.words.iter().filter(beside).min_by(|a, b| a.place.left.total_cmp(&b.place.left));
    next.is_none_or(|next| next.text.parse::<usize>().is_err())
}

#[test]
fn fronts_and_backs_meet_on_every_sheet() {
    let course = demo();
    let slug = "pressed-curd";
    let (lesson, of) = (course.lesson(slug), 8);
    for (paper, sheet, up) in [
        (Paper::A6, Paper::A4, 4),
        (Paper::A5, Paper::A4, 2),
        (Paper::FourBySix, Paper::Letter, 2),
        (Paper::FourBySix, Paper::A4, 2),
        (Paper::FiveByEight, Paper::Letter, 2),
        (Paper::A6, Paper::Letter, 2),
    ] {
        let size =
            SIZES.iter().find(|(one, ..)| *one == paper).map(|(_, width, height)| (*width, *height)).expect("a card");
        let single = made(course, lesson, &CardChoice { paper, ..CardChoice::default() });
        let corner = single.leaves[0].words[0].place;
        let margin = (corner.left, corner.top);
        for edge in [Edge::Long, Edge::Short] {
            let what = format!("{} on {}, {edge:?}", paper.name(), sheet.name());
            let pdf = made(
                course,
                lesson,
                &CardChoice { paper, sheet: Some((sheet, edge)), shown: Choice::AS_WRITTEN, ways: Vec::new() },
            );
            let (short, long) = if sheet == Paper::A4 { (210.0 * MM, 297.0 * MM) } else { (612.0, 792.0) };
            let mut met = 0;
            for pair in pdf.leaves.chunks(2) {
                let [front, back] = pair else { panic!("{what}: a side without another") };
                for leaf in pair {
                    let (low, high) = (leaf.width.min(leaf.height), leaf.width.max(leaf.height));
                    assert!((low - short).abs() < 1.0 && (high - long).abs() < 1.0, "{what}: {low} by {high}");
                }
                let (fronts, backs) = (lie(front, size, margin, of), lie(back, size, margin, of));
                assert!(!fronts.is_empty() && fronts.len() <= up, "{what}: {fronts:?}");
                // Turned along its upright edges a sheet changes left and right, else top and bottom.
                let upright = (edge == Edge::Long) == (front.height > front.width);
                for behind in &backs {
                    let seen = if upright {
                        Rect {
                            left: front.width - behind.card.right,
                            right: front.width - behind.card.left,
                            ..behind.card
                        }
                    } else {
                        Rect {
                            top: front.height - behind.card.bottom,
                            bottom: front.height - behind.card.top,
                            ..behind.card
                        }
                    };
                    let same = |front: &&Lies| {
                        (front.card.left - seen.left).abs() < 1.0 && (front.card.top - seen.top).abs() < 1.0
                    };
                    let before = fronts
                        .iter()
                        .find(same)
                        .unwrap_or_else(|| panic!("{what}: nothing is before {behind:?}: {fronts:?}"));
                    let place =
                        |name: &str| name.replace(", back", "").split(" Pressed").next().unwrap_or_default().to_owned();
                    assert_eq!(place(&behind.name), place(&before.name), "{what}");
                    met += 1;
                }
                // Every word is well inside of one card.
                for (leaf, cards) in [(front, &fronts), (back, &backs)] {
                    let safe = |word: &&Word| cards.iter().any(|one| one.card.inset(SAFE).holds(word.place));
                    let outside: Vec<&Word> = leaf.words.iter().filter(|word| !safe(word)).collect();
                    assert!(outside.is_empty(), "{what}: {outside:?} of {cards:?}");
                    assert_eq!(leaf.overlaps(), [], "{what}");
                }
            }
            assert!(met >= 9, "{what}: {met}");
        }
    }
}

/// A code leads to its step, as it stands on the card; zbar reads it from what a printer would print.
#[test]
fn codes_are_read_at_300_and_150_dots_to_the_inch() {
    let course = demo();
    let lesson = course.lesson("pressed-curd");
    let twice = choices()[1];
    for (shown, wanted) in [
        (Choice::AS_WRITTEN, format!("{ADDRESS}pressed-curd.html#heat-the-milk")),
        (twice, format!("{ADDRESS}pressed-curd.html#x=2/1&u=us&t=f&at=heat")),
    ] {
        for (paper, ..) in SIZES {
            let pdf = made(course, lesson, &CardChoice { paper, sheet: None, shown, ways: Vec::new() });
            let page =
                1 + pdf.leaves.iter().position(|leaf| leaf.text().starts_with("1 of 8 ")).expect("the first step");
            for dots in [300, 150] {
                assert_eq!(pdf.codes(page, dots), [wanted.as_str()], "{} at {dots}", paper.name());
            }
        }
    }
    // A sheet of four has four codes at the most, each once.
    let sheet = CardChoice { sheet: Some((Paper::A4, Edge::Long)), ..CardChoice::default() };
    let pdf = made(course, lesson, &sheet);
    let mut all: Vec<String> = (1..=pdf.leaves.len()).flat_map(|page| pdf.codes(page, 150)).collect();
    all.sort();
    all.dedup();
    assert_eq!(all.len(), 8, "{all:?}");
}

/// The strip at the foot has all places, so that a dropped stack can be put in order again.
#[test]
fn each_card_says_where_it_belongs() {
    let course = demo();
    let pdf = made(course, course.lesson("pressed-curd"), &CardChoice::default());
    for leaf in pdf.leaves.iter().filter(|leaf| !leaf.words.is_empty()) {
        let text = leaf.text();
        assert!(text.starts_with("Cover") || (1..=8).any(|step| text.starts_with(&format!("{step} of 8"))), "{text}");
        let foot = leaf.words.iter().map(|word| word.place.top).fold(0.0, f64::max);
        let mut strip: Vec<&Word> = leaf.words.iter().filter(|word| word.place.top > foot - 2.0).collect();
        strip.sort_by(|a, b| a.place.left.total_cmp(&b.place.left));
        let strip: Vec<&str> = strip.iter().map(|word| word.text.as_str()).collect();
        assert_eq!(strip.join(" "), "Cover 1 2 3 4 5 6 7 8", "{text}");
    }
}
