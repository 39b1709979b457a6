//! Prose as HTML: our own writer over the kept events, because the places of mentions must survive it.
//!
//! Raw HTML never passes; it comes out as the letters its author typed.

use super::edition::{Edition, Lead};
use super::html::{escaped, push_escaped};
use super::links::Target;
use super::live::Page;
use super::marks::{Mark, mention_marks};
use super::view::NoteView;
use crate::lesson::{BodyItem, Heading};
use crate::source::{FileId, MappedText, Piece};
use pulldown_cmark::{Alignment, CodeBlockKind, CowStr, Event, LinkType, Tag};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// What a page collects while its texts are written.
#[derive(Default)]
pub(super) struct PageState {
    /// First use of each term: the fragment of its section.
    pub uses: BTreeMap<usize, String>,
    /// Terms that a word of the page explains in place, in that order.
    pub explained: Vec<usize>,
    /// Whether anything is shown that the style keeps in the sheet for few pages.
    pub rare: bool,
    /// Pictures shown, by path in the course folder.
    pub pictures: BTreeSet<String>,
    /// Footnotes in the order they are called, and how often each is.
    called: Vec<(String, usize)>,
}

/// Writes the texts of one page.
pub(super) struct Writer<'a> {
    cx: &'a Page<'a>,
    file: FileId,
    folder: &'a str,
    headings: &'a [Heading],
    links: Edition,
    /// Terms linked in this section, which are not linked again.
    linked: BTreeSet<usize>,
    section: String,
    /// Above nought inside links, headings and code, where a term is no link.
    quiet: u32,
    pub state: PageState,
}

/// Lines of words that follow each other: what they say goes on over the end of a line, a pair of figures for one. With
/// them where they stand in the file, for in lists and quotes a line does not begin where the one before it ended, and
/// how many items they are.
pub(super) fn joined_lines(items: &[&BodyItem]) -> Option<(String, Vec<Piece>, usize)> {
    let line = |at: usize| match items.get(at)? {
        BodyItem::Event(Event::Text(text), range) if text.len() == range.len() => Some((text, range)),
        _ => None,
    };
    let (first, range) = line(0)?;
    let (mut text, mut pieces, mut len) = (String::new(), Vec::new(), 1);
    let mut push = |words: &str, source: &Range<usize>| {
        let start = text.len();
        text.push_str(words);
        pieces.push(Piece { text: start..text.len(), source: source.clone() });
    };
    while let (Some(BodyItem::Event(Event::SoftBreak, end)), Some((more, next))) = (items.get(len), line(len + 1)) {
        if len == 1 {
            push(first, range);
        }
        push("\n", end);
        push(more, next);
        len += 2;
    }
    (len > 1).then_some((text, pieces, len))
}

/// Words that stand in one place of the file.
pub(super) fn piece(text: &str, source: Range<usize>) -> Piece {
    Piece { text: 0..text.len(), source }
}

