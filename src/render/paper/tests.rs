//! Words, cards and their PDF, as far as our own eyes see them; what another reader finds in the PDF is tested outside.

use super::block::{Block, Item, Run, letters, plain};
use super::fonts::{Fit, Fonts};
use super::pdf::{About, Area, Page as Sheet, draw};
use super::set::{Mark, Setter};
use super::words::PaperWriter;
use super::{CardChoice, Edge, Paper, cards};
use crate::check::{Checked, check};
use crate::diag::Code as Finding;
use crate::input::Project;
use crate::kitchen::{Choice, Reader, Thermometer};
use crate::quantity::Exact;
use crate::render::Cx;
use crate::render::live::Page;
use crate::render::markdown::without_notes;

const COURSE: &str = "title = \"Hall\"\nhome = \"uk\"\n";
const LESSON: &str = r#"# Tea

```recipe
makes = "1 L black tea"

[ingredients]
water = "1 L water"
eggs  = "2 eggs"

[equipment]
pan = { name = "small pan", holds = "2 L" }
```

## Boil the water

```step
add   = ["water", "eggs"]
in    = "pan"
to    = "92 °C"
takes = "5 min"
until = "it sings"
```

Pour in 1 litre (1¾ pints) of water and 2 eggs, and heat it to **92 °C** (198 °F), about 5 minutes. Stir a *little*[^why].

Take care: steam scalds.

| See | Read |
| --- | --- |
| bubbles | 92 °C |

[^why]: So that it heats evenly.

```rescue
sign = "It boils over"
do   = "Lift it off."
```
"#;

fn project(course: &str, lesson: &str) -> (Project, Checked) {
    let project = Project::from_files([("course.toml", course), ("01-tea/lesson.md", lesson)]);
    let checked = check(&project);
    (project, checked)
}

fn said(blocks: &[Block]) -> String {
    let one = |block: &Block| match block {
        Block::Words { words, .. } | Block::Heading { words, .. } => letters(words),
        Block::List { items, .. } => {
            items.iter().map(|Item { blocks, .. }| said(blocks)).collect::<Vec<_>>().join("\n")
        }
        Block::Table { head, rows, .. } => {
            let rows = rows.iter().chain([head]).map(|row| row.iter().map(|cell| letters(cell)).collect::<Vec<_>>());
            rows.map(|row| row.join(" | ")).collect::<Vec<_>>().join("\n")
        }
        Block::Boxed(blocks) | Block::Together(blocks) => said(blocks),
        _ => String::new(),
    };
    blocks.iter().map(one).collect::<Vec<_>>().join("\n").replace('\u{A0}', " ")
}

fn prose(shown: Choice) -> String {
    let (project, checked) = project(COURSE, LESSON);
    let course = checked.course.as_ref().unwrap_or_else(|| panic!("{:?}", checked.findings));
    let cx = Cx::new(&project, course);
    let page = Page::live(&cx);
    let lesson = &cx.course.lessons[0];
    let (items, _) = without_notes(&lesson.body);
    let mut writer = PaperWriter::new(&page, lesson.file, shown, 12.0);
    said(&writer.blocks(&items))
}

#[test]
fn prose_stays_as_written_until_a_reader_chooses() {
    let words = prose(Choice::AS_WRITTEN);
    for want in [
        "Pour in 1 litre (1¾ pints) of water and 2 eggs",
        "to 92 °C (198 °F), about 5",
        "a little [1].",
        "bubbles | 92 °C",
    ] {
        assert!(words.contains(want), "{want} in {words}");
    }
}

