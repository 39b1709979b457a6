//! What a lesson file is made of.

use super::Table;
use crate::source::{FileId, MappedText, Span};
use pulldown_cmark::Event;
use std::ops::Range;

/// The typed blocks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum BlockKind {
    /// About the lesson as a whole.
    Lesson,
    /// What goes in, what comes out, what is needed.
    Recipe,
    /// Opens a step.
    Step,
    /// A sign that something went wrong, and a remedy.
    Rescue,
    /// Other names of a glossary term.
    Term,
    /// A sum that a student works out on the page.
    Sum,
}

impl BlockKind {
    /// All kinds.
    pub const ALL: [BlockKind; 6] =
        [BlockKind::Lesson, BlockKind::Recipe, BlockKind::Step, BlockKind::Rescue, BlockKind::Term, BlockKind::Sum];

    /// The info string of its fence.
    pub fn name(self) -> &'static str {
        match self {
            BlockKind::Lesson => "lesson",
            BlockKind::Recipe => "recipe",
            BlockKind::Step => "step",
            BlockKind::Rescue => "rescue",
            BlockKind::Term => "term",
            BlockKind::Sum => "sum",
        }
    }
}

/// A fenced block of ours.
#[derive(Debug, Clone, PartialEq)]
pub struct TypedBlock {
    /// Which.
    pub kind: BlockKind,
    /// From the opening fence to the end of the closing one.
    pub span: Span,
    /// The info string, for pointing at the block as a whole.
    pub name_span: Span,
    /// Its keys and values. Lines with a syntax error, which was reported, are left out.
    pub body: Table,
    /// Whether the body could not be read: later stages then say nothing about missing keys.
    pub broken: bool,
}

/// A heading.
#[derive(Debug, Clone, PartialEq)]
pub struct Heading {
    /// 1 to 6.
    pub level: u8,
    /// Its words.
    pub text: MappedText,
    /// The whole line.
    pub span: Span,
    /// Fragment of its link: unique in the lesson.
    pub slug: String,
}

/// A section that opens with a step block.
#[derive(Debug, Clone, PartialEq)]
pub struct StepSyntax {
    /// Its heading: an index into [`LessonSyntax::headings`].
    pub heading: usize,
    /// The step block.
    pub block: TypedBlock,
    /// Its rescues, in order.
    pub rescues: Vec<TypedBlock>,
}

/// Where a stretch of text stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunPlace {
    /// The lesson's title or a section's heading.
    Heading,
    /// A paragraph or list item.
    Paragraph,
    /// A table's head: names a column.
    TableHead {
        /// Which table of the lesson, from 0.
        table: usize,
        /// Which column, from 0.
        column: usize,
    },
    /// A table's cell.
    TableCell {
        /// Which table of the lesson, from 0.
        table: usize,
        /// Which row under the head, from 0.
        row: usize,
        /// Which column, from 0.
        column: usize,
    },
    /// A footnote's text.
    Footnote,
    /// A picture's text.
    Picture,
    /// A text in a typed block: summary, sign, remedy.
    Block,
    /// Spoken in the recording, as its captions have it.
    Caption,
}

/// A stretch of text that a reader sees as one: a measure never runs across two of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// The words.
    pub text: MappedText,
    /// Where they stand.
    pub place: RunPlace,
    /// The step they belong to, if any: an index into [`LessonSyntax::steps`].
    pub step: Option<usize>,
}

/// One thing to render, in the order of the file.
#[derive(Debug, Clone, PartialEq)]
pub enum BodyItem {
    /// A Markdown event and its bytes. Events of typed blocks are left out.
    Event(Event<'static>, Range<usize>),
    /// The heading that comes next in the events, by index: its slug and step.
    Heading(usize),
    /// A step's block stands here.
    Step(usize),
    /// A rescue of a step stands here.
    Rescue {
        /// The step.
        step: usize,
        /// Which of its rescues.
        index: usize,
    },
    /// A sum stands here: an index into [`LessonSyntax::sums`].
    Sum(usize),
    /// The lesson block stands here.
    Lesson,
    /// The recipe block stands here.
    Recipe,
}

/// A parsed lesson.
#[derive(Debug, Clone, PartialEq)]
pub struct LessonSyntax {
    /// Its file.
    pub file: FileId,
    /// All headings, in order; the first of level 1 is the title.
    pub headings: Vec<Heading>,
    /// Index of the title among them.
    pub title: Option<usize>,
    /// The lesson block.
    pub lesson: Option<TypedBlock>,
    /// The recipe block.
    pub recipe: Option<TypedBlock>,
    /// The steps, in order.
    pub steps: Vec<StepSyntax>,
    /// Term blocks, each with the index of its heading. Only a glossary has them.
    pub terms: Vec<(usize, TypedBlock)>,
    /// The sums, in order.
    pub sums: Vec<TypedBlock>,
    /// All text of the Markdown that a reader sees, in order. Texts of blocks are added by `recipe`.
    pub runs: Vec<Run>,
    /// What to render, in order.
    pub body: Vec<BodyItem>,
    /// Pictures and links, for checking that they lead somewhere: destination and place.
    pub links: Vec<(String, Span)>,
}
