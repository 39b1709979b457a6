//! The system of quantities, in base units small enough that every kitchen unit is a whole number of them.
//!
//! `uom` gives the types: a [`Mass`] cannot be compared with a [`Volume`], and a [`Temperature`] is not a
//! [`TemperatureChange`]. Two readings cannot be added:
//!
//! ```compile_fail
//! use pottle::quantity::kitchen::{Temperature, temperature::celsius};
//! let warm = Temperature::new::<celsius>(20.into());
//! let nonsense = warm + warm;
//! ```
//!
//! Changes can:
//!
//! ```
//! use pottle::quantity::kitchen::{TemperatureChange, change::kelvin};
//! let step = TemperatureChange::new::<kelvin>(5.into());
//! assert_eq!((step + step).get::<kelvin>(), 10.into());
//! ```
#![allow(missing_docs, reason = "uom's macros make items that cannot carry documentation")]

/// Marks a reading of a thermometer: it can be scaled by no one and added to nothing.
pub trait Reading {}

/// Mass, in units of 625 ng: a gram is 1 600 000 of them, an ounce 45 359 237.
#[macro_use]
pub mod mass {
    quantity! {
        /// Mass.
        quantity: Mass; "mass";
        /// Dimension of mass.
        dimension: Q<P1, Z0, Z0, Z0, Z0>;
        units {
            @tick: 1.0; "tick", "tick", "ticks";
            @gram: 1_600_000.0; "g", "gram", "grams";
            @ounce: 45_359_237.0; "oz", "ounce", "ounces";
            @pound: 725_747_792.0; "lb", "pound", "pounds";
        }
    }
}

/// Volume, in units of 31.25 pL: a millilitre is 32 000 000 of them, a US teaspoon 157 725 491.
#[macro_use]
pub mod volume {
    quantity! {
        /// Volume.
        quantity: Volume; "volume";
        /// Dimension of volume.
        dimension: Q<Z0, P1, Z0, Z0, Z0>;
        units {
            @tick: 1.0; "tick", "tick", "ticks";
            @millilitre: 32_000_000.0; "mL", "millilitre", "millilitres";
            @us_teaspoon: 157_725_491.0; "US tsp", "US teaspoon", "US teaspoons";
            @us_cup: 7_570_823_568.0; "US cup", "US cup", "US cups";
            @us_gallon: 121_133_177_088.0; "US gal", "US gallon", "US gallons";
            @imperial_fluid_ounce: 909_218_000.0; "imp fl oz", "imperial fluid ounce", "imperial fluid ounces";
            @imperial_gallon: 145_474_880_000.0; "imp gal", "imperial gallon", "imperial gallons";
        }
    }
}

/// Length, in units of 0.1 mm: a centimetre is 100 of them, an inch 254.
#[macro_use]
pub mod length {
    quantity! {
        /// Length.
        quantity: Length; "length";
        /// Dimension of length.
        dimension: Q<Z0, Z0, P1, Z0, Z0>;
        units {
            @tick: 1.0; "tick", "tick", "ticks";
            @millimetre: 10.0; "mm", "millimetre", "millimetres";
            @inch: 254.0; "in", "inch", "inches";
        }
    }
}

/// Time, in seconds.
#[macro_use]
pub mod time {
    quantity! {
        /// Time.
        quantity: Time; "time";
        /// Dimension of time.
        dimension: Q<Z0, Z0, Z0, P1, Z0>;
        units {
            @second: 1.0; "s", "second", "seconds";
            @minute: 60.0; "min", "minute", "minutes";
            @hour: 3_600.0; "h", "hour", "hours";
        }
    }
}

/// Readings, in ninths of a kelvin above 0 °C: a degree Celsius is 9 of them, a degree Fahrenheit 5.
#[macro_use]
pub mod temperature {
    quantity! {
        /// A reading of a thermometer.
        quantity: Temperature; "temperature";
        /// Dimension of temperature.
        dimension: Q<Z0, Z0, Z0, Z0, P1>;
        kind: dyn crate::quantity::kitchen::Reading;
        units {
            @tick: 1.0; "tick", "tick", "ticks";
            @celsius: 9.0; "°C", "degree Celsius", "degrees Celsius";
            @fahrenheit: 5.0, -32.0; "°F", "degree Fahrenheit", "degrees Fahrenheit";
        }
    }
}

/// Changes of temperature, in ninths of a kelvin: no 32 in them.
#[macro_use]
pub mod change {
    quantity! {
        /// A change between two readings.
        quantity: TemperatureChange; "change of temperature";
        /// Dimension of temperature.
        dimension: Q<Z0, Z0, Z0, Z0, P1>;
        units {
            @tick: 1.0; "tick", "tick", "ticks";
            @kelvin: 9.0; "K", "kelvin", "kelvins";
            @degree_fahrenheit: 5.0; "°F", "degree Fahrenheit", "degrees Fahrenheit";
        }
    }
}

system! {
    /// The kitchen's quantities.
    quantities: Q {
        mass: tick, M;
        volume: tick, V;
        length: tick, L;
        time: second, T;
        temperature: tick, H;
    }
    /// The kitchen's units.
    units: U {
        mod mass::Mass,
        mod volume::Volume,
        mod length::Length,
        mod time::Time,
        mod temperature::Temperature,
        mod change::TemperatureChange,
    }
}

/// The quantities with exact ratios inside.
pub mod exact {
    Q!(crate::quantity::kitchen, uom::num::rational::Rational64);
}

pub use exact::{Length, Mass, Temperature, TemperatureChange, Time, Volume};

/// What the quantities are stored as.
pub type Stored = uom::num::rational::Rational64;
