//! The one place where pages ask how a measure is printed: as its author wrote it, and beside it as a reader of the other
//! system would measure it.
//!
//! What can be measured, and how finely, is the business of [`kitchen`](crate::kitchen); decided here is only what is
//! asked there, and whether the answer tells the reader anything new.

use crate::kitchen::{Ask, Care, Form, Kitchen, Kitchens, MeasuredRange, Method, QUARTS, Reader, Tool, gas_mark};
use crate::quantity::print::{self, NO_BREAK, Style};
use crate::quantity::{Amount, Bound, Dimension, Exact, Home, System, Unit, UnitId, Units};
use crate::reference::{Oven, PantryEntry, Reference};

/// A measure as a page shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Printed {
    /// As its author wrote it.
    pub text: String,
    /// As one measures it in the other system of units. A limit's words stand in `text` alone.
    pub other: Option<Other>,
}

/// A measure in the other system.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Other {
    /// In words, an oven's mark included.
    pub text: String,
    /// Whose kitchen it comes from.
    pub reader: Reader,
    /// With what it is measured there.
    pub tool: Tool,
    /// The mark on a British oven's dial.
    pub mark: Option<String>,
}

/// What is known of the thing that is measured.
#[derive(Debug, Clone, Copy)]
pub(super) struct Thing {
    pub density: Option<Exact>,
    pub care: Care,
    /// Measured by the cup in America and weighed elsewhere.
    dry: bool,
    /// It goes in, so that it is measured out.
    pub ingredient: bool,
    /// A temperature is an oven's setting.
    pub oven: bool,
}

impl Default for Thing {
    /// Something of which nothing is known. A figure beside it must then be close.
    fn default() -> Thing {
        Thing { density: None, care: Care::Careful, dry: false, ingredient: false, oven: false }
    }
}

impl Thing {
    /// An ingredient.
    pub(super) fn of_entry(entry: &PantryEntry) -> Thing {
        const DRY: [&str; 8] = ["flour", "grain", "starch", "cocoa", "sugar", "seed", "spice", "nut"];
        let dry = entry.tags.iter().any(|tag| DRY.contains(&tag.as_str()));
        // Whether a curd sets hangs on the acid.
        let acid = entry.tags.iter().any(|tag| tag == "acid");
        let care = if acid { Care::Careful } else { Care::of_tags(&entry.tags) };
        Thing { density: entry.density, care, dry, ingredient: true, oven: false }
    }

    /// The same; what a pot holds is told roughly.
    pub(super) fn held(self, in_a_pot: bool) -> Thing {
        Thing { care: if in_a_pot { Care::Ordinary } else { self.care }, ..self }
    }

    /// A pot or a tub: much of what is not measured out.
    pub(super) fn is_pot(self, dimension: Dimension, low: Exact) -> bool {
        dimension == Dimension::Volume && !self.ingredient && low >= Exact::whole(1000)
    }

    /// A temperature, which may be an oven's.
    pub(super) fn of_heat(oven: bool) -> Thing {
        Thing { oven, ..Thing::default() }
    }
}

/// Prints measures for one course.
pub(super) struct Printer<'a> {
    units: &'a Units,
    ovens: &'a [Oven],
    style: Style,
    customary: Reader,
    /// Missing only where the table of units lacks what kitchens measure in.
    kitchens: Option<Kitchens<'a>>,
}

