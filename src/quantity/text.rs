//! Reading amounts: the grammar that blocks and prose share.
//!
//! ```
//! use pottle::reference::Reference;
//! let units = Reference::built_in(pottle::quantity::Home::Uk).units;
//! for (text, low, high) in [
//!     ("92 °C", "92", "92"),
//!     ("1 ½ cups", "375", "375"),
//!     ("20–25 min", "1200", "1500"),
//!     ("1 lb 4 oz", "45359237/80000", "45359237/80000"),
//!     ("half an hour", "1800", "1800"),
//! ] {
//!     let amount = pottle::quantity::parse_amount(text, &units).unwrap();
//!     assert_eq!(amount.low.quantity.base().to_string(), low, "{text}");
//!     assert_eq!(amount.high.quantity.base().to_string(), high, "{text}");
//! }
//! ```

use super::number::{NUMBER_WORDS, SMALL, TENS, and_part, blank, word};
use super::openers::Openers;
use super::{
    Amount, Bound, Dimension, End, Exact, Number, NumberForm, Per, Quantity, System, UnitId, UnitMatch, Units,
};

/// Why a text is not an amount.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum AmountError {
    /// No number begins the text.
    #[error("an amount begins with a number, such as `4 L` or `20–25 min`")]
    NoNumber,
    /// A number, and then a word that is no unit.
    #[error("`{0}` is not a unit we know")]
    UnknownUnit(String),
    /// A whole amount, and then more words.
    #[error("`{0}` is left over after the amount")]
    Leftover(String),
    /// A range whose ends measure different things or stand the wrong way round.
    #[error("the two ends of the range do not go together")]
    BadRange,
}

/// Reads a text that is nothing but an amount.
pub fn parse_amount(text: &str, units: &Units) -> Result<Amount, AmountError> {
    let (amount, len) = split_amount(text, units)?;
    let rest = text[len..].trim();
    if rest.is_empty() {
        return Ok(amount);
    }
    if amount.dimension() == Dimension::Count {
        let unknown = rest.split_whitespace().next().unwrap_or(rest);
        return Err(AmountError::UnknownUnit(unknown.to_owned()));
    }
    Err(AmountError::Leftover(rest.to_owned()))
}

/// Reads the amount that a text begins with, and says how many bytes it took: `4 L whole milk`, `2 eggs`.
///
/// A number without a unit is a count.
pub fn split_amount(text: &str, units: &Units) -> Result<(Amount, usize), AmountError> {
    let start = blank(text);
    let (prefix, taken) = read_prefix(&text[start..]);
    let at = start + taken;
    let read = read_values(&text[at..], units).ok_or(AmountError::NoNumber)?;
    let mut amount = read.amount(units).ok_or(AmountError::BadRange)?;
    let mut len = at + read.len;
    if let Some((per, taken)) = read_per(&text[len..], units) {
        amount.per = Some(per);
        len += taken;
    }
    let (suffix, taken) = read_suffix(&text[len..]);
    len += taken;
    prefix.or(suffix).apply(&mut amount);
    Ok((amount, len))
}

/// One value with its unit or units, as read from a text.
#[derive(Debug, Clone)]
pub(crate) struct Value {
    pub number: Number,
    /// First unit; `None` for a bare number.
    pub unit: Option<UnitMatch>,
    /// The rest of a compound.
    pub more: Option<(Number, UnitMatch)>,
    pub negative: bool,
    /// Bytes up to the end of the number alone.
    pub number_len: usize,
    pub len: usize,
    /// Written with a measure that cannot be exact: heaped, scant.
    pub about: bool,
}

/// One value or two, as read from a text.
#[derive(Debug, Clone)]
pub(crate) struct Values {
    pub low: Value,
    pub high: Option<Value>,
    pub len: usize,
}

impl Values {
    /// The unit that counts: the last one written.
    pub fn unit(&self) -> Option<UnitMatch> {
        self.high.as_ref().unwrap_or(&self.low).unit
    }