impl<'a> Writer<'a> {
    pub(super) fn new(
        cx: &'a Page<'a>,
        file: FileId,
        folder: &'a str,
        headings: &'a [Heading],
        links: Edition,
    ) -> Writer<'a> {
        let state = PageState::default();
        Writer { cx, file, folder, headings, links, linked: BTreeSet::new(), section: String::new(), quiet: 0, state }
    }

    /// What stands before a term's slug in a link to its entry.
    pub(super) fn glossary(&self) -> &'static str {
        self.links.page
    }

    /// Begins a section: each term may be linked once more.
    pub(super) fn begin_section(&mut self, fragment: &str) {
        self.linked.clear();
        self.section = fragment.to_owned();
    }

    /// Goes on in another file, as a glossary does from term to term; `own` is not linked to itself.
    pub(super) fn begin_term(&mut self, file: FileId, own: usize) {
        self.file = file;
        self.linked = BTreeSet::from([own]);
    }

    /// A text of a block.
    pub(super) fn visible(&mut self, text: &MappedText) -> String {
        let mut out = String::with_capacity(text.text.len() + 32);
        for piece in text.pieces() {
            self.text(&mut out, &text.text[piece.text.clone()], piece.source.clone());
        }
        out
    }

    /// A text of a block in which no term becomes a link.
    pub(super) fn visible_quietly(&mut self, text: &MappedText) -> String {
        self.quietly(|writer| writer.visible(text))
    }

    /// Words in which no term becomes a link.
    pub(super) fn flow_quietly(&mut self, items: &[&BodyItem]) -> String {
        self.quietly(|writer| writer.flow(items))
    }

    fn quietly(&mut self, write: impl FnOnce(&mut Self) -> String) -> String {
        self.quiet += 1;
        let out = write(self);
        self.quiet -= 1;
        out
    }

    /// Whole blocks or a stretch of words.
    pub(super) fn flow(&mut self, items: &[&BodyItem]) -> String {
        let mut out = String::new();
        let mut heading = None;
        let mut at = 0;
        while at < items.len() {
            if let Some((text, pieces, len)) = joined_lines(&items[at..]) {
                self.joined(&mut out, &text, &pieces);
                at += len;
                continue;
            }
            let len = group_len(&items[at..]);
            match items[at] {
                BodyItem::Heading(index) => heading = self.headings.get(*index),
                BodyItem::Event(Event::Start(tag), _) => {
                    let inner = &items[at + 1..(at + len - 1).max(at + 1)];
                    self.element(&mut out, tag, inner, heading.take());
                }
                BodyItem::Event(event, range) => self.leaf(&mut out, event, range.clone()),
                BodyItem::Step(_)
                | BodyItem::Rescue { .. }
                | BodyItem::Sum(_)
                | BodyItem::Lesson
                | BodyItem::Recipe => {}
            }
            at += len;
        }
        out
    }

    fn leaf(&mut self, out: &mut String, event: &Event<'_>, range: Range<usize>) {
        match event {
            Event::Text(text) => self.text(out, text, range),
            Event::Code(text) | Event::InlineMath(text) | Event::DisplayMath(text) => {
                self.state.rare = true;
                let inner = self.inside(text, range);
                out.push_str("<code>");
                out.push_str(&self.quietly(|writer| {
                    let mut code = String::new();
                    writer.text(&mut code, text, inner);
                    code
                }));
                out.push_str("</code>");
            }
            Event::Html(text) | Event::InlineHtml(text) => push_escaped(out, text),
            Event::FootnoteReference(label) => self.note_call(out, label),
            Event::SoftBreak => out.push('\n'),
            Event::HardBreak => out.push_str("<br>\n"),
            Event::Rule => {
                self.state.rare = true;
                out.push_str("<hr>\n");
            }
            Event::TaskListMarker(done) => out.push_str(if *done { "☑ " } else { "☐ " }),
            Event::Start(_) | Event::End(_) => {}
        }
    }

    /// The place of a code span's text without its ticks.
    fn inside(&self, text: &str, range: Range<usize>) -> Range<usize> {
        let source = self.cx.sources.get(self.file).text.get(range.clone()).unwrap_or("");
        match source.find(text) {
            Some(at) => range.start + at..range.start + at + text.len(),
            None => range,
        }
    }

    fn element(&mut self, out: &mut String, tag: &Tag<'_>, inner: &[&BodyItem], heading: Option<&Heading>) {
        let plain = match tag {
            Tag::Paragraph => match only_picture(inner) {
                Some((destination, title, alt)) => return self.figure(out, destination, title, &alt),
                None => ("<p>", "</p>\n"),
            },
            Tag::BlockQuote(_) => {
                self.state.rare = true;
                ("<blockquote>\n", "</blockquote>\n")
            }
            Tag::List(None) => ("<ul>\n", "</ul>\n"),
            Tag::Item => ("<li>", "</li>\n"),
            Tag::Emphasis => ("<em>", "</em>"),
            Tag::Strong => ("<strong>", "</strong>"),
            Tag::Strikethrough => ("<s>", "</s>"),
            Tag::Superscript => ("<sup>", "</sup>"),
            Tag::Subscript => ("<sub>", "</sub>"),
            Tag::DefinitionList => ("<dl>\n", "</dl>\n"),
            Tag::DefinitionListTitle => ("<dt>", "</dt>\n"),
            Tag::DefinitionListDefinition => ("<dd>", "</dd>\n"),
            Tag::List(Some(1)) => ("<ol>\n", "</ol>\n"),
            Tag::List(Some(first)) => {
                out.push_str(&format!("<ol start=\"{first}\">\n"));
                ("", "</ol>\n")
            }
            Tag::Heading { level, .. } => return self.heading(out, *level as u8, inner, heading),
            Tag::CodeBlock(kind) => return self.code_block(out, kind, inner),
            Tag::Table(alignments) => return self.table(out, alignments, inner),
            Tag::Link { link_type: LinkType::Email, dest_url, .. } => {
                return self.link(out, &format!("mailto:{dest_url}"), inner);
            }
            Tag::Link { dest_url, .. } => return self.link(out, dest_url, inner),
            Tag::Image { dest_url, title, .. } => return self.picture(out, dest_url, title, &words(inner)),
            // Rows and cells are written by `table`, notes are taken out before; HTML is letters.
            Tag::TableHead | Tag::TableRow | Tag::TableCell | Tag::HtmlBlock => ("", ""),
            Tag::FootnoteDefinition(_) | Tag::MetadataBlock(_) => return,
        };
        out.push_str(plain.0);
        out.push_str(&self.flow(inner));
        out.push_str(plain.1);
    }

    fn heading(&mut self, out: &mut String, level: u8, inner: &[&BodyItem], heading: Option<&Heading>) {
        let id = heading.map_or(String::new(), |heading| format!(" id=\"{}\"", escaped(&heading.slug)));
        self.state.rare |= level > 3;
        let text = self.flow_quietly(inner);
        out.push_str(&format!("<h{level}{id}>{text}</h{level}>\n"));
    }

    fn code_block(&mut self, out: &mut String, kind: &CodeBlockKind<'_>, inner: &[&BodyItem]) {
        let language = match kind {
            CodeBlockKind::Fenced(info) => info.split_whitespace().next().unwrap_or(""),
            CodeBlockKind::Indented => "",
        };
        self.state.rare = true;
        let code = self.cx.highlighter.code(language, &words(inner));
        // Wide code scrolls in its box, so the box must be reachable without a mouse.
        out.push_str(&format!("<pre tabindex=\"0\"><code>{code}</code></pre>\n"));
    }

    fn link(&mut self, out: &mut String, destination: &str, inner: &[&BodyItem]) {
        let text = self.flow_quietly(inner);
        let target = self.cx.links.resolve(self.folder, destination);
        let rel = if matches!(target, Target::Elsewhere(_)) { " rel=\"external\"" } else { "" };
        if let Target::Picture(path, _) = &target {
            self.state.pictures.insert(path.clone());
        }
        let terms = &self.cx.course.terms;
        let href = match self.links.lead(target, terms) {
            Lead::To(href) => href,
            // A heading is a link itself in the list of steps.
            Lead::ToTerm(_) if self.links.in_place && self.quiet > 0 => return out.push_str(&text),
            Lead::ToTerm(term) => {
                self.state.uses.entry(term).or_insert_with(|| self.section.clone());
                if self.links.in_place {
                    return self.explain(out, term, &text);
                }
                format!("{}{}", self.links.page, terms[term].slug)
            }
            Lead::Nowhere => return out.push_str(&text),
        };
        out.push_str(&format!("<a href=\"{}\"{rel}>{text}</a>", escaped(&href)));
    }

    /// Words that open what a term means, without a script: the browser does it.
    fn explain(&mut self, out: &mut String, term: usize, html: &str) {
        let explained = &mut self.state.explained;
        let at = explained.iter().position(|other| *other == term).unwrap_or_else(|| {
            explained.push(term);
            explained.len() - 1
        });
        out.push_str(&format!("<button popovertarget=\"{}\">{html}</button>", meaning_id(at)));
    }

    fn picture(&mut self, out: &mut String, destination: &str, title: &str, alt: &str) {
        let Target::Picture(path, href) = self.cx.links.resolve(self.folder, destination) else {
            return push_escaped(out, alt);
        };
        let href = if self.links.holds_pictures() { self.cx.links.picture_data(&path) } else { href };
        self.state.pictures.insert(path);
        let title = if title.is_empty() { String::new() } else { format!(" title=\"{}\"", escaped(title)) };
        out.push_str(&format!("<img src=\"{}\" alt=\"{}\"{title}>", escaped(&href), escaped(alt)));
    }

    /// A picture that stands alone, with its title as the words under it.
    fn figure(&mut self, out: &mut String, destination: &str, title: &str, alt: &str) {
        out.push_str("<figure>");
        self.picture(out, destination, "", alt);
        if !title.is_empty() {
            out.push_str(&format!("<figcaption>{}</figcaption>", escaped(title)));
        }
        out.push_str("</figure>\n");
    }

    /// A table in a box of its own, which scrolls sideways on a narrow screen.
    fn table(&mut self, out: &mut String, alignments: &[Alignment], inner: &[&BodyItem]) {
        let rows = groups(inner);
        let label = rows.first().map_or(String::new(), |head| {
            let names: Vec<String> = groups(inside(head)).iter().map(|cell| words(inside(cell))).collect();
            escaped(&names.join(", "))
        });
        out.push_str(&format!(
            "<div class=\"scroll\" role=\"group\" tabindex=\"0\" aria-label=\"Table: {label}\"><table>\n"
        ));
        for (index, row) in rows.iter().enumerate() {
            out.push_str(if index == 0 { "<thead>\n<tr>" } else { "<tr>" });
            for (column, cell) in groups(inside(row)).iter().enumerate() {
                let class = match alignments.get(column) {
                    Some(Alignment::Right) => " class=\"right\"",
                    Some(Alignment::Center) => " class=\"centre\"",
                    Some(Alignment::Left | Alignment::None) | None => "",
                };
                let text = if index == 0 { self.flow_quietly(inside(cell)) } else { self.flow(inside(cell)) };
                out.push_str(&match (index, text.is_empty()) {
                    (0, false) => format!("<th scope=\"col\"{class}>{text}</th>"),
                    _ => format!("<td{class}>{text}</td>"),
                });
            }
            out.push_str(if index == 0 { "</tr>\n</thead>\n<tbody>\n" } else { "</tr>\n" });
        }
        out.push_str("</tbody>\n</table></div>\n");
    }

    fn note_call(&mut self, out: &mut String, label: &str) {
        let called = &mut self.state.called;
        let index = called.iter().position(|(other, _)| other == label).unwrap_or_else(|| {
            called.push((label.to_owned(), 0));
            called.len() - 1
        });
        called[index].1 += 1;
        let (number, id) = (index + 1, call_id(self.links.notes, index + 1, called[index].1));
        let note = format!("_{}note-{number}", self.links.notes);
        out.push_str(&format!(
            "<sup class=\"call\"><a id=\"{id}\" href=\"#{note}\" role=\"doc-noteref\" aria-label=\"Note {number}\">{number}</a></sup>"
        ));
    }

    /// The footnotes that were called, in that order. A note may call another.
    pub(super) fn notes(&mut self, texts: &BTreeMap<String, Vec<&BodyItem>>) -> Vec<NoteView> {
        let mut htmls = Vec::new();
        while let Some((label, _)) = self.state.called.get(htmls.len()) {
            let items = texts.get(label).cloned().unwrap_or_default();
            htmls.push(self.flow(&items));
        }
        let numbered = htmls.into_iter().zip(&self.state.called).enumerate();
        numbered
            .map(|(index, (html, (_, times)))| {
                let number = index + 1;
                let list = self.links.notes;
                let backs = (1..=*times).map(|time| call_id(list, number, time)).collect();
                NoteView { number, id: format!("_{list}note-{number}"), html, backs }
            })
            .collect()
    }

    /// Words, with mentions and first uses of terms marked; not a letter is changed.
    fn text(&mut self, out: &mut String, text: &str, source: Range<usize>) {
        self.joined(out, text, &[piece(text, source)]);
    }

    /// The same of words that stand in several places of the file.
    fn joined(&mut self, out: &mut String, text: &str, pieces: &[Piece]) {
        let mut at = 0;
        for (range, mark) in self.marks(text, pieces) {
            push_escaped(out, &text[at..range.start]);
            let words = escaped(&text[range.clone()]);
            at = range.end;
            match mark {
                Mark::Mention(number) => {
                    let number = number.map_or(String::new(), |number| number.to_string());
                    out.push_str(&format!("<span data-m=\"{number}\">{words}</span>"));
                }
                Mark::Bracketed(number) => {
                    // A blank or the end of a line, and the bracket.
                    let inner = words[2..].trim_end_matches(')');
                    out.push_str(&format!("<span class=\"alt\"> (<span data-m=\"{number}\">{inner}</span>)</span>"));
                }
                Mark::Term(term) if self.links.in_place => self.explain(out, term, &words),
                Mark::Term(term) => {
                    let (page, slug) = (self.links.page, escaped(&self.cx.course.terms[term].slug));
                    out.push_str(&format!("<a class=\"term\" href=\"{page}{slug}\">{words}</a>"));
                }
            }
        }
        push_escaped(out, &text[at..]);
    }

    /// The marks of a text in order, none overlapping another; a mention goes before a term.
    fn marks(&mut self, text: &str, pieces: &[Piece]) -> Vec<(Range<usize>, Mark)> {
        let cx = self.cx;
        let mut marks = mention_marks(cx, self.file, text, pieces);
        if self.quiet == 0 {
            for (range, term) in cx.terms.find(text) {
                let free = marks.iter().all(|(other, _)| other.end <= range.start || range.end <= other.start);
                let shown = self.links.only.as_ref().is_none_or(|only| only.contains(&term));
                if free && shown && self.linked.insert(term) {
                    self.state.uses.entry(term).or_insert_with(|| self.section.clone());
                    marks.push((range, Mark::Term(term)));
                }
            }
        }
        marks.sort_by_key(|(range, _)| range.start);
        marks
    }
}

