//! Kinds of quantity.

use std::fmt;

/// What a quantity measures. Two quantities can be compared only when this agrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// Grams.
    Mass,
    /// Millilitres.
    Volume,
    /// Millimetres.
    Length,
    /// Seconds.
    Time,
    /// A reading of a thermometer: °C.
    Temperature,
    /// A change between two readings: kelvin.
    Difference,
    /// A fraction of something: 2 % is 1/50.
    Share,
    /// How many.
    Count,
    /// Joules.
    Energy,
    /// Watts.
    Power,
}

impl Dimension {
    /// All kinds.
    pub const ALL: [Dimension; 10] = [
        Dimension::Mass,
        Dimension::Volume,
        Dimension::Length,
        Dimension::Time,
        Dimension::Temperature,
        Dimension::Difference,
        Dimension::Share,
        Dimension::Count,
        Dimension::Energy,
        Dimension::Power,
    ];

    /// How many of what is stored make one base unit: so that every unit of a kitchen is a whole number of them.
    pub fn ticks(self) -> i128 {
        match self {
            Dimension::Mass => 1_600_000,
            Dimension::Volume => 32_000_000,
            Dimension::Length => 10,
            Dimension::Temperature | Dimension::Difference => 9,
            Dimension::Time | Dimension::Share | Dimension::Count | Dimension::Energy | Dimension::Power => 1,
        }
    }

    /// The name in tables and reports: `mass`, `volume` …
    pub fn name(self) -> &'static str {
        match self {
            Dimension::Mass => "mass",
            Dimension::Volume => "volume",
            Dimension::Length => "length",
            Dimension::Time => "time",
            Dimension::Temperature => "temperature",
            Dimension::Difference => "difference",
            Dimension::Share => "share",
            Dimension::Count => "count",
            Dimension::Energy => "energy",
            Dimension::Power => "power",
        }
    }

    /// Reads a name as [`name`](Self::name) writes it.
    pub fn from_name(name: &str) -> Option<Dimension> {
        Dimension::ALL.into_iter().find(|dimension| dimension.name() == name)
    }

    /// As a cook would say it: "weight", "length of time".
    pub fn in_words(self) -> &'static str {
        match self {
            Dimension::Mass => "a weight",
            Dimension::Volume => "a volume",
            Dimension::Length => "a length",
            Dimension::Time => "a time",
            Dimension::Temperature => "a temperature",
            Dimension::Difference => "a change of temperature",
            Dimension::Share => "a share",
            Dimension::Count => "a number of things",
            Dimension::Energy => "an energy",
            Dimension::Power => "a power",
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