    /// The typed amount. `None` when two ends do not go together or a value is absurdly large.
    pub fn amount(&self, units: &Units) -> Option<Amount> {
        let shared = self.unit();
        let low_unit = match (self.low.unit, shared) {
            // In `85°–90 °C` the first sign is only half a unit; the second completes it.
            (Some(own), Some(shared)) if own.bare && units.get(own.unit).dimension == Dimension::Temperature => {
                Some(shared)
            }
            (Some(own), _) => Some(own),
            (None, shared) => shared,
        };
        let low = self.low.end(low_unit, units)?;
        let mut amount = Amount::single(low);
        amount.bare = low_unit.is_some_and(|unit| unit.bare);
        amount.about = self.low.about;
        if let Some(high) = &self.high {
            let high = high.end(shared, units)?;
            if high.quantity.dimension() != low.quantity.dimension() {
                return None;
            }
            amount.high = high;
            amount.range = true;
        }
        Some(amount)
    }
}

impl Value {
    fn end(&self, unit: Option<UnitMatch>, units: &Units) -> Option<End> {
        let id = unit.map_or(units.piece(), |unit| unit.unit);
        let unit = units.get(id);
        let value = if self.negative { -self.number.value } else { self.number.value };
        if id == units.gas() {
            let celsius = *units.gas_mark(value)?.celsius.first()?;
            let quantity = Quantity::from_base(Dimension::Temperature, celsius)?;
            return Some(End { quantity, number: self.number, unit: id, step: Exact::ZERO, compound: false });
        }
        let mut base = unit.to_base(value);
        let (mut last, mut last_id) = (self.number, id);
        if let Some((number, more)) = &self.more {
            base = base + units.get(more.unit).to_base(number.value);
            (last, last_id) = (*number, more.unit);
        }
        let step = match last.form {
            NumberForm::Digits { decimals } => units.get(last_id).size / Exact::whole(10i128.pow(u32::from(decimals))),
            NumberForm::Fraction | NumberForm::Words | NumberForm::Article => Exact::ZERO,
        };
        Some(End {
            quantity: Quantity::from_base(unit.dimension, base)?,
            number: last,
            unit: last_id,
            step,
            compound: self.more.is_some(),
        })
    }
}

/// What stands before or after a value and changes how it is meant.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Qualifier {
    pub bound: Option<Bound>,
    pub about: bool,
    /// The limit is one that something may cross (below, over, more than), as against one that is set (at most).
    pub crosses: bool,
}

impl Qualifier {
    fn or(self, other: Qualifier) -> Qualifier {
        Qualifier { bound: self.bound.or(other.bound), about: self.about || other.about, crosses: self.crosses }
    }

    fn apply(self, amount: &mut Amount) {
        amount.bound = self.bound.unwrap_or(amount.bound);
        amount.about |= self.about;
    }
}

/// Words that make the value after them a limit. The longest is tried first.
const BEFORE: &[(&str, Bound); 43] = &[
    ("a minimum of", Bound::AtLeast),
    ("a maximum of", Bound::AtMost),
    ("not more than", Bound::AtMost),
    ("not less than", Bound::AtLeast),
    ("not longer than", Bound::AtMost),
    ("no more than", Bound::AtMost),
    ("no less than", Bound::AtLeast),
    ("no fewer than", Bound::AtLeast),
    ("no longer than", Bound::AtMost),
    ("no hotter than", Bound::AtMost),
    ("no warmer than", Bound::AtMost),
    ("no cooler than", Bound::AtLeast),
    ("no colder than", Bound::AtLeast),
    ("never above", Bound::AtMost),
    ("never over", Bound::AtMost),
    ("never below", Bound::AtLeast),
    ("never under", Bound::AtLeast),
    ("not above", Bound::AtMost),
    ("not over", Bound::AtMost),
    ("not below", Bound::AtLeast),
    ("not under", Bound::AtLeast),
    ("more than", Bound::AtLeast),
    ("less than", Bound::AtMost),
    ("fewer than", Bound::AtMost),
    ("hotter than", Bound::AtLeast),
    ("warmer than", Bound::AtLeast),
    ("cooler than", Bound::AtMost),
    ("colder than", Bound::AtMost),
    ("longer than", Bound::AtLeast),
    ("at least", Bound::AtLeast),
    ("at most", Bound::AtMost),
    ("up to", Bound::AtMost),
    ("minimum", Bound::AtLeast),
    ("maximum", Bound::AtMost),
    ("within", Bound::AtMost),
    ("under", Bound::AtMost),
    ("below", Bound::AtMost),
    ("above", Bound::AtLeast),
    ("over", Bound::AtLeast),
    ("≥", Bound::AtLeast),
    ("≤", Bound::AtMost),
    (">", Bound::AtLeast),
    ("<", Bound::AtMost),
];