#[test]
fn code_stands_in_a_frame_with_its_lines_as_they_are() {
    let code = "# Code\n\nType:\n\n```sh\npottle proof\n  two\n```\n";
    let (project, checked) = project(COURSE, code);
    let course = checked.course.as_ref().unwrap_or_else(|| panic!("{:?}", checked.findings));
    let cx = Cx::new(&project, course);
    let page = Page::live(&cx);
    let lesson = &cx.course.lessons[0];
    let (items, _) = without_notes(&lesson.body);
    let blocks = PaperWriter::new(&page, lesson.file, Choice::AS_WRITTEN, 12.0).blocks(&items);
    let [Block::Heading { .. }, Block::Words { .. }, Block::Boxed(inside)] = blocks.as_slice() else {
        panic!("{blocks:?}")
    };
    assert_eq!(said(inside), "pottle proof\n  two");
}

const DRAWING: &[u8] = b"<svg xmlns='http://www.w3.org/2000/svg' width='80' height='40'><path d='M0 0h9v9z'/></svg>";

/// The blocks of a lesson about tea that has these pictures, as a handout or as a card says them.
fn with_pictures(lesson: &str, pictures: &[(&str, &[u8])], shown: Choice, is_handout: bool) -> Vec<Block> {
    let mut project = Project::from_files([("course.toml", COURSE), ("01-tea/lesson.md", lesson)]);
    let pictures = pictures.iter().map(|(name, bytes)| (format!("01-tea/{name}"), bytes.to_vec().into()));
    project.pictures.extend(pictures);
    let checked = check(&project);
    let course = checked.course.as_ref().unwrap_or_else(|| panic!("{:?}", checked.findings));
    let cx = Cx::new(&project, course);
    let page = Page::live(&cx);
    let lesson = &cx.course.lessons[0];
    let (items, _) = without_notes(&lesson.body);
    let writer = PaperWriter::new(&page, lesson.file, shown, 12.0);
    let mut writer = if is_handout { writer.drawing(&lesson.folder, 300.0) } else { writer };
    writer.blocks(&items)
}

#[test]
fn words_of_a_picture_say_that_they_stand_for_one() {
    let lesson = "# Tea\n\nLook at it.\n\n![A pot, from\nthe side](pot.svg \"Mind the lid\")\n";
    let shadow = "<filter id='f'><feGaussianBlur stdDeviation='9'/></filter><path d='M0 0h9v9z' filter='url(#f)'/>";
    let shadow = format!("<svg xmlns='http://www.w3.org/2000/svg'>{shadow}</svg>");
    // On cards, and where a picture cannot be drawn.
    for (bytes, is_handout) in [(DRAWING, false), (b"<svg/>", true), (shadow.as_bytes(), true)] {
        let blocks = with_pictures(lesson, &[("pot.svg", bytes)], Choice::AS_WRITTEN, is_handout);
        let [Block::Heading { .. }, Block::Words { .. }, Block::Words { words, .. }] = blocks.as_slice() else {
            panic!("{blocks:?}")
        };
        assert_eq!(letters(words), "A picture on the page: A pot, from the side\nMind the lid");
        assert!(words.iter().all(|run| run.italic), "{words:?}");
    }
}

#[test]
fn pictures_on_lines_of_their_own_are_drawn_with_their_captions() {
    let lesson = "# Tea\n\nLook at\n![A pot, from\nthe side](pot.svg \"Mind the lid\")\nand at the lid.\n\n- ![A lid](pot.svg)\n\n\
                  In ![a cup](pot.svg) too.\n";
    let blocks = with_pictures(lesson, &[("pot.svg", DRAWING)], Choice::AS_WRITTEN, true);
    let [
        Block::Heading { .. },
        Block::Words { words: before, .. },
        Block::Picture(pot),
        Block::Words { words: after, .. },
        Block::List { items, .. },
        Block::Words { words: told, .. },
    ] = blocks.as_slice()
    else {
        panic!("{blocks:?}")
    };
    assert_eq!((letters(before).as_str(), letters(after).as_str()), ("Look at", "and at the lid."));
    assert_eq!(pot.means, "A pot, from the side");
    assert_eq!(pot.under.iter().map(|words| letters(words)).collect::<Vec<_>>(), ["Mind the lid"]);
    let [Item { blocks, .. }] = items.as_slice() else { panic!("{items:?}") };
    let [Block::Picture(lid)] = blocks.as_slice() else { panic!("{blocks:?}") };
    assert!(lid.means == "A lid" && lid.under.is_empty() && lid.picture == pot.picture);
    assert_eq!(letters(told), "In A picture on the page: a cup too.");
}

