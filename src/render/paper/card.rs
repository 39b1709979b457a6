//! The cards of a lesson's steps, as blocks: what stands on the front and what on the back.

use super::block::{Block, Figure, Item, Run, Words, letters, plain};
use super::code::Code;
use super::words::PaperWriter;
use crate::kitchen::{Caution, left_out, only_way};
use crate::lesson::BodyItem;
use crate::recipe::{Lesson, Step};
use crate::reference::CautionSeverity;
use crate::render::cautions::Care;
use crate::render::live::Page;
use crate::render::markdown::without_notes;
use crate::render::page::{gauges, pasteurised_words};
use crate::render::recipe_view::{goes_in_view, named_views};
use crate::render::sections::{Block as Part, Section, sections};
use crate::render::sums::{example, worksheet};
use crate::source::MappedText;
use std::collections::{BTreeMap, BTreeSet};

/// Sizes of type on a card, in points. Nothing is set smaller than 12 pt, the least that guides on clear print allow;
/// figures are at least 24 pt in both systems of units, whose capitals can be read at one metre.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sizes {
    pub words: f32,
    pub strong: f32,
    pub title: f32,
    pub large: f32,
}

impl Sizes {
    /// For a card of a width.
    pub(crate) fn of(width: f32) -> Sizes {
        if width < 320.0 {
            Sizes { words: 12.0, strong: 14.0, title: 17.0, large: 30.0 }
        } else {
            Sizes { words: 14.0, strong: 17.0, title: 21.0, large: 38.0 }
        }
    }
}

/// One card before it is set.
pub(crate) struct CardText {
    /// Its place in the strip; the cover has none.
    pub number: Option<usize>,
    pub title: Words,
    pub front: Vec<Block>,
    /// What to do when it goes wrong: first on the back, where a hand finds it without reading.
    pub rescues: Vec<Block>,
    pub back: Vec<Block>,
    pub code: Option<Code>,
}

/// Writes the cards of one lesson.
pub(crate) struct CardWriter<'a> {
    pub cx: &'a Page<'a>,
    pub lesson: &'a Lesson,
    pub writer: PaperWriter<'a>,
    pub sizes: Sizes,
    /// Footnotes of the lesson, by label.
    pub notes: BTreeMap<String, Vec<&'a BodyItem>>,
    /// Paragraphs that warn, with the step they stand in.
    pub cautions: Vec<(Option<usize>, Block)>,
    /// Steps of ways that are not taken.
    pub left_out: Vec<usize>,
    /// What follows from the recipe and is to be warned of.
    care: Care<'a>,
}

