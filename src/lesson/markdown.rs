//! Markdown into events, with typed blocks taken out and what cannot stand in a lesson reported.
//!
//! CommonMark with tables and footnotes. Quotation marks are left as typed: curling them here would make the text
//! differ from the file.

use super::BlockKind;
use super::fence::Fence;
use crate::diag::{Code, Confidence, Diagnostic, Diagnostics};
use crate::source::{FileId, Span};
use pulldown_cmark::{BrokenLink, CodeBlockKind, CowStr, Event, LinkType, Options, Parser, Tag, TagEnd};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::Range;

/// One thing in a lesson file, in order.
pub(super) enum Item {
    /// An event and its bytes.
    Event(Event<'static>, Range<usize>),
    /// A typed block at its proper place.
    Block(BlockKind, Fence),
}

/// Reads a file's text.
pub(super) fn read(text: &str, file: FileId, sink: &mut Diagnostics) -> Vec<Item> {
    let shallow = without_deep_lines(text, file, sink);
    let (patched, mut open) = close_fences(&shallow, file, sink);
    open.sort_by_key(|(_, fence)| fence.range.start);
    let mut broken = Vec::new();
    let mut callback = |link: BrokenLink<'_>| {
        // A single pair of brackets is more likely a remark than a link.
        if link.link_type != LinkType::Shortcut {
            broken.push((link.reference.to_string(), link.span.clone()));
        }
        None::<(CowStr<'_>, CowStr<'_>)>
    };
    let events = Parser::new_with_broken_link_callback(&patched, OPTIONS, Some(&mut callback)).into_offset_iter();
    let mut reader = Reader {
        text: &patched,
        file,
        sink,
        items: Vec::new(),
        depth: 0,
        skip: false,
        tags: 0,
        open: open.into(),
        notes: Notes::default(),
    };
    for (event, range) in events {
        reader.event(event, range);
    }
    let Reader { mut items, open, notes, sink, .. } = reader;
    items.extend(open.into_iter().map(|(kind, fence)| Item::Block(kind, fence)));
    for (reference, range) in broken {
        let message = format!("there is no link target `[{reference}]`");
        let found = Diagnostic::new(Code::BrokenReference, message, Span::new(file, range));
        sink.push(found.help(format!("add a line `[{reference}]: address`, or write `[words](address)`")));
    }
    notes.report(file, sink);
    items
}

/// How many blocks without a closing fence are looked for.
const MOST_OPEN: usize = 40;

/// How many columns a table may have.
const MOST_COLUMNS: usize = 60;

/// How deep quotes and lists may lie in each other. Nobody can follow more, and each level is read once for every line.
const DEEPEST: usize = 32;

/// Reports lines that open more quotes and lists than anybody can follow, and blanks them out.
fn without_deep_lines<'a>(text: &'a str, file: FileId, sink: &mut Diagnostics) -> Cow<'a, str> {
    let mut shallow = Cow::Borrowed(text);
    let mut start = 0;
    let mut told = false;
    for line in text.split_inclusive('\n') {
        let end = start + line.trim_end().len();
        if depth(line) > DEEPEST {
            if !told {
                let message = format!("quotes or lists lie more than {DEEPEST} deep in each other here");
                let span = Span::new(file, start..end.min(text.floor_char_boundary(start + 80)));
                sink.push(
                    Diagnostic::new(Code::TooDeep, message, span)
                        .help("take some of the signs at the line's start away"),
                );
            }
            told = true;
            blank(shallow.to_mut(), start..end);
        }
        start += line.len();
    }
    shallow
}

/// How many quotes and lists a line's first signs open, or its indent could lie in.
fn depth(line: &str) -> usize {
    let (mut opened, mut blanks, mut before) = (0, 0, ' ');
    for letter in line.chars() {
        match (before, letter) {
            // A list's sign is one only with a blank after it; a row of them is a rule, or somebody's ornament.
            ('-' | '*' | '+' | '.' | ')', ' ' | '\t') => opened += 1,
            (_, '>') => opened += 1,
            (_, ' ' | '\t' | '-' | '*' | '+' | '0'..='9' | '.' | ')') => {}
            _ => break,
        }
        blanks += match letter {
            ' ' => 1,
            '\t' => 4,
            _ => 0,
        };
        before = letter;
    }
    let is_rule = line.chars().all(|letter| letter.is_whitespace() || matches!(letter, '-' | '*'));
    if is_rule { 0 } else { opened.max(blanks / 4) }
}

const OPTIONS: Options = Options::ENABLE_TABLES.union(Options::ENABLE_FOOTNOTES);

