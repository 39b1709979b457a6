//! What goes wrong with a sum, and the limits that every input keeps.

/// Why a sum has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum SumFault {
    /// An input is not a number, or lies outside of what the formula or the kitchen allows.
    #[error("{what} must be from {low} to {high}, and is {value}")]
    OutOfRange {
        /// Which input, with its unit: `mass, kg`.
        what: &'static str,
        /// What it is.
        value: f64,
        /// At least.
        low: f64,
        /// At most.
        high: f64,
    },
    /// Each input is fine by itself, but together they cannot be.
    #[error("{0}")]
    Impossible(&'static str),
}

/// The largest amount in any unit; far above any kitchen, low enough that no product of a few of them overflows.
const MOST: f64 = 1e9;
/// The smallest amount that may stand under a fraction stroke.
const LEAST: f64 = 1e-9;

/// `value`, if it lies in the range.
pub(super) fn within(what: &'static str, value: f64, low: f64, high: f64) -> Result<f64, SumFault> {
    // Written so that what is no number is refused.
    if value >= low && value <= high { Ok(value) } else { Err(SumFault::OutOfRange { what, value, low, high }) }
}

/// An amount from nought.
pub(super) fn amount(what: &'static str, value: f64) -> Result<f64, SumFault> {
    within(what, value, 0.0, MOST)
}

/// An amount above nought.
pub(super) fn positive(what: &'static str, value: f64) -> Result<f64, SumFault> {
    within(what, value, LEAST, MOST)
}

/// A temperature of a kitchen, from the deep freeze to hot sugar and hot fat.
pub(super) fn kitchen_celsius(what: &'static str, value: f64) -> Result<f64, SumFault> {
    within(what, value, -40.0, 300.0)
}

/// Parts in 100.
pub(super) fn percent(what: &'static str, value: f64) -> Result<f64, SumFault> {
    within(what, value, 0.0, 100.0)
}
