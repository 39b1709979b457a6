//! Quantities as they stand on the page, taken apart and written again.
//!
//! A reader of its own, and a smaller one than the library's: what a changed figure means must not be asked of the
//! code under test.

use pottle::quantity::Exact;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Mass,
    Volume,
    Length,
    Time,
    Temperature,
    Share,
    Count,
}

/// A unit of the demo course, as the UK home of that course means it.
#[derive(Debug, Clone, Copy)]
pub struct Unit {
    pub one: &'static str,
    pub many: &'static str,
    pub kind: Kind,
    /// Whether it belongs to the model's system: metric, or the same everywhere.
    pub metric: bool,
    /// In g, mL, mm, s, °C.
    pub size: (i128, i128),
    /// °C = size × value + zero.
    pub zero: (i128, i128),
}

const fn unit(one: &'static str, many: &'static str, kind: Kind, metric: bool, size: (i128, i128)) -> Unit {
    Unit { one, many, kind, metric, size, zero: (0, 1) }
}

/// Sizes by NIST Handbook 44, Appendix C, and for the imperial pint the UK Weights and Measures Act 1985; metric
/// spoons by kitchen practice.
pub const UNITS: &[Unit] = &[
    unit("gram", "grams", Kind::Mass, true, (1, 1)),
    unit("g", "g", Kind::Mass, true, (1, 1)),
    unit("kg", "kg", Kind::Mass, true, (1000, 1)),
    unit("lb", "lb", Kind::Mass, false, (45_359_237, 100_000)),
    unit("oz", "oz", Kind::Mass, false, (45_359_237, 1_600_000)),
    unit("mL", "mL", Kind::Volume, true, (1, 1)),
    unit("millilitre", "millilitres", Kind::Volume, true, (1, 1)),
    unit("litre", "litres", Kind::Volume, true, (1000, 1)),
    unit("L", "L", Kind::Volume, true, (1000, 1)),
    unit("pint", "pints", Kind::Volume, false, (56_826_125, 100_000)),
    unit("US pint", "US pints", Kind::Volume, false, (473_176_473, 1_000_000)),
    unit("teaspoon", "teaspoons", Kind::Volume, true, (5, 1)),
    unit("tablespoon", "tablespoons", Kind::Volume, true, (15, 1)),
    unit("mm", "mm", Kind::Length, true, (1, 1)),
    unit("millimetre", "millimetres", Kind::Length, true, (1, 1)),
    unit("cm", "cm", Kind::Length, true, (10, 1)),
    unit("centimetre", "centimetres", Kind::Length, true, (10, 1)),
    unit("inch", "inches", Kind::Length, false, (254, 10)),
    unit("s", "s", Kind::Time, true, (1, 1)),
    unit("second", "seconds", Kind::Time, true, (1, 1)),
    unit("min", "min", Kind::Time, true, (60, 1)),
    unit("minute", "minutes", Kind::Time, true, (60, 1)),
    unit("h", "h", Kind::Time, true, (3600, 1)),
    unit("hour", "hours", Kind::Time, true, (3600, 1)),
    unit("day", "days", Kind::Time, true, (86_400, 1)),
    unit("week", "weeks", Kind::Time, true, (604_800, 1)),
    unit("month", "months", Kind::Time, true, (2_629_746, 1)),
    unit("°C", "°C", Kind::Temperature, true, (1, 1)),
    Unit { zero: (-160, 9), ..unit("°F", "°F", Kind::Temperature, false, (5, 9)) },
    unit("degree Celsius", "degrees Celsius", Kind::Temperature, true, (1, 1)),
    unit("%", "%", Kind::Share, true, (1, 100)),
    unit("per cent", "per cent", Kind::Share, true, (1, 100)),
    unit("", "", Kind::Count, true, (1, 1)),
];

pub fn unit_called(name: &str) -> &'static Unit {
    let known = UNITS.iter().find(|unit| unit.one == name || unit.many == name);
    known.unwrap_or_else(|| panic!("the test knows no unit `{name}`"))
}

