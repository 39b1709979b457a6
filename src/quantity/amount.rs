//! Amounts: one value, a range or a bound, in the units they were written in.

use super::kitchen::{self, Length, Mass, Stored, Temperature, TemperatureChange, Time, Volume};
use super::{Dimension, Exact, Number, UnitId};

/// One typed value.
#[derive(Debug, Clone, Copy, PartialEq, Hash)]
pub enum Quantity {
    /// A mass.
    Mass(Mass),
    /// A volume.
    Volume(Volume),
    /// A length.
    Length(Length),
    /// A time.
    Time(Time),
    /// A reading of a thermometer.
    Temperature(Temperature),
    /// A change between readings.
    Difference(TemperatureChange),
    /// A fraction of something.
    Share(Exact),
    /// How many.
    Count(Exact),
    /// Joules.
    Energy(Exact),
    /// Watts.
    Power(Exact),
}

impl Quantity {
    /// From a value in the dimension's base unit (g, mL, mm, s, °C, K, fraction, pieces, J, W).
    ///
    /// `None` when the value is too large to be held exactly; no kitchen amount is.
    pub fn from_base(dimension: Dimension, base: Exact) -> Option<Quantity> {
        let ticks = || stored(base * Exact::whole(dimension.ticks()));
        Some(match dimension {
            Dimension::Mass => Quantity::Mass(Mass::new::<kitchen::mass::tick>(ticks()?)),
            Dimension::Volume => Quantity::Volume(Volume::new::<kitchen::volume::tick>(ticks()?)),
            Dimension::Length => Quantity::Length(Length::new::<kitchen::length::tick>(ticks()?)),
            Dimension::Time => Quantity::Time(Time::new::<kitchen::time::second>(ticks()?)),
            Dimension::Temperature => Quantity::Temperature(Temperature::new::<kitchen::temperature::tick>(ticks()?)),
            Dimension::Difference => Quantity::Difference(TemperatureChange::new::<kitchen::change::tick>(ticks()?)),
            Dimension::Share => Quantity::Share(base),
            Dimension::Count => Quantity::Count(base),
            Dimension::Energy => Quantity::Energy(base),
            Dimension::Power => Quantity::Power(base),
        })
    }

    /// The value in the dimension's base unit.
    pub fn base(self) -> Exact {
        // Straight from what is stored: `get` makes a ratio out of a float each time, and this is asked for most.
        let ticks = match self {
            Quantity::Mass(mass) => mass.value,
            Quantity::Volume(volume) => volume.value,
            Quantity::Length(length) => length.value,
            Quantity::Time(time) => time.value,
            Quantity::Temperature(reading) => reading.value,
            Quantity::Difference(change) => change.value,
            Quantity::Share(value) | Quantity::Count(value) | Quantity::Energy(value) | Quantity::Power(value) => {
                return value;
            }
        };
        Exact::new(i128::from(*ticks.numer()), i128::from(*ticks.denom()) * self.dimension().ticks())
    }

    /// What it measures.
    pub fn dimension(self) -> Dimension {
        match self {
            Quantity::Mass(_) => Dimension::Mass,
            Quantity::Volume(_) => Dimension::Volume,
            Quantity::Length(_) => Dimension::Length,
            Quantity::Time(_) => Dimension::Time,
            Quantity::Temperature(_) => Dimension::Temperature,
            Quantity::Difference(_) => Dimension::Difference,
            Quantity::Share(_) => Dimension::Share,
            Quantity::Count(_) => Dimension::Count,
            Quantity::Energy(_) => Dimension::Energy,
            Quantity::Power(_) => Dimension::Power,
        }
    }
}

fn stored(value: Exact) -> Option<Stored> {
    Some(Stored::new(i64::try_from(value.over()).ok()?, i64::try_from(value.under()).ok()?))
}

/// Whether an amount is a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Bound {
    /// The amount itself.
    None,
    /// That much or more.
    AtLeast,
    /// That much or less.
    AtMost,
}

impl Bound {
    /// The limit on the other side.
    pub fn opposite(self) -> Bound {
        match self {
            Bound::None => Bound::None,
            Bound::AtLeast => Bound::AtMost,
            Bound::AtMost => Bound::AtLeast,
        }
    }

    /// `none`, `at-least` or `at-most`.
    pub fn name(self) -> &'static str {
        match self {
            Bound::None => "none",
            Bound::AtLeast => "at-least",
            Bound::AtMost => "at-most",
        }
    }
}

/// One written value: both of a range's ends are one of these.
#[derive(Debug, Clone, Copy, PartialEq, Hash)]
pub struct End {
    /// The value.
    pub quantity: Quantity,
    /// The number as written; of a compound (1 lb 4 oz), its last.
    pub number: Number,
    /// The unit as written; of a compound, its last.
    pub unit: UnitId,
    /// What one more in the last written digit is worth, in the base unit; nought when words or a fraction were
    /// written, which leave nothing to round.
    pub step: Exact,
    /// Whether it is a sum of several units.
    pub compound: bool,
}

/// What a rate is for each of: `per litre`, `per 100 g`.
#[derive(Debug, Clone, Copy, PartialEq, Hash)]
pub struct Per {
    /// The unit as written.
    pub unit: UnitId,
    /// How many of it.
    pub count: Exact,
    /// That many of it in the base unit.
    pub quantity: Quantity,
}

/// An amount as written in a block or in the words.
#[derive(Debug, Clone, Copy, PartialEq, Hash)]
pub struct Amount {
    /// The value, or the lower end.
    pub low: End,
    /// The upper end; equal to `low` unless it is a range.
    pub high: End,
    /// Whether two ends were written.
    pub range: bool,
    /// Whether it is a limit.
    pub bound: Bound,
    /// Whether it was written with "about".
    pub about: bool,
    /// Whether the unit's word was bare (a pint, not a US pint).
    pub bare: bool,
    /// For a rate, what it is for each of: 10 g per litre.
    pub per: Option<Per>,
}

impl Amount {
    /// A single value.
    pub fn single(end: End) -> Amount {
        Amount { low: end, high: end, range: false, bound: Bound::None, about: false, bare: false, per: None }
    }

    /// What it measures.
    pub fn dimension(&self) -> Dimension {
        self.low.quantity.dimension()
    }

    /// The unit as written, of the upper end.
    pub fn unit(&self) -> UnitId {
        self.high.unit
    }
}
