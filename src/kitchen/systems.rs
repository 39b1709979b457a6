//! A reader's kitchen: which units they measure in, and which way of measuring is close enough.

use super::clock;
use super::heat::Degrees;
use super::measured::{Ask, Measured, MeasuredRange, Method, Part, Tool, Unmeasurable};
use super::rounding::{
    BEAKER, FINE_SCALE, FLUID_OUNCES, INCHES, JUG, Ladder, MILLIMETRES, OUNCES, PINTS, QUARTS, SCALE,
};
use super::spoons::{Scoop, SpoonSet};
use crate::quantity::print::{self, Style};
use crate::quantity::{Amount, Bound, Dimension, Exact, Home, UnitId, Units};
use crate::reference::{Oven, Reference};

/// The system a reader measures in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reader {
    /// Grams, a jug in mL, spoons of 5 and 15 (in Australia 20) mL, 250 mL cups.
    Metric,
    /// Ounces, US spoons, cups, quarts.
    Us,
    /// Ounces, imperial fluid ounces and pints, metric spoons.
    Imperial,
}

impl Reader {
    /// All systems.
    pub const ALL: [Reader; 3] = [Reader::Metric, Reader::Us, Reader::Imperial];

    /// The system that stands beside the metric one where an author teaches.
    pub fn customary(home: Home) -> Reader {
        match home {
            Home::Us | Home::Ca => Reader::Us,
            Home::Uk | Home::Au | Home::Nz => Reader::Imperial,
        }
    }

    /// `metric`, `us` or `imperial`.
    pub fn name(self) -> &'static str {
        match self {
            Reader::Metric => "metric",
            Reader::Us => "us",
            Reader::Imperial => "imperial",
        }
    }
}

/// The units that a kitchen needs, looked up once.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ids {
    pub gram: UnitId,
    pub kilogram: UnitId,
    pub ounce: UnitId,
    pub pound: UnitId,
    pub millilitre: UnitId,
    pub litre: UnitId,
    pub fluid_ounce: UnitId,
    pub pint: UnitId,
    pub gallon: UnitId,
    pub quart: UnitId,
    pub millimetre: UnitId,
    pub centimetre: UnitId,
    pub metre: UnitId,
    pub inch: UnitId,
    pub second: UnitId,
    pub minute: UnitId,
    pub hour: UnitId,
    pub day: UnitId,
    pub celsius: UnitId,
    pub fahrenheit: UnitId,
    pub celsius_change: UnitId,
    pub fahrenheit_change: UnitId,
    pub percent: UnitId,
    pub kilojoule: UnitId,
    pub watt: UnitId,
}

impl Ids {
    fn find(units: &Units) -> Option<Ids> {
        let find = |id| units.find(id);
        Some(Ids {
            gram: find("gram")?,
            kilogram: find("kilogram")?,
            ounce: find("ounce")?,
            pound: find("pound")?,
            millilitre: find("millilitre")?,
            litre: find("litre")?,
            fluid_ounce: find("imperial-fluid-ounce")?,
            pint: find("imperial-pint")?,
            gallon: find("imperial-gallon")?,
            quart: find(QUARTS.unit)?,
            millimetre: find("millimetre")?,
            centimetre: find("centimetre")?,
            metre: find("metre")?,
            inch: find("inch")?,
            second: find("second")?,
            minute: find("minute")?,
            hour: find("hour")?,
            day: find("day")?,
            celsius: find("celsius")?,
            fahrenheit: find("fahrenheit")?,
            celsius_change: find("celsius-difference")?,
            fahrenheit_change: find("fahrenheit-difference")?,
            percent: find("percent")?,
            kilojoule: find("kilojoule")?,
            watt: find("watt")?,
        })
    }
}

