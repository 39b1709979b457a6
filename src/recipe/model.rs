//! The model that words are held to.
//!
//! Every measure of a course stands once, in [`Course::measures`], with the place where its author wrote it; whatever
//! owns it keeps its [`MeasureId`].

mod course;
mod lesson;
mod measure;
mod recipe;
mod step;

use crate::lesson::{Run, RunPlace};
use crate::source::MappedText;
pub use course::{CardsWanted, ClassWanted, Course, HandoutWanted, Place};
pub use lesson::{Aside, Lesson, Rescue, Spoken, Stretch, Taught, Term};
pub use measure::{Measure, MeasureId, Owner};
pub use recipe::{
    BroughtBy, Diluted, Equipment, From, Ingredient, Keeping, Kit, Leftover, Product, Recipe, ShareBasis, Strength,
};
pub use step::{Part, PartAmount, Pasteurised, Step};

/// A text in a block that a reader sees. Its words are read like any other.
pub type Visible = MappedText;

/// Adds a block's text to the texts that are read.
pub(crate) fn block_run(text: &Visible, step: Option<usize>) -> Run {
    Run { text: text.clone(), place: RunPlace::Block, step }
}