impl Unit {
    pub fn base(&self, value: Exact) -> Exact {
        value * Exact::new(self.size.0, self.size.1) + Exact::new(self.zero.0, self.zero.1)
    }

    pub fn value(&self, base: Exact) -> Exact {
        (base - Exact::new(self.zero.0, self.zero.1)) / Exact::new(self.size.0, self.size.1)
    }

    pub fn is_symbol(&self) -> bool {
        self.one == self.many
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Figures, so many after the point.
    Figures(u32),
    /// With a fraction sign: 3½.
    Fraction,
    Words,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Number {
    pub text: String,
    pub value: Exact,
    pub form: Form,
}

const WORDS: &[(&str, i128, i128)] = &[
    ("three quarters", 3, 4),
    ("a quarter", 1, 4),
    ("two thirds", 2, 3),
    ("a third", 1, 3),
    ("half", 1, 2),
    ("fifteen", 15, 1),
    ("sixteen", 16, 1),
    ("fourteen", 14, 1),
    ("thirteen", 13, 1),
    ("seventeen", 17, 1),
    ("eighteen", 18, 1),
    ("nineteen", 19, 1),
    ("eleven", 11, 1),
    ("twelve", 12, 1),
    ("twenty", 20, 1),
    ("thirty", 30, 1),
    ("forty", 40, 1),
    ("fifty", 50, 1),
    ("sixty", 60, 1),
    ("eighty", 80, 1),
    ("one", 1, 1),
    ("two", 2, 1),
    ("three", 3, 1),
    ("four", 4, 1),
    ("five", 5, 1),
    ("six", 6, 1),
    ("seven", 7, 1),
    ("eight", 8, 1),
    ("nine", 9, 1),
    ("ten", 10, 1),
];

const FRACTIONS: &[(char, i128, i128)] = &[('¼', 1, 4), ('⅓', 1, 3), ('½', 1, 2), ('⅔', 2, 3), ('¾', 3, 4)];

/// A value in words, if it has a plain one.
pub fn in_words(value: Exact) -> Option<&'static str> {
    WORDS.iter().find(|(_, over, under)| Exact::new(*over, *under) == value).map(|(words, ..)| *words)
}

/// A value with a fraction sign, if there is one for it.
pub fn with_sign(value: Exact) -> Option<String> {
    let part = value - value.floor();
    let (sign, ..) = FRACTIONS.iter().find(|(_, over, under)| Exact::new(*over, *under) == part)?;
    Some(if value < Exact::ONE { sign.to_string() } else { format!("{}{sign}", value.floor()) })
}

impl Number {
    /// Figures as given: `4`, `0.5`, `−18`.
    pub fn figures(text: &str) -> Option<Number> {
        let value = Exact::parse(text)?;
        let decimals = text.split_once('.').map_or(0, |(_, after)| after.len() as u32);
        Some(Number { text: text.to_owned(), value, form: Form::Figures(decimals) })
    }

    /// A value with as few figures as say it exactly, up to three after the point.
    pub fn exact(value: Exact) -> Option<Number> {
        let number = Number::figures(&value.to_decimal(3))?;
        (number.value == value).then_some(number)
    }

    pub fn words(value: Exact) -> Option<Number> {
        Some(Number { text: in_words(value)?.to_owned(), value, form: Form::Words })
    }

    pub fn fraction(value: Exact) -> Option<Number> {
        Some(Number { text: with_sign(value)?, value, form: Form::Fraction })
    }

