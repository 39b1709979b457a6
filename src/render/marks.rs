//! Which stretches of a text state a measure, with the words around them that change with it.

use super::live::Page;
use super::mentions::Placed;
use crate::source::FileId;
use std::ops::Range;

/// What a stretch of text is marked as.
pub(super) enum Mark {
    /// The number of a live mention; none for what of it follows markup.
    Mention(Option<usize>),
    /// The same in brackets that go with it.
    Bracketed(usize),
    Term(usize),
}

/// The mentions of a text in order, none overlapping another.
pub(super) fn mention_marks(
    page: &Page<'_>,
    file: FileId,
    text: &str,
    source: Range<usize>,
) -> Vec<(Range<usize>, Mark)> {
    let copied = text.len() == source.len();
    let mut marks: Vec<(Range<usize>, Mark)> = Vec::new();
    let found = page.mentions.within(file, source.clone()).filter(|_| page.is_live());
    for (piece, placed) in found {
        // An entity stands for its text as a whole; it is marked whole or not at all.
        let range = if copied { piece.start - source.start..piece.end - source.start } else { 0..text.len() };
        let free = |range: &Range<usize>, marks: &[(Range<usize>, Mark)]| {
            marks.last().is_none_or(|(last, _)| last.end <= range.start)
        };
        if free(&range, &marks) && !range.is_empty() && text.get(range.clone()).is_some() {
            let begins = piece.start == placed.entry.mention.pieces[0].start;
            let (range, mark) = mention(page, text, range, placed, begins, copied);
            if free(&range, &marks) {
                marks.push((range, mark));
            }
        }
    }
    marks
}

/// A mention with the words around it that change with it.
fn mention(
    page: &Page<'_>,
    text: &str,
    range: Range<usize>,
    placed: Placed<'_>,
    begins: bool,
    copied: bool,
) -> (Range<usize>, Mark) {
    let (before, after) = if copied { (&text[..range.start], &text[range.end..]) } else { ("", "") };
    let marked = begins.then(|| page.mark(placed, before, after)).flatten();
    let Some(marked) = marked else { return (range, Mark::Mention(None)) };
    if marked.bracketed {
        return (range.start - 2..range.end + 1, Mark::Bracketed(marked.number));
    }
    (range.start - marked.before..range.end + marked.after, Mark::Mention(Some(marked.number)))
}
