//! When two written values are the same measure.
//!
//! Inside one system of units nothing but rounding to the digits written is forgiven. Between systems the trade
//! rounds, and how far depends on the kind: see [`agree`]. All of it in exact fractions, because several accepted
//! pairs stand exactly on their limit (40 °C and 105 °F; 115 °C and 240 °F).

use crate::quantity::{Convention, Dimension, End, Exact, UnitId, Units};

/// What is known about a measure beyond its value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Setting {
    /// It is an oven's dial, which has marks every 10 °C or 25 °F.
    pub oven: bool,
    /// It is a least value, which may be rounded up.
    pub minimum: bool,
    /// It was written with "about".
    pub about: bool,
}

/// Whether `said` states the measure that `model` is.
///
/// - Same system: equal after rounding the model to the digits written, and never more than a twentieth away, so
///   that "2 hours" cannot stand for 90 minutes. Words and fractions leave nothing to round.
/// - Product temperature: within 1.0 °F; 0.6 °F where the °C has decimals; 2.0 °F with "about"; a minimum may be
///   rounded up to the next whole °C.
/// - Oven dial: 9 °F where the °C is a multiple of 10, 4.5 °F at other multiples of 5, and the pairs of the
///   gas-mark table, some of which break this (130/250, 170/325, 240/475).
/// - Mass and volume: 3.5 % of the larger, or half a gram or millilitre; and to 1.5 % the conventions that `units`
///   holds: those always understood (a 250 mL cup, a 30 g ounce …) and those that the course declares.
/// - Length: 2.5 %; 3 mm under 5 cm, 5 mm under 10 cm.
/// - Change of temperature: half of the coarser written step.
///
/// What no such rule can tell apart, and therefore lets pass:
///
/// - 210 g for 7 oz and 300 g for 10 oz: slips of 200 g and 275 g, or ounces of 30 g;
/// - 5 mm for ⅛ in, by the 3 mm that let ½ in be 1 cm and ¼ in be 5 mm;
/// - 130 and 140 °C for 275 °F on a dial, both in use;
/// - where two neighbouring °C are both usual, one °C off: 40 or 41 °C for 105 °F, 65 or 66 °C for 150 °F, 4 or 5 °C for
///   40 °F; and half of all slips of 1 °F, which are less than most kitchen thermometers show;
/// - for a minimum, a °C that is 1 too high;
/// - in a course that declares `ounce-25`, 200 g for 8 oz; with `ounce-31.25`, 250 g for 8 oz.
///
/// Such slips are found only where the model itself says otherwise in the same unit.
pub fn agree(model: &End, said: &End, units: &Units, setting: Setting) -> bool {
    let dimension = model.quantity.dimension();
    if dimension != said.quantity.dimension() {
        return false;
    }
    let (own, other) = (units.get(model.unit), units.get(said.unit));
    let (a, b) = (model.quantity.base(), said.quantity.base());
    if model.unit == units.gas() || said.unit == units.gas() {
        return gas(model, said, units);
    }
    if own.system == other.system {
        return same_system(a, b, said.step, dimension);
    }
    match dimension {
        Dimension::Temperature => temperature(model, said, units, setting),
        Dimension::Difference => (a - b).abs() <= model.step.max(said.step) / Exact::whole(2),
        Dimension::Mass | Dimension::Volume => bulk(a, b) || convention(model.unit, said.unit, a, b, units).is_some(),
        Dimension::Length => length(a, b),
        _ => a == b,
    }
}

fn same_system(model: Exact, said: Exact, step: Exact, dimension: Dimension) -> bool {
    let gap = (model - said).abs();
    if gap.is_zero() {
        return true;
    }
    let rounded = gap <= step / Exact::whole(2);
    let near =
        matches!(dimension, Dimension::Temperature | Dimension::Difference) || gap * Exact::whole(20) <= model.abs();
    rounded && near && dimension != Dimension::Count
}