/// Limits that something may cross; a word of denial before them turns them round.
const CROSSED: &[&str] = &[
    "more than",
    "less than",
    "fewer than",
    "hotter than",
    "warmer than",
    "cooler than",
    "colder than",
    "longer than",
    "under",
    "below",
    "above",
    "over",
    ">",
    "<",
];

const AFTER: &[(&str, Bound)] = &[
    ("or more", Bound::AtLeast),
    ("or above", Bound::AtLeast),
    ("or over", Bound::AtLeast),
    ("or longer", Bound::AtLeast),
    ("or hotter", Bound::AtLeast),
    ("or warmer", Bound::AtLeast),
    ("and above", Bound::AtLeast),
    ("at least", Bound::AtLeast),
    ("at the least", Bound::AtLeast),
    ("minimum", Bound::AtLeast),
    ("or less", Bound::AtMost),
    ("or below", Bound::AtMost),
    ("or under", Bound::AtMost),
    ("or colder", Bound::AtMost),
    ("or cooler", Bound::AtMost),
    ("or lower", Bound::AtMost),
    ("at most", Bound::AtMost),
    ("at the most", Bound::AtMost),
    ("maximum", Bound::AtMost),
];

const ABOUT: &[&str] = &[
    "approximately",
    "somewhere around",
    "just about",
    "just under",
    "just over",
    "approx.",
    "approx",
    "around",
    "roughly",
    "nearly",
    "almost",
    "about",
    "circa",
    "some",
    "c.",
    "~",
    "≈",
];

/// First words of what [`read_prefix`] knows.
const QUALIFIERS: Openers = Openers::NONE.with(ABOUT).with(&first_column(BEFORE));

/// First words of what [`read_prefix`], [`read_between`] and [`read_values`] know.
pub(crate) const OPENERS: Openers =
    QUALIFIERS.with(&["between", "gas", "minus"]).with(&NUMBER_WORDS).with(&SMALL).with(&TENS);