impl<'a> Printer<'a> {
    pub(super) fn new(reference: &'a Reference, home: Home) -> Printer<'a> {
        let customary = Reader::customary(home);
        let Reference { units, ovens, .. } = reference;
        Printer { units, ovens, style: units.style(), customary, kitchens: Kitchens::new(reference, home) }
    }

    /// A measure of the model. Where the author's own words convert it, as in `43 °C (110 °F)`, the page rounds as
    /// they do: two figures for one reading would make a student stop and wonder.
    pub(super) fn measure(&self, amount: &Amount, stated: &[Amount], thing: Thing) -> Printed {
        let unit = self.units.get(amount.unit());
        let (low, high) = (amount.low.quantity.base(), amount.high.quantity.base());
        let theirs = self.stated(amount, stated).map(|plain| {
            let other = &plain;
            let (text, unit) = (print::amount(&plain, self.units, self.style), self.units.get(other.unit()));
            let reader = self.beside(self.units.get(amount.unit()).system).unwrap_or(Reader::Metric);
            Other { text, reader, tool: Tool::of_unit(unit), mark: None }
        });
        let ours = || self.other(unit, low, high, Ask { bound: amount.bound, ..ask(thing) }, thing);
        let mut other = theirs.or_else(ours);
        other = self.with_millilitres(unit, low, high, other);
        if let (Some(other), Some(mark)) = (&mut other, self.gas_mark(amount, thing)) {
            let mark = format!("gas mark {mark}");
            other.text.push_str(&format!(", {mark}"));
            other.mark = Some(mark);
        }
        Printed { text: print::amount(amount, self.units, self.style), other }
    }

    /// The author's own conversion of an amount, without its limit.
    pub(super) fn stated(&self, amount: &Amount, stated: &[Amount]) -> Option<Amount> {
        let other = stated.iter().find(|other| self.converts(amount, other))?;
        Some(Amount { bound: Bound::None, about: false, bare: false, ..*other })
    }

    /// What a pot holds. Nobody reads a pot's size to a quarter of a pint, and from about five litres the pints are too
    /// many to mean anything.
    pub(super) fn vessel(&self, amount: &Amount, stated: &[Amount]) -> Printed {
        let printed = self.measure(amount, stated, Thing::default());
        let unit = self.units.get(amount.unit());
        let (low, high) = (amount.low.quantity.base(), amount.high.quantity.base());
        let theirs = stated.iter().any(|other| self.converts(amount, other));
        if theirs || printed.other.is_none() || unit.dimension != Dimension::Volume || low < Exact::whole(2000) {
            return printed;
        }
        let large = high >= Exact::whole(5000);
        let (id, step) = match self.beside(unit.system) {
            Some(Reader::Imperial) if large => return Printed { other: None, ..printed },
            Some(Reader::Imperial) => ("imperial-pint", Exact::ONE),
            Some(Reader::Us) if large => (QUARTS.unit, Exact::ONE),
            Some(Reader::Metric) => ("litre", Exact::new(1, 2)),
            _ => return printed,
        };
        let other = self.units.find(id).zip(self.beside(unit.system)).map(|(id, reader)| {
            let value = |base| self.units.get(id).from_base(base).round_to(step);
            let number = |value| print::kitchen_number(value, id, self.units, self.style);
            let text = self.range(value(low), value(high), id, false, number);
            Other { text, reader, tool: Tool::Pot, mark: None }
        });
        Printed { other, ..printed }
    }

    /// British ovens are marked in numbers too.
    fn gas_mark(&self, amount: &Amount, thing: Thing) -> Option<String> {
        let setting = thing.oven && amount.dimension() == Dimension::Temperature && !amount.range;
        let british = self.customary == Reader::Imperial;
        (setting && british).then(|| gas_mark(amount.low.quantity.base(), self.ovens)).flatten()
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

    /// The kitchens of this course's readers.
    pub(super) fn kitchens(&self) -> Option<&Kitchens<'a>> {
        self.kitchens.as_ref()
    }

    fn kitchen(&self, reader: Reader) -> Option<&Kitchen<'a>> {
        self.kitchens.as_ref().map(|kitchens| kitchens.of(reader))
    }

    /// A part of a measure, from base value to base value: in the measure's own unit where the figure is short, else
    /// as one measures it.
    pub(super) fn part(&self, of: &Amount, low: Exact, high: Exact, thing: Thing) -> Printed {
        let unit = self.units.get(of.unit());
        let short = [low, high].into_iter().all(|base| is_short(unit.from_base(base), unit));
        let measured = if short { None } else { self.own(unit, low, high, thing) };
        let text = measured.unwrap_or_else(|| {
            let number = |value| print::kitchen_number(value, of.unit(), self.units, self.style);
            self.range(unit.from_base(low), unit.from_base(high), of.unit(), of.bare, number)
        });
        let other = self.other(unit, low, high, ask(thing), thing).filter(|other| other.text != text);
        let other = if short { self.with_millilitres(unit, low, high, other) } else { other };
        let about = if of.about && !text.starts_with(ABOUT) { ABOUT } else { "" };
        let text = format!("{}{about}{text}", print::bound_words(of.bound));
        Printed { text, other }
    }

