//! The texts of a course, and places in them.
//!
//! Everything after `input` speaks of a place as a [`Span`]: a file and a range of bytes. Lines and columns exist
//! only where a finding is shown ([`SourceFile::position`]).

mod files;
mod span;
mod span_map;

pub use files::{Position, SourceFile, Sources};
pub use span::{FileId, Span};
pub use span_map::{MappedText, Piece, is_no_letter};
