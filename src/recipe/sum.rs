//! Sum blocks: a small reckoning that a student changes on the page, with the values it begins with.

use super::context::{COUNT, Context, LENGTH, SHARE, STUFF, TEMPERATURE, TIME, VOLUME, Want};
use super::model::{MeasureId, Owner};
use super::table::{Fields, choice, table};
use crate::diag::{Code, Diagnostic};
use crate::lesson::{Entry, TypedBlock};
use crate::quantity::{Amount, Dimension, Quantity};
use crate::source::Span;

/// Which sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SumKind {
    /// Hot and cold water for an amount at a temperature.
    Mix,
    /// How warm the water of a dough must be.
    DoughWater,
    /// Salt for a brine, its strength a share of the brine.
    Brine,
    /// Salt for a brine, its strength a share of the water.
    BrineOnWater,
    /// A weaker solution from a strong one.
    Dilute,
    /// Where water boils and jam sets at a height.
    Boiling,
    /// Rennet for milk by its strength.
    Rennet,
    /// Any dose by the litre.
    Dose,
    /// When what cools, or warms, is as warm as it should be.
    Cooling,
    /// What goes with an amount of flour.
    Bakers,
    /// What goes into an amount of dough.
    BakersDough,
    /// Ice that cools an amount.
    Ice,
}

/// In what a sum reckons with a value, whatever unit it is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SumScale {
    /// °C.
    Celsius,
    /// A difference of temperatures.
    Kelvin,
    /// Kilograms; a litre counts as one.
    Kilograms,
    /// Litres.
    Litres,
    /// Metres.
    Metres,
    /// Minutes.
    Minutes,
    /// Parts in a hundred.
    Percent,
    /// The number as it is written, in its own unit.
    AsWritten,
}

/// What a sum asks for, as [`SumValue`].
struct SumInput {
    key: &'static str,
    label: &'static str,
    scale: SumScale,
    low: f64,
    high: f64,
    missing: Missing,
    want: Want,
}

/// What a sum does where its block does not say a value.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Missing {
    /// It asks for it.
    Asks,
    /// It does without.
    Spares,
    /// It begins with the height of the course's kitchen.
    Height,
    /// It begins with the warmth of its room.
    Room,
}

/// A value that a sum begins with.
#[derive(Debug, Clone, PartialEq)]
pub struct SumValue {
    /// What the page calls it.
    pub label: String,
    /// In what the sum reckons.
    pub scale: SumScale,
    /// At least, on that scale.
    pub low: f64,
    /// At most.
    pub high: f64,
    /// The value.
    pub measure: MeasureId,
}

/// A sum of a lesson.
#[derive(Debug, Clone, PartialEq)]
pub struct Sum {
    /// Which.
    pub kind: SumKind,
    /// Place of the block's name.
    pub span: Span,
    /// What it begins with, in the order in which it reckons; the shares of a dough come last.
    pub values: Vec<SumValue>,
}

const NAMES: &[&str] =
    &["mix", "dough-water", "brine", "dilute", "boiling", "rennet", "dose", "bakers", "ice", "cooling"];

const MUCH: Want = Want { kinds: &[Dimension::Mass, Dimension::Volume], words: "a weight or a volume", example: "2 L" };
const FRICTION: Want = Want {
    kinds: &[Dimension::Difference, Dimension::Temperature],
    words: "a difference of temperatures",
    example: "4 °C",
};
const WEIGHT: Want = Want { kinds: &[Dimension::Mass], words: "a weight", example: "500 g" };
const LITRES: Want = Want { kinds: &[Dimension::Volume], example: "4 L", ..VOLUME };
const STRENGTH: Want = Want { example: "5 %", ..SHARE };
const HEIGHT: Want = Want { example: "600 m", ..LENGTH };
const PASSED: Want = Want { example: "10 min", ..TIME };
const UNITS: Want = Want { example: "200", ..COUNT };

/// An input that must be there.
const fn input(key: &'static str, label: &'static str, want: Want, scale: SumScale, low: f64, high: f64) -> SumInput {
    SumInput { key, label, scale, low, high, missing: Missing::Asks, want }
}

/// A temperature of water.
const fn water(key: &'static str, label: &'static str) -> SumInput {
    input(key, label, TEMPERATURE, SumScale::Celsius, 0.0, 100.0)
}

/// An amount that what comes out is measured like.
const fn much(key: &'static str, label: &'static str, want: Want) -> SumInput {
    input(key, label, want, SumScale::AsWritten, 0.0, 1e6)
}

const fn strength(key: &'static str, label: &'static str, high: f64) -> SumInput {
    input(key, label, STRENGTH, SumScale::Percent, 0.0, high)
}