/// A reader's drawer of scales, jugs, spoons, rulers and dials.
#[derive(Debug, Clone)]
pub struct Kitchen<'a> {
    units: &'a Units,
    ovens: &'a [Oven],
    ids: Ids,
    reader: Reader,
    degrees: Degrees,
    style: Style,
    /// Spoons, and cups up to where a jug or quarts take over.
    cups: SpoonSet,
    /// Spoons for what is too little for the reader's jug.
    few: SpoonSet,
}

/// One way to measure, the coarser before the finer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Level {
    Cups,
    Jug,
    Ounces,
    Grams,
    FineGrams,
    FineCups,
    Beaker,
    Pots,
}

/// A way to measure, and the amount in the dimension it measures.
#[derive(Debug, Clone, Copy)]
struct Choice {
    level: Level,
    exact: Exact,
}

impl<'a> Kitchen<'a> {
    /// The kitchen of a reader whose spoons are those of `home`.
    ///
    /// Cups and spoons are named bare where `reference` was loaded for the home they belong to, in full elsewhere: on a
    /// British page an American cup is a "US cup". `None` when the table of units lacks one that kitchens need.
    pub fn new(reference: &'a Reference, reader: Reader, home: Home) -> Option<Kitchen<'a>> {
        let units = &reference.units;
        let ids = Ids::find(units)?;
        let scoop = |id: &str| units.find(id).map(|unit| Scoop { unit, size: units.get(unit).size });
        let metric_tablespoon = if home == Home::Au { "australian-tablespoon" } else { "metric-tablespoon" };
        let (teaspoon, tablespoon, cup) = match reader {
            Reader::Us => ("us-teaspoon", "us-tablespoon", "us-cup"),
            Reader::Metric | Reader::Imperial => ("metric-teaspoon", metric_tablespoon, "metric-cup"),
        };
        let (teaspoon, tablespoon, cup) = (scoop(teaspoon)?, scoop(tablespoon)?, scoop(cup)?);
        let vats = Some((scoop("us-quart")?, scoop("us-gallon")?)).filter(|_| reader == Reader::Us);
        // A litre holds four metric cups: from there on a jug. Two imperial fluid ounces are about four tablespoons.
        let cup_top = (reader != Reader::Us).then(|| cup.size * Exact::whole(4));
        let jug_foot = match reader {
            Reader::Imperial => units.get(ids.fluid_ounce).size * Exact::whole(2),
            Reader::Metric | Reader::Us => Exact::whole(30),
        };
        let cups = SpoonSet { teaspoon, tablespoon, cup: Some(cup), vats, top: cup_top, fine: false };
        let few = SpoonSet { teaspoon, tablespoon, cup: None, vats: None, top: Some(jug_foot), fine: false };
        let degrees = if reader == Reader::Metric { Degrees::Celsius } else { Degrees::Fahrenheit };
        let (ovens, style) = (reference.ovens.as_slice(), reference.units.style());
        Some(Kitchen { units, ovens, ids, reader, degrees, style, cups, few })
    }

    /// The same kitchen with another thermometer; at first it is °C for metric readers, °F for the others.
    pub fn with_degrees(self, degrees: Degrees) -> Kitchen<'a> {
        Kitchen { degrees, ..self }
    }

