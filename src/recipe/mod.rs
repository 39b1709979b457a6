//! The typed model: what a course's blocks mean.

mod captions;
mod care;
mod chapters;
mod class;
mod closed;
mod common;
mod context;
mod course;
mod drawings;
mod glossary;
mod ingredients;
mod keeping;
mod lesson;
mod links;
mod lower;
mod memory;
mod model;
mod names;
mod papers;
mod parts;
mod pictures;
mod place;
mod step;
mod sum;
mod table;
mod terms;
mod yields;

pub use care::{Deed, Eaten, FoodLaw, Guests, Overrule, Sanitiser, SanitiserKind, Tested};
pub use keeping::{Limit, Mark, Pack, ProductKind};
pub use links::term_of;
pub(crate) use lower::lower_again;
pub use lower::lower_course;
pub(crate) use memory::Key;
pub use memory::Memory;
pub use model::{
    Aside, BroughtBy, CardsWanted, ClassWanted, Course, Diluted, Equipment, From, HandoutWanted, Ingredient, Keeping,
    Kit, Leftover, Lesson, Measure, MeasureId, Owner, Part, PartAmount, Pasteurised, Place, Product, Recipe, Rescue,
    ShareBasis, Spoken, Step, Strength, Stretch, Taught, Term, Visible,
};
pub(crate) use names::{counted_in, same_thing, words_in};
pub use papers::batches;
pub use pictures::{fault as picture_fault, size as picture_size};
pub use sum::{Sum, SumKind, SumScale, SumValue};
pub use terms::{TermIndex, term_named};