impl<'a> CardWriter<'a> {
    pub(crate) fn new(cx: &'a Page<'a>, lesson: &'a Lesson, writer: PaperWriter<'a>, sizes: Sizes) -> CardWriter<'a> {
        let care = Care::new(cx, lesson);
        CardWriter {
            cx,
            lesson,
            writer,
            sizes,
            notes: BTreeMap::new(),
            cautions: Vec::new(),
            left_out: Vec::new(),
            care,
        }
    }

    /// Only what these ways have.
    pub(crate) fn by(self, ways: &[String]) -> CardWriter<'a> {
        CardWriter { left_out: left_out(&self.lesson.steps, ways), ..self }
    }

    /// Whether one of these ways is not taken.
    pub(crate) fn has_left(&self, ways: &[String]) -> bool {
        let way = |step: &usize| self.lesson.steps[*step].way.as_ref();
        self.left_out.iter().filter_map(way).any(|way| ways.contains(way))
    }

    /// Whether only ways that are not taken take an ingredient.
    pub(crate) fn does_without(&self, ingredient: usize) -> bool {
        let way = only_way(&self.lesson.steps, ingredient);
        way.is_some_and(|way| self.has_left(&[way.to_owned()]))
    }

    /// All steps. What warns outside of them is kept for the cover.
    pub(crate) fn steps(&mut self, code_of: impl Fn(&Lesson, usize) -> Option<Code>) -> Vec<CardText> {
        let lesson = self.lesson;
        let (items, notes) = without_notes(&lesson.body);
        self.notes = notes;
        let (_, sections) = sections(lesson, &items);
        let mut cards = Vec::new();
        for section in &sections {
            match section.step {
                Some(step) if self.left_out.contains(&step) => {}
                Some(step) => cards.push(self.step(section, step, code_of(lesson, step))),
                None => {
                    self.prose(section, None);
                }
            }
        }
        cards
    }

    fn step(&mut self, section: &Section<'_>, index: usize, code: Option<Code>) -> CardText {
        let step = &self.lesson.steps[index];
        self.writer.terms.clear();
        self.writer.notes.clear();
        let title = self.writer.flow(&section.heading_items);
        let mut front = self.plate(index, step);
        front.extend(self.warnings(Some(index), false));
        let words = self.prose(section, Some(index));
        let warns = self.cautions.iter().filter(|(of, _)| *of == Some(index)).map(|(_, block)| block.clone());
        front.extend(warns.map(|block| Block::Boxed(vec![block])));
        front.extend(words);
        let rescues = self.rescues(step);
        let terms = std::mem::take(&mut self.writer.terms);
        front.append(&mut self.called_notes());
        let mut back = self.ways(index, step);
        back.append(&mut self.glossary(&terms));
        back.extend(code.as_ref().map(|code| self.on_the_web(code)));
        CardText { number: Some(index + 1), title, front, rescues, back, code }
    }

    /// What the recipe warns of at a step, or in the lesson as a whole; with what it only notes, if wished.
    pub(crate) fn warnings(&mut self, step: Option<usize>, notes: bool) -> Vec<Block> {
        let mut lines = caution_lines(&self.care.at(step), notes);
        if step.is_none() {
            lines.extend(caution_lines(&self.care.of_keeping(), notes));
        }
        let block = |(mut words, reason): (Words, Option<&MappedText>)| {
            if let Some(reason) = reason {
                words.push(Run::bold(" Overruled: "));
                words.extend(self.writer.visible(reason));
            }
            Block::Boxed(vec![Block::Words { words, size: self.sizes.words }])
        };
        lines.into_iter().map(block).collect()
    }

    /// The page in words, for whoever has no camera; the link leads to the step.
    fn on_the_web(&self, code: &Code) -> Block {
        let page = code.address.split('#').next().unwrap_or_default().trim_start_matches("https://");
        let link = Run { link: Some(code.address.clone()), ..Run::plain(page) };
        Block::Words { words: vec![Run::plain("On the web: "), link], size: self.sizes.words }
    }

    /// What a cook looks for first: figures, what goes in, in what, until when.
    pub(crate) fn plate(&mut self, index: usize, step: &Step) -> Vec<Block> {
        let mut blocks = Vec::new();
        let figures: Vec<Figure> = gauges(self.cx, step)
            .into_iter()
            .map(|gauge| {
                let (value, other) = self.writer.amount(&gauge.amount);
                Figure { label: gauge.label.to_owned(), value, other }
            })
            .collect();
        if !figures.is_empty() {
            blocks.push(Block::Figures { figures, size: self.sizes.words, large: self.sizes.large });
        }
        blocks.append(&mut self.goes_in(index, step));
        if let Some(until) = &step.until {
            let mut words = vec![Run::plain("Until ").sized(self.sizes.words)];
            words.extend(self.writer.visible(until).into_iter().map(|run| Run { bold: true, ..run }));
            blocks.push(Block::Words { words, size: self.sizes.strong });
        }
        blocks.extend(self.manner(index, step));
        blocks
    }

    fn goes_in(&mut self, index: usize, step: &Step) -> Vec<Block> {
        let Some(recipe) = &self.lesson.recipe else { return Vec::new() };
        let mut items = Vec::new();
        for part in &step.add {
            let view = goes_in_view(self.cx, self.lesson, recipe, index, part);
            let mut words = Vec::new();
            if let Some(amount) = &view.amount {
                let (text, other) = self.writer.amount(amount);
                words.push(Run::bold(text));
                words.extend(other.map(|other| Run::plain(format!(" ({other})"))));
                words.push(Run::plain(" "));
            }
            words.push(Run::plain(view.name));
            words.extend(view.how.map(|how| Run::plain(format!(" ({how})"))));
            let blocks = vec![Block::Words { words, size: self.sizes.strong }];
            items.push(Item { mark: "+".to_owned(), blocks });
        }
        if items.is_empty() {
            return Vec::new();
        }
        let label = Block::Words { words: plain("Goes in"), size: self.sizes.words };
        let list = Block::List { items, size: self.sizes.strong };
        vec![Block::Together(vec![label, list])]
    }

    /// The vessel, the hands and other measures, in one paragraph.
    fn manner(&mut self, index: usize, step: &Step) -> Option<Block> {
        let mut parts: Vec<String> = Vec::new();
        let equipment = self.lesson.recipe.as_ref().map_or(&[][..], |recipe| &recipe.equipment);
        let vessels: Vec<String> = step
            .vessels
            .iter()
            .filter_map(|vessel| Some(letters(&self.writer.visible(&equipment.get(*vessel)?.name))))
            .collect();
        if !vessels.is_empty() {
            parts.push(format!("In: {}", vessels.join(", ")));
        }
        let measures = named_views(self.cx, &step.measures);
        let measures: Vec<String> =
            measures.iter().map(|one| format!("{} {}", one.name, self.writer.amount_words(&one.amount))).collect();
        if !measures.is_empty() {
            parts.push(format!("Measure: {}", measures.join("; ")));
        }
        parts.extend(pasteurised_words(self.cx, self.lesson, index).map(|words| format!("Pasteurises: {words}")));
        parts.extend(step.hands_on.map(|on| {
            if on { "Hands on: stay with it".to_owned() } else { "Hands off: free for other work".to_owned() }
        }));
        parts.extend(step.at_home.then(|| "Where: at home, after the class".to_owned()));
        let title = |other: usize| format!("step {}, {}", other + 1, self.lesson.steps[other].title);
        parts.extend(step.way.as_ref().map(|way| format!("One way: {way}")));
        parts.extend(step.beside.map(|other| format!("While: {}", title(other))));
        let after: Vec<String> = step.after.iter().map(|other| title(*other)).collect();
        if !after.is_empty() {
            parts.push(format!("After: {}", after.join("; ")));
        }
        (!parts.is_empty()).then(|| Block::Words { words: plain(parts.join(". ") + "."), size: self.sizes.words })
    }

    /// The running words of a section. What warns is taken out of them, to stand where it is seen first.
    pub(crate) fn prose(&mut self, section: &Section<'_>, step: Option<usize>) -> Vec<Block> {
        let mut words = Vec::new();
        for part in &section.blocks {
            let blocks = match part {
                Part::Prose(items) => self.writer.blocks(items),
                Part::Sum(index) => {
                    words.extend(self.sum(*index));
                    continue;
                }
                Part::Rescue { .. } | Part::Recipe => continue,
            };
            for block in blocks {
                match as_warning(block) {
                    Ok(warning) => self.cautions.push((step, warning)),
                    Err(block) => words.push(block),
                }
            }
        }
        words
    }

    /// The worked example of a sum, and its small print.
    fn sum(&self, index: usize) -> Option<Block> {
        let sheet = worksheet(self.cx, self.lesson, index)?;
        let (strong, size) = (self.sizes.strong, self.sizes.words);
        Some(Block::Boxed(vec![
            Block::Together(vec![
                Block::Words { words: vec![Run::bold(sheet.title)], size: strong },
                Block::Words { words: plain(example(&sheet)), size: strong },
            ]),
            Block::Words { words: plain(sheet.about), size },
        ]))
    }

    /// The footnotes that the words so far call, and those that these call.
    pub(crate) fn called_notes(&mut self) -> Vec<Block> {
        let mut items = Vec::new();
        while let Some(label) = self.writer.notes.get(items.len()).cloned() {
            let text = self.notes.get(&label).cloned().unwrap_or_default();
            let blocks = self.writer.blocks(&text);
            items.push(Item { mark: format!("[{}]", items.len() + 1), blocks });
        }
        if items.is_empty() { Vec::new() } else { vec![Block::List { items, size: self.sizes.words }] }
    }

    pub(crate) fn rescues(&mut self, step: &Step) -> Vec<Block> {
        let mut blocks = Vec::new();
        for rescue in &step.rescues {
            let size = self.sizes.words;
            let sign = self.writer.visible(&rescue.sign).into_iter().map(|run| Run { bold: true, ..run }).collect();
            let remedy = self.writer.visible(&rescue.remedy);
            blocks.push(Block::Boxed(vec![
                Block::Together(vec![Block::Words { words: sign, size }]),
                Block::Words { words: remedy, size },
            ]));
        }
        if !blocks.is_empty() {
            blocks.insert(0, self.heading("If it goes wrong"));
        }
        blocks
    }

    /// The steps that stand for other ways than this one.
    fn ways(&mut self, index: usize, step: &Step) -> Vec<Block> {
        let Some(way) = &step.way else { return Vec::new() };
        let others = self.lesson.steps.iter().enumerate().filter(|(other, _)| *other != index);
        let items: Vec<Item> = others
            .filter_map(|(other, step)| {
                let name = step.way.as_ref().filter(|name| *name != way)?;
                let words = vec![Run::bold(name.as_str()), Run::plain(format!(": step {}, {}", other + 1, step.title))];
                Some(Item { mark: "•".to_owned(), blocks: vec![Block::Words { words, size: self.sizes.words }] })
            })
            .collect();
        if items.is_empty() {
            return Vec::new();
        }
        vec![self.heading("Another way"), Block::List { items, size: self.sizes.words }]
    }

    /// The terms that the words use, each with the first paragraph of what it means.
    pub(crate) fn glossary(&mut self, terms: &BTreeSet<usize>) -> Vec<Block> {
        let mut known: Vec<usize> = terms.iter().copied().collect();
        let course = self.cx.course;
        known.sort_by_key(|term| course.terms[*term].name.to_lowercase());
        let mut blocks = Vec::new();
        for index in known {
            let term = &course.terms[index];
            self.writer.turn_to(term.span.file);
            let (items, _) = without_notes(&term.definition);
            let mut words = vec![Run::bold(format!("{}: ", term.name))];
            let meant = self.writer.without_pictures(|writer| writer.blocks(&items));
            if let Some(Block::Words { words: meaning, .. }) = meant.into_iter().next() {
                words.extend(meaning);
            }
            blocks.push(Block::Words { words, size: self.sizes.words });
        }
        self.writer.turn_to(self.lesson.file);
        if !blocks.is_empty() {
            blocks.insert(0, self.heading("Words of the trade"));
        }
        blocks
    }

    /// A small heading on a card.
    pub(crate) fn heading(&self, text: &str) -> Block {
        Block::Heading { level: 3, words: plain(text), size: self.sizes.strong }
    }
}

/// Each caution in words, with its author's reason against it.
fn caution_lines<'a>(cautions: &[&Caution<'a>], notes: bool) -> Vec<(Words, Option<&'a MappedText>)> {
    let shown = cautions.iter().filter(|one| notes || one.rule.severity != CautionSeverity::Note);
    let line = |one: &&Caution<'a>| {
        let words = vec![Run::bold(format!("{}. ", one.rule.title)), Run::plain(one.say.clone())];
        (words, one.overruled.map(|overrule| &overrule.reason))
    };
    shown.map(line).collect()
}

/// A paragraph that warns, with its first words in bold: it begins as authors begin a caution. Else the block again.
fn as_warning(block: Block) -> Result<Block, Block> {
    const OPENING: &str = "Take care";
    match block {
        Block::Words { mut words, size } if letters(&words).trim_start().starts_with(OPENING) => {
            if let Some(rest) = words.first().and_then(|first| first.text.trim_start().strip_prefix(OPENING)) {
                let rest = Run { text: rest.to_owned(), ..words[0].clone() };
                words.splice(0..1, [Run::bold(OPENING), rest]);
            }
            Ok(Block::Words { words, size })
        }
        other => Err(other),
    }
}
