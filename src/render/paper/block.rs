//! What is set on paper: blocks of words, figures, boxes, codes.

use super::code::Code;
use super::picture::Picture;
use crate::render::chart::Chart;

/// Words in one style.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Run {
    pub text: String,
    pub bold: bool,
    pub italic: bool,
    /// Another size than the block's, in points.
    pub size: Option<f32>,
    /// An address on the web that the words lead to.
    pub link: Option<String>,
}

/// The words of a paragraph. A line feed in them begins a new line.
pub(crate) type Words = Vec<Run>;

impl Run {
    /// Words as the block sets them.
    pub(crate) fn plain(text: impl Into<String>) -> Run {
        Run { text: text.into(), ..Run::default() }
    }

    /// Bold words.
    pub(crate) fn bold(text: impl Into<String>) -> Run {
        Run { bold: true, ..Run::plain(text) }
    }

    /// The same in another size.
    pub(crate) fn sized(self, size: f32) -> Run {
        Run { size: Some(size), ..self }
    }
}

/// Plain words.
pub(crate) fn plain(text: impl Into<String>) -> Words {
    vec![Run::plain(text)]
}

/// The bare letters of words.
pub(crate) fn letters(words: &[Run]) -> String {
    words.iter().map(|run| run.text.as_str()).collect()
}

/// A temperature or a time in large type.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Figure {
    /// `bring to`, `takes`: in the size of running words.
    pub label: String,
    /// The figure.
    pub value: String,
    /// The same in other units, lighter, after it.
    pub other: Option<String>,
}

/// A row of a list.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Item {
    /// What stands before it: `•`, `☐`, `3.`
    pub mark: String,
    /// What it says, as blocks so that lists can stand in lists.
    pub blocks: Vec<Block>,
}

/// A picture of a lesson.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Pictured {
    pub picture: Picture,
    /// What it shows, for whoever cannot see it.
    pub means: String,
    /// Its caption, and what else is told under it.
    pub under: Vec<Words>,
    /// The size of these words.
    pub size: f32,
    /// The most height that it may take.
    pub tallest: f32,
}

/// One thing that is set.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Block {
    /// A heading of a level from 1; it stays with what follows.
    Heading { level: u16, words: Words, size: f32 },
    /// A paragraph.
    Words { words: Words, size: f32 },
    /// A list, with room for its marks.
    List { items: Vec<Item>, size: f32 },
    /// Large figures beside each other. `size` is that of their labels.
    Figures { figures: Vec<Figure>, size: f32, large: f32 },
    /// Rows of cells. `shares` divides the width; a cell in a column whose share is below nought stands to the right.
    Table { shares: Vec<f32>, head: Vec<Words>, rows: Vec<Vec<Words>>, size: f32 },
    /// Words in a frame with a heavy edge.
    Boxed(Vec<Block>),
    /// Blocks with a code to their right.
    Beside { blocks: Vec<Block>, code: Code },
    /// A picture of the author's, with what stands under it.
    Picture(Pictured),
    /// A picture of the plan. What it says, the words beside it say too.
    Chart(Chart),
    /// A thin line.
    Rule,
    /// Blocks that are not parted, if a page can hold them.
    Together(Vec<Block>),
}
