//! Readings to the whole degree, and oven temperatures to the dial.

use super::rounding::round_toward;
use crate::quantity::{Bound, Exact};
use crate::reference::Oven;

/// Which thermometer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Degrees {
    /// °C.
    Celsius,
    /// °F.
    Fahrenheit,
}

impl Degrees {
    /// The other one.
    pub fn other(self) -> Degrees {
        match self {
            Degrees::Celsius => Degrees::Fahrenheit,
            Degrees::Fahrenheit => Degrees::Celsius,
        }
    }

    fn reading_of(self, celsius: Exact) -> Exact {
        match self {
            Degrees::Celsius => celsius,
            Degrees::Fahrenheit => celsius * Exact::new(9, 5) + Exact::whole(32),
        }
    }

    /// A reading in °C to the whole degree of this scale, as figures on this scale; halves go away from nought.
    ///
    /// A limit goes to its safe side, as the US milk ordinance rounds its minima up.
    pub(super) fn round(self, celsius: Exact, bound: Bound) -> Exact {
        round_toward(self.reading_of(celsius), Exact::ONE, bound)
    }

    /// The dial's figure for an oven temperature in °C.
    ///
    /// What already stands on a dial stays. Else the trade's table decides, which pairs 350 °F with 180 °C; beyond
    /// its ends a dial is set to the nearest 10 °C or 25 °F.
    pub(super) fn dial(self, celsius: Exact, ovens: &[Oven]) -> Exact {
        let own = self.reading_of(celsius);
        let stands_on = |value: Exact, mark: i128| (value / Exact::whole(mark)).is_whole();
        let (step, stays) = match self {
            // 275 °F is 135 °C to the dot, but no dial says so.
            Degrees::Celsius => {
                let american = stands_on(Degrees::Fahrenheit.reading_of(celsius), 25);
                (Exact::whole(10), stands_on(own, 10) || stands_on(own, 5) && !american)
            }
            Degrees::Fahrenheit => (Exact::whole(25), stands_on(own, 25)),
        };
        if stays {
            return own;
        }
        match (setting(celsius, ovens), self) {
            (Some(oven), Degrees::Celsius) => oven.celsius,
            (Some(oven), Degrees::Fahrenheit) => oven.fahrenheit,
            (None, _) => own.round_to(step),
        }
    }
}

/// The gas mark of an oven temperature in °C: `4`, `½`. `None` off the dial.
pub fn gas_mark(celsius: Exact, ovens: &[Oven]) -> Option<String> {
    let mark = setting(celsius, ovens)?.mark;
    Some(crate::quantity::print::fraction(mark, crate::quantity::print::Style::default()))
}

/// The row of the table that a temperature belongs to, by any of the figures printed for it.
fn setting(celsius: Exact, ovens: &[Oven]) -> Option<&Oven> {
    // Marks stand 25 °F apart, so a temperature within their reach is at most some 8 K from a printed figure.
    let reach = Exact::whole(8);
    let distance = |oven: &Oven| {
        let fahrenheit = (oven.fahrenheit - Exact::whole(32)) * Exact::new(5, 9);
        let printed = oven.also_celsius.iter().chain([&oven.celsius, &fahrenheit]);
        printed.map(|figure| (*figure - celsius).abs()).min()
    };
    let nearest = ovens.iter().filter_map(|oven| Some((distance(oven)?, oven))).min_by_key(|(gap, _)| *gap)?;
    (nearest.0 <= reach).then_some(nearest.1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Home;
    use crate::reference::Reference;

    #[test]
    fn readings_go_to_the_whole_degree_of_the_readers_scale() {
        let fahrenheit = |celsius: &str, bound| Degrees::Fahrenheit.round(Exact::parse(celsius).unwrap(), bound).over();
        // GNU units: tempF(tempC(92)) = 197.6, of 32 = 89.6, of 63 = 145.4.
        assert_eq!(fahrenheit("92", Bound::None), 198);
        assert_eq!(fahrenheit("32", Bound::None), 90);
        assert_eq!(fahrenheit("63", Bound::AtLeast), 146);
        assert_eq!(fahrenheit("5", Bound::AtMost), 41);
        // US milk ordinance, °C column rounded up: 155 °F is 69 °C, 180 °F is 83 °C, 196 °F is 92 °C.
        for (f, want) in [(155, 69), (180, 83), (196, 92)] {
            let celsius = Exact::new((f - 32) * 5, 9);
            assert_eq!(Degrees::Celsius.round(celsius, Bound::AtLeast).over(), want);
        }
    }

    #[test]
    fn an_oven_goes_to_its_dial() {
        let ovens = Reference::built_in(Home::Uk).ovens;
        let f = |celsius: i128| Degrees::Fahrenheit.dial(Exact::whole(celsius), &ovens).over();
        let c = |fahrenheit: i128| Degrees::Celsius.dial(Exact::new((fahrenheit - 32) * 5, 9), &ovens).over();
        let gas = |celsius: i128| gas_mark(Exact::whole(celsius), &ovens).unwrap_or_default();
        // British gas-mark tables (common practice), whose °F column GNU units also holds.
        for (celsius, fahrenheit, mark) in
            [(110, 225, "¼"), (140, 275, "1"), (150, 300, "2"), (180, 350, "4"), (200, 400, "6"), (230, 450, "8")]
        {
            assert_eq!((f(celsius), gas(celsius).as_str(), c(fahrenheit)), (fahrenheit, mark, celsius));
        }
        assert_eq!((f(170), f(250), f(260)), (325, 475, 500));
        assert_eq!((c(425), c(500)), (220, 260));
        assert_eq!((Degrees::Celsius.dial(Exact::whole(185), &ovens), gas(60)), (Exact::whole(185), String::new()));
    }
}
