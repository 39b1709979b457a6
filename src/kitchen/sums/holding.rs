//! Legal holds, and equivalent times for illustration.
//!
//! A hold is legal only as a pair that the law prints. [`equivalent_seconds`] and its kin show why a hotter milk needs
//! less time; they never shorten a legal hold, and the legal pairs themselves do not lie on one such line.

use super::fault::{SumFault, within};
use crate::reference::Hold;

/// Limits of every hold asked about.
fn checked(celsius: f64, seconds: f64) -> Result<(), SumFault> {
    within("temperature, °C", celsius, 0.0, 200.0)?;
    within("time, s", seconds, 0.001, 1e6)?;
    Ok(())
}

/// The first legal pair of a law and class of product that a hold meets: at least as hot as the °C the law prints, and
/// at least as long. None: it meets none of them, whatever a sum may say.
///
/// The °C of the US ordinance are its °F rounded up, so a hold that meets the °C meets the °F. Every row carries its
/// source. Meeting a row is not a licence to sell: instruments, records and inspection are part of the law.
pub fn met_hold<'t>(
    holds: &'t [Hold],
    law: &str,
    product: &str,
    celsius: f64,
    seconds: f64,
) -> Result<Option<&'t Hold>, SumFault> {
    checked(celsius, seconds)?;
    let mut rows = holds.iter().filter(|hold| hold.law == law && hold.product == product);
    Ok(rows.find(|hold| celsius >= hold.celsius && seconds >= hold.seconds))
}

/// The shortest hold of a law that a temperature allows, s. None where it is too cool for any row.
///
/// Steps, never a line between two rows: 71 °C needs as long as 63 °C.
pub fn least_hold_seconds(holds: &[Hold], law: &str, product: &str, celsius: f64) -> Result<Option<f64>, SumFault> {
    within("temperature, °C", celsius, 0.0, 200.0)?;
    let rows = holds.iter().filter(|hold| hold.law == law && hold.product == product && celsius >= hold.celsius);
    Ok(rows.map(|hold| hold.seconds).fold(None, |least, seconds| match least {
        Some(least) if least <= seconds => Some(least),
        _ => Some(seconds),
    }))
}

/// The time at another temperature that does as much to one kind of microbe, s: t 10^((from − to)/z).
///
/// Published rule of thermal processing. For illustration alone: it never shortens a legal hold, and z holds for one
/// microbe, one food and a narrow band of temperature. z from 2 to 30 K; at most 40 K between the two.
pub fn equivalent_seconds(seconds: f64, from_celsius: f64, to_celsius: f64, z_kelvin: f64) -> Result<f64, SumFault> {
    checked(from_celsius, seconds)?;
    within("temperature, °C", to_celsius, 0.0, 200.0)?;
    within("z, K", z_kelvin, 2.0, 30.0)?;
    within("difference, K", from_celsius - to_celsius, -40.0, 40.0)?;
    Ok(seconds * 10.0_f64.powf((from_celsius - to_celsius) / z_kelvin))
}

/// Pasteurisation units of a hold: minutes · 10^((t − 60)/7). Published definition, made for beer; for illustration,
/// as [`equivalent_seconds`].
pub fn pasteurisation_units(seconds: f64, celsius: f64) -> Result<f64, SumFault> {
    checked(celsius, seconds)?;
    within("temperature, °C", celsius, 40.0, 100.0)?;
    Ok(seconds / 60.0 * 10.0_f64.powf((celsius - 60.0) / 7.0))
}

/// The z that two holds imply, K: (hot − cool)/log₁₀(long/short). For illustration: printed °C are rounded, and do not
/// carry the z of the °F they were rounded from.
pub fn implied_z_kelvin(
    cool_celsius: f64,
    long_seconds: f64,
    hot_celsius: f64,
    short_seconds: f64,
) -> Result<f64, SumFault> {
    checked(cool_celsius, long_seconds)?;
    checked(hot_celsius, short_seconds)?;
    if hot_celsius <= cool_celsius || long_seconds <= short_seconds {
        return Err(SumFault::Impossible("the hotter hold must be the shorter one"));
    }
    Ok((hot_celsius - cool_celsius) * 10.0_f64.ln() / (long_seconds / short_seconds).ln())
}
