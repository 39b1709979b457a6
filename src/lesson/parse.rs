//! A lesson file into headings, steps, blocks, runs of text and things to render.

use super::fence::Fence;
use super::markdown::{Item, read};
use super::runs::Runs;
use super::{BlockKind, BodyItem, Heading, LessonSyntax, Run, StepSyntax, TypedBlock, parse_table};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::source::{FileId, MappedText, Sources, Span};
use pulldown_cmark::{Event, LinkType, Tag, TagEnd};
use std::collections::BTreeMap;
use std::ops::Range;

/// The most headings that a file may have. A large glossary has some hundred.
const MOST_HEADINGS: usize = 2000;

/// The longest paragraph that is read, in bytes.
const LONGEST_RUN: usize = 20_000;

/// Parses a lesson file. Never fails: what is wrong goes to the sink.
///
/// A glossary is read in the same way; its term blocks are in [`LessonSyntax::terms`].
pub fn parse_lesson(sources: &Sources, file: FileId, sink: &mut Diagnostics) -> LessonSyntax {
    let text = &sources.get(file).text;
    let items = read(text, file, sink);
    let mut lesson = Assembler::new(text, file, sink);
    for item in items {
        match item {
            Item::Event(event, range) => lesson.event(event, range),
            Item::Block(kind, fence) => lesson.block(kind, &fence),
        }
    }
    lesson.finish()
}

/// Where in a link or picture its destination stands; the whole of it when it stands elsewhere.
fn destination(text: &str, range: &Range<usize>, address: &str) -> Range<usize> {
    match text[range.clone()].rfind(address) {
        Some(at) if !address.is_empty() => range.start + at..range.start + at + address.len(),
        _ => range.clone(),
    }
}

struct Assembler<'a> {
    text: &'a str,
    file: FileId,
    sink: &'a mut Diagnostics,
    out: LessonSyntax,
    runs: Runs<'a>,
    /// Fragments that are taken, and how often each was asked for.
    slugs: BTreeMap<String, usize>,
    section: Section,
}

/// The section being read.
#[derive(Default)]
struct Section {
    /// Its heading.
    heading: Option<usize>,
    /// Runs before its heading's.
    runs_before: usize,
    /// Whether words have stood between the heading and here.
    has_content: bool,
    /// The step it belongs to, and the level of that step's heading.
    step: Option<(usize, u8)>,
    /// Level of a section whose step block was refused: what belongs to that step is no second slip.
    refused: Option<u8>,
}

