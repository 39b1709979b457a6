//! Prose for paper: the words of a lesson as blocks, with every mention saying what it says to the reader's choice.

use super::block::{Block, Item, Pictured, Run, Words, letters, plain};
use super::said::{Said, joined, unparted};
use crate::kitchen::Choice;
use crate::lesson::BodyItem;
use crate::recipe::{term_named, term_of};
use crate::render::links::Target;
use crate::render::live::Page;
use crate::render::markdown::{group_len, groups, inside, joined_lines, only_picture, piece, words};
use crate::render::marks::{Mark, mention_marks};
use crate::render::view::AmountView;
use crate::source::{FileId, MappedText, Piece};
use pulldown_cmark::{Event, Tag};
use std::collections::BTreeSet;
use std::ops::Range;

/// Writes the texts of one document.
pub(crate) struct PaperWriter<'a> {
    cx: &'a Page<'a>,
    file: FileId,
    choice: Choice,
    /// Size of running words.
    size: f32,
    /// Terms that were used since they were last taken.
    pub terms: BTreeSet<usize>,
    /// Footnotes in the order of their calls.
    pub notes: Vec<String>,
    /// Where pictures are drawn, and not told.
    drawn: Option<Drawn<'a>>,
}

/// Where pictures are drawn.
#[derive(Clone, Copy)]
struct Drawn<'a> {
    /// The folder that the addresses in the words start from.
    folder: &'a str,
    /// The most height that one may take.
    tallest: f32,
}

#[derive(Clone, Copy, Default)]
struct Style {
    bold: bool,
    italic: bool,
}

impl Style {
    fn run(self, text: impl Into<String>) -> Run {
        Run { bold: self.bold, italic: self.italic, ..Run::plain(text) }
    }
}

