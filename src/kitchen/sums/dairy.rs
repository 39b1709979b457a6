//! Yield of curd, butter and strained yoghurt.

use super::fault::{SumFault, amount, percent, within};
use crate::reference::YieldRange;

/// Coefficients of the casein-fat formula for the yield of curd.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CaseinFat {
    /// Part of the fat that stays in the curd.
    pub fat_kept: f64,
    /// Casein lost to the whey, in 100 parts of milk.
    pub casein_lost: f64,
    /// What salt and other whey solids add.
    pub salts: f64,
}

impl CaseinFat {
    /// The published coefficients, made for one hard kind of curd: 0.93, 0.1, 1.09.
    pub const PUBLISHED: CaseinFat = CaseinFat { fat_kept: 0.93, casein_lost: 0.1, salts: 1.09 };
}

/// Curd from 100 kg of milk, kg: (kept F + C − lost) salts/(1 − W), F and C in 100 parts of milk, W the part of water
/// in the curd.
///
/// Published formula. F 0 to 15, C 0.5 to 8, W 0.2 to 0.85. Its coefficients were made for firm curds; for wet ones it
/// leaves out the whey proteins, so take it for a first guess.
pub fn curd_kg_per_100_kg(
    fat_percent: f64,
    casein_percent: f64,
    moisture_part: f64,
    terms: CaseinFat,
) -> Result<f64, SumFault> {
    within("fat of the milk, %", fat_percent, 0.0, 15.0)?;
    within("casein of the milk, %", casein_percent, 0.5, 8.0)?;
    within("water in the curd, part of 1", moisture_part, 0.2, 0.85)?;
    within("fat kept, part of 1", terms.fat_kept, 0.0, 1.0)?;
    within("casein lost, %", terms.casein_lost, 0.0, 0.5)?;
    within("factor for salts", terms.salts, 1.0, 1.5)?;
    Ok((terms.fat_kept * fat_percent + casein_percent - terms.casein_lost) * terms.salts / (1.0 - moisture_part))
}

/// Butter from cream, kg: m F_cream kept/F_butter. A balance of fat, exact; `fat_kept` is the part that does not go
/// off with the buttermilk, 1 without losses, about 0.99 well churned (from memory).
pub fn butter_kg(
    cream_kg: f64,
    cream_fat_percent: f64,
    butter_fat_percent: f64,
    fat_kept: f64,
) -> Result<f64, SumFault> {
    amount("cream, kg", cream_kg)?;
    percent("fat of the cream, %", cream_fat_percent)?;
    within("fat of the butter, %", butter_fat_percent, 50.0, 100.0)?;
    within("fat kept, part of 1", fat_kept, 0.0, 1.0)?;
    if cream_fat_percent > butter_fat_percent {
        return Err(SumFault::Impossible("the cream is fatter than the butter"));
    }
    Ok(cream_kg * cream_fat_percent * fat_kept / butter_fat_percent)
}

/// What stays in the cloth when something drains, kg, by a balance of solids, exact: m (s − w)/(t − w), where s, t
/// and w are the solids in 100 parts of what goes in, of what is wanted, and of the whey that runs off.
pub fn drained_kg(kg: f64, solids_percent: f64, wanted_percent: f64, whey_percent: f64) -> Result<f64, SumFault> {
    amount("mass, kg", kg)?;
    percent("solids before, %", solids_percent)?;
    percent("solids wanted, %", wanted_percent)?;
    percent("solids of the whey, %", whey_percent)?;
    if whey_percent >= solids_percent || wanted_percent < solids_percent {
        return Err(SumFault::Impossible("draining leaves more solids in the cloth than in the whey"));
    }
    Ok(kg * (solids_percent - whey_percent) / (wanted_percent - whey_percent))
}

/// Fat in the dry matter, %: 100 F/(100 − W). Arithmetic, exact.
pub fn fat_in_dry_matter_percent(fat_percent: f64, moisture_percent: f64) -> Result<f64, SumFault> {
    percent("fat, %", fat_percent)?;
    within("moisture, %", moisture_percent, 0.0, 99.0)?;
    if fat_percent + moisture_percent > 100.0 {
        return Err(SumFault::Impossible("fat and water are more than the whole"));
    }
    Ok(100.0 * fat_percent / (100.0 - moisture_percent))
}

/// Where a yield stands beside what is usual.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum YieldVerdict {
    /// Less than usual.
    Low,
    /// Usual.
    Usual,
    /// More than usual.
    High,
}

/// A yield against the usual range of a product; none where the table lacks it. Ranges are common practice or from
/// memory, and a tenth to either side still counts as usual: milk and draining move a yield by that much.
pub fn yield_verdict(
    yields: &[YieldRange],
    product: &str,
    from_kg: f64,
    made_kg: f64,
) -> Result<Option<YieldVerdict>, SumFault> {
    within("what goes in, kg", from_kg, 1e-6, 1e9)?;
    amount("what comes out, kg", made_kg)?;
    let part = made_kg / from_kg;
    Ok(yields.iter().find(|row| row.id == product).map(|row| {
        if part < 0.9 * row.low {
            YieldVerdict::Low
        } else if part > 1.1 * row.high {
            YieldVerdict::High
        } else {
            YieldVerdict::Usual
        }
    }))
}