fn temperature(model: &End, said: &End, units: &Units, setting: Setting) -> bool {
    let celsius_first = units.get(model.unit).id == "celsius";
    let (celsius, fahrenheit) = if celsius_first { (model, said) } else { (said, model) };
    let c = celsius.quantity.base();
    let f = fahrenheit.quantity.base() * Exact::new(9, 5) + Exact::whole(32);
    let gap = (c * Exact::new(9, 5) + Exact::whole(32) - f).abs();
    if setting.oven && (dial(c, gap) || units.is_dial(c, f)) {
        return true;
    }
    let above = c - fahrenheit.quantity.base();
    let rounded_up = setting.minimum && above >= Exact::ZERO && above < Exact::ONE;
    let limit = if setting.about {
        Exact::whole(2)
    } else if c.is_whole() {
        Exact::ONE
    } else {
        Exact::new(3, 5)
    };
    gap <= limit || rounded_up
}

/// A gas mark against a dial of the trade's table, or against the same mark.
fn gas(model: &End, said: &End, units: &Units) -> bool {
    if model.unit == said.unit {
        return model.number.value == said.number.value;
    }
    let (mark, dial) = if model.unit == units.gas() { (model, said) } else { (said, model) };
    let Some(row) = units.gas_mark(mark.number.value) else { return false };
    let reading = units.get(dial.unit).from_base(dial.quantity.base());
    if units.get(dial.unit).id == "fahrenheit" { reading == row.fahrenheit } else { row.celsius.contains(&reading) }
}

fn dial(c: Exact, gap: Exact) -> bool {
    let multiple = |of: i128| (c / Exact::whole(of)).is_whole();
    let limit = if multiple(10) {
        Exact::whole(9)
    } else if multiple(5) {
        Exact::new(9, 2)
    } else {
        return false;
    };
    gap <= limit
}

/// Within 3.5 % of the larger, or half a gram or millilitre.
fn bulk(a: Exact, b: Exact) -> bool {
    let gap = (a - b).abs();
    gap <= a.abs().max(b.abs()) * Exact::new(35, 1000) || gap <= Exact::new(1, 2)
}

fn convention(own: UnitId, other: UnitId, a: Exact, b: Exact, units: &Units) -> Option<&Convention> {
    let by_convention = |unit: UnitId, value: Exact, against: Exact| {
        units.conventions().iter().filter(|convention| convention.unit == unit).find(|convention| {
            let called = units.get(unit).from_base(value) * convention.size;
            (called - against).abs() <= called.abs() * Exact::new(15, 1000)
        })
    };
    by_convention(own, a, b).or_else(|| by_convention(other, b, a))
}

/// The convention that alone lets two weights or volumes of different systems agree; none where rounding does.
pub(super) fn convention_between<'u>(model: &End, said: &End, units: &'u Units) -> Option<&'u Convention> {
    let (a, b) = (model.quantity.base(), said.quantity.base());
    let stuff = matches!(model.quantity.dimension(), Dimension::Mass | Dimension::Volume);
    let apart = units.get(model.unit).system != units.get(said.unit).system && !bulk(a, b);
    (stuff && apart).then(|| convention(model.unit, said.unit, a, b, units)).flatten()
}

fn length(a: Exact, b: Exact) -> bool {
    let (gap, larger) = ((a - b).abs(), a.abs().max(b.abs()));
    let floor = if larger < Exact::whole(50) {
        Exact::whole(3)
    } else if larger <= Exact::whole(100) {
        Exact::whole(5)
    } else {
        Exact::ZERO
    };
    gap <= larger * Exact::new(25, 1000) || gap <= floor
}

/// Whether a volume and a weight of one ingredient agree, by its density in grams per millilitre.
///
/// A cup of flour cannot be held to better than 15 %; sugar, fat and fine salt to 5 %; liquids to 3 %.
pub fn agree_by_density(grams: Exact, millilitres: Exact, density: Exact, tags: &[String]) -> bool {
    let tagged = |names: &[&str]| tags.iter().any(|tag| names.contains(&tag.as_str()));
    let percent = if tagged(&["flour", "grain", "starch", "cocoa", "seed", "spice", "nut", "herb"]) {
        15
    } else if tagged(&["sugar", "salt", "fat", "leavening", "yeast"]) {
        5
    } else {
        3
    };
    let weighed = millilitres * density;
    (weighed - grams).abs() <= grams.max(weighed) * Exact::new(percent, 100)
}
