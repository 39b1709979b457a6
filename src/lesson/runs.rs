//! Stretches of text as a reader sees them, joined across markup.

use super::{Run, RunPlace};
use crate::source::{FileId, MappedText};
use pulldown_cmark::{Event, Tag, TagEnd};
use std::ops::Range;

/// Collects runs from events.
pub(super) struct Runs<'a> {
    file: FileId,
    /// The text of the file, for finding a picture's title: events do not say where it stands.
    source: &'a str,
    /// Finished runs; pictures stand before the text around them.
    pub found: Vec<Run>,
    /// The step that the next runs belong to.
    pub step: Option<usize>,
    current: MappedText,
    pictures: Vec<Picture>,
    heading: bool,
    code: bool,
    footnotes: usize,
    table: Option<Table>,
    tables: usize,
}

/// A picture being read.
struct Picture {
    /// Its text.
    text: MappedText,
    /// Its title, which the page prints under it.
    title: MappedText,
}

#[derive(Clone, Copy)]
struct Table {
    index: usize,
    head: bool,
    row: usize,
    column: usize,
}

impl<'a> Runs<'a> {
    /// No runs yet.
    pub fn new(file: FileId, source: &'a str) -> Runs<'a> {
        Runs {
            file,
            source,
            found: Vec::new(),
            step: None,
            current: MappedText::new(file),
            pictures: Vec::new(),
            heading: false,
            code: false,
            footnotes: 0,
            table: None,
            tables: 0,
        }
    }

    /// The words since the last block began.
    pub fn current(&self) -> &MappedText {
        &self.current
    }

    /// Takes one event.
    pub fn event(&mut self, event: &Event<'_>, range: &Range<usize>) {
        match event {
            Event::Text(words) if !self.code => self.push(words, range),
            // Code ends nothing, but its letters are no words: `4 `x` litres` is not one measure.
            Event::Code(_) | Event::SoftBreak | Event::HardBreak => self.push(" ", range),
            Event::Start(Tag::Image { title, .. }) => self.start_picture(title, range),
            Event::End(TagEnd::Image) => self.end_picture(range),
            Event::Start(tag) if !is_inline(&tag.to_end()) => {
                self.flush();
                self.start(tag);
            }
            Event::End(tag) if !is_inline(tag) => {
                self.flush();
                self.end(*tag);
            }
            _ => {}
        }
    }

    fn push(&mut self, words: &str, range: &Range<usize>) {
        let text = self.pictures.last_mut().map_or(&mut self.current, |picture| &mut picture.text);
        text.push(words, range.clone());
    }

    fn start_picture(&mut self, words: &str, range: &Range<usize>) {
        let mut title = MappedText::new(self.file);
        match self.source[range.clone()].rfind(words).map(|at| range.start + at) {
            Some(at) => title.push(words, at..at + words.len()),
            // A title with escapes, or of a reference defined elsewhere: the picture stands for it, less its last
            // bracket where both are of one length and would pass for a copy letter by letter.
            None => title.push(words, range.start..range.end - usize::from(range.len() == words.len())),
        }
        self.pictures.push(Picture { text: MappedText::new(self.file), title });
    }

    fn end_picture(&mut self, range: &Range<usize>) {
        if let Some(Picture { text, title }) = self.pictures.pop() {
            self.keep(text, RunPlace::Picture);
            self.keep(title, RunPlace::Picture);
        }
        self.push(" ", range);
    }

    fn start(&mut self, tag: &Tag<'_>) {
        match tag {
            Tag::Heading { .. } => self.heading = true,
            Tag::CodeBlock(_) => self.code = true,
            Tag::FootnoteDefinition(_) => self.footnotes += 1,
            Tag::Table(_) => {
                self.table = Some(Table { index: self.tables, head: true, row: 0, column: 0 });
                self.tables += 1;
            }
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Heading(_) => self.heading = false,
            TagEnd::CodeBlock => self.code = false,
            TagEnd::FootnoteDefinition => self.footnotes -= 1,
            TagEnd::Table => self.table = None,
            _ => {}
        }
        let Some(table) = &mut self.table else { return };
        match tag {
            TagEnd::TableCell => table.column += 1,
            TagEnd::TableHead => *table = Table { head: false, column: 0, ..*table },
            TagEnd::TableRow => *table = Table { row: table.row + 1, column: 0, ..*table },
            _ => {}
        }
    }

    fn place(&self) -> RunPlace {
        match self.table {
            Some(Table { index, head: true, column, .. }) => RunPlace::TableHead { table: index, column },
            Some(Table { index, row, column, .. }) => RunPlace::TableCell { table: index, row, column },
            None if self.heading => RunPlace::Heading,
            None if self.footnotes > 0 => RunPlace::Footnote,
            None => RunPlace::Paragraph,
        }
    }

    fn flush(&mut self) {
        let text = std::mem::replace(&mut self.current, MappedText::new(self.file));
        self.keep(text, self.place());
    }

    fn keep(&mut self, text: MappedText, place: RunPlace) {
        if !text.text.trim().is_empty() {
            self.found.push(Run { text, place, step: self.step });
        }
    }
}

fn is_inline(tag: &TagEnd) -> bool {
    matches!(
        tag,
        TagEnd::Emphasis
            | TagEnd::Strong
            | TagEnd::Strikethrough
            | TagEnd::Superscript
            | TagEnd::Subscript
            | TagEnd::Link
            | TagEnd::Image
    )
}