    /// As one measures it in the author's own system.
    fn own(&self, unit: &Unit, low: Exact, high: Exact, thing: Thing) -> Option<String> {
        let reader = match unit.system {
            System::Metric => Reader::Metric,
            System::Us => Reader::Us,
            System::Imperial => Reader::Imperial,
            System::Customary => self.customary,
            System::Label | System::Any => return None,
        };
        let ask = Ask { tool: Tool::of_unit(unit), ..ask(thing) };
        self.kitchen(reader)?.measure_range(unit.dimension, low, high, &ask).ok().map(|range| range.text)
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

    /// As one measures it in the other system; nothing where there is none, or where it would be the same.
    fn other(&self, unit: &Unit, low: Exact, high: Exact, ask: Ask, thing: Thing) -> Option<Other> {
        let reader = self.beside(unit.system)?;
        let kitchen = self.kitchen(reader)?;
        if unit.approximate || matches!(unit.dimension, Dimension::Energy | Dimension::Power) {
            return None;
        }
        if reader == Reader::Us && thing.is_pot(unit.dimension, low) {
            let ask = Ask { tool: Tool::Pot, care: Care::Ordinary, ..ask };
            let range = kitchen.measure_range(unit.dimension, low, high, &ask).ok()?;
            return Some(Other { text: kitchen.words(&range, Form::default()), reader, tool: Tool::Pot, mark: None });
        }
        tools(unit, thing).iter().find_map(|tool| {
            let range = kitchen.measure_range(unit.dimension, low, high, &Ask { tool: *tool, ..ask }).ok()?;
            let news = self.is_news(unit, low, &range) && self.is_handy(reader, &range);
            news.then_some(Other { text: range.text, reader, tool: *tool, mark: None })
        })
    }

    /// Spoons and cups differ from country to country, so their millilitres stand before any other figure.
    fn with_millilitres(&self, unit: &Unit, low: Exact, high: Exact, other: Option<Other>) -> Option<Other> {
        let spooned = unit.dimension == Dimension::Volume && Tool::of_unit(unit) == Tool::Spoons;
        if !spooned || unit.approximate || other.as_ref().is_some_and(|other| self.speaks_of_litres(&other.text)) {
            return other;
        }
        let kitchen = self.kitchen(Reader::Metric)?;
        let ask = Ask { tool: Tool::Beaker, ..Ask::default() };
        let Ok(range) = kitchen.measure_range(unit.dimension, low, high, &ask) else { return other };
        let first = kitchen.words(&range, Form::default());
        let text = other.map_or(first.clone(), |other| format!("{first}, {}", other.text));
        Some(Other { text, reader: Reader::Metric, tool: Tool::Beaker, mark: None })
    }

    fn speaks_of_litres(&self, text: &str) -> bool {
        let metric = ["millilitre", "litre"].map(|id| self.units.find(id).map(|id| self.units.get(id).symbol.as_str()));
        text.split([NO_BREAK, ' ']).any(|word| metric.contains(&Some(word)))
    }

    /// Whether an answer is a help: at most two fillings, and no cups for British readers, who have none.
    fn is_handy(&self, reader: Reader, range: &MeasuredRange) -> bool {
        let cups = |unit: UnitId| reader == Reader::Imperial && self.units.get(unit).one.ends_with("cup");
        [&range.low, &range.high]
            .iter()
            .all(|end| end.parts.len() <= 2 && !end.parts.iter().any(|part| cups(part.unit)))
    }

    /// Whether an answer is measured otherwise than the author does: 9 g on a scale is 9 g in every kitchen, and half a
    /// teaspoon is half a teaspoon.
    fn is_news(&self, unit: &Unit, low: Exact, range: &MeasuredRange) -> bool {
        let last_word = |unit: &Unit| unit.one.rsplit(' ').next().unwrap_or_default().to_owned();
        if range.low.method != Method::Spoons {
            return range.high.parts.iter().any(|part| self.units.get(part.unit).system != unit.system);
        }
        let [part] = range.low.parts.as_slice() else { return true };
        part.number != unit.from_base(low) || last_word(self.units.get(part.unit)) != last_word(unit)
    }
}

const ABOUT: &str = "about ";

fn ask(thing: Thing) -> Ask {
    Ask { density: thing.density, care: thing.care, oven: thing.oven, ..Ask::default() }
}

/// What a reader of the other system takes to hand, the likeliest first.
pub(super) fn tools(unit: &Unit, thing: Thing) -> &'static [Tool] {
    match (unit.dimension, Tool::of_unit(unit)) {
        // A small weight that no scale in ounces shows is spooned.
        (Dimension::Mass, _) if thing.density.is_some() => &[Tool::Scale, Tool::Spoons],
        // An American cup of flour is weighed elsewhere.
        (Dimension::Volume, Tool::Spoons) if unit.one.ends_with("cup") => {
            if thing.dry && thing.density.is_some() {
                &[Tool::Scale, Tool::Jug]
            } else {
                &[Tool::Jug]
            }
        }
        (Dimension::Volume, Tool::Spoons) => &[Tool::Spoons],
        (Dimension::Volume, _) => &[Tool::Jug],
        _ => &[Tool::Scale],
    }
}

