//! A place in a source file.

use std::ops::Range;

/// Which file of the course: an index into [`Sources`](super::Sources).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// A range of bytes in one file's normalised text. Always on character edges.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl Span {
    /// A place from its file and byte range.
    pub fn new(file: FileId, range: Range<usize>) -> Span {
        Span { file, start: range.start, end: range.end }
    }

    /// The bytes covered.
    pub fn range(self) -> Range<usize> {
        self.start..self.end
    }

    /// Whether `other` lies wholly inside.
    pub fn contains(self, other: Span) -> bool {
        self.file == other.file && self.start <= other.start && other.end <= self.end
    }

    /// Whether the two share at least one byte.
    pub fn overlaps(self, other: Span) -> bool {
        self.file == other.file && self.start < other.end && other.start < self.end
    }

    /// The smallest place that covers both; `self` when they lie in different files.
    pub fn to(self, other: Span) -> Span {
        if self.file != other.file {
            return self;
        }
        Span { file: self.file, start: self.start.min(other.start), end: self.end.max(other.end) }
    }
}