const MIX: &[SumInput] = &[
    water("hot", "Hot water"),
    water("cold", "Cold water"),
    water("want", "Temperature wanted"),
    much("make", "Amount wanted", MUCH),
];
const DOUGH_WATER: &[SumInput] = &[
    input("dough", "Dough wanted", TEMPERATURE, SumScale::Celsius, 0.0, 60.0),
    input("friction", "Warmth of kneading", FRICTION, SumScale::Kelvin, 0.0, 40.0),
    input("room", "Room", TEMPERATURE, SumScale::Celsius, -40.0, 60.0),
    input("flour", "Flour", TEMPERATURE, SumScale::Celsius, -40.0, 60.0),
    SumInput { missing: Missing::Spares, ..input("leaven", "Leaven", TEMPERATURE, SumScale::Celsius, -40.0, 60.0) },
];
const BRINE: &[SumInput] =
    &[input("water", "Water", MUCH, SumScale::Kilograms, 0.0, 1e6), strength("strength", "Salt in the brine", 26.0)];
const BRINE_ON_WATER: &[SumInput] =
    &[input("water", "Water", MUCH, SumScale::Kilograms, 0.0, 1e6), strength("strength", "Salt to the water", 35.0)];
const DILUTE: &[SumInput] = &[
    strength("strong", "Strength of the strong", 100.0),
    strength("weak", "Strength wanted", 100.0),
    much("make", "Amount wanted", MUCH),
];
const BOILING: &[SumInput] = &[SumInput {
    missing: Missing::Height,
    ..input("height", "Height above the sea", HEIGHT, SumScale::Metres, -430.0, 9000.0)
}];
const RENNET: &[SumInput] = &[
    input("milk", "Milk", LITRES, SumScale::Litres, 0.0, 1e6),
    input("dose", "IMCU for a litre", UNITS, SumScale::AsWritten, 1.0, 300.0),
    input("strength", "IMCU in a millilitre", UNITS, SumScale::AsWritten, 20.0, 2000.0),
];
const DOSE: &[SumInput] = &[
    input("milk", "Milk", LITRES, SumScale::Litres, 0.0, 1e6),
    input("each", "For a litre", STUFF, SumScale::AsWritten, 0.0, 200.0),
];
const BAKERS: &[SumInput] = &[much("flour", "Flour", WEIGHT)];
const BAKERS_DOUGH: &[SumInput] = &[much("dough", "Dough", WEIGHT)];
const ICE: &[SumInput] = &[
    input("cool", "What is cooled", MUCH, SumScale::Kilograms, 0.0, 1e6),
    water("from", "It holds"),
    water("to", "Temperature wanted"),
];

const COOLING: &[SumInput] = &[
    water("from", "At first"),
    water("to", "Temperature wanted"),
    SumInput { missing: Missing::Room, ..input("room", "Room or bath", TEMPERATURE, SumScale::Celsius, -40.0, 100.0) },
    input("after", "Read again after", PASSED, SumScale::Minutes, 0.5, 1440.0),
    water("read", "What you read"),
];

impl SumKind {
    /// What it asks for.
    fn inputs(self) -> &'static [SumInput] {
        match self {
            SumKind::Mix => MIX,
            SumKind::DoughWater => DOUGH_WATER,
            SumKind::Brine => BRINE,
            SumKind::BrineOnWater => BRINE_ON_WATER,
            SumKind::Dilute => DILUTE,
            SumKind::Boiling => BOILING,
            SumKind::Rennet => RENNET,
            SumKind::Dose => DOSE,
            SumKind::Bakers => BAKERS,
            SumKind::BakersDough => BAKERS_DOUGH,
            SumKind::Ice => ICE,
            SumKind::Cooling => COOLING,
        }
    }

    /// What the block is, and all its keys.
    fn keys(self) -> (&'static str, &'static [&'static str]) {
        match self {
            SumKind::Mix => ("a `mix` sum", &["of", "hot", "cold", "want", "make"]),
            SumKind::DoughWater => ("a `dough-water` sum", &["of", "dough", "friction", "room", "flour", "leaven"]),
            SumKind::Brine | SumKind::BrineOnWater => ("a `brine` sum", &["of", "water", "strength", "basis"]),
            SumKind::Dilute => ("a `dilute` sum", &["of", "strong", "weak", "make"]),
            SumKind::Boiling => ("a `boiling` sum", &["of", "height"]),
            SumKind::Rennet => ("a `rennet` sum", &["of", "milk", "dose", "strength"]),
            SumKind::Dose => ("a `dose` sum", &["of", "milk", "each"]),
            SumKind::Bakers => ("a `bakers` sum", &["of", "flour", "shares"]),
            SumKind::BakersDough => ("a `bakers` sum", &["of", "dough", "shares"]),
            SumKind::Ice => ("an `ice` sum", &["of", "cool", "from", "to"]),
            SumKind::Cooling => ("a `cooling` sum", &["of", "from", "to", "room", "after", "read"]),
        }
    }
}

fn sum_value(input: &SumInput, measure: MeasureId) -> SumValue {
    let SumInput { label, scale, low, high, .. } = *input;
    SumValue { label: label.to_owned(), scale, low, high, measure }
}