/// Takes footnote texts out of a body: the rest, and the texts by label.
pub(super) fn without_notes(items: &[BodyItem]) -> (Vec<&BodyItem>, BTreeMap<String, Vec<&BodyItem>>) {
    let all: Vec<&BodyItem> = items.iter().collect();
    let (mut rest, mut notes) = (Vec::new(), BTreeMap::new());
    let mut at = 0;
    while at < all.len() {
        let (step, label) = match all[at] {
            BodyItem::Event(Event::Start(Tag::FootnoteDefinition(label)), _) => (group_len(&all[at..]), Some(label)),
            _ => (1, None),
        };
        match label {
            Some(label) => {
                notes.entry(label.to_string()).or_insert_with(|| inside(&all[at..at + step]).to_vec());
            }
            None => rest.push(all[at]),
        }
        at += step;
    }
    (rest, notes)
}

/// How many items the first one spans: to its end, if it is a start.
pub(super) fn group_len(items: &[&BodyItem]) -> usize {
    let mut depth = 0usize;
    for (at, item) in items.iter().enumerate() {
        match item {
            BodyItem::Event(Event::Start(_), _) => depth += 1,
            BodyItem::Event(Event::End(_), _) => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth == 0 {
            return at + 1;
        }
    }
    items.len()
}

/// A group without its start and end.
pub(super) fn inside<'b, 'a>(group: &'b [&'a BodyItem]) -> &'b [&'a BodyItem] {
    group.get(1..group.len().saturating_sub(1)).unwrap_or(&[])
}