/// Reports blocks whose closing fence is missing, and blanks them out so that the rest of the file can be read.
///
/// Blanks keep every byte at its place. Returns the typed blocks among them, with the keys that seem to be theirs.
fn close_fences(text: &str, file: FileId, sink: &mut Diagnostics) -> (String, Vec<(BlockKind, Fence)>) {
    let mut patched = text.to_owned();
    let mut taken = Vec::new();
    let mut from = 0;
    // Each one is found by reading the text anew. After so many the rest is told when these are closed.
    for _ in 0..MOST_OPEN {
        let Some((mut fence, nested)) = first_left_open(&patched, from) else { break };
        from = fence.head.end;
        let kind = fence.kind(text).filter(|_| fence.margin && !nested);
        let what = kind.map_or("this block".to_owned(), |kind| format!("this {} block", kind.name()));
        let signs = &text[fence.head.start..fence.word.start].trim_end();
        sink.push(
            Diagnostic::new(Code::OpenFence, format!("{what} is never closed"), Span::new(file, fence.head.clone()))
                .label("opens here")
                .help(format!("add a line with nothing but {signs} after its last line")),
        );
        if let Some(kind) = kind {
            let end = fence.keys_end(text);
            blank(&mut patched, fence.head.start..end);
            fence.range = fence.head.start..end.max(fence.head.end);
            fence.body = fence.body.start.min(end)..end;
            fence.closed = false;
            taken.push((kind, fence));
        } else if fence.swallows(text) && !nested {
            blank(&mut patched, fence.head.clone());
        }
    }
    (patched, taken)
}

fn first_left_open(text: &str, from: usize) -> Option<(Fence, bool)> {
    let mut depth = 0usize;
    for (event, range) in Parser::new_ext(text, OPTIONS).into_offset_iter() {
        match event {
            Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(_))) if range.start >= from => {
                let fence = Fence::read(text, range);
                if fence.left_open(text) {
                    return Some((fence, depth > 0));
                }
            }
            Event::Start(tag) if is_container(&tag) => depth += 1,
            Event::End(tag) if is_container_end(tag) => depth -= 1,
            _ => {}
        }
    }
    None
}

fn blank(text: &mut String, range: Range<usize>) {
    let blanks: String = text[range.clone()].bytes().map(|byte| if byte == b'\n' { '\n' } else { ' ' }).collect();
    text.replace_range(range, &blanks);
}

fn is_container(tag: &Tag<'_>) -> bool {
    matches!(tag, Tag::BlockQuote(_) | Tag::List(_) | Tag::Item | Tag::FootnoteDefinition(_))
}

fn is_container_end(tag: TagEnd) -> bool {
    matches!(tag, TagEnd::BlockQuote(_) | TagEnd::List(_) | TagEnd::Item | TagEnd::FootnoteDefinition)
}

struct Reader<'a> {
    text: &'a str,
    file: FileId,
    sink: &'a mut Diagnostics,
    items: Vec<Item>,
    /// Quotes, lists and footnotes around.
    depth: usize,
    /// Inside a block that is left out.
    skip: bool,
    /// Opening HTML tags reported in this stretch of text: their closing tags are the same slip.
    tags: usize,
    /// Typed blocks that were left open, still to be put in their place.
    open: std::collections::VecDeque<(BlockKind, Fence)>,
    notes: Notes,
}