/// Figures in the words of a picture are to be read on paper, and change with a reader's choice.
#[test]
fn figures_in_the_words_of_a_picture_are_told_under_it() {
    let picture = "![The pan, with 1 litre (1¾ pints) of water in it](pot.svg \"So full\")\n";
    let lesson = LESSON.replace("Take care: steam", &format!("{picture}\nTake care: steam"));
    let twice = Choice { scale: Exact::whole(2), units: Some(Reader::Us), ..Choice::AS_WRITTEN };
    for (shown, amount) in [(Choice::AS_WRITTEN, "1 litre (1¾ pints)"), (twice, "2 US quarts + ½ US cup")] {
        let blocks = with_pictures(&lesson, &[("pot.svg", DRAWING)], shown, true);
        let pictured = blocks.iter().find_map(|block| if let Block::Picture(one) = block { Some(one) } else { None });
        let pictured = pictured.unwrap_or_else(|| panic!("{blocks:?}"));
        let told = format!("The pan, with {amount} of water in it");
        assert_eq!(pictured.means.replace('\u{A0}', " "), told);
        let under: Vec<String> = pictured.under.iter().map(|words| letters(words).replace('\u{A0}', " ")).collect();
        assert_eq!(under, ["So full", told.as_str()]);
    }
}

#[test]
fn a_picture_and_what_stands_under_it_are_not_parted() {
    let lesson = format!("# Tea\n\n![A pot](pot.svg \"{}\")\n\nMore.\n", "Mind the lid, for it is hot. ".repeat(9));
    let blocks = with_pictures(&lesson, &[("pot.svg", DRAWING)], Choice::AS_WRITTEN, true);
    let mut fonts = Fonts::new();
    let mut setter = Setter::new(&mut fonts);
    let slabs = setter.blocks(None, &blocks[1..], 200.0);
    let Mark::Picture { width, height, .. } = slabs[0].marks[0] else { panic!("a picture") };
    assert_eq!((width, height, slabs[0].height), (60.0, 30.0, 30.0));
    let glued: Vec<bool> = slabs.iter().map(|slab| slab.glued).collect();
    let (last, rest) = glued[..glued.len() - 1].split_last().unwrap();
    assert!(rest.len() > 3 && rest.iter().all(|glued| *glued) && !last, "{glued:?}");
}

#[test]
fn every_mention_says_what_the_reader_chose_and_conversions_go_with_their_brackets() {
    let us =
        Choice { scale: Exact::whole(2), units: Some(Reader::Us), degrees: Some(Thermometer::Fahrenheit), by: None };
    let words = prose(us);
    for want in
        ["Pour in 2 US quarts + ½ US cup of water and 4 eggs", "heat it to 198 °F, about 5 minutes", "bubbles | 198 °F"]
    {
        assert!(words.contains(want), "{want} in {words}");
    }
    assert!(!words.contains("pints") && !words.contains("°C"), "{words}");
}

#[test]
fn the_same_cards_give_the_same_bytes() {
    let (project, checked) = project(COURSE, LESSON);
    let course = checked.course.as_ref().unwrap();
    for choice in [
        CardChoice::default(),
        CardChoice { paper: Paper::FourBySix, sheet: Some((Paper::Letter, Edge::Short)), ..CardChoice::default() },
    ] {
        let made = cards(&project, course, 0, &choice).unwrap();
        assert_eq!(made, cards(&project, course, 0, &choice).unwrap());
        assert!(made.pdf.starts_with(b"%PDF-1.7") && made.count == 2 && made.notes.is_empty(), "{:?}", made.notes);
    }
}