impl<'a> PaperWriter<'a> {
    pub(crate) fn new(cx: &'a Page<'a>, file: FileId, choice: Choice, size: f32) -> PaperWriter<'a> {
        PaperWriter { cx, file, choice, size, terms: BTreeSet::new(), notes: Vec::new(), drawn: None }
    }

    /// Draws the pictures of a lesson that can be drawn, no higher than that, and does not tell them.
    pub(crate) fn drawing(self, folder: &'a str, tallest: f32) -> PaperWriter<'a> {
        PaperWriter { drawn: Some(Drawn { folder, tallest }), ..self }
    }

    /// Goes on in another file, as a glossary does.
    pub(crate) fn turn_to(&mut self, file: FileId) {
        self.file = file;
    }

    /// What is made of the lesson's words without their pictures, as of terms, which have one paragraph each.
    pub(crate) fn without_pictures<T>(&mut self, make: impl FnOnce(&mut Self) -> T) -> T {
        let drawn = self.drawn.take();
        let made = make(self);
        self.drawn = drawn;
        made
    }

    /// A text of a block.
    pub(crate) fn visible(&mut self, text: &MappedText) -> Words {
        let mut said = Vec::new();
        for piece in text.pieces() {
            self.text(&mut said, &text.text[piece.text.clone()], piece.source.clone(), Style::default());
        }
        joined(said)
    }

    /// An amount of a list, and its conversion.
    pub(crate) fn amount(&self, amount: &AmountView) -> (String, Option<String>) {
        let shown = |number: Option<usize>| number.and_then(|number| self.cx.shown(number, &self.choice));
        let text = match shown(amount.live) {
            Some(shown) if shown.after => format!("{}{}", amount.text, shown.text),
            Some(shown) => shown.text,
            None => amount.text.clone(),
        };
        let other = match (shown(amount.other_live), &amount.other) {
            (Some(shown), Some(_)) => Some(shown.text).filter(|text| !text.is_empty()),
            (_, other) => other.clone(),
        };
        let other = other.filter(|other| *other != text);
        (text, other)
    }

    /// The same as words: `4 L (7 imperial pints)`.
    pub(crate) fn amount_words(&self, amount: &AmountView) -> String {
        match self.amount(amount) {
            (text, Some(other)) => format!("{text} ({other})"),
            (text, None) => text,
        }
    }

    /// Whole blocks. Words that stand by themselves, as in a list item, become a paragraph.
    pub(crate) fn blocks(&mut self, items: &[&BodyItem]) -> Vec<Block> {
        let mut blocks = Vec::new();
        let mut loose: Vec<&BodyItem> = Vec::new();
        for group in groups(items) {
            match group[0] {
                BodyItem::Event(Event::Start(tag), _) if is_block(tag) => {
                    self.paragraph(&mut blocks, &std::mem::take(&mut loose));
                    self.block(&mut blocks, tag, inside(group));
                }
                BodyItem::Event(Event::Rule, _) => {
                    self.paragraph(&mut blocks, &std::mem::take(&mut loose));
                    blocks.push(Block::Rule);
                }
                BodyItem::Event(..) => loose.extend_from_slice(group),
                _ => {}
            }
        }
        self.paragraph(&mut blocks, &loose);
        blocks
    }

    /// Words, and pictures that stand on lines of their own.
    fn paragraph(&mut self, blocks: &mut Vec<Block>, items: &[&BodyItem]) {
        let mut from = 0;
        for line in lines(items) {
            let Some(picture) = self.pictured(&items[line.clone()]) else { continue };
            self.words(blocks, &items[from..line.start.saturating_sub(1).max(from)]);
            blocks.push(Block::Picture(picture));
            // The end of the line is no part of what follows.
            from = (line.end + 1).min(items.len());
        }
        self.words(blocks, &items[from..]);
    }

    /// The picture that a line consists of, if it can be drawn. What it shows is told under it where that holds figures: those
    /// are to be read, and change with a reader's choice.
    fn pictured(&mut self, line: &[&BodyItem]) -> Option<Pictured> {
        let Drawn { folder, tallest } = self.drawn?;
        let (destination, title, _) = only_picture(line)?;
        let Target::Picture(path, _) = self.cx.links.resolve(folder, destination) else { return None };
        let picture = self.cx.pictures.get(&path)?;
        let italic = Style { italic: true, ..Style::default() };
        let (terms, mut said) = (self.terms.clone(), Vec::new());
        self.inline(&mut said, inside(line), italic);
        let mentions = said.iter().any(|one| matches!(one, Said::Mention(..)));
        let words = joined(said);
        let means = letters(&words).trim().to_owned();
        let has_figures = mentions || means.contains(char::is_numeric);
        if !has_figures {
            self.terms = terms;
        }
        let caption = vec![italic.run(title.as_ref())];
        let under = [Some(caption), has_figures.then_some(words)].into_iter().flatten();
        let under = under.filter(|words| !letters(words).trim().is_empty()).collect();
        let means = if means.is_empty() { title.trim().to_owned() } else { means };
        Some(Pictured { picture, means, under, size: self.size, tallest })
    }

    fn words(&mut self, blocks: &mut Vec<Block>, items: &[&BodyItem]) {
        let words = self.flow(items);
        if !letters(&words).trim().is_empty() {
            blocks.push(Block::Words { words, size: self.size });
        }
    }

    fn block(&mut self, blocks: &mut Vec<Block>, tag: &Tag<'_>, inner: &[&BodyItem]) {
        match tag {
            Tag::Paragraph | Tag::HtmlBlock => self.paragraph(blocks, inner),
            Tag::Heading { .. } => blocks.push(Block::Heading { level: 3, words: self.flow(inner), size: self.size }),
            Tag::List(first) => blocks.push(self.list(*first, inner)),
            Tag::Table(_) => self.table(blocks, inner),
            Tag::CodeBlock(_) => {
                // Its letters are those of all words, so a frame tells it from them.
                let code = Block::Words { words: plain(words(inner).trim_end()), size: self.size };
                blocks.push(Block::Boxed(vec![code]));
            }
            Tag::FootnoteDefinition(_) | Tag::MetadataBlock(_) => {}
            _ => blocks.append(&mut self.blocks(inner)),
        }
    }

    fn list(&mut self, first: Option<u64>, inner: &[&BodyItem]) -> Block {
        let mut items = Vec::new();
        for (index, item) in groups(inner).iter().enumerate() {
            let mark = first.map_or("•".to_owned(), |first| format!("{}.", first + index as u64));
            items.push(Item { mark, blocks: self.blocks(inside(item)) });
        }
        Block::List { items, size: self.size }
    }

    /// A table whose columns share the width by their longest words.
    fn table(&mut self, blocks: &mut Vec<Block>, inner: &[&BodyItem]) {
        let mut rows: Vec<Vec<Words>> = Vec::new();
        for row in groups(inner) {
            rows.push(groups(inside(row)).iter().map(|cell| self.flow(inside(cell))).collect());
        }
        if rows.is_empty() {
            return;
        }
        let head = rows.remove(0);
        let longest = |column: usize| {
            let cells = rows.iter().chain([&head]).filter_map(|row| row.get(column));
            cells.map(|cell| letters(cell).chars().count()).max().unwrap_or(1)
        };
        let shares = (0..head.len()).map(|column| longest(column).clamp(6, 30) as f32).collect();
        blocks.push(Block::Table { shares, head, rows, size: self.size });
    }

    /// Words that flow.
    pub(crate) fn flow(&mut self, items: &[&BodyItem]) -> Words {
        let mut said = Vec::new();
        self.inline(&mut said, items, Style::default());
        joined(said)
    }

    fn inline(&mut self, said: &mut Vec<Said>, items: &[&BodyItem], style: Style) {
        let mut at = 0;
        while at < items.len() {
            if let Some((text, pieces, len)) = joined_lines(&items[at..]) {
                self.joined(said, &text.replace('\n', " "), &pieces, style);
                at += len;
                continue;
            }
            let len = group_len(&items[at..]);
            if let BodyItem::Event(event, range) = items[at] {
                self.event(said, event, range.clone(), inside(&items[at..at + len]), style);
            }
            at += len;
        }
    }

    fn event(
        &mut self,
        said: &mut Vec<Said>,
        event: &Event<'_>,
        range: Range<usize>,
        inner: &[&BodyItem],
        style: Style,
    ) {
        match event {
            Event::Text(text) => self.text(said, text, range, style),
            Event::Code(text) | Event::InlineMath(text) | Event::DisplayMath(text) => {
                let source = self.cx.sources.get(self.file).text.get(range.clone()).unwrap_or("");
                let start = source.find(text.as_ref()).map_or(range.start, |at| range.start + at);
                self.text(said, text, start..start + text.len(), style);
            }
            Event::Html(text) | Event::InlineHtml(text) => said.push(Said::Run(style.run(text.as_ref()))),
            Event::FootnoteReference(label) => {
                let known = self.notes.iter().position(|other| other.as_str() == label.as_ref());
                let number = known.unwrap_or_else(|| {
                    self.notes.push(label.to_string());
                    self.notes.len() - 1
                });
                said.push(Said::Run(style.run(format!("\u{A0}[{}]", number + 1))));
            }
            Event::SoftBreak => said.push(Said::Run(style.run(" "))),
            Event::HardBreak => said.push(Said::Run(style.run("\n"))),
            Event::TaskListMarker(done) => said.push(Said::Run(style.run(if *done { "☑ " } else { "☐ " }))),
            Event::Start(Tag::Strong) => self.inline(said, inner, Style { bold: true, ..style }),
            Event::Start(Tag::Emphasis) => self.inline(said, inner, Style { italic: true, ..style }),
            Event::Start(Tag::Link { dest_url, .. }) => {
                let terms = &self.cx.course.terms;
                self.terms.extend(term_of(dest_url).and_then(|word| term_named(terms, &word)));
                self.inline(said, inner, style);
            }
            // A picture that is not drawn: its words stand for it, and say that they do.
            Event::Start(Tag::Image { title, .. }) => {
                let style = Style { italic: true, ..style };
                said.push(Said::Run(style.run("A picture on the page: ")));
                self.inline(said, inner, style);
                if !title.is_empty() {
                    said.push(Said::Run(style.run(format!("\n{title}"))));
                }
            }
            Event::Start(_) => self.inline(said, inner, style),
            Event::End(_) | Event::Rule => {}
        }
    }

    /// Words, with mentions said as the reader chose.
    fn text(&mut self, said: &mut Vec<Said>, text: &str, source: Range<usize>, style: Style) {
        self.joined(said, text, &[piece(text, source)], style);
    }

    /// The same of words that stand in several places of the file.
    fn joined(&mut self, said: &mut Vec<Said>, text: &str, pieces: &[Piece], style: Style) {
        let found = self.cx.terms.find(text);
        self.terms.extend(found.into_iter().map(|(_, term)| term));
        let mut at = 0;
        for (range, mark) in mention_marks(self.cx, self.file, text, pieces) {
            said.push(Said::Run(style.run(&text[at..range.start])));
            let own = &text[range.clone()];
            at = range.end;
            match mark {
                Mark::Mention(Some(number)) => {
                    said.push(Said::Mention(style.run(unparted(own)), self.cx.shown(number, &self.choice)));
                }
                Mark::Bracketed(number) => match self.cx.shown(number, &self.choice) {
                    Some(shown) if shown.text.is_empty() => {}
                    Some(shown) => said.push(Said::Run(style.run(format!(" ({})", shown.text)))),
                    None => said.push(Said::Run(style.run(format!(" {}", unparted(own.trim_start()))))),
                },
                Mark::Mention(None) | Mark::Term(_) => said.push(Said::GoesOn(style.run(own))),
            }
        }
        said.push(Said::Run(style.run(&text[at..])));
    }
}

/// The lines of a paragraph as its author broke them, without their ends.
fn lines(items: &[&BodyItem]) -> Vec<Range<usize>> {
    let mut lines = Vec::new();
    let (mut from, mut at) = (0, 0);
    while at < items.len() {
        if matches!(items[at], BodyItem::Event(Event::SoftBreak | Event::HardBreak, _)) {
            lines.push(from..at);
            from = at + 1;
        }
        at += group_len(&items[at..]);
    }
    lines.push(from..items.len());
    lines
}

fn is_block(tag: &Tag<'_>) -> bool {
    !matches!(
        tag,
        Tag::Emphasis
            | Tag::Strong
            | Tag::Strikethrough
            | Tag::Superscript
            | Tag::Subscript
            | Tag::Link { .. }
            | Tag::Image { .. }
    )
}