    /// The number that a text begins with, and its length.
    fn read(text: &str) -> Option<(Number, usize)> {
        let lower = text.to_lowercase();
        for (words, over, under) in WORDS {
            let ends = || !lower[words.len()..].starts_with(char::is_alphabetic);
            if lower.starts_with(words) && ends() {
                let text = text[..words.len()].to_owned();
                return Some((Number { text, value: Exact::new(*over, *under), form: Form::Words }, words.len()));
            }
        }
        let figures = text.find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | '−')).unwrap_or(text.len());
        let sign = text[figures..].chars().next();
        let part = FRACTIONS.iter().find(|(letter, ..)| Some(*letter) == sign);
        if let Some((letter, over, under)) = part {
            let whole = if figures == 0 { Exact::ZERO } else { Exact::parse(&text[..figures])? };
            let len = figures + letter.len_utf8();
            let value = whole + Exact::new(*over, *under);
            return Some((Number { text: text[..len].to_owned(), value, form: Form::Fraction }, len));
        }
        Some((Number::figures(&text[..figures])?, figures))
    }
}

/// A quantity on the page.
#[derive(Debug, Clone)]
pub struct Written {
    pub low: Number,
    /// What joins the two ends, and the upper end.
    pub high: Option<(String, Number)>,
    /// What stands between number and unit: a blank, a hyphen, ` of an `.
    pub glue: String,
    pub unit: &'static Unit,
}

impl Written {
    /// Takes a mention's words apart.
    pub fn read(text: &str) -> Option<Written> {
        let (low, len) = Number::read(text)?;
        let mut rest = &text[len..];
        let mut high = None;
        for joint in [" to ", "–", " and "] {
            if let Some(after) = rest.strip_prefix(joint)
                && let Some((number, len)) = Number::read(after)
            {
                high = Some((joint.to_owned(), number));
                rest = &after[len..];
                break;
            }
        }
        let spelled = |unit: &'static Unit| [unit.many, unit.one].into_iter().map(move |name| (name, unit));
        let mut names: Vec<_> = UNITS.iter().flat_map(spelled).collect();
        names.sort_by_key(|(name, _)| std::cmp::Reverse(name.len()));
        let glued = |name: &str| {
            let glue = rest.strip_suffix(name)?;
            ["", " ", "\u{a0}", "-", " of an ", " an ", " a ", " level "].contains(&glue).then(|| glue.to_owned())
        };
        let (glue, unit) = names.iter().find_map(|(name, unit)| Some((glued(name)?, *unit)))?;
        Some(Written { low, high, glue, unit })
    }

    /// The words again.
    pub fn text(&self) -> String {
        let last = self.high.as_ref().map_or(&self.low, |(_, high)| high);
        let high = self.high.as_ref().map_or(String::new(), |(joint, high)| format!("{joint}{}", high.text));
        let fraction = last.form == Form::Words && last.value < Exact::ONE && self.unit.kind != Kind::Share;
        let (glue, many) = if fraction && self.unit.kind != Kind::Count {
            let article = if self.unit.one.starts_with(['h', 'i']) { "an" } else { "a" };
            let of = if last.text.eq_ignore_ascii_case("half") { "" } else { "of " };
            (format!(" {of}{article} "), false)
        } else if self.glue.len() > 1 && self.glue != "\u{a0}" {
            (if self.glue == " level " { self.glue.clone() } else { " ".to_owned() }, last.value > Exact::ONE)
        } else {
            (self.glue.clone(), last.value > Exact::ONE && self.glue != "-")
        };
        let name = if many { self.unit.many } else { self.unit.one };
        format!("{}{high}{glue}{name}", self.low.text)
    }

    pub fn ends(&self) -> Vec<&Number> {
        std::iter::once(&self.low).chain(self.high.iter().map(|(_, high)| high)).collect()
    }

    /// With one end swapped: the first is 0.
    pub fn with_end(&self, index: usize, number: Number) -> Written {
        let mut changed = self.clone();
        match (&mut changed.high, index) {
            (Some((_, high)), 1) => *high = number,
            _ => changed.low = number,
        }
        changed
    }

    pub fn with_unit(&self, name: &str) -> Written {
        let glue = if self.glue.is_empty() { " ".to_owned() } else { self.glue.clone() };
        Written { unit: unit_called(name), glue, ..self.clone() }
    }

    pub fn is_range(&self) -> bool {
        self.high.is_some()
    }
}
