//! The typed model: what a course's blocks mean.

mod captions;
mod chapters;
mod class;
mod context;
mod course;
mod glossary;
mod ingredients;
mod lesson;
mod links;
mod lower;
mod model;
mod names;
mod papers;
mod parts;
mod step;
mod sum;
mod table;
mod yields;

pub use lower::lower_course;
pub use model::{
    Aside, BroughtBy, CardsWanted, ClassWanted, Course, Equipment, From, HandoutWanted, Ingredient, Keeping, Leftover,
    Lesson, Measure, MeasureId, Owner, Part, PartAmount, Product, Recipe, Rescue, Spoken, Step, Stretch, Term, Visible,
};
pub(crate) use names::counted_in;
pub use papers::batches;
pub use sum::{Sum, SumKind, SumScale, SumValue};