#[test]
fn a_step_that_runs_on_is_named() {
    let long = LESSON.replace("Take care:", &format!("{}\n\nTake care:", "Wait and see. ".repeat(120)));
    let (project, checked) = project(COURSE, &long);
    let made = cards(&project, checked.course.as_ref().unwrap(), 0, &CardChoice::default()).unwrap();
    let notes: Vec<_> = made.notes.iter().map(|found| (found.code, found.message.as_str())).collect();
    assert_eq!(notes, [(Finding::LongCard, "on A6, these steps run on to further cards: step 1 (2 cards)")]);
    assert_eq!(made.count, 3);
}

#[test]
fn a_letter_without_a_shape_is_a_finding_at_its_place_and_never_a_box() {
    let (project, checked) = project(COURSE, &LESSON.replace("Stir a", "Stir 🥣 a"));
    let found = cards(&project, checked.course.as_ref().unwrap(), 0, &CardChoice::default()).unwrap_err();
    let found: Vec<_> = found.iter().collect();
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].message, "the font of cards and handouts has no letter `🥣` (U+1F963)");
    let span = found[0].primary.span;
    assert_eq!(&project.sources.get(span.file).text[span.range()], "🥣");
}

#[test]
fn every_letter_of_words_stands_on_some_line_within_the_width() {
    let mut fonts = Fonts::new();
    let mut setter = Setter::new(&mut fonts);
    let text = format!("½ ⅓ ⅔ ⅛ – °C {} naïve crème fraîche × − ☐ ☑ …", "x".repeat(90));
    let slabs = setter.blocks(None, &[Block::Words { words: plain(text.as_str()), size: 12.0 }], 200.0);
    let mut lines = String::new();
    for slab in &slabs {
        let Mark::Line { text, line, .. } = &slab.marks[0] else { panic!("a line") };
        lines.push_str(&text.text[text.layout.get(*line).unwrap().text_range()]);
        assert!(text.width() <= 200.0);
    }
    assert_eq!(lines, text);
    assert!(setter.missing.is_empty(), "{:?}", setter.missing);
}

#[test]
fn tables_lists_boxes_and_links_pass_the_check_of_pdf_ua() {
    let mut fonts = Fonts::new();
    let mut setter = Setter::new(&mut fonts);
    let mut link = plain("a link");
    link[0].link = Some("https://example.org/".to_owned());
    let blocks = [
        Block::Heading { level: 1, words: plain("Title"), size: 20.0 },
        Block::Boxed(vec![Block::Words { words: link, size: 12.0 }]),
        Block::Table {
            shares: vec![2.0, -1.0],
            head: vec![plain("What"), plain("How much")],
            rows: vec![vec![plain("salt"), plain("9 g")]],
            size: 12.0,
        },
    ];
    let mut slabs = setter.blocks(None, &blocks, 300.0).into();
    let placed = super::fill::fill(&mut slabs, 700.0);
    let areas = vec![Area { x: 40.0, y: 40.0, placed, outline: Some("Title".to_owned()) }];
    let sheet = Sheet { width: 400.0, height: 800.0, areas, cuts: Vec::new() };
    let about = About { title: "Title".to_owned(), language: "en-GB".to_owned() };
    draw(vec![sheet], setter.tree, &about).unwrap();
}

/// A figure and its unit stay together, however wide the paper is.
#[test]
fn lines_do_not_part_a_figure_from_its_unit() {
    let mut fonts = Fonts::new();
    let words = [Run::plain("froth 88\u{a0}°C (190\u{a0}°F); shiver 80\u{a0}°C (176\u{a0}°F); rest")];
    for width in 70..400 {
        let text = fonts.set(&words, 14.0, width as f32, Fit::Left);
        for line in text.layout.lines() {
            let end = text.text[line.text_range()].trim_end_matches(' ');
            assert!(!end.ends_with(|last: char| last.is_ascii_digit() || last == '\u{a0}'), "{width}: {end:?}");
        }
    }
}
