//! Pressure, boiling point and setting point by altitude.

use super::fault::{SumFault, within};
use crate::reference::CanningStep;

/// How far above boiling water jam sets, K. Published in home-preserving tables as 8 °F.
pub const SETTING_RISE_KELVIN: f64 = 4.4;

/// Coefficients n₁ to n₁₀ of IAPWS-IF97, region 4.
const N: [f64; 10] = [
    0.116_705_214_527_67e4,
    -0.724_213_167_032_06e6,
    -0.170_738_469_400_92e2,
    0.120_208_247_024_70e5,
    -0.323_255_503_223_33e7,
    0.149_151_086_135_30e2,
    -0.482_326_573_615_91e4,
    0.405_113_405_420_57e6,
    -0.238_555_575_678_49,
    0.650_175_348_447_98e3,
];

/// Pressure of the air, kPa: 101.325 (1 − 0.0065 h/288.15)^5.2559, the standard atmosphere (published, ISO 2533).
///
/// −430 m (the lowest shore) to 9000 m. The formula's h is geopotential height, which at 5000 m is 4 m less than a
/// map says: no matter here. Weather moves the pressure by 3 %, which is 1 °C of boiling point.
pub fn pressure_kpa(metres: f64) -> Result<f64, SumFault> {
    within("altitude, m", metres, -430.0, 9000.0)?;
    Ok(101.325 * (1.0 - 0.0065 * metres / 288.15).powf(5.2559))
}

/// Temperature at which water boils under a pressure, °C: the backward equation of IAPWS-IF97, region 4 (published).
///
/// 0.612 to 22 064 kPa. At 101.325 kPa it is 99.97 °C on the present scale, not 100.
pub fn saturation_celsius(kpa: f64) -> Result<f64, SumFault> {
    within("pressure, kPa", kpa, 0.612, 22_064.0)?;
    let beta = (kpa / 1000.0).sqrt().sqrt();
    let square = beta * beta;
    let e = square + N[2] * beta + N[5];
    let f = N[0] * square + N[3] * beta + N[6];
    let g = N[1] * square + N[4] * beta + N[7];
    let d = 2.0 * g / (-f - (f * f - 4.0 * e * g).sqrt());
    let sum = N[9] + d;
    let kelvin = (sum - (sum * sum - 4.0 * (N[8] + N[9] * d)).sqrt()) / 2.0;
    Ok(kelvin - 273.15)
}

/// Boiling point of water at an altitude, °C: [`saturation_celsius`] of [`pressure_kpa`].
pub fn boiling_celsius(metres: f64) -> Result<f64, SumFault> {
    saturation_celsius(pressure_kpa(metres)?)
}

/// Setting point of jam at an altitude, °C: boiling point + 4.4 (8 °F). Published rule of home preserving; agrees with
/// its tables to 1 °F. A cook with a thermometer boils water first and adds the same to what it shows.
pub fn setting_celsius(metres: f64) -> Result<f64, SumFault> {
    Ok(boiling_celsius(metres)? + SETTING_RISE_KELVIN)
}

/// Minutes that a boiling-water canner needs more at an altitude; nought up to the first row of the table.
///
/// Up to the last row, 3048 m; there is no answer above it. The general table (published); the table of a tested
/// recipe wins, and low-acid food needs a pressure canner at any altitude.
pub fn canning_extra_minutes(steps: &[CanningStep], metres: f64) -> Result<f64, SumFault> {
    let (Some(first), Some(last)) = (steps.first(), steps.last()) else {
        return Err(SumFault::Impossible("the table has no rows"));
    };
    within("altitude, m", metres, -430.0, last.to_metres)?;
    if metres <= first.above_metres {
        return Ok(0.0);
    }
    let step = steps.iter().find(|step| metres <= step.to_metres).unwrap_or(last);
    Ok(step.extra_minutes)
}
