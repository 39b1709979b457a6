//! The one place where pages ask how a measure is printed: as its author wrote it, and in the other system beside it.
//!
//! Sizes of units come from the table of units, and [`print`] sets the figures; what is decided here is only which
//! unit a reader is shown and how finely it is rounded.

use crate::quantity::print::{self, NO_BREAK, Style};
use crate::quantity::{Amount, Bound, Dimension, Exact, Home, System, Unit, UnitId, Units};

/// A measure as a page shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Printed {
    /// As its author wrote it.
    pub text: String,
    /// In the other system of units, rounded as one measures in it. A limit's words stand in `text` alone.
    pub other: Option<String>,
}

/// Prints measures for one course.
pub(super) struct Printer<'a> {
    units: &'a Units,
    style: Style,
    customary: Reader,
}

/// Whose kitchen a measure is converted for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Reader {
    Metric,
    Us,
    Imperial,
}

impl<'a> Printer<'a> {
    pub(super) fn new(units: &'a Units, home: Home, language: &str) -> Printer<'a> {
        let customary = match home {
            Home::Us | Home::Ca => Reader::Us,
            Home::Uk | Home::Au | Home::Nz => Reader::Imperial,
        };
        Printer { units, style: Style::for_language(language), customary }
    }

    /// A measure of the model. Where the author's own words convert it, as in `43 °C (110 °F)`, the page rounds as
    /// they do: two figures for one reading would make a student stop and wonder.
    pub(super) fn measure(&self, amount: &Amount, stated: &[Amount]) -> Printed {
        let unit = self.units.get(amount.unit());
        let theirs = stated.iter().find(|other| self.converts(amount, other)).map(|other| {
            let plain = Amount { bound: Bound::None, about: false, bare: false, ..*other };
            print::amount(&plain, self.units, self.style)
        });
        let ours = || self.other(unit, amount.low.quantity.base(), amount.high.quantity.base());
        Printed { text: print::amount(amount, self.units, self.style), other: theirs.or_else(ours) }
    }

    /// Whether `other` is the same amount in the system that stands beside the author's.
    fn converts(&self, amount: &Amount, other: &Amount) -> bool {
        let system = |amount: &Amount| self.units.get(amount.unit()).system;
        let beside = self.beside(system(amount)).is_some_and(|reader| match system(other) {
            System::Metric => reader == Reader::Metric,
            System::Us => reader == Reader::Us,
            System::Imperial => reader == Reader::Imperial,
            System::Customary => reader != Reader::Metric,
            System::Label | System::Any => false,
        });
        beside && amount.dimension() == other.dimension() && amount.range == other.range
    }

    /// The system shown beside another.
    fn beside(&self, system: System) -> Option<Reader> {
        match system {
            System::Metric => Some(self.customary),
            System::Us | System::Imperial | System::Customary => Some(Reader::Metric),
            System::Label | System::Any => None,
        }
    }

    /// A part of a measure, from base value to base value, in the measure's own unit.
    pub(super) fn part(&self, of: &Amount, low: Exact, high: Exact) -> Printed {
        let about = if of.about { "about " } else { "" };
        let unit = self.units.get(of.unit());
        let (from, to) = (unit.from_base(low), unit.from_base(high));
        let number = |value| print::kitchen_number(value, of.unit(), self.units, self.style);
        let text = self.range(from, to, of.unit(), of.bare, number);
        Printed { text: format!("{}{about}{text}", print::bound_words(of.bound)), other: self.other(unit, low, high) }
    }

    /// One value or two, in a unit.
    fn range(&self, low: Exact, high: Exact, unit: UnitId, bare: bool, number: impl Fn(Exact) -> String) -> String {
        let last = print::with_unit(&number(high), high, unit, bare, self.units);
        if low == high {
            return last;
        }
        let first = number(low);
        let sign = print::range_sign(&first, high < Exact::ZERO);
        format!("{first}{sign}{last}")
    }

    /// The same in the other system; nothing where there is none, or where it would round to nothing.
    fn other(&self, unit: &Unit, low: Exact, high: Exact) -> Option<String> {
        let reader = self.beside(unit.system)?;
        if unit.approximate {
            return None;
        }
        let rung = ladder(unit.dimension, reader).iter().find(|rung| high.abs() >= Exact::new(rung.from, 100))?;
        if rung.unit == POUNDS_AND_OUNCES {
            return self.pounds(low, high);
        }
        let id = self.units.find(rung.unit)?;
        let target = self.units.get(id);
        let (low, high) = (rung.round(target.from_base(low)), rung.round(target.from_base(high)));
        let nought_is_nothing = unit.dimension != Dimension::Temperature;
        if nought_is_nothing && (low.is_zero() || high.is_zero()) {
            return None;
        }
        Some(self.range(low, high, id, false, |value| self.number(value, rung.form)))
    }

    fn number(&self, value: Exact, form: Form) -> String {
        match form {
            Form::Fractions => print::fraction(value, self.style),
            Form::Figures => print::decimal(value, 0, self.style),
        }
    }

    /// From one to five pounds: `1 lb 4 oz`; a range in tenths of a pound, which is easier to compare.
    fn pounds(&self, low: Exact, high: Exact) -> Option<String> {
        let (pound, ounce) = (self.units.find("pound")?, self.units.find("ounce")?);
        let figures = |value| self.number(value, Form::Figures);
        if low != high {
            let tenth = Exact::new(1, 10);
            let in_pounds = |base| self.units.get(pound).from_base(base).round_to(tenth);
            return Some(self.range(in_pounds(low), in_pounds(high), pound, false, figures));
        }
        let in_a_pound = self.units.get(pound).size / self.units.get(ounce).size;
        let ounces = self.units.get(ounce).from_base(low).round_to(Exact::ONE);
        let whole = (ounces / in_a_pound).floor();
        let rest = ounces - whole * in_a_pound;
        let one = |value, unit| self.range(value, value, unit, false, figures);
        let pounds = one(whole, pound);
        Some(if rest.is_zero() { pounds } else { format!("{pounds}{NO_BREAK}{}", one(rest, ounce)) })
    }
}

/// How a rounded value is written.
#[derive(Debug, Clone, Copy)]
enum Form {
    Fractions,
    Figures,
}

/// A unit to print in, from which size on, and to what it is rounded.
struct Rung {
    unit: &'static str,
    /// Least value, in hundredths of the base unit.
    from: i128,
    /// What one rounds to, as fractions of the unit; the nearest of them is taken.
    steps: &'static [(i128, i128)],
    form: Form,
}

impl Rung {
    fn round(&self, value: Exact) -> Exact {
        let tries = self.steps.iter().map(|(over, under)| value.round_to(Exact::new(*over, *under)));
        tries.min_by_key(|rounded| (*rounded - value).abs()).unwrap_or(value)
    }
}

const POUNDS_AND_OUNCES: &str = "pounds and ounces";

const fn spoons(unit: &'static str, from: i128, steps: &'static [(i128, i128)]) -> Rung {
    Rung { unit, from, steps, form: Form::Fractions }
}

const fn figures(unit: &'static str, from: i128, steps: &'static [(i128, i128)]) -> Rung {
    Rung { unit, from, steps, form: Form::Figures }
}

const QUARTERS: &[(i128, i128)] = &[(1, 4)];
const HALVES: &[(i128, i128)] = &[(1, 2)];
const EIGHTHS: &[(i128, i128)] = &[(1, 8)];
const CUPS: &[(i128, i128)] = &[(1, 4), (1, 3)];
const WHOLE: &[(i128, i128)] = &[(1, 1)];
const FIVES: &[(i128, i128)] = &[(5, 1)];
const TENTHS: &[(i128, i128)] = &[(1, 10)];
const HUNDREDTHS: &[(i128, i128)] = &[(1, 100)];

const US_VOLUME: &[Rung] = &[
    spoons("us-quart", 94_600, QUARTERS),
    spoons("us-cup", 5_900, CUPS),
    spoons("us-tablespoon", 1_470, HALVES),
    spoons("us-teaspoon", 60, QUARTERS),
];
const IMPERIAL_VOLUME: &[Rung] =
    &[spoons("imperial-pint", 28_400, QUARTERS), spoons("imperial-fluid-ounce", 1_420, QUARTERS)];
const METRIC_VOLUME: &[Rung] = &[
    figures("litre", 100_000, &[(1, 20)]),
    figures("millilitre", 10_000, FIVES),
    figures("millilitre", 1_000, WHOLE),
    figures("millilitre", 0, TENTHS),
];
const POUNDS: &[Rung] = &[
    spoons("pound", 226_800, QUARTERS),
    spoons(POUNDS_AND_OUNCES, 45_300, WHOLE),
    spoons("ounce", 28_300, HALVES),
    figures("ounce", 2_800, TENTHS),
    figures("ounce", 0, HUNDREDTHS),
];
const GRAMS: &[Rung] = &[
    figures("kilogram", 100_000, HUNDREDTHS),
    figures("gram", 10_000, FIVES),
    figures("gram", 1_000, WHOLE),
    figures("gram", 0, TENTHS),
];
const INCHES: &[Rung] = &[
    spoons("inch", 61_000, WHOLE),
    spoons("inch", 15_000, HALVES),
    spoons("inch", 5_000, QUARTERS),
    spoons("inch", 150, EIGHTHS),
];
const CENTIMETRES: &[Rung] =
    &[figures("metre", 100_000, HUNDREDTHS), figures("centimetre", 1_000, HALVES), figures("millimetre", 0, WHOLE)];
const CELSIUS: &[Rung] = &[figures("celsius", 0, WHOLE)];
const FAHRENHEIT: &[Rung] = &[figures("fahrenheit", 0, WHOLE)];
const CELSIUS_STEPS: &[Rung] = &[figures("celsius-difference", 0, WHOLE)];
const FAHRENHEIT_STEPS: &[Rung] = &[figures("fahrenheit-difference", 0, WHOLE)];

/// The units a reader measures with, the largest first. Common practice: what jugs, spoons and scales are marked in.
fn ladder(dimension: Dimension, reader: Reader) -> &'static [Rung] {
    match (dimension, reader) {
        (Dimension::Volume, Reader::Us) => US_VOLUME,
        (Dimension::Volume, Reader::Imperial) => IMPERIAL_VOLUME,
        (Dimension::Volume, Reader::Metric) => METRIC_VOLUME,
        (Dimension::Mass, Reader::Metric) => GRAMS,
        (Dimension::Mass, _) => POUNDS,
        (Dimension::Length, Reader::Metric) => CENTIMETRES,
        (Dimension::Length, _) => INCHES,
        (Dimension::Temperature, Reader::Metric) => CELSIUS,
        (Dimension::Temperature, _) => FAHRENHEIT,
        (Dimension::Difference, Reader::Metric) => CELSIUS_STEPS,
        (Dimension::Difference, _) => FAHRENHEIT_STEPS,
        (Dimension::Time | Dimension::Share | Dimension::Count | Dimension::Energy | Dimension::Power, _) => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::parse_amount;
    use crate::reference::Reference;

    fn print(home: Home, text: &str) -> String {
        let units = Reference::built_in(home).units;
        let printed = Printer::new(&units, home, "en-GB").measure(&parse_amount(text, &units).unwrap(), &[]);
        let other = printed.other.map_or(String::new(), |other| format!(" ({other})"));
        format!("{}{other}", printed.text).replace('\u{A0}', " ")
    }

    /// Conversions by NIST SP 811 and the Weights and Measures Act 1985, rounded by the rungs above.
    #[test]
    fn a_british_course_shows_imperial_beside_metric() {
        for (written, want) in [
            ("4 L", "4 L (7 imperial pints)"),
            ("120 mL", "120 mL (4¼ imp fl oz)"),
            ("92 °C", "92 °C (198 °F)"),
            ("at most 5 °C", "at most 5 °C (41 °F)"),
            ("at most -18 °C", "at most −18 °C (0 °F)"),
            ("9 g", "9 g (0.32 oz)"),
            ("550–650 g", "550–650 g (1.2–1.4 lb)"),
            ("500 g", "500 g (1 lb 2 oz)"),
            ("15 cm", "15 cm (6 in)"),
            ("2.5 cm", "2.5 cm (1 in)"),
            ("20–25 min", "20–25 min"),
            ("1 h 30 min", "1 h 30 min"),
            ("about 2 h", "about 2 h"),
            ("4 days", "4 days"),
            ("1.5 %", "1.5 %"),
            ("8", "8"),
            ("5 mL", "5 mL"),
        ] {
            assert_eq!(print(Home::Uk, written), want);
        }
    }

    #[test]
    fn an_american_course_shows_the_other_way_round_too() {
        for (written, want) in [
            ("80 mL", "80 mL (⅓ US cup)"),
            ("4 L", "4 L (4¼ US quarts)"),
            ("1 1/2 cups", "1½ cups (355 mL)"),
            ("1 lb 4 oz", "1 lb 4 oz (565 g)"),
            ("350 °F", "350 °F (177 °C)"),
            ("½ teaspoon", "½ tsp (2.5 mL)"),
        ] {
            assert_eq!(print(Home::Us, written), want);
        }
    }

    #[test]
    fn the_author_s_own_conversion_goes_before_ours() {
        let units = Reference::built_in(Home::Uk).units;
        let printer = Printer::new(&units, Home::Uk, "en-GB");
        let amount = |text: &str| parse_amount(text, &units).unwrap();
        for (written, stated, want) in [
            ("43 °C", &["43 °C", "about 110 °F"][..], "110 °F"),
            ("3.2–3.4 L", &["3.3 L", "6 pints", "5½ to 6 pints"], "5½–6 imperial pints"),
            ("6 g", &["1 teaspoon", "1 US cup"], "0.21 oz"),
            ("43 °C", &[], "109 °F"),
        ] {
            let stated: Vec<Amount> = stated.iter().map(|text| amount(text)).collect();
            let other = printer.measure(&amount(written), &stated).other.unwrap();
            assert_eq!(other.replace(NO_BREAK, " "), want);
        }
    }

    #[test]
    fn a_part_keeps_the_unit_of_the_whole() {
        let units = Reference::built_in(Home::Uk).units;
        let whole = parse_amount("120 mL", &units).unwrap();
        let part = Exact::whole(80);
        let printed = Printer::new(&units, Home::Uk, "en-GB").part(&whole, part, part);
        assert_eq!(printed.text, "80\u{A0}mL");
        assert_eq!(printed.other.as_deref(), Some("2¾\u{A0}imp fl oz"));
    }
}
