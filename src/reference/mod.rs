//! Facts of the trade as data: units, pantry, facts, sources. Errors in the tables get places like any lesson's.

pub(crate) mod load;
mod pantry;
mod units;

pub use load::{BUILT_IN, CourseTables, Fact, Reference, Source};
pub use pantry::{Pantry, PantryEntry};
pub use units::Oven;