impl Reader<'_> {
    fn event(&mut self, event: Event<'_>, range: Range<usize>) {
        if self.skip {
            self.skip = !matches!(event, Event::End(TagEnd::CodeBlock | TagEnd::HtmlBlock));
            return;
        }
        match &event {
            Event::Start(Tag::CodeBlock(kind)) => self.code_block(kind, &range),
            Event::Start(Tag::HtmlBlock) => {
                self.html(range.start..range.start + self.text[range.clone()].trim_end().len());
                self.skip = true;
            }
            Event::InlineHtml(tag) | Event::Html(tag) => {
                if !tag.starts_with("</") || self.tags == 0 {
                    self.html(range.clone());
                    self.tags += 1;
                }
                return;
            }
            // Every row is filled up to the width of the first: a few bytes would make a page of any size.
            Event::Start(Tag::Table(columns)) if columns.len() > MOST_COLUMNS => {
                let line = range.start..range.start + self.text[range.clone()].lines().next().map_or(0, str::len);
                let message = format!("this table has more than {MOST_COLUMNS} columns");
                self.report(Code::TooLarge, message, line, "make several tables of it, or turn it on its side");
            }
            Event::Start(tag) if is_container(tag) => self.depth += 1,
            Event::End(tag) if is_container_end(*tag) => self.depth -= 1,
            Event::Start(Tag::Paragraph | Tag::Heading { .. } | Tag::TableCell) => self.tags = 0,
            _ => {}
        }
        self.notes.event(&event, &range, self.text);
        if !self.skip {
            self.place_open_before(range.start);
            self.items.push(Item::Event(event.into_static(), range));
        }
    }

    fn place_open_before(&mut self, start: usize) {
        while self.open.front().is_some_and(|(_, fence)| fence.range.start <= start) {
            self.items.extend(self.open.pop_front().map(|(kind, fence)| Item::Block(kind, fence)));
        }
    }

    fn report(&mut self, code: Code, message: impl Into<String>, at: Range<usize>, help: impl Into<String>) {
        self.sink.push(Diagnostic::new(code, message, Span::new(self.file, at)).help(help));
    }

    fn html(&mut self, range: Range<usize>) {
        let what = if self.text[range.clone()].starts_with("<!--") { "a hidden remark" } else { "HTML" };
        self.report(
            Code::RawHtml,
            format!("{what} stands in the text"),
            range,
            "write it in Markdown, or leave it out; put it between backticks to show it as it is",
        );
    }

    fn code_block(&mut self, kind: &CodeBlockKind<'_>, range: &Range<usize>) {
        let fence = match kind {
            CodeBlockKind::Fenced(_) => Fence::read(self.text, range.clone()),
            // Four blanks make a fence into a plain example; of our blocks that is hardly ever meant.
            CodeBlockKind::Indented if self.text[range.start..].trim_start().starts_with("```") => {
                let blanks = self.text[range.start..].len() - self.text[range.start..].trim_start().len();
                Fence::read(self.text, range.start + blanks..range.end)
            }
            CodeBlockKind::Indented => return,
        };
        match fence.kind(self.text) {
            Some(kind) if self.depth == 0 && fence.margin => {
                if !fence.extra.is_empty() {
                    let words = &self.text[fence.extra.clone()];
                    let message = format!("`{words}` after `{}` is not read", kind.name());
                    self.report(Code::UnknownBlock, message, fence.extra.clone(), "put keys inside the block");
                }
                self.skip = true;
                self.place_open_before(range.start);
                self.items.push(Item::Block(kind, fence));
            }
            Some(kind) => {
                self.skip = true;
                let message = format!("a {} block stands away from the left margin", kind.name());
                let help = "begin its first line at the left margin, outside lists, quotes and footnotes";
                self.report(Code::MisplacedBlock, message, fence.word, help);
            }
            None => self.maybe_misspelt(&fence),
        }
    }

    fn maybe_misspelt(&mut self, fence: &Fence) {
        let Some(meant) = fence.meant(self.text) else { return };
        let word = &self.text[fence.word.clone()];
        let span = Span::new(self.file, fence.word.clone());
        let message = format!("`{word}` is no block of a lesson, and is shown as it stands");
        self.sink.push(
            Diagnostic::new(Code::UnknownBlock, message, span)
                .help(format!("did you mean `{}`?", meant.name()))
                .suggest(span, meant.name(), Confidence::NeedsACook),
        );
    }
}

/// Footnotes: where each is defined and used.
#[derive(Default)]
struct Notes {
    defined: BTreeMap<String, Range<usize>>,
    twice: Vec<(String, Range<usize>)>,
    used: Vec<(String, Range<usize>)>,
}

impl Notes {
    fn event(&mut self, event: &Event<'_>, range: &Range<usize>, text: &str) {
        match event {
            Event::Start(Tag::FootnoteDefinition(name)) => {
                let at = range.start..range.start + "[^]".len() + name.len();
                if self.defined.contains_key(&**name) {
                    self.twice.push((name.to_string(), at));
                } else {
                    self.defined.insert(name.to_string(), at);
                }
            }
            Event::FootnoteReference(name) => self.used.push((name.to_string(), range.clone())),
            // A footnote without a definition comes as plain text: `[`, `^name`, `]`.
            Event::Text(words) if words.starts_with('^') && words.len() > 1 => {
                let bracketed = text[..range.start].ends_with('[') && text[range.end..].starts_with(']');
                if bracketed && !text[..range.start].ends_with("\\[") {
                    self.used.push((words[1..].to_string(), range.start - 1..range.end + 1));
                }
            }
            _ => {}
        }
    }

    fn report(self, file: FileId, sink: &mut Diagnostics) {
        for (name, range) in &self.used {
            if !self.defined.contains_key(name) {
                let message = format!("there is no footnote `[^{name}]`");
                let found = Diagnostic::new(Code::BrokenReference, message, Span::new(file, range.clone()));
                sink.push(found.help(format!("add a line `[^{name}]: its text`")));
            }
        }
        for (name, range) in self.twice {
            let message = format!("footnote `[^{name}]` is written twice");
            let first = Span::new(file, self.defined[&name].clone());
            let found = Diagnostic::new(Code::BrokenReference, message, Span::new(file, range));
            sink.push(found.related(first, "first here").help("give one of the two another name"));
        }
    }
}
