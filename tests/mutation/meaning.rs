//! What a changed figure means: whether it still says what the model says.
//!
//! Exact fractions and published limits, worked out here and not by the library. The rule for one measure in two
//! systems of units (whole °F, 3.5 %, the kitchen's conventions …) was fitted to printed trade tables: common practice.

use crate::written::{Form, Kind, Unit, Written};
use pottle::quantity::{Bound, Exact};

/// What the model says.
#[derive(Debug, Clone)]
pub struct Model {
    pub kind: Kind,
    /// In g, mL, mm, s, °C.
    pub low: Exact,
    pub high: Exact,
    pub range: bool,
    pub bound: Bound,
    /// Grams in a millilitre of what it is of, and the least share by which that can be known.
    pub density: Option<(Exact, Exact)>,
}

/// How the words around a figure are meant.
#[derive(Debug, Clone, Copy)]
pub struct Manner {
    pub bound: Bound,
    pub about: bool,
    pub oven: bool,
}

/// Grams in a US cup (236.588 mL), USDA SR28 portion weights, and how well a spoon or a jug can know it.
const CUPS: &[(&str, i128, i128)] = &[
    ("milk", 244, 3),
    ("cream", 238, 3),
    ("buttermilk", 245, 3),
    ("yoghurt", 245, 3),
    ("whey", 246, 3),
    ("lemon juice", 244, 3),
    ("salt", 292, 5),
    ("oil", 216, 5),
];

/// The density of a thing by the last words of its name.
pub fn density(name: &str) -> Option<(Exact, Exact)> {
    let name = name.split(',').next().unwrap_or(name);
    let longest = CUPS.iter().filter(|(end, ..)| name.ends_with(end)).max_by_key(|(end, ..)| end.len());
    let (_, cup, percent) = longest?;
    Some((Exact::whole(*cup) / Exact::new(2_365_882_365, 10_000_000), Exact::new(*percent, 100)))
}

/// Whether a written quantity says what the model says.
pub fn states(model: &Model, said: &Written, manner: Manner) -> bool {
    let opposite = [model.bound, manner.bound];
    if opposite.contains(&Bound::AtLeast) && opposite.contains(&Bound::AtMost) {
        return false;
    }
    let agrees = |end: Exact, index: usize| end_agrees(model, end, said, index, manner);
    if said.is_range() {
        // `1 to 1 litre` rounds 1 to 1.1 litres, and yet is no range.
        let open = said.low.value != said.ends()[1].value || model.low == model.high;
        return open && model.range && agrees(model.low, 0) && agrees(model.high, 1);
    }
    if !model.range {
        return agrees(model.low, 0);
    }
    let value = said.unit.base(said.low.value);
    let inside = said.unit.kind == model.kind && model.low < value && value < model.high;
    match manner.bound {
        Bound::AtLeast => agrees(model.low, 0),
        Bound::AtMost => agrees(model.high, 0),
        Bound::None => inside || agrees(model.low, 0) || agrees(model.high, 0),
    }
}

fn end_agrees(model: &Model, end: Exact, said: &Written, index: usize, manner: Manner) -> bool {
    let number = said.ends()[index];
    let value = said.unit.base(number.value);
    if said.unit.kind != model.kind {
        return by_density(model, end, value, said.unit);
    }
    if said.unit.metric {
        // The model rounded to the figures written; words and fractions leave nothing to round.
        let own = said.unit.value(end);
        return match number.form {
            Form::Figures(decimals) if model.kind != Kind::Count => {
                own.round_to(Exact::new(1, 10i128.pow(decimals))) == number.value
            }
            _ => own == number.value,
        };
    }
    let minimum = model.bound == Bound::AtLeast;
    in_two_systems(model.kind, end, value, said.unit, Tolerance { minimum, about: manner.about, oven: manner.oven })
}

fn by_density(model: &Model, end: Exact, value: Exact, unit: &Unit) -> bool {
    let Some((density, share)) = model.density else { return false };
    let (grams, millilitres) = match (model.kind, unit.kind) {
        (Kind::Mass, Kind::Volume) => (end, value),
        (Kind::Volume, Kind::Mass) => (value, end),
        _ => return false,
    };
    let weighed = millilitres * density;
    (weighed - grams).abs() <= weighed.max(grams) * share
}

#[derive(Debug, Clone, Copy)]
struct Tolerance {
    minimum: bool,
    about: bool,
    oven: bool,
}

/// A metric value beside one in another system.
fn in_two_systems(kind: Kind, metric: Exact, other: Exact, unit: &Unit, tolerance: Tolerance) -> bool {
    let (gap, larger) = ((metric - other).abs(), metric.abs().max(other.abs()));
    match kind {
        Kind::Temperature => temperature(metric, gap * Exact::new(9, 5), metric - other, tolerance),
        Kind::Mass | Kind::Volume => {
            let convention = match unit.one {
                "pint" => 600,
                "US pint" => 500,
                "oz" => 30,
                _ => 0,
            };
            let called = unit.value(other) * Exact::whole(convention);
            let conventional = convention > 0 && (called - metric).abs() <= called * Exact::new(15, 1000);
            gap <= larger * Exact::new(35, 1000) || gap <= Exact::new(1, 2) || conventional
        }
        Kind::Length => {
            let floor = if larger < Exact::whole(50) {
                3
            } else if larger <= Exact::whole(100) {
                5
            } else {
                0
            };
            gap <= larger * Exact::new(25, 1000) || gap <= Exact::whole(floor)
        }
        Kind::Time | Kind::Share | Kind::Count => metric == other,
    }
}

fn temperature(celsius: Exact, gap_in_f: Exact, above_in_c: Exact, tolerance: Tolerance) -> bool {
    let limit = if tolerance.about {
        Exact::whole(2)
    } else if celsius.is_whole() {
        Exact::ONE
    } else {
        Exact::new(3, 5)
    };
    let rounded_up = tolerance.minimum && above_in_c >= Exact::ZERO && above_in_c < Exact::ONE;
    let multiple = |of: i128| (celsius / Exact::whole(of)).is_whole();
    let dial =
        tolerance.oven && (multiple(10) && gap_in_f <= Exact::whole(9) || multiple(5) && gap_in_f <= Exact::new(9, 2));
    gap_in_f <= limit || rounded_up || dial
}

/// Whether the two halves of a pair can be one measure.
pub fn pair_holds(a: &Written, b: &Written, minimum: bool, manner: Manner) -> bool {
    if a.unit.kind != b.unit.kind || a.is_range() != b.is_range() {
        return a.unit.kind != b.unit.kind;
    }
    let tolerance = Tolerance { minimum, about: manner.about, oven: manner.oven };
    a.ends().iter().zip(b.ends()).all(|(x, y)| {
        let (left, right) = (a.unit.base(x.value), b.unit.base(y.value));
        match (a.unit.metric, b.unit.metric) {
            (true, false) => in_two_systems(a.unit.kind, left, right, b.unit, tolerance),
            (false, true) => in_two_systems(a.unit.kind, right, left, a.unit, tolerance),
            _ => left == right,
        }
    })
}