/// Whether a figure can be measured as it stands: `80`, `2.5`, `⅔` of a cup, but not 26.6667 mL or ¼ tbsp.
fn is_short(value: Exact, unit: &Unit) -> bool {
    if Tool::of_unit(unit) == Tool::Spoons {
        let parts: &[i128] = if unit.one.ends_with("tablespoon") { &[1, 2] } else { &[1, 2, 3, 4, 8] };
        return parts.contains(&value.under());
    }
    let step = if value.abs() < Exact::whole(10) { 100 } else { 10 };
    (value * Exact::whole(step)).is_whole()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::parse_amount;

    fn print(home: Home, text: &str) -> String {
        let reference = Reference::built_in(home);
        let amount = parse_amount(text, &reference.units).unwrap();
        let printed = Printer::new(&reference, home).measure(&amount, &[], Thing::default());
        let other = printed.other.map_or(String::new(), |other| format!(" ({})", other.text));
        format!("{}{other}", printed.text).replace('\u{A0}', " ")
    }

    /// Conversions by NIST SP 811 and the Weights and Measures Act 1985, rounded as `kitchen` rounds.
    #[test]
    fn a_british_course_shows_imperial_beside_metric() {
        for (written, want) in [
            ("4 L", "4 L (7 imperial pints)"),
            ("120 mL", "120 mL"),
            ("1 L", "1 L (1¾ imperial pints)"),
            ("92 °C", "92 °C (198 °F)"),
            ("at most 5 °C", "at most 5 °C (41 °F)"),
            ("at most -18 °C", "at most −18 °C (−1 °F)"),
            ("9 g", "9 g"),
            ("550–650 g", "550–650 g (1 lb 3½ oz to 1 lb 7 oz)"),
            ("500 g", "500 g (1 lb 1½ oz)"),
            ("15 cm", "15 cm (6 in)"),
            ("2.5 cm", "2.5 cm (1 in)"),
            ("20–25 min", "20–25 min"),
            ("1 h 30 min", "1 h 30 min"),
            ("about 2 h", "about 2 h"),
            ("4 days", "4 days"),
            ("1.5 %", "1.5 %"),
            ("8", "8"),
            ("5 mL", "5 mL (1 tsp)"),
            ("1–1.1 L", "1–1.1 L (35–39 imp fl oz)"),
        ] {
            assert_eq!(print(Home::Uk, written), want);
        }
    }

    #[test]
    fn an_american_course_shows_the_other_way_round_too() {
        for (written, want) in [
            ("80 mL", "80 mL (⅓ cup)"),
            ("4 L", "4 L (4¼ US quarts)"),
            ("3.2–3.5 L", "3.2–3.5 L (3½–3¾ US quarts)"),
            ("1 1/2 cups", "1½ cups (350 mL)"),
            ("1 lb 4 oz", "1 lb 4 oz (565 g)"),
            ("350 °F", "350 °F (177 °C)"),
            ("½ teaspoon", "½ tsp (2.5 mL)"),
            ("1–2 tbsp", "1–2 tbsp (15–30 mL)"),
            ("¾ cup", "¾ cup (175 mL)"),
        ] {
            assert_eq!(print(Home::Us, written), want);
        }
    }

    /// An Australian tablespoon is 20 mL by AS 1325, from memory; others are 15 mL.
    #[test]
    fn spoons_and_cups_are_told_in_millilitres_first() {
        for (home, written, name, want) in [
            (Home::Au, "1 tbsp", "olive oil", "20 mL"),
            (Home::Nz, "1 tbsp", "olive oil", "15 mL"),
            (Home::Uk, "¼ tsp", "fine salt", "1.25 mL"),
            (Home::Us, "1 cup", "plain flour", "240 mL, 125 g"),
            (Home::Us, "2–3 cups", "water", "470–700 mL"),
        ] {
            let reference = Reference::built_in(home);
            let entry = reference.pantry.get(reference.pantry.find(name).unwrap());
            let amount = parse_amount(written, &reference.units).unwrap();
            let printed = Printer::new(&reference, home).measure(&amount, &[], Thing::of_entry(entry));
            assert_eq!(
                printed.other.map(|other| other.text).unwrap_or_default().replace(NO_BREAK, " "),
                want,
                "{written} {name}"
            );
        }
    }

    #[test]
    fn a_pot_is_told_in_whole_units_or_not_at_all() {
        for (home, written, want) in [
            (Home::Uk, "9 L", None),
            (Home::Uk, "6 L", None),
            (Home::Uk, "2 L", Some("4 imperial pints")),
            (Home::Uk, "500 mL", Some("about 18 imp fl oz")),
            (Home::Us, "6 L", Some("6 US quarts")),
            (Home::Us, "5–6 L", Some("5–6 US quarts")),
            (Home::Us, "8 qt", Some("7.5 L")),
        ] {
            let reference = Reference::built_in(home);
            let amount = parse_amount(written, &reference.units).unwrap();
            let printed = Printer::new(&reference, home).vessel(&amount, &[]);
            assert_eq!(printed.other.map(|other| other.text.replace(NO_BREAK, " ")).as_deref(), want, "{written}");
        }
    }

    #[test]
    fn the_author_s_own_conversion_goes_before_ours() {
        let reference = Reference::built_in(Home::Uk);
        let printer = Printer::new(&reference, Home::Uk);
        let amount = |text: &str| parse_amount(text, &reference.units).unwrap();
        for (written, stated, want) in [
            ("43 °C", &["43 °C", "about 110 °F"][..], "110 °F"),
            ("3.2–3.4 L", &["3.3 L", "6 pints", "5½ to 6 pints"], "5½–6 imperial pints"),
            ("6 g", &["1 teaspoon", "1 US cup"], ""),
            ("43 °C", &[], "109 °F"),
        ] {
            let stated: Vec<Amount> = stated.iter().map(|text| amount(text)).collect();
            let other = printer.measure(&amount(written), &stated, Thing::default()).other;
            let other = other.map(|other| other.text).unwrap_or_default();
            assert_eq!(other.replace(NO_BREAK, " "), want);
        }
    }

    #[test]
    fn a_part_keeps_the_unit_of_the_whole_where_the_figure_is_short() {
        let reference = Reference::built_in(Home::Uk);
        let printer = Printer::new(&reference, Home::Uk);
        for (whole, over, under, want, other) in [
            ("120 mL", 2, 3, "80 mL", None),
            ("80 mL", 1, 3, "about 1 tbsp + 2½ tsp", None),
            ("500 g", 1, 3, "167 g", Some("about 6 oz")),
            ("1 L", 1, 8, "125 mL", Some("about 4½ imp fl oz")),
            ("2 cups", 1, 3, "⅔ cup", Some("165 mL, about 6 imp fl oz")),
            ("1 tbsp", 1, 4, "¾ tsp", None),
            ("about 2 L", 1, 2, "about 1 L", Some("1¾ imperial pints")),
        ] {
            let whole = parse_amount(whole, &reference.units).unwrap();
            let part = whole.low.quantity.base() * Exact::new(over, under);
            let printed = printer.part(&whole, part, part, Thing::default());
            let plain = |text: &str| text.replace('\u{A0}', " ");
            assert_eq!(
                (plain(&printed.text).as_str(), printed.other.as_ref().map(|other| plain(&other.text)).as_deref()),
                (want, other)
            );
        }
    }

    #[test]
    fn what_no_scale_in_ounces_shows_is_spooned() {
        let reference = Reference::built_in(Home::Uk);
        let printer = Printer::new(&reference, Home::Uk);
        // Densities of the pantry; 292 g of fine salt to a US cup is USDA SR28.
        for (amount, name, want) in [
            ("9 g", "fine salt", Some("about 1½ tsp")),
            ("11 g", "fine salt", Some("1¾ tsp")),
            ("10 g", "fine salt", None),
            ("0.3 g", "fine salt", None),
            ("500 g", "strong white flour", Some("1 lb 1½ oz")),
            ("30 mL", "olive oil", Some("2 tbsp")),
        ] {
            let entry = reference.pantry.get(reference.pantry.find(name).unwrap());
            let amount = parse_amount(amount, &reference.units).unwrap();
            let other = printer.measure(&amount, &[], Thing::of_entry(entry)).other;
            assert_eq!(other.map(|other| other.text.replace('\u{A0}', " ")).as_deref(), want, "{name}");
        }
    }

    /// British gas-mark tables; common practice.
    #[test]
    fn an_oven_shows_its_dials() {
        let reference = Reference::built_in(Home::Uk);
        let oven = Thing { oven: true, ..Thing::default() };
        for (home, written, want) in [
            (Home::Uk, "180 °C", Some("350 °F, gas mark 4")),
            (Home::Uk, "230 °C", Some("450 °F, gas mark 8")),
            (Home::Us, "350 °F", Some("180 °C")),
        ] {
            let printer = Printer::new(&reference, home);
            let amount = parse_amount(written, &reference.units).unwrap();
            let other = printer.measure(&amount, &[], oven).other;
            assert_eq!(other.map(|other| other.text.replace('\u{A0}', " ")).as_deref(), want, "{written}");
        }
    }
}