/// The groups that a stretch consists of.
pub(super) fn groups<'b, 'a>(items: &'b [&'a BodyItem]) -> Vec<&'b [&'a BodyItem]> {
    let mut out = Vec::new();
    let mut rest = items;
    while !rest.is_empty() {
        let (group, after) = rest.split_at(group_len(rest));
        out.push(group);
        rest = after;
    }
    out
}

/// The bare words of a stretch of text.
pub(super) fn words(items: &[&BodyItem]) -> String {
    items
        .iter()
        .map(|item| match item {
            BodyItem::Event(Event::Text(text) | Event::Code(text), _) => text.as_ref(),
            BodyItem::Event(Event::SoftBreak | Event::HardBreak, _) => " ",
            _ => "",
        })
        .collect()
}

/// Destination, title and text of the picture that a paragraph consists of.
pub(super) fn only_picture<'b>(inner: &'b [&BodyItem]) -> Option<(&'b CowStr<'static>, &'b CowStr<'static>, String)> {
    let BodyItem::Event(Event::Start(Tag::Image { dest_url, title, .. }), _) = inner.first()? else {
        return None;
    };
    (group_len(inner) == inner.len()).then(|| (dest_url, title, words(inside(inner))))
}

/// The id of what a term means, by its place among those that a page explains.
pub(super) fn meaning_id(at: usize) -> String {
    format!("_t{}", at + 1)
}

/// Underscores begin ids of our own, which no heading's slug does.
fn call_id(list: &str, number: usize, time: usize) -> String {
    if time == 1 { format!("_{list}call-{number}") } else { format!("_{list}call-{number}-{time}") }
}
