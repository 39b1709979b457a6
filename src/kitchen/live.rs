//! Figures that change on a page: what a mention shows at another scale, in other units, on another thermometer.
//!
//! The page's script does the same sums from the same data, which [`LiveData`](super::LiveData) writes; a test runs it
//! against this module, so that the two cannot drift. A mention shows what its author wrote for as long as that holds:
//! [`Kitchens::show`] then gives nothing.

use super::heat::Degrees;
use super::measured::{Ask, Care, Measured, MeasuredRange, Tool};
use super::scale::follows_scale;
use super::systems::{Kitchen, Reader};
use super::words::Form;
use crate::quantity::print::{self, NO_BREAK};
use crate::quantity::{Amount, Bound, Dimension, Exact, Home, System, UnitId, Units};
use crate::reference::Reference;

/// A measure that mentions of a page show.
#[derive(Debug, Clone, PartialEq)]
pub struct LiveMeasure {
    /// What it is, in words: `whole milk in the recipe`.
    pub name: String,
    /// What it measures.
    pub dimension: Dimension,
    /// Its value, or the lower end, in the dimension's base unit.
    pub low: Exact,
    /// The upper end.
    pub high: Exact,
    /// Whether it is a limit.
    pub bound: Bound,
    /// Whether it grows with the batch.
    pub scales: bool,
    /// How much the ingredient forgives.
    pub care: Care,
    /// Whether a temperature is an oven's setting.
    pub oven: bool,
    /// Grams per millilitre.
    pub density: Option<Exact>,
}

impl LiveMeasure {
    /// Whether it differs at another scale.
    pub fn moves(&self) -> bool {
        self.scales && follows_scale(self.dimension)
    }

    /// Whether a page reckons it: it grows, or can be weighed and spooned. What else it shows is ready beforehand.
    pub fn is_reckoned(&self) -> bool {
        let spooned = self.density.is_some() && matches!(self.dimension, Dimension::Mass | Dimension::Volume);
        (self.moves() && self.dimension != Dimension::Energy) || spooned
    }
}

/// A mention's part in what a sentence says of a measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// It never changes: a rate, a share, a gas mark.
    Fixed,
    /// It states the measure alone.
    Alone,
    /// The first of a pair: `4 litres` of `4 litres (7 pints)`.
    First,
    /// A conversion in brackets, which goes where the reader chose one system, and where it would say once more what
    /// stands before it.
    Beside(MeasuredBy),
    /// A conversion that the sentence cannot do without: `or 7 pints`.
    Second,
}

/// Whose kitchen measures a figure, and with what.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MeasuredBy {
    /// Whose kitchen.
    pub reader: Reader,
    /// With what.
    pub tool: Tool,
}

/// How a mention stands in its sentence.
#[derive(Debug, Clone, PartialEq)]
pub struct LiveMention {
    /// Which measure.
    pub measure: usize,
    /// Its part.
    pub role: Role,
    /// The unit as written.
    pub unit: UnitId,
    /// Whether the unit's word was bare.
    pub bare: bool,
    /// Whose kitchen the words speak of.
    pub reader: Reader,
    /// What they measure with.
    pub tool: Tool,
    /// What readers of other systems measure it with.
    pub abroad: Tool,
    /// `a` or `an` before it, as written, which goes by the sound of the figure.
    pub article: Option<char>,
    /// What stands before the figure: `at least `, `about `.
    pub prefix: String,
    /// What stands after it, such as the things that are counted.
    pub suffix: String,
    /// The same after a single thing.
    pub suffix_of_one: String,
    /// What stays where a conversion in brackets goes: a gas mark.
    pub kept: String,
    /// What joins the ends of a range.
    pub join: Option<String>,
    /// Whether it stands before a noun: `a 6-litre pot`.
    pub adjective: bool,
    /// Whether "about" cannot stand before the figure: `the last 40 mL`.
    pub plain: bool,
    /// The author's own conversion of a measure, which stands where the measure does not grow.
    pub stated: Option<Amount>,
}

/// Which thermometer a reader chose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Thermometer {
    /// °C.
    Celsius,
    /// °F.
    Fahrenheit,
    /// Both, the author's first.
    Both,
}

