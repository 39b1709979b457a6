//! What follows from a measure: scaling it, and rounding it to what a kitchen can measure.
//!
//! Owns the steps of scales, jugs, spoon and cup sets, rulers, timers and dials. Knows no lesson and no page.
//!
//! A [`Kitchen`] is a reader's drawer: their [`Reader`] system of measures and, by their home, their spoons. It turns
//! an exact amount into [`Measured`]: the words, the parts to measure out, the exact and the rounded value, and the
//! error, so that a page can say what rounding moved. Everything is an exact ratio; nothing is rounded twice.
//!
//! ```
//! use pottle::kitchen::{Ask, Kitchen, Reader, Tool};
//! use pottle::quantity::{Dimension, Exact, Home};
//! use pottle::reference::Reference;
//!
//! let reference = Reference::built_in(Home::Uk);
//! let kitchen = Kitchen::new(&reference, Reader::Metric, Home::Uk).unwrap();
//! let a_third_of_a_pint = Exact::parse("568.26125").unwrap() / Exact::whole(3);
//! let ask = Ask { tool: Tool::Jug, ..Ask::default() };
//! let measured = kitchen.measure(Dimension::Volume, a_third_of_a_pint, &ask).unwrap();
//! assert_eq!(measured.text, "190\u{a0}mL");
//! assert_eq!(measured.error.to_decimal(4), "0.0031");
//! ```
//!
//! What holds, and is tested: an amount is never moved by more than it reports; two amounts asked for alike never
//! change places; a part that is printed reads back as the same value.

mod balance;
mod bulk;
mod cautions;
mod class;
mod clock;
mod curve;
mod heat;
mod hob;
mod keeping;
mod leftovers;
mod live;
mod live_data;
mod measured;
mod packs;
mod pasteurising;
mod plan;
mod room;
mod rounding;
mod scale;
mod spoons;
pub mod sums;
mod systems;
mod ways;
mod words;
mod worksheet;

pub use balance::{Balance, Weight, balance};
pub use bulk::{Bulk, End, Taking, bulk};
pub(crate) use cautions::PACKING;
pub use cautions::{Caution, CautionPlace, cautions, shown_at};
pub use class::{ClassAsk, ClassLesson, ClassPlan, HandedOn, Piece, Portion, Purchase, class_plan};
pub use clock::hours_and_minutes;
pub use curve::{Leg, Point, curve};
pub use heat::{Degrees, gas_mark};
pub use hob::{Reckoned, Takes, about, boils_below, is_pot, reckoned, reckoned_by, sets_elsewhere};
pub use keeping::{Cold, cold, is_perishable, is_sour_or_dry, label_mark, law_sets_use_by};
pub use leftovers::{Account, Source, accounts, source};
pub use live::{Choice, Kitchens, LiveMeasure, LiveMention, MeasuredBy, Role, Shown, Thermometer};
pub use live_data::{LiveData, live_number, live_ticks};
pub use measured::{Ask, Care, Measured, MeasuredRange, Method, Part, Tool, Unmeasurable};
pub use packs::{PackSize, choose};
pub use pasteurising::{Claim, Worth, claim, hold_words, lasting};
pub use plan::{Bounds, Plan, Seconds, Slot, plan};
pub use room::{Content, Filling, ROOM, Vessel, contents, fillings, holds, vessels};
pub use rounding::{
    BEAKER, FINE_SCALE, FLUID_OUNCES, INCHES, JUG, Ladder, MILLIMETRES, OUNCES, PINTS, QUARTS, Rung, SCALE, SECONDS,
};
pub use scale::{follows_scale, scale};
pub use systems::{Kitchen, Reader};
pub use ways::{Fork, Walk, forks, left_out, only_way, walks};
pub use words::Form;
pub use worksheet::{Worksheet, worksheets};
