//! Baker's percentages: everything as a share of the flour.

use super::fault::{SumFault, amount, positive, within};
use crate::reference::Yeast;

/// Each amount as a percentage of the flour: 100 a/flour, in the order given. Arithmetic, exact.
pub fn bakers_percents(flour_g: f64, amounts_g: &[f64]) -> Result<Vec<f64>, SumFault> {
    positive("flour, g", flour_g)?;
    amounts_g.iter().map(|grams| Ok(100.0 * amount("amount, g", *grams)? / flour_g)).collect()
}

/// What goes into a dough.
#[derive(Debug, Clone, PartialEq)]
pub struct DoughAmounts {
    /// Flour.
    pub flour_g: f64,
    /// The rest, in the order of the percentages.
    pub others_g: Vec<f64>,
}

/// Amounts for a mass of dough from percentages of the flour (the flour's own 100 left out):
/// flour = 100 dough/(100 + Σ p), each = flour p/100. Arithmetic, exact; up to 1000 % each.
pub fn amounts_for_dough(dough_g: f64, percents: &[f64]) -> Result<DoughAmounts, SumFault> {
    amount("dough, g", dough_g)?;
    let mut total = 100.0;
    for percent in percents {
        total += within("percentage of the flour", *percent, 0.0, 1000.0)?;
    }
    let flour_g = 100.0 * dough_g / total;
    Ok(DoughAmounts { flour_g, others_g: percents.iter().map(|percent| flour_g * percent / 100.0).collect() })
}

/// Hydration, %: 100 Σ (liquid · its share of water)/flour. Water counts whole (1.0), milk as about 0.88.
pub fn hydration_percent(flour_g: f64, liquids: &[(f64, f64)]) -> Result<f64, SumFault> {
    positive("flour, g", flour_g)?;
    let mut water_g = 0.0;
    for (grams, share) in liquids {
        water_g += amount("liquid, g", *grams)? * within("share of water", *share, 0.0, 1.0)?;
    }
    Ok(100.0 * water_g / flour_g)
}

/// Flour and water that stand in a leaven.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeavenParts {
    /// Flour in it.
    pub flour_g: f64,
    /// Water in it.
    pub water_g: f64,
}

/// Flour and water in a leaven of a hydration: flour = 100 l/(100 + h). Arithmetic, exact; 10 to 500 %.
pub fn leaven_parts(leaven_g: f64, hydration_percent: f64) -> Result<LeavenParts, SumFault> {
    amount("leaven, g", leaven_g)?;
    within("hydration, %", hydration_percent, 10.0, 500.0)?;
    let flour_g = 100.0 * leaven_g / (100.0 + hydration_percent);
    Ok(LeavenParts { flour_g, water_g: leaven_g - flour_g })
}

/// Yeast of one kind that raises like an amount of another: g to/from, by the table (common practice: fresh 1, active
/// dry 0.4, instant 0.33).
pub fn converted_yeast_g(yeasts: &[Yeast], grams: f64, from: &str, to: &str) -> Result<f64, SumFault> {
    amount("yeast, g", grams)?;
    let of = |id: &str| {
        let row = yeasts.iter().find(|yeast| yeast.id == id).ok_or(SumFault::Impossible("no such kind of yeast"))?;
        within("yeast for 1 of fresh", row.per_fresh, 0.01, 100.0)
    };
    Ok(grams * of(to)? / of(from)?)
}