/// What a reader chose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// How many batches.
    pub scale: Exact,
    /// The system; as written, if none.
    pub units: Option<Reader>,
    /// The thermometer; as written, if none.
    pub degrees: Option<Thermometer>,
    /// Weighed or spooned; as written, if none.
    pub by: Option<Tool>,
}

impl Choice {
    /// Everything as its author wrote it.
    pub const AS_WRITTEN: Choice = Choice { scale: Exact::ONE, units: None, degrees: None, by: None };
    /// Each system, by itself.
    pub const SYSTEMS: &'static [Choice] =
        &[Choice::in_units(Reader::Metric), Choice::in_units(Reader::Us), Choice::in_units(Reader::Imperial)];
    /// Each thermometer, by itself.
    pub const THERMOMETERS: &'static [Choice] = &[
        Choice::in_degrees(Thermometer::Celsius),
        Choice::in_degrees(Thermometer::Fahrenheit),
        Choice::in_degrees(Thermometer::Both),
    ];

    const fn in_units(reader: Reader) -> Choice {
        Choice { units: Some(reader), ..Choice::AS_WRITTEN }
    }

    const fn in_degrees(degrees: Thermometer) -> Choice {
        Choice { degrees: Some(degrees), ..Choice::AS_WRITTEN }
    }
}

/// What a mention shows instead of what its author wrote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// The words. Nothing where the conversion goes.
    pub text: String,
    /// Whether the words follow those of the author instead of replacing them.
    pub after: bool,
    /// The exact value, to four figures.
    pub exact: String,
    /// By how much rounding moved it, such as `+1.3 %`; empty where it did not.
    pub moved: String,
    /// Whether rounding moved it by more than a fiftieth.
    pub about: bool,
    /// Whether nothing in the kitchen measures so little: then the words are the exact value.
    pub lost: bool,
}

/// The kitchens of a course's readers.
pub struct Kitchens<'a> {
    units: &'a Units,
    customary: Reader,
    kitchens: [Kitchen<'a>; 3],
}

impl<'a> Kitchens<'a> {
    /// `None` when the table of units lacks one that kitchens need.
    pub fn new(reference: &'a Reference, home: Home) -> Option<Kitchens<'a>> {
        let kitchen = |reader| Kitchen::new(reference, reader, home);
        let kitchens = [kitchen(Reader::Metric)?, kitchen(Reader::Us)?, kitchen(Reader::Imperial)?];
        Some(Kitchens { units: &reference.units, customary: Reader::customary(home), kitchens })
    }

    /// The units.
    pub fn units(&self) -> &'a Units {
        self.units
    }

    /// The system that stands beside the metric one where the author teaches.
    pub fn customary(&self) -> Reader {
        self.customary
    }

