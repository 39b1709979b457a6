//! Sums of the trade: heat, mixing, boiling, holds, brine, cultures, bread, jam, curd.
//!
//! Plain functions over `f64`, the unit in the name of every argument and result. Tables are handed in: they stand in
//! [`Figures`](crate::reference::Figures), each row with its source. What cannot be is a [`SumFault`]; no finite input
//! gives a number that is none, and none panics. Each is written with + − × ÷ and `sqrt`, and `powf`, `exp` and `ln`
//! where there is no other way, so that a script can repeat the same operations in the same order.
//!
//! | file | answers |
//! | --- | --- |
//! | `composition` | how much heat a food takes, from what it is made of |
//! | `warming` | energy and time to warm, ice to cool, a cooling curve from two readings, stages of cooling |
//! | `mixing` | what warm and cold make together, hot water for a target, water for a dough |
//! | `boiling` | pressure and boiling point by altitude, setting point of jam, added canning time |
//! | `holding` | whether a hold meets a legal pair; equivalent times, for illustration alone |
//! | `brine` | strength on three bases, salt to weigh, density, salometer, dilution, saturation |
//! | `culture` | doses of rennet, starter and acid |
//! | `bread` | baker's percentages both ways, hydration, leaven, yeast of another kind |
//! | `jam` | boiling point by strength, yield by solids, fruit and solids against the law |
//! | `dairy` | yield of curd, butter and strained yoghurt; usual ranges |
//!
//! ```
//! use pottle::kitchen::sums::{boiling_celsius, hot_share};
//!
//! // A village at 1000 m; a bowl at 40 °C from boiling water and water of 10 °C.
//! let boiling = boiling_celsius(1000.0).unwrap();
//! assert!((boiling - 96.6).abs() < 0.1);
//! let share = hot_share(boiling, 10.0, 40.0).unwrap();
//! assert!((share - 0.346).abs() < 0.001);
//! ```
//!
//! None of them makes food safe. They teach; the law, its tables and a tested recipe come first.

mod boiling;
mod bread;
mod brine;
mod composition;
mod culture;
mod dairy;
mod fault;
mod holding;
mod jam;
mod lines;
mod mixing;
mod warming;

pub use boiling::{
    SETTING_RISE_KELVIN, boiling_celsius, canning_extra_minutes, pressure_kpa, saturation_celsius, setting_celsius,
};
pub use bread::{
    DoughAmounts, LeavenParts, amounts_for_dough, bakers_percents, converted_yeast_g, hydration_percent, leaven_parts,
};
pub use brine::{
    Basis, Dilution, brine_kg_per_m3, dilution, percent_from_g_per_l, percent_from_salometer, percent_from_water,
    percent_of_basis, salometer_degrees, salt_g_per_kg_water, salt_g_per_l, salt_kg_for_water, salt_kg_to_strengthen,
    saturation_percent,
};
pub use composition::{Fractions, blend, density_kg_per_m3, specific_heat_kj};
pub use culture::{acid_ml, culture_g, dose_for_litres, rennet_ml};
pub use dairy::{
    CaseinFat, YieldVerdict, butter_kg, curd_kg_per_100_kg, drained_kg, fat_in_dry_matter_percent, yield_verdict,
};
pub use fault::SumFault;
pub use holding::{equivalent_seconds, implied_z_kelvin, least_hold_seconds, met_hold, pasteurisation_units};
pub use jam::{
    JamFacts, JamVerdict, boiling_rise_kelvin, brix_for_rise, fruit_g_per_kg, jam_verdict, jam_yield_g, syrup_g_per_ml,
};
pub use mixing::{Part, dough_water_celsius, friction_kelvin, hot_share, mixed_celsius, top_up_kg};
pub use warming::{
    Bath, StageTime, bath_celsius_after, bath_seconds_to, cooling_stages, energy_kj, energy_kj_of, ice_kg,
    mean_specific_heat_kj, seconds_to_warm,
};
