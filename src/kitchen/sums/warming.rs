//! Energy and time to warm, ice to cool, and a cooling curve from two readings.

use super::composition::{Fractions, specific_heat_kj};
use super::fault::{SumFault, amount, kitchen_celsius, within};
use crate::reference::CoolingStage;

/// Heat that melts ice, kJ/kg at 0 °C. Published (IAPWS; 333.55 in full, 333.6 in most tables).
const MELTING_KJ_PER_KG: f64 = 333.6;
/// Specific heat of water between 0 and 100 °C, kJ/(kg·K). Published; it moves by 0.5 % in that range.
const WATER_KJ_PER_KG_KELVIN: f64 = 4.18;

/// Heat to bring a mass from one temperature to another at one specific heat, kJ: m c (to − from).
///
/// Negative where it is cooled. A balance of energy, exact for the specific heat given; no freezing, no boiling away.
pub fn energy_kj(kg: f64, kj_per_kg_kelvin: f64, from_celsius: f64, to_celsius: f64) -> Result<f64, SumFault> {
    amount("mass, kg", kg)?;
    within("specific heat, kJ/(kg·K)", kj_per_kg_kelvin, 0.1, 10.0)?;
    kitchen_celsius("temperature before, °C", from_celsius)?;
    kitchen_celsius("temperature after, °C", to_celsius)?;
    Ok(kg * kj_per_kg_kelvin * (to_celsius - from_celsius))
}

/// Mean specific heat of a food between two temperatures, kJ/(kg·K).
///
/// Integrated, not taken at the middle: (c(a) + 4 c(middle) + c(b))/6, which is exact for the squares that
/// [`specific_heat_kj`] is made of. Its range and status.
pub fn mean_specific_heat_kj(fractions: &Fractions, from_celsius: f64, to_celsius: f64) -> Result<f64, SumFault> {
    let first = specific_heat_kj(fractions, from_celsius)?;
    let last = specific_heat_kj(fractions, to_celsius)?;
    let middle = specific_heat_kj(fractions, (from_celsius + to_celsius) / 2.0)?;
    Ok((first + 4.0 * middle + last) / 6.0)
}

/// Heat to bring a food from one temperature to another, kJ, with its specific heat integrated between them.
pub fn energy_kj_of(fractions: &Fractions, kg: f64, from_celsius: f64, to_celsius: f64) -> Result<f64, SumFault> {
    energy_kj(kg, mean_specific_heat_kj(fractions, from_celsius, to_celsius)?, from_celsius, to_celsius)
}

/// Time for so much heat to go in, s: 1000 E/(P η).
///
/// `efficiency` is the part of the hob's power that reaches the food, above 0 and up to 1: about 0.4 on gas, 0.7 on a
/// plate, 0.85 by induction (common practice). What the pot loses on the way is in it.
pub fn seconds_to_warm(kj: f64, watts: f64, efficiency: f64) -> Result<f64, SumFault> {
    amount("heat, kJ", kj)?;
    within("power, W", watts, 1.0, 1e6)?;
    within("efficiency", efficiency, 0.01, 1.0)?;
    Ok(1000.0 * kj / (watts * efficiency))
}

/// Ice of 0 °C that cools a mass to a temperature, kg: m c (from − to)/(L + c_water to); it ends as water of that
/// temperature, in the food or round the pot.
///
/// A balance of energy; from at most 100 °C to above 0 °C. Warmth from the room is left out: take more.
pub fn ice_kg(kg: f64, kj_per_kg_kelvin: f64, from_celsius: f64, to_celsius: f64) -> Result<f64, SumFault> {
    within("temperature before, °C", from_celsius, 0.0, 100.0)?;
    within("temperature after, °C", to_celsius, 0.0, 100.0)?;
    if to_celsius > from_celsius {
        return Err(SumFault::Impossible("ice does not warm anything"));
    }
    let taken = energy_kj(kg, kj_per_kg_kelvin, to_celsius, from_celsius)?;
    Ok(taken / (MELTING_KJ_PER_KG + WATER_KJ_PER_KG_KELVIN * to_celsius))
}

/// A pot in a bath, or in a room, and one reading later on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bath {
    /// What the pot held at first.
    pub start_celsius: f64,
    /// What the bath holds all the time.
    pub bath_celsius: f64,
    /// What the pot held after `reading_seconds`.
    pub reading_celsius: f64,
    /// When the reading was taken.
    pub reading_seconds: f64,
}

