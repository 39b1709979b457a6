//! Facts of the trade as data: units, pantry, facts, sources. Errors in the tables get places like any lesson's.

mod cautions;
mod facts;
mod figures;
pub(crate) mod load;
mod packs;
mod pantry;
mod pantry_table;
mod status;
#[cfg(test)]
mod tests;
mod units;

pub use cautions::{CautionRule, CautionSeverity, Cautions, DeedSign, Limit, Scope, Test, Wanted};
pub use facts::{Fact, Source};
pub use figures::{
    BrineDensity, CanningStep, CoolingStage, Dose, Figures, Food, FruitPer, HeatBand, Hold, JamLaw, Salometer,
    Saturation, Syrup, Yeast, YieldRange,
};
pub use load::{BUILT_IN, CourseTables, Manner, Reference};
pub use packs::{Pack, Section};
pub use pantry::{EU_ALLERGENS, Pantry, PantryEntry, Storage, Treatment, US_ALLERGENS};
pub use status::Status;
pub use units::{EvidenceOf, Oven, UnitEvidence};
