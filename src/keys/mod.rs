//! Keys and values in TOML, with every place kept: the bodies of blocks, `course.toml`, pantry and facts.
//!
//! Shape only: which keys a thing has is said by those who read it, and all of them complain in the same words.

pub(crate) mod fields;
pub(crate) mod near;
mod slips;
mod table;

pub use table::{Entry, Table, Text, Value, ValueKind, parse_table};
pub(crate) use table::{Row, parse_rows, slice, trimmed, whole_file};