    /// The same kitchen for a course in another language.
    pub fn with_style(self, style: Style) -> Kitchen<'a> {
        Kitchen { style, ..self }
    }

    pub(super) fn units(&self) -> &'a Units {
        self.units
    }

    /// Spoons, and cups up to where a jug or quarts take over.
    pub(super) fn spoons(&self) -> &SpoonSet {
        &self.cups
    }

    /// The least that is poured, in mL; below, spoons.
    pub(super) fn jug_foot(&self) -> Option<Exact> {
        self.few.top
    }

    pub(super) fn style(&self) -> Style {
        self.style
    }

    /// An exact amount, in its dimension's base unit, as one would measure it.
    ///
    /// # Errors
    /// When nothing at hand measures so little within the limit that `ask.care` sets.
    pub fn measure(&self, dimension: Dimension, exact: Exact, ask: &Ask) -> Result<Measured, Unmeasurable> {
        if matches!(dimension, Dimension::Mass | Dimension::Volume) {
            let choices = self.choices(dimension, exact, ask);
            let (_, measured) = self.first_close(&choices, ask, 0).ok_or(Unmeasurable { exact })?;
            return Ok(measured);
        }
        let measured = self.other(dimension, exact, ask);
        let lost = measured.rounded.is_zero() && !exact.is_zero() && dimension != Dimension::Temperature;
        let far = dimension == Dimension::Count && measured.error.abs() > ask.care.limit();
        if lost || far { Err(Unmeasurable { exact }) } else { Ok(measured) }
    }

    /// Both ends of a range, measured in the same way; one amount where rounding made them equal.
    ///
    /// # Errors
    /// When one of the ends cannot be measured.
    pub fn measure_range(
        &self,
        dimension: Dimension,
        low: Exact,
        high: Exact,
        ask: &Ask,
    ) -> Result<MeasuredRange, Unmeasurable> {
        let (low, high) = if matches!(dimension, Dimension::Mass | Dimension::Volume) {
            self.both_close(dimension, low, high, ask)?
        } else {
            (self.measure(dimension, low, ask)?, self.measure(dimension, high, ask)?)
        };
        Ok(MeasuredRange { text: self.range_text(&low, &high), low, high })
    }

    /// A written, perhaps scaled, amount: its range, its "at least", its "about" and all.
    ///
    /// # Errors
    /// When one of its ends cannot be measured.
    pub fn measure_amount(&self, amount: &Amount, ask: &Ask) -> Result<MeasuredRange, Unmeasurable> {
        let ask = Ask { bound: amount.bound, ..*ask };
        let (low, high) = (amount.low.quantity.base(), amount.high.quantity.base());
        let mut range = self.measure_range(amount.dimension(), low, high, &ask)?;
        if amount.about && !range.low.about && !range.high.about {
            range.text.insert_str(0, "about ");
        }
        range.text.insert_str(0, print::bound_words(amount.bound));
        Ok(range)
    }

    fn both_close(
        &self,
        dimension: Dimension,
        low: Exact,
        high: Exact,
        ask: &Ask,
    ) -> Result<(Measured, Measured), Unmeasurable> {
        let (lows, highs) = (self.choices(dimension, low, ask), self.choices(dimension, high, ask));
        let mut from = 0;
        loop {
            let (low_at, a) = self.first_close(&lows, ask, from).ok_or(Unmeasurable { exact: low })?;
            let (high_at, b) = self.first_close(&highs, ask, from).ok_or(Unmeasurable { exact: high })?;
            if low_at == high_at {
                return Ok((a, b));
            }
            from = low_at.max(high_at);
        }
    }

    /// Ways to measure, from the one asked for to ever finer ones.
    fn choices(&self, dimension: Dimension, exact: Exact, ask: &Ask) -> Vec<Choice> {
        let (mass, volume) = match (dimension, ask.density) {
            (Dimension::Mass, density) => (Some(exact), density.map(|density| exact / density)),
            (_, density) => (density.map(|density| exact * density), Some(exact)),
        };
        let tool = match (ask.tool, dimension) {
            (Tool::Scale, _) if mass.is_some() => Tool::Scale,
            (Tool::Scale, _) => Tool::Jug,
            (_, Dimension::Mass) if volume.is_none() => Tool::Scale,
            (tool, _) => tool,
        };
        let (spooned, poured) = match (tool, self.reader) {
            (Tool::Scale | Tool::Beaker, _) => (false, false),
            // What whole pots tell badly goes by cups or the jug.
            (Tool::Pot, Reader::Metric | Reader::Imperial) => (false, true),
            // American cups are the jug; British readers have no cups.
            (_, Reader::Us) => (true, false),
            (_, Reader::Imperial) => (false, true),
            (Tool::Jug, Reader::Metric) => (false, true),
            (Tool::Spoons, Reader::Metric) => (true, false),
        };
        let in_ounces = self.reader != Reader::Metric && (tool == Tool::Scale || dimension == Dimension::Mass);
        let offers = [
            (Level::Beaker, tool == Tool::Beaker, volume),
            (Level::Pots, tool == Tool::Pot && self.reader != Reader::Metric, volume),
            (Level::Jug, poured, volume),
            (Level::Cups, spooned, volume),
            (Level::Ounces, in_ounces, mass),
            (Level::Grams, true, mass),
            (Level::FineGrams, true, mass),
            (Level::FineCups, mass.is_none(), volume),
        ];
        let wanted = offers.into_iter().filter(|(_, wanted, _)| *wanted);
        wanted.filter_map(|(level, _, exact)| Some(Choice { level, exact: exact? })).collect()
    }

    fn first_close(&self, choices: &[Choice], ask: &Ask, from: usize) -> Option<(usize, Measured)> {
        choices.iter().enumerate().skip(from).find_map(|(at, choice)| {
            let measured = self.at_level(choice);
            let close = measured.error.abs() <= ask.care.limit() && self.resolves(choice, ask);
            close.then_some((at, measured))
        })
    }

    /// Whether half a step of the scale is within the limit: that 0.01 g happens to be a mark does not make it
    /// weighable.
    ///
    /// Where ounces give way to grams this keeps amounts in order only because the last gram mark below each limit
    /// (5.3 g, 35 g) is no more than the first ounce mark above it (¼ oz, 1¼ oz).
    fn resolves(&self, choice: &Choice, ask: &Ask) -> bool {
        let (ladder, unit) = match choice.level {
            Level::Cups | Level::Jug | Level::FineCups | Level::Beaker | Level::Pots => return true,
            Level::Ounces => (&OUNCES, self.ids.ounce),
            Level::Grams => (&SCALE, self.ids.gram),
            Level::FineGrams => (&FINE_SCALE, self.ids.gram),
        };
        let value = self.units.get(unit).from_base(choice.exact);
        ladder.step_at(value) < Exact::whole(2) * ask.care.limit() * value || value.is_zero()
    }

    fn at_level(&self, choice: &Choice) -> Measured {
        let exact = choice.exact;
        let (rounded, parts, method) = match choice.level {
            Level::Cups => self.cupfuls(exact, false),
            Level::FineCups => self.cupfuls(exact, true),
            Level::Jug => self.jugful(exact),
            Level::Ounces => {
                let rounded = self.on(&OUNCES, self.ids.ounce, exact, Bound::None);
                (rounded, self.pounds(rounded), Method::Scale)
            }
            Level::Beaker => self.millilitres(&BEAKER, exact),
            Level::Pots => {
                let (ladder, unit) =
                    if self.reader == Reader::Us { (&QUARTS, self.ids.quart) } else { (&PINTS, self.ids.pint) };
                let rounded = self.on(ladder, unit, exact, Bound::None);
                let number = self.units.get(unit).from_base(rounded);
                (rounded, vec![Part { number, unit, bare: false }], Method::Jug)
            }
            Level::Grams => self.grams(&SCALE, exact, Method::Scale),
            Level::FineGrams => self.grams(&FINE_SCALE, exact, Method::FineScale),
        };
        let dimension = match choice.level {
            Level::Ounces | Level::Grams | Level::FineGrams => Dimension::Mass,
            Level::Cups | Level::Jug | Level::FineCups | Level::Beaker | Level::Pots => Dimension::Volume,
        };
        self.measured(dimension, exact, rounded, parts, method)
    }

    /// The nearest mark of a ladder, from and to the base unit.
    fn on(&self, ladder: &Ladder, unit: UnitId, base: Exact, bound: Bound) -> Exact {
        let unit = self.units.get(unit);
        unit.to_base(ladder.round(unit.from_base(base), bound))
    }

    fn grams(&self, ladder: &Ladder, exact: Exact, method: Method) -> (Exact, Vec<Part>, Method) {
        let rounded = self.on(ladder, self.ids.gram, exact, Bound::None);
        (rounded, vec![self.larger_from(rounded, 1000, self.ids.gram, self.ids.kilogram)], method)
    }

    fn cupfuls(&self, exact: Exact, fine: bool) -> (Exact, Vec<Part>, Method) {
        let set = SpoonSet { fine, ..self.cups };
        if set.top.is_some_and(|top| exact >= top) {
            return self.jugful(exact);
        }
        let rounded = set.nearest(exact);
        if set.top.is_some_and(|top| rounded >= top) {
            return self.jugful(rounded);
        }
        (rounded, self.or_none_of(set.parts(rounded), set.teaspoon.unit), Method::Spoons)
    }

    fn jugful(&self, exact: Exact) -> (Exact, Vec<Part>, Method) {
        let below = |volume: Exact| self.few.top.is_some_and(|top| volume < top);
        let spooned = if below(exact) { self.few.nearest(exact) } else { exact };
        if below(spooned) {
            return (spooned, self.or_none_of(self.few.parts(spooned), self.few.teaspoon.unit), Method::Spoons);
        }
        if self.reader == Reader::Imperial {
            let rounded = self.on(&FLUID_OUNCES, self.ids.fluid_ounce, spooned, Bound::None);
            return (rounded, self.pints(rounded), Method::Jug);
        }
        self.millilitres(&JUG, spooned)
    }

    fn millilitres(&self, ladder: &Ladder, exact: Exact) -> (Exact, Vec<Part>, Method) {
        let rounded = self.on(ladder, self.ids.millilitre, exact, Bound::None);
        (rounded, vec![self.larger_from(rounded, 1000, self.ids.millilitre, self.ids.litre)], Method::Jug)
    }

    /// Nothing at all is still so many of something.
    fn or_none_of(&self, parts: Vec<Part>, unit: UnitId) -> Vec<Part> {
        if parts.is_empty() { vec![Part { number: Exact::ZERO, unit, bare: true }] } else { parts }
    }

    /// In the small unit below so many of it, in the large one above.
    fn larger_from(&self, base: Exact, count: i128, small: UnitId, large: UnitId) -> Part {
        let number = self.units.get(small).from_base(base);
        let unit = if number < Exact::whole(count) { small } else { large };
        Part { number: self.units.get(unit).from_base(base), unit, bare: false }
    }

    fn pounds(&self, base: Exact) -> Vec<Part> {
        self.split(base, &[self.ids.pound, self.ids.ounce])
    }

    /// Quarter pints are named as such from half a pint up, pints to two gallons.
    fn pints(&self, base: Exact) -> Vec<Part> {
        let pints = self.units.get(self.ids.pint).from_base(base);
        if pints >= Exact::whole(16) {
            return self.split(base, &[self.ids.gallon, self.ids.pint]);
        }
        if pints >= Exact::new(1, 2) && (pints * Exact::whole(4)).is_whole() {
            return vec![Part { number: pints, unit: self.ids.pint, bare: false }];
        }
        self.split(base, &[self.ids.pint, self.ids.fluid_ounce])
    }

    /// Whole numbers of the first unit, the rest in the second.
    fn split(&self, base: Exact, [large, small]: &[UnitId; 2]) -> Vec<Part> {
        let size = self.units.get(*large).size;
        let count = (base / size).floor();
        let left = self.units.get(*small).from_base(base - count * size);
        let parts = [(count, *large), (left, *small)];
        let mut list: Vec<Part> = parts.into_iter().map(|(number, unit)| Part { number, unit, bare: false }).collect();
        list.retain(|part| !part.number.is_zero());
        if list.is_empty() { vec![Part { number: Exact::ZERO, unit: *small, bare: false }] } else { list }
    }

    fn other(&self, dimension: Dimension, exact: Exact, ask: &Ask) -> Measured {
        let (rounded, parts, method) = match dimension {
            Dimension::Time => {
                let rounded = clock::round(exact, ask.bound);
                (rounded, clock::parts(rounded, &self.ids), Method::Timer)
            }
            Dimension::Length => self.length(exact, ask.bound),
            Dimension::Temperature => self.reading(exact, ask),
            Dimension::Count => {
                let number = exact.round_to(Exact::ONE);
                (number, vec![Part { number, unit: self.units.piece(), bare: false }], Method::Count)
            }
            Dimension::Mass
            | Dimension::Volume
            | Dimension::Difference
            | Dimension::Share
            | Dimension::Energy
            | Dimension::Power => self.figures(dimension, exact),
        };
        self.measured(dimension, exact, rounded, parts, method)
    }

    fn length(&self, exact: Exact, bound: Bound) -> (Exact, Vec<Part>, Method) {
        if self.reader != Reader::Metric {
            let rounded = self.on(&INCHES, self.ids.inch, exact, bound);
            let number = self.units.get(self.ids.inch).from_base(rounded);
            return (rounded, vec![Part { number, unit: self.ids.inch, bare: false }], Method::Ruler);
        }
        let rounded = self.on(&MILLIMETRES, self.ids.millimetre, exact, bound);
        let mut part = self.larger_from(rounded, 20, self.ids.millimetre, self.ids.centimetre);
        if rounded >= Exact::whole(2000) {
            part = self.larger_from(rounded, 0, self.ids.millimetre, self.ids.metre);
        }
        (rounded, vec![part], Method::Ruler)
    }

    fn reading(&self, exact: Exact, ask: &Ask) -> (Exact, Vec<Part>, Method) {
        let unit = match self.degrees {
            Degrees::Celsius => self.ids.celsius,
            Degrees::Fahrenheit => self.ids.fahrenheit,
        };
        let number = match ask.oven {
            true => self.degrees.dial(exact, self.ovens),
            false => self.degrees.round(exact, ask.bound),
        };
        (self.units.get(unit).to_base(number), vec![Part { number, unit, bare: false }], Method::Degrees)
    }

    fn figures(&self, dimension: Dimension, exact: Exact) -> (Exact, Vec<Part>, Method) {
        let unit = match (dimension, self.degrees) {
            (Dimension::Share, _) => self.ids.percent,
            (Dimension::Energy, _) => self.ids.kilojoule,
            (Dimension::Power, _) => self.ids.watt,
            (_, Degrees::Celsius) => self.ids.celsius_change,
            (_, Degrees::Fahrenheit) => self.ids.fahrenheit_change,
        };
        let value = self.units.get(unit).from_base(exact);
        // Thermometers show whole degrees, so a change of more than a degree or two is given in them.
        let whole = dimension == Dimension::Difference && value.abs() >= Exact::whole(2);
        let number = if whole { value.round_to(Exact::ONE) } else { print::significant(value) };
        (self.units.get(unit).to_base(number), vec![Part { number, unit, bare: false }], Method::Figures)
    }

    fn measured(
        &self,
        dimension: Dimension,
        exact: Exact,
        rounded: Exact,
        parts: Vec<Part>,
        method: Method,
    ) -> Measured {
        let moved = rounded - exact;
        let reading = dimension == Dimension::Temperature;
        let error = if reading || exact.is_zero() { moved } else { moved / exact };
        let about = !reading && error.abs() > Exact::new(1, 50);
        let text = format!("{}{}", if about { "about " } else { "" }, self.text(&parts, method));
        Measured { text, parts, method, dimension, exact, rounded, error, about }
    }
}
