//! The steps of scales, jugs, rulers and timers, as data.
//!
//! The limit of each rung is a multiple of its own step and of the next one's, so that rounding never makes the
//! larger of two amounts the smaller.

use crate::quantity::{Bound, Exact};

/// How one tool is marked: finer below, coarser above.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ladder {
    /// Id of the unit it counts.
    pub unit: &'static str,
    /// How many ticks the unit has: the figures of the rungs are ticks.
    pub ticks: i128,
    /// From fine to coarse.
    pub rungs: &'static [Rung],
}

/// One stretch of a ladder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rung {
    /// Values below this belong to it.
    pub upto: i128,
    /// Its marks stand so far apart.
    pub step: i128,
}

const fn rung(upto: i128, step: i128) -> Rung {
    Rung { upto, step }
}

/// No further rung.
pub(super) const TOP: i128 = i128::MAX;

/// Kitchen scales (common practice): tenths below 10 g, on a scale that shows them; grams to 250 g; then as one
/// pours, 5 g to 1 kg (half a step is 1 % at most), 10 g to 10 kg, 50 g above.
pub const SCALE: Ladder = Ladder {
    unit: "gram",
    ticks: 10,
    rungs: &[rung(100, 1), rung(2_500, 10), rung(10_000, 50), rung(100_000, 100), rung(TOP, 500)],
};

/// Pocket scales for doses (common practice): hundredths below 10 g, tenths to 100 g.
pub const FINE_SCALE: Ladder =
    Ladder { unit: "gram", ticks: 100, rungs: &[rung(1_000, 1), rung(10_000, 10), rung(TOP, 100)] };

/// Scales in ounces (common practice): eighths below 4 oz, quarters to a pound, halves to 2 lb, ounces above.
pub const OUNCES: Ladder =
    Ladder { unit: "ounce", ticks: 8, rungs: &[rung(32, 1), rung(128, 2), rung(256, 4), rung(TOP, 8)] };

/// Measuring jugs (common practice), read at a mark or half-way between two: small jugs to 250 and 500 mL, the
/// litre jug, and above that jug by jug.
pub const JUG: Ladder = Ladder {
    unit: "millilitre",
    ticks: 1,
    rungs: &[rung(250, 5), rung(500, 10), rung(1_000, 25), rung(5_000, 50), rung(20_000, 100), rung(TOP, 500)],
};

/// Small beakers and medicine cups (common practice): for telling in mL what is measured with a spoon or a cup, not
/// for measuring it out.
pub const BEAKER: Ladder = Ladder {
    unit: "millilitre",
    ticks: 4,
    rungs: &[rung(16, 1), rung(40, 2), rung(240, 4), rung(800, 20), rung(TOP, 40)],
};

/// Imperial jugs (common practice): half fluid ounces to half a pint, fluid ounces to 4 pints, quarter pints to
/// 2 gallons, half pints above.
pub const FLUID_OUNCES: Ladder = Ladder {
    unit: "imperial-fluid-ounce",
    ticks: 2,
    rungs: &[rung(20, 1), rung(160, 2), rung(640, 10), rung(TOP, 20)],
};

/// American pots and jars (common practice): quarters of a quart. For what comes out or fits in, not for what is
/// measured out, which goes by cups.
pub const QUARTS: Ladder = Ladder { unit: "us-quart", ticks: 4, rungs: &[rung(TOP, 1)] };

/// Rulers (common practice): millimetres to 2 cm, half centimetres to 10 cm, centimetres to a metre.
pub const MILLIMETRES: Ladder =
    Ladder { unit: "millimetre", ticks: 1, rungs: &[rung(20, 1), rung(100, 5), rung(1_000, 10), rung(TOP, 50)] };

/// Rulers in inches (common practice): eighths to an inch, quarters to 4 in, halves to a foot.
pub const INCHES: Ladder =
    Ladder { unit: "inch", ticks: 8, rungs: &[rung(8, 1), rung(32, 2), rung(96, 4), rung(TOP, 8)] };

/// Timers (common practice): seconds to 5 min, minutes to 3 h, 5 min to a day, hours to 3 days, half days to a week,
/// days above.
pub const SECONDS: Ladder = Ladder {
    unit: "second",
    ticks: 1,
    rungs: &[
        rung(300, 1),
        rung(10_800, 60),
        rung(86_400, 300),
        rung(259_200, 3_600),
        rung(604_800, 43_200),
        rung(TOP, 86_400),
    ],
};

impl Ladder {
    /// How far apart the marks stand at a value, both in the ladder's unit.
    pub fn step_at(&self, value: Exact) -> Exact {
        let ticks = Exact::whole(self.ticks);
        let rung = self.rungs.iter().find(|rung| value * ticks < Exact::whole(rung.upto)).unwrap_or(&self.rungs[0]);
        Exact::whole(rung.step) / ticks
    }

    /// The nearest mark, value and mark in the ladder's unit; halves go up.
    pub fn nearest(&self, value: Exact) -> Exact {
        self.round(value, Bound::None)
    }

    /// The nearest mark, or for a limit the nearest on its safe side.
    pub fn round(&self, value: Exact, bound: Bound) -> Exact {
        round_toward(value, self.step_at(value), bound)
    }
}

/// The nearest multiple of a step; for "at least" the next one up, for "at most" the next one down.
pub(super) fn round_toward(value: Exact, step: Exact, bound: Bound) -> Exact {
    match bound {
        Bound::None => value.round_to(step),
        Bound::AtMost => (value / step).floor() * step,
        Bound::AtLeast => -((-value / step).floor() * step),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Ladder; 9] = [SCALE, FINE_SCALE, OUNCES, JUG, FLUID_OUNCES, QUARTS, MILLIMETRES, INCHES, SECONDS];

    #[test]
    fn each_limit_is_a_mark_of_both_rungs() {
        for ladder in ALL {
            for pair in ladder.rungs.windows(2) {
                assert!(pair[0].upto < pair[1].upto && pair[0].step < pair[1].step, "{}", ladder.unit);
                assert_eq!((pair[0].upto % pair[0].step, pair[0].upto % pair[1].step), (0, 0), "{}", ladder.unit);
            }
            assert_eq!(ladder.rungs.last().map(|rung| rung.upto), Some(TOP));
        }
    }

    #[test]
    fn amounts_go_to_the_nearest_mark_and_halves_go_up() {
        let at = |ladder: Ladder, value: &str| ladder.nearest(Exact::parse(value).unwrap()).to_decimal(3);
        assert_eq!(at(SCALE, "9.96"), "10");
        assert_eq!(at(SCALE, "3.14"), "3.1");
        assert_eq!(at(SCALE, "83.3"), "83");
        assert_eq!(at(SCALE, "333.3"), "335");
        assert_eq!(at(SCALE, "1333"), "1330");
        assert_eq!(at(JUG, "182.5"), "185");
        assert_eq!(at(OUNCES, "3.3"), "3.25");
        assert_eq!(at(INCHES, "0.98425"), "1");
    }

    #[test]
    fn a_limit_goes_to_its_safe_side() {
        let half_past = Exact::whole(1830);
        assert_eq!(SECONDS.round(half_past, Bound::AtLeast), Exact::whole(1860));
        assert_eq!(SECONDS.round(half_past, Bound::AtMost), Exact::whole(1800));
        assert_eq!(SECONDS.round(Exact::whole(1800), Bound::AtLeast), Exact::whole(1800));
    }
}