impl<'a> Assembler<'a> {
    fn new(text: &'a str, file: FileId, sink: &'a mut Diagnostics) -> Assembler<'a> {
        let out = LessonSyntax {
            file,
            headings: Vec::new(),
            title: None,
            lesson: None,
            recipe: None,
            steps: Vec::new(),
            terms: Vec::new(),
            sums: Vec::new(),
            runs: Vec::new(),
            body: Vec::new(),
            links: Vec::new(),
        };
        let (slugs, section) = (BTreeMap::new(), Section::default());
        Assembler { text, file, sink, out, runs: Runs::new(file, text), slugs, section }
    }

    fn span(&self, range: Range<usize>) -> Span {
        Span::new(self.file, range)
    }

    fn event(&mut self, event: Event<'static>, range: Range<usize>) {
        match &event {
            Event::Start(Tag::Heading { level, .. }) => self.open_heading(*level as u8, &range),
            Event::End(TagEnd::Heading(_)) => self.close_heading(),
            Event::Start(Tag::Link { dest_url, link_type, .. }) if *link_type != LinkType::Email => {
                self.link(dest_url, &range);
            }
            Event::Start(Tag::Image { dest_url, .. }) => self.link(dest_url, &range),
            _ => {}
        }
        let in_heading = matches!(event, Event::Start(Tag::Heading { .. }) | Event::End(TagEnd::Heading(_)));
        self.runs.event(&event, &range);
        if !in_heading && range.start >= self.heading_end() {
            self.section.has_content = true;
        }
        self.out.body.push(BodyItem::Event(event, range));
    }

    fn heading_end(&self) -> usize {
        self.section.heading.map_or(0, |heading| self.out.headings[heading].span.end)
    }

    fn link(&mut self, address: &str, range: &Range<usize>) {
        let span = self.span(destination(self.text, range, address));
        self.out.links.push((address.to_owned(), span));
    }

    fn open_heading(&mut self, level: u8, range: &Range<usize>) {
        let step = self.section.step.filter(|(_, of)| level > *of);
        let refused = self.section.refused.filter(|of| level > *of);
        let heading = self.out.headings.len();
        self.runs.step = step.map(|(step, _)| step);
        self.section =
            Section { heading: Some(heading), runs_before: self.runs.found.len(), has_content: false, step, refused };
        let line = self.text[range.clone()].trim_end().len();
        let span = self.span(range.start..range.start + line);
        self.out.headings.push(Heading { level, text: MappedText::new(self.file), span, slug: String::new() });
        self.out.body.push(BodyItem::Heading(heading));
    }

    fn close_heading(&mut self) {
        let Some(index) = self.section.heading else { return };
        let text = self.runs.current().clone();
        let slug = unique(slug(&text.text), &mut self.slugs);
        let heading = &mut self.out.headings[index];
        if self.out.title.is_none() && heading.level == 1 && !text.text.trim().is_empty() {
            self.out.title = Some(index);
        }
        (heading.text, heading.slug) = (text, slug);
    }

    fn block(&mut self, kind: BlockKind, fence: &Fence) {
        let block = self.typed(kind, fence);
        match kind {
            BlockKind::Lesson => {
                if let Some(block) = refuse_second(self.out.lesson.as_ref(), block, self.sink) {
                    self.out.lesson = Some(block);
                    self.out.body.push(BodyItem::Lesson);
                }
            }
            BlockKind::Recipe => {
                if let Some(block) = refuse_second(self.out.recipe.as_ref(), block, self.sink) {
                    self.out.recipe = Some(block);
                    self.out.body.push(BodyItem::Recipe);
                }
            }
            BlockKind::Step => self.step(block),
            BlockKind::Rescue => self.rescue(block),
            BlockKind::Term => self.term(block),
            BlockKind::Sum => self.sum(block),
        }
    }

    fn typed(&mut self, kind: BlockKind, fence: &Fence) -> TypedBlock {
        let mut body = MappedText::new(self.file);
        body.push(&self.text[fence.body.clone()], fence.body.clone());
        let mut unheard = Diagnostics::default();
        // Of a block that was left open the missing fence is the one finding: where its keys end is a guess.
        let sink = if fence.closed { &mut *self.sink } else { &mut unheard };
        let (mut table, broken) = parse_table(&body, sink);
        table.span = self.span(fence.body.clone());
        TypedBlock {
            kind,
            span: self.span(fence.range.clone()),
            name_span: self.span(fence.word.clone()),
            body: table,
            broken: broken || !fence.closed,
        }
    }

    fn misplaced(&mut self, block: &TypedBlock, message: &str, help: &str) {
        self.sink.push(Diagnostic::new(Code::MisplacedBlock, message, block.name_span).help(help));
    }

    fn step(&mut self, block: TypedBlock) {
        let Section { heading, has_content, step, .. } = self.section;
        let level = heading.map_or(0, |heading| self.out.headings[heading].level);
        let refused = if let Some((first, _)) = step {
            let first = self.out.steps[first].block.name_span;
            self.sink.push(
                Diagnostic::new(Code::MisplacedBlock, "a second step block stands in one section", block.name_span)
                    .related(first, "the section's step is here")
                    .help("give each step a heading of its own, of the same level"),
            );
            return;
        } else if level < 2 {
            Some(("a step block has no section to open", "put a heading such as `## Heat the milk` right before it"))
        } else if has_content {
            Some(("a step block does not follow its heading", "move it up, right under the heading of its section"))
        } else {
            None
        };
        if let Some((message, help)) = refused {
            if self.section.refused.is_none() {
                self.misplaced(&block, message, help);
            }
            self.section.refused = Some(level);
            return;
        }
        let Some(heading) = heading else { return };
        let index = self.out.steps.len();
        self.section.step = Some((index, level));
        self.runs.step = Some(index);
        for run in &mut self.runs.found[self.section.runs_before..] {
            run.step = Some(index);
        }
        self.out.steps.push(StepSyntax { heading, block, rescues: Vec::new() });
        self.out.body.push(BodyItem::Step(index));
    }

    fn rescue(&mut self, block: TypedBlock) {
        match self.section.step {
            Some((step, _)) => {
                let rescues = &mut self.out.steps[step].rescues;
                self.out.body.push(BodyItem::Rescue { step, index: rescues.len() });
                rescues.push(block);
            }
            None if self.section.refused.is_some() || self.lost_a_fence() => {}
            None => self.misplaced(
                &block,
                "a rescue block stands outside a step",
                "put it into the section of the step that it rescues",
            ),
        }
    }

    /// Whether a fence was left open: the step that a rescue belongs to may be lost with it.
    fn lost_a_fence(&self) -> bool {
        self.sink.iter().any(|found| found.code == Code::OpenFence && found.primary.span.file == self.file)
    }

    /// A sum may stand anywhere. Like words, it may not come between a heading and its step block.
    fn sum(&mut self, block: TypedBlock) {
        self.section.has_content = true;
        self.out.body.push(BodyItem::Sum(self.out.sums.len()));
        self.out.sums.push(block);
    }

    fn term(&mut self, block: TypedBlock) {
        match self.section.heading {
            Some(heading)
                if !self.section.has_content && self.out.terms.last().is_none_or(|(of, _)| *of != heading) =>
            {
                self.out.terms.push((heading, block));
            }
            _ => self.misplaced(
                &block,
                "a term block does not follow its heading",
                "put it right under the term's heading",
            ),
        }
    }

    /// Reading figures looks at the words around each: in a paragraph without an end that takes as long.
    fn refuse_endless_runs(&mut self) {
        let endless = |run: &Run| run.text.text.len() > LONGEST_RUN;
        for run in self.runs.found.iter().filter(|run| endless(run)) {
            let home = run.text.home(0..1);
            self.sink.push(
                Diagnostic::new(Code::TooLarge, format!("this paragraph has more than {LONGEST_RUN} bytes"), home)
                    .help("make several paragraphs of it, with an empty line between them"),
            );
        }
        self.runs.found.retain(|run| !endless(run));
    }

    fn finish(mut self) -> LessonSyntax {
        if self.out.title.is_none() {
            let line = self.text.lines().next().unwrap_or("").len();
            self.sink.push(
                Diagnostic::new(Code::MissingTitle, "there is no title", self.span(0..line))
                    .help("begin with a line such as `# Pressed fresh curd`"),
            );
        }
        self.refuse_endless_runs();
        if let Some(one) = self.out.headings.get(MOST_HEADINGS) {
            let message = format!("this file has more than {MOST_HEADINGS} headings");
            let found = Diagnostic::new(Code::TooLarge, message, one.span);
            self.sink.push(found.help("look whether it is what you meant, or make several lessons of it"));
        }
        self.runs.found.sort_by_key(|run| run.text.home(0..1).start);
        self.out.runs = self.runs.found;
        self.out
    }
}

