//! What warm and cold make together.

use super::fault::{SumFault, amount, kitchen_celsius, positive, within};

/// Something that is poured in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Mass.
    pub kg: f64,
    /// Specific heat, kJ/(kg·K).
    pub kj_per_kg_kelvin: f64,
    /// Temperature.
    pub celsius: f64,
}

impl Part {
    /// kJ for each kelvin.
    fn kj_per_kelvin(&self) -> Result<f64, SumFault> {
        amount("mass, kg", self.kg)?;
        within("specific heat, kJ/(kg·K)", self.kj_per_kg_kelvin, 0.1, 10.0)?;
        kitchen_celsius("temperature, °C", self.celsius)?;
        Ok(self.kg * self.kj_per_kg_kelvin)
    }
}

/// Temperature of parts that are put together, °C: Σ m c t/Σ m c.
///
/// A balance of energy (published); the bowl and the room are left out, and nothing melts, freezes or boils.
pub fn mixed_celsius(parts: &[Part]) -> Result<f64, SumFault> {
    let (mut heat, mut weight) = (0.0, 0.0);
    for part in parts {
        let kj_per_kelvin = part.kj_per_kelvin()?;
        heat += kj_per_kelvin * part.celsius;
        weight += kj_per_kelvin;
    }
    positive("mass of all, kg", weight)?;
    Ok(heat / weight)
}

/// Which part of a mix of hot and cold of the same stuff must be hot for a target: (target − cold)/(hot − cold).
///
/// By weight; for water also by volume, to 4 %. A balance of energy (published).
pub fn hot_share(hot_celsius: f64, cold_celsius: f64, target_celsius: f64) -> Result<f64, SumFault> {
    kitchen_celsius("hot, °C", hot_celsius)?;
    kitchen_celsius("cold, °C", cold_celsius)?;
    kitchen_celsius("target, °C", target_celsius)?;
    if hot_celsius - cold_celsius < 0.01 {
        return Err(SumFault::Impossible("the hot is no hotter than the cold"));
    }
    if target_celsius < cold_celsius || target_celsius > hot_celsius {
        return Err(SumFault::Impossible("the target does not lie between the two"));
    }
    Ok((target_celsius - cold_celsius) / (hot_celsius - cold_celsius))
}

/// How much of something at another temperature brings a bath to a target, kg: m c (target − t)/(c' (t' − target)).
///
/// Hot water warms, cold water cools. A balance of energy (published).
pub fn top_up_kg(
    bath: &Part,
    added_celsius: f64,
    added_kj_per_kg_kelvin: f64,
    target_celsius: f64,
) -> Result<f64, SumFault> {
    let kj_per_kelvin = bath.kj_per_kelvin()?;
    kitchen_celsius("added, °C", added_celsius)?;
    within("specific heat of what is added, kJ/(kg·K)", added_kj_per_kg_kelvin, 0.1, 10.0)?;
    kitchen_celsius("target, °C", target_celsius)?;
    let (wanted, given) = (target_celsius - bath.celsius, added_celsius - target_celsius);
    if wanted == 0.0 {
        return Ok(0.0);
    }
    if given.abs() < 0.01 || wanted * given < 0.0 {
        return Err(SumFault::Impossible("the target does not lie between the two"));
    }
    Ok(kj_per_kelvin * wanted / (added_kj_per_kg_kelvin * given))
}

/// Water for a dough of a temperature, °C: (n + 1) dough − Σ others − friction, the factor being one more than the
/// number of other things (flour, room, leaven).
///
/// `friction_kelvin` is a *difference*: 8 °F of friction are 4.4 K, never −13 °C. Common practice of bakeries,
/// published in baking-school examples; one bowl differs from another. The water must come out between freezing and
/// boiling.
pub fn dough_water_celsius(dough_celsius: f64, others_celsius: &[f64], friction_kelvin: f64) -> Result<f64, SumFault> {
    within("dough, °C", dough_celsius, 0.0, 60.0)?;
    within("friction, K", friction_kelvin, 0.0, 40.0)?;
    let mut water = dough_celsius * (within("other things", others_celsius.len() as f64, 1.0, 9.0)? + 1.0);
    for celsius in others_celsius {
        water -= kitchen_celsius("flour, room or leaven, °C", *celsius)?;
    }
    water -= friction_kelvin;
    if !(0.0..=100.0).contains(&water) {
        return Err(SumFault::Impossible("no water is so cold or so hot"));
    }
    Ok(water)
}

/// Friction of a mixer from a dough that was made, K: (n + 1) dough − Σ others − water. The same rule turned round.
pub fn friction_kelvin(dough_celsius: f64, others_celsius: &[f64], water_celsius: f64) -> Result<f64, SumFault> {
    within("dough, °C", dough_celsius, 0.0, 60.0)?;
    within("water, °C", water_celsius, 0.0, 100.0)?;
    let mut friction = dough_celsius * (within("other things", others_celsius.len() as f64, 1.0, 9.0)? + 1.0);
    for celsius in others_celsius {
        friction -= kitchen_celsius("flour, room or leaven, °C", *celsius)?;
    }
    Ok(friction - water_celsius)
}
