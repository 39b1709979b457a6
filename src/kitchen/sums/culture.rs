//! Doses of rennet, starter and acid. Sums of proportion: the pack's own instructions win.

use super::fault::{SumFault, amount, within};

/// Rennet, mL: litres · IMCU a litre/(IMCU a millilitre).
///
/// 1 to 300 IMCU for a litre of milk; usual are 30 to 50 (common practice). Strengths from 20 to 2000 IMCU/mL; single
/// strength is about 200 (trade definition).
pub fn rennet_ml(milk_litres: f64, imcu_per_litre: f64, imcu_per_ml: f64) -> Result<f64, SumFault> {
    amount("milk, L", milk_litres)?;
    within("dose, IMCU/L", imcu_per_litre, 1.0, 300.0)?;
    within("strength, IMCU/mL", imcu_per_ml, 20.0, 2000.0)?;
    Ok(milk_litres * imcu_per_litre / imcu_per_ml)
}

/// Any dose by the litre: litres · dose. 0 to 200 of its unit for a litre; acid, calcium chloride, lipase, powders.
pub fn dose_for_litres(milk_litres: f64, dose_per_litre: f64) -> Result<f64, SumFault> {
    Ok(amount("milk, L", milk_litres)? * within("dose for a litre", dose_per_litre, 0.0, 200.0)?)
}

/// Live starter, g, as a share of the milk by weight: 1000 m p/100. 0 to 20 %; usual are 1 to 5 % (from memory).
pub fn culture_g(milk_kg: f64, percent: f64) -> Result<f64, SumFault> {
    Ok(1000.0 * amount("milk, kg", milk_kg)? * within("share, %", percent, 0.0, 20.0)? / 100.0)
}

/// Solution or juice that holds so much acid, mL: 100 g/(grams in 100 mL).
///
/// 0.1 to 100 g in 100 mL. Lemon juice holds about 5 or 6 g, vinegar what its label says; both vary (common practice).
pub fn acid_ml(acid_g: f64, g_per_100_ml: f64) -> Result<f64, SumFault> {
    Ok(100.0 * amount("acid, g", acid_g)? / within("strength, g in 100 mL", g_per_100_ml, 0.1, 100.0)?)
}