impl Context<'_> {
    /// Lowers a sum.
    pub fn sum(&mut self, index: usize, block: &TypedBlock) -> Option<Sum> {
        let kind = self.sum_kind(block)?;
        let (what, keys) = kind.keys();
        let fields = Fields::of_block(block, what, keys, self.sink);
        let mut values = Vec::new();
        let mut complete = !fields.has_unknown && !block.broken;
        for input in kind.inputs() {
            let entry = match input.missing {
                Missing::Asks => fields.required(input.key, &format!("\"{}\"", input.want.example), self.sink),
                _ => fields.get(input.key),
            };
            let measure = match (entry, input.missing) {
                (Some(entry), _) => self.sum_measure(index, entry, input.want, input.scale),
                (None, Missing::Asks) => None,
                (None, Missing::Spares) => continue,
                (None, Missing::Height) => self.sum_begins(index, block, input.key, self.place.height(self.units)),
                (None, Missing::Room) => self.sum_begins(index, block, input.key, self.place.warmth(self.units)),
            };
            match measure {
                Some(measure) => values.push(sum_value(input, measure)),
                None => complete = false,
            }
        }
        if matches!(kind, SumKind::Bakers | SumKind::BakersDough) {
            let shares = fields.required("shares", "{ water = \"65 %\", salt = \"2 %\" }", self.sink)?;
            values.extend(self.sum_shares(index, shares)?);
        }
        complete.then_some(Sum { kind, span: block.name_span, values })
    }

    /// Which sum a block is of, and in which of its forms.
    fn sum_kind(&mut self, block: &TypedBlock) -> Option<SumKind> {
        let entry = |key: &str| block.body.entries.iter().find(|entry| entry.key == key);
        let Some(of) = entry("of") else {
            if !block.broken {
                let found = Diagnostic::new(Code::MissingKey, "a sum block needs `of`", block.name_span);
                let all = crate::keys::fields::listed(NAMES);
                self.sink.push(found.help(format!("add `of = \"mix\"`; the sums are {all}")));
            }
            return None;
        };
        Some(match choice("of", &of.value, NAMES, self.sink)? {
            "mix" => SumKind::Mix,
            "dough-water" => SumKind::DoughWater,
            "brine" => match entry("basis") {
                None => SumKind::Brine,
                Some(basis) => match choice("basis", &basis.value, &["brine", "water"], self.sink)? {
                    "water" => SumKind::BrineOnWater,
                    _ => SumKind::Brine,
                },
            },
            "dilute" => SumKind::Dilute,
            "boiling" => SumKind::Boiling,
            "rennet" => SumKind::Rennet,
            "dose" => SumKind::Dose,
            "bakers" if entry("dough").is_some() => SumKind::BakersDough,
            "bakers" => SumKind::Bakers,
            "cooling" => SumKind::Cooling,
            _ => SumKind::Ice,
        })
    }

    /// A value that the block leaves to the course's kitchen.
    fn sum_begins(&mut self, index: usize, block: &TypedBlock, key: &str, amount: Option<Amount>) -> Option<MeasureId> {
        let path = format!("sums.{}.{key}", index + 1);
        Some(self.measure(&path, amount?, block.name_span, Owner::Sum { lesson: self.lesson, sum: index }))
    }

    /// The shares of the flour, under the names that their author gives them.
    fn sum_shares(&mut self, index: usize, entry: &Entry) -> Option<Vec<SumValue>> {
        let shares = table("shares", &entry.value, "{ water = \"65 %\" }", self.sink)?;
        if shares.entries.is_empty() {
            let found = Diagnostic::new(Code::WrongType, "`shares` is empty", entry.value.span);
            self.sink.push(found.help("write it like `shares = { water = \"65 %\" }`"));
            return None;
        }
        let values = shares.entries.iter().map(|entry| {
            let measure = self.sum_measure(index, entry, STRENGTH, SumScale::Percent)?;
            let label = entry.key.replace(['-', '_'], " ");
            Some(SumValue { label, scale: SumScale::Percent, low: 0.0, high: 1000.0, measure })
        });
        values.collect::<Vec<_>>().into_iter().collect()
    }

    /// One value, which a field can hold.
    fn sum_measure(&mut self, index: usize, entry: &Entry, want: Want, scale: SumScale) -> Option<MeasureId> {
        let (mut amount, span) = self.amount(&entry.key, &entry.value, want)?;
        if amount.range || amount.low.compound {
            let message = format!("`{}` begins a sum, which needs one value in one unit", entry.key);
            let found = Diagnostic::new(Code::BadAmount, message, span);
            self.sink.push(found.help(format!("write it like `{}`", want.example)));
            return None;
        }
        if scale == SumScale::Kelvin && amount.dimension() == Dimension::Temperature {
            amount = self.as_difference(amount)?;
        }
        let path = format!("sums.{}.{}", index + 1, entry.key);
        Some(self.measure(&path, amount, span, Owner::Sum { lesson: self.lesson, sum: index }))
    }

    /// `4 °C` as a difference: so the trade writes it.
    fn as_difference(&self, amount: Amount) -> Option<Amount> {
        let mut end = amount.low;
        let kelvin = end.quantity.base() - self.units.get(end.unit).zero;
        end.quantity = Quantity::from_base(Dimension::Difference, kelvin)?;
        end.unit = self.units.change_of(end.unit)?;
        Some(Amount { about: amount.about, bare: amount.bare, ..Amount::single(end) })
    }
}
