//! Text as a reader sees it, with the way home to the file.
//!
//! `**4** litres` reads as `4 litres`: markup must not break a measure. So a stretch of text is joined from pieces, and
//! each piece remembers where it came from.

use super::{FileId, Span};
use std::ops::Range;

/// One run of joined text that came from one place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// Where it stands in the joined text.
    pub text: Range<usize>,
    /// Where it came from. As long as `text` when it was copied letter by letter; otherwise (an entity, a soft
    /// break) the whole of it stands for the whole of `text`.
    pub source: Range<usize>,
}

/// Joined text of one block, and where each byte of it stands in the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MappedText {
    /// The file.
    pub file: FileId,
    /// The text as a reader sees it.
    pub text: String,
    pieces: Vec<Piece>,
}

impl MappedText {
    /// An empty text of a file.
    pub fn new(file: FileId) -> MappedText {
        MappedText { file, text: String::new(), pieces: Vec::new() }
    }

    /// Adds a piece of text that came from `source`.
    pub fn push(&mut self, text: &str, source: Range<usize>) {
        if text.is_empty() {
            return;
        }
        let start = self.text.len();
        if text.contains(is_no_letter) {
            self.text.push_str(&text.replace(is_no_letter, "\u{fffd}"));
        } else {
            self.text.push_str(text);
        }
        self.pieces.push(Piece { text: start..self.text.len(), source });
    }

    /// The pieces, in order.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// The place in the file that a range of the joined text came from, markup between its pieces included.
    pub fn home(&self, range: Range<usize>) -> Span {
        let parts = self.home_pieces(range.clone());
        match (parts.first(), parts.last()) {
            (Some(first), Some(last)) => Span::new(self.file, first.start..last.end),
            _ => {
                let at = self.pieces.last().map_or(0, |piece| piece.source.end);
                Span::new(self.file, at..at)
            }
        }
    }

    /// The place of a range that was copied letter by letter from one place, so that new text can stand there.
    ///
    /// `None` where markup runs through it, or where it was written as an entity.
    pub fn copied_from(&self, range: Range<usize>) -> Option<Span> {
        let piece = self.pieces.iter().find(|piece| piece.text.start <= range.start && range.end <= piece.text.end)?;
        let start = piece.source.start + range.start - piece.text.start;
        (piece.text.len() == piece.source.len()).then(|| Span::new(self.file, start..start + range.len()))
    }

    /// The places in the file, markup left out: one range for each piece touched.
    pub fn home_pieces(&self, range: Range<usize>) -> Vec<Range<usize>> {
        let mut found = Vec::new();
        let first = self.pieces.partition_point(|piece| piece.text.end <= range.start);
        for piece in &self.pieces[first..] {
            if piece.text.start >= range.end {
                break;
            }
            let letter_by_letter = piece.text.len() == piece.source.len();
            if letter_by_letter {
                let from = range.start.max(piece.text.start) - piece.text.start;
                let to = range.end.min(piece.text.end) - piece.text.start;
                found.push(piece.source.start + from..piece.source.start + to);
            } else {
                found.push(piece.source.clone());
            }
        }
        found
    }
}

/// Controls and the like, which neither a page nor a feed may hold. They come from references and escapes too: `&#1;`.
/// Source: Char in Extensible Markup Language (XML) 1.0, section 2.2; that section also warns of the later controls.
pub fn is_no_letter(letter: char) -> bool {
    letter.is_control() && !matches!(letter, '\t' | '\n' | '\r') || matches!(letter, '\u{fffe}' | '\u{ffff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_inside_a_measure_leads_home() {
        // Source: `Pour **4** litres`
        let mut run = MappedText::new(FileId(0));
        run.push("Pour ", 0..5);
        run.push("4", 7..8);
        run.push(" litres", 10..17);
        let at = run.text.find("4 litres").unwrap();
        let range = at..at + "4 litres".len();
        assert_eq!(run.home(range.clone()).range(), 7..17);
        assert_eq!(run.home_pieces(range.clone()), vec![7..8, 10..17]);
        assert_eq!(run.copied_from(range), None);
        assert_eq!(run.copied_from(at..at + 1).map(Span::range), Some(7..8));
    }

    #[test]
    fn an_entity_stands_for_the_whole_of_its_text() {
        // Source: `1&frac12; cups` reads as `1½ cups`; `½` is two bytes, the entity is eight.
        let mut run = MappedText::new(FileId(0));
        run.push("1", 0..1);
        run.push("½", 1..9);
        run.push(" cups", 9..14);
        assert_eq!(run.home(0.."1½ cups".len()).range(), 0..14);
        assert_eq!(run.home(1..3).range(), 1..9);
        assert_eq!(run.copied_from(1..3), None);
    }
}
