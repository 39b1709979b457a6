//! Strength of brine on three bases, salt to weigh, density, dilution.
//!
//! "5 % brine" means three things, which differ by a twentieth: say which. Everything here goes through parts of salt
//! in 100 parts of brine by weight, which neither temperature nor density moves.

use super::fault::{SumFault, amount, percent, positive, within};
use super::lines::{between, piece};
use crate::reference::{BrineDensity, Saturation};

/// What a strength in percent is a share of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Salt in 100 g of brine.
    Weight,
    /// Grams of salt in 100 mL of brine at 20 °C.
    Volume,
    /// Grams of salt to 100 g of water.
    Water,
}

/// Strength by weight, in 100 parts of brine, of a strength on any basis.
///
/// By volume: within the table of densities (20 °C).
pub fn percent_of_basis(densities: &[BrineDensity], basis: Basis, strength: f64) -> Result<f64, SumFault> {
    match basis {
        Basis::Weight => percent("strength, %", strength),
        Basis::Volume => percent_from_g_per_l(densities, 10.0 * strength),
        Basis::Water => percent_from_water(10.0 * strength),
    }
}

/// Strength by weight, %, of so much salt in a kilogram of water: 100 s/(1000 + s). A balance of masses, exact.
pub fn percent_from_water(g_per_kg_water: f64) -> Result<f64, SumFault> {
    amount("salt in a kilogram of water, g", g_per_kg_water)?;
    Ok(100.0 * g_per_kg_water / (1000.0 + g_per_kg_water))
}

/// Salt to a kilogram of water, g, for a strength by weight: 1000 p/(100 − p). A balance of masses, exact.
pub fn salt_g_per_kg_water(percent_by_weight: f64) -> Result<f64, SumFault> {
    within("strength, %", percent_by_weight, 0.0, 99.0)?;
    Ok(1000.0 * percent_by_weight / (100.0 - percent_by_weight))
}

/// Salt to weigh out, kg, for so much water and a strength by weight: w p/(100 − p).
pub fn salt_kg_for_water(percent_by_weight: f64, water_kg: f64) -> Result<f64, SumFault> {
    Ok(salt_g_per_kg_water(percent_by_weight)? * amount("water, kg", water_kg)? / 1000.0)
}

/// Salt that makes a brine stronger, kg: b (to − from)/(100 − to). A balance of masses, exact.
pub fn salt_kg_to_strengthen(brine_kg: f64, from_percent: f64, to_percent: f64) -> Result<f64, SumFault> {
    amount("brine, kg", brine_kg)?;
    within("strength before, %", from_percent, 0.0, 99.0)?;
    within("strength after, %", to_percent, 0.0, 99.0)?;
    if to_percent < from_percent {
        return Err(SumFault::Impossible("salt makes no brine weaker"));
    }
    Ok(brine_kg * (to_percent - from_percent) / (100.0 - to_percent))
}

/// Density of brine at 20 °C, kg/m³, by strength by weight: between the rows of the table in straight lines, which is
/// 0.2 kg/m³ off at most. 0 to 26 %; a published handbook table.
pub fn brine_kg_per_m3(densities: &[BrineDensity], percent_by_weight: f64) -> Result<f64, SumFault> {
    between("strength, %", points(densities), percent_by_weight)
}

fn points(densities: &[BrineDensity]) -> impl Iterator<Item = (f64, f64)> + Clone {
    densities.iter().map(|row| (row.percent, row.kg_per_m3))
}

/// Salt in a litre of brine at 20 °C, g, by strength by weight: p ρ/100. As [`brine_kg_per_m3`].
pub fn salt_g_per_l(densities: &[BrineDensity], percent_by_weight: f64) -> Result<f64, SumFault> {
    Ok(percent_by_weight * brine_kg_per_m3(densities, percent_by_weight)? / 100.0)
}

/// Strength by weight, %, of so much salt in a litre of brine at 20 °C: the other way round, without steps.
///
/// On the line ρ = ρ₀ + s (p − p₀) between two rows, g = p ρ/100 is a square of p.
pub fn percent_from_g_per_l(densities: &[BrineDensity], g_per_l: f64) -> Result<f64, SumFault> {
    let grams = densities.iter().map(|row| (row.percent * row.kg_per_m3 / 100.0, row.percent));
    let [(_, below), (_, above)] = piece("salt in a litre, g", grams, g_per_l)?;
    let (first, last) = (brine_kg_per_m3(densities, below)?, brine_kg_per_m3(densities, above)?);
    if above <= below {
        return Ok(above);
    }
    let slope = (last - first) / (above - below);
    if slope <= 0.0 {
        return Err(SumFault::Impossible("stronger brine must be denser"));
    }
    let at_nought = first - slope * below;
    Ok(((at_nought * at_nought + 400.0 * slope * g_per_l).sqrt() - at_nought) / (2.0 * slope))
}

/// Degrees of a salometer: 100 p/full, where `full_percent` is the strength its 100 degrees mean (26.395 % at 60 °F
/// on the usual one, published; 25 % on some). 0 to 105 degrees.
pub fn salometer_degrees(percent_by_weight: f64, full_percent: f64) -> Result<f64, SumFault> {
    within("strength at 100 degrees, %", full_percent, 20.0, 30.0)?;
    within("degrees", 100.0 * percent_by_weight / full_percent, 0.0, 105.0)
}

/// Strength by weight, %, of a reading on a salometer. As [`salometer_degrees`].
pub fn percent_from_salometer(degrees: f64, full_percent: f64) -> Result<f64, SumFault> {
    within("degrees", degrees, 0.0, 105.0)?;
    within("strength at 100 degrees, %", full_percent, 20.0, 30.0)?;
    Ok(degrees * full_percent / 100.0)
}

/// What to put together for a weaker solution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dilution {
    /// Of the strong one.
    pub strong: f64,
    /// Of water.
    pub water: f64,
}

/// Strong solution and water for an amount of a weaker one: c₁ V₁ = c₂ V₂.
///
/// By weight, with strengths by weight, it is exact. By volume, with strengths by volume, it is common practice: the
/// volumes of strong salt and acid shrink a little as they meet water.
pub fn dilution(strong_percent: f64, weak_percent: f64, amount_wanted: f64) -> Result<Dilution, SumFault> {
    within("strength of the strong one, %", strong_percent, 1e-6, 100.0)?;
    percent("strength of the weak one, %", weak_percent)?;
    amount("amount", amount_wanted)?;
    if weak_percent > strong_percent {
        return Err(SumFault::Impossible("water makes nothing stronger"));
    }
    let strong = amount_wanted * weak_percent / strong_percent;
    Ok(Dilution { strong, water: amount_wanted - strong })
}

/// The strongest brine there can be at a temperature, % by weight, between the rows of the table. 0 to 100 °C; its row
/// for 25 °C is published, the others are from memory.
pub fn saturation_percent(saturations: &[Saturation], celsius: f64) -> Result<f64, SumFault> {
    let rows = saturations.iter().map(|row| (row.celsius, row.g_per_kg_water));
    let g_per_kg = between("temperature, °C", rows, celsius)?;
    percent_from_water(positive("salt in a kilogram of water, g", g_per_kg)?)
}