impl Bath {
    /// How fast the gap to the bath closes: ln of what is left of it, for each second; negative.
    fn closing_per_second(&self) -> Result<f64, SumFault> {
        kitchen_celsius("temperature at first, °C", self.start_celsius)?;
        kitchen_celsius("temperature of the bath, °C", self.bath_celsius)?;
        kitchen_celsius("reading, °C", self.reading_celsius)?;
        within("time of the reading, s", self.reading_seconds, 1.0, 1e7)?;
        let left = gap_left(self, self.reading_celsius)?;
        if left >= 1.0 {
            return Err(SumFault::Impossible("the reading is no nearer to the bath than the start"));
        }
        Ok(left.ln() / self.reading_seconds)
    }
}

/// What is left of the first gap to the bath at a temperature: above 0.
fn gap_left(bath: &Bath, celsius: f64) -> Result<f64, SumFault> {
    let first = bath.start_celsius - bath.bath_celsius;
    if first.abs() < 0.01 {
        return Err(SumFault::Impossible("the pot and the bath are equally warm"));
    }
    let left = (celsius - bath.bath_celsius) / first;
    if left < 1e-6 {
        return Err(SumFault::Impossible("nothing in a bath reaches the bath's own temperature, or passes it"));
    }
    Ok(left)
}

/// Time from the start until a pot in a bath holds `target_celsius`, s.
///
/// Newton's law of cooling (published): the gap to the bath shrinks by the same part each second; t = t₁ ln((target −
/// bath)/(start − bath))/ln((reading − bath)/(start − bath)). Serves for warming too. It holds while the pot is
/// stirred and the bath stays as it is; thick curd and a warming bath are slower.
pub fn bath_seconds_to(bath: &Bath, target_celsius: f64) -> Result<f64, SumFault> {
    let closing = bath.closing_per_second()?;
    kitchen_celsius("target, °C", target_celsius)?;
    let left = gap_left(bath, target_celsius)?;
    if left > 1.0 {
        return Err(SumFault::Impossible("the target lies on the far side of the start"));
    }
    Ok(left.ln() / closing)
}

/// What a pot in a bath holds after a time, °C: bath + (start − bath) e^(k t). As [`bath_seconds_to`].
pub fn bath_celsius_after(bath: &Bath, seconds: f64) -> Result<f64, SumFault> {
    let closing = bath.closing_per_second()?;
    within("time, s", seconds, 0.0, 1e7)?;
    Ok(bath.bath_celsius + (bath.start_celsius - bath.bath_celsius) * (closing * seconds).exp())
}

/// How long one stage of cooling takes, and whether that is within its limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StageTime {
    /// From this.
    pub from_celsius: f64,
    /// To this.
    pub to_celsius: f64,
    /// What it takes.
    pub seconds: f64,
    /// What it may take.
    pub limit_seconds: f64,
}

impl StageTime {
    /// Whether the stage keeps to its limit.
    pub fn keeps(&self) -> bool {
        self.seconds <= self.limit_seconds
    }
}

/// The stages of cooling of a law against a pot in a bath, in the order of the table.
///
/// Each stage is held to its own limit, which is stricter than a law that counts both together. A pot that starts
/// below the upper end of a stage is timed from its start; stages it starts below are left out. Limits: US Food Code,
/// 57 to 21 °C in 2 h, then to 5 °C in 4 h (published). It is a forecast: only a thermometer shows that food is cold.
pub fn cooling_stages(stages: &[CoolingStage], law: &str, bath: &Bath) -> Result<Vec<StageTime>, SumFault> {
    let mut times = Vec::new();
    for stage in stages.iter().filter(|stage| stage.law == law && stage.to_celsius < bath.start_celsius) {
        let from_celsius =
            if stage.from_celsius < bath.start_celsius { stage.from_celsius } else { bath.start_celsius };
        let begins = bath_seconds_to(bath, from_celsius)?;
        let seconds = bath_seconds_to(bath, stage.to_celsius)? - begins;
        let (to_celsius, limit_seconds) = (stage.to_celsius, stage.seconds);
        times.push(StageTime { from_celsius, to_celsius, seconds, limit_seconds });
    }
    if times.is_empty() {
        return Err(SumFault::Impossible("no stage of this law ends below the start"));
    }
    Ok(times)
}
