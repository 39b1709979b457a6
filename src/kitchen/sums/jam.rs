//! Boiling point by strength, yield by solids, and what the law asks of jam.

use super::fault::{SumFault, amount, percent, positive, within};
use super::lines::between;
use crate::reference::{FruitPer, JamLaw, Syrup};

/// How far above water a syrup of sucrose boils, K, between the rows of the table. 0 to 85 °Brix; published.
///
/// Jam holds acid, pectin and other sugars as well, and boils a little higher at the same strength.
pub fn boiling_rise_kelvin(syrups: &[Syrup], brix: f64) -> Result<f64, SumFault> {
    between("strength, °Brix", syrups.iter().map(|row| (row.brix, row.rise_kelvin)), brix)
}

/// Strength of the syrup of sucrose that boils so far above water, °Brix: the other way round.
pub fn brix_for_rise(syrups: &[Syrup], rise_kelvin: f64) -> Result<f64, SumFault> {
    between("rise of the boiling point, K", syrups.iter().map(|row| (row.rise_kelvin, row.brix)), rise_kelvin)
}

/// Apparent density of a syrup of sucrose at 20 °C, g/mL, between the rows of the table. 0 to 85 °Brix; published.
pub fn syrup_g_per_ml(syrups: &[Syrup], brix: f64) -> Result<f64, SumFault> {
    between("strength, °Brix", syrups.iter().map(|row| (row.brix, row.g_per_ml)), brix)
}

/// Jam that comes of fruit and sugar, g: (f s/100 + sugar)/(target/100), by a balance of solids, exact.
///
/// What boils away is the rest. Nothing stays in the pot or on the spoon; take off a few parts in 100. A target weaker
/// than what went in is impossible: boiling adds no water.
pub fn jam_yield_g(
    fruit_g: f64,
    fruit_solids_percent: f64,
    sugar_g: f64,
    target_solids_percent: f64,
) -> Result<f64, SumFault> {
    amount("fruit, g", fruit_g)?;
    percent("solids of the fruit, %", fruit_solids_percent)?;
    amount("sugar, g", sugar_g)?;
    within("solids of the jam, %", target_solids_percent, 1.0, 100.0)?;
    let solids_g = fruit_g * fruit_solids_percent / 100.0 + sugar_g;
    let jam_g = 100.0 * solids_g / target_solids_percent;
    if jam_g > fruit_g + sugar_g {
        return Err(SumFault::Impossible("what went in is stronger already"));
    }
    Ok(jam_g)
}

/// Fruit in a kilogram of jam, g: 1000 f/jam. More than 1000 where fruit was boiled down. Arithmetic, exact.
pub fn fruit_g_per_kg(fruit_g: f64, jam_g: f64) -> Result<f64, SumFault> {
    Ok(1000.0 * amount("fruit, g", fruit_g)? / positive("jam, g", jam_g)?)
}

/// A jam as made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JamFacts {
    /// Fruit that went in.
    pub fruit_g: f64,
    /// Sugar and other sweetener that went in.
    pub sweetener_g: f64,
    /// What came out.
    pub jam_g: f64,
    /// Its soluble solids.
    pub solids_percent: f64,
}

/// A jam against one row of the law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JamVerdict {
    /// Fruit in a kilogram of what the law counts by.
    pub fruit_g_per_kg: f64,
    /// Whether that is enough.
    pub fruit_enough: bool,
    /// Whether the soluble solids are enough.
    pub solids_enough: bool,
}

/// A jam against one row of the law: fruit by the kilogram of what that law counts by, and soluble solids.
///
/// Minima of composition, published (rows from memory say so); additives, names and labels have rules of their own.
pub fn jam_verdict(law: &JamLaw, jam: &JamFacts) -> Result<JamVerdict, SumFault> {
    amount("sweetener, g", jam.sweetener_g)?;
    percent("solids of the jam, %", jam.solids_percent)?;
    let whole_g = match law.per {
        FruitPer::Finished => jam.jam_g,
        FruitPer::Ingredients => jam.fruit_g + jam.sweetener_g,
    };
    let fruit = fruit_g_per_kg(jam.fruit_g, whole_g)?;
    Ok(JamVerdict {
        fruit_g_per_kg: fruit,
        fruit_enough: fruit >= law.fruit_g_per_kg,
        solids_enough: jam.solids_percent >= law.solids_percent,
    })
}