const fn first_column<const N: usize>(rows: &[(&'static str, Bound); N]) -> [&'static str; N] {
    let mut words = [""; N];
    let mut row = 0;
    while row < N {
        words[row] = rows[row].0;
        row += 1;
    }
    words
}

/// Reads `about`, `at least` and the like at the start; bytes include the blank after them.
pub(crate) fn read_prefix(text: &str) -> (Qualifier, usize) {
    let mut found = Qualifier::default();
    let mut at = 0;
    loop {
        let rest = &text[at..];
        if rest.starts_with(|c: char| c.is_ascii_digit()) || !QUALIFIERS.may_open(rest) {
            return (found, at);
        }
        let taken = if let Some(len) = ABOUT.iter().find_map(|words| phrase(rest, words)) {
            found.about = true;
            len
        } else if let Some((bound, len)) = BEFORE.iter().find_map(|(words, bound)| Some((*bound, phrase(rest, words)?)))
        {
            found.bound = Some(bound);
            found.crosses = CROSSED.iter().any(|words| phrase(rest, words) == Some(len));
            len
        } else {
            return (found, at);
        };
        at += taken;
        at += blank(&text[at..]);
    }
}

/// Reads `or more`, `at most` and the like after a value; bytes include the blank before them.
pub(crate) fn read_suffix(text: &str) -> (Qualifier, usize) {
    let gap = blank(text);
    if gap == 0 {
        return (Qualifier::default(), 0);
    }
    for (words, bound) in AFTER {
        if let Some(len) = phrase(&text[gap..], words) {
            return (Qualifier { bound: Some(*bound), about: false, crosses: false }, gap + len);
        }
    }
    match phrase(&text[gap..], "or so") {
        Some(len) => (Qualifier { bound: None, about: true, crosses: false }, gap + len),
        None => (Qualifier::default(), 0),
    }
}

/// Bytes of `text` taken by the lower-case `words`, in any letter case and spacing, ending at a word's edge.
pub(crate) fn phrase(text: &str, words: &str) -> Option<usize> {
    // Most fail at once.
    if !text.as_bytes().first()?.eq_ignore_ascii_case(words.as_bytes().first()?) {
        return None;
    }
    let mut at = 0;
    for (index, part) in words.split(' ').enumerate() {
        if index > 0 {
            let gap = blank(&text[at..]);
            if gap == 0 {
                return None;
            }
            at += gap;
        }
        let head = text.get(at..at + part.len())?;
        if !head.eq_ignore_ascii_case(part) {
            return None;
        }
        at += part.len();
    }
    let last_is_letter = words.ends_with(|c: char| c.is_alphabetic());
    let open = last_is_letter && text[at..].starts_with(|c: char| c.is_alphanumeric());
    (!open).then_some(at)
}

/// Signs between the ends of a range.
fn range_sign(text: &str) -> Option<usize> {
    let gap = blank(text);
    let rest = &text[gap..];
    let sign = rest.chars().next()?;
    if matches!(sign, '–' | '-' | '‑' | '‒' | '—' | '~' | '～' | '−') {
        let mut after = gap + sign.len_utf8();
        // "48- to 72-hour": the first hyphen waits for the unit.
        let next = after + blank(&text[after..]);
        if sign == '-'
            && next > after
            && let Some(len) = ["to", "or"].iter().find_map(|words| phrase(&text[next..], words))
        {
            after = next + len;
        }
        return Some(after + blank(&text[after..]));
    }
    if gap == 0 {
        return None;
    }
    for words in ["up to", "to", "or", "through", "till", "until"] {
        if let Some(len) = phrase(rest, words) {
            let after = gap + len;
            let next = blank(&text[after..]);
            return (next > 0).then_some(after + next);
        }
    }
    None
}

/// Reads a value or a range at the start of a text: `7–10 min`, `1 h 30 min`, `85° to 90 °C`, `half a litre`.
pub(crate) fn read_values(text: &str, units: &Units) -> Option<Values> {
    let low = read_value(text, units)?;
    if let Some(high) = read_high(&text[low.len..], &low, units, range_sign) {
        return Some(high);
    }
    // Where a compound swallowed nothing, `5 minutes to 4` stays one value.
    let len = low.len;
    Some(Values { low, high: None, len })
}

/// As [`read_values`], after the word "between": the ends are joined by "and".
pub(crate) fn read_between(text: &str, units: &Units) -> Option<Values> {
    let low = read_value(text, units)?;
    read_high(&text[low.len..], &low, units, |rest| {
        let gap = blank(rest);
        let len = phrase(&rest[gap..], "and")?;
        let after = gap + len;
        Some(after + blank(&rest[after..]))
    })
}

fn read_high(rest: &str, low: &Value, units: &Units, sign: impl Fn(&str) -> Option<usize>) -> Option<Values> {
    let gap = sign(rest)?;
    // "4 or 5 cloves" is about how many; "4 g or 7 g" is one or the other.
    if low.unit.is_some() && phrase(&rest[blank(rest)..], "or").is_some() {
        return None;
    }
    let high = read_value(&rest[gap..], units)?;
    if high.number.form == NumberForm::Article || low.number.form == NumberForm::Article {
        return None;
    }
    match (low.unit, high.unit) {
        (Some(a), Some(b)) if units.get(a.unit).dimension != units.get(b.unit).dimension => return None,
        (Some(a), None) if units.get(a.unit).dimension != Dimension::Count => return None,
        _ => {}
    }
    let (sense_low, sense_high) = (low.sense(high.unit, units), high.sense(high.unit, units));
    let len = low.len + gap + high.len;
    (sense_low <= sense_high).then(|| Values { low: low.clone(), high: Some(high), len })
}

impl Value {
    /// The value in its own unit or the range's, for telling which end is lower.
    fn sense(&self, shared: Option<UnitMatch>, units: &Units) -> Exact {
        let unit = self.unit.or(shared);
        let value = if self.negative { -self.number.value } else { self.number.value };
        unit.map_or(value, |unit| units.get(unit.unit).to_base(value))
    }
}

const EXACT_MEASURES: &[&str] = &["level", "full", "whole", "flat", "more", "further", "extra", "additional", "small"];
const LOOSE_MEASURES: &[&str] = &["heaped", "heaping", "rounded", "scant", "generous", "good", "short"];

/// `gas mark 6`, `Gas 6`: the unit comes first.
fn read_gas(text: &str, units: &Units) -> Option<Value> {
    let words = phrase(text, "gas mark").or_else(|| phrase(text, "gas"))?;
    let at = words + blank(&text[words..]);
    let (number, len) =
        Number::read(&text[at..], units.style()).filter(|(number, _)| units.gas_mark(number.value).is_some())?;
    let unit = UnitMatch { unit: units.gas(), len: 0, bare: false };
    let len = at + len;
    Some(Value { number, unit: Some(unit), more: None, negative: false, number_len: len, len, about: false })
}

/// What makes an amount a rate: ` per litre`, `/L`, ` to the kilo`, ` for each 100 g`; and the bytes it took.
pub(crate) fn read_per(text: &str, units: &Units) -> Option<(Per, usize)> {
    let gap = blank(text);
    let rest = &text[gap..];
    let joint = if rest.starts_with('/') {
        Some(1)
    } else {
        ["per", "to the", "to each", "to every", "for each", "for every"]
            .iter()
            .find_map(|words| phrase(rest, words).filter(|_| gap > 0))
    }?;
    let at = joint + blank(&rest[joint..]);
    let number = Number::read(&rest[at..], units.style()).filter(|(number, _)| number.form != NumberForm::Article);
    if joint == 1 && number.is_some() {
        return None; // `1 L/1¾ pints` is one amount in two units
    }
    let (count, len) = number.map_or((Exact::ONE, 0), |(number, len)| (number.value, len));
    let unit_at = at + len + blank(&rest[at + len..]);
    let found = units.match_start(&rest[unit_at..])?;
    let unit = units.get(found.unit);
    let rated = matches!(unit.dimension, Dimension::Mass | Dimension::Volume | Dimension::Time | Dimension::Length);
    if !rated || count.is_zero() {
        return None;
    }
    let quantity = Quantity::from_base(unit.dimension, unit.to_base(count))?;
    Some((Per { unit: found.unit, count, quantity }, gap + unit_at + found.len))
}

/// Reads one value: a number, and a unit where one follows.
pub(crate) fn read_value(text: &str, units: &Units) -> Option<Value> {
    if let Some(value) = read_gas(text, units) {
        return Some(value);
    }
    let (negative, start) = read_minus(text);
    let (number, number_len) = Number::read(&text[start..], units.style())?;
    let number_len = start + number_len;
    let mut value = Value { number, unit: None, more: None, negative, number_len, len: number_len, about: false };
    let Some((at, about)) = unit_start(&text[number_len..], number) else {
        return Some(value);
    };
    let at = number_len + at;
    // Nobody writes inches after a word: the sign of “ninety two” ends a quotation.
    if text[at..].starts_with('”') && matches!(number.form, NumberForm::Article | NumberForm::Words) {
        return Some(value);
    }
    let Some(unit) =
        units.match_start(&text[at..]).or_else(|| degree_letter(&text[number_len..], at - number_len, number, units))
    else {
        if let Some(unit) = prime(text, number_len, number, units) {
            value.unit = Some(unit);
            value.len = number_len + unit.len;
        }
        return Some(value);
    };
    value.unit = Some(unit);
    value.about = about;
    value.len = at + unit.len;
    // "an hour and a half", "a litre and a half"
    if matches!(number.form, NumberForm::Article | NumberForm::Words)
        && number.value.is_whole()
        && let Some((part, len)) = and_part(&text[value.len..])
    {
        value.number = Number { value: number.value + part, form: NumberForm::Words };
        value.len += len;
        return Some(value);
    }
    read_compound(text, &mut value, units);
    Some(value)
}

fn read_minus(text: &str) -> (bool, usize) {
    if let Some(len) = phrase(text, "minus") {
        let gap = blank(&text[len..]);
        if gap > 0 {
            return (true, len + gap);
        }
    }
    match text.chars().next() {
        Some(sign @ ('−' | '-' | '–' | '﹣' | '－'))
            if text[sign.len_utf8()..].starts_with(|c: char| c.is_ascii_digit()) =>
        {
            (true, sign.len_utf8())
        }
        _ => (false, 0),
    }
}

/// Where a unit may begin after a number, and whether the words between make it loose.
fn unit_start(rest: &str, number: Number) -> Option<(usize, bool)> {
    let mut at = match rest.chars().next()? {
        hyphen @ ('-' | '‑') => hyphen.len_utf8(),
        _ => blank(rest),
    };
    // "half a teaspoon", "a quarter of an hour", "two thirds of a cup", "a quarter teaspoon"
    let fraction = number.form == NumberForm::Words && !number.value.is_whole();
    if fraction {
        if let Some(len) = phrase(&rest[at..], "of") {
            at += len + blank(&rest[at + len..]);
        }
        if let Some(len) = phrase(&rest[at..], "an").or_else(|| phrase(&rest[at..], "a")) {
            at += len + blank(&rest[at + len..]);
        }
    }
    let mut about = false;
    if let Some((found, len)) = word(&rest[at..]) {
        let loose = LOOSE_MEASURES.contains(&found.as_str());
        if loose || EXACT_MEASURES.contains(&found.as_str()) {
            at += len + blank(&rest[at + len..]);
            about = loose;
        }
    }
    Some((at, about))
}

/// `30'` is minutes and `9"` a tin's inches, where no quotation is open: primes are a hand-writer's units.
fn prime(text: &str, number_len: usize, number: Number, units: &Units) -> Option<UnitMatch> {
    let rest = &text[number_len..];
    let sign = rest.chars().next()?;
    let after = &rest[sign.len_utf8()..];
    let plain = matches!(number.form, NumberForm::Digits { .. } | NumberForm::Fraction);
    if !plain || after.starts_with(|c: char| c.is_alphanumeric()) {
        return None;
    }
    const VESSELS: [&str; 10] = ["pan", "tin", "round", "square", "plate", "dish", "skillet", "cake", "pie", "pot"];
    let id = match sign {
        '\'' | '′' if number.value >= Exact::whole(2) && !after.is_empty() => "minute",
        '"' | '”' if VESSELS.iter().any(|vessel| phrase(&after[blank(after)..], vessel).is_some()) => "inch",
        _ => return None,
    };
    units.find(id).map(|unit| UnitMatch { unit, len: sign.len_utf8(), bare: false })
}

/// `180C`, `350 F`: a letter alone is a scale only where the number is an oven's or a pan's, not a cup's.
fn degree_letter(rest: &str, at: usize, number: Number, units: &Units) -> Option<UnitMatch> {
    if number.value < Exact::whole(30) || !matches!(number.form, NumberForm::Digits { .. }) || at > 2 {
        return None;
    }
    let mut letters = rest[at..].chars();
    let id = match letters.next()? {
        'C' => "celsius",
        'F' => "fahrenheit",
        _ => return None,
    };
    let ends = !letters.next().is_some_and(char::is_alphanumeric);
    ends.then(|| units.find(id)).flatten().map(|unit| UnitMatch { unit, len: 1, bare: false })
}

/// `1 lb 4 oz`, `1 h 30 min`, `1 hour and 30 minutes`, `1h30`.
fn read_compound(text: &str, value: &mut Value, units: &Units) {
    let Some(first) = value.unit else { return };
    let big = units.get(first.unit);
    if !matches!(big.dimension, Dimension::Mass | Dimension::Volume | Dimension::Time | Dimension::Length)
        || !value.number.value.is_whole()
    {
        return;
    }
    let rest = &text[value.len..];
    let mut at = blank(rest);
    if let Some(len) = ["and", "plus", "+"].iter().find_map(|joint| phrase(&rest[at..], joint)) {
        at += len + blank(&rest[at + len..]);
    }
    let Some((number, len)) = Number::read(&rest[at..], units.style()) else { return };
    if number.form == NumberForm::Article {
        return;
    }
    let unit_at = at + len + blank(&rest[at + len..]);
    if let Some(second) = units.match_start(&rest[unit_at..]) {
        let small = units.get(second.unit);
        let kin = small.system == big.system
            || [small.system, big.system].iter().all(|system| matches!(system, System::Imperial | System::Customary));
        let related = small.dimension == big.dimension && kin && !small.approximate;
        if related && small.size < big.size && number.value * small.size < big.size {
            value.more = Some((number, second));
            value.len += unit_at + second.len;
        }
    } else if big.id == "hour" && matches!(number.form, NumberForm::Digits { decimals: 0 }) && len == 2 {
        // `1h30`, `1 hr 30`: minutes are left unsaid, and there are two figures of them.
        let edge = !rest[at + len..].starts_with(|c: char| c.is_alphanumeric());
        if let (true, true, Some(minute)) = (edge, number.value < Exact::whole(60), units.find("minute")) {
            value.more = Some((number, UnitMatch { unit: minute, len: 0, bare: false }));
            value.len += at + len;
        }
    }
}

/// Whether a unit is one whose singular is also a thing that stands on the shelf: a cup, a teaspoon.
pub(crate) fn is_vessel(units: &Units, unit: UnitId) -> bool {
    let one = &units.get(unit).one;
    ["cup", "spoon", "stick"].iter().any(|thing| one.ends_with(thing))
}