/// The block, unless there was one of its kind before.
fn refuse_second(first: Option<&TypedBlock>, block: TypedBlock, sink: &mut Diagnostics) -> Option<TypedBlock> {
    let Some(first) = first else { return Some(block) };
    let name = block.kind.name();
    sink.push(
        Diagnostic::new(Code::MisplacedBlock, format!("a lesson has only one {name} block"), block.name_span)
            .related(first.name_span, "the first is here")
            .help("join the two, or move this one to a lesson of its own"),
    );
    None
}

/// A heading's link fragment: lower-case words joined by hyphens, accents kept.
fn slug(text: &str) -> String {
    let mut slug = String::new();
    for letter in text.chars().filter(|letter| !matches!(letter, '\'' | '’')) {
        if letter.is_alphanumeric() {
            slug.extend(letter.to_lowercase());
        } else if !slug.ends_with('-') && !slug.is_empty() {
            slug.push('-');
        }
    }
    let slug = slug.trim_end_matches('-');
    if slug.is_empty() { "section".to_owned() } else { slug.to_owned() }
}

fn unique(slug: String, taken: &mut BTreeMap<String, usize>) -> String {
    // Counting on from the last time keeps thousands of equal headings quick.
    let mut count = taken.get(&slug).copied().unwrap_or(0) + 1;
    let mut name = if count == 1 { slug.clone() } else { format!("{slug}-{count}") };
    while taken.contains_key(&name) {
        count += 1;
        name = format!("{slug}-{count}");
    }
    taken.insert(name.clone(), 1);
    taken.insert(slug, count);
    name
}

#[cfg(test)]
#[path = "parse_tests.rs"]
mod tests;
