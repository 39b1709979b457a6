//! Which stretches of a text state a measure, with the words around them that change with it.

use super::live::Page;
use super::mentions::Placed;
use crate::source::{FileId, Piece};
use std::ops::Range;

/// What a stretch of text is marked as.
pub(super) enum Mark {
    /// The number of a live mention; none for what of it follows markup.
    Mention(Option<usize>),
    /// The same in brackets that go with it.
    Bracketed(usize),
    Term(usize),
}

/// A stretch of a text that states something, before the words around it are looked at.
struct Stretch<'a> {
    range: Range<usize>,
    placed: Placed<'a>,
    /// Whether the mention begins here.
    begins: bool,
    /// Whether its letters stand in the file as they stand here.
    copied: bool,
}

/// The mentions of a text in order, none overlapping another. `pieces` say where the text stands in its file: several
/// where it goes on over the end of a line.
pub(super) fn mention_marks(page: &Page<'_>, file: FileId, text: &str, pieces: &[Piece]) -> Vec<(Range<usize>, Mark)> {
    let mut marks: Vec<(Range<usize>, Mark)> = Vec::new();
    for Stretch { range, placed, begins, copied } in stretches(page, file, pieces) {
        let free = |range: &Range<usize>, marks: &[(Range<usize>, Mark)]| {
            marks.last().is_none_or(|(last, _)| last.end <= range.start)
        };
        if free(&range, &marks) && !range.is_empty() && text.get(range.clone()).is_some() {
            let (range, mark) = mention(page, text, range, placed, begins, copied);
            if free(&range, &marks) {
                marks.push((range, mark));
            }
        }
    }
    marks
}

/// Where the mentions of a text stand in it; one that goes over the end of a line is one stretch.
fn stretches<'a>(page: &Page<'a>, file: FileId, pieces: &[Piece]) -> Vec<Stretch<'a>> {
    let mut found: Vec<Stretch<'a>> = Vec::new();
    for Piece { text, source } in pieces.iter().filter(|_| page.is_live()) {
        // An entity stands for its text as a whole; it is marked whole or not at all.
        let copied = text.len() == source.len();
        for (piece, placed) in page.mentions.within(file, source.clone()) {
            let at = |place: usize| text.start + place - source.start;
            let range = if copied { at(piece.start)..at(piece.end) } else { text.clone() };
            let begins = piece.start == placed.entry.mention.pieces[0].start;
            match found.last_mut() {
                Some(last) if last.range.end == range.start && std::ptr::eq(last.placed.entry, placed.entry) => {
                    last.range.end = range.end;
                }
                _ => found.push(Stretch { range, placed, begins, copied }),
            }
        }
    }
    found
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
