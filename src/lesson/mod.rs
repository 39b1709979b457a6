//! Lesson files: Markdown and typed blocks, with every place kept.
//!
//! Shape only. Here a unit is still text and an ingredient still a word; `recipe` gives them meaning.

mod ast;
pub mod captions;
mod fence;
mod markdown;
mod parse;
mod runs;

pub(crate) use crate::keys::near;
pub use crate::keys::{Entry, Table, Text, Value, ValueKind, parse_table};
pub(crate) use crate::keys::{slice, trimmed};
pub use ast::{BlockKind, BodyItem, Heading, LessonSyntax, Run, RunPlace, StepSyntax, TypedBlock};
pub use parse::parse_lesson;