    /// A reader's kitchen.
    pub fn of(&self, reader: Reader) -> &Kitchen<'a> {
        match reader {
            Reader::Metric => &self.kitchens[0],
            Reader::Us => &self.kitchens[1],
            Reader::Imperial => &self.kitchens[2],
        }
    }

    /// Whose kitchen a unit belongs to.
    pub fn reader_of(&self, unit: UnitId) -> Reader {
        match self.units.get(unit).system {
            System::Us => Reader::Us,
            System::Imperial => Reader::Imperial,
            System::Customary => self.customary,
            System::Metric | System::Label | System::Any => Reader::Metric,
        }
    }

    /// What a mention shows; nothing where the author's words hold.
    pub fn show(&self, measure: &LiveMeasure, mention: &LiveMention, choice: &Choice) -> Option<Shown> {
        match (mention.role, measure.dimension) {
            (Role::Fixed, _) => None,
            (_, Dimension::Temperature | Dimension::Difference) => self.reading(measure, mention, choice),
            (_, Dimension::Mass | Dimension::Volume | Dimension::Length | Dimension::Count) => {
                self.amount(measure, mention, choice)
            }
            _ => None,
        }
    }

    fn reading(&self, measure: &LiveMeasure, mention: &LiveMention, choice: &Choice) -> Option<Shown> {
        let own = if self.reader_of(mention.unit) == Reader::Metric { Degrees::Celsius } else { Degrees::Fahrenheit };
        let (chosen, both) = match choice.degrees? {
            Thermometer::Celsius => (Degrees::Celsius, false),
            Thermometer::Fahrenheit => (Degrees::Fahrenheit, false),
            Thermometer::Both => (own.other(), true),
        };
        let degrees = match mention.role {
            Role::Alone => chosen,
            _ if both => return None,
            Role::Beside(_) => return Some(gone(&mention.kept)),
            Role::Second => chosen.other(),
            Role::Fixed | Role::First => chosen,
        };
        if degrees == own {
            return None;
        }
        let kitchen = self.of(if degrees == Degrees::Celsius { Reader::Metric } else { Reader::Us });
        let ask = Ask { bound: measure.bound, oven: measure.oven, ..Ask::default() };
        let range = kitchen.measure_range(measure.dimension, measure.low, measure.high, &ask).ok()?;
        let unit = range.high.parts.first()?.unit;
        let exact = self.exact(measure.low, measure.high, unit, false);
        let mut shown = self.shown(&range, mention, kitchen, exact);
        shown.moved = String::new(); // degrees have no share
        if let Some(stated) = &mention.stated {
            shown.text = self.sentence(mention, &self.words_of(stated, mention.join.as_deref()), "", false);
        }
        if both {
            let ours = || kitchen.words(&range, Form::default());
            let words = mention.stated.as_ref().map_or_else(ours, |stated| self.words_of(stated, None));
            shown.text = format!(" ({words})");
            shown.after = true;
        }
        Some(shown)
    }

    fn amount(&self, measure: &LiveMeasure, mention: &LiveMention, choice: &Choice) -> Option<Shown> {
        let scaled = measure.moves() && choice.scale != Exact::ONE;
        let stuff = matches!(measure.dimension, Dimension::Mass | Dimension::Volume);
        let led = matches!(mention.role, Role::Alone | Role::First);
        let told_by = choice.by.filter(|_| stuff && measure.density.is_some());
        let by = told_by.filter(|_| led);
        let told = |reader: &Reader| measure.dimension != Dimension::Count && !self.is_coarse(measure, *reader);
        let units = choice.units.filter(told);
        if let Role::Beside(first) = mention.role {
            if units.is_some() {
                return Some(gone(&mention.kept));
            }
            // It holds for as long as the figure before it does.
            if !scaled && told_by.is_none_or(|tool| tool == first.tool) {
                return None;
            }
        }
        let reader = match (units, mention.role) {
            (None, _) => mention.reader,
            (Some(Reader::Metric), Role::Second) if mention.reader == Reader::Metric => self.customary,
            (Some(Reader::Metric), Role::Second) => mention.reader,
            (Some(_), Role::Second) => Reader::Metric,
            (Some(chosen), _) => chosen,
        };
        let tool = by.unwrap_or(if reader == mention.reader { mention.tool } else { mention.abroad });
        let as_written = !scaled && reader == mention.reader && tool == mention.tool;
        if as_written && !matches!(mention.role, Role::Beside(_)) {
            return None;
        }
        let k = if scaled { choice.scale } else { Exact::ONE };
        let (low, high) = (measure.low * k, measure.high * k);
        let kitchen = self.of(reader);
        let ask = Ask { tool, care: measure.care, density: measure.density, bound: measure.bound, ..Ask::default() };
        let exact = self.exact(low, high, mention.unit, mention.bare);
        let lost = |text: String| Shown { text, lost: true, ..gone("") };
        let measured = kitchen.measure_range(measure.dimension, low, high, &ask);
        if let Role::Beside(first) = mention.role {
            let form = form(mention);
            let (theirs, ask) = (self.of(first.reader), Ask { tool: told_by.unwrap_or(first.tool), ..ask });
            let before = theirs.measure_range(measure.dimension, low, high, &ask).map(|one| theirs.words(&one, form));
            let goes = match &measured {
                Ok(range) => before.is_ok_and(|before| before == kitchen.words(range, form)),
                // What cannot be measured otherwise is told once.
                Err(_) => scaled,
            };
            if goes {
                return Some(gone(&mention.kept));
            }
            if as_written {
                return None;
            }
        }
        let shown = match measured {
            Ok(range) => self.shown(&range, mention, kitchen, exact),
            Err(_) => {
                let one = measure.dimension == Dimension::Count && high == Exact::ONE;
                Shown { exact: exact.clone(), ..lost(self.sentence(mention, &exact, "", one)) }
            }
        };
        let ready = !measure.is_reckoned() && reader != mention.reader;
        if let Some(stated) = mention.stated.as_ref().filter(|stated| ready && self.speaks_to(stated, reader)) {
            let words = self.words_of(stated, mention.join.as_deref());
            return Some(Shown { text: self.sentence(mention, &words, "", false), ..gone("") });
        }
        // At the scale as written the exact value is what is written.
        Some(if scaled { shown } else { Shown { exact: String::new(), ..shown } })
    }

    /// Whether a ruler tells a length badly: no eighth of an inch is 4 mm. It then stays as written.
    fn is_coarse(&self, measure: &LiveMeasure, reader: Reader) -> bool {
        let end = |base| self.of(reader).measure(Dimension::Length, base, &Ask::default());
        let far = |base| end(base).is_err() || end(base).is_ok_and(|one| one.error.abs() > Exact::new(1, 10));
        measure.dimension == Dimension::Length && (far(measure.low) || far(measure.high))
    }

    fn shown(&self, range: &MeasuredRange, mention: &LiveMention, kitchen: &Kitchen<'_>, exact: String) -> Shown {
        let form = form(mention);
        let about = range.low.about || range.high.about;
        let plain = mention.plain || mention.adjective || mention.article.is_some();
        let single = range.high.dimension == Dimension::Count && range.high.rounded == Exact::ONE;
        let words = kitchen.words(range, form);
        Shown {
            text: self.sentence(mention, &words, if about && !plain { "about " } else { "" }, single),
            after: false,
            exact,
            moved: moved(&range.low, &range.high),
            about,
            lost: false,
        }
    }

    fn sentence(&self, mention: &LiveMention, words: &str, about: &str, single: bool) -> String {
        let article = mention
            .article
            .map_or(String::new(), |a| format!("{a}{} ", if print::sounds_like_a_vowel(words) { "n" } else { "" }));
        let suffix = if single { &mention.suffix_of_one } else { &mention.suffix };
        format!("{article}{}{about}{words}{suffix}", mention.prefix)
    }

    /// Whether a reader measures in the unit of an amount.
    fn speaks_to(&self, amount: &Amount, reader: Reader) -> bool {
        let common = self.units.get(amount.unit()).system == System::Customary;
        if common { reader != Reader::Metric } else { self.reader_of(amount.unit()) == reader }
    }

    /// An amount as its author wrote it, its ends joined as the sentence joins them.
    fn words_of(&self, amount: &Amount, join: Option<&str>) -> String {
        let style = self.units.style();
        let Some(join) = join.filter(|_| amount.range) else { return print::amount(amount, self.units, style) };
        let value = self.units.get(amount.low.unit).from_base(amount.low.quantity.base());
        let first = print::kitchen_number(value, amount.low.unit, self.units, style);
        let last = Amount { low: amount.high, range: false, ..*amount };
        format!("{first}{join}{}", print::amount(&last, self.units, style))
    }

    /// Two ends in a unit, to four figures.
    fn exact(&self, low: Exact, high: Exact, unit: UnitId, bare: bool) -> String {
        let last = print::value_in(high, unit, bare, self.units, self.units.style());
        if low == high {
            return last;
        }
        let value = print::significant(self.units.get(unit).from_base(low));
        let first = print::decimal(value, 0, self.units.style());
        let sign = print::range_sign(&first, last.starts_with('−'));
        format!("{first}{sign}{last}")
    }
}

/// The end that rounding moved most, in words.
fn moved(low: &Measured, high: &Measured) -> String {
    let error = if low.error.abs() > high.error.abs() { low.error } else { high.error };
    let percent = (error * Exact::whole(100)).to_decimal(1);
    match percent.as_str() {
        "0" => String::new(),
        text => format!("{}{text}{NO_BREAK}%", if error > Exact::ZERO { "+" } else { "" }),
    }
}

fn form(mention: &LiveMention) -> Form<'_> {
    Form { join: mention.join.as_deref(), adjective: mention.adjective }
}

fn gone(kept: &str) -> Shown {
    let none = String::new;
    Shown { text: kept.to_owned(), after: false, exact: none(), moved: none(), about: false, lost: false }
}
