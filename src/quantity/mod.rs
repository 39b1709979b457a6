//! Kitchen quantities: exact numbers, typed dimensions, units as data, amounts.
//!
//! Nothing here knows a unit's name: [`Units`] is a table that `reference` fills from `shared/units.toml`.

mod amount;
mod dimension;
mod exact;
pub mod kitchen;
mod number;
mod openers;
pub mod print;
mod style;
mod text;
mod unit;

pub use amount::{Amount, Bound, End, Per, Quantity};
pub use dimension::Dimension;
pub use exact::{Exact, reckoned};
pub use number::{Number, NumberForm};
pub(crate) use openers::Openers;
pub use text::{AmountError, parse_amount, split_amount};
pub(crate) use text::{
    OPENERS, Values, is_vessel, phrase, read_between, read_per, read_prefix, read_suffix, read_values,
};
pub(crate) use unit::fold as fold_letter;
pub use unit::{Convention, GasMark, Home, System, Unit, UnitId, UnitMatch, Units, UnitsBuilder};
